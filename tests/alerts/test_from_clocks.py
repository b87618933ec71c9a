"""What is called for at an instant: which zones are one condition, and under which key an answer stands."""

from datetime import datetime

from bayapp.alerts.calls import call_due
from bayapp.alerts.condition import Condition
from bayapp.alerts.from_clocks import conditions
from bayapp.alerts.kinds import AlertKind
from bayapp.alerts.lifecycle import AlertBook, acknowledge, refresh
from bayapp.job import CorrectAir, ReadAir, clocks
from tests.job.builders import Shop, at, finish, job, read_air, recipe, set_aside, start, step, two_step

PANELS = "roof bonnet left-door"
RIMS = "left-rim right-rim"


def true_at(shop: Shop, moment: datetime) -> tuple[Condition, ...]:
    return conditions(shop.state, clocks(shop.state, moment), moment)


def one_at(shop: Shop, minutes: float) -> Condition:
    (found,) = true_at(shop, at(minutes))
    return found


def shop_of_panels() -> Shop:
    shop = Shop(job((PANELS.split(), two_step({"min": 5, "max": 20}))))
    shop.work(PANELS, "coat", 0, 1)
    return shop


def test_zones_of_one_block_with_the_same_instants_are_one_condition_that_names_them_all():
    found = one_at(shop_of_panels(), 6)
    assert (found.kind, found.job, found.zones) == (AlertKind.OPENED, "car", tuple(PANELS.split()))


def test_the_answer_stands_for_the_zones_that_remain_whichever_is_begun_first():
    for first in PANELS.split():
        shop = shop_of_panels()
        before = one_at(shop, 6)
        book = acknowledge(refresh(AlertBook(), [before], at(6)), {before.subject}, at(6))
        shop.must(start(first, "level"), 7)
        after = one_at(shop, 7)
        assert after.subject == before.subject
        assert set(after.zones) == set(PANELS.split()) - {first}
        assert call_due(refresh(book, [after], at(7)), at(7)) is None


def test_the_next_stage_calls_the_zones_that_remain_anew():
    shop = shop_of_panels()
    opened = one_at(shop, 6)
    book = acknowledge(refresh(AlertBook(), [opened], at(6)), {opened.subject}, at(6))
    shop.work("bonnet", "level", 7, 8)
    call = call_due(refresh(book, true_at(shop, at(18)), at(18)), at(18))
    assert call
    assert [(c.kind, c.zones) for c in call.conditions] == [(AlertKind.CLOSING, ("roof", "left-door"))]


def test_a_second_wait_for_the_same_step_is_asked_anew():
    shop = Shop(job((PANELS.split(), two_step({"min": 5, "max": 20}))))
    shop.work("roof", "coat", 0, 1)
    shop.work("bonnet", "coat", 2, 3)
    assert len({c.subject for c in true_at(shop, at(9))}) == 2


def test_blocks_with_the_same_steps_and_instants_stay_two_conditions():
    ladder = two_step({"min": 5, "max": 20})
    shop = Shop(job((PANELS.split(), ladder), (RIMS.split(), ladder)))
    shop.must(start(PANELS, "coat", "Ash"), 0)
    shop.must(start(RIMS, "coat", "Bo"), 0)
    shop.must(finish(PANELS, "coat", "Ash"), 1)
    shop.must(finish(RIMS, "coat", "Bo"), 1)
    found = true_at(shop, at(6))
    assert sorted(c.zones for c in found) == [tuple(RIMS.split()), tuple(PANELS.split())]
    assert len({c.subject for c in found}) == 2


def test_one_wait_on_zones_that_stand_differently_is_one_condition_that_says_both():
    """Both levels lapse 8 minutes after one first stroke; one coat is still under way."""
    ladder = recipe(step("coat"), step("level", wait={"min": 1, "max": 8, "max_from": "start"}))
    shop = Shop(job((RIMS.split(), ladder)))
    shop.must(start(RIMS, "coat"), 0)
    shop.must(finish("left-rim", "coat"), 1)
    found = one_at(shop, 7.5)
    assert found.kind is AlertKind.CLOSING
    assert set(found.zones) == set(RIMS.split())
    assert "Left rim, level closes soon" in found.label
    assert "Right rim, level closes soon" in found.label


