"""The bay when the air is read in the middle of a ripening wait: moved clocks are reported, untrue calls taken back."""

from collections.abc import Iterator
from datetime import UTC, timedelta
from pathlib import Path

import pytest

from bayapp.alerts.kinds import AlertKind
from bayapp.job import CorrectAir, ReadAir
from bayapp.job.model.ids import JobId, ZoneId
from bayapp.job.state.requests import Request
from bayapp.pages.board.board import board
from bayapp.pages.viewpoint import Viewpoint
from tests.job.builders import START, at, finish, job, read_air, start, two_step
from tests.pages.bays import HandBay

TABLES = {"min_by_c": [[10, 8.0], [20, 5.0], [30, 3.0]], "max_by_c": [[10, 60], [30, 20]]}
CAR = JobId("car")
LAID = "Roof, coat: laid on a reading (20.0 °C, 50 %) that was put right to 10.0 °C, 50 %"


@pytest.fixture
def hand(tmp_path: Path) -> Iterator[HandBay]:
    """A bay at 20 °C whose roof was coated from 08:00 to 08:01: by its table it may be levelled from 08:06."""
    found = HandBay(tmp_path, START)
    found.bay.open_job(job((["roof", "bonnet"], two_step(TABLES))), START)
    ask(found, read_air(20), 0)
    ask(found, start("roof", "coat"), 0)
    ask(found, finish("roof", "coat"), 1)
    yield found
    found.journal.close()


def ask(hand: HandBay, request: Request, minutes: float) -> None:
    hand.go_to(at(minutes))
    assert hand.bay.request(request).accepted
    hand.update_alerts()


def band(hand: HandBay) -> str:
    """What the line under the car says now."""
    now = hand.bay.now()
    hand.update_alerts()
    shown = board(hand.bay, hand.clocks(), Viewpoint(None, now, UTC, CAR)).band
    return "; ".join(part for part in (shown.text, shown.others) if part) if shown else ""


def roof_opens(hand: HandBay) -> timedelta | None:
    opens = hand.clock_of("roof", CAR).opens_at
    return None if opens is None else opens - START


def calls(hand: HandBay, kind: AlertKind) -> list[str]:
    return [a.condition.label for a in hand.bay.alerts.book.alerts if a.condition.kind is kind]


@pytest.mark.parametrize("restarted", [False, True])
def test_a_reading_moves_the_clock_that_runs_and_the_board_says_so_for_two_minutes(hand: HandBay, restarted: bool):
    assert roof_opens(hand) == timedelta(minutes=6)
    if restarted:
        hand.restart(timedelta(seconds=30))
    ask(hand, read_air(10), 3.5)  # half is over, half of 8 min is to come
    assert roof_opens(hand) == timedelta(minutes=7.5)
    said = "The air is 10 °C colder: roof, level now opens at 08:07:30, 1:30 later."
    assert band(hand) == said
    hand.wait(119.9)
    assert band(hand) == said
    hand.wait(0.1)
    assert band(hand) == ""


@pytest.mark.parametrize("restarted", [False, True])
@pytest.mark.parametrize("answered", [False, True])
def test_a_call_that_a_correction_makes_untrue_is_taken_back_and_said(hand: HandBay, restarted: bool, answered: bool):
    hand.go_to(at(6.1))
    hand.update_alerts()
    assert calls(hand, AlertKind.OPENED)
    if answered:
        hand.bay.alerts.acknowledge([a.condition.subject for a in hand.bay.alerts.unanswered()])
    if restarted:
        hand.restart(timedelta(seconds=10))
        hand.update_alerts()
    ask(hand, CorrectAir(at(0), ReadAir(10, 50.0)), 7)
    assert roof_opens(hand) == timedelta(minutes=9)
    assert calls(hand, AlertKind.OPENED) == []
    assert set(calls(hand, AlertKind.ATTENTION)) == {"Roof, level is not ready after all", LAID}
    said = "The reading of 08:00 was corrected: roof, level now opens at 08:09:00, 3:00 later."
    assert band(hand) == f"{LAID}; Roof, level is not ready after all; {said}"
    hand.bay.alerts.acknowledge([a.condition.subject for a in hand.bay.alerts.unanswered()])
    hand.go_to(at(9.5))
    assert "level is not ready" not in band(hand)
    assert calls(hand, AlertKind.OPENED), "it is called again when it is true"


def test_what_was_moved_and_taken_back_is_still_said_after_a_restart(hand: HandBay):
    hand.go_to(at(6.1))
    hand.update_alerts()
    ask(hand, CorrectAir(at(0), ReadAir(10, 50.0)), 7)
    said = band(hand)
    assert "Roof, level is not ready after all; The reading of 08:00 was corrected" in said
    hand.restart(timedelta(seconds=10))
    assert band(hand) == said
    assert {z for a in hand.bay.alerts.unanswered() for z in a.condition.zones} == {ZoneId("roof")}
    hand.bay.alerts.acknowledge([a.condition.subject for a in hand.bay.alerts.unanswered()])
    hand.restart(timedelta(seconds=10))
    assert "not ready" not in band(hand), "who has heard it does not hear it again"
