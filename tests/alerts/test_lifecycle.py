"""The life of an alert, rule by rule."""

from dataclasses import replace

import pytest

from bayapp.alerts.calls import call_due, note_call
from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.lifecycle import AlertBook, AlertState, acknowledge, refresh, snooze
from tests.alerts.moments import at, condition, opened

BOOT = opened("bootlid")


def states(book: AlertBook) -> list[AlertState]:
    return [alert.state for alert in book.alerts]


def test_a_new_condition_raises_an_alert() -> None:
    book = refresh(AlertBook(), [BOOT], at(0))
    assert states(book) == [AlertState.RAISED]
    assert book.alerts[0].raised_at == at(0)


def test_acknowledging_is_kept_while_the_condition_holds() -> None:
    book = acknowledge(refresh(AlertBook(), [BOOT], at(0)), {BOOT.subject}, at(5))
    book = refresh(book, [BOOT], at(60))
    assert states(book) == [AlertState.ACKNOWLEDGED]
    assert book.alerts[0].acknowledged_at == at(5)


def test_an_acknowledged_alert_leaves_the_book_when_its_condition_goes() -> None:
    book = acknowledge(refresh(AlertBook(), [BOOT], at(0)), {BOOT.subject}, at(5))
    assert refresh(book, [], at(60)).alerts == ()


def test_an_alert_cleared_before_anyone_saw_it_stays_until_acknowledged() -> None:
    book = refresh(refresh(AlertBook(), [BOOT], at(0)), [], at(60))
    assert states(book) == [AlertState.CLEARED]
    assert call_due(book, at(600)) is None
    assert acknowledge(book, {BOOT.subject}, at(600)).alerts == ()


def test_a_condition_that_comes_and_goes_is_not_called_each_time() -> None:
    book = refresh(AlertBook(), [BOOT], at(0))
    first = call_due(book, at(0))
    assert first is not None
    book = refresh(note_call(book, first), [], at(5))
    book = refresh(book, [replace(BOOT, since=at(10))], at(10))
    assert call_due(book, at(10)) is None
    assert call_due(book, at(60)) is not None


@pytest.mark.parametrize("later", [AlertKind.CLOSING, AlertKind.LAPSED])
def test_a_later_stage_supersedes_and_must_be_acknowledged_anew(later: AlertKind) -> None:
    book = acknowledge(refresh(AlertBook(), [BOOT], at(0)), {BOOT.subject}, at(5))
    book = refresh(book, [BOOT, condition(later, "bootlid", since=300)], at(300))
    assert [alert.condition.kind for alert in book.alerts] == [later]
    assert states(book) == [AlertState.RAISED]


def test_going_back_a_stage_keeps_the_acknowledgement() -> None:
    closing = condition(AlertKind.CLOSING, "bootlid", since=300, lapses=400)
    book = acknowledge(refresh(AlertBook(), [closing], at(300)), {closing.subject}, at(310))
    book = refresh(book, [opened("bootlid", since=0, lapses=900)], at(320))
    assert states(book) == [AlertState.ACKNOWLEDGED]


def test_a_condition_that_came_true_again_raises_again() -> None:
    book = acknowledge(refresh(AlertBook(), [BOOT], at(0)), {BOOT.subject}, at(5))
    book = refresh(book, [opened("bootlid", since=100)], at(100))
    assert states(book) == [AlertState.RAISED]


def test_other_kinds_of_one_subject_live_beside_the_wait() -> None:
    book = refresh(AlertBook(), [BOOT, condition(AlertKind.ATTENTION, "bootlid")], at(0))
    assert len(book.alerts) == 2


@pytest.mark.parametrize(("since", "missed"), [(99, False), (100, False), (101, True), (200, True)])
def test_what_came_due_while_the_screen_was_off_is_marked_missed(since: float, missed: bool) -> None:
    book = refresh(AlertBook(), [opened("bootlid", since=since)], at(200), off_since=at(100))
    assert book.alerts[0].missed is missed
    call = call_due(book, at(200))
    assert call is not None
    assert call.missed is missed


def test_an_alert_shown_before_the_screen_went_off_is_not_missed() -> None:
    book = refresh(AlertBook(), [BOOT], at(0))
    assert not refresh(book, [BOOT], at(200), off_since=at(100)).alerts[0].missed


@pytest.mark.parametrize(
    ("minutes", "lapses", "back"),
    [(5, None, 300), (10, None, 600), (11, None, 600), (1e9, None, 600), (10, 400, 370), (5, 331, 300)],
)
def test_a_snooze_is_bounded_by_ten_minutes_and_the_lapse(minutes: float, lapses: float | None, back: float) -> None:
    book = refresh(AlertBook(), [opened("bootlid", lapses=lapses)], at(0))
    book = snooze(book, {BOOT.subject}, at(0), minutes)
    assert book.alerts[0].snoozed_until == at(back)
    assert call_due(book, at(back - 2)) is None
    assert call_due(book, at(back)) is not None


def test_half_a_minute_before_the_lapse_there_is_no_snooze() -> None:
    book = refresh(AlertBook(), [opened("bootlid", lapses=30)], at(0))
    assert states(snooze(book, {BOOT.subject}, at(0), 1)) == [AlertState.RAISED]


def test_a_lapse_that_moves_forward_pulls_the_snooze_with_it() -> None:
    book = snooze(refresh(AlertBook(), [opened("bootlid", lapses=900)], at(0)), {BOOT.subject}, at(0), 10)
    book = refresh(book, [opened("bootlid", lapses=200)], at(60))
    assert book.alerts[0].snoozed_until == at(170)


def test_a_snoozed_wait_wakes_when_it_starts_closing() -> None:
    book = snooze(refresh(AlertBook(), [BOOT], at(0)), {BOOT.subject}, at(0), 10)
    book = refresh(book, [condition(AlertKind.CLOSING, "bootlid", since=100, lapses=200)], at(100))
    assert call_due(book, at(100)) is not None


@pytest.mark.parametrize("minutes", [0, -1, float("nan")])
def test_a_snooze_of_no_length_is_refused(minutes: float) -> None:
    with pytest.raises(ValueError, match="more than 0 minutes"):
        snooze(AlertBook(), {BOOT.subject}, at(0), minutes)


def test_a_clock_set_back_an_hour_does_not_silence_the_alert_for_an_hour() -> None:
    book = refresh(AlertBook(), [opened("bootlid", since=-7200)], at(0))
    call = call_due(book, at(0))
    assert call is not None
    book = refresh(note_call(book, call), [opened("bootlid", since=-7200)], at(-3600))
    assert call_due(book, at(-3600 + 60)) is not None
