"""Joining, repeating and growing of calls, rule by rule."""

from datetime import timedelta
from itertools import pairwise

import pytest

from bayapp.alerts.calls import Call, call_again, call_due, next_call_at, note_call
from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.lifecycle import AlertBook, AlertState, acknowledge, refresh, snooze
from bayapp.alerts.repeats import AT_FULL_LEVEL, GOOD_NEWS_CALLS, LAST_CHANCE, REMINDER
from tests.alerts.moments import at, condition, opened

GOOD_NEWS = (AlertKind.CURED, AlertKind.HANDOVER)
INSISTING = [kind for kind in AlertKind if kind not in GOOD_NEWS]
NIGHT = 9 * 3600


def due(book: AlertBook, seconds: float) -> Call:
    call = call_due(book, at(seconds))
    assert call is not None
    return call


def calls_of(book: AlertBook, count: int) -> list[Call]:
    """Sound the book's next calls, each at its exact moment."""
    calls: list[Call] = []
    now = at(0)
    for _ in range(count):
        moment = next_call_at(book, now)
        assert moment is not None
        call = call_due(book, moment)
        assert call is not None
        calls.append(call)
        book, now = note_call(book, call), moment
    return calls


def calls_until(book: AlertBook, start: float, end: float, speed: float = 1.0) -> tuple[list[Call], AlertBook]:
    """Sound every call from ``start`` to ``end``, each at its exact moment; nobody answers."""
    calls: list[Call] = []
    now = at(start)
    while (moment := next_call_at(book, now, speed)) is not None and moment <= at(end):
        call = call_due(book, moment, speed)
        assert call is not None
        calls.append(call)
        book, now = note_call(book, call, speed), moment
    return calls, book


def test_zones_of_one_block_that_open_together_are_one_call_with_every_label() -> None:
    wheels = [opened(f"wheel-{n}", group="job/wheels") for n in range(4)]
    book = refresh(AlertBook(), wheels, at(0))
    call = due(book, 0)
    assert len(call.labels) == 4
    assert call_due(note_call(book, call), at(1.5)) is None


def test_a_joined_call_uses_the_most_urgent_tone() -> None:
    kinds = [AlertKind.OPENED, AlertKind.LAPSED, AlertKind.CLOSING, AlertKind.CURED]
    book = refresh(AlertBook(), [condition(kind, kind.value) for kind in kinds], at(0))
    call = due(book, 0)
    assert call.kind is AlertKind.CLOSING
    assert call.labels[0] == "closing, layer two, closing"
    assert len(call.labels) == 4


def test_a_zone_of_a_set_that_opens_later_brings_the_whole_set_into_one_rhythm() -> None:
    first = opened("wheel-1", group="job/wheels")
    book = refresh(AlertBook(), [first], at(0))
    book = note_call(book, due(book, 0))
    book = refresh(book, [first, opened("wheel-2", since=20, group="job/wheels")], at(20))
    call = due(book, 20)
    assert len(call.subjects) == 2
    assert next_call_at(note_call(book, call), at(20)) == at(80)


def test_a_set_that_opens_zone_by_zone_does_not_grow_louder_for_it() -> None:
    zones = [opened(f"wheel-{n}", since=10 * n, group="job/wheels") for n in range(5)]
    book = AlertBook()
    for n in range(5):
        book = refresh(book, zones[: n + 1], at(10 * n))
        call = due(book, 10 * n)
        book = note_call(book, call)
    assert call.level == AlertKind.OPENED.row.repeat.level


def test_a_call_in_progress_is_left_to_end_by_the_equally_urgent() -> None:
    book = refresh(AlertBook(), [opened("roof")], at(0))
    book = note_call(book, due(book, 0))
    book = refresh(book, [opened("roof"), opened("bonnet", since=1)], at(1))
    assert call_due(book, at(1)) is None
    assert next_call_at(book, at(1)) == at(1.5)


def test_a_call_in_progress_gives_way_to_the_more_urgent() -> None:
    book = refresh(AlertBook(), [opened("roof")], at(0))
    book = note_call(book, due(book, 0))
    book = refresh(book, [opened("roof"), condition(AlertKind.CLOSING, "bonnet", since=1)], at(1))
    assert due(book, 1).kind is AlertKind.CLOSING


