"""Where a car stood, in the day record: on paper, in the file and in the table."""

import csv
import io

from bayapp.job import (
    AnswerSplash,
    CheckBrakes,
    CloseJob,
    MoveCar,
    PassZones,
    ReadAir,
    ReportWet,
    SetUpPlaces,
    Undo,
    UndoMove,
)
from bayapp.job.model.brakes import BrakeCheck
from bayapp.job.model.ids import JobId, Person, PlaceId, ZoneId
from bayapp.job.model.place import OUTSIDE
from bayapp.job.state.events import JobOpened
from bayapp.job.state.requests import SetUpBay
from bayapp.report.exports import to_csv
from bayapp.report.facts.day_record import BrakeRecord
from bayapp.report.facts.phrases import Phrases
from tests.job.gate.places import BAY_1, BAY_2, DIVIDED
from tests.report.shop import BERLIN, Shop, at, zone_of

BO = Person("Bo")


def moved(shop: Shop, to: PlaceId, minutes: float, deviation: str | None = None) -> None:
    shop.ask(MoveCar(shop.job.id, to, BO, deviation), at(minutes))


def told(shop: Shop, minutes: float = 60) -> list[str]:
    record = shop.record_of(minutes)
    return [Phrases(record, BERLIN).change(change, "") for change in record.changes]


def in_bays() -> Shop:
    shop = Shop()
    shop.ask(SetUpPlaces(DIVIDED), at(0))
    moved(shop, BAY_1, 0)
    return shop


def test_the_record_tells_where_each_step_was_done_and_when_the_car_was_moved():
    shop = in_bays()
    shop.work("rim-a", "wipe", 1, 3)
    moved(shop, BAY_2, 4)
    shop.ask(ReadAir(20.0, 50.0, place=BAY_2), at(5))
    shop.work("rim-a", "coat", 6, 8)
    assert told(shop) == [
        "09:00:00: moved by Bo; it stood in: Front bay.",
        "09:04:00: moved by Bo; it stood in: Back bay.",
    ]
    steps = zone_of(shop.record_of(60), "rim-a").steps
    assert [(step.step, step.place) for step in steps] == [("wipe", "Front bay"), ("coat", "Back bay")]
    rows = list(csv.DictReader(io.StringIO(to_csv(shop.record_of(60)).removeprefix("\ufeff"))))
    assert [r["place"] for r in rows if r["zone"] == "rim-a"][:2] == ["Front bay", "Back bay"]


def test_a_move_that_was_taken_back_leaves_the_steps_where_they_were_done():
    shop = in_bays()
    moved(shop, OUTSIDE, 1)
    shop.work("rim-a", "wipe", 2, 3)
    shop.ask(UndoMove(shop.job.id, BO), at(4))
    assert told(shop)[1:] == [
        "09:01:00: moved by Bo; it stood in: outside.",
        "09:04:00: it had not been moved, says Bo; it stood in: Front bay.",
    ]
    assert [step.place for step in zone_of(shop.record_of(60), "rim-a").steps] == ["Front bay"]


def test_a_coat_stands_beside_the_reading_of_the_air_in_which_it_was_laid():
    shop = in_bays()
    shop.ask(ReadAir(12.0, 60.0, place=BAY_2), at(1))
    shop.work("rim-a", "wipe", 1, 3)
    moved(shop, BAY_2, 4)
    shop.work("rim-a", "coat", 5, 6)
    shop.ask(ReadAir(25.0, 40.0, place=BAY_1), at(7))
    record = shop.record_of(60)
    coat = zone_of(record, "rim-a").steps[-1]
    assert coat.air is not None
    assert coat.air.air_c == 12.0
    assert 25.0 not in [reading.air_c for reading in record.readings]


def test_what_was_said_of_splash_stands_in_the_record_of_both_cars():
    shop = in_bays()
    other = shop.job.model_copy(update={"id": JobId("van"), "title": "White van"})
    shop.record(JobOpened(at=at(1), job=other.id, opened=other, place=BAY_1))
    shop.ask(AnswerSplash(other.id, shop.job.id, (ZoneId("rim-a"),), True, None), at(2))
    shop.ask(AnswerSplash(shop.job.id, other.id, (ZoneId("rim-a"),), False, None), at(3))
    shop.ask(CloseJob(other.id), at(4))
    first, second = told(shop)[1:]
    assert first.startswith("09:02:00, by nobody named: ")
    assert first.endswith(f"of {shop.job.title} is out of reach of the water used beside it.")
    assert second.endswith("of White van is within reach of the water used beside it.")


def test_that_it_cured_elsewhere_got_wet_and_was_seen_good_is_told_once_a_touch():
    shop = in_bays()
    shop.work("rim-a", "wipe", 1, 2)
    shop.work("rim-b", "wipe", 2, 3)
    shop.ask(MoveCar(shop.job.id, OUTSIDE, BO, curing=True, spot="the carport"), at(4))
    both = (ZoneId("rim-a"), ZoneId("rim-b"))
    shop.ask(ReportWet(shop.job.id, both, at(5), BO), at(9))
    shop.ask(PassZones(shop.job.id, both, BO), at(10))
    record = shop.record_of(60)
    said = [Phrases(record, BERLIN).change(change, ", ".join(change.zones)) for change in record.changes]
    assert said[1:] == [
        "09:04:00: moved out by Bo to cure; it stood in: outside, the carport.",
        "09:09:00, rim-a, rim-b: got wet at 09:05:00, says Bo; kept dry anew from then, to be looked at for spots.",
        "09:10:00, rim-a, rim-b: seen by light and good, by Bo.",
    ]
    shop.ask(Undo(shop.job.id, (ZoneId("rim-a"),), BO), at(11))
    record = shop.record_of(60)
    assert [Phrases(record, BERLIN).taken_back(one) for one in record.taken_back] == [
        "left rim: seen by light and good at 09:10:00; undone at 09:11:00 by Bo."
    ]


def test_that_it_left_unseen_and_what_is_known_of_its_brakes_is_told():
    shop = in_bays()
    shop.ask(SetUpBay(3.0, None, None, 3.0, final_check=True), at(0))
    shop.work("rim-a", "wipe", 1, 2)
    shop.ask(CheckBrakes(shop.job.id, BrakeCheck(pedal_firm=True, wheels_off=True, torque_nm=120), BO), at(3))
    shop.ask(CloseJob(shop.job.id, BO, "the owner needs it now"), at(4))
    record = shop.record_of(60)
    phrases = Phrases(record, BERLIN)
    assert phrases.change(record.changes[-1], "") == (
        "09:04:00: let go by Bo all the same. Left rim: not seen by light yet. Look it over, or let Green cart go with "
        "a reason. The reason given: the owner needs it now."
    )
    assert phrases.brakes(record.brakes) == [
        "Brakes: pedal firm.",
        "Not checked of the brakes: discs clean, rolled and braked.",
        (
            "Wheels came off: tighten their bolts again after about 50 km, as the vehicle's maker says. "
            "The bolts were tightened to 120 Nm."
        ),
    ]
    assert phrases.brakes(BrakeRecord()) == []
