"""Equal zones become one row on the paper, and every one of them is named."""

from bayapp.job.model.ids import Person, StepId, ZoneId
from bayapp.job.state.requests import Start
from bayapp.report.facts.merge import joined_deviations, joined_lapses, names_of, rows_of
from tests.report.facts.test_content import coated_glass, finished_cart
from tests.report.shop import GREEN, Shop, at


def test_zones_worked_by_the_same_touches_are_one_row():
    shop = finished_cart()
    titles = [row.title for row in rows_of(shop.record_of(minutes=40).zones, shop.job)]
    assert titles == ["glass: windscreen, rear pane", "rims: left rim, right rim"]


def test_a_zone_that_was_touched_apart_has_its_own_row():
    shop = coated_glass()
    shop.work("screen", "buff", 30, 32)
    shop.work("pane", "buff", 32, 34)
    titles = [row.title for row in rows_of(shop.record_of(minutes=40).zones, shop.job)]
    assert titles == ["windscreen", "rear pane", "rims: left rim, right rim"]


def test_equal_zones_of_two_work_blocks_stay_apart():
    shop = Shop()
    rows = rows_of(shop.record_of(minutes=1).zones, shop.job)
    assert [len(row.zones) for row in rows] == [2, 2]


def test_no_zone_is_lost_or_doubled_by_joining():
    shop = coated_glass()
    record = shop.record_of(minutes=40)
    assert sorted(z.zone for row in rows_of(record.zones, shop.job) for z in row.zones) == sorted(
        z.zone for z in record.zones
    )


def test_zones_that_are_no_set_are_all_named():
    shop = Shop()
    assert names_of(shop.job, [ZoneId("screen"), ZoneId("rim-a")]) == "windscreen, left rim"


def test_one_touch_against_the_gate_is_recorded_once():
    shop = coated_glass()
    shop.ask(Start(GREEN, (ZoneId("screen"), ZoneId("pane")), StepId("buff"), Person("Ash"), "customer waits"), at(20))
    joined = joined_deviations(shop.record_of(minutes=21).deviations)
    assert [[d.zone for d in one] for one in joined] == [["screen", "pane"]]


def test_lapses_of_one_moment_are_recorded_once_in_the_order_of_time():
    shop = coated_glass()
    shop.work("rims", "wipe", 15, 17)
    shop.work("rim-a", "coat", 18, 19)
    joined = joined_lapses(shop.record_of(minutes=60).lapses)
    # Left rim: not levelled by minute 24, so coat again; then, like the right one, not coated by minute 47.
    assert [([la.zone for la in one], one[0].title, one[0].lapsed_at) for one in joined] == [
        (["rim-a"], "level", at(24)),
        (["rim-a", "rim-b"], "coat", at(47)),
    ]
