"""The board under the finger: real presses on a real wall, and what the journal says afterwards."""

from datetime import UTC, timedelta, tzinfo
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QObject, QRect, Qt, QTimer
from PySide6.QtGui import QKeyEvent, QPaintEvent, QRegion
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from bayapp.job.model.ids import JobId, Person, StepId, Urgency, ZoneId
from bayapp.job.state.events import AlertAnswered, StepFinished, StepStarted, StepUndone, TimeZoneChanged
from bayapp.pages.wanted import NoteAbout, UnworkedZone, WhichZone
from bayapp.practice import practice_scenario
from bayapp.screen.input.scanner import APART_MS
from bayapp.screen.input.typed_entry import TypingPage
from bayapp.screen.widgets import glove_button
from bayapp.screen.window.wall import Wall
from tests.pages.bays import ASH, BO, CAR, OPENING, HandBay, hand_bay
from tests.screen.test_glove_audit import failings, overlaps
from tests.screen.walls import QuietSound, Walled, walled

WINDSCREEN = (ZoneId("windscreen"),)
RIM = (ZoneId("rim-rear-right"),)


def last(board: Walled, count: int = 1) -> list[object]:
    return list(board.hand.journal.read()[-count:])


def hold(qtbot: QtBot, board: Walled) -> None:
    """Keep the finger on the ladder's large button until it says that it was held."""
    button = board.wall.ladder_bar.main
    with qtbot.waitSignal(button.held, timeout=3_000):
        QTest.mousePress(button, Qt.MouseButton.LeftButton, pos=button.rect().center())
    QTest.mouseRelease(button, Qt.MouseButton.LeftButton, pos=button.rect().center())


# The one big button.


def test_the_main_button_begins_the_best_step_and_then_finishes_it(board: Walled):
    wall = board.wall
    assert wall.next_bar.main.title == "Begin: excess off, first towel, rear right rim (Ash)"
    board.press(wall.next_bar.main)
    (started,) = last(board)
    assert isinstance(started, StepStarted)
    assert (started.zone, started.step, started.by, started.at) == (RIM[0], "level", ASH, OPENING)
    board.wait(20)
    assert wall.next_bar.main.title == "Done: excess off, first towel, rear right rim (Ash)"
    board.press(wall.next_bar.main)
    (finished,) = last(board)
    assert isinstance(finished, StepFinished)
    assert (finished.zone, finished.step, finished.at) == (RIM[0], "level", OPENING + timedelta(seconds=20))


@pytest.mark.parametrize("page", ["board", "ladder"])
def test_a_bounce_of_the_glove_does_not_press_what_has_just_appeared(
    board: Walled, monkeypatch: pytest.MonkeyPatch, page: str
):
    """Two presses in one breath, with the pause that the house really asks for."""
    if page == "ladder":
        board.wall.pages.show_ladder(CAR, RIM)
    button = board.wall.next_bar.main if page == "board" else board.wall.ladder_bar.main
    before = board.events()
    board.press(button)
    monkeypatch.setattr(glove_button, "SETTLE_MS", 600)
    board.press(button)
    assert board.events() == before + 1
    QTest.qWait(650)
    board.press(button)
    assert board.events() == before + 2


def test_what_is_pressed_is_on_disk_before_it_is_shown(board: Walled):
    seen = list[int]()
    before = board.events()
    board.wall.request_sender.accepted.connect(lambda verdict: seen.append(board.events()))
    board.press(board.wall.next_bar.main)
    assert seen == [before + 1]


def test_the_second_button_does_what_it_says(board: Walled):
    assert board.wall.next_bar.instead.title.startswith("Or begin: coat, right side glass (Ash)")
    board.press(board.wall.next_bar.instead)
    started = last(board, 3)
    assert [e.zone for e in started if isinstance(e, StepStarted)] == [
        "glass-right-front",
        "glass-right-rear",
        "glass-right-quarter",
    ]