@pytest.mark.parametrize("kind", INSISTING)
def test_an_unacknowledged_alert_repeats_faster_and_louder_down_to_a_floor(kind: AlertKind) -> None:
    calls = calls_of(refresh(AlertBook(), [condition(kind, "roof")], at(0)), 12)
    gaps = [b.at - a.at for a, b in pairwise(calls)]
    levels = [call.level for call in calls]
    assert gaps == sorted(gaps, reverse=True)
    assert gaps[0] == kind.row.repeat.first
    assert gaps[-1] == kind.row.repeat.floor
    assert levels == sorted(levels)
    assert levels[-1] == 1.0
    assert levels[0] < levels[1]


@pytest.mark.parametrize("kind", list(AlertKind))
def test_no_call_repeats_within_ten_seconds(kind: AlertKind) -> None:
    assert kind.row.repeat.floor >= timedelta(seconds=10)


@pytest.mark.parametrize("kind", GOOD_NEWS)
def test_good_news_is_sounded_a_few_times_and_then_stays_raised_in_silence(kind: AlertKind) -> None:
    calls, book = calls_until(refresh(AlertBook(), [condition(kind, "roof")], at(0)), 0, NIGHT)
    assert [call.at for call in calls] == [at(0), at(300), at(600)]
    assert len(calls) == GOOD_NEWS_CALLS
    assert [alert.state for alert in book.alerts] == [AlertState.RAISED]


@pytest.mark.parametrize("kind", INSISTING)
def test_what_nobody_answers_for_half_an_hour_at_full_level_slows_to_four_calls_an_hour(kind: AlertKind) -> None:
    calls, _ = calls_until(refresh(AlertBook(), [condition(kind, "roof")], at(0)), 0, NIGHT)
    loud = [call for call in calls if call.level == 1.0]
    gaps = [b.at - a.at for a, b in pairwise(loud)]
    turn = gaps.index(REMINDER)
    assert loud[turn].at - loud[0].at == AT_FULL_LEVEL
    assert set(gaps[turn:]) == {REMINDER}
    assert len([call for call in calls if call.at > at(3 * 3600)]) == 6 * 4
    assert len(calls) < 220


@pytest.mark.parametrize("speed", [1, 10])
def test_one_that_closes_for_hours_slows_down_and_insists_again_before_its_lapse(speed: float) -> None:
    closing = condition(AlertKind.CLOSING, "roof", lapses=6 * 3600 * speed)
    calls, _ = calls_until(refresh(AlertBook(), [closing], at(0)), 0, 6 * 3600 * speed, speed)
    last_chance = at(6 * 3600 * speed) - LAST_CHANCE
    slow = [c.at for c in calls if at(3600 * speed) < c.at < last_chance]
    insisting = [c.at for c in calls if c.at >= last_chance]
    assert {b - a for a, b in pairwise(slow)} == {REMINDER * speed}
    assert insisting[0] == last_chance
    assert {b - a for a, b in pairwise(insisting)} == {AlertKind.CLOSING.row.repeat.floor * speed}


def test_reminders_of_many_alerts_come_together() -> None:
    lapsed = [condition(AlertKind.LAPSED, f"zone-{n}", since=-n) for n in range(10)]
    book = AlertBook()
    for n in range(10):
        book = refresh(book, lapsed[: n + 1], at(400 * n))
        _, book = calls_until(book, 400 * n, 400 * n + 399)
    calls, _ = calls_until(book, 4000, NIGHT)
    night = [call for call in calls if call.at > at(4 * 3600)]
    assert len(night) == 5 * 4
    assert all(len(call.subjects) == 10 for call in night)


def test_a_new_alert_takes_along_what_has_fallen_silent_in_its_own_tone() -> None:
    handover = condition(AlertKind.HANDOVER, "car")
    _, book = calls_until(refresh(AlertBook(), [handover], at(0)), 0, NIGHT)
    book = refresh(book, [handover, opened("roof", since=NIGHT)], at(NIGHT))
    call = due(book, NIGHT)
    assert call.subjects == {handover.subject, opened("roof").subject}
    assert (call.kind, call.level) == (AlertKind.OPENED, AlertKind.OPENED.row.repeat.level)
    book = note_call(book, call)
    assert due(book, NIGHT + 60).subjects == {opened("roof").subject}


