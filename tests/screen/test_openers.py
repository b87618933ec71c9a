"""The choice pages: what they offer, and that each answer does what it says."""

from datetime import timedelta
from pathlib import Path
from shutil import copy

import pytest

from bayapp.files.library import Library
from bayapp.job.state.events import JobClosed, NoteWritten, SoundChecked
from bayapp.pages.board.phrases import cautions, notes, reasons
from bayapp.pages.wanted import Page
from bayapp.paths import resource
from tests.pages.bays import BO, CAR, HandBay, hand_bay
from tests.screen.walls import QuietSound, Walled, walled

SHIPPED = [Library().load_job(path).title for path in sorted(resource("jobs").glob("*.toml"))]


@pytest.fixture
def more(board: Walled) -> Walled:
    board.press(board.wall.next_bar.more)
    assert board.wall.pages.choices.isVisible()
    return board


def test_more_offers_everything_that_has_no_place_on_the_board(more: Walled):
    assert more.choices() == [
        "Cars",
        "Who is in today",
        "Arrival",
        "Plan",
        "Change this job",
        "Day record",
        "Shelf",
        "Recipes",
        "Sound check",
        "The air",
        "The time",
        "Settings",
        "Glove lock",
        "Note",
        "Help",
        "Cautions",
        "Car leaves the bay",
    ]


