import re
from datetime import date, timedelta, timezone

import pytest

from bayapp.job import (
    AddPhoto,
    ChangeCrew,
    ChooseBottle,
    CorrectAir,
    FinishBottle,
    MeasureBottle,
    MoveCar,
    OpenBottle,
    PutBackBottle,
    ReadAir,
    ReadThickness,
    SetUpPlaces,
    ShelveBottle,
    SkipSpot,
    StayLonger,
    UndoMove,
    WithdrawPhoto,
    WithdrawThickness,
    all_why_not,
    first_why_not,
    fold,
    why_not,
)
from bayapp.job.grounds import Why
from bayapp.job.model.ids import BottleId, JobId, Person, PlaceId, StepId, ZoneId
from bayapp.job.model.place import OUTSIDE, Bay
from bayapp.job.model.product import Product
from bayapp.job.state.events import MachineStarted
from bayapp.job.state.requests import OpenJob, SayTime, SetUpBay
from bayapp.text.figures import TemperatureUnit, Units, use_units
from tests.job.builders import (
    Shop,
    at,
    close,
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
    reopen,
    seen_good,
    send_back,
    set_aside,
    start,
    step,
    take_up,
    two_step,
    uncover,
    undo,
)  # fmt: skip
from tests.job.gate.places import BAY_1, BAYS, moved, two_cars
from tests.job.gate.test_changes import add, swap

CAR, ASH = JobId("car"), Person("Ash")
MAIN = recipe(
    step("wipe"),
    step("coat-1", layer=1, motion="vertical", product="glass-coat", wait={"max": 30}),
    step("coat-2", layer=2, motion="horizontal", wait={"min": 5, "max": 60, "lapse": "wipe"}),
    step("level", title="level, short-pile towel", wait={"of": "block", "max": 10, "lapse": "inspect"}),
    name="main",
    air="refuse",
    finish={"keep_dry_hours": 30},
)
SIDE = recipe(step("decontaminate", tool="foam-lance"), step("polish"), name="side")
GLASS_COAT = Product(
    name="glass-coat", title="Clear pane", air_c=(10, 30), surface_c=(12, 28), rh_percent=(30, 80)
)  # fmt: skip


def shop_at(*steps, zones="roof", air=(20, 50)):
    """Read the air and climb so many steps, each done in no time when its wait opens."""
    shop = Shop(job((["roof", "left-door"], MAIN), (["left-rim", "right-rim"], SIDE), products=[GLASS_COAT]))
    shop.must(read_air(*air), 0)
    for minutes, name in zip((0, 1, 6, 7), steps, strict=False):
        shop.must(finish(zones, name), minutes)
    return shop


def ripening(air_c):
    shop = Shop(job((["roof"], two_step({"min_by_c": [[10, 8], [30, 3]]}))))
    shop.must(finish("roof", "coat"), 0)
    if air_c is not None:
        shop.must(read_air(air_c), 1)
    return shop


def twins():
    return Shop(job((["roof", "left-door"], MAIN), (["bonnet"], MAIN)))


def closed():
    shop = shop_at()
    shop.must(close(), 1)
    return shop


def unsure():
    shop = shop_at()
    shop.state = fold([MachineStarted(at=at(1), off_since=at(0), on_ms=60_000)], shop.state)
    return shop


def at_work(tap):
    shop = shop_at()
    shop.must(tap, 1)
    return shop


def all_done(zones="roof left-door"):
    return shop_at("wipe", "coat-1", "coat-2", "level", zones=zones)


def no_air():
    return Shop(job((["roof"], recipe(step("coat"), air="refuse"))))


def dusty():
    """Nothing is wet any more, the roof has a fresh coat, and the rim comes to its polish."""
    shop = shop_at()
    shop.must(finish("right-rim", "decontaminate"), 0)
    shop.must(finish("roof", "wipe"), 0)
    shop.must(finish("roof", "coat-1"), 1)
    return shop


def dust_flies():
    shop = shop_at()
    shop.must(finish("right-rim", "decontaminate"), 0)
    shop.must(finish("roof", "wipe"), 0)
    shop.must(start("right-rim", "polish", "Bo"), 1)
    return shop


