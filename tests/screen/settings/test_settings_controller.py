"""The settings page at a real wall: what is touched counts at once and stands in the file at once."""

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from bayapp.drawing.palette import PALETTES
from bayapp.files.shop.settings import Settings, load_settings
from bayapp.job.model.ids import StepKind
from bayapp.pages.settings.hours import HourEdge, StretchCount
from bayapp.pages.settings.settings import Setting
from bayapp.record.backup import restore
from bayapp.screen.input.typed_entry import TypingPage
from bayapp.screen.widgets.cells_page import CellsPage
from bayapp.screen.widgets.measure import Measure, read_from
from bayapp.screen.widgets.relayout import retranslate
from bayapp.text.figures import DayClock, Units, units, use_units
from bayapp.text.language import _, back_to_source
from tests.pages.bays import HandBay
from tests.screen.languages import speaking
from tests.screen.test_glove_audit import failings, overlaps
from tests.screen.walls import QuietSound, Walled, walled


@pytest.fixture(autouse=True)
def usual_units() -> object:
    yield
    use_units(Units())


@pytest.fixture
def page(board: Walled) -> CellsPage:
    board.press(board.wall.next_bar.more)
    board.choose("Settings")
    settings = board.wall.findChildren(CellsPage)[0]
    assert settings.isVisible()
    return settings


def saved(board: Walled) -> Settings:
    return load_settings(board.hand.store)


def test_light_and_dark_swap_and_every_part_is_painted_in_the_new_palette(board: Walled, page: CellsPage):
    before = board.wall.grab().toImage()
    board.press(page.buttons[Setting.THEME, 0])
    after = board.wall.grab().toImage()
    assert board.look.palette is PALETTES["light"]
    assert saved(board).theme == "light"
    assert before.pixelColor(2, 2).lightness() < 60 < 190 < after.pixelColor(2, 2).lightness()
    board.press(page.close_button)
    car = board.wall.car.geometry()
    corner = board.wall.grab().toImage().pixelColor(car.left() + 3, car.top() + 3)
    assert corner.lightness() > 190


def test_spoken_lines_switch_or_say_why_not(hand: HandBay):
    for speaks in (True, False):
        with walled(hand, sound=QuietSound(speaks=speaks)) as wall:
            wall.turn_to("settings")
            wall.press(wall.wall.findChildren(CellsPage)[0].buttons[Setting.SPOKEN, 0])
            assert wall.sound.spoken is speaks
            assert load_settings(hand.store).spoken is True, "what could not be done is not saved"
            if not speaks:
                assert wall.wall.pages.choices.sentences == ("No voice is installed.",)


def test_the_loudness_counts_at_once(board: Walled, page: CellsPage):
    for _n in range(3):
        board.press(page.buttons[Setting.VOLUME, -1])
    assert (board.sound.volume, saved(board).volume) == (0.7, 0.7)


def test_times_are_written_anew_at_once(board: Walled, page: CellsPage):
    board.press(page.buttons[Setting.WORDS, 0])
    page = board.wall.findChildren(CellsPage)[1]
    board.press(page.buttons[Setting.DAY_CLOCK, 0])
    assert units().day_clock is DayClock.HOURS_12
    assert saved(board).day_clock is DayClock.HOURS_12
    assert next(c for c in page.cells if c.key is Setting.DAY_CLOCK).value == "12 hours"


def test_read_from_farther_everything_grows_as_far_as_it_fits(board: Walled, page: CellsPage):
    before = board.wall.strip.height()
    board.press(page.buttons[Setting.DISTANCE, 1])
    assert saved(board).reading_distance_m == 3.25
    assert board.wall.strip.height() == pytest.approx(before * 3.25 / 3, abs=1)
    assert failings(board) + overlaps(board.wall) == []
    for _n in range(12):
        board.press(page.buttons[Setting.DISTANCE, 1])
    assert "as large as this screen allows" in page.subtitle
    assert failings(board) + overlaps(board.wall) == []
    assert board.look.measure.px_per_mm == pytest.approx(min(1920 / 500, 1080 / 281))
    for _n in range(20):
        board.press(page.buttons[Setting.DISTANCE, -1])
    assert board.wall.strip.height() == before