@pytest.mark.parametrize("key", [Qt.Key.Key_Space, Qt.Key.Key_F13, Qt.Key.Key_B])
def test_a_foot_switch_or_any_key_presses_the_main_button(board: Walled, key: Qt.Key):
    QTest.keyClick(board.wall, key)
    QTest.qWait(3 * APART_MS)  # a letter may be the first of a scan
    assert isinstance(last(board)[0], StepStarted)


@pytest.mark.parametrize(
    ("key", "held"),
    [
        (Qt.Key.Key_Shift, Qt.KeyboardModifier.NoModifier),
        (Qt.Key.Key_CapsLock, Qt.KeyboardModifier.NoModifier),
        (Qt.Key.Key_Super_L, Qt.KeyboardModifier.NoModifier),
        (Qt.Key.Key_VolumeUp, Qt.KeyboardModifier.NoModifier),
        (Qt.Key.Key_Tab, Qt.KeyboardModifier.AltModifier),
    ],
)
def test_a_key_that_is_meant_for_the_machine_begins_no_step(board: Walled, key: Qt.Key, held: Qt.KeyboardModifier):
    before = board.events()
    QTest.keyClick(board.wall, key, held)
    board.let_keys_through()
    assert board.events() == before


def test_a_key_that_is_held_down_presses_once(board: Walled):
    before = board.events()
    QTest.keyPress(board.wall, Qt.Key.Key_Space)
    again = QEvent.Type.KeyPress

    QCoreApplication.sendEvent(
        board.wall, QKeyEvent(again, Qt.Key.Key_Space, Qt.KeyboardModifier.NoModifier, " ", autorep=True)
    )
    board.let_keys_through()
    assert board.events() == before + 1


def test_escape_leads_back_and_presses_nothing(board: Walled):
    before = board.events()
    board.wall.pages.show_ladder(CAR, WINDSCREEN)
    board.press(board.wall.ladder_bar.note)
    assert board.wall.pages.choices.isVisible()
    QTest.keyClick(board.wall, Qt.Key.Key_Escape)
    board.let_keys_through()
    assert board.wall.ladder.isVisible()
    QTest.keyClick(board.wall, Qt.Key.Key_Escape)
    board.let_keys_through()
    assert board.wall.car.isVisible()
    assert board.events() == before