def covered():
    shop = shop_at("wipe", "coat-1")
    shop.must(cover("roof"), 2)
    return shop


def water_flies():
    shop = covered()
    shop.must(start("left-rim", "decontaminate", "Bo"), 3)
    return shop


def skipped_to_the_end():
    shop = shop_at("wipe", "coat-1")
    shop.must(finish("roof", "level", reason="One coat was ordered"), 8)
    return shop


def with_bottle(*, expires=None, opened=None, ml=None, gone=False, more=False, needs=False):
    """The roof comes to its first coat; the coat has one bottle, 50 ml, and nine days after opening."""
    product = GLASS_COAT.model_copy(update={"opened_life_days": 9, "coverage_ml_per_m2": 8.0, "needs_bottle": needs})
    shop = Shop(job((["roof", "left-door"], MAIN), products=[product]))
    shop.must(read_air(), 0)
    day = None if expires is None else at(expires).date()
    shop.must(ShelveBottle(product, 50.0, "A7", None, day, None if expires is None else at(expires)), 0)
    if more:
        shop.must(ShelveBottle(product, 50.0, "A8"), 0)
        shop.must(ChooseBottle(BottleId("bottle-1")), 0)
    if opened is not None:
        shop.must(OpenBottle(BottleId("bottle-1"), at(opened)), 0)
    if ml is not None:
        shop.must(MeasureBottle(BottleId("bottle-1"), ml), 0)
    if gone:
        shop.must(FinishBottle(BottleId("bottle-1"), "fell down"), 0)
    shop.must(finish("roof", "wipe"), 0)
    return shop


PHOTO = AddPhoto(CAR, ZoneId("roof"), "0a" * 32, "jpeg", 900)


def with_photo():
    shop = shop_at()
    shop.must(PHOTO, 1)
    return shop


def checked() -> Shop:
    made = all_done()
    made.must(SetUpBay(3.0, None, None, 3.0, final_check=True), 8)
    return made


def seen() -> Shop:
    made = all_done()
    made.must(seen_good("roof"), 8)
    return made


