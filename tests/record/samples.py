"""A small invented job, its events and stamps, and stores of them."""

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from bayapp.clock import EPOCH, Stamp, to_ms
from bayapp.job import Event, Job, JobFile, VehicleForm, WorkBlock, Zone, resolve
from bayapp.job.model.brakes import BrakeCheck
from bayapp.job.model.identity import Identity, Mileage
from bayapp.job.model.ids import BottleId, Code, JobId, Person, PlaceId, StepId, ZoneId
from bayapp.job.model.mark import Damage, Mark, MarkKind
from bayapp.job.model.place import OUTSIDE, Bay
from bayapp.job.model.product import Product
from bayapp.job.model.recipe import Recipe
from bayapp.job.model.spot_card import SpotCard
from bayapp.job.state.events import (
    AirCorrected,
    AirRead,
    AirValues,
    AlertAnswered,
    BaySetUp,
    BottleChosen,
    BottleDrawn,
    BottleFinished,
    BottleMeasured,
    BottleOpened,
    BottlePutBack,
    BottleRelabelled,
    BottleShelved,
    BrakesChecked,
    BrokenRule,
    CarMoved,
    CarMoveUndone,
    ClockStepped,
    ClockSynchronised,
    CoatCovered,
    CoatUncovered,
    CrewChanged,
    Deviation,
    GotWet,
    IdentityGiven,
    JobClosed,
    JobOpened,
    JobReopened,
    MachineStarted,
    MarkLifted,
    MarkSet,
    NoteWritten,
    OutageLength,
    PhotoAdded,
    PhotoWithdrawn,
    PlacesSetUp,
    RecipeSwapped,
    SetClosed,
    SoundChecked,
    SplashAnswered,
    SpotSkipped,
    SpotTried,
    StayedLonger,
    StepFinished,
    StepStarted,
    StepUndone,
    ThicknessRead,
    ThicknessWithdrawn,
    TimeCorrected,
    TimePutRight,
    TimeZoneChanged,
    WorkAdded,
    ZonePassed,
    ZoneSentBack,
    ZoneSetAside,
    ZoneTakenUp,
)
from bayapp.record.bodies import name_of
from bayapp.record.chain import FIRST, Entry, checksum_of

CHIP = Mark(kind=MarkKind.DAMAGE, what=Damage.CHIP, point=(310.5, 42), note="Türkante")
REPAINT = Mark(kind=MarkKind.REPAINTED, date=date(2026, 11, 16), days=60)
TRIED = SpotCard(machine="Exzenter", pad="weich", paste="Tarnwick №1", passes=4, result="kein Schleier", chosen=False)
START = datetime(2026, 11, 25, 8, tzinfo=UTC)
ASH = Person("Ash")
ROOF = ZoneId("roof")
COAT = StepId("coat-1")
STAMP = Stamp("boot-1", 5_000, to_ms(START - EPOCH))


def at(minutes: float) -> datetime:
    return START + timedelta(minutes=minutes)


def job(name: str, zone_ids: Sequence[str] = ("roof", "bonnet")) -> Job:
    recipe = {"step": [{"id": "wipe", "kind": "wipe"}, {"id": "coat-1", "kind": "coat", "wait": {"min": 1, "max": 30}}]}
    written = JobFile.model_validate(
        {
            "format": "bayapp-job/1",
            "title": f"Car {name}",
            "vehicle": "test-car",
            "crew": ["Ash"],
            "start": START,
            "work": [{"zones": list(zone_ids), "recipe": "ladder"}],
            "recipe": {"ladder": recipe},
        }
    )
    zones = tuple(Zone(id=z, name=z, surface="paint", area_m2=1) for z in zone_ids)
    form = VehicleForm(
        format="bayapp-vehicle/1", name="test-car", title="Test car", drawing="test-car.svg", zone=zones, sets={}
    )
    return resolve(written, JobId(name), form, recipe_named=_no_recipe, product_named=lambda _name: None)


