"""A button asks for what it shows: time passes between the painting and the press, and nobody repaints meanwhile."""

from pathlib import Path
from zoneinfo import ZoneInfo

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from bayapp.clock import ClockJump
from bayapp.files.shop.key_settings import KeyAction, KeySettings
from bayapp.job import FinishStep, SetAside, Start, TakeUp, Undo
from bayapp.job.model.ids import Person, StepId, ZoneId
from bayapp.job.state.events import StepStarted, StepUndone, TimeCorrected
from bayapp.pages.board.phrases import aside_reasons
from bayapp.screen.board.correction import CorrectionPage
from bayapp.text.language import _
from tests.pages.bays import ASH, CAR, HandBay
from tests.screen.languages import speaking
from tests.screen.walls import Walled, walled

BONNET, RIM, SCREEN = (ZoneId("bonnet"),), (ZoneId("rim-rear-right"),), (ZoneId("windscreen"),)
GLASS = tuple(ZoneId(f"glass-right-{part}") for part in ("front", "rear", "quarter"))


def unseen(board: Walled, seconds: float) -> None:
    """Let the bay's time pass; what is painted stays as it is."""
    board.hand.wait(seconds)


def refused_in_words(board: Walled, before: int, words: str) -> None:
    """Check that nothing was recorded and that a page says why."""
    assert board.events() == before
    assert board.wall.pages.choices.isVisible(), "nobody is told that the touch did nothing"
    assert words in board.sentences()


def test_a_coat_whose_window_lapsed_before_the_press_begins_no_wipe(board: Walled):
    board.wall.pages.show_ladder(CAR, BONNET)
    button, before = board.wall.ladder_bar.main, board.events()
    assert button.title == "Begin: coat 1 of 2, up and down (Ash)"
    unseen(board, 21 * 60)
    board.press(button)
    refused_in_words(board, before, "is too late")
    board.press(board.wall.pages.choices.close_button)
    assert board.wall.ladder.isVisible()
    assert button.title == "Begin: solvent wipe (Ash)"
    board.press(button)
    (begun,) = board.hand.journal.read()[before:]
    assert isinstance(begun, StepStarted)
    assert begun.step == "wipe"


def test_a_refusal_that_the_repainted_button_gives_itself_opens_no_page(board: Walled):
    """Nobody knows what time it is: the same coat is refused, and its own button says why."""
    board.wall.pages.show_ladder(CAR, BONNET)
    button, before = board.wall.ladder_bar.main, board.events()
    asked = board.wall.ladder_bar.action
    board.hand.doubt_the_time()
    board.press(button)
    assert board.events() == before + 1, "only the jump itself"
    assert board.wall.ladder.isVisible()
    assert board.wall.ladder_bar.says_why_not(asked)  # type: ignore[arg-type]


def test_a_step_that_was_finished_meanwhile_is_not_finished_twice(board: Walled):
    board.wall.pages.show_ladder(CAR, RIM)
    board.press(board.wall.ladder_bar.main)
    assert board.wall.ladder_bar.main.title == "Done: excess off, first towel"
    assert board.hand.bay.request(FinishStep(CAR, RIM, StepId("level"), ASH)).accepted
    before = board.events()
    board.press(board.wall.ladder_bar.main)
    assert board.events() == before
    assert board.wall.pages.choices.isVisible()


def test_the_hold_asks_for_the_reason_of_the_step_that_it_showed(board: Walled):
    board.wall.pages.show_ladder(CAR, SCREEN)
    button, before = board.wall.ladder_bar.main, board.events()
    assert button.title == "Not yet: coat in circles"
    unseen(board, 3600)  # its window has opened and lapsed: a wipe would be next
    button.held.emit()  # the finger itself takes two seconds, in which the wall would repaint
    assert "coat in circles" in board.wall.pages.choices.subtitle
    board.press(board.wall.pages.choices.buttons[0])
    (begun,) = [e for e in board.hand.journal.read()[before:] if isinstance(e, StepStarted)]
    assert begun.step == "coat-3"
    assert begun.deviation


def test_undo_takes_back_what_it_showed_although_some_of_it_has_lapsed(board: Walled):
    bay, front = board.hand.bay, GLASS[:1]
    assert bay.request(Undo(CAR, front, ASH)).accepted
    assert bay.request(FinishStep(CAR, front, StepId("wipe"), ASH)).accepted
    board.wall.pages.show_ladder(CAR, GLASS)
    before = board.events()
    assert board.wall.ladder_bar.undo.isVisible()
    unseen(board, 7 * 60)  # the wipes of the other two have lapsed, and they are no longer in step with the front
    board.press(board.wall.ladder_bar.undo)
    undone = board.hand.journal.read()[before:]
    assert [e.zone for e in undone if isinstance(e, StepUndone)] == list(GLASS)


def test_taking_up_what_was_taken_up_meanwhile_is_refused_in_words(board: Walled):
    bay = board.hand.bay
    assert bay.request(SetAside(CAR, SCREEN, aside_reasons()[0], ASH)).accepted
    board.wall.pages.show_ladder(CAR, SCREEN)
    assert board.wall.ladder_bar.main.title == "Take up again"
    assert bay.request(TakeUp(CAR, SCREEN, ASH)).accepted
    before = board.events()
    board.press(board.wall.ladder_bar.main)
    refused_in_words(board, before, "not set aside")


