"""How a foot switch is read: by when it goes down and comes up, and by nothing else."""

from dataclasses import dataclass
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayapp.files.shop.key_settings import Gesture
from bayapp.pages.input.foot_switch import GestureReader, KeyHolds, Read

ALL = frozenset(Gesture)
SHORT, LONG, TWICE = Gesture.PRESS, Gesture.LONG, Gesture.DOUBLE
RESTING = 3_000
UP = 60
"""A key that stays up so long has come up, in milliseconds; until then it may be a held one that repeats itself."""


def ms(milliseconds: float) -> timedelta:
    return timedelta(milliseconds=milliseconds)


@dataclass
class Foot:
    """Presses one switch and keeps what was read, with the moment at which it became certain."""

    meant: frozenset[Gesture] = ALL

    def __post_init__(self) -> None:
        self.reader = GestureReader(lambda key, gesture: gesture in self.meant)
        self.read: list[tuple[int, str, Gesture]] = []

    def press(self, down: int, up: int, key: str = "F5") -> "Foot":
        self._keep(down, self.reader.down(key, ms(down)))
        self._keep(up, self.reader.up(key, ms(up)))
        return self

    def hold(self, down: int, up: int, key: str = "F5") -> "Foot":
        """Hold the switch on a display server that tells a held key as releases and presses."""
        starts = [down, *range(down + 660, up - 40, 40)]
        for began, ended in zip(starts, [*starts[1:], up], strict=True):
            self.press(began, ended - 2 if ended != up else up, key)
        return self

    def look(self, at: int) -> "Foot":
        self._keep(at, self.reader.due(ms(at)))
        return self

    def _keep(self, at: int, read: list[Read]) -> None:
        self.read += [(at, one.key, one.gesture) for one in read]

    @property
    def gestures(self) -> list[Gesture]:
        return [gesture for _at, _key, gesture in self.read]


@pytest.mark.parametrize(("held", "gesture"), [(0, SHORT), (799, SHORT), (800, LONG), (2_999, LONG), (3_000, LONG)])
def test_it_is_long_from_the_limit_on_and_not_a_moment_before(held: int, gesture: Gesture):
    foot = Foot(frozenset({SHORT, LONG})).press(0, held)
    assert foot.look(held + UP - 1).read == []
    assert foot.look(held + UP).read == [(held + UP, "F5", gesture)]


@pytest.mark.parametrize("meant", [ALL, frozenset({SHORT})])
def test_a_foot_that_rests_on_the_switch_does_nothing(meant: frozenset[Gesture]):
    assert Foot(meant).press(0, 3_001).press(10_000, 70_000).look(90_000).read == []


def test_where_long_means_nothing_a_slow_press_is_a_press():
    assert Foot(frozenset({SHORT})).press(0, 2_500).look(3_000).gestures == [SHORT]


def test_a_press_waits_only_where_two_presses_mean_something():
    assert Foot(frozenset({SHORT, LONG})).press(0, 100).look(100 + UP).read == [(100 + UP, "F5", SHORT)]
    waiting = Foot().press(0, 100)
    assert waiting.read == []
    assert waiting.look(500).read == [], "at exactly 0.4 s a second press still counts"
    assert waiting.look(501).read == [(501, "F5", SHORT)]


@pytest.mark.parametrize(("second", "gestures"), [(160, [TWICE]), (500, [TWICE]), (501, [SHORT])])
def test_twice_is_a_second_press_within_the_time_and_right_after_it_a_slip_that_does_nothing(
    second: int, gestures: list[Gesture]
):
    assert Foot().press(0, 100).press(second, second + 100).look(9_000).gestures == gestures


def test_three_quick_presses_are_twice_and_a_slip():
    assert Foot().press(0, 100).press(200, 300).press(400, 500).look(9_000).gestures == [TWICE]


@pytest.mark.parametrize(("second", "times"), [(599, 1), (600, 2)])
def test_a_second_press_within_six_tenths_of_a_second_does_nothing(second: int, times: int):
    foot = Foot(frozenset({SHORT})).press(0, 100).press(second, second + 100).look(9_000)
    assert foot.gestures == [SHORT] * times
    holds = KeyHolds()
    assert holds.begins("F5", ms(0))
    holds.lifts("F5", ms(100))
    assert holds.begins("F5", ms(second)) == (times == 2)


