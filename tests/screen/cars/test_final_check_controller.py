"""The final check by real presses: good, again and from where, the brakes, and a car that goes with a reason."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from bayapp.job import FinishStep, Job
from bayapp.job.model.brakes import BrakeCheck
from bayapp.job.model.ids import JobId, StepId, ZoneId
from bayapp.job.model.job import WorkBlock
from bayapp.job.state.events import JobClosed, SpotTried, ZonePassed, ZoneSentBack
from bayapp.job.state.requests import SetUpBay
from bayapp.pages.wanted import Page
from tests.job.builders import recipe, step
from tests.pages.bays import ASH, hand_bay
from tests.report.shop import practice_job
from tests.screen.walls import Walled, walled

RED = JobId("red")
PANES = (ZoneId("windscreen"), ZoneId("rear-screen"))
RIM = (ZoneId("rim-front-left"),)
PANEL = recipe(step("polish"), step("wipe"), name="panel")


@pytest.fixture
def done(tmp_path: Path) -> Iterator[Walled]:
    """A car on which all is done and nothing seen, in a shop that wants it seen."""
    with hand_bay(tmp_path, cars=0) as hand:
        work = (WorkBlock(zones=PANES, recipe=PANEL), WorkBlock(zones=RIM, recipe=PANEL))
        plain = practice_job().model_dump() | {"id": RED, "title": "Red car", "blocks": work, "crew": (ASH,)}
        hand.bay.request(SetUpBay(3.0, None, None, 3.0, final_check=True))
        hand.bay.open_job(Job.model_validate(plain | {"start": hand.bay.now()}))
        for zones in (PANES, RIM):
            for name in ("polish", "wipe"):
                assert hand.bay.request(FinishStep(RED, zones, StepId(name), ASH)).accepted
        with walled(hand) as wall:
            wall.answer_all()
            wall.wall.pages.show_car(RED)
            yield wall


def test_the_board_asks_for_the_check_when_nothing_is_left_to_do(done: Walled):
    done.wall.refresher.refresh()
    assert done.wall.next_bar.main.title == "Final check"
    done.press(done.wall.next_bar.main)
    assert done.choices()[0] == "All good"
    done.choose("All good")
    assert all(done.hand.bay.state.jobs[RED].zones[zone].passed for zone in (*PANES, *RIM))
    done.wall.pages.show_board()
    done.wall.refresher.refresh()
    assert done.wall.next_bar.main.title == "All done"


def test_a_high_spot_on_one_of_several_goes_back_to_the_polish_and_the_others_stay(done: Walled):
    done.wall.pages.want(Page.FINAL_CHECK)
    done.choose("Rear screen, windscreen" if "Rear screen, windscreen" in done.choices() else done.choices()[1])
    done.choose("Rear screen")
    done.choose("Again: high spot")
    assert done.choices()[0] == "Polish"
    done.choose("Polish")
    back = done.hand.journal.read()[-1]
    assert isinstance(back, ZoneSentBack)
    assert (back.zone, back.step, back.reason) == ("rear-screen", "polish", "high spot")
    assert done.choices()[0] == "All good"
    done.choose("All good")
    passed = [event.zone for event in done.hand.journal.read() if isinstance(event, ZonePassed)]
    assert set(passed) == {"windscreen", "rim-front-left"}


def test_a_car_that_was_not_seen_goes_only_with_a_hold_and_a_reason(done: Walled):
    done.wall.pages.want(Page.CLOSE)
    done.hold_choice("Hold for 2 s: Red car has left")
    assert done.hand.bay.state.jobs[RED].closed_at is None
    assert done.choices()[0] == "Final check"
    done.choose("The owner needs it now")
    left = done.hand.journal.read()[-1]
    assert isinstance(left, JobClosed)
    assert left.deviation
    assert left.deviation.reason == "the owner needs it now"


def test_brakes_are_ticked_off_and_a_wheel_that_came_off_asks_for_its_torque(done: Walled):
    done.wall.pages.want(Page.BRAKES)
    assert "Torque of the bolts" not in done.choices()
    for part in ("Discs clean", "Pedal firm", "Rolled and braked", "Wheels came off"):
        done.choose(part)
    assert "Torque of the bolts" in done.choices()
    assert done.hand.bay.state.jobs[RED].brakes == BrakeCheck(
        discs_clean=True, pedal_firm=True, rolled_and_braked=True, wheels_off=True
    )
    done.choose("Discs clean")
    assert not done.hand.bay.state.jobs[RED].brakes.discs_clean


def test_the_card_of_a_test_spot_is_filled_in_by_six_touches_and_stands_on_the_polish_button(tmp_path: Path):
    bonnet = (ZoneId("bonnet"),)
    with hand_bay(tmp_path, cars=0) as hand:
        work = (WorkBlock(zones=bonnet, recipe=PANEL),)
        plain = practice_job().model_dump() | {"id": RED, "title": "Red car", "blocks": work, "crew": (ASH,)}
        hand.bay.open_job(Job.model_validate(plain | {"start": hand.bay.now()}))
        with walled(hand) as wall:
            wall.answer_all()
            wall.wall.pages.show_ladder(RED, bonnet)
            wall.wall.refresher.refresh()
            assert "First a test spot." in wall.wall.ladder_bar.main.detail
            wall.press(next(b for b in wall.wall.ladder.aids if b.title == "Test spot"))
            for answer in (
                "Rotary",
                "Short wool",
                "Cutting paste",
                "3 passes",
                "Swirls out, no haze",
                "Polish the car so",
            ):
                wall.choose(answer)
            assert isinstance(wall.hand.journal.read()[-1], SpotTried)
            assert "Rotary, short wool, cutting paste, 3 passes." in wall.wall.ladder_bar.main.detail