def test_the_next_step_that_lapsed_before_the_press_is_refused_in_words_over_its_ladder(board: Walled):
    button, before = board.wall.next_bar.main, board.events()
    assert button.title == "Begin: excess off, first towel, rear right rim (Ash)"
    unseen(board, 45)
    board.press(button)
    refused_in_words(board, before, "is too late")
    board.press(board.wall.pages.choices.close_button)
    assert board.wall.ladder.isVisible()
    assert board.wall.selection.zones == RIM


def test_what_could_be_done_instead_is_refused_when_it_has_lapsed_unseen(board: Walled):
    button, before = board.wall.next_bar.instead, board.events()
    assert button.title == "Or begin: coat, right side glass (Ash)"
    unseen(board, 7 * 60)
    board.press(button)
    refused_in_words(board, before, "is too late")
    assert board.wall.selection.zones == GLASS


def test_the_foot_switch_presses_what_is_shown(board: Walled):
    before = board.events()
    unseen(board, 45)
    board.wall.press_main()
    refused_in_words(board, before, "is too late")


def test_recording_a_time_of_a_step_that_was_undone_meanwhile_records_nothing_and_says_so(board: Walled):
    board.wall.pages.show_ladder(CAR, BONNET)
    board.press(board.wall.ladder_bar.correct)
    (page,) = board.wall.findChildren(CorrectionPage)
    board.press(page.shifts["start", -1])
    assert board.hand.bay.request(Undo(CAR, BONNET, ASH)).accepted
    before = board.events()
    board.press(page.record_button)
    assert board.events() == before
    assert "changed meanwhile" in page.record_button.detail


def test_a_corrected_time_is_recorded_by_whom_the_page_showed(board: Walled):
    board.wall.pages.show_ladder(CAR, BONNET)
    board.press(board.wall.ladder_bar.correct)
    (page,) = board.wall.findChildren(CorrectionPage)
    board.press(page.shifts["start", -1])
    before = board.events()
    board.wall.selection.by = Person("Bo")  # nothing has been repainted
    board.press(page.record_button)
    (corrected,) = board.hand.journal.read()[before:]
    assert isinstance(corrected, TimeCorrected)
    assert corrected.by == ASH


# The clock and the alerts.


def time_zone_changed(board: Walled) -> None:
    """Let the machine move to New York, as the strip says from then on."""
    board.wall.selection.tz = ZoneInfo("America/New_York")
    board.hand.bay.clock_watch.time_zone_changed("UTC", "America/New_York")
    board.hand.bay.clock_watch.watch()
    board.wall.refresher.refresh()


def tells_the_time_zone(board: Walled) -> None:
    assert board.wall.strip.clock.title == _("time zone changed")
    board.hand.bay.clock_watch.jumped(ClockJump(60_000))  # nobody has painted it
    board.press(board.wall.strip.clock)
    sentence = _("This machine's time zone was {was} and is now {becomes}. Times are shown in it; no wait moved.")
    assert sentence.format(was="UTC", becomes="America/New_York") in board.sentences()
    board.wall.pages.show_board()
    assert board.wall.strip.clock.title == _("clock jumped")


def test_the_button_of_another_time_zone_tells_of_it_although_the_clock_has_jumped_since(board: Walled):
    time_zone_changed(board)
    tells_the_time_zone(board)


def test_the_button_of_another_time_zone_means_the_same_in_another_language(hand: HandBay, catalogues: Path):
    with speaking("ar-XB", catalogues), walled(hand) as wall:
        wall.answer_all()
        time_zone_changed(wall)
        assert wall.wall.strip.clock.title != "time zone changed", "that is English"
        tells_the_time_zone(wall)


def test_a_language_chosen_after_the_painting_changes_no_button_s_meaning(board: Walled, catalogues: Path):
    time_zone_changed(board)
    with speaking("en-XA", catalogues):
        assert board.wall.strip.clock.title == "time zone changed", "nothing was repainted"
        board.press(board.wall.strip.clock)
        sentence = _("This machine's time zone was {was} and is now {becomes}. Times are shown in it; no wait moved.")
        assert sentence.format(was="UTC", becomes="America/New_York") in board.sentences()


def test_an_alert_that_came_after_the_painting_is_not_answered_by_the_switch(board: Walled):
    board.openers.switch.use({"F5": KeySettings(press=KeyAction.HEARD)}, 0.3, 0.15)
    board.wait(71)
    shown = set(board.wall.band.subjects)
    assert shown
    unseen(board, 21 * 60)
    board.hand.update_alerts()
    later = {a.condition.subject for a in board.hand.bay.alerts.unanswered()} - shown
    assert later, "nothing came meanwhile"
    QTest.keyClick(board.wall, Qt.Key.Key_F5)
    board.let_keys_through()
    assert {a.condition.subject for a in board.hand.bay.alerts.unanswered()} >= later


def test_a_started_step_is_asked_for_by_whom_the_button_showed(board: Walled):
    board.wall.pages.show_ladder(CAR, RIM)
    asked = board.wall.ladder_bar.action
    assert asked == Start(CAR, RIM, StepId("level"), ASH)
    board.wall.selection.by = Person("Bo")  # nothing has been repainted
    before = board.events()
    board.press(board.wall.ladder_bar.main)
    (begun,) = board.hand.journal.read()[before:]
    assert isinstance(begun, StepStarted)
    assert begun.by == ASH
