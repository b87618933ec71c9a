"""What holds of alerts for every course of a day: found by random days, driven by exact timers."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from bayapp.alerts.calls import JOIN, Call, call_due, next_call_at, note_call
from bayapp.alerts.condition import Condition, track
from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.lifecycle import LONGEST_SNOOZE, Alert, AlertBook, AlertState, acknowledge, refresh, snooze
from bayapp.alerts.repeats import GOOD_NEWS_CALLS, REMINDER
from tests.alerts.moments import at

ZONES = ["roof", "bonnet", "door", "wheel-1", "wheel-2"]


@st.composite
def conditions(draw: st.DrawFn, latest: int = 0) -> list[Condition]:
    """Some conditions true at ``latest`` seconds, with up to a half-hour until each lapse."""
    return [
        Condition(
            kind=draw(st.sampled_from(AlertKind)),
            subject=zone,
            group=zone.split("-")[0],
            label=f"{zone} {draw(st.integers(0, 1))}",
            since=at(draw(st.integers(latest - 5, latest))),
            lapses_at=draw(st.none() | st.integers(latest, latest + 1800).map(at)),
        )
        for zone in draw(st.lists(st.sampled_from(ZONES), max_size=6))
    ]


@dataclass
class Day:
    """Drives a book as the program does: an exact timer for the next call, taps and changes between."""

    book: AlertBook = field(default_factory=AlertBook)
    now: datetime = field(default_factory=lambda: at(0))
    calls: list[Call] = field(default_factory=list)

    def sound_until(self, end: datetime) -> None:
        while (moment := next_call_at(self.book, self.now)) is not None and moment <= end:
            assert moment == self.now or call_due(self.book, moment - timedelta(milliseconds=1)) is None
            call = call_due(self.book, moment)
            assert call is not None, "the timer woke for nothing"
            assert call.kind is max((c.kind for c in call.conditions), key=lambda kind: kind.row.priority)
            self.now = moment
            self.calls.append(call)
            self.book = note_call(self.book, call)
            assert all(self.silence(alert) <= timedelta(0) for alert in self.book.alerts)
        self.now = end

    def silence(self, alert: Alert) -> timedelta:
        """Return by how much an alert has been silent for longer than it may."""
        if alert.state is not AlertState.RAISED:
            return timedelta(0)
        if alert.called_at is None:
            return self.now - alert.raised_at - JOIN
        interval = alert.condition.kind.row.repeat.interval(alert.calls)
        if interval is None:
            assert alert.condition.kind in (AlertKind.CURED, AlertKind.HANDOVER)
            assert alert.calls >= GOOD_NEWS_CALLS
            return timedelta(0)
        joined_by = alert.raised_at + JOIN  # one that came back, by its rhythm long due, waits for the call before it
        return self.now - max(alert.called_at + interval, joined_by)


# A busy machine is no failure: no example has a deadline.
any_time_long = settings(max_examples=150, deadline=None)

acts = st.sampled_from(["change", "acknowledge", "snooze", "wait"])


@any_time_long
@given(st.data())
def test_no_course_of_a_day_loses_or_silences_an_alert(data: st.DataObject) -> None:
    day = Day()
    for _ in range(data.draw(st.integers(1, 8))):
        match data.draw(acts):
            case "change":
                true_now = data.draw(conditions(int((day.now - at(0)).total_seconds())))
                before = {track(a.condition): a for a in day.book.alerts}
                day.book = refresh(day.book, true_now, day.now)
                after = {track(a.condition): a for a in day.book.alerts}
                assert {track(c) for c in true_now} <= after.keys()
                assert {k for k, a in before.items() if a.state is not AlertState.ACKNOWLEDGED} <= after.keys()
            case "acknowledge":
                subjects = data.draw(st.sets(st.sampled_from(ZONES)))
                day.book = acknowledge(day.book, subjects, day.now)
                mine = [a for a in day.book.alerts if a.condition.subject in subjects]
                assert all(a.state is AlertState.ACKNOWLEDGED for a in mine)
            case "snooze":
                day.book = snooze(day.book, ZONES, day.now, data.draw(st.floats(0.01, 1000)))
        day.sound_until(day.now + timedelta(seconds=data.draw(st.integers(0, 400))))
        assert all(day.silence(alert) <= timedelta(0) for alert in day.book.alerts)


def test_one_that_comes_back_right_after_another_call_is_called_as_soon_as_that_one_has_ended() -> None:
    roof = Condition(AlertKind.OPENED, "roof", "roof", "roof", at(0), None)
    bonnet = Condition(AlertKind.OPENED, "bonnet", "bonnet", "bonnet", at(138), None)
    day = Day()
    for now, true_now in ((0, [roof]), (138, [bonnet]), (139, [roof, bonnet])):
        day.sound_until(at(now))
        day.book = refresh(day.book, true_now, day.now)
    day.sound_until(at(140))
    heard = [(call.at, {condition.subject for condition in call.conditions}) for call in day.calls[-2:]]
    assert heard == [(at(138), {"bonnet"}), (at(138) + JOIN, {"roof"})]


@any_time_long
@given(conditions(), st.floats(min_value=0.001, max_value=1e6))
def test_no_snooze_runs_past_the_lapse_or_ten_minutes(true_now: list[Condition], minutes: float) -> None:
    book = snooze(refresh(AlertBook(), true_now, at(0)), ZONES, at(0), minutes)
    for alert in book.alerts:
        if alert.snoozed_until is not None:
            assert at(0) < alert.snoozed_until <= at(0) + LONGEST_SNOOZE
            lapses_at = alert.condition.lapses_at
            assert lapses_at is None or alert.condition.kind is AlertKind.LAPSED or alert.snoozed_until < lapses_at


@any_time_long
@given(conditions(), st.sets(st.sampled_from(ZONES)))
def test_the_acknowledged_are_never_called(true_now: list[Condition], subjects: set[str]) -> None:
    day = Day(acknowledge(refresh(AlertBook(), true_now, at(0)), subjects, at(0)))
    day.sound_until(at(3600))
    called = {condition.subject for call in day.calls for condition in call.conditions}
    assert called == {condition.subject for condition in true_now} - subjects


@any_time_long
@given(conditions())
def test_a_join_keeps_every_label(true_now: list[Condition]) -> None:
    call = call_due(refresh(AlertBook(), true_now, at(0)), at(0))
    if call is None:
        assert true_now == []
    else:
        furthest = {key: max(c.kind.row.stage for c in true_now if track(c) == key) for key in map(track, true_now)}
        spoken = {track(c): c.kind.row.stage for c in call.conditions}
        assert spoken == furthest
        assert set(call.labels) == {c.label for c in call.conditions}


@any_time_long
@given(conditions().flatmap(lambda found: st.tuples(st.just(found), st.permutations(found))))
def test_the_order_of_conditions_does_not_matter(both: tuple[list[Condition], list[Condition]]) -> None:
    once, again = (refresh(AlertBook(), conditions, at(0)) for conditions in both)
    assert once == again
    assert call_due(once, at(0)) == call_due(again, at(0))


@any_time_long
@given(conditions(), st.sets(st.sampled_from(ZONES)))
def test_an_empty_shop_hears_at_most_four_calls_an_hour(true_now: list[Condition], answered: set[str]) -> None:
    """Closing becomes a lapse within half an hour here, so that a night has none."""
    lasting = [c for c in true_now if c.kind is not AlertKind.CLOSING]
    day = Day(acknowledge(refresh(AlertBook(), lasting, at(0)), answered, at(0)))
    day.sound_until(at(7200))
    evening = len(day.calls)
    day.sound_until(at(7200) + 8 * timedelta(hours=1))
    night = day.calls[evening:]
    insists = {c.subject for c in lasting if c.kind.row.repeat.most_calls is None} - answered
    assert len(night) == (8 * (timedelta(hours=1) // REMINDER) if insists else 0)
    assert insists <= {c.subject for call in night[:4] for c in call.conditions}
