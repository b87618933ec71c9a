"""Every request, accepted, stands in the journal with all that it said; every refusal says where and of what kind."""

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest

from bayapp.job import (
    AddPhoto,
    AddWork,
    ChangeCrew,
    CheckBrakes,
    ChooseBottle,
    CloseJob,
    CorrectAir,
    FinishBottle,
    GiveIdentity,
    MeasureBottle,
    MoveCar,
    OpenBottle,
    PutBackBottle,
    ReadAir,
    ReadThickness,
    RelabelBottle,
    ReopenJob,
    ShelveBottle,
    SkipSpot,
    SwapRecipe,
    TrySpot,
    WithdrawPhoto,
    WithdrawThickness,
    WriteNote,
)
from bayapp.job.grounds import Why
from bayapp.job.model.brakes import BrakeCheck
from bayapp.job.model.identity import Identity, Mileage
from bayapp.job.model.ids import BottleId, Code, JobId, Person, StepId, ZoneId
from bayapp.job.model.job import WorkBlock
from bayapp.job.model.place import OUTSIDE
from bayapp.job.model.product import Product
from bayapp.job.model.spot_card import SpotCard
from bayapp.job.state.events import BottleOpened
from bayapp.job.state.requests import Request
from tests.job.builders import (
    Shop,
    at,
    close_set,
    correct,
    cover,
    finish,
    got_wet,
    job,
    lift,
    mark,
    read_air,
    recipe,
    seen_good,
    send_back,
    set_aside,
    start,
    step,
    take_up,
    uncover,
    undo,
)
from tests.job.text.test_sentences import CASES, REFUSED

CAR, BO, FIRST = JobId("car"), Person("Bo"), BottleId("bottle-1")
COAT = Product(name="glass-coat", opened_life_days=30, density_g_per_ml=0.8, empty_bottle_g=40.0)
LADDER = recipe(step("wipe"), step("coat", product="glass-coat"), name="panel")
OTHER = recipe(step("wipe"), step("coat", product="glass-coat"), step("buff"), name="two", title="Panel, buffed")
TRIED = SpotCard(machine="rotary", pad="wool", paste="cutting paste", passes=3, result="haze left")
WASH = recipe(step("decontaminate"), name="wash")


def shop() -> Shop:
    return Shop(job((["roof", "bonnet"], LADDER), products=[COAT]))


def with_air() -> Shop:
    made = shop()
    made.must(read_air(), 0)
    return made


def with_late_air() -> Shop:
    made = shop()
    made.must(ReadAir(20.0, 50.0, 18.5, None, at(3), "hall"), 4)
    return made


def begun() -> Shop:
    made = shop()
    made.must(start("roof", "wipe"), 1)
    return made


def aside() -> Shop:
    made = shop()
    made.must(set_aside("roof"), 1)
    return made


def marked() -> Shop:
    made = shop()
    made.must(mark("film", "roof"), 1)
    return made


def coated() -> Shop:
    """The roof is coated before the bonnet; its buff waits for both."""
    both = recipe(step("coat"), step("buff", wait={"of": "block"}), name="both")
    made = Shop(job((["roof", "bonnet", "left-door"], both)))
    made.must(read_air(), 0)
    made.must(finish("roof", "coat"), 1)
    return made


def polished() -> Shop:
    """The roof's paint is to be polished."""
    return Shop(job((["roof"], recipe(step("polish", product="paste"), name="gloss"))))


def washed() -> Shop:
    """All that is to be done on the roof is done."""
    made = Shop(job((["roof"], WASH)))
    made.must(finish("roof", "decontaminate"), 1)
    return made


def covered() -> Shop:
    made = coated()
    made.must(cover("roof"), 2)
    return made


def measured() -> Shop:
    made = shop()
    made.must(ReadThickness(CAR, ((ZoneId("roof"), (112.0, 74.5)),), BO, "gauge"), 1)
    return made


