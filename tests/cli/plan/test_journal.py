"""The journal followed beside a writer: always what a fresh fold of all of it gives."""

import sqlite3
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest

from bayapp.cli.plan.journal import FollowedJournal
from bayapp.job import Event, fold
from bayapp.job.model.ids import JobId
from bayapp.planning.from_bay.pace import timed_runs
from bayapp.record import StoreProblem, open_journal
from bayapp.record.journal import Journal
from tests.record.samples import STAMP, air, closed, finished, opened, reopened, started


@pytest.fixture
def writer(tmp_path: Path) -> Iterator[Journal]:
    journal = open_journal(tmp_path)
    yield journal
    journal.close()


@pytest.fixture
def follower(tmp_path: Path) -> Iterator[FollowedJournal]:
    followed = FollowedJournal(tmp_path)
    yield followed
    followed.close()


def test_what_is_new_is_added_to_what_was_read(writer: Journal, follower: FollowedJournal):
    happened: list[Event] = []
    touches: list[list[Event]] = [[opened("car")], [air(0.5)], [started(), finished()], [], [opened("other", 3)]]
    for entries in touches:
        writer.append(entries, STAMP)
        happened += entries
        assert follower.state() == fold(happened)


def test_only_the_present_is_read_at_first_and_never_again(writer: Journal, follower: FollowedJournal, tmp_path: Path):
    day = 24 * 60
    gone: list[Event] = [opened("gone"), started("gone"), finished("gone"), closed("gone", 3)]
    writer.append([*gone, opened("car", day + 4)], STAMP)
    assert [job.job.id for job in follower.state().jobs.values()] == ["car"]
    writer.append([started("car", day + 5)], STAMP)
    with sqlite3.connect(tmp_path / "journal.sqlite3") as connection:
        connection.execute("UPDATE journal SET body = 'no event at all' WHERE seq <= 5")
    assert follower.state().last_at == started("car", day + 5).at, "an entry that was read before was read again"


def test_a_car_that_comes_back_is_read_with_all_that_it_did_before(writer: Journal, follower: FollowedJournal):
    gone: list[Event] = [opened("gone"), started("gone"), finished("gone"), closed("gone", 3)]
    writer.append([*gone, opened("car", 9 * 24 * 60)], STAMP)
    assert JobId("gone") not in follower.state().jobs
    writer.append([reopened("gone", 9 * 24 * 60 + 1)], STAMP)
    assert follower.state() == fold(writer.read())


def test_what_left_within_a_day_is_known_from_the_first_reading_on_for_it_tells_how_fast_people_work(
    writer: Journal, follower: FollowedJournal
):
    gone: list[Event] = [opened("gone"), started("gone"), finished("gone"), closed("gone", 3)]
    writer.append([*gone, opened("gone too", 4), opened("car", 5), closed("gone too", 24 * 60)], STAMP)
    whole = fold(writer.read())
    assert list(follower.state().jobs.items()) == list(whole.jobs.items())
    assert follower.state().last_at == whole.last_at
    assert len(timed_runs(follower.state().jobs.values())) == 1


def test_an_entry_that_comes_while_the_present_is_read_counts_once(
    writer: Journal, follower: FollowedJournal, monkeypatch: pytest.MonkeyPatch
):
    writer.append([opened("car")], STAMP)
    late: list[Sequence[Event]] = [[air(1)], [air(2)]]
    read_open = type(writer).read_open

    def read_slowly(journal: Journal) -> list[Event]:
        if late:
            writer.append(late.pop(), STAMP)
        return read_open(journal)

    monkeypatch.setattr(type(writer), "read_open", read_slowly)
    assert len(follower.state().readings) == 2
    assert follower.state() == fold(writer.read())


def test_a_store_that_cannot_be_read_is_reported_and_read_anew_once_it_can(tmp_path: Path, follower: FollowedJournal):
    with pytest.raises(StoreProblem, match="no journal here yet"):
        follower.state()
    writer = open_journal(tmp_path)
    writer.append([opened("car")], STAMP)
    assert follower.state() == fold(writer.read())
    writer.append([air(1)], STAMP)
    writer.append([started()], STAMP)
    with sqlite3.connect(tmp_path / "journal.sqlite3") as connection:
        body = connection.execute("SELECT body FROM journal").fetchone()[0]
        connection.execute("UPDATE journal SET body = 'no event' WHERE seq = 1")
    assert follower.state().last_at == started().at
    with sqlite3.connect(tmp_path / "journal.sqlite3") as connection:
        connection.execute(
            "INSERT INTO journal SELECT 4, at_ms, name, job, 'no event', boot_id, boot_ms, wall_ms, '' "
            "FROM journal WHERE seq = 3"
        )
    with pytest.raises(StoreProblem, match="damaged"):
        follower.state()
    with sqlite3.connect(tmp_path / "journal.sqlite3") as connection:
        connection.execute("DELETE FROM journal WHERE seq = 4")
        connection.execute("UPDATE journal SET body = ? WHERE seq = 1", (body,))
    assert follower.state() == fold(writer.read())
    writer.close()