CASES = {
    Why.IMPOSSIBLE_THICKNESS: (
        shop_at, ReadThickness(CAR, ((ZoneId("roof"), (112.0, 5_000.5)),)), 1,
        "Roof: paint of 5,000.5 µm cannot be; from 0 µm to 5,000 µm is possible. Look at the gauge again.",
    ),
    Why.NO_READINGS: (shop_at, ReadThickness(CAR, ()), 1, "No reading of the paint was given. Measure once at least."),
    Why.NO_THICKNESS: (
        shop_at, WithdrawThickness(CAR, ZoneId("roof")), 1,
        "Roof: no such reading of its paint counts; there is nothing to take back.",
    ),
    Why.PHOTO_KNOWN: (with_photo, PHOTO, 2, "This photo is kept there already."),
    Why.NO_SUCH_PHOTO: (
        shop_at, WithdrawPhoto(CAR, ZoneId("roof"), "0a" * 32), 1,
        "There is no such photo there that could be taken away.",
    ),
    Why.BOTTLE_EXPIRED: (
        lambda: with_bottle(expires=0), start("roof", "coat-1"), 1,
        "Bottle 1 of Clear pane was good until 25 Nov 2026. Put a fresh one on the shelf.",
    ),
    Why.BOTTLE_OPEN_TOO_LONG: (
        lambda: with_bottle(opened=-9 * 24 * 60, more=True), start("roof", "coat-1"), 1,
        "Bottle 1 of Clear pane was opened on 16 Nov 2026 and is good for 9 days after that. Use bottle 2 instead.",
    ),
    Why.BOTTLE_EMPTY: (
        lambda: with_bottle(ml=0.0), start("roof", "coat-1"), 1,
        (
            "Bottle 1 of Clear pane is empty by the reckoning. "
            "Look how much is left in it, or put a fresh one on the shelf."
        ),
    ),
    Why.NO_BOTTLE: (
        lambda: with_bottle(gone=True, needs=True), start("roof", "coat-1"), 1,
        "There is no bottle of Clear pane on the shelf. Scan or enter the one in your hand.",
    ),
    Why.NO_SUCH_BOTTLE: (with_bottle, ChooseBottle(BottleId("bottle-7")), 1, "There is no bottle 7 on the shelf."),
    Why.BOTTLE_GONE: (
        lambda: with_bottle(gone=True), ChooseBottle(BottleId("bottle-1")), 1,
        "Bottle 1 left the shelf at 08:00:00: fell down. Put it back first.",
    ),
    Why.BOTTLE_NOT_GONE: (with_bottle, PutBackBottle(BottleId("bottle-1")), 1, "Bottle 1 stands on the shelf already."),
    Why.BAD_AMOUNT: (
        with_bottle, MeasureBottle(BottleId("bottle-1"), 500), 1,
        "Bottle 1 cannot hold 500 ml; up to 55 ml is possible.",
    ),
    Why.NOT_WEIGHABLE: (
        with_bottle, MeasureBottle(BottleId("bottle-1"), grams=80.0), 1,
        "Clear pane does not say its density and the weight of its empty bottle. Tell how much is left instead.",
    ),
    Why.BAD_BOTTLE_DATE: (
        with_bottle, OpenBottle(BottleId("bottle-1"), at(60)), 1,
        "That date cannot be for bottle 1: it is missing, or has yet to come.",
    ),
    Why.EARLY: (
        lambda: shop_at("wipe", "coat-1"), start("roof", "coat-2"), 3,
        "Roof: coat 2 of 2, across is too early. The wait of 5:00 runs until 08:06:00.",
    ),
    Why.LAPSED: (
        lambda: shop_at("wipe", "coat-1"), start("roof", "coat-2"), 62,
        "Roof: coat 2 of 2, across is too late; its latest moment was 09:01:00. Go back to: solvent wipe.",
    ),
    Why.STEP_BEFORE: (
        shop_at, start("roof", "coat-1"), 1, "Roof: coat 1 of 2, up and down comes later. Next is: solvent wipe.",
    ),
    Why.OTHERS_FIRST: (
        lambda: shop_at("wipe", "coat-1", "coat-2"), start("roof", "level"), 7,
        (
            "Roof: level, short-pile towel waits for left door, which must first have: coat 2 of 2, across. "
            "It can also go on by itself."
        ),
    ),
    Why.NOTHING_TO_UNDO: (shop_at, undo("roof"), 1, "Roof: there is nothing to undo."),
    Why.NOT_RUNNING: (
        lambda: at_work(start("roof", "wipe")), finish("roof", "coat-1"), 2,
        "Roof: coat 1 of 2, up and down is not under way, so it cannot be finished or corrected.",
    ),
    Why.ZONE_BUSY: (
        lambda: at_work(start("roof", "wipe")), start("roof", "wipe", "Bo"), 2,
        "Roof is being worked on already: solvent wipe. Finish that first.",
    ),
    Why.SEVERAL_BLOCKS: (
        twins, start("roof left-door bonnet", "wipe"), 2,
        "Solvent wipe on roof and left door is one touch, on bonnet another. Begin one after the other.",
    ),
    Why.PERSON_BUSY: (
        lambda: at_work(start("roof", "wipe")), start("left-rim", "decontaminate"), 2,
        "Ash is still at roof, solvent wipe. Finish that first, or let somebody else do this.",
    ),
    Why.TOOL_BUSY: (
        lambda: at_work(start("left-rim", "decontaminate")), start("right-rim", "decontaminate", "Bo"), 2,
        "The foam-lance is in use at left rim. There is only one; it will be right when that is done.",
    ),
    Why.DUST_ON_COAT: (
        dusty, start("right-rim", "polish"), 3,
        "Dust would fall on the fresh coat of roof. It will be right when that is covered, buffed or dry.",
    ),
    Why.COAT_IN_DUST: (
        dust_flies, start("roof", "coat-1"), 3,
        "Dust is flying: right rim, polish. No coat may lie bare in it; wait until that is done.",
    ),
    Why.WATER_ON_COAT: (
        lambda: shop_at("wipe", "coat-1"), start("left-rim", "decontaminate"), 3,
        "Water would spoil the fresh coat of roof. It will be right when that is covered, or buffed and kept dry.",
    ),
    Why.KEEP_DRY: (
        all_done, start("left-rim", "decontaminate"), 8,
        "Roof must be kept dry until 26 Nov 14:07:00; no water in the bay before that, unless it is covered.",
    ),
    Why.COVERED_ALREADY: (covered, cover("roof"), 3, "Roof is covered already."),
    Why.NOT_DONE_YET: (
        shop_at,
        send_back("roof", "wipe"),
        1,
        "Roof: solvent wipe has not been done, so it cannot be done again.",
    ),
    Why.NO_SUCH_STAY: (
        shop_at, StayLonger(at(0)), 1, "Nobody can stay until then. Say a moment within the next 14 hours.",
    ),
    Why.NOT_COVERED: (shop_at, uncover("roof"), 1, "Roof is not covered."),
    Why.NOTHING_TO_COVER: (
        shop_at, cover("roof"), 1, "Roof has no coat that dust or water would harm; there is nothing to cover.",
    ),
    Why.COAT_IN_WATER: (
        water_flies, uncover("roof"), 4,
        "Water is flying: left rim, decontaminate. No coat may lie bare in it; wait until that is done.",
    ),
    Why.WAITS_FOR_NOBODY: (
        shop_at, close_set("roof"), 1, "Roof waits for no other zone; there is no set to close early.",
    ),
    Why.SPLASH: (
        lambda: two_cars("coat", "level"), start("left-rim", "wash", job="van"), 8,
        "Roof of Red car must be kept dry until 20:07:00. Is that out of reach of the water on White van?",
    ),
    Why.ALREADY_THERE: (two_cars, MoveCar(CAR, None), 8, "Red car stands there already."),
    Why.CAR_WORKED: (
        lambda: at_work(start("roof", "wipe")), MoveCar(CAR, OUTSIDE), 2,
        "Roof is being worked on: solvent wipe. Finish or undo that first, then move the car.",
    ),
    Why.NO_MOVE: (
        two_cars, UndoMove(CAR), 8, "Red car was not moved, or a curtain was since; move it where it stands.",
    ),
    Why.NO_SUCH_PLACE: (
        two_cars, MoveCar(CAR, PlaceId("bay-7")), 8, "There is no place 'bay-7'; the settings name the bays.",
    ),
    Why.BAY_NAME: (
        two_cars, SetUpPlaces((*BAYS, Bay(id=PlaceId("bay-3"), name="front BAY "))), 8,
        "A bay cannot be called 'front BAY': the name is empty, or another bay has it.",
    ),
    Why.OCCUPIED_BAY: (
        lambda: moved(CAR, BAY_1), SetUpPlaces(BAYS[1:]), 8,
        "Red car stands in Front bay. Move it first, then take the bay away.",
    ),
    Why.STILL_WORKED: (
        lambda: at_work(start("roof", "wipe")), set_aside("roof"), 1,
        "Roof is being worked on: solvent wipe. Finish or undo that first, then set it aside.",
    ),
    Why.SET_ASIDE: (
        lambda: at_work(set_aside("roof", "part is missing")), start("roof", "wipe"), 1,
        "Roof is set aside: part is missing. Take it up again, then it can be worked.",
    ),
    Why.ASIDE_ALREADY: (
        lambda: at_work(set_aside("roof", "part is missing")), set_aside("roof", "no time today"), 1,
        "Roof is set aside already: part is missing.",
    ),
    Why.MATT: (
        lambda: at_work(mark("matt", "left-rim")), start("left-rim", "polish"), 2,
        "Left rim is matt and is not polished: where it shines once, it shines for good.",
    ),
    Why.FILM: (
        lambda: at_work(mark("film", "roof", note="clear, front half")), start("roof", "wipe"), 2,
        (
            "Roof is under film, and main is not made for film. Take a recipe that suits film. "
            "Noted: clear, front half."
        ),
    ),
    Why.FRESH_REPAINT: (
        lambda: at_work(mark("repainted", "roof", date=date(2026, 11, 16))), start("roof", "coat-1"), 2,
        (
            "Roof was repainted on 16 Nov 2026 and takes no coat for 30 days: "
            "coat 1 of 2, up and down not before 16 Dec 2026."
        ),
    ),
    Why.LEAVE_ALONE: (
        lambda: at_work(mark("leave", "roof")), start("roof", "wipe"), 2, "Roof is to be left alone.",
    ),
    Why.SENSOR: (
        lambda: at_work(mark("sensor", "roof")), start("roof", "coat-1"), 2,
        "Roof covers a sensor and is not coated: what lies on it may blind it.",
    ),
    Why.MARKED_ALREADY: (
        lambda: at_work(mark("matt", "roof")), mark("matt", "roof"), 1, "Roof is marked just so already.",
    ),
    Why.NO_SUCH_MARK: (shop_at, lift("film", "roof"), 1, "Roof has no such mark; there is nothing to lift."),
    Why.MARK_AHEAD: (
        shop_at, mark("repainted", "roof", date=date(2027, 11, 25)), 1,
        "Roof: the date of that mark is still to come. Give the day on which it was.",
    ),
    Why.CURES_ELSEWHERE: (
        lambda: at_work(MoveCar(CAR, OUTSIDE, curing=True)), start("roof", "wipe"), 2,
        "Green car only cures where it stands; nobody works on it there. Move it back in first.",
    ),
    Why.NOTHING_TO_WET: (
        shop_at, got_wet("roof"), 1, "Roof: nothing has been done on it that water could harm.",
    ),
    Why.WET_WHEN: (
        lambda: shop_at("wipe"), got_wet("roof", 3), 2,
        "Roof cannot have got wet then: that is still to come, or was before the car came in.",
    ),
    Why.STILL_TO_DO: (
        lambda: shop_at("wipe"), seen_good("roof"), 1,
        "Roof is not done: coat 1 of 2, up and down comes first. Then it is looked at by light.",
    ),
    Why.PASSED_ALREADY: (
        seen, seen_good("roof"), 9, "Roof was seen by light and is good; nothing was done on it since.",
    ),
    Why.NO_POLISH: (
        shop_at, SkipSpot(CAR, (ZoneId("roof"),), StepId("wipe")), 1,
        "Roof: solvent wipe polishes no paint, so no test spot is made for it.",
    ),
    Why.NOT_SEEN: (
        checked, close(), 9, "Panels: not seen by light yet. Look it over, or let Green car go with a reason.",
    ),
    Why.WORKED_ALREADY: (
        shop_at, add("roof", SIDE), 1, "Roof is worked in this job already; give it another recipe instead.",
    ),
    Why.LADDERS_DIFFER: (
        lambda: shop_at("wipe"), swap("roof", SIDE), 1,
        "Roof cannot go on by side: it has nothing like solvent wipe, which is done. Send it back below that first.",
    ),
    Why.STILL_AT_WORK: (
        lambda: at_work(start("roof", "wipe", "Bo")), ChangeCrew(CAR, (ASH,)), 1,
        "Bo is still at roof: solvent wipe. Finish that first, then Bo can go.",
    ),
    Why.SAME_RECIPE: (shop_at, swap("roof", MAIN), 1, "Roof goes by main already."),
    Why.WAITS_CLASH: (
        shop_at, add("bonnet", recipe(step("coat", wait={"of": "boot"}), name="other")), 1,
        (
            "The waits of this job could not hold then: work 3: step 'coat' of recipe 'other' waits of 'boot', "
            "which is no set of 'Test car'; it has rims, panels, all."
        ),
    ),
    Why.NOT_ASIDE: (shop_at, take_up("roof"), 1, "Roof is not set aside; it can be worked as it is."),
    Why.NO_READING: (
        no_air, start("roof", "coat"), 0, "The air has not been read. Read temperature and humidity before a coat.",
    ),
    Why.OLD_READING: (
        lambda: shop_at("wipe"), start("roof", "coat-1"), 30.1,
        "The air was last read at 08:00:00, over 30 minutes ago. Read it again.",
    ),
    Why.DEW_POINT: (
        lambda: shop_at("wipe", air=(20, 50, 11.5)), start("roof", "coat-1"), 1,
        (
            "The surface is 2.2 °C above the dew point of 9.3 °C; a coat needs 3.0 °C above it. "
            "Warm the panel by 0.8 °C."
        ),
    ),
    Why.AIR_LIMIT: (
        lambda: shop_at("wipe", air=(31, 40, 25)), start("roof", "coat-1"), 1,
        "The air is 31 °C; Clear pane is laid from 10 to 30 °C. Cool the air to 30.0 °C.",
    ),
    Why.SURFACE_LIMIT: (
        lambda: shop_at("wipe", air=(20, 40, 28.5)), start("roof", "coat-1"), 1,
        "The surface is 28.5 °C; Clear pane is laid from 12 to 28 °C. Let the panel cool by 0.5 °C.",
    ),
    Why.HUMIDITY_LIMIT: (
        lambda: shop_at("wipe", air=(20, 25)), start("roof", "coat-1"), 1,
        "Humidity is 25 %; Clear pane is laid from 30 to 80 %. Moisten the air to 30 %.",
    ),
    Why.RIPENS_UNREAD: (
        lambda: ripening(None), start("roof", "level"), 9,
        (
            "Roof: level waits as long as the air makes it, and the air has not been read. "
            "Read it; from then on the wait counts."
        ),
    ),
    Why.RIPENS_OUTSIDE: (
        lambda: ripening(8), start("roof", "level"), 9,
        (
            "Roof: level cannot be timed at 8 °C; its sheet speaks of 10 to 30 °C. "
            "The wait goes on when the air is back in that."
        ),
    ),
    Why.IMPOSSIBLE_AIR: (
        shop_at, ReadAir(20.0, 120.0), 1,
        "A reading cannot say a humidity of 120 %; above 0 and at most 100 % is possible. Look at the meter again.",
    ),
    Why.IMPOSSIBLE_READING_TIME: (
        shop_at, ReadAir(20.0, 50.0, read_at=at(2)), 1,
        "The air cannot have been read at 08:02:00; a time from 07:31:00 to 08:01:00 is possible.",
    ),
    Why.NO_SUCH_READING: (
        shop_at, CorrectAir(at(2), None), 3,
        "No reading of the air was recorded at 08:02:00, or it was withdrawn; there is nothing to correct.",
    ),
    Why.JOB_KNOWN: (
        shop_at, OpenJob(job((["roof"], SIDE))), 1,
        "Job 'car' is in the bay already, or has been; give the new one another title or start.",
    ),
    Why.NOTHING_TO_SETTLE: (
        shop_at, SayTime("unknown"), 1, "Nobody asks which time is right; there is nothing to settle.",
    ),
    Why.NO_SUCH_JOB: (shop_at, start("roof", "wipe", job="blue-car"), 1, "There is no job 'blue-car' in this bay."),
    Why.NO_ZONE: (
        shop_at, start("", "wipe"), 1, "No zone that is worked in this job was named. Name at least one.",
    ),
    Why.NO_REASON: (
        shop_at, swap("roof", SIDE, reason=""), 1,
        "No reason was given. Say why, then it can be done; the day record tells it.",
    ),
    Why.NO_SUCH_ZONE: (shop_at, start("bonnet", "wipe"), 1, "'bonnet' is not worked in this job."),
    Why.NO_SUCH_STEP: (shop_at, start("roof", "sand"), 1, "Roof has no step 'sand' on its ladder."),
    Why.NO_SUCH_PERSON: (
        shop_at, start("roof", "wipe", "Cy"), 1, "'Cy' is not in this job's crew (Ash, Bo).",
    ),
    Why.JOB_INSIDE: (shop_at, reopen(), 2, "This car is in the bay; it has not left."),
    Why.JOB_CLOSED: (closed, start("roof", "wipe"), 2, "This job was closed at 08:01:00."),
    Why.TIME_RAN_BACK: (
        lambda: shop_at("wipe", "coat-1"), start("left-door", "wipe"), 0.5,
        "The time given lies before the last entry of 08:01:00. The record only goes forward; check the clock.",
    ),
    Why.TIME_UNSURE: (
        unsure, start("roof", "wipe"), 2,
        "This machine was off at 08:00:00, and nobody has said yet for how long. Say what time it is.",
    ),
    Why.BEFORE_OUTAGE: (
        unsure, SayTime("time", at(-5)), 2,
        (
            "The board still ran at 08:00:00, and this machine has been on since it was switched on again: it cannot "
            "be before 08:02:00. If the board was wrong before, answer that you don't know, then put it right."
        ),
    ),
    Why.BEYOND_CALENDAR: (
        shop_at, start("roof", "wipe"), 7_973 * 365.2425 * 24 * 60,
        "The year given is 9999; work is recorded from 1900 to 9899. Check the clock.",
    ),
    Why.IMPOSSIBLE_TIME: (
        lambda: shop_at("wipe"), correct("roof", "wipe", "finish", 5), 2,
        "Roof: solvent wipe cannot have been at 08:05:00; what came before and after it does not allow that.",
    ),
    Why.STEP_DONE: (
        lambda: shop_at("wipe"), start("roof", "wipe"), 1,
        "Roof: solvent wipe is done already. Undo it to do it again.",
    ),
    Why.ALL_DONE: (all_done, set_aside("roof"), 8, "Roof is finished; nothing is left to do on it."),
    Why.LEFT_OUT: (
        skipped_to_the_end, start("roof", "coat-2"), 9,
        "Roof: coat 2 of 2, across was left out. Made up now, it is followed again by: level, short-pile towel.",
    ),
}  # fmt: skip
WARNED = {Why.BEFORE_COAT, Why.COAT_OUTSIDE, Why.KEEP_DRY_OUTSIDE}
REFUSED = [why for why in Why if why not in WARNED]