def test_without_a_car_the_main_button_shows_which_may_come_in_and_the_way_back(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as hand, walled(hand) as wall:
        assert wall.wall.next_bar.main.title == "No car in the bay"
        wall.press(wall.wall.next_bar.main)
        assert hand.journal.read() == []
        assert "New car" in wall.choices()
        wall.press(wall.wall.pages.choices.close_button)
        assert not wall.wall.pages.choices.isVisible()


# Zones, ladders, sets.


def test_a_touch_on_a_zone_opens_its_ladder(board: Walled):
    board.touch("bonnet")
    assert board.wall.ladder.isVisible()
    assert board.wall.selection.zones == ("bonnet",)
    board.press(board.wall.ladder.close_button)
    assert board.wall.car.isVisible()


def test_every_worked_zone_answers_a_touch_at_its_middle(board: Walled):
    """Alone where it is large, in the picker among its neighbours where it is small: always reachable."""
    wanted, deaf = list[str](), list[str]()
    board.wall.pages.wanted.connect(lambda asked: wanted.extend(asked.zones if isinstance(asked, WhichZone) else ()))
    for zone in board.hand.bay.state.jobs[CAR].zones:
        wanted.clear()
        board.touch(zone)
        if zone not in (wanted or board.wall.selection.zones):
            deaf.append(zone)
        board.wall.pages.show_board()
    assert deaf == []


def test_a_glove_over_several_zones_opens_the_picker_and_a_choice_opens_its_ladder(board: Walled):
    board.wall.car.touched.emit([ZoneId("caliper-front-left"), ZoneId("rim-front-left"), ZoneId("tyre-front-left")])
    assert board.wall.pages.choices.isVisible()
    titles = board.choices()
    assert "Front left caliper" in titles
    assert 2 <= len(titles) <= 6
    board.choose("Front left caliper")
    assert board.wall.selection.zones == ("caliper-front-left",)
    assert board.wall.ladder.isVisible()


def test_a_touch_beside_the_car_opens_nothing(board: Walled):
    QTest.mouseClick(board.wall.car, Qt.MouseButton.LeftButton, pos=QRect(0, 0, 4, 4).center())
    assert board.wall.car.isVisible()
    assert board.choices() == []


def test_a_whole_set_is_one_tap(board: Walled):
    board.wall.pages.show_ladder(CAR, (ZoneId("glass-right-front"),))
    group = next(b for b in board.wall.ladder.groups if b.isVisible() and b.title == "right side glass")
    board.press(group)
    assert len(board.wall.selection.zones) == 3
    before = board.events()
    board.press(board.wall.ladder_bar.main)
    started = last(board, 3)
    assert board.events() == before + 3
    assert len({e.touch for e in started if isinstance(e, StepStarted)}) == 1


def test_start_and_done_are_the_same_button_on_the_ladder(board: Walled):
    board.wall.pages.show_ladder(CAR, RIM)
    main = board.wall.ladder_bar.main
    assert main.title == "Begin: excess off, first towel (Ash)"
    place = main.geometry()
    board.press(main)
    assert main.title == "Done: excess off, first towel"
    assert main.geometry().topLeft() == place.topLeft()
    board.wait(12)
    board.press(main)
    assert isinstance(last(board)[0], StepFinished)
    assert board.wall.car.isVisible()


def test_of_layers_that_may_swap_the_person_says_which(board: Walled, tmp_path: Path):
    with hand_bay(tmp_path / "fresh") as hand, walled(hand) as wall:
        undo_all(wall, "windscreen", leave=("decontaminate", "polish", "wipe"))
        wall.wall.pages.show_ladder(CAR, WINDSCREEN)
        choices = [b for b in wall.wall.ladder.choices if b.isVisible()]
        assert [b.title for b in choices] == ["up and down", "across", "in circles"]
        wall.press(choices[2])
        assert "in circles" in wall.wall.ladder_bar.main.title
        assert wall.wall.ladder_bar.action.step == "coat-3"  # type: ignore[union-attr]


def undo_all(wall: Walled, zone: str, leave: tuple[str, ...]) -> None:
    """Take steps back on the ladder, with its own button, until only these are left."""
    wall.wall.pages.show_ladder(CAR, (ZoneId(zone),))
    for _ in range(30):
        rungs = [r.step for r in wall.hand.bay.state.jobs[CAR].zones[ZoneId(zone)].rungs]
        running = wall.hand.bay.state.jobs[CAR].zones[ZoneId(zone)].running
        if tuple(rungs) == leave and not running:
            return
        wall.press(wall.wall.ladder_bar.undo)
    pytest.fail(f"{rungs} are still there")


def test_an_undo_that_was_painted_before_the_time_was_doubted_says_why_it_is_refused(board: Walled):
    board.wall.pages.show_ladder(CAR, RIM)
    board.hand.doubt_the_time()
    before = board.events()
    board.press(board.wall.ladder_bar.undo)
    assert board.wall.pages.choices.isVisible()
    assert "machine was off" in board.sentences()
    board.press(board.wall.pages.choices.close_button)
    assert board.wall.ladder.isVisible()
    assert board.events() == before


def test_a_note_that_is_refused_says_why_and_leads_back_to_the_notes(board: Walled):
    board.wall.pages.show_ladder(CAR, RIM)
    board.press(board.wall.ladder_bar.note)
    board.hand.doubt_the_time()
    before = board.events()
    board.choose("Fresh towel taken")
    assert "machine was off" in board.sentences()
    board.press(board.wall.pages.choices.close_button)
    assert board.wall.pages.choices.title == "Note", "one level up are the notes"
    board.press(board.wall.pages.choices.close_button)
    assert board.wall.ladder.isVisible()
    assert board.events() == before


def test_undo_takes_the_last_event_back_and_says_which(board: Walled):
    board.press(board.wall.next_bar.main)
    board.wall.pages.show_ladder(CAR, RIM)
    assert board.wall.ladder_bar.undo.detail == "excess off, first towel at 09:00"
    board.press(board.wall.ladder_bar.undo)
    assert isinstance(last(board)[0], StepUndone)
    assert board.hand.clock_of("rim-rear-right").urgency is Urgency.CLOSING


def test_a_note_is_written_about_the_open_zone(board: Walled):
    board.wall.pages.show_ladder(CAR, WINDSCREEN)
    board.press(board.wall.ladder_bar.note)
    board.choose("Fresh towel taken")
    note = board.hand.bay.state.jobs[CAR].notes[-1]
    assert (note.zone, note.text, note.by) == ("windscreen", "fresh towel taken", ASH)
    assert board.wall.ladder.isVisible()


def test_a_note_on_a_set_is_one_touch_for_all_its_zones(board: Walled):
    zones = tuple(ZoneId(f"glass-right-{place}") for place in ("front", "rear", "quarter"))
    board.wall.pages.show_ladder(CAR, zones)
    taken = list[object]()
    board.wall.request_sender.accepted.connect(taken.append)
    board.press(board.wall.ladder_bar.note)
    board.choose("Fresh towel taken")
    assert len(taken) == 1
    assert [n.zone for n in board.hand.bay.state.jobs[CAR].notes[-3:]] == list(zones)


def typed(board: Walled, letters: str) -> TypingPage:
    (page,) = board.wall.findChildren(TypingPage)
    for letter in letters:
        board.press(next(key for key in page.keys if key.isVisible() and key.title == letter))
    return page


def test_a_note_that_was_left_half_typed_stands_there_again(board: Walled):
    board.wall.pages.want(NoteAbout(CAR, WINDSCREEN))
    board.choose("In own words")
    page = typed(board, "DE")
    board.press(page.close_button)
    board.wall.pages.want(NoteAbout(CAR, RIM))
    board.choose("In own words")
    board.press(page.close_button)
    board.wall.pages.want(NoteAbout(CAR, WINDSCREEN))
    board.choose("In own words")
    board.press(typed(board, "NT").record_button)
    assert board.hand.bay.state.jobs[CAR].notes[-1].text.lower() == "dent"
    board.wall.pages.want(NoteAbout(CAR, WINDSCREEN))
    board.choose("In own words")
    assert page.record_button.detail, "what was recorded is not typed once more"


def test_a_note_on_a_zone_that_is_not_worked_is_seen_there(board: Walled):
    board.wall.pages.want(UnworkedZone(CAR, ZoneId("grille")))
    board.choose("Note")
    board.choose("Stone chip, left as it is")
    choices = board.wall.pages.choices
    assert choices.title == "Grille"
    assert choices.sentences == ("09:00: Stone chip, left as it is",)
    board.choose("Note")
    assert choices.sentences == ("09:00: Stone chip, left as it is",)


# Refused.


def test_a_click_on_a_refused_button_does_nothing(board: Walled):
    board.wall.pages.show_ladder(CAR, WINDSCREEN)
    main, before = board.wall.ladder_bar.main, board.events()
    assert main.title == "Not yet: coat in circles"
    assert "09:01:10" in main.detail
    board.press(main)
    assert board.events() == before
    assert board.wall.ladder.isVisible()


def test_a_short_hold_does_nothing(qtbot: QtBot, board: Walled):
    board.wall.pages.show_ladder(CAR, WINDSCREEN)
    main, before = board.wall.ladder_bar.main, board.events()
    with qtbot.assertNotEmitted(main.held):
        QTest.mousePress(main, Qt.MouseButton.LeftButton, pos=main.rect().center())
        QTest.mouseRelease(main, Qt.MouseButton.LeftButton, pos=main.rect().center())
    assert board.events() == before


def test_held_for_two_seconds_it_asks_for_the_reason_and_records_a_deviation(qtbot: QtBot, board: Walled):
    assert glove_button.HOLD_MS == 2000
    board.wall.pages.show_ladder(CAR, WINDSCREEN)
    before = board.events()
    hold(qtbot, board)
    assert board.wall.pages.choices.isVisible()
    assert board.events() == before
    board.choose("The product sheet allows it")
    (started,) = last(board)
    assert isinstance(started, StepStarted)
    assert started.deviation
    assert (started.deviation.code, started.deviation.reason) == ("early", "The product sheet allows it")
    assert board.wall.ladder.isVisible()
    assert board.wall.ladder_bar.main.title.startswith("Done: ")


def test_leaving_the_reasons_records_nothing(qtbot: QtBot, board: Walled):
    board.wall.pages.show_ladder(CAR, WINDSCREEN)
    before = board.events()
    hold(qtbot, board)
    board.press(board.wall.pages.choices.close_button)
    assert board.wall.ladder.isVisible()
    assert board.events() == before


# Clocks and alerts.


def test_a_tile_opens_its_ladder(board: Walled):
    tile = board.wall.column.buttons[1]
    assert tile.tile
    board.press(tile)
    assert board.wall.selection.zones == tile.tile.zones
    assert len(board.wall.selection.zones) == 3


def test_an_alert_is_heard_with_one_touch(hand: HandBay):
    with walled(hand) as wall:
        assert wall.wall.band.heard_button.isVisible()
        wall.press(wall.wall.band.heard_button)
        assert not wall.wall.band.heard_button.isVisible()
        assert hand.bay.alerts.unanswered() == ()
        (answered,) = last(wall)
        assert isinstance(answered, AlertAnswered)
        assert answered.until is None


def test_an_alert_is_put_off_for_five_minutes_but_never_past_its_lapse(hand: HandBay):
    with walled(hand) as wall:
        wall.press(wall.wall.band.snooze_button)
        assert not wall.wall.band.heard_button.isVisible()
        wall.wait(11)  # 29 s before the rim lapses
        assert wall.wall.band.heard_button.isVisible()


def test_what_is_due_is_sounded_once_by_the_walls_own_refresh(hand: HandBay):
    sound = QuietSound()
    with walled(hand, sound=sound) as wall:
        calls = len(sound.calls)
        assert calls == 1
        wall.wall.refresher.refresh()
        wall.wall.refresher.refresh()
        assert len(sound.calls) == calls
        wall.wait(25)
        assert len(sound.calls) == calls + 1


def test_the_wall_wakes_by_itself_at_the_next_exact_moment(qtbot: QtBot, board: Walled):
    """Its own timer, no refresh by hand: a second of the bay passes, and the tile says so."""
    digits = board.wall.column.buttons[0].tile.digits  # type: ignore[union-attr]
    board.hand.wait(1)
    qtbot.waitUntil(lambda: board.wall.column.buttons[0].tile.digits != digits, timeout=3_000)  # type: ignore[union-attr]


# Who stands at the car, and which car.


def test_a_persons_button_says_who_works(board: Walled):
    assert [b.title for b in board.wall.strip.people if b.isVisible()] == ["Ash", "Bo"]
    board.press(board.wall.strip.people[1])
    assert board.wall.selection.by == BO
    assert board.wall.next_bar.main.title == "Done: excess off, first towel, rear left rim (Bo)"


def test_with_more_people_than_buttons_each_can_still_be_chosen(tmp_path: Path):
    crew = tuple(Person(name) for name in ("Ash", "Bo", "Cy", "Di", "Eli", "Fay", "Gus"))
    with hand_bay(tmp_path, cars=0) as hand:
        job, _ = practice_scenario(OPENING)
        hand.bay.open_job(job.model_copy(update={"crew": crew}))
        with walled(hand) as wall:
            strip = wall.wall.strip
            for person in crew:
                wall.press(strip.more_people)
                assert wall.choices() == list(crew)
                wall.choose(person)
                assert wall.wall.selection.by == person
                assert wall.wall.car.isVisible()
                shown = [b.title for b in strip.people if b.isVisible()]
                assert person in shown, "whoever stands at the car is seen on the strip"
                assert len(shown) == 3
            wall.press(strip.more_people)
            assert failings(wall) + overlaps(wall.wall) == []


def test_a_crew_that_fits_has_no_button_for_more(board: Walled):
    assert board.wall.strip.more_people.isHidden()


def test_a_tile_of_the_other_car_switches_the_car(tmp_path: Path):
    with hand_bay(tmp_path, cars=2) as hand, walled(hand) as wall:
        tiles = [b for b in wall.wall.column.buttons if b.isVisible()]
        jobs = {b.tile.job for b in tiles if b.tile}
        assert jobs == {CAR, JobId(f"{CAR}-2")}
        assert all(b.tile.detail.startswith(("Practice estate: ", "Estate 2: ")) for b in tiles if b.tile)
        other = next(b for b in tiles if b.tile and b.tile.job != CAR)
        wall.press(other)
        assert wall.wall.selection.job == f"{CAR}-2"
        assert wall.wall.strip.car.title == "Estate 2"
        assert wall.wall.selection.by == "Cy 2"
        assert wall.wall.ladder.isVisible()


def test_a_wall_without_a_car_stands(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as hand, walled(hand) as wall:
        assert wall.wall.selection.job is None
        for key in (Qt.Key.Key_Space, Qt.Key.Key_Escape):
            QTest.keyClick(wall.wall, key)
            wall.let_keys_through()
        QTest.mouseClick(wall.wall.car, Qt.MouseButton.LeftButton, pos=wall.wall.car.rect().center())
        wall.wait(3_600)
        assert not wall.wall.grab().isNull()


def test_six_cars_with_all_their_zones_stand_and_no_clock_is_lost(tmp_path: Path):
    with hand_bay(tmp_path, cars=6) as hand, walled(hand) as wall:
        assert len(hand.clocks()) == 6 * len(hand.bay.state.jobs[CAR].zones)
        for seconds in (0, 41, 70, 90, 3_600):
            wall.wait(seconds)
            wall.wall.pages.show_board()
            assert not wall.wall.grab().isNull()
        assert "more clocks" in wall.wall.column.later.title


# Only what changed is painted again.


class Paints(QObject):
    """Counts what is painted, widget by widget."""

    def __init__(self, wall: Wall) -> None:
        super().__init__()
        self.regions: dict[str, QRegion] = {}
        self._names = {id(w): n for n, w in vars(wall).items() if n in ("car", "strip", "next_bar", "column", "band")}
        for name in self._names.values():
            getattr(wall, name).installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 (Qt's name)
        if isinstance(event, QPaintEvent):
            name = self._names[id(watched)]
            self.regions[name] = self.regions.get(name, QRegion()).united(event.region())
        return False


def test_a_second_that_changes_no_zone_paints_no_car(board: Walled):
    QCoreApplication.processEvents()
    paints = Paints(board.wall)
    board.wall.refresher.refresh()
    QCoreApplication.processEvents()
    assert "car" not in paints.regions
    assert "band" not in paints.regions


def test_when_one_clock_runs_on_only_its_part_of_the_car_is_painted(board: Walled):
    QCoreApplication.processEvents()
    paints = Paints(board.wall)
    board.wait(1)
    car = board.wall.car
    painted = sum(r.width() * r.height() for r in iter(paints.regions["car"]))  # type: ignore[call-overload]
    share = painted / (car.width() * car.height())
    assert 0 < share < 0.35, f"{share:.0%} of the car was painted for seven clocks"


def test_another_time_zone_is_shown_and_recorded_and_moves_no_wait(hand: HandBay):
    zones: list[tzinfo] = [UTC]
    with walled(hand, zone_now=lambda: zones[-1]) as board:
        board.answer_all()
        change_zone(board, zones)


def change_zone(board: Walled, zones: list[tzinfo]) -> None:
    before, tiles, events = board.hand.clocks(), [b.tile for b in board.wall.column.buttons], board.events()
    board.wall.time_zone_watch.watch()
    assert board.events() == events
    zones.append(ZoneInfo("America/New_York"))
    for _ in range(2):
        board.wall.time_zone_watch.watch()
        board.wall.refresher.refresh()
    (changed,) = board.hand.journal.read()[events:]
    assert isinstance(changed, TimeZoneChanged)
    assert (changed.was, changed.becomes) == ("UTC", "America/New_York")
    assert board.hand.clocks() == before
    assert [b.tile and b.tile.digits for b in board.wall.column.buttons] == [t and t.digits for t in tiles]
    assert board.wall.strip.clock.title == "time zone changed"
    assert board.wall.strip.shown
    assert board.wall.strip.shown.time == "04:00:00"  # 09:00 UTC on 2 March: EST is UTC-5, IANA time zone database
    board.press(board.wall.strip.clock)
    assert "now America/New_York" in board.sentences()
    state = board.hand.bay.state
    assert board.hand.restart().state == state


def test_a_time_zone_that_cannot_be_read_stops_no_sign_of_life(hand: HandBay):
    def unknown() -> tzinfo:
        raise ZoneInfoNotFoundError("No time zone found with key Nowhere/Else")

    with walled(hand, zone_now=unknown) as board:
        moment = hand.wait(60)
        board.wall.time_zone_watch.watch()
        assert hand.journal.last_heartbeat() == (moment, hand.readings.stamp())
        assert board.wall.selection.tz is UTC


def test_a_wall_that_is_closed_sleeps(board: Walled):
    board.wall.close()
    timers = board.wall.findChildren(QTimer)
    assert not any(timer.isActive() for timer in timers)
    board.wall.refresher.refresh()
    assert not any(timer.isActive() for timer in timers), "a closed wall wakes itself again"


def test_a_fault_of_ours_in_one_painting_does_not_stop_the_clocks(
    board: Walled, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
):
    def broken(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(board.wall.column, "show_tiles", broken)
    for timer in board.wall.refresher.findChildren(QTimer):
        timer.stop()  # it has fired, and this is what it asked for
    with pytest.raises(ZeroDivisionError):
        board.wall.refresher.refresh()
    monkeypatch.undo()
    before = board.wall.strip.grab().toImage()
    board.hand.wait(61)
    qtbot.waitUntil(lambda: board.wall.strip.grab().toImage() != before, timeout=3_000)


@pytest.mark.parametrize(("drawing", "message"), [("", "gone.svg"), ("<svg", "the drawing in job gone")])
def test_a_car_whose_drawing_is_gone_is_worked_all_the_same(
    hand: HandBay, caplog: pytest.LogCaptureFixture, drawing: str, message: str
):
    job = hand.bay.state.jobs[CAR].job
    gone = job.vehicle.model_copy(update={"name": "gone", "drawing": "gone.svg"})
    hand.bay.open_job(job.model_copy(update={"id": JobId("gone"), "vehicle": gone, "drawing": drawing}))
    with walled(hand) as wall:
        wall.wall.pages.show_car(JobId("gone"))
        assert message in caplog.text
        before = wall.events()
        wall.press(wall.wall.next_bar.main)
        assert wall.events() == before + 1
    caplog.clear()


def test_a_step_chosen_for_one_zone_is_not_chosen_for_the_next(board: Walled):
    board.wall.selection.choose_step(StepId("coat-2"))
    board.wall.column.opened.emit(board.wall.column.buttons[0].tile)
    assert board.wall.selection.step is None


def test_a_name_has_its_button_on_every_car_s_board_and_a_touch_lets_its_bearer_sign_there(tmp_path: Path):
    with hand_bay(tmp_path, cars=2) as hand, walled(hand, (3840, 2160)) as wall:
        wall.answer_all()
        wall.wall.pages.show_car(JobId(f"{CAR}-2"))
        buttons = [b for b in wall.wall.strip.people if b.isVisible() and b.title == "Ash"]
        if buttons:
            wall.press(buttons[0])
        else:
            wall.press(wall.wall.strip.more_people)
            wall.choose("Ash")
        assert wall.wall.selection.by == ASH
        assert ASH in hand.bay.state.jobs[JobId(f"{CAR}-2")].job.crew
        wall.wall.pages.want(NoteAbout(JobId(f"{CAR}-2")))
        wall.choose("Photo taken")
        assert hand.bay.state.jobs[JobId(f"{CAR}-2")].notes[-1].by == ASH