def photographed() -> Shop:
    made = shop()
    made.must(AddPhoto(CAR, ZoneId("left-rim"), "0a" * 32, "png", 900), 1)
    return made


def with_bottle() -> Shop:
    made = shop()
    made.must(ShelveBottle(COAT, 50.0), 0)
    return made


def emptied() -> Shop:
    made = with_bottle()
    made.must(FinishBottle(FIRST, "empty"), 1)
    return made


def left() -> Shop:
    made = shop()
    made.must(CloseJob(CAR, BO), 1)
    return made


def stands(made: Shop, request: Request) -> list[dict[str, Any]]:
    """Carry a request out five minutes after eight; return what then stands in the journal, less what says nothing."""
    events = made.must(request, 5).events
    assert {event.at for event in events} == {at(5)}
    return [event.model_dump(exclude_defaults=True, exclude={"at"}) | {"event": event.event} for event in events]


OF_CAR = {"job": "car", "by": "Bo"}
PUT_ON = {"by": "Bo", "bottle": "bottle-1"}
ACCEPTED: list[tuple[Callable[[], Shop], Request, list[dict[str, Any]]]] = [
    (begun, finish("roof", "wipe", "Bo"), [{"event": "step-finished/1", **OF_CAR, "zone": "roof", "step": "wipe"}]),
    (begun, undo("roof", "Bo"), [{"event": "step-undone/1", **OF_CAR, "zone": "roof"}]),
    (
        shop,
        set_aside("bonnet", "scratched", "Bo"),
        [{"event": "zone-set-aside/1", **OF_CAR, "zone": "bonnet", "reason": "scratched"}],
    ),
    (aside, take_up("roof", "Bo"), [{"event": "zone-taken-up/1", **OF_CAR, "zone": "roof"}]),
    (coated, cover("roof", "Bo"), [{"event": "coat-covered/1", **OF_CAR, "zone": "roof"}]),
    (covered, uncover("roof", "Bo"), [{"event": "coat-uncovered/1", **OF_CAR, "zone": "roof"}]),
    (
        coated,
        close_set("roof", "Bo"),
        [{"event": "set-closed/1", **OF_CAR, "zone": "roof", "step": "buff", "without": ("bonnet", "left-door")}],
    ),
    (
        coated,
        send_back("roof", "coat", "high spot", "Bo"),
        [{"event": "zone-sent-back/1", **OF_CAR, "zone": "roof", "step": "coat", "reason": "high spot"}],
    ),
    (
        coated,
        got_wet("roof", 2, "Bo"),
        [{"event": "got-wet/1", **OF_CAR, "zone": "roof", "wet_at": at(2)}],
    ),
    (washed, seen_good("roof", "Bo"), [{"event": "zone-passed/1", **OF_CAR, "zone": "roof"}]),
    (
        shop,
        MoveCar(CAR, OUTSIDE, BO, curing=True, spot=" the carport "),
        [{"event": "car-moved/1", **OF_CAR, "to": "outside", "curing": True, "spot": "the carport"}],
    ),
    (
        begun,
        correct("roof", "wipe", "start", 0.5, "Bo"),
        [
            {
                "event": "time-corrected/1",
                **OF_CAR,
                "zone": "roof",
                "step": "wipe",
                "edge": "start",
                "was": at(1),
                "becomes": at(0.5),
            }
        ],
    ),
    (shop, ChangeCrew(CAR, (Person("Cy"), BO), BO), [{"event": "crew-changed/1", **OF_CAR, "crew": ("Cy", "Bo")}]),
    (
        shop,
        ReadAir(20.5, 45.0, 19.0, BO, at(4), "hall"),
        [
            {
                "event": "air-read/1",
                "by": "Bo",
                "air_c": 20.5,
                "rh_percent": 45.0,
                "surface_c": 19.0,
                "read_at": at(4),
                "source": "hall",
            }
        ],
    ),
    (
        shop,  # measured as it is recorded: there is one moment to tell
        ReadAir(20.0, 50.0, None, BO, at(5)),
        [{"event": "air-read/1", "by": "Bo", "air_c": 20.0, "rh_percent": 50.0}],
    ),
    (
        with_air,
        CorrectAir(at(0), ReadAir(21.0, 46.0, 18.0), "", BO),
        [
            {
                "event": "air-corrected/1",
                "by": "Bo",
                "corrects": at(0),
                "was": {"air_c": 20.0, "rh_percent": 50.0},
                "becomes": {"air_c": 21.0, "rh_percent": 46.0, "surface_c": 18.0},
            }
        ],
    ),
    (
        with_late_air,
        CorrectAir(at(4), None, "hall", BO),
        [
            {
                "event": "air-corrected/1",
                "by": "Bo",
                "corrects": at(4),
                "source": "hall",
                "was": {"air_c": 20.0, "rh_percent": 50.0, "surface_c": 18.5, "read_at": at(3)},
            }
        ],
    ),
    (
        with_air,
        CorrectAir(at(0), None, "", BO),
        [
            {
                "event": "air-corrected/1",
                "by": "Bo",
                "corrects": at(0),
                "was": {"air_c": 20.0, "rh_percent": 50.0},
            }
        ],
    ),
    (
        shop,
        mark("damage", "roof windscreen", "Bo", what="chip", point=(3.5, 4), note="edge"),
        [
            {
                "event": "mark-set/1",
                **OF_CAR,
                "zone": zone,
                "mark": {"kind": "damage", "what": "chip", "point": (3.5, 4), "note": "edge"},
            }
            for zone in ("roof", "windscreen")
        ],
    ),
    (
        marked,
        lift("film", "roof", "Bo"),
        [{"event": "mark-lifted/1", **OF_CAR, "zone": "roof", "mark": {"kind": "film"}}],
    ),
    (
        shop,
        WriteNote(CAR, "a stone chip", (ZoneId("roof"), ZoneId("bonnet")), BO),
        [{"event": "note-written/1", **OF_CAR, "zone": zone, "text": "a stone chip"} for zone in ("roof", "bonnet")],
    ),
    (shop, WriteNote(CAR, "wet", (), BO), [{"event": "note-written/1", **OF_CAR, "text": "wet"}]),
    (
        shop,
        ReadThickness(CAR, ((ZoneId("roof"), (112.0, 74.5)), (ZoneId("left-rim"), (90.0,))), BO, "file"),
        [
            {"event": "thickness-read/1", **OF_CAR, "zone": "roof", "um": (112.0, 74.5), "source": "file"},
            {"event": "thickness-read/1", **OF_CAR, "zone": "left-rim", "um": (90.0,), "source": "file"},
        ],
    ),
    (
        measured,
        WithdrawThickness(CAR, ZoneId("roof"), 1, BO),
        [{"event": "thickness-withdrawn/1", **OF_CAR, "zone": "roof", "number": 1, "um": (112.0, 74.5)}],
    ),
    (
        shop,
        AddPhoto(CAR, ZoneId("roof"), "0a" * 32, "jpeg", 4_200_000, "later", BO),
        [
            {
                "event": "photo-added/1",
                **OF_CAR,
                "zone": "roof",
                "sha256": "0a" * 32,
                "kind": "jpeg",
                "size": 4_200_000,
                "phase": "later",
            }
        ],
    ),
    (
        photographed,
        WithdrawPhoto(CAR, ZoneId("left-rim"), "0a" * 32, BO),
        [{"event": "photo-withdrawn/1", **OF_CAR, "zone": "left-rim", "sha256": "0a" * 32}],
    ),
    (
        shop,
        GiveIdentity(CAR, Identity(plate="BY 7", mileage=Mileage(figure=90_210), wishes=("gloss",)), BO),
        [
            {
                "event": "identity-given/1",
                **OF_CAR,
                "identity": {"plate": "BY 7", "mileage": {"figure": 90_210}, "wishes": ("gloss",)},
            }
        ],
    ),
    (
        shop,
        CheckBrakes(CAR, BrakeCheck(pedal_firm=True, wheels_off=True, torque_nm=120.0), BO),
        [
            {
                "event": "brakes-checked/1",
                **OF_CAR,
                "check": {"pedal_firm": True, "wheels_off": True, "torque_nm": 120.0},
            }
        ],
    ),
    (
        polished,
        TrySpot(CAR, (ZoneId("roof"),), StepId("polish"), TRIED, BO),
        [{"event": "spot-tried/1", **OF_CAR, "combination": "paste/", "card": TRIED.model_dump(exclude={"chosen"})}],
    ),
    (
        polished,
        SkipSpot(CAR, (ZoneId("roof"),), StepId("polish"), BO),
        [{"event": "spot-skipped/1", **OF_CAR, "combination": "paste/"}],
    ),
    (shop, CloseJob(CAR, BO), [{"event": "job-closed/1", **OF_CAR}]),
    (left, ReopenJob(CAR, BO), [{"event": "job-reopened/1", **OF_CAR}]),
    (
        shop,
        ShelveBottle(COAT, 30.0, "A7", "06291041500213", date(2027, 1, 31), at(9000), BO),
        [
            {
                "event": "bottle-shelved/1",
                **PUT_ON,
                "size_ml": 30.0,
                "batch": "A7",
                "gtin": "06291041500213",
                "product": COAT.model_dump(exclude_defaults=True),
                "expires_on": date(2027, 1, 31),
                "expires_at": at(9000),
            }
        ],
    ),
    (
        with_bottle,
        RelabelBottle(FIRST, "B9", date(2027, 1, 31), at(9000), BO),
        [
            {
                "event": "bottle-relabelled/1",
                **PUT_ON,
                "batch": "B9",
                "expires_on": date(2027, 1, 31),
                "expires_at": at(9000),
            }
        ],
    ),
    (with_bottle, OpenBottle(FIRST, at(3), by=BO), [{"event": "bottle-opened/1", **PUT_ON, "opened_at": at(3)}]),
    (with_bottle, OpenBottle(FIRST, by=BO), [{"event": "bottle-opened/1", **PUT_ON, "opened_at": at(5)}]),
    (with_bottle, OpenBottle(FIRST, unopened=True, by=BO), [{"event": "bottle-opened/1", **PUT_ON, "opened_at": None}]),
    (
        with_bottle,
        MeasureBottle(FIRST, 12.5, by=BO),
        [{"event": "bottle-measured/1", **PUT_ON, "ml": 12.5, "how": "eye"}],
    ),
    (
        with_bottle,
        MeasureBottle(FIRST, grams=56.0, by=BO),
        [{"event": "bottle-measured/1", **PUT_ON, "ml": 20.0, "how": "weight", "grams": 56.0}],
    ),
    (with_bottle, ChooseBottle(FIRST, BO), [{"event": "bottle-chosen/1", **PUT_ON}]),
    (
        with_bottle,
        FinishBottle(FIRST, "thrown away", BO),
        [{"event": "bottle-finished/1", **PUT_ON, "reason": "thrown away"}],
    ),
    (emptied, PutBackBottle(FIRST, BO), [{"event": "bottle-put-back/1", **PUT_ON}]),
]


