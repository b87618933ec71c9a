"""What the window of a failed start says, and which ways on it offers."""

from datetime import UTC, timedelta
from pathlib import Path

import pytest

from bayapp.files.problems import BadFile, Finding
from bayapp.pages.starting.start_trouble import (
    Looking,
    Way,
    look_first,
    mended_note,
    sentences,
    told_again,
    trouble_of,
    way_buttons,
)
from bayapp.record import CutStore, DamagedStore, NewerStore, StoreInUse, StoreProblem
from bayapp.record.kept_backups import KeptBackup
from bayapp.time_zone import UnknownZoneError
from tests.record.samples import START

STORE = Path("/srv/bay")
DAMAGED = DamagedStore("The journal is damaged.", "/srv/bay", "Restore.")
BACKUP = KeptBackup(Path("/media/stick/copy"), START, 40)


def wrong(file: str) -> BadFile:
    return BadFile([Finding(file, 2, "theme", "'purple' is not known here")])


@pytest.mark.parametrize(
    ("failed", "way"),
    [
        (DAMAGED, Way.EMPTY),
        (CutStore("the end is missing", "/srv/bay", "restore"), Way.CUT),
        (NewerStore("newer", "/srv/bay", "install"), None),
        (StoreInUse("/srv/bay"), None),
        (StoreProblem("full", "/srv/bay", "free some"), None),
        (wrong("/srv/bay/settings.toml"), Way.WITHOUT_SETTINGS),
        (wrong("/home/car.toml"), Way.WITHOUT_CAR),
        (UnknownZoneError("Nowhere/Land"), Way.WITHOUT_ZONE),
        (OSError("no"), None),
        (ImportError("no"), None),
        (RuntimeError("no"), None),
    ],
)
def test_every_failed_start_can_be_tried_again_and_left_and_what_is_not_needed_can_be_left_out(
    failed: Exception, way: Way | None
):
    trouble = trouble_of(failed, "what was said", STORE)
    buttons = way_buttons(trouble, None)
    assert [button.way for button in buttons] == [*([way] if way else []), Way.AGAIN, Way.LEAVE]
    assert trouble.title
    assert all(trouble.sentences)


def test_a_backup_is_offered_with_its_age_and_what_it_lacks_and_nothing_empty_beside_it():
    trouble = trouble_of(DAMAGED, "", STORE)
    assert [button.way for button in way_buttons(trouble, BACKUP)] == [Way.RESTORE, Way.AGAIN, Way.LEAVE]
    for entries, lacks in ((54, "14 entries are missing"), (41, "1 entry is missing"), (None, "cannot be told")):
        read = sentences(trouble, BACKUP, entries, START + timedelta(hours=3, minutes=12), UTC)
        assert "3 h 12 ago" in read[-1]
        assert lacks in read[-1]


@pytest.mark.parametrize(
    ("age", "said"),
    [(timedelta(minutes=-5), "less than a minute"), (timedelta(minutes=59), "59 min"), (timedelta(days=3), "3 days")],
)
def test_the_age_of_a_backup_is_told_in_a_few_words(age: timedelta, said: str):
    assert f"{said} ago" in sentences(trouble_of(DAMAGED, "", STORE), BACKUP, 40, START + age, UTC)[-1]


def test_what_replaces_something_or_leaves_the_wall_dark_is_held():
    for backup in (BACKUP, None):
        held = {button.way for button in way_buttons(trouble_of(DAMAGED, "", STORE), backup) if button.hold}
        assert held == {Way.LEAVE, Way.RESTORE if backup else Way.EMPTY}


def test_while_a_backup_is_looked_for_nothing_is_replaced():
    trouble = trouble_of(DAMAGED, "", STORE)
    assert [button.way for button in way_buttons(trouble, Looking.LOOKING)] == [Way.AGAIN, Way.LEAVE]
    assert "Looking" in told_again(trouble, Looking.LOOKING, 10)
    assert told_again(trouble, BACKUP, 10) == ""


def test_what_may_be_over_by_itself_is_tried_again_by_itself():
    assert "every 10 s" in told_again(trouble_of(StoreInUse("/srv/bay"), "", STORE), None, 10)


def test_a_journal_that_goes_on_with_less_says_so_for_the_record_and_other_ways_say_nothing():
    note = mended_note("It is damaged.", Way.RESTORE, BACKUP, 41, UTC)
    assert note == "It is damaged. The backup of 25 Nov 08:00 was put back. 1 entry is missing since then."
    assert mended_note("It is damaged.", Way.RESTORE, BACKUP, 40, UTC).endswith("was put back.")
    assert mended_note("Cut.", Way.CUT, None, None, UTC) == "Cut. It was gone on from what was there."
    assert mended_note("Cut.", Way.AGAIN, BACKUP, 41, UTC) == ""
    assert "Look at each car first" in look_first()