@pytest.mark.parametrize("reason", REFUSED)
def test_every_refusal_says_what_why_and_from_when_it_will_be_right(reason):
    shop, tap, minutes, sentence = CASES[reason]
    made = shop()
    refused = made.ask(tap, minutes)
    assert refused.refusal is not None
    found = next(r for r in refused.refusals if r.why is reason)
    assert why_not(found, made.state) == sentence


def test_before_a_wipe_it_is_said_that_the_coat_after_it_could_not_be_laid_and_what_to_do():
    made = shop_at(air=(20, 50, 8))
    (warning,) = made.ask(start("roof", "wipe"), 1).asks
    assert why_not(warning, made.state) == (
        "Before the wipe: its coat could not be laid now. "
        "The surface is 1.3 °C below the dew point of 9.3 °C; a coat needs 3.0 °C above it. Warm the panel by 4.3 °C."
    )


@pytest.mark.parametrize("reason", REFUSED)
def test_no_sentence_shows_a_template_or_the_name_of_a_value(reason):
    shop, tap, minutes, _ = CASES[reason]
    made = shop()
    for refusal in made.ask(tap, minutes).refusals:
        said = why_not(refusal, made.state)
        assert not re.search(r"[{}]|None|Why\.|Code\.|datetime|StepKind", said)
        assert said[0].isupper() or said[0] == "'"
        assert said.endswith("?" if refusal.asks else ".")
        if refusal.why is not Why.NO_SUCH_STEP:
            assert not re.search(r"coat-\d|left-door|left-rim|right-rim", said), "ids are for files, names for people"