@pytest.mark.parametrize(("made", "request_", "entries"), ACCEPTED)
def test_what_was_accepted_stands_in_the_journal_with_all_that_was_said(
    made: Callable[[], Shop], request_: Request, entries: list[dict[str, Any]]
) -> None:
    assert stands(made(), request_) == entries


def test_a_step_begun_by_one_touch_says_who_what_from_which_bottle_and_that_it_was_one_touch() -> None:
    made = with_bottle()
    made.must(read_air(), 1)
    made.must(finish("roof bonnet", "wipe"), 2)
    opened, *started = stands(made, start("roof bonnet", "coat", "Bo"))
    assert opened == {"event": "bottle-opened/1", **PUT_ON, "opened_at": at(5)}
    touches = {entry.pop("touch") for entry in started}
    assert len(touches) == 1
    assert touches != {""}
    assert started == [
        {"event": "step-started/1", **OF_CAR, "zone": zone, "step": "coat", "bottle": "bottle-1"}
        for zone in ("roof", "bonnet")
    ]


def test_a_finish_without_a_start_stands_as_both_and_the_start_as_implied() -> None:
    assert stands(shop(), finish("roof", "wipe", "Bo")) == [
        {"event": "step-started/1", **OF_CAR, "zone": "roof", "step": "wipe", "implied": True},
        {"event": "step-finished/1", **OF_CAR, "zone": "roof", "step": "wipe"},
    ]


