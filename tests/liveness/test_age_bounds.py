"""What is done to a set of ages is what would be done to each of them."""

from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from tests.liveness.age_bounds import ANY, AgeBounds, hull, newborn
from tests.liveness.every_state import taken

TOP = 14
"""Ages are compared up to here; no bound in these tests goes as far."""
SIZE = 2
ALL = list(product(range(TOP + 1), repeat=SIZE))


def points(bounds: AgeBounds) -> set[tuple[int, ...]]:
    most = bounds.most
    return {
        ages
        for ages in ALL
        if all(a - b <= most[i, j] for i, a in enumerate((0, *ages)) for j, b in enumerate((0, *ages)))
    }


@st.composite
def sets(draw) -> AgeBounds:
    """Draw what touches and time make of ages that began together: bounds, new ages, more time."""
    bounds = newborn(SIZE).later()
    for _ in range(draw(st.integers(0, 3))):
        which, low = draw(st.integers(1, SIZE)), draw(st.integers(0, 3))
        part = bounds.between(which, low, draw(st.sampled_from((low, low + 1, ANY))))
        bounds = (part or bounds) if draw(st.booleans()) else taken(part or bounds, (0, draw(st.integers(0, 2))))
        bounds = bounds.later() if draw(st.booleans()) else bounds
    return bounds


@given(sets())
def test_the_youngest_ages_are_of_the_set(bounds: AgeBounds):
    assert bounds.least in points(bounds)


@given(sets())
def test_time_makes_all_ages_older_by_as_much(bounds: AgeBounds):
    older = {tuple(a + more for a in ages) for ages in points(bounds) for more in range(TOP + 1)}
    assert points(bounds.later()) == older & set(ALL)


@given(sets(), st.lists(st.integers(1, 4), max_size=2, unique=True).map(sorted), st.integers(1, 4))
def test_the_pieces_between_cuts_are_the_whole_and_share_nothing(bounds: AgeBounds, cuts: list[int], other: int):
    parts = dict(bounds.pieces((tuple(cuts), (other,))))
    told = {ages: (sum(ages[0] >= cut for cut in cuts), int(ages[1] >= other)) for ages in points(bounds)}
    assert {ages: piece for piece, part in parts.items() for ages in points(part)} == told
    assert all(part.least in points(part) for part in parts.values())


@given(sets(), sets())
def test_a_hull_holds_both_and_sets_meet_where_they_share_ages(one: AgeBounds, other: AgeBounds):
    assert points(one) | points(other) <= points(hull([one, other]))
    assert one.within([hull([one, other])])
    assert one.meets(other) == bool(points(one) & points(other))
    assert one.within([other]) == (points(one) <= points(other))


@given(sets(), st.tuples(st.integers(1, 4), st.integers(1, 4)))
def test_a_set_that_is_capped_gains_only_ages_that_no_cut_tells_from_its_own(bounds: AgeBounds, caps: tuple[int, int]):
    def alike(found: set[tuple[int, ...]]) -> set[tuple[int, ...]]:
        return {tuple(min(age, cap) for age, cap in zip(ages, caps, strict=True)) for ages in found}

    assert points(bounds) <= points(bounds.capped(caps))
    assert alike(points(bounds.capped(caps))) == alike(points(bounds))