def test_no_zone_that_is_called_for_is_left_out_at_any_time():
    """The zones called for are those whose clock, looked at alone, calls."""
    ladder = recipe(step("coat"), step("level", wait={"min": 1, "max": 8, "max_from": "start"}))
    shop = Shop(job((RIMS.split(), ladder)))
    shop.must(start(RIMS, "coat"), 0)
    shop.must(finish("left-rim", "coat"), 1)
    for tenth in range(10, 110):
        moment = at(tenth / 10)
        alone = {
            z for clock in clocks(shop.state, moment) for c in conditions(shop.state, [clock], moment) for z in c.zones
        }
        assert {z for c in true_at(shop, moment) for z in c.zones} == alone


def test_the_cured_are_one_condition_with_one_key():
    shop = Shop(
        job((RIMS.split(), recipe(step("coat"), finish={"keep_dry_hours": 1})), (["roof"], two_step({"min": 5})))
    )
    shop.work(RIMS, "coat", 0, 1)
    found = one_at(shop, 62)
    assert (found.kind, found.zones) == (AlertKind.CURED, tuple(RIMS.split()))
    assert found.subject == f"car/cured/{at(61).isoformat()}"
    assert found.label == "Rims: may get wet"


def test_what_is_not_kept_dry_may_be_driven_and_nothing_is_said_of_water():
    dressed = recipe(step("dress"), finish={"no_drive_hours": 1})
    shop = Shop(job((["left-rim"], dressed), (["roof"], two_step({"min": 5}))))
    shop.work("left-rim", "dress", 0, 1)
    assert one_at(shop, 62).label == "Left rim: may be driven"


def test_a_zone_that_is_set_aside_is_not_called_for_at_any_stage():
    shop = shop_of_panels()
    shop.must(set_aside("roof", "no time today"), 2)
    for minutes in (6, 19, 30):
        assert set(one_at(shop, minutes).zones) == {"bonnet", "left-door"}
    shop.must(set_aside("bonnet left-door"), 31)
    assert true_at(shop, at(32)) == ()


def test_changing_air_moves_an_opening_and_a_lapse_but_not_the_key_of_an_answer() -> None:
    shop = Shop(job((["roof"], two_step({"min_by_c": [[10, 8], [30, 3]], "max_by_c": [[10, 40], [30, 10]]}))))
    shop.must(read_air(30), 0)
    shop.work("roof", "coat", 0, 1)
    subjects = {one_at(shop, 4).subject, one_at(shop, 9).subject, one_at(shop, 12).subject}
    shop.must(read_air(20), 5)
    assert one_at(shop, 10).lapses_at != at(11)
    subjects |= {one_at(shop, 10).subject, one_at(shop, 40).subject}
    assert len(subjects) == 1
    assert [one_at(shop, m).kind for m in (6, 17, 40)] == [AlertKind.OPENED, AlertKind.CLOSING, AlertKind.LAPSED]


def test_a_coat_laid_on_a_reading_that_is_put_right_later_calls_at_once_and_anew_at_each_correction():
    shop = Shop(job((["roof", "bonnet"], recipe(step("coat")))))
    shop.must(read_air(20, 50, 19), 0)
    shop.work("roof bonnet", "coat", 1, 2)
    shop.must(CorrectAir(at(0), ReadAir(20, 50, 11)), 10)
    first = next(c for c in true_at(shop, at(10)) if c.kind is AlertKind.ATTENTION)
    assert (first.job, first.zones, first.since) == ("car", ("roof", "bonnet"), at(10))
    assert "surface 19.0 °C) that was put right to 20.0 °C, 50 %, surface 11.0 °C" in first.label
    book = acknowledge(refresh(AlertBook(), [first], at(10)), {first.subject}, at(10))
    shop.must(CorrectAir(at(0), None), 12)
    again = next(c for c in true_at(shop, at(12)) if c.kind is AlertKind.ATTENTION)
    call = call_due(refresh(book, [again], at(12)), at(12))
    assert call
    assert [condition.subject for condition in call.conditions] == [again.subject]