def test_a_held_zone_is_to_be_inspected():
    shop = shop_at("wipe", "coat-1", "coat-2", zones="roof left-door")
    said = why_not(shop.ask(start("roof", "level"), 17).refusal, shop.state)
    assert said == (
        "Roof: level, short-pile towel is too late; its latest moment was 08:16:00. "
        "Inspect the surface: carry on with a reason, or do again: solvent wipe."
    )


def test_times_are_written_in_the_shops_own_zone():
    shop = shop_at("wipe", "coat-1")
    refusal = shop.ask(start("roof", "coat-2"), 3).refusal
    assert "09:06:00" in why_not(refusal, shop.state, timezone(timedelta(hours=1)))


def test_a_moment_on_another_day_is_written_with_its_date():
    ladder = recipe(step("coat"), step("inspect", wait={"min": 24 * 60}))
    shop = Shop(job((["roof"], ladder)))
    shop.work("roof", "coat", 0, 1)
    said = why_not(shop.ask(start("roof", "inspect"), 3).refusal, shop.state)
    assert said == "Roof: inspect is too early. The wait of 1 d 0 h runs until 26 Nov 08:01:00."


def test_others_first_names_the_step_of_the_zone_that_is_missing_and_not_another_recipes():
    one = recipe(step("coat"), step("buff", wait={"of": "panels"}), name="one")
    two = recipe(step("first", "coat"), step("last", "coat", motion="circular"), step("buff"), name="two")
    shop = Shop(job((["roof"], one), (["bonnet"], two)))
    shop.work("roof", "coat", 0, 1)
    said = why_not(shop.ask(start("roof", "buff"), 2).refusal, shop.state)
    first, _by_itself = said.split(". ")
    assert first == "Roof: buff waits for bonnet, which must first have: coat 2 of 2, in circles"