def test_a_swap_of_what_is_being_worked_says_which_zone_and_step() -> None:
    refusal = begun().ask(SwapRecipe(CAR, (ZoneId("roof"),), OTHER, "one more", {}, BO), 5).refusal
    assert (refusal.code, refusal.why, refusal.job) == (BUSY, Why.STILL_WORKED, "car")
    assert (refusal.zone, refusal.step, refusal.grounds.running) == ("roof", "wipe", "wipe")


def test_work_on_a_zone_that_the_form_lacks_is_refused_by_its_name() -> None:
    refusal = shop().ask(AddWork(CAR, WorkBlock(zones=("spoiler",), recipe=WASH), {}, BO), 5).refusal
    assert (refusal.code, refusal.why) == (UNKNOWN, Why.NO_SUCH_ZONE)
    assert (refusal.job, refusal.zone) == ("car", "spoiler")


def test_a_bottle_that_is_too_large_is_named_by_the_number_it_would_have_had() -> None:
    refusal = with_bottle().ask(ShelveBottle(COAT, 25_001.0), 5).refusal
    assert (refusal.grounds.bottle, refusal.grounds.ml, refusal.grounds.most) == ("2", 25_001, 25_000)


def test_a_bottle_that_is_put_back_has_not_left_for_any_reason() -> None:
    made = emptied()
    assert (made.state.shelf.bottles[FIRST].gone_at, made.state.shelf.bottles[FIRST].gone_why) == (at(1), "empty")
    made.must(PutBackBottle(FIRST, BO), 5)
    assert (made.state.shelf.bottles[FIRST].gone_at, made.state.shelf.bottles[FIRST].gone_why) == (None, "")