def _no_recipe(name: str) -> Recipe:
    raise KeyError(name)


def opened(name: str, minutes: float = 0) -> JobOpened:
    return JobOpened(at=at(minutes), job=JobId(name), opened=job(name))


def closed(name: str, minutes: float) -> JobClosed:
    return JobClosed(at=at(minutes), job=JobId(name))


def reopened(name: str, minutes: float) -> JobReopened:
    return JobReopened(at=at(minutes), job=JobId(name))


def started(name: str = "car", minutes: float = 1, **more: object) -> StepStarted:
    values = {"at": at(minutes), "job": name, "by": ASH, "zone": ROOF, "step": StepId("wipe"), **more}
    return StepStarted.model_validate(values)


def finished(name: str = "car", minutes: float = 2) -> StepFinished:
    return StepFinished(at=at(minutes), job=JobId(name), by=ASH, zone=ROOF, step=StepId("wipe"))


def air(minutes: float, air_c: float = 20.0) -> AirRead:
    return AirRead(at=at(minutes), air_c=air_c, rh_percent=50.0, surface_c=19.5)


def one_of_each() -> list[Event]:
    """Every kind of event, with characters beyond ASCII and every optional part somewhere filled."""
    also = BrokenRule(code=Code.AIR, why="the panel is too near the dew point")
    deviation = Deviation(code=Code.EARLY, why="opens at 08:05", reason="the lamp’s heat had dried it", also=(also,))
    car = JobId("car")
    return [
        opened("car"),
        started("car", 1, touch="t-1", implied=True, deviation=deviation),
        finished("car", 2),
        StepUndone(at=at(3), job=car, by=ASH, zone=ROOF),
        TimeCorrected(at=at(4), job=car, zone=ROOF, step=COAT, edge="start", was=at(1), becomes=at(0.5)),
        air(5),
        air(5.25).model_copy(update={"read_at": at(5), "source": "wänd-1"}),
        AirCorrected(
            at=at(5.5),
            by=ASH,
            corrects=at(5.25),
            source="wänd-1",
            was=AirValues(air_c=20.0, rh_percent=50.0, surface_c=19.5, read_at=at(5)),
            becomes=AirValues(air_c=21.0, rh_percent=50.0),
        ),
        AirCorrected(at=at(5.5), corrects=at(5), was=AirValues(air_c=20.0, rh_percent=50.0, surface_c=19.5)),
        IdentityGiven(
            at=at(6),
            job=car,
            by=ASH,
            identity=Identity(
                plate="Ж 12 ÅÖ ٣٤",
                key_hook="7 b",
                mileage=Mileage(figure=88_001, unit="mi"),
                wishes=("leave stone chips as they are", "kein „Duft“"),
            ),
        ),
        NoteWritten(at=at(6), job=car, by=ASH, zone=ROOF, text='Türgriff: „Kratzer“, 3 mm ✓ \\ " \n zweite Zeile'),
        *of_the_paint(6.5),
        AlertAnswered(at=at(7), subjects=("car/roof/coat-1",), until=at(9)),
        SoundChecked(at=at(8), heard=True),
        ClockStepped(at=at(9), by_ms=-3_600_000),
        MachineStarted(at=at(9), off_since=at(8), on_ms=30_000, offset_ms=-5, length="unsure", synchronised=True),
        ClockSynchronised(at=at(9), utc=at(9.01)),
        TimePutRight(at=at(9), by=ASH, answer="time", outages=(OutageLength(until=at(9), length="told"),)),
        TimeZoneChanged(at=at(9), was="Europe/Berlin", becomes="America/New_York"),
        ZoneSetAside(at=at(9.5), job=car, by=ASH, zone=ROOF, reason="Teil fehlt"),
        ZoneTakenUp(at=at(9.75), job=car, by=ASH, zone=ROOF),
        CoatCovered(at=at(9.76), job=car, by=ASH, zone=ROOF),
        CoatUncovered(at=at(9.77), job=car, by=ASH, zone=ROOF),
        SetClosed(at=at(9.77), job=car, by=ASH, zone=ROOF, step=COAT, without=(ZoneId("bonnet"),)),
        ZoneSentBack(at=at(9.775), job=car, by=ASH, zone=ROOF, step=COAT, reason="Wolken im Gegenlicht"),
        GotWet(at=at(9.775), job=car, by=ASH, zone=ROOF, wet_at=at(9.7)),
        ZonePassed(at=at(9.775), job=car, by=ASH, zone=ROOF),
        SpotTried(at=at(9.7751), job=car, by=ASH, combination="paste/polisher", card=TRIED),
        SpotSkipped(at=at(9.7752), job=car, by=ASH, combination="/"),
        BrakesChecked(
            at=at(9.7755), job=car, by=ASH, check=BrakeCheck(discs_clean=True, wheels_off=True, torque_nm=120.5)
        ),
        MarkSet(at=at(9.776), job=car, by=ASH, zone=ROOF, mark=CHIP),
        MarkLifted(at=at(9.777), job=car, by=ASH, zone=ROOF, mark=CHIP),
        MarkSet(at=at(9.778), job=car, by=ASH, zone=ROOF, mark=REPAINT),
        *of_a_changed_job(9.78),
        *of_places(9.79),
        *of_a_bottle(9.8),
        StayedLonger(at=at(9.79), by=ASH, until=at(120)),
        BaySetUp(
            at=at(9.8), dew_margin_k=4.0, volume_m3=180.0, air_changes=2.5, mixing_k=4.0, thin_um=70.0, unlike_um=60.0
        ),
        closed("car", 9.9).model_copy(update={"by": ASH, "deviation": deviation}),
        JobReopened(at=at(9.95), job=car, by=ASH),
        closed("car", 10),
    ]


