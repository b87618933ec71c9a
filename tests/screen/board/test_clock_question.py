"""The page of the clock, by touch: how long the machine was off, and what time it is."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from bayapp.job.state.events import TimePutRight
from bayapp.pages.wanted import Page
from bayapp.screen.input.typed_entry import TypingPage
from tests.pages.bays import OPENING, HandBay, hand_bay
from tests.screen.walls import Walled, walled

MINUTE = timedelta(minutes=1)


@pytest.fixture
def hand(tmp_path: Path) -> Iterator[HandBay]:
    """A bay whose machine was off for half an hour, opened at 9:00; it has been on for a minute."""
    with hand_bay(tmp_path) as found:
        found.restart(30 * MINUTE, "boot-2", MINUTE)
        yield found


@pytest.fixture
def board(hand: HandBay) -> Iterator[Walled]:
    with walled(hand) as found:
        found.wall.pages.want(Page.CLOCK)
        yield found


def type_in(board: Walled, text: str) -> None:
    page = board.wall.findChild(TypingPage)
    assert isinstance(page, TypingPage)
    assert page.isVisible()
    for key in text:
        board.press(next(b for b in page.keys if b.isVisible() and b.property("key") == key))
    board.press(page.record_button)


def answer(board: Walled) -> TimePutRight:
    event = board.hand.journal.read()[-1]
    assert isinstance(event, TimePutRight)
    return event


def test_the_question_says_the_facts_and_has_three_answers(board: Walled):
    assert board.sentences() == (
        "By this machine's clock it was off for 31 min, from 09:00 on. Is that so? It is 09:31."
    )
    assert board.choices() == ["Yes, it is 09:31", "No, it is …", "I don't know"]


def test_after_a_night_the_question_says_on_which_day_the_machine_went_off(tmp_path: Path):
    with hand_bay(tmp_path) as hand:
        hand.restart(15 * 60 * MINUTE, "boot-2", MINUTE)
        with walled(hand) as board:
            board.wall.pages.want(Page.CLOCK)
            assert board.sentences() == (
                "By this machine's clock it was off for 15 h 01, from Mon 2 Mar, 09:00 on. "
                "Is that so? It is Tue 3 Mar, 00:01."
            )


def test_one_touch_says_that_it_was_so_and_work_goes_on(board: Walled):
    board.choose("Yes")
    assert board.wall.car.isVisible()
    assert board.hand.bay.now() == OPENING + 31 * MINUTE
    assert not board.wall.strip.clock.isVisible()
    before = board.events()
    board.press(board.wall.next_bar.main)
    assert board.events() > before


def test_nobody_has_to_answer_at_once_and_the_strip_leads_back_to_the_question(board: Walled):
    board.press(board.wall.pages.choices.close_button)
    assert board.wall.car.isVisible()
    before = board.events()
    board.press(board.wall.strip.clock)
    assert board.choices()[0] == "Yes, it is 09:31"
    assert board.events() == before


def test_before_the_answer_the_big_button_is_shut_says_why_and_leads_to_the_question(board: Walled):
    board.press(board.wall.pages.choices.close_button)
    main = board.wall.next_bar.main
    assert main.title == "First: is the clock right?"
    offer = board.wall.next_bar.offer_of(main)
    assert offer
    assert offer.action is None
    assert "nobody has said yet for how long" in main.detail
    assert not board.wall.next_bar.instead.isVisible()
    before = board.events()
    board.press(main)
    assert board.choices()[0] == "Yes, it is 09:31"
    assert board.events() == before, "a step was recorded under a clock that nobody trusts"
    board.choose("Yes")
    assert main.title != "First: is the clock right?"


def test_before_the_answer_a_ladder_has_no_button_that_would_be_refused_but_the_one_that_says_why(board: Walled):
    board.press(board.wall.pages.choices.close_button)
    board.touch("bonnet")
    bar = board.wall.ladder_bar
    assert bar.main.title.startswith("Not yet")
    assert "nobody has said yet for how long" in bar.main.detail
    small = (bar.undo, bar.note, bar.correct, bar.aside)
    assert not any(button.isVisible() for button in small)
    board.hand.settle_the_time()
    board.wall.refresher.refresh()
    assert bar.note.isVisible()
    assert not bar.main.title.startswith("Not yet")


def test_the_times_of_the_question_stay_right_while_it_is_looked_at(board: Walled):
    board.wait(120)
    assert board.choices()[0] == "Yes, it is 09:33"


def test_a_clock_that_was_set_since_the_button_was_painted_is_not_believed(board: Walled):
    board.hand.readings.step_wall(timedelta(days=1))  # and nobody has painted it
    before = board.events()
    board.choose("Yes")
    assert board.events() == before
    assert board.choices()[0] == "Yes, it is Tue 3 Mar, 09:31"


def test_another_time_is_typed_and_what_it_comes_to_is_said_before_it_counts(board: Walled):
    board.choose("No")
    type_in(board, "1005")
    assert board.choices() == ["It is 10:05", "Another day …"]
    assert board.details() == ["it was off for 1 h 04, from 09:00 on", "type the day"]
    board.choose("It is 10:05")
    assert board.hand.bay.now() == OPENING.replace(hour=10, minute=5, second=0, microsecond=0)
    assert answer(board).answer == "time"


def test_a_time_past_midnight_is_of_the_next_day(board: Walled):
    board.choose("No")
    type_in(board, "020")
    assert board.sentences() == "It is 00:20, Tuesday, 3 March 2026"


def test_another_day_can_be_typed(board: Walled):
    board.choose("No")
    type_in(board, "1005")
    board.choose("Another day")
    type_in(board, "20260304")
    assert board.details()[0] == "it was off for 2 days 1 h, from 09:00 on"


def test_a_time_before_the_board_last_ran_is_refused_in_words(board: Walled):
    board.choose("No")
    type_in(board, "1005")
    board.choose("Another day")
    type_in(board, "20260301")
    before = board.events()
    board.choose("It is 10:05")
    assert board.events() == before
    assert "still ran at" in board.sentences()


def test_who_does_not_know_is_told_that_the_time_is_not_certain(board: Walled):
    board.choose("I don't know")
    assert board.hand.bay.now() == OPENING + MINUTE
    assert board.wall.strip.clock.title == "time not certain"
    board.press(board.wall.strip.clock)
    assert "nobody knows for how long: minutes, or days" in board.sentences()


def test_a_hasty_answer_is_put_right_from_the_clock_s_page(board: Walled):
    board.choose("Yes")
    board.wall.pages.want(Page.CLOCK)
    assert board.choices() == ["It is another time …"]
    board.choose("It is another time")
    type_in(board, "0911")
    assert board.choices() == ["It was off for 10 min", "Wrong all along", "I don't know why", "Another day …"]
    board.choose("It was off for")
    assert board.hand.bay.state.machine.outages[-1].until < OPENING + 12 * MINUTE
    assert board.hand.bay.now().minute == 11


def test_a_clock_that_was_dead_is_not_asked_whether_it_is_right(tmp_path: Path):
    with hand_bay(tmp_path) as hand:
        hand.readings.step_wall(timedelta(days=-20_000))
        hand.restart(30 * MINUTE, "boot-2", MINUTE)
        with walled(hand) as board:
            board.wall.pages.want(Page.CLOCK)
            assert board.choices() == ["It is …", "I don't know"]
            assert "That cannot be: the board still ran at 09:00" in board.sentences()


def test_a_time_service_heard_while_the_page_stands_answers_by_itself(tmp_path: Path):
    with hand_bay(tmp_path) as hand:
        hand.readings.time_service = True
        hand.bay.clock_watch.watch()
        hand.readings.time_service = False
        hand.restart(30 * MINUTE, "boot-2", MINUTE)
        with walled(hand) as board:
            board.wall.pages.want(Page.CLOCK)
            assert board.choices()[0].startswith("Yes")
            hand.readings.time_service = True
            board.wall.time_zone_watch.watch()
            board.wall.refresher.refresh()
            assert board.choices() == ["It is another time …"]
            assert "a time service measured that" in board.sentences()
