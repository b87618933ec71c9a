"""The owner by touch: told, seen, erased by a hold; the journal and all else of the store know nothing of it."""

import json
from pathlib import Path

from bayapp.job import CloseJob, JobState
from bayapp.pages.wanted import Page, ShowPastCar
from bayapp.record import backup
from bayapp.record.owners import NAME, NOBODY, Owner, keep_owner, owner_of
from bayapp.report.exports import to_csv, to_json
from bayapp.report.facts.content import day_record
from bayapp.screen.input.typed_entry import TypingPage
from tests.pages.bays import CAR, HandBay
from tests.screen.walls import Walled


def type_in(wall: Walled, text: str) -> None:
    (page,) = wall.wall.findChildren(TypingPage)
    for sign in text:
        wall.press(next(key for key in page.keys if key.isVisible() and key.property("key") == sign))
    wall.press(page.record_button)


def tell(wall: Walled) -> None:
    wall.wall.pages.want(Page.ARRIVAL)
    wall.choose("Owner")
    wall.choose("Name")
    type_in(wall, "QUIRINA VOSS")
    wall.choose("Phone")
    type_in(wall, "+00 555 0199")


def files_that_hold(store: Path, *words: str) -> set[str]:
    """Return the files of a store, by name, in which any of these words stands, whatever the letters' size."""
    found = set()
    for path in store.rglob("*"):
        if path.is_file() and any(word.lower().encode() in path.read_bytes().lower() for word in words):
            found.add(path.name)
    return found


def test_name_and_phone_are_told_by_touch_and_stand_in_one_file_alone(board: Walled):
    tell(board)
    assert owner_of(board.hand.store, CAR) == Owner(name="Quirina Voss", phone="+00 555 0199")
    assert board.details()[:2] == ["Quirina Voss", "+00 555 0199"]
    board.press(board.wall.pages.choices.close_button)
    assert "told; touch to see" in board.details(), "no visitor reads a name on the wall"
    assert files_that_hold(board.hand.store, "Quirina", "Voss", "555 0199") == {NAME}


def test_no_export_and_no_state_holds_it(board: Walled, hand: HandBay):
    tell(board)
    at = hand.bay.now()
    record = day_record(list(hand.journal.read()), CAR, at.date(), at, board.wall.selection.tz)
    car: JobState = hand.bay.state.jobs[CAR]
    for text in (to_json(record), to_csv(record), repr(car), json.dumps(car.job.model_dump(mode="json"))):
        assert "Voss" not in text
        assert "555 0199" not in text


def test_it_is_erased_by_a_hold_and_by_no_touch(board: Walled):
    tell(board)
    entries = board.hand.journal.read()
    board.choose("Hold for 2 s: Erase both")
    assert owner_of(board.hand.store, CAR) != NOBODY
    board.hold_choice("Hold for 2 s: Erase both")
    assert owner_of(board.hand.store, CAR) == NOBODY
    assert files_that_hold(board.hand.store, "Quirina", "555 0199") == set()
    assert list(board.hand.journal.read()) == list(entries)


def test_of_a_car_that_left_it_is_seen_and_erased_too(board: Walled):
    tell(board)
    assert board.hand.bay.request(CloseJob(CAR)).accepted
    board.wait(1)
    board.wall.pages.want(ShowPastCar(CAR))
    (past,) = [page for page in board.wall.pages.pages if type(page).__name__ == "PastCarPage"]
    board.press(past.owner)  # type: ignore[attr-defined]
    assert board.details()[0] == "Quirina Voss"
    board.hold_choice("Hold for 2 s: Erase both")
    assert owner_of(board.hand.store, CAR) == NOBODY


def test_a_name_is_put_right_and_may_be_erased_to_nothing(board: Walled):
    keep_owner(board.hand.store, CAR, Owner(name="Ann", phone="7"))
    board.wall.pages.want(Page.ARRIVAL)
    board.choose("Owner")
    board.choose("Name")
    (page,) = board.wall.findChildren(TypingPage)
    for _sign in "Ann":
        board.press(page.erase)
    board.press(page.record_button)
    assert owner_of(board.hand.store, CAR) == Owner(phone="7")


def test_a_damaged_file_is_said_and_stands_in_nobodys_way(board: Walled):
    (board.hand.store / NAME).write_bytes(b"{")
    board.wall.pages.want(Page.ARRIVAL)
    board.choose("Owner")
    assert "is damaged" in board.sentences()
    board.choose("Name")
    type_in(board, "ANNA")
    assert "lies aside" in board.sentences()
    assert owner_of(board.hand.store, CAR).name == "Anna"


def test_a_backup_carries_it_and_a_restore_and_the_check_go_on_working(board: Walled, tmp_path: Path):
    tell(board)
    stick = tmp_path / "stick"
    copy = backup.back_up(board.hand.store, stick)
    assert owner_of(stick, CAR).name == "Quirina Voss"
    assert files_that_hold(stick, "Quirina", "555 0199") == {NAME}
    backup.verify(copy)
    backup.restore(copy, tmp_path / "fresh")
    assert owner_of(tmp_path / "fresh", CAR).name == "Quirina Voss"
