"""Which bottle each zone was worked from: on the paper, in CSV and in JSON."""

import csv
import io
import json
from datetime import date, timedelta

from bayapp.job import Product, RelabelBottle, ShelveBottle
from bayapp.job.model.ids import BottleId, ZoneId
from bayapp.job.state.bottle import end_of_day
from bayapp.report.exports import to_csv, to_json
from bayapp.report.facts.bottles_used import bottles_used
from bayapp.report.facts.day_record import BottleRecord
from bayapp.report.facts.phrases import Phrases
from tests.report.shop import BERLIN, DAY, Shop, at, small_job, step_of

COAT = Product(name="glass-coat", title="Orrelin Glass Coat", coverage_ml_per_m2=8.0)
LAST_DAY = date(2027, 12, 31)


def shop(last_day: date = LAST_DAY) -> Shop:
    job = small_job()
    areas = {"screen": 1.3, "pane": 0.8}
    zones = tuple(z.model_copy(update={"area_m2": areas.get(z.id, 1.0)}) for z in job.vehicle.zone)
    vehicle = job.vehicle.model_copy(update={"zone": zones})
    made = Shop(job.model_copy(update={"vehicle": vehicle, "products": {"glass-coat": COAT}}))
    made.air(0)
    made.ask(ShelveBottle(COAT, 50.0, "LOT-A7", None, last_day, end_of_day(last_day, BERLIN)), at(0))
    made.work("glass", "wipe", 1, 2)
    return made


def coated() -> Shop:
    made = shop()
    made.work("glass", "coat-1", 3, 5)
    return made


def test_each_step_tells_its_bottle_with_batch_expiry_and_an_estimate():
    record = coated().record_of()
    assert step_of(record, "screen", "coat-1").bottle == BottleRecord(
        "1", "Orrelin Glass Coat", "LOT-A7", LAST_DAY, 10.4
    )
    assert step_of(record, "pane", "coat-1").bottle == BottleRecord("1", "Orrelin Glass Coat", "LOT-A7", LAST_DAY, 6.4)
    assert step_of(record, "screen", "wipe").bottle is None


def test_the_paper_lists_each_bottle_with_every_zone_and_says_that_it_is_an_estimate():
    record = coated().record_of()
    (used,) = bottles_used(record.zones).items()
    said = Phrases(record, BERLIN).bottle(*used)
    assert said == (
        "Bottle 1, Orrelin Glass Coat, batch LOT-A7, good until 31 Dec 2027: windscreen 10 ml, rear pane 6.4 ml. "
        "Estimated, not measured: 17 ml in all."
    )


def test_csv_and_json_carry_bottle_batch_expiry_and_estimate():
    record = coated().record_of()
    rows = [row for row in csv.DictReader(io.StringIO(to_csv(record))) if row["step"] == "coat-1" and row["bottle"]]
    assert [(r["zone"], r["bottle"], r["batch"], r["expires_on"], r["estimated_ml"]) for r in rows] == [
        ("screen", "1", "LOT-A7", "2027-12-31", "10.4"),
        ("pane", "1", "LOT-A7", "2027-12-31", "6.4"),
    ]
    zones = json.loads(to_json(record))["zones"]
    (coat,) = [step for zone in zones if zone["zone"] == "screen" for step in zone["steps"] if step["step"] == "coat-1"]
    assert coat["bottle"] == {
        "number": "1", "product": "Orrelin Glass Coat", "batch": "LOT-A7", "expires_on": "2027-12-31",
        "estimated_ml": 10.4,
    }  # fmt: skip


def test_an_expired_bottle_that_was_used_all_the_same_stands_among_the_deviations():
    made = shop(DAY - timedelta(days=1))
    made.work("glass", "coat-1", 3, 5, deviation="the maker allows a week more")
    (first, _second) = made.record_of().deviations
    assert (first.codes, first.reason) == (("expired",), "the maker allows a week more")
    assert first.said.startswith("Bottle 1 of Orrelin Glass Coat was good until 24 Nov 2026.")


def test_a_label_put_right_later_stands_as_it_should_have_been():
    made = coated()
    made.ask(RelabelBottle(BottleId("bottle-1"), "LOT-B8", LAST_DAY, end_of_day(LAST_DAY, BERLIN)), at(6))
    bottle = step_of(made.record_of(), "screen", "coat-1").bottle
    assert bottle
    assert bottle.batch == "LOT-B8"


def test_zones_of_one_touch_stay_one_row_although_they_take_different_amounts():
    from bayapp.report.facts.merge import rows_of

    made = coated()
    rows = rows_of([z for z in made.record_of().zones if z.zone in ("screen", "pane")], made.job)
    assert [[zone.zone for zone in row.zones] for row in rows] == [[ZoneId("screen"), ZoneId("pane")]]


def test_a_shop_without_a_shelf_reads_nothing_about_bottles():
    made = Shop()
    made.air(0)
    made.work("glass", "wipe", 1, 2)
    made.work("glass", "coat-1", 3, 5)
    assert bottles_used(made.record_of().zones) == {}