def test_a_touch_on_the_wall_brings_back_what_has_slowed_down_or_fallen_silent() -> None:
    handover, lapsed = condition(AlertKind.HANDOVER, "car"), condition(AlertKind.LAPSED, "roof")
    _, book = calls_until(refresh(AlertBook(), [handover, lapsed], at(0)), 0, NIGHT)
    calls, _ = calls_until(call_again(book, at(NIGHT)), NIGHT, NIGHT + 301)
    first = {subject: call.at for call in reversed(calls) for subject in call.subjects}
    assert first == {lapsed.subject: at(NIGHT + 30 * 0.75**2), handover.subject: at(NIGHT + 300)}
    assert len(calls) == 20


def test_a_touch_on_the_wall_leaves_what_still_calls_as_it_is() -> None:
    book = refresh(AlertBook(), [opened("roof")], at(0))
    book = note_call(book, due(book, 0))
    assert call_again(book, at(30)) == book


@pytest.mark.parametrize(("kind", "following"), [(AlertKind.LAPSED, 15), (AlertKind.HANDOVER, None)])
def test_what_comes_back_from_a_snooze_is_called_at_full_pace(kind: AlertKind, following: float | None) -> None:
    found = condition(kind, "roof")
    _, book = calls_until(refresh(AlertBook(), [found], at(0)), 0, NIGHT)
    book = snooze(book, {found.subject}, at(NIGHT), 5)
    call = due(book, NIGHT + 300)
    assert next_call_at(note_call(book, call), call.at) == (following and at(NIGHT + 300 + following))


def test_acknowledging_silences() -> None:
    roof = opened("roof")
    book = refresh(AlertBook(), [roof], at(0))
    book = acknowledge(note_call(book, due(book, 0)), {roof.subject}, at(3))
    assert next_call_at(book, at(3)) is None


def test_one_touch_on_a_call_acknowledges_all_it_spoke_for() -> None:
    book = refresh(AlertBook(), [opened("roof"), opened("bonnet")], at(0))
    call = due(book, 0)
    assert next_call_at(acknowledge(note_call(book, call), call.subjects, at(3)), at(3)) is None


def test_a_set_does_not_drag_its_snoozed_zone_into_the_call() -> None:
    first, second = opened("wheel-1", group="job/wheels"), opened("wheel-2", since=20, group="job/wheels")
    book = snooze(refresh(AlertBook(), [first], at(0)), {first.subject}, at(0), 5)
    book = refresh(book, [first, second], at(20))
    assert due(book, 20).subjects == {second.subject}


def test_an_empty_book_has_no_next_call() -> None:
    assert next_call_at(AlertBook(), at(0)) is None
    assert call_due(AlertBook(), at(0)) is None


@pytest.mark.parametrize("speed", [0.5, 10, 60, 3600])
@pytest.mark.parametrize("kind", list(AlertKind))
def test_repeats_keep_their_real_seconds_at_any_speed(kind: AlertKind, speed: float) -> None:
    book = refresh(AlertBook(), [condition(kind, "roof")], at(0))
    fast, _ = calls_until(book, 0, 3600 * speed, speed)
    real, _ = calls_until(book, 0, 3600)
    assert [(c.at - at(0)).total_seconds() / speed for c in fast] == pytest.approx(
        [(c.at - at(0)).total_seconds() for c in real], abs=0.001
    )
    assert [c.level for c in fast] == [c.level for c in real]


def test_alerts_that_fall_within_one_and_a_half_real_seconds_are_joined_at_speed() -> None:
    book = refresh(AlertBook(), [opened("roof")], at(0))
    book = note_call(book, due(book, 0), 60)
    book = refresh(book, [opened("roof"), opened("bonnet", since=30)], at(30))
    assert call_due(book, at(30), 60) is None
    assert next_call_at(book, at(30), 60) == at(90)


def test_a_snooze_is_time_of_the_bay_at_any_speed() -> None:
    roof = opened("roof", lapses=1200)
    book = refresh(AlertBook(), [roof], at(0))
    book = snooze(note_call(book, due(book, 0), 2), {roof.subject}, at(0), 5)
    assert next_call_at(book, at(0), 2) == at(300)