def test_twice_as_far_is_twice_as_large_and_nearer_is_never_smaller_than_gloves_need():
    """The visual angle of NUREG-0700 1.3.1-4 (h = 6.283 D MA / 21600): height goes with distance."""
    assert read_from(Measure(2.0), 6.0).px_per_mm == 4.0
    assert read_from(Measure(2.0), 3.0).px_per_mm == read_from(Measure(2.0), 1.0).px_per_mm == 2.0


def test_a_screen_that_lies_about_its_size_is_put_right(board: Walled, page: CellsPage):
    board.press(page.buttons[Setting.INCH, 1])
    assert saved(board).screen_diagonal_inch == 28
    assert board.wall.real.px_per_mm == pytest.approx((1920**2 + 1080**2) ** 0.5 / (28 * 25.4))


def test_what_the_shop_tells_of_its_bay_holds_from_the_touch_on(board: Walled, page: CellsPage):
    board.press(page.buttons[Setting.BAY, 0])
    of_bay = board.wall.findChildren(CellsPage)[2]
    board.press(of_bay.buttons[Setting.DEW_MARGIN, 1])
    board.press(of_bay.buttons[Setting.BAY_M3, 1])
    board.press(of_bay.buttons[Setting.AIR_CHANGES, 1])
    now, told = saved(board), board.hand.bay.state.set_up
    assert (now.dew_margin_c, now.bay_m3, now.bay_air_changes) == (3.5, 100.0, 1.0)
    assert told
    assert (told.dew_margin_k, told.volume_m3, told.air_changes) == (3.5, 100.0, 1.0)


def test_letters_grow_with_a_setting_of_their_own(board: Walled, page: CellsPage):
    before = board.wall.strip.height()
    board.press(page.buttons[Setting.LETTERS, 1])
    assert saved(board).letters == 1.1
    assert board.wall.strip.height() == pytest.approx(before * 1.1, abs=1)
    assert failings(board) + overlaps(board.wall) == []


def test_working_hours_are_moved_by_quarters_and_saved(board: Walled, page: CellsPage):
    board.press(page.buttons[Setting.HOURS, 0])
    (hours,) = (shown for shown in board.wall.findChildren(CellsPage) if shown.isVisible())
    board.press(hours.buttons[StretchCount(2), 0])
    board.press(hours.buttons[HourEdge(0), -1])
    board.press(hours.buttons[HourEdge(3), 1])
    assert [str(h) for h in saved(board).hours] == ["07:45-12:30", "13:00-17:15"]
    board.press(hours.buttons[StretchCount(0), 0])
    assert saved(board).hours == ()


def test_a_name_is_typed_with_gloves_and_taken_off_by_a_hold(board: Walled, page: CellsPage):
    board.press(page.buttons[Setting.PEOPLE, 0])
    board.choose("Add a name")
    (typing,) = board.wall.findChildren(TypingPage)
    for key in "CY":
        board.press(next(b for b in typing.keys if b.isVisible() and b.title == key))
    board.press(typing.record_button)
    assert saved(board).people == ("Cy",)
    board.choose("Cy")
    board.choose("Polish")
    assert saved(board).cannot == {"Cy": (StepKind.POLISH,)}
    assert board.wall.pages.choices.title == "Cy", "one touch for each kind of work"
    board.choose("Polish")
    assert saved(board).cannot == {}
    board.hold_choice("Hold for 2 s: take Cy off")
    assert saved(board).people == ()


def test_people_are_recorded_by_name_by_initials_or_not_at_all(board: Walled, page: CellsPage):
    board.press(page.buttons[Setting.PEOPLE, 0])
    ways = []
    for _n in range(3):
        board.choose("Recorded")
        ways.append(saved(board).names)
    assert ways == ["initials", "none", "full"]