def of_the_paint(minutes: float) -> list[Event]:
    """Readings of the paint and a photo, each of them withdrawn."""
    fields = {"at": at(minutes), "job": JobId("car"), "by": ASH, "zone": ROOF}
    return [
        ThicknessRead.model_validate({**fields, "um": (112.0, 74.5), "source": "gauge"}),
        ThicknessWithdrawn.model_validate({**fields, "number": 1, "um": (112.0, 74.5)}),
        PhotoAdded.model_validate({**fields, "sha256": "0a" * 32, "kind": "jpeg", "size": 4_200_000, "phase": "later"}),
        PhotoWithdrawn.model_validate({**fields, "sha256": "0a" * 32}),
    ]


def of_places(minutes: float) -> list[Event]:
    """Bays with names and a curtain, a car that came, was moved and was not, and water beside another."""
    deviation = Deviation(code=Code.BAY, why="dust flies", reason="the hall is needed")
    car, bay = JobId("car"), PlaceId("bay-1")
    bays = (
        Bay(id=bay, name="Büro", curtain=True),
        Bay(id=PlaceId("bay-2"), name="Halle"),
    )
    return [
        PlacesSetUp(at=at(minutes), bays=bays, sensors={"wänd-1": bay}),
        CarMoved(at=at(minutes), job=car, by=ASH, was=bay, to=OUTSIDE, deviation=deviation),
        CarMoved(at=at(minutes), job=car, by=ASH, was=OUTSIDE, to=OUTSIDE, curing=True, spot="Hof, Südseite"),
        CarMoveUndone(at=at(minutes), job=car, by=ASH),
        SplashAnswered(at=at(minutes), job=car, by=ASH, of=JobId("other"), zones=(ROOF,), out_of_reach=True),
        air(minutes).model_copy(update={"place": bay}),
    ]


