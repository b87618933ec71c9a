"""The board at an instant: strip, band, and what stands beside it."""

from datetime import UTC, datetime, timedelta, timezone

import pytest

from bayapp.alerts.condition import Condition
from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.lifecycle import Alert, AlertState
from bayapp.bay.planner_out import Outage, PlannerOut
from bayapp.clock import ClockJump
from bayapp.job import ReadAir
from bayapp.job.model.ids import Person
from bayapp.job.state.contradiction import Contradiction, SensorValues
from bayapp.job.state.readings import READING_HOLDS
from bayapp.job.state.requests import ReportSound
from bayapp.pages.board.alert_band import band
from bayapp.pages.board.board import BoardView, board
from bayapp.pages.board.clock_question import ClockNotice
from bayapp.pages.viewpoint import Viewpoint
from tests.pages.bays import ASH, BO, CAR, OPENING, HandBay
from tests.pages.orders import order_of


def seen(hand: HandBay, by: Person | None = ASH, tz=UTC, job=CAR) -> BoardView:
    hand.update_alerts()
    return board(hand.bay, hand.clocks(), Viewpoint(by, hand.bay.now(), tz, job))


def alert(kind: AlertKind, label: str, minutes: float = 0, *, missed: bool = False, state=AlertState.RAISED) -> Alert:
    since = OPENING + timedelta(minutes=minutes)
    return Alert(Condition(kind, f"{label}/subject", label, label, since), state, since, missed=missed)


def test_the_strip_names_car_crew_person_air_and_time(hand: HandBay):
    strip = seen(hand).strip
    assert (strip.title, strip.people, strip.by) == ("Practice estate", (ASH, BO), ASH)
    assert strip.time == "09:00:00"
    assert (strip.air, strip.air_detail) == ("21.0 °C, 48 %", "read 08:52")


def test_times_are_written_in_the_shops_zone(hand: HandBay):
    strip = seen(hand, tz=timezone(timedelta(hours=5, minutes=30))).strip
    assert strip.time == "14:30:00"
    assert strip.air_detail == "read 14:22"


def test_a_new_reading_of_the_air_is_shown_with_its_time(hand: HandBay):
    hand.wait(120)
    hand.bay.request(ReadAir(19.5, 55.4))
    assert (seen(hand).strip.air, seen(hand).strip.air_detail) == ("19.5 °C, 55 %", "read 09:02")


def test_a_reading_that_holds_no_longer_becomes_a_request_to_read_the_air(hand: HandBay):
    assert hand.bay.state.air
    hand.go_to(hand.bay.state.air.at + READING_HOLDS)
    assert seen(hand).strip.air == "21.0 °C, 48 %"
    hand.wait(0.001)
    assert (seen(hand).strip.air, seen(hand).strip.air_detail) == ("Read the air", "21.0 °C, 48 % at 08:52")


def test_a_planner_that_is_missed_is_told_for_ten_minutes_with_what_the_board_does_meanwhile(hand: HandBay):
    hand.update_alerts()
    hand.bay.alerts.acknowledge([a.condition.subject for a in hand.bay.alerts.unanswered()])
    hand.bay.advice.lose_planner(PlannerOut(hand.bay.now(), Outage.ENDED))
    told = seen(hand).band
    assert told
    assert told.text.startswith("The planner stopped and is started again. Until it is there, what is most pressing")
    assert told.subjects == (), "nothing to answer"
    hand.wait(300)
    hand.bay.advice.lose_planner(PlannerOut(hand.bay.now(), Outage.GIVEN_UP))
    later = seen(hand).band
    assert later
    assert "the planner fails again and again" in (later.text + later.others)
    hand.wait(301)
    last = seen(hand).band
    assert last is None or "planner" not in last.text + last.others


def test_a_planner_that_is_back_is_no_news(hand: HandBay):
    hand.update_alerts()
    hand.bay.alerts.acknowledge([a.condition.subject for a in hand.bay.alerts.unanswered()])
    hand.bay.advice.lose_planner(PlannerOut(hand.bay.now(), Outage.LATE))
    assert seen(hand).band
    hand.bay.advice.take_order(order_of(hand.bay.now()))
    assert seen(hand).band is None


def test_the_sound_check_is_due_once_a_day_of_the_shop(hand: HandBay):
    assert seen(hand).strip.sound_due
    hand.bay.request(ReportSound(True))
    assert not seen(hand).strip.sound_due
    hand.go_to(datetime(2026, 3, 2, 23, 59, tzinfo=UTC))
    assert not seen(hand).strip.sound_due
    hand.wait(61)
    assert seen(hand).strip.sound_due