def test_what_a_finish_without_a_start_opened_is_an_entry_like_any_other() -> None:
    made = with_bottle()
    made.must(read_air(), 1)
    made.must(finish("roof", "wipe"), 2)
    opened, *_steps = made.must(finish("roof", "coat", "Bo"), 5).events
    assert opened == BottleOpened(at=at(5), by=BO, bottle=FIRST, opened_at=at(5))


def test_added_work_and_a_swapped_recipe_stand_with_what_they_need_inside() -> None:
    products = {"glass-coat": COAT}
    (added,) = shop().must(AddWork(CAR, WorkBlock(zones=("left-rim",), recipe=WASH), products, BO), 5).events
    assert (added.job, added.by, added.products, added.block.zones) == ("car", "Bo", products, ("left-rim",))
    (swapped,) = shop().must(SwapRecipe(CAR, (ZoneId("roof"),), OTHER, "one more", products, BO), 5).events
    assert (swapped.job, swapped.by, swapped.products, swapped.reason) == ("car", "Bo", products, "one more")
    assert (swapped.recipe, swapped.becomes.zones) == ("Panel, buffed", ("roof",))
    assert [each.id for each in swapped.becomes.recipe.step] == ["wipe", "coat", "buff"]


# Of each refusal: its kind, and the zone and step that it is about; those of a car name it.
UNKNOWN, ORDER, BUSY, DONE, AIR, EXPIRED = Code.UNKNOWN, Code.ORDER, Code.BUSY, Code.DONE, Code.AIR, Code.EXPIRED
OF_WORK: dict[Why, tuple[Code, str | None, str | None]] = {
    Why.EARLY: (Code.EARLY, "roof", "coat-2"),
    Why.LAPSED: (Code.LATE, "roof", "coat-2"),
    Why.STEP_BEFORE: (ORDER, "roof", "coat-1"),
    Why.OTHERS_FIRST: (ORDER, "roof", "level"),
    Why.NOTHING_TO_UNDO: (ORDER, "roof", None),
    Why.NOT_RUNNING: (ORDER, "roof", "coat-1"),
    Why.ZONE_BUSY: (BUSY, "roof", "wipe"),
    Why.STILL_WORKED: (BUSY, "roof", "wipe"),
    Why.SET_ASIDE: (ORDER, "roof", "wipe"),
    Why.ASIDE_ALREADY: (DONE, "roof", None),
    Why.NOT_ASIDE: (DONE, "roof", None),
    Why.COVERED_ALREADY: (DONE, "roof", None),
    Why.NOT_COVERED: (DONE, "roof", None),
    Why.NOTHING_TO_COVER: (ORDER, "roof", None),
    Why.WAITS_FOR_NOBODY: (ORDER, "roof", None),
    Why.NOT_DONE_YET: (ORDER, "roof", "wipe"),
    Why.COAT_IN_WATER: (Code.BAY, "left-rim", "decontaminate"),
    Why.WORKED_ALREADY: (DONE, "roof", None),
    Why.LADDERS_DIFFER: (ORDER, "roof", "wipe"),
    Why.SAME_RECIPE: (DONE, "roof", None),
    Why.WAITS_CLASH: (ORDER, None, None),
    Why.STILL_AT_WORK: (BUSY, "roof", "wipe"),
    Why.SEVERAL_BLOCKS: (BUSY, "bonnet", "wipe"),
    Why.PERSON_BUSY: (BUSY, "roof", "wipe"),
    Why.TOOL_BUSY: (BUSY, "left-rim", "decontaminate"),
    Why.DUST_ON_COAT: (Code.BAY, "roof", None),
    Why.COAT_IN_DUST: (Code.BAY, "right-rim", "polish"),
    Why.WATER_ON_COAT: (Code.BAY, "roof", None),
    Why.KEEP_DRY: (Code.BAY, "roof", None),
    Why.SPLASH: (Code.BAY, "roof", None),
    Why.ALREADY_THERE: (DONE, None, None),
    Why.CAR_WORKED: (BUSY, "roof", "wipe"),
    Why.NO_MOVE: (ORDER, None, None),
    Why.NO_SUCH_PLACE: (UNKNOWN, None, None),
    Why.OCCUPIED_BAY: (BUSY, None, None),
    Why.RIPENS_UNREAD: (AIR, "roof", "level"),
    Why.RIPENS_OUTSIDE: (AIR, "roof", "level"),
    Why.NO_ZONE: (UNKNOWN, None, None),
    Why.NO_REASON: (UNKNOWN, None, None),
    Why.NO_SUCH_ZONE: (UNKNOWN, "bonnet", None),
    Why.NO_SUCH_STEP: (UNKNOWN, "roof", "sand"),
    Why.NO_SUCH_PERSON: (UNKNOWN, None, None),
    Why.JOB_CLOSED: (DONE, None, None),
    Why.JOB_INSIDE: (DONE, None, None),
    Why.IMPOSSIBLE_TIME: (Code.CLOCK, "roof", "wipe"),
    Why.STEP_DONE: (DONE, "roof", "wipe"),
    Why.ALL_DONE: (DONE, "roof", None),
    Why.MATT: (Code.MARK, "left-rim", "polish"),
    Why.FILM: (Code.MARK, "roof", "wipe"),
    Why.FRESH_REPAINT: (Code.MARK, "roof", "coat-1"),
    Why.LEAVE_ALONE: (Code.MARK, "roof", "wipe"),
    Why.SENSOR: (Code.MARK, "roof", "coat-1"),
    Why.MARKED_ALREADY: (DONE, "roof", None),
    Why.NO_SUCH_MARK: (DONE, "roof", None),
    Why.MARK_AHEAD: (UNKNOWN, "roof", None),
    Why.LEFT_OUT: (ORDER, "roof", "coat-2"),
    Why.CURES_ELSEWHERE: (Code.BAY, "roof", "wipe"),
    Why.NOTHING_TO_WET: (ORDER, "roof", None),
    Why.WET_WHEN: (Code.CLOCK, "roof", None),
    Why.STILL_TO_DO: (ORDER, "roof", "coat-1"),
    Why.PASSED_ALREADY: (DONE, "roof", None),
    Why.NOT_SEEN: (ORDER, None, None),
    Why.NO_POLISH: (ORDER, "roof", "wipe"),
    Why.IMPOSSIBLE_THICKNESS: (UNKNOWN, "roof", None),
    Why.NO_READINGS: (UNKNOWN, None, None),
    Why.NO_THICKNESS: (UNKNOWN, "roof", None),
    Why.PHOTO_KNOWN: (DONE, "roof", None),
    Why.NO_SUCH_PHOTO: (UNKNOWN, "roof", None),
}
OF_THE_BAY: dict[Why, Code] = {
    **dict.fromkeys((Why.NO_READING, Why.OLD_READING, Why.DEW_POINT, Why.IMPOSSIBLE_AIR), AIR),
    **dict.fromkeys((Why.AIR_LIMIT, Why.SURFACE_LIMIT, Why.HUMIDITY_LIMIT), AIR),
    **dict.fromkeys((Why.BOTTLE_EXPIRED, Why.BOTTLE_OPEN_TOO_LONG, Why.BOTTLE_EMPTY, Why.NO_BOTTLE), EXPIRED),
    **dict.fromkeys((Why.NO_SUCH_BOTTLE, Why.BAD_AMOUNT, Why.NOT_WEIGHABLE, Why.BAD_BOTTLE_DATE), UNKNOWN),
    **dict.fromkeys((Why.NO_SUCH_READING, Why.NO_SUCH_JOB, Why.BAY_NAME), UNKNOWN),
    Why.NO_SUCH_STAY: Code.UNKNOWN,
    **dict.fromkeys((Why.BOTTLE_GONE, Why.BOTTLE_NOT_GONE, Why.JOB_KNOWN, Why.NOTHING_TO_SETTLE), DONE),
    **dict.fromkeys((Why.IMPOSSIBLE_READING_TIME, Why.TIME_RAN_BACK, Why.TIME_UNSURE, Why.BEYOND_CALENDAR), Code.CLOCK),
    Why.BEFORE_OUTAGE: Code.CLOCK,
}


RIGHT_FROM = {
    Why.EARLY: at(6),
    Why.KEEP_DRY: at(7 + 30 * 60),
    Why.SPLASH: at(7 + 12 * 60),
    Why.TIME_RAN_BACK: at(1),
    Why.FRESH_REPAINT: at((20 * 24 + 16) * 60),
}
"""A wait of five minutes after the coat at 1, thirty hours to keep dry from 7 on, the last entry at 1;
a car that must be kept dry for twelve hours beside another that is washed."""


@pytest.mark.parametrize("reason", REFUSED)
def test_a_refusal_says_of_what_kind_it_is_and_where(reason: Why) -> None:
    shop, tap, minutes, _sentence = CASES[reason]
    found = next(refusal for refusal in shop().ask(tap, minutes).refusals if refusal.why is reason)
    assert found.right_from == RIGHT_FROM.get(reason)
    if reason in OF_WORK:
        assert (found.job, found.code, found.zone, found.step) == ("car", *OF_WORK[reason])
    else:
        assert (found.job, found.code, found.zone, found.step) == (None, OF_THE_BAY[reason], None, None)