def test_a_refusal_can_be_worded_even_when_nothing_is_known():
    shop = Shop()
    assert why_not(shop.ask(start("roof", "wipe"), 0).refusal, shop.state) == "There is no job 'car' in this bay."


def test_a_shop_of_fahrenheit_reads_every_temperature_in_it():
    """10, 30 and 5 °C are 50, 86 and 41 °F: F = 1.8 C + 32 (NIST SP 811, B.8)."""
    made = Shop(job((["roof"], two_step({"min_by_c": [[10, 8], [30, 3]]}))))
    made.must(ReadAir(5, 50), 0)
    made.work("roof", "coat", 0, 1)
    use_units(Units(temperature=TemperatureUnit.FAHRENHEIT))
    try:
        outside = why_not(made.ask(start("roof", "level"), 9).refusal, made.state)
        assert "cannot be timed at 41 °F; its sheet speaks of 50 to 86 °F." in outside
        impossible = why_not(made.ask(ReadAir(100, 50), 9).refusal, made.state)
        assert "an air temperature of 212 °F; from -40 to 194 °F is possible" in impossible
    finally:
        use_units(Units())


def test_of_a_coat_that_only_dries_it_is_said_until_when():
    trailing = recipe(step("coat"), name="trailing", finish={"keep_dry_hours": 1})
    made = Shop(job((["roof"], trailing), (["left-door"], recipe(step("polish"), name="dusty"))))
    made.work("roof", "coat", 0, 0)
    assert why_not(made.ask(start("left-door", "polish"), 20).refusal, made.state) == (
        "Dust would fall on the fresh coat of roof. Right at 09:00:00, when that is dry, or once it is covered."
    )