def of_a_changed_job(minutes: float) -> list[Event]:
    """Work that was added, and a recipe swapped, with what they bring along."""
    recipe = Recipe.model_validate({"name": "rim", "title": "Räder", "step": [{"id": "wipe", "kind": "wipe"}]})
    products = {"test-coat": Product(name="test-coat", title="Tarnwick Prüflack")}
    fields = {"at": at(minutes), "job": JobId("car"), "by": ASH, "products": products}
    return [
        WorkAdded.model_validate({**fields, "block": WorkBlock(zones=(ZoneId("rim"),), recipe=recipe)}),
        CrewChanged(at=at(minutes), job=JobId("car"), by=ASH, crew=(ASH, Person("Bö"))),
        RecipeSwapped.model_validate(
            {**fields, "becomes": WorkBlock(zones=(ROOF,), recipe=recipe), "recipe": "Räder", "reason": "Wunsch"}
        ),
    ]


def of_a_bottle(minutes: float) -> list[Event]:
    """Every kind of event about one bottle, its life long."""
    fields = {"at": at(minutes), "by": ASH, "bottle": BottleId("bottle-1")}
    day, gone = date(2027, 12, 31), at(500 * 24 * 60)
    product = Product(name="test-coat", title="Tarnwick Prüflack", opened_life_days=90, low_ml=10.0)
    return [
        BottleShelved.model_validate(
            {**fields, "product": product, "size_ml": 50.0, "batch": "LÖT-A7", "gtin": "06291041500213"}
            | {"expires_on": day, "expires_at": gone}
        ),
        BottleRelabelled.model_validate({**fields, "batch": "LOT-A7", "expires_on": day, "expires_at": gone}),
        BottleOpened.model_validate({**fields, "opened_at": at(minutes - 1)}),
        BottleChosen.model_validate(fields),
        BottleMeasured.model_validate({**fields, "ml": 31.5, "how": "weight", "grams": 76.5}),
        BottleFinished.model_validate({**fields, "reason": "fell down"}),
        BottlePutBack.model_validate(fields),
        BottleDrawn.model_validate({**fields, "of": "car", "ml": 8.25}),
    ]


@contextmanager
def bare(folder: Path) -> Iterator[sqlite3.Connection]:
    """A second connection of SQLite's own library to the store in a folder."""
    with closing(sqlite3.connect(folder / "journal.sqlite3", isolation_level=None)) as connection:
        yield connection


def chain_anew(connection: sqlite3.Connection) -> None:
    """Give every entry the checksum that a program would have given it that had written it as it stands."""
    before = FIRST
    for row in connection.execute("SELECT * FROM journal ORDER BY seq").fetchall():
        before = checksum_of(Entry(*row), before)
        connection.execute("UPDATE journal SET checksum = ? WHERE seq = ?", (before, row[0]))


VERSION_1 = """
CREATE TABLE schema_version (version INTEGER NOT NULL);
INSERT INTO schema_version VALUES (1);
CREATE TABLE journal (
    seq INTEGER NOT NULL PRIMARY KEY, at_ms BIGINT NOT NULL, name VARCHAR(60) NOT NULL, job VARCHAR(200),
    body TEXT NOT NULL, boot_id VARCHAR(80) NOT NULL, boot_ms BIGINT NOT NULL, wall_ms BIGINT NOT NULL
);
CREATE INDEX ix_journal_name ON journal (name);
CREATE INDEX ix_journal_job ON journal (job);
"""


def version_1(folder: Path) -> None:
    """A store as version 1 wrote it, with two entries."""
    with closing(sqlite3.connect(folder / "journal.sqlite3")) as old, old:
        old.executescript(VERSION_1)
        for seq, event in enumerate((opened("car"), started("car", 1)), 1):
            row = (seq, to_ms(event.at - EPOCH), name_of(event), "car", event.model_dump_json(), "boot-0", 7, 8)
            old.execute("INSERT INTO journal VALUES (?, ?, ?, ?, ?, ?, ?, ?)", row)
