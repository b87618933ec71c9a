"""What the bay keeps of its sensors: what is wrong with them, and who is not listened to."""

from datetime import timedelta

from bayapp.alerts.condition import Condition
from bayapp.alerts.kinds import AlertKind
from tests.pages.bays import ASH, OPENING, HandBay

SILENT = Condition(AlertKind.ATTENTION, "sensor/door/silent", "sensors", "The door sensor says nothing", OPENING)


def labels(hand: HandBay) -> list[str]:
    return [alert.condition.label for alert in hand.bay.alerts.unanswered()]


def test_only_what_is_new_counts_as_news(hand: HandBay):
    assert hand.bay.sensors.take((SILENT,), ())
    assert not hand.bay.sensors.take((SILENT,), ())
    assert hand.bay.sensors.take((), ())


def test_what_is_wrong_with_a_sensor_calls_for_a_person_until_it_is_right_again(hand: HandBay):
    hand.bay.sensors.take((SILENT,), ())
    hand.update_alerts()
    assert SILENT.label in labels(hand)
    hand.bay.alerts.acknowledge([SILENT.subject])
    hand.bay.sensors.take((), ())
    hand.wait(1)
    hand.update_alerts()
    assert SILENT.subject not in {alert.condition.subject for alert in hand.bay.alerts.book.alerts}


def test_a_sensor_that_is_not_to_be_used_stays_so_over_a_restart_and_until_its_time(hand: HandBay):
    until = OPENING + timedelta(hours=8)
    assert hand.bay.sensors.trust("door", until, ASH).accepted
    bay = hand.restart()
    assert bay.sensors.unused(until - timedelta(milliseconds=1)) == {"door"}
    assert not bay.sensors.unused(until)
