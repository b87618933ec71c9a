"""What every journal must do, on each database that bayapp knows."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import get_args

import pytest

from bayapp.clock import Stamp
from bayapp.job import Event, fold
from bayapp.job.model.ids import JobId, PlaceId, StepId
from bayapp.job.model.place import OUTSIDE, Bay
from bayapp.job.state.events import (
    AirCorrected,
    AirRead,
    AirValues,
    AlertAnswered,
    CarMoved,
    CarMoveUndone,
    ClockStepped,
    PlacesSetUp,
    SoundChecked,
    SplashAnswered,
    TimeCorrected,
)
from bayapp.record import AppendConflict, JournalEntry, StoreInUse, open_journal
from bayapp.record.chain import NOTHING
from bayapp.record.sql_journal import SqlJournal
from tests.record.postgresql import fresh_database
from tests.record.samples import (
    ROOF,
    STAMP,
    air,
    at,
    closed,
    finished,
    of_a_bottle,
    one_of_each,
    opened,
    reopened,
    started,
)

Address = str | Path


class JournalContract:
    """Collected through the subclasses below, which say where the journal lives."""

    @pytest.fixture
    def journal(self, address: Address) -> Iterator[SqlJournal]:
        journal = open_journal(address)
        yield journal
        journal.close()

    def test_a_new_journal_is_empty(self, journal: SqlJournal):
        assert (journal.read(), journal.read_open(), journal.entries(), journal.open_jobs()) == ([], [], [], ())
        assert (journal.last_seq(), journal.last_stamp(), journal.last_heartbeat()) == (0, None, None)

    def test_every_kind_of_event_comes_back_as_it_went_in(self, journal: SqlJournal):
        events = one_of_each()
        assert {type(e) for e in events} == set(get_args(get_args(Event)[0])), "the samples miss a kind"
        assert journal.append(events, STAMP) == tuple(range(1, len(events) + 1))
        assert journal.read() == events
        assert fold(journal.read()) == fold(events)

    def test_entries_are_numbered_on_and_carry_their_stamp(self, journal: SqlJournal):
        later = Stamp("boot-2", 1, 1_795_600_000_000)
        journal.append((opened("car"),), STAMP)
        assert journal.append((started(), finished()), later) == (2, 3)
        assert journal.entries(after_seq=1) == [JournalEntry(2, started(), later), JournalEntry(3, finished(), later)]
        assert journal.last_seq() == 3
        assert journal.last_stamp() == (finished().at, later)

    def test_the_head_stands_for_all_that_was_recorded(self, journal: SqlJournal):
        assert journal.head() == NOTHING
        journal.append((opened("car"),), STAMP)
        first = journal.head()
        journal.append((started(),), STAMP)
        assert (first.seq, journal.head().seq) == (1, 2)
        assert len({NOTHING.checksum, first.checksum, journal.head().checksum}) == 3

    def test_nothing_appended_changes_nothing(self, journal: SqlJournal):
        assert journal.append((), STAMP) == ()
        assert journal.last_seq() == 0

    def test_who_was_overtaken_is_told_and_nothing_is_recorded(self, journal: SqlJournal):
        journal.append((opened("car"),), STAMP, after_seq=0)
        with pytest.raises(AppendConflict) as overtaken:
            journal.append((started(),), STAMP, after_seq=0)
        assert (overtaken.value.expected, overtaken.value.found) == (0, 1)
        assert journal.append((started(),), STAMP, after_seq=1) == (2,)
        assert journal.read() == [opened("car"), started()]

    def test_what_was_recorded_is_there_after_the_journal_was_opened_anew(self, address: Address):
        first = open_journal(address)
        first.append(one_of_each(), STAMP)
        first.heartbeat(at(11), STAMP)
        first.close()
        again = open_journal(address)
        assert again.read() == one_of_each()
        assert again.last_heartbeat() == (at(11), STAMP)
        again.close()

    def test_only_the_last_heartbeat_is_kept(self, journal: SqlJournal):
        for minutes in (1, 2, 3):
            journal.heartbeat(at(minutes), STAMP)
        assert journal.last_heartbeat() == (at(3), STAMP)

    def test_a_second_writer_is_refused_until_the_first_has_closed(self, journal: SqlJournal, address: Address):
        with pytest.raises(StoreInUse, match="Another wall screen"):
            open_journal(address)
        journal.close()
        open_journal(address).close()

    def test_a_reader_sees_beside_the_writer_what_is_recorded_meanwhile(self, journal: SqlJournal, address: Address):
        reader = open_journal(address, write=False)
        journal.append((opened("car"),), STAMP)
        assert reader.read() == [opened("car")]
        journal.append((started(),), STAMP)
        assert reader.read() == [opened("car"), started()]
        reader.close()

    def test_a_reader_may_not_write(self, journal: SqlJournal, address: Address):
        reader = open_journal(address, write=False)
        with pytest.raises(PermissionError):
            reader.append((opened("car"),), STAMP)
        reader.close()
        assert journal.last_seq() == 0

    def test_a_closed_journal_may_not_write(self, address: Address):
        journal = open_journal(address)
        journal.close()
        with pytest.raises(PermissionError):
            journal.append((opened("car"),), STAMP)

    def test_a_job_is_open_from_coming_in_to_leaving_and_may_come_in_again(self, journal: SqlJournal):
        journal.append((opened("a"), opened("b"), opened("c"), closed("a", 1), closed("b", 2)), STAMP)
        assert journal.open_jobs() == (JobId("c"),)
        journal.append((opened("a", 3),), STAMP)
        assert journal.open_jobs() == (JobId("c"), JobId("a"))

    def test_one_job_is_read_with_what_belongs_to_no_job(self, journal: SqlJournal):
        journal.append((opened("a"), opened("b"), air(1), started("a", 2), started("b", 3)), STAMP)
        assert journal.read_job(JobId("a")) == [opened("a"), air(1), started("a", 2)]

    def test_the_moments_of_one_job_are_its_own(self, journal: SqlJournal):
        journal.append((opened("a"), opened("b"), air(1), started("a", 2), started("b", 3)), STAMP)
        assert journal.moments_of(JobId("a")) == [at(0), at(2)]
        assert journal.moments_of(JobId("c")) == []

    def test_the_present_needs_no_closed_job(self, journal: SqlJournal):
        journal.append((opened("old"), started("old", 1), closed("old", 2)), STAMP)
        journal.append((opened("car", 3), started("car", 4)), STAMP)
        assert journal.read_open() == [opened("car", 3), started("car", 4)]

    def test_the_present_knows_when_the_last_thing_happened_also_where_that_was_a_car_leaving(
        self, journal: SqlJournal
    ):
        journal.append((opened("car"), opened("old", 1), started("old", 2), closed("old", 3)), STAMP)
        assert journal.read_open() == [opened("car"), closed("old", 3)]
        assert fold(journal.read_open()).last_at == at(3)

    def test_jobs_that_left_since_an_instant_are_listed_by_when_they_came_in(self, journal: SqlJournal):
        journal.append((opened("a"), opened("b"), opened("c"), opened("inside"), opened("again")), STAMP)
        journal.append((closed("a", 1), closed("again", 2), closed("c", 2), closed("b", 3), opened("again", 4)), STAMP)
        assert journal.left_since(at(1)) == (JobId("a"), JobId("b"), JobId("c"))
        assert journal.left_since(at(2)) == (JobId("b"), JobId("c"))
        assert journal.left_since(at(3) + timedelta(milliseconds=1)) == ()

    def test_where_cars_stand_and_the_air_around_them_is_the_same_after_a_restart(self, journal: SqlJournal):
        def read(minutes: float, air_c: float, place: PlaceId | None) -> AirRead:
            return air(minutes, air_c).model_copy(update={"place": place})

        bays = tuple(Bay(id=PlaceId(f"bay-{n}"), name=f"Bay {n}", curtain=True) for n in (1, 2))
        first, second = (bay.id for bay in bays)
        car, other = JobId("car"), JobId("other")
        events: list[Event] = [
            PlacesSetUp(at=at(-9000), bays=bays),
            read(-8000, 10.0, first),
            read(-7000, 11.0, OUTSIDE),
            read(-20, 12.0, second),
            opened("car").model_copy(update={"place": first}),
            opened("other", 1).model_copy(update={"place": second}),
            started("car", 2),
            read(3, 13.0, first),
            finished("car", 4),
            CarMoved(at=at(20), job=car, was=first, to=second),
            CarMoved(at=at(21), job=other, was=second, to=OUTSIDE),
            SplashAnswered(at=at(22), job=other, of=car, zones=(ROOF,), out_of_reach=True),
            CarMoveUndone(at=at(23), job=other),
        ]
        journal.append(events, STAMP)
        whole, present = fold(events), fold(journal.read_open())
        assert present.jobs == whole.jobs
        assert (present.places, present.splash) == (whole.places, whole.splash)
        said = [(r.measured_at, getattr(r, "air_c", None)) for r in present.jobs[car].readings]
        assert said == [(at(3), 13.0), (at(20), None)], "that of 12 degrees is over half an hour old by then"

    def test_a_car_that_came_back_is_open_from_when_it_first_came_in_with_the_air_since_then(self, journal: SqlJournal):
        journal.append((air(-9000, 10.0), air(-5000, 11.0), opened("old", -4000), started("old", -3990)), STAMP)
        journal.append((air(-3000, 12.0), closed("old", -2900), opened("car"), reopened("old", 5)), STAMP)
        assert journal.open_jobs() == (JobId("old"), JobId("car"))
        assert journal.left_since(at(-9000)) == ()
        present = fold(journal.read_open())
        assert [job.job.id for job in present.open_jobs] == ["old", "car"]
        assert [getattr(r, "air_c", None) for r in present.jobs[JobId("old")].readings] == [11.0, 12.0]

    def test_past_cars_are_told_newest_first_by_when_they_left_and_only_as_many_as_asked(self, journal: SqlJournal):
        journal.append((opened("a"), opened("b", 1), opened("c", 2), opened("in", 3), closed("b", 4)), STAMP)
        journal.append((closed("a", 5), closed("c", 6), reopened("c", 7), closed("c", 8)), STAMP)
        past = journal.past_cars(0, 9)
        assert [(car.job.id, car.came_at, car.left_at) for car in past] == [
            ("c", at(2), at(8)),
            ("a", at(0), at(5)),
            ("b", at(1), at(4)),
        ]
        assert past[0].job == opened("c", 2).opened
        assert [car.job.id for car in journal.past_cars(1, 1)] == ["a"]
        assert journal.past_cars(3, 9) == ()

    def test_one_job_is_read_alone(self, journal: SqlJournal):
        events: list[Event] = [opened("a"), opened("b"), air(1), started("a", 2), started("b", 3), closed("a", 4)]
        journal.append(events, STAMP)
        assert journal.read_job(JobId("a"), alone=True) == [opened("a"), started("a", 2), closed("a", 4)]

    def test_the_present_adds_up_to_the_same_as_the_whole_journal(self, journal: SqlJournal):
        kept = (AlertAnswered, SoundChecked, ClockStepped)
        answers, sound, step = (next(e for e in one_of_each() if isinstance(e, kind)) for kind in kept)
        day = 24 * 60
        events: list[Event] = [
            sound,
            step,
            air(-9 * day, 5.0),
            answers,
            opened("old"),
            started("old", 1),
            closed("old", 2),
        ]
        events += [air(3), opened("car", 4), air(5), started("car", 6), finished("car", 7), air(3 * day, 25.0)]
        journal.append(events, STAMP)
        whole, present = fold(events), fold(journal.read_open())
        assert [replace(job, readings=()) for job in present.open_jobs] == [
            replace(job, readings=()) for job in whole.open_jobs
        ]
        assert (present.air, present.sound_checked_at, present.sound_heard) == (
            whole.air,
            whole.sound_checked_at,
            whole.sound_heard,
        )
        assert (present.clock_steps, present.last_at) == (whole.clock_steps, whole.last_at)
        assert [r.at for r in present.readings] == [at(3), at(5), at(3 * day)], "that before the job holds on"

    def test_the_present_knows_the_reading_that_held_when_its_oldest_job_came_in(self, journal: SqlJournal):
        """One recorded before that had been read late, and the one after it was withdrawn."""
        first = air(-3 * 1440, 11.0)
        good = air(-2 * 1440, 12.0)
        late = air(-1440, 13.0).model_copy(update={"read_at": at(-2.5 * 1440), "source": "wall"})
        bad = air(-1500, 40.0)
        was = AirValues(air_c=40.0, rh_percent=50.0, surface_c=19.5)
        withdrawn = AirCorrected(at=at(-600), corrects=bad.at, was=was)
        events: list[Event] = [first, good, bad, late, withdrawn, opened("car", 0), started("car", 1)]
        journal.append(events, STAMP)
        present = fold(journal.read_open())
        assert [r.air_c for r in present.readings] == [13.0, 12.0]
        assert present.air == good

    def test_the_present_knows_the_air_since_a_start_was_corrected_to(self, journal: SqlJournal):
        moved = TimeCorrected(
            at=at(3), job=JobId("car"), zone=ROOF, step=StepId("wipe"), edge="start", was=at(1), becomes=at(-3000)
        )
        events: list[Event] = [
            air(-6000, 10.0),
            air(-4000, 11.0),
            air(-2000, 12.0),
            opened("car", 0),
            started("car", 1),
            moved,
        ]
        journal.append(events, STAMP)
        assert [r.air_c for r in fold(journal.read_open()).readings] == [11.0, 12.0]

    def test_the_shelf_is_known_however_old_its_entries_are(self, journal: SqlJournal):
        journal.append([*of_a_bottle(1), opened("old", 2), closed("old", 3), air(90 * 24 * 60)], STAMP)
        assert fold(journal.read_open()).shelf == fold(journal.read()).shelf
        assert fold(journal.read_open()).shelf.bottles

    def test_a_long_journal_is_read_in_order(self, journal: SqlJournal):
        events = [started("car", n, touch=f"t-{n}") for n in range(700)]
        journal.append([opened("car"), *events], STAMP)
        assert journal.read_open() == [opened("car"), *events]

    def test_instants_keep_their_milliseconds(self, journal: SqlJournal):
        moment = datetime(2026, 11, 25, 8, 0, 0, 999_000, tzinfo=UTC)
        journal.heartbeat(moment, STAMP)
        journal.append((started("car").model_copy(update={"at": moment}),), STAMP)
        assert journal.last_heartbeat() == (moment, STAMP)
        last = journal.last_stamp()
        assert last is not None
        assert last[0] == moment


class TestOnSqlite(JournalContract):
    @pytest.fixture
    def address(self, tmp_path: Path) -> Address:
        return tmp_path / "store"


class TestOnSqliteByUrl(JournalContract):
    @pytest.fixture
    def address(self, tmp_path: Path) -> Address:
        return f"sqlite:///{tmp_path}/elsewhere/bay.sqlite3"


@pytest.fixture(scope="module")
def new_database() -> Iterator[Callable[[], str]]:
    with fresh_database() as make:
        yield make


class TestOnPostgresql(JournalContract):
    @pytest.fixture
    def address(self, new_database: Callable[[], str]) -> Address:
        return new_database()
