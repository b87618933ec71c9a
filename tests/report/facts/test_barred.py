"""What is left to do on paper says what the screen says: what may not begin is not called free to begin."""

from datetime import UTC, date, datetime
from pathlib import Path

from bayapp.cli.day import read_day
from bayapp.job import Start, fold, gate
from bayapp.job.model.ids import JobId, StepId, ZoneId
from bayapp.job.state.requests import CloseJob
from bayapp.job.text.sentences import why_not
from bayapp.report.facts.content import day_record
from bayapp.report.facts.day_record import WorkLeft
from tests.job.builders import Shop, at, finish, job, recipe, start, step

DAYS = Path(__file__).parents[2] / "data" / "days"
COAT = recipe(step("coat", minutes=2), step("buff", minutes=2, wait={"min": 30, "max": 120, "lapse": "repeat"}))
WASH = recipe(step("decontaminate", minutes=4), name="wash")


def left(shop: Shop, car: str, zone: str, minutes: float) -> WorkLeft:
    record = day_record(shop.events, JobId(car), at(minutes).date(), at(minutes), UTC)  # type: ignore[arg-type]
    (found,) = [z.ahead for z in record.zones if z.zone == zone]
    assert found
    return found


def test_on_the_day_on_which_the_windscreen_was_coated_first_no_pane_is_called_free_to_begin():
    car, events = read_day(DAYS / "glass-first.toml", DAYS / "glass-first.jsonl", None)
    now = datetime(2026, 11, 25, 8, 28, tzinfo=UTC)
    record = day_record(events, car.id, date(2026, 11, 25), now, UTC)
    by_zone = {zone.zone: zone.ahead for zone in record.zones}
    pane = ZoneId("glass-left-front")
    refusal = gate(fold(events), Start(car.id, (pane,), StepId("decontaminate")), now).refusal
    assert refusal
    ahead = by_zone[pane]
    assert ahead
    assert ahead.barred == why_not(refusal, fold(events), UTC)
    windscreen = by_zone[ZoneId("windscreen")]
    assert windscreen
    assert windscreen.barred == "", "its own wait is all that it waits for"


def test_the_coat_of_another_car_counts_as_long_as_that_is_inside():
    shop = Shop(job((["roof"], COAT), name="red"), job((["bonnet"], WASH), name="van"))
    shop.must(start("roof", "coat", job="red"), 0)
    shop.must(finish("roof", "coat", job="red"), 2)
    assert left(shop, "van", "bonnet", 3).barred.startswith("Water would spoil the fresh coat of roof")
    shop.must(CloseJob(JobId("red")), 4)
    assert left(shop, "van", "bonnet", 5).barred == ""


def test_what_is_under_way_is_not_barred():
    shop = Shop(job((["roof"], COAT), (["bonnet"], WASH), name="red"))
    shop.must(start("bonnet", "decontaminate", job="red"), 0)
    assert (left(shop, "red", "bonnet", 1).running, left(shop, "red", "bonnet", 1).barred) == (True, "")