def test_a_wait_that_hangs_on_the_air_says_until_when_and_gives_no_third_length():
    made = ripening(10)
    early = why_not(made.ask(start("roof", "level"), 3).refusal, made.state)
    assert early.startswith("Roof: level is too early. In this air its wait runs until 08:0")
    assert "The wait of" not in early


def test_where_there_is_little_room_the_other_rules_are_named_in_few_words():
    made = shop_at("wipe", "coat-1")
    made.must(read_air(20, 50, 11), 2)
    refused = made.ask(start("roof", "coat-2"), 3)
    assert first_why_not(refused.refusals, made.state) == (
        "Roof: coat 2 of 2, across is too early. The wait of 5:00 runs until 08:06:00. Besides: the air."
    )
    assert all_why_not(refused.refusals, made.state).startswith(
        "Roof: coat 2 of 2, across is too early. The wait of 5:00 runs until 08:06:00. The surface is"
    )


def test_a_touch_on_a_set_says_a_rule_of_the_ladder_once_for_all_its_zones():
    made = shop_at("wipe", "coat-1", zones="roof left-door")
    refused = made.ask(start("roof left-door", "coat-2"), 3)
    assert len(refused.refusals) == 2
    assert all_why_not(refused.refusals, made.state) == why_not(refused.refusal, made.state)
