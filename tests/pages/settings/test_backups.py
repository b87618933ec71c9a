"""When a backup is due by itself, and what is said of its places."""

from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from bayapp.files.shop.backup_log import BackupLog, PlaceLog
from bayapp.files.shop.settings import Settings
from bayapp.pages.settings.backups import failed_sentence, is_due, last_good, next_kept, place_line, places

BERLIN = ZoneInfo("Europe/Berlin")
HERE, STICK = Path("/srv/bay/backups"), Path("/media/stick/copies")
NOW = datetime(2026, 11, 25, 8, tzinfo=BERLIN)


def log(good_at: datetime | None = None, failed_at: datetime | None = None, why: str = "") -> BackupLog:
    return BackupLog(places={str(HERE): PlaceLog(good_at=good_at, failed_at=failed_at, why=why)})


@pytest.mark.parametrize(
    ("known", "due"),
    [
        (BackupLog(), True),
        (log(NOW.replace(hour=2)), True),
        (log(NOW.replace(hour=4)), False),
        (log(NOW - timedelta(days=3)), True),
        (log(NOW + timedelta(days=900)), True),  # made while the clock was wrong
        (log(NOW - timedelta(days=1), NOW - timedelta(minutes=10)), False),
        (log(NOW - timedelta(days=1), NOW - timedelta(minutes=16)), True),
        (log(NOW - timedelta(days=1), NOW + timedelta(days=900)), True),
    ],
)
def test_a_place_owes_a_backup_after_each_night_and_is_let_be_after_a_failure(known: BackupLog, due: bool):
    assert is_due(known, [HERE], NOW, BERLIN) is due


def test_the_night_is_the_shops_own():
    before_three = datetime(2026, 11, 25, 1, 59, tzinfo=UTC)
    made = log(datetime(2026, 11, 24, 20, tzinfo=UTC))
    assert not is_due(made, [HERE], before_three, BERLIN)
    assert is_due(made, [HERE], before_three + timedelta(minutes=2), BERLIN)


def test_each_place_owes_its_own():
    made = log(NOW)
    assert not is_due(made, [HERE], NOW, BERLIN)
    assert is_due(made, [HERE, STICK], NOW, BERLIN)


def test_backups_go_into_the_store_and_to_the_second_place():
    assert places(Path("/srv/bay"), Settings()) == (HERE,)
    assert places(Path("/srv/bay"), Settings(backups=str(STICK))) == (HERE, STICK)
    assert places(Path("/srv/bay"), Settings(backups=str(HERE))) == (HERE,)


def test_a_place_says_when_its_last_good_one_was_made_and_what_is_wrong_now():
    known = log(NOW - timedelta(hours=2), NOW, "pulled out")
    assert place_line(HERE, True, known, NOW, BERLIN).said == "On this machine: last good one 06:00"
    assert place_line(HERE, True, known, NOW, BERLIN).wrong == "pulled out"
    assert place_line(STICK, False, known, NOW, BERLIN).said == "/media/stick/copies: no good backup yet"


def test_in_a_few_words_the_oldest_of_the_last_good_ones_is_told():
    both = BackupLog(places={str(HERE): PlaceLog(good_at=NOW), str(STICK): PlaceLog(good_at=NOW.replace(hour=5))})
    assert last_good(both, [HERE, STICK], NOW, BERLIN) == "last 05:00"
    assert last_good(BackupLog(), [HERE], NOW, BERLIN) == "none yet"
    assert last_good(log(NOW, NOW, "full"), [HERE], NOW, BERLIN) == "the last one failed: see"


def test_a_failure_is_said_with_its_reason_also_where_nothing_could_be_written_down():
    assert failed_sentence(log(NOW), [HERE], "") == ""
    assert failed_sentence(log(NOW, NOW, "It is full."), [HERE], "x") == "No backup was made: It is full."
    assert failed_sentence(log(NOW), [HERE], "Warning\nNo space left") == "No backup was made: No space left"


def test_the_number_kept_goes_round():
    assert [next_kept(n) for n in (1, 10, 30, 300)] == [10, 30, 100, 10]
