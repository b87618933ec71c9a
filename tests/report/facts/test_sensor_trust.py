"""Sensors that were taken out of use stand in the day record: which, by whom, from when until when."""

import json
import shutil
from datetime import timedelta
from pathlib import Path

import pytest

from bayapp.job.model.ids import Person
from bayapp.job.state.events import AlertAnswered
from bayapp.job.state.sensor_trust import subject_of
from bayapp.report.exports import to_json
from bayapp.report.facts.air_values import Distrusted
from bayapp.report.facts.phrases import Phrases
from tests.report.paper.test_pdf import text_of, written
from tests.report.shop import BERLIN, DAY, Shop, at

ASH, BO = Person("Ash"), Person("Bo")
MIDNIGHT = 15 * 60  # of the shop in Berlin, in minutes after the start at 08:00 UTC


def answered(shop: Shop, minutes: float, until: float, by: Person | None = ASH, sensor: str = "door") -> None:
    shop.record(AlertAnswered(at=at(minutes), by=by, subjects=(subject_of(sensor),), until=at(until)))


def sentences(shop: Shop) -> list[str]:
    record = shop.record_of()
    return [Phrases(record, BERLIN).distrusted(one) for one in record.distrusted]


def test_a_sensor_taken_out_of_use_is_recorded_with_who_and_until_when():
    shop = Shop()
    answered(shop, 10, MIDNIGHT)
    assert shop.record_of().distrusted == (Distrusted("door", at(10), ASH, at(MIDNIGHT)),)
    assert sentences(shop) == ["door: its readings were not used from 09:10:00 until 26 Nov 00:00:00, by Ash."]


def test_taken_into_use_again_it_ends_then_and_another_time_is_recorded_by_itself():
    shop = Shop()
    answered(shop, 10, MIDNIGHT)
    answered(shop, 30, 30, BO)
    answered(shop, 60, MIDNIGHT, None)
    assert sentences(shop) == [
        "door: its readings were not used from 09:10:00 until 09:30:00, by Ash. Taken into use again by Bo.",
        "door: its readings were not used from 10:00:00 until 26 Nov 00:00:00, by nobody named.",
    ]


def test_two_sensors_are_told_apart_and_other_answers_are_none():
    shop = Shop()
    answered(shop, 10, MIDNIGHT)
    answered(shop, 20, MIDNIGHT, sensor="hall")
    answered(shop, 40, 40, sensor="hall")
    shop.record(AlertAnswered(at=at(50), subjects=("sensor/door/silent",), until=at(55)))
    assert [(d.sensor, d.until) for d in shop.record_of().distrusted] == [("door", at(MIDNIGHT)), ("hall", at(40))]


def test_another_day_does_not_tell_what_ended_at_its_midnight():
    shop = Shop()
    answered(shop, 10, MIDNIGHT)
    assert shop.record_of(72 * 60, DAY + timedelta(days=1)).distrusted == ()


def test_the_file_for_programs_holds_it():
    shop = Shop()
    answered(shop, 10, 20)
    (one,) = json.loads(to_json(shop.record_of()))["distrusted"]
    assert (one["sensor"], one["by"], one["until"]) == ("door", "Ash", "2026-11-25T08:20:00.000Z")


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed")
def test_it_stands_on_the_paper(tmp_path: Path):
    shop = Shop()
    answered(shop, 10, 20)
    text = text_of(written(shop, 1, tmp_path))
    assert "Sensors not trusted" in text
    assert "door: its readings were not used from 09:10:00 until 09:20:00, by Ash." in " ".join(text.split())