def test_the_times_of_a_foot_switch_are_set_by_touch(board: Walled, page: CellsPage):
    board.press(page.buttons[Setting.KEYS, 0])
    board.choose("A long press")
    board.choose("Pressed twice")
    assert (saved(board).key_long_seconds, saved(board).key_twice_seconds) == (1.2, 0.6)
    for _n in range(2):
        board.choose("A long press")
    assert saved(board).key_long_seconds == 0.5, "after the longest the shortest"


def test_a_file_that_somebody_is_writing_is_said_and_left(board: Walled, page: CellsPage):
    file = board.hand.store / "settings.toml"
    file.write_text('theme = "da', encoding="utf-8")
    before = board.look.palette.name
    board.press(page.buttons[Setting.THEME, 0])
    assert file.read_text(encoding="utf-8") == 'theme = "da'
    assert "Nothing was changed" in page.subtitle
    assert board.look.palette.name == before
    file.write_text("# mine\nvolume = 0.5\n", encoding="utf-8")
    board.press(page.buttons[Setting.VOLUME, 1])
    assert saved(board).volume == 0.6
    assert file.read_text(encoding="utf-8").startswith("# mine\nvolume = 0.6\n")


def test_a_backup_is_made_reported_and_can_be_restored(qtbot: QtBot, board: Walled, page: CellsPage, tmp_path: Path):
    board.press(page.buttons[Setting.BACKUP, 0])
    assert "On this machine: no good backup yet" in board.sentences()
    with qtbot.waitSignal(board.openers.backups.done, timeout=60_000):
        board.choose("Back up now")
    assert "On this machine: last good one" in board.sentences()
    assert "done and proved" in [b.detail for b in board.wall.pages.choices.buttons if b.isVisible()]
    (copy,) = (board.hand.store / "backups").iterdir()
    restore(copy, tmp_path / "elsewhere")
    assert (tmp_path / "elsewhere" / "journal.sqlite3").is_file()
    assert board.openers.backup.last_text().startswith("last ")


@pytest.mark.parametrize("times", [1, pytest.param(2, marks=pytest.mark.slow)])
def test_a_backup_that_cannot_be_made_says_why_on_the_page_and_once_on_the_board(
    qtbot: QtBot, board: Walled, page: CellsPage, times: int
):
    (board.hand.store / "backups").write_text("a file where the folder should be", encoding="utf-8")
    board.press(page.buttons[Setting.BACKUP, 0])
    for told in (True, False)[:times]:
        board.hand.bay.told = None
        with qtbot.waitSignal(board.openers.backups.done, timeout=60_000):
            board.choose("Back up now")
        assert "A file stands where the folder for backups should be" in board.sentences()
        assert (board.hand.bay.told is not None) is told
    assert board.openers.backup.last_text() == "the last one failed: see"


def test_how_many_backups_are_kept_is_set_by_touch(board: Walled, page: CellsPage):
    board.press(page.buttons[Setting.BACKUP, 0])
    board.choose("Keep the last 30")
    assert saved(board).backups_kept == 100
    assert "Keep the last 100" in board.choices()


def test_another_language_is_spoken_at_once_also_by_buttons_that_always_say_the_same(board: Walled, catalogues: Path):
    more, bar = board.wall.next_bar.more, board.wall.next_bar
    english, left = more.title, more.x()
    with speaking("ar-XB", catalogues):
        retranslate(board.wall, lambda words: words)
        board.wall.refresher.refresh()
        assert more.title == _("More") != english
        assert more.x() == bar.width() - left - more.width(), "the page is mirrored"
        source = back_to_source()
    retranslate(board.wall, source)
    board.wall.refresher.refresh()
    assert (more.title, more.x()) == (english, left)


def test_a_language_that_is_chosen_is_saved(board: Walled, page: CellsPage):
    board.press(page.buttons[Setting.WORDS, 0])
    words = board.wall.findChildren(CellsPage)[1]
    board.press(words.buttons[Setting.LANGUAGE, 0])
    board.choose("English")
    assert saved(board).language == "en"
    assert words.isVisible()
