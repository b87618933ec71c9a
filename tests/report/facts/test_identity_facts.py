"""The plate, the mileage and the wishes in the day record: on paper, in the files, and what was put right of them."""

import csv
import io
import json
from datetime import timedelta
from pathlib import Path

from bayapp.job import GiveIdentity
from bayapp.job.model.identity import Identity, Mileage
from bayapp.job.model.ids import JobId, Person
from bayapp.report.exports import to_csv, to_json
from bayapp.report.facts.day_record import IdentityCorrected, IdentityRecord
from bayapp.report.facts.phrases import Phrases
from tests.report.paper.test_pdf import text_of, written
from tests.report.shop import BERLIN, DAY, Shop, at

BO = Person("Bo")
TOLD = Identity(
    plate="BY 7", key_hook="3", mileage=Mileage(figure=88_001, unit="mi"), wishes=("gloss", "mind the aerial")
)


def told(*said: tuple[Identity, float]) -> Shop:
    shop = Shop()
    for identity, minutes in said:
        shop.ask(GiveIdentity(shop.job.id, identity, BO), at(minutes))
    shop.work("rim-a", "wipe", 20, 22)
    return shop


def test_the_record_holds_what_is_known_of_the_car():
    record = told((TOLD, 1)).record_of(30)
    assert record.identity == IdentityRecord("BY 7", "3", 88_001, "mi", ("gloss", "mind the aerial"))
    document = json.loads(to_json(record))
    assert document["identity"]["plate"] == "BY 7"
    assert document["identity"]["wishes"] == ["gloss", "mind the aerial"]
    rows = list(csv.DictReader(io.StringIO(to_csv(record))))
    assert {row["plate"] for row in rows} == {"BY 7"}


def test_of_a_car_without_a_plate_the_cell_is_empty_and_a_plate_is_no_formula():
    assert {row["plate"] for row in csv.DictReader(io.StringIO(to_csv(told().record_of(30))))} == {""}
    formula = told((Identity(plate="-1+2"), 1)).record_of(30)
    assert {row["plate"] for row in csv.DictReader(io.StringIO(to_csv(formula)))} == {"'-1+2"}


def test_what_was_put_right_or_taken_away_is_told_on_its_day_with_both_values():
    mended = TOLD.model_copy(update={"plate": "BY 77", "mileage": None, "wishes": ()})
    shop = told((TOLD, 1), (mended, 5))
    record = shop.record_of(30)
    assert record.identity_corrections == (
        IdentityCorrected("plate", "BY 7", "BY 77", at(5), BO),
        IdentityCorrected("mileage", "88,001 miles", "", at(5), BO),
    )
    phrases = Phrases(record, BERLIN)
    assert [phrases.identity_corrected(one) for one in record.identity_corrections] == [
        "09:05:00: the plate, BY 7 before, is BY 77, says Bo.",
        "09:05:00: the mileage, 88,001 miles before, was taken away by Bo.",
    ]
    assert shop.record_of(3000, DAY + timedelta(days=1)).identity_corrections == ()


def test_what_was_said_of_another_car_is_none_of_this_ones():
    shop = told((TOLD, 1))
    for event in list(shop.events):
        if event.event == "identity-given/1":
            shop.events.append(event.model_copy(update={"job": JobId("other"), "identity": Identity(plate="X")}))
    assert shop.record_of(30).identity_corrections == ()


def test_the_paper_is_headed_by_the_plate_and_tells_mileage_and_wishes(tmp_path: Path):
    text = text_of(written(told((TOLD, 1), (TOLD.model_copy(update={"plate": "BY 77"}), 5)), 1, tmp_path))
    assert "· BY 77" in text
    assert "Mileage: 88,001 miles" in text
    assert "Wished: gloss; mind the aerial" in text
    assert "the plate, BY 7 before, is BY 77" in text
