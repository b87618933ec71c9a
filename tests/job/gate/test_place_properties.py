"""Cars moved at will, curtains drawn, readings late and withdrawn: the air around a car, against a plain reckoning."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from bayapp.job import CorrectAir, MoveCar, Request, SetUpPlaces, UndoMove, fold
from bayapp.job.model.ids import PlaceId
from bayapp.job.model.place import OUTSIDE, Bay
from tests.job.builders import Shop, at
from tests.job.gate.places import CAR, read_in, two_cars

ROW = tuple(PlaceId(f"bay-{n}") for n in (1, 2, 3))
PLACES = (*ROW, OUTSIDE)
HALF_AN_HOUR = 30


def bays(curtains: tuple[bool, bool]) -> tuple[Bay, ...]:
    hung = (*curtains, False)
    return tuple(Bay(id=one, name=f"Bay {one}", curtain=hangs) for one, hangs in zip(ROW, hung, strict=True))


def rooms(curtains: tuple[bool, bool]) -> list[set[PlaceId]]:
    """The places that share their air: the row cut where a curtain hangs, and outside by itself."""
    found = [{ROW[0]}]
    for (_left, right), hangs in zip(pairwise(ROW), curtains, strict=True):
        if hangs:
            found.append({right})
        else:
            found[-1].add(right)
    return [*found, {OUTSIDE}]


@dataclass
class Plain:
    """What the shop did, minute by minute, as simply as it can be put down."""

    stays: list[tuple[int, PlaceId, tuple[bool, bool], bool]] = field(default_factory=list)

    def held_at(self, minute: int, readings: list[tuple[int, int, PlaceId]]) -> int | None:
        """Return which reading holds at a minute, by its number; readings are (measured, number, place)."""
        held: int | None = None
        for n, (since, place, curtains, _) in enumerate(self.stays):
            if since > minute:
                break
            (room,) = [room for room in rooms(curtains) if place in room]
            until = self.stays[n + 1][0] if n + 1 < len(self.stays) else minute + 1
            here = [r for r in readings if r[2] in room and r[0] <= minute and (r[0] < until or until > minute)]
            before = [r for r in here if r[0] <= since]
            last = before[-1] if before else None
            if (last[1] if last else None) != held:
                held = last[1] if last and since - last[0] <= HALF_AN_HOUR else None
            later = [r for r in here if r[0] > since]
            held = later[-1][1] if later else held
        return held


class Both:
    """The shop and the plain reckoning, told the same."""

    def __init__(self) -> None:
        self.shop, self.plain, self.now = two_cars(), Plain(), 0
        self.curtains = (False, True)
        self.read: dict[datetime, tuple[int, int, PlaceId]] = {}
        self.shop.must(CorrectAir(at(0), None), 0)
        self.shop.must(SetUpPlaces(bays((True, True))), 0)
        self.shop.must(MoveCar(CAR, ROW[0]), 0)
        self.shop.must(SetUpPlaces(bays(self.curtains)), 0)
        self.plain.stays.append((0, ROW[0], self.curtains, False))

    def move(self, to: PlaceId) -> None:
        if self.asked(MoveCar(CAR, to)):
            self.plain.stays.append((self.now, to, self.curtains, True))

    def undo(self, _: object) -> None:
        if self.asked(UndoMove(CAR)):
            self.plain.stays.pop()

    def curtain(self, hung: tuple[bool, bool]) -> None:
        if self.asked(SetUpPlaces(bays(hung))):
            self.curtains = hung
            self.plain.stays.append((self.now, self.plain.stays[-1][1], hung, False))

    def reading(self, taken: tuple[PlaceId, int]) -> None:
        place, late = taken
        measured = max(0, self.now - late)
        if self.asked(read_in(place, float(len(self.shop.events)), at(measured))):
            self.read[at(self.now)] = (measured, len(self.shop.events) - 1, place)

    def withdraw(self, number: int) -> None:
        moments = list(self.read)
        if moments and self.asked(CorrectAir(moments[number % len(moments)], None)):
            del self.read[moments[number % len(moments)]]

    def asked(self, request: Request) -> bool:
        return bool(self.shop.do(request, self.now).events)


STEP = st.one_of(
    st.tuples(st.just(Both.move), st.sampled_from(PLACES)),
    st.tuples(st.just(Both.undo), st.none()),
    st.tuples(st.just(Both.curtain), st.tuples(st.booleans(), st.booleans())),
    st.tuples(st.just(Both.reading), st.tuples(st.sampled_from(PLACES), st.sampled_from([0, 0, 0, 7, 25]))),
    st.tuples(st.just(Both.withdraw), st.integers(0, 9)),
)


@given(steps=st.lists(st.tuples(st.integers(1, 40), STEP), max_size=25))
@settings(deadline=None)
def test_the_air_around_a_car_is_that_of_where_it_stood(steps: list[tuple[int, Any]]) -> None:
    both = Both()
    for wait, (step, how) in steps:
        both.now += wait
        step(both, how)
    assert fold(both.shop.events) == both.shop.state
    known = sorted(both.read.values(), key=lambda one: one[0])
    held = both.shop.state.jobs[CAR].readings
    for minute in range(both.now + 2):
        moment = at(minute) + timedelta(seconds=1)
        last = next((r for r in reversed(held) if r.measured_at <= moment), None)
        assert (None if last is None else getattr(last, "air_c", None)) == both.plain.held_at(minute, known), minute


@given(curtains=st.tuples(st.booleans(), st.booleans()), one=st.sampled_from(PLACES), other=st.sampled_from(PLACES))
def test_places_share_their_air_where_the_row_is_not_cut_between_them(
    curtains: tuple[bool, bool], one: PlaceId, other: PlaceId
) -> None:
    shop = Shop()
    shop.must(SetUpPlaces(bays(curtains)), 0)
    assert shop.state.places.same_air(one, other) is any({one, other} <= room for room in rooms(curtains))
