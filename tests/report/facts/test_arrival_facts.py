"""Paint thickness and photos in the day record: in JSON and CSV, and in words on the paper."""

import csv
import io
import json
from pathlib import Path

from bayapp.job import AddPhoto, Job, ReadThickness, WithdrawPhoto, WithdrawThickness
from bayapp.job.model.ids import Person, ZoneId
from bayapp.report.exports import to_csv, to_json
from bayapp.report.facts.day_record import PhotoRecord
from bayapp.report.facts.phrases import Phrases
from tests.report.paper.test_pdf import text_of, written
from tests.report.shop import BERLIN, Shop, at, small_job

BO, RIM, SCREEN = Person("Bo"), ZoneId("rim-a"), ZoneId("screen")
ONE, OTHER = "0a" * 32, "0b" * 32


def measured() -> Shop:
    """A rim that is worked is thin; a pane that is worked too has one reading and a wrong one; a photo of each kind."""
    shop = Shop()
    job = shop.job.id
    shop.ask(ReadThickness(job, ((RIM, (104.0, 72.0, 110.5)),), BO), at(1))
    shop.ask(ReadThickness(job, ((SCREEN, (118.0,)), (SCREEN, (1_118.0,))), BO), at(2))
    shop.ask(WithdrawThickness(job, SCREEN, None, BO), at(3))
    shop.ask(AddPhoto(job, RIM, ONE, "jpeg", 900, None, BO), at(4))
    shop.ask(AddPhoto(job, None, OTHER, "png", 800, "later"), at(5))
    shop.ask(AddPhoto(job, RIM, OTHER, "png", 800, None, BO), at(6))
    shop.ask(WithdrawPhoto(job, RIM, OTHER, BO), at(7))
    shop.work("rim-a", "wipe", 20, 22)
    return shop


def test_the_record_holds_what_was_read_and_what_it_comes_to():
    rim, pane = sorted(measured().record_of(30).thickness, key=lambda one: one.zone)
    assert (rim.um, rim.least_um, rim.mean_um, rim.thin) == ((104.0, 72.0, 110.5), 72.0, 95.5, True)
    assert (pane.um, pane.thin, pane.withdrawn) == ((118.0,), False, 1)


def test_the_record_holds_the_photos_that_stand_by_their_checksums():
    assert measured().record_of(30).photos == (
        PhotoRecord(RIM, "left rim", "arrival", ONE, "jpeg", 900, at(4), BO),
        PhotoRecord(None, None, "later", OTHER, "png", 800, at(5), None),
    )


def test_what_is_read_later_than_the_record_is_not_in_it():
    record = measured().record_of(1.5)
    assert [one.zone for one in record.thickness] == [RIM]
    assert record.photos == ()


def test_json_has_every_reading_and_csv_what_they_come_to():
    record = measured().record_of(30)
    document = json.loads(to_json(record))
    assert {one["zone"]: one["um"] for one in document["thickness"]} == {"rim-a": [104, 72, 110.5], "screen": [118]}
    assert [one["sha256"] for one in document["photos"]] == [ONE, OTHER]
    rows = list(csv.DictReader(io.StringIO(to_csv(record))))
    wanted = ("thickness_least_um", "thickness_mean_um", "thickness_count", "thickness_thin", "photos")
    told = {tuple(row[key] for key in wanted) for row in rows if row["zone"] == "rim-a"}
    assert told == {("72.0", "95.5", "3", "yes", "1")}
    plain = {row["thickness_count"] for row in rows if row["zone"] == "rim-b"}
    assert plain <= {""}


def test_a_zone_that_is_measured_and_not_worked_has_a_row_of_its_own():
    cart = small_job()
    parts = {name: getattr(cart, name) for name in Job.model_fields}
    shop = Shop(Job.model_validate({**parts, "blocks": cart.blocks[:1]}))
    shop.ask(ReadThickness(cart.id, ((RIM, (90.0,)),), BO), at(8))
    rows = [row for row in csv.DictReader(io.StringIO(to_csv(shop.record_of(30)))) if row["zone"] == RIM]
    assert [(row["status"], row["thickness_mean_um"], row["step"]) for row in rows] == [("not worked", "90.0", "")]


def test_the_paper_says_it_in_words(tmp_path: Path):
    shop = measured()
    phrases = Phrases(shop.record_of(30), BERLIN)
    said = phrases.thickness(shop.record_of(30).thickness)
    all_of_it = "windscreen 118 (118, 1), left rim 96 (72, 3)"
    head = "Dry film on metal, mean in µm, in brackets the least and how many readings"
    assert said == [f"{head}: {all_of_it}.", "Left rim is thin: 72 µm at the least."]
    assert phrases.photos(shop.record_of(30).photos) == [
        "Left rim: 1 as it came, 0 later; by their checksums 09:04 0a0a0a0a0a0a.",
        "The whole car: 0 as it came, 1 later; by their checksums 09:05 0b0b0b0b0b0b.",
    ]
    text = text_of(written(shop, 0.5, tmp_path))
    assert "Paint thickness" in text
    assert "Left rim is thin: 72 µm at the least." in text
    assert "0a0a0a0a0a0a" in text


def test_of_a_car_that_was_not_measured_nothing_is_said():
    record = Shop().record_of(30)
    assert (record.thickness, record.photos) == ((), ())
    assert Phrases(record, BERLIN).thickness(record.thickness) == []