def test_without_a_car_more_offers_nothing_that_needs_one(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as hand, walled(hand) as wall:
        wall.press(wall.wall.next_bar.more)
        assert not {"Arrival", "Plan", "Change this job", "Day record", "Note", "Car leaves the bay"} & set(
            wall.choices()
        )


def test_every_page_that_more_opens_leads_back_to_more_or_to_the_board(board: Walled):
    for title in ("Cars", "Sound check", "Arrival", "Note", "Cautions", "Car leaves the bay"):
        board.press(board.wall.next_bar.more)
        board.choose(title)
        assert board.wall.pages.choices.isVisible(), title
        board.press(board.wall.pages.choices.close_button)
        if title not in ("Cars", "Sound check"):  # these open from the top line, too
            assert board.wall.pages.choices.title == "More", title
            board.press(board.wall.pages.choices.close_button)
        assert board.wall.car.isVisible(), title


def test_the_clocks_and_the_next_step_stay_in_sight_on_every_page(board: Walled):
    for page in ("cars", "more", "note", "sound", "cautions", "close", "clock"):
        board.turn_to(page)
        assert board.wall.pages.choices.isVisible()
        assert board.wall.column.buttons[0].isVisible(), page
        assert board.wall.next_bar.main.isVisible(), page


def test_a_note_about_the_whole_car(more: Walled):
    more.choose("Note")
    assert more.choices() == ["In own words", *(note.capitalize() for note in notes())]
    more.choose("Photo taken")
    (written,) = more.hand.journal.read()[-1:]
    assert isinstance(written, NoteWritten)
    assert (written.zone, written.text) == (None, "photo taken")


def test_every_reason_can_be_touched(board: Walled):
    board.turn_to("reason")
    assert [c.lower() for c in board.choices()] == [r.lower() for r in reasons()]


def test_the_cautions_are_all_on_the_page(more: Walled):
    more.choose("Cautions")
    assert tuple(more.wall.pages.choices.sentences) == cautions()


# Sound.


def test_without_a_device_the_sign_says_so_and_its_page_says_why(hand: HandBay):
    with walled(hand, sound=QuietSound(works=False)) as wall:
        assert wall.wall.strip.sound.title == "NO SOUND"
        wall.press(wall.wall.strip.sound)
        assert wall.wall.pages.choices.title == "No sound"
        assert wall.wall.pages.choices.sentences == ("No loudspeaker is there; plug one in.",)
        assert hand.bay.state.sound_checked_at is None


def test_the_days_sound_check_is_asked_for_played_and_recorded(board: Walled):
    assert board.wall.strip.sound.title == "Check the sound"
    board.press(board.wall.strip.sound)
    assert board.sound.checks == 1
    board.choose("Play again")
    assert board.sound.checks == 2
    board.choose("I heard it")
    (checked,) = board.hand.journal.read()[-1:]
    assert isinstance(checked, SoundChecked)
    assert checked.heard
    assert board.wall.strip.sound.title == "sound on"
    board.wait(24 * 3600)
    assert board.wall.strip.sound.title == "Check the sound"


def test_a_sound_check_counts_as_heard_only_when_every_tone_was_played(board: Walled):
    board.sound.plays_on = False
    board.press(board.wall.strip.sound)
    before = board.events()
    board.choose("I heard it")
    assert board.wall.pages.choices.subtitle == "The tones are still playing: wait for the last one."
    board.sound.ended(False)
    assert board.wall.pages.choices.subtitle == "The check broke off before its end: play it again."
    board.choose("I heard it")
    assert board.events() == before
    assert board.wall.pages.choices.isVisible()
    board.choose("Play again")
    board.choose("I heard it")
    assert board.events() == before, "the end of an earlier check is not the end of this one"
    board.sound.ended(True)
    assert board.wall.pages.choices.subtitle == "All tones were played."
    board.choose("I heard it")
    (checked,) = board.hand.journal.read()[before:]
    assert isinstance(checked, SoundChecked)
    assert checked.heard


def test_the_end_of_a_sound_check_opens_no_page_that_was_left(board: Walled):
    board.sound.plays_on = False
    board.press(board.wall.strip.sound)
    board.press(board.wall.pages.choices.close_button)
    board.sound.ended(True)
    assert board.wall.car.isVisible()


def test_a_check_that_nobody_heard_stays_on_the_strip(board: Walled):
    board.press(board.wall.strip.sound)
    board.choose("I heard nothing")
    assert board.wall.strip.sound.title == "NOT HEARD"


# Cars.


def test_a_touch_lets_no_car_go_and_is_answered_by_words(more: Walled):
    before = more.events()
    more.choose("Car leaves the bay")
    more.choose("Hold for 2 s: Practice estate has left")
    assert more.events() == before
    assert more.wall.pages.choices.isVisible()
    assert "2 s" in more.wall.pages.choices.subtitle
    more.choose("It stays")
    more.press(more.wall.next_bar.more)
    more.choose("Cars")
    assert not any(b.hold_to_act for b in more.wall.pages.choices.buttons if b.isVisible()), (
        "a hold is left from before"
    )


def test_a_car_leaves_only_after_a_hold(more: Walled):
    before = more.events()
    more.choose("Car leaves the bay")
    more.choose("It stays")
    assert more.events() == before
    more.press(more.wall.next_bar.more)
    more.choose("Car leaves the bay")
    more.hold_choice("Hold for 2 s: Practice estate has left")
    assert isinstance(more.hand.journal.read()[-1], JobClosed)
    assert more.wall.selection.job is None
    assert more.wall.strip.car.title == "No car"
    assert more.wall.pages.choices.isVisible()
    assert not [b for b in more.wall.column.buttons if b.isVisible()]


def test_when_one_of_two_cars_leaves_the_other_is_shown(tmp_path: Path):
    with hand_bay(tmp_path, cars=2) as hand, walled(hand) as wall:
        wall.wall.pages.want(Page.CLOSE)
        wall.hold_choice("Hold for 2 s: Practice estate has left")
        assert wall.wall.selection.job == f"{CAR}-2"
        assert wall.wall.car.isVisible()


def test_the_page_of_cars_shows_them_and_a_touch_shows_another(tmp_path: Path):
    with hand_bay(tmp_path, cars=2) as hand, walled(hand) as wall:
        wall.wall.pages.want(Page.CARS)
        assert wall.choices() == ["Practice estate", "Estate 2", "New car", *SHIPPED]
        wall.choose("Estate 2")
        assert wall.wall.strip.car.title == "Estate 2"
        assert wall.wall.selection.by != BO


def test_a_ready_job_file_is_taken_in_by_two_touches_and_a_broken_one_says_what_is_wrong(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as hand, walled(hand) as wall:
        copy(resource("practice", "practice-job.toml"), hand.store / "jobs" / "blue-estate.toml")
        (hand.store / "jobs" / "broken.toml").write_text('format = "bayapp-job/1"\ntitle = 3\n', encoding="utf-8")
        wall.wall.pages.want(Page.CARS)
        assert wall.choices() == ["New car", "Practice estate", "broken.toml", *SHIPPED]
        broken = next(b for b in wall.wall.pages.choices.buttons if b.title == "broken.toml")
        assert broken.detail == "cannot be opened: touch for why"
        wall.choose("broken.toml")
        assert hand.bay.state.open_jobs == ()
        assert any("title" in sentence for sentence in wall.wall.pages.choices.sentences)
        wall.wall.pages.want(Page.CARS)
        wall.choose("Practice estate")
        wall.press(wall.openers.new_job.begin.begin)
        assert len(hand.bay.state.open_jobs) == 1
        wall.press(wall.wall.pages.choices.close_button)
        assert wall.wall.car.isVisible()
        assert wall.wall.selection.by == "Ash"
        assert not wall.wall.grab().isNull()


def test_one_job_file_takes_in_car_after_car_each_by_its_own_name_and_hour(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as hand, walled(hand) as wall:
        for _ in range(2):
            wall.wall.pages.want(Page.CARS)
            wall.choose_last(SHIPPED[0])
            wall.press(wall.openers.new_job.begin.begin)
            wall.wait(60)
        first, second = hand.bay.state.open_jobs
        assert first.job.id != second.job.id
        assert second.job.title == f"{first.job.title} 2", "two cars bear the same name"
        assert second.opened_at - first.opened_at == timedelta(minutes=1)


def test_a_ready_job_asks_for_colour_people_and_promise_of_the_car_that_comes_in(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as hand, walled(hand) as wall:
        shop = 'format = "bayapp-settings/1"\npeople = ["Ash", "Bo"]\n'
        (hand.store / "settings.toml").write_text(shop, encoding="utf-8")
        wall.wall.pages.want(Page.CARS)
        wall.choose("Estate, glass and rims")
        begin = wall.openers.new_job.begin
        assert begin.isVisible()
        wall.press(next(b for b in begin.colours if b.title == "Blue"))
        if "Bo" not in wall.openers.new_job.draft.crew:
            wall.press(next(b for b in begin.people if b.title == "Bo"))
        wall.press(begin.promise)
        wall.press(begin.begin)
        (car,) = hand.bay.state.open_jobs
        assert car.job.title == "Blue estate, glass and rims"
        assert "Bo" in car.job.crew
        assert car.job.promised is not None
        written = Library().load_job(resource("jobs", "estate-glass-and-rims.toml"))
        worked = {zone: written.recipe_of(zone) for zone in written.block_of}
        assert {zone: car.job.recipe_of(zone) for zone in car.job.block_of} == worked
        wall.wall.pages.want(Page.CARS)
        assert not any(title.startswith("Go on") for title in wall.choices()), "a ready job lies there anyway"


def test_every_ready_job_can_be_reached_however_many_lie_there(hand: HandBay, tmp_path: Path):
    shipped = resource("jobs", "estate-glass-and-rims.toml").read_text(encoding="utf-8")
    with walled(hand) as wall:
        for n in range(20):
            text = shipped.replace("Estate, glass and rims", f"Job {n:02d}")
            (hand.store / "jobs" / f"job-{n:02d}.toml").write_text(text, encoding="utf-8")
        wall.press(wall.wall.strip.car)
        seen: set[str] = set()
        for _ in range(4):
            seen |= set(wall.choices())
            wall.choose("More cars and jobs")
        assert {f"Job {n:02d}" for n in range(20)} <= seen
        assert set(SHIPPED) <= seen


def test_a_job_file_that_was_spoilt_after_it_was_listed_says_why(hand: HandBay):
    with walled(hand) as wall:
        path = hand.store / "jobs" / "soon.toml"
        path.write_text(resource("jobs", "estate-glass-and-rims.toml").read_text(encoding="utf-8"), encoding="utf-8")
        wall.press(wall.wall.strip.car)
        path.write_text("format = 'bayapp-job/1'\n", encoding="utf-8")
        wall.wall.pages.choices.buttons[2].click()
        assert any("title" in sentence for sentence in wall.wall.pages.choices.sentences)
        assert len(hand.bay.state.open_jobs) == 1