def test_a_check_that_was_not_heard_is_reported(hand: HandBay):
    hand.bay.request(ReportSound(False))
    strip = seen(hand).strip
    assert (strip.sound_due, strip.sound_unheard) == (False, True)


def test_a_jumped_clock_is_reported_and_asked_about_only_where_the_truth_is_unknown(hand: HandBay):
    assert seen(hand).strip.clock is None
    hand.bay.clock_watch.jumped(ClockJump(60_000))
    assert seen(hand).strip.clock is ClockNotice.JUMPED
    hand.doubt_the_time()
    assert seen(hand).strip.clock is ClockNotice.QUESTION
    hand.settle_the_time()
    assert seen(hand).strip.clock is ClockNotice.JUMPED


def test_the_next_zones_are_flagged_on_the_car(hand: HandBay):
    view = seen(hand)
    assert view.main
    assert {z for z, face in view.faces.items() if face.next_up} == set(view.main.zones) == {"rim-rear-right"}


def test_without_a_car_the_board_still_stands(hand: HandBay):
    view = seen(hand, by=None, job=None)
    assert (view.job, dict(view.faces), view.strip.title) == (None, {}, "No car")
    assert view.tiles, "clocks of cars that are not shown are still seen"


# The band.


def test_no_alert_is_no_band():
    assert band(()) is None


def test_the_most_pressing_alert_stands_first_and_one_more_after_it():
    found = band((alert(AlertKind.CURED, "cured"), alert(AlertKind.LAPSED, "lapsed", 5)))
    assert found
    assert (found.text, found.others) == ("lapsed", "cured")


def test_of_several_more_only_their_number_is_given_as_they_could_not_be_read():
    kinds = (AlertKind.OPENED, AlertKind.LAPSED, AlertKind.CURED)
    found = band(tuple(alert(kind, kind.value, n) for n, kind in enumerate(kinds)), "the air moved a wait")
    assert found
    assert found.text == AlertKind.LAPSED.value
    assert found.others == "and 2 more: see the clocks; the air moved a wait"
    assert len(found.subjects) == 3, "one touch still answers all"


def test_of_what_is_too_late_the_newest_stands_first():
    found = band((alert(AlertKind.LAPSED, "old", 1), alert(AlertKind.LAPSED, "new", 5)))
    assert found
    assert (found.text, found.others) == ("new", "old")


def test_one_touch_answers_all_of_them():
    alerts = (alert(AlertKind.OPENED, "one"), alert(AlertKind.OPENED, "two"))
    found = band(alerts)
    assert found
    assert set(found.subjects) == {a.condition.subject for a in alerts}


def test_what_came_due_while_the_screen_was_off_says_so():
    found = band((alert(AlertKind.LAPSED, "roof, wipe is too late", missed=True),))
    assert found
    assert found.text == "Came due while the screen was off: roof, wipe is too late"


def test_the_same_sentence_is_shown_once():
    found = band((alert(AlertKind.OPENED, "same"), alert(AlertKind.OPENED, "same", 1)))
    assert found
    assert (found.text, found.others) == ("same", "")


@pytest.mark.parametrize(("state", "may"), [(AlertState.RAISED, True), (AlertState.CLEARED, False)])
def test_what_has_gone_by_itself_cannot_be_put_off(state: AlertState, may: bool):
    found = band((alert(AlertKind.OPENED, "x", state=state),))
    assert found
    assert found.may_snooze is may


def test_the_earlier_of_two_equal_kinds_comes_first():
    found = band((alert(AlertKind.CLOSING, "later", 2), alert(AlertKind.CLOSING, "earlier", 1)))
    assert found
    assert found.text == "earlier"


def test_where_sensors_differ_the_strip_says_so_with_what_both_say(hand: HandBay):
    tolerances = {"air_c": 1.5, "rh_percent": 6.0}
    door = SensorValues("door", "door sensor", {"air_c": 21.0, "rh_percent": 40.0}, tolerances)
    hall = SensorValues("hall", "hall sensor", {"air_c": 14.0, "rh_percent": 60.0}, tolerances)
    assert hand.bay.request(ReadAir(21.0, 40.0)).accepted
    hand.bay.sensors.take((), (Contradiction(door, hall, "air_c", hand.bay.now()),))
    assert (seen(hand).strip.air, seen(hand).strip.air_detail) == ("14.0 °C or 21.0 °C", "09:00, sensors differ")
    hand.bay.sensors.take((), (Contradiction(door, hall, "rh_percent", hand.bay.now()),))
    assert seen(hand).strip.air == "40 % or 60 %"