@pytest.mark.parametrize("meant", [ALL, frozenset({SHORT}), frozenset({SHORT, LONG})])
def test_a_held_key_that_is_told_as_many_presses_is_one_hold(meant: frozenset[Gesture]):
    assert Foot(meant).hold(0, 5_000).look(9_000).read == [], "a foot that rests for five seconds does nothing"
    long = Foot(meant).hold(0, 1_500).look(9_000).gestures
    assert long == [LONG if LONG in meant else SHORT]
    assert Foot(ALL).press(0, 100).hold(300, 2_000).look(9_000).gestures == [TWICE], "the second press may be held"


def test_a_held_key_that_acts_as_it_goes_down_acts_once():
    holds, times = KeyHolds(), [0, *range(660, 5_000, 40)]
    begun = []
    for at, again in zip(times, [*times[1:], 5_000], strict=True):
        begun.append(holds.begins("F5", ms(at)))
        holds.lifts("F5", ms(again - 2))
    assert begun == [True] + [False] * (len(times) - 1)
    assert holds.begins("F5", ms(4_998 + UP))
    assert holds.begins("F5", ms(9_000)), "a release that nobody saw does not keep the key down for good"


@given(length=st.integers(0, 60_000), every=st.integers(5, 59), first=st.integers(61, 1_000))
def test_a_hold_of_any_length_and_repeat_is_at_most_one_press(length: int, every: int, first: int):
    foot, holds, begun = Foot(frozenset({SHORT})), KeyHolds(), 0
    downs = [0, *range(first, length, every)]
    for at, again in zip(downs, [*downs[1:], length + 1], strict=True):
        begun += holds.begins("F5", ms(at))
        holds.lifts("F5", ms(again - 1))
        foot.press(at, again - 1)
    assert begun == 1
    assert len(foot.look(length + 9_000).gestures) <= 1


def test_a_key_that_repeats_itself_is_down_once():
    foot = Foot()
    foot.reader.down("F5", ms(0))
    for n in range(1, 30):
        assert foot.reader.down("F5", ms(n * 30)) == []
    foot.reader.up("F5", ms(900))
    assert foot.reader.due(ms(900 + UP)) == [Read("F5", LONG)]


def test_a_contact_that_bounces_is_one_press():
    foot = Foot(frozenset({SHORT}))
    assert foot.press(0, 200).press(205, 207).press(212, 213).look(9_000).gestures == [SHORT]
    assert foot.press(800, 900).look(9_500).gestures == [SHORT, SHORT]


def test_another_key_settles_the_one_that_waits_in_their_order():
    foot = Foot().press(0, 100, "F5").press(200, 300, "F6").look(9_000)
    assert [(key, gesture) for _at, key, gesture in foot.read] == [("F5", SHORT), ("F6", SHORT)]


def test_what_comes_up_without_having_gone_down_here_is_nothing():
    foot = Foot()
    assert foot.reader.up("F5", ms(100)) == []
    foot.reader.down("F5", ms(200))
    foot.reader.forget()
    assert foot.reader.up("F5", ms(300)) == []


@given(presses=st.lists(st.tuples(st.integers(0, 2_000), st.integers(1, 5_000)), max_size=12))
def test_whatever_is_pressed_no_press_is_read_twice_and_resting_is_never_read(presses: list[tuple[int, int]]):
    foot, at, active = Foot(), 0, 0
    for pause, held in presses:
        foot.press(at + pause, at + pause + held)
        at += pause + held
        active += held <= RESTING
    foot.look(at + 10_000)
    presses_read = sum(2 if gesture is TWICE else 1 for gesture in foot.gestures)
    # the second of two may be held as long as one likes: it was read when it went down
    assert presses_read <= active + foot.gestures.count(TWICE)
    assert [moment for moment, _key, _gesture in foot.read] == sorted(moment for moment, _key, _gesture in foot.read)
