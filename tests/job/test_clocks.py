from datetime import timedelta

import pytest

from bayapp.job import clocks, handover_at, zone_clock
from bayapp.job.model.ids import Motion
from tests.job.builders import MS, Shop, at, close, correct, finish, job, recipe, set_aside, start, step, undo

LADDER = recipe(
    step("decontaminate"),
    step("polish"),
    step("wipe"),
    step("coat-1", wait={"max": 30}, motion="vertical"),
    step("coat-2", wait={"min": 5, "max": 45, "lapse": "wipe"}, motion="horizontal"),
    step("buff", wait={"min": 10}),
    finish={"keep_dry_hours": 12, "no_drive_hours": 24},
)
NAMES = [s.id for s in LADDER.step]


def climbed(to, ladder=LADDER, zones=("roof",)):
    """Climb so many steps, each done in no time at minute 0 or when its wait opens."""
    shop = Shop(job((zones, ladder)))
    for minutes, name in zip((0, 0, 0, 0, 5, 15), NAMES[:to], strict=False):
        shop.work(" ".join(zones), name, minutes, minutes)
    return shop


def clock(shop, minutes, zone="roof", car="car"):
    return zone_clock(shop.state.jobs[car], zone, at(minutes))


def urgency(shop, minutes):
    return clock(shop, minutes).urgency.value


def test_a_zone_with_no_clock_is_idle_working_or_finished():
    shop = climbed(0)
    assert urgency(shop, 0) == "idle"
    shop.must(start("roof", "decontaminate"), 1)
    assert urgency(shop, 1) == "working"
    assert clock(shop, 1).running.by == "Ash"
    shop.must(finish("roof", "decontaminate"), 2)
    assert urgency(shop, 2) == "idle"
    assert urgency(climbed(6), 16) == "finished"


def test_a_clock_waits_opens_closes_and_lapses_to_the_millisecond():
    shop = climbed(4)  # coated at 0: coat 2 from 5 to 45, closing from 35
    assert urgency(shop, 5 - MS) == "waiting"
    assert urgency(shop, 5) == "open"
    assert urgency(shop, 35 - MS) == "open"
    assert urgency(shop, 35) == "closing"
    assert urgency(shop, 45) == "closing"
    assert urgency(shop, 45 + MS) == "lapsed"


def test_a_clock_tells_its_moments():
    found = clock(climbed(4), 20)
    assert (found.since, found.opens_at, found.closing_from, found.lapses_at) == (at(0), at(5), at(35), at(45))
    assert (found.step, found.choices) == ("coat-2", ("coat-2",))


def test_a_lapsed_clock_tells_what_was_missed_and_what_comes_next():
    found = clock(climbed(4), 50)
    assert (found.step, found.choices, found.lapses_at, found.held) == ("wipe", ("wipe",), at(45), False)
    assert found.anchor is None, "its latest moment does not hang on the air"
    assert [(la.step, la.back_to) for la in found.lapses] == [("coat-2", "wipe")]
    assert (found.stage.value, found.layers) == ("polished", ())


@pytest.mark.parametrize(
    ("steps", "stage"),
    [(0, "untouched"), (1, "clean"), (2, "polished"), (3, "wiped"), (4, "coated"), (5, "coated"), (6, "buffed")],
)
def test_the_stage_says_how_far_the_surface_has_got(steps, stage):
    assert clock(climbed(steps), 16).stage.value == stage


def test_a_zone_under_way_looks_as_it_did_before():
    shop = climbed(2)
    shop.must(start("roof", "wipe"), 1)
    assert clock(shop, 1).stage.value == "polished"
    coated = climbed(4)
    coated.must(start("roof", "coat-2"), 5)
    found = clock(coated, 5)
    assert (found.stage.value, found.layers, found.step, found.choices) == (
        "coated",
        (Motion.VERTICAL,),
        "coat-2",
        ("coat-2",),
    )


def test_layers_tell_the_motions_in_which_they_were_laid_oldest_first():
    assert clock(climbed(5), 6).layers == (Motion.VERTICAL, Motion.HORIZONTAL)


def test_a_later_wipe_never_makes_a_coated_surface_look_less_far():
    shop = Shop(job((["roof"], recipe(step("coat"), step("wipe"), step("inspect")))))
    shop.work("roof", "coat", 0, 1)
    shop.work("roof", "wipe", 2, 3)
    assert clock(shop, 3).stage.value == "coated"


def test_the_surface_looks_finished_once_nothing_holds_on_it_any_more():
    shop = climbed(6)  # buffed at 15: driven from 15 min after a day
    assert clock(shop, 15 + 24 * 60 - MS).stage.value == "buffed"
    assert clock(shop, 15 + 24 * 60).stage.value == "finished"


def test_a_wait_on_others_is_idle_and_names_them():
    ladder = recipe(step("coat"), step("level", wait={"of": "block", "min": 5}))
    shop = Shop(job((["roof", "bonnet"], ladder)))
    shop.work("roof", "coat", 0, 1)
    found = clock(shop, 2)
    assert (found.urgency.value, found.blocked_by) == ("idle", ("bonnet",))


def test_a_wait_on_others_that_asks_for_no_time_is_idle_since_the_last_of_them():
    ladder = recipe(step("coat"), step("level", wait={"of": "block"}, any_order="x"), step("buff", any_order="x"))
    shop = Shop(job((["roof", "bonnet"], ladder)))
    shop.work("roof", "coat", 0, 1)
    shop.work("bonnet", "coat", 1, 3)
    found = clock(shop, 4)
    assert (found.urgency.value, found.since, found.step, found.choices) == ("idle", at(3), "level", ("level", "buff"))
    assert (found.stage.value, found.layers) == ("coated", (Motion.VERTICAL,))
    assert (found.opens_at, found.lapses_at, found.blocked_by) == (None, None, ())


def test_a_step_under_way_shows_the_levelling_window_that_began_with_its_first_stroke():
    ladder = recipe(step("coat"), step("level", wait={"min": 1, "max": 8, "max_from": "start"}))
    shop = Shop(job((["roof"], ladder)))
    shop.must(start("roof", "coat"), 2)
    found = clock(shop, 3)
    assert (found.urgency.value, found.lapses_at, found.closing_from) == ("working", at(10), at(8))


def test_a_lapse_that_costs_no_rung_holds_the_zone():
    shop = Shop(job((["roof"], recipe(step("coat"), step("level", wait={"max": 10, "lapse": "inspect"})))))
    shop.work("roof", "coat", 0, 1)
    missed = clock(shop, 12)
    assert (missed.urgency.value, missed.step, missed.lapses_at, missed.held) == ("lapsed", "level", at(11), True)


def test_a_zone_that_is_set_aside_has_no_clock_and_keeps_its_surface():
    shop = climbed(4)
    shop.must(set_aside("roof", "scratched"), 1)
    found = clock(shop, 10)
    assert (found.job, found.zone) == ("car", "roof")
    assert (found.urgency.value, found.aside, found.step) == ("idle", "scratched", "coat-2")
    assert (found.stage.value, found.layers) == ("coated", (Motion.VERTICAL,))
    assert (found.since, found.opens_at, found.closing_from, found.lapses_at) == (None,) * 4


def test_the_fraction_left_runs_from_one_to_nothing():
    shop = climbed(4)
    assert clock(shop, 0).fraction_left(at(0)) == 1
    assert clock(shop, 2.5).fraction_left(at(2.5)) == pytest.approx(0.5)
    assert clock(shop, 5).fraction_left(at(5)) == 1
    assert clock(shop, 25).fraction_left(at(25)) == pytest.approx(0.5)
    assert clock(shop, 45).fraction_left(at(45)) == 0
    assert clock(shop, 5).fraction_left(at(3)) == 1, "never more than all of it"


def test_the_fraction_left_of_a_window_of_no_length_is_nothing():
    shop = Shop(job((["roof"], recipe(step("coat"), step("level", wait={"min": 0, "max": 0})))))
    shop.work("roof", "coat", 0, 1)
    assert clock(shop, 1).fraction_left(at(1)) == 0


def test_every_zone_of_every_open_job_has_a_clock_in_the_order_of_the_jobs():
    shop = Shop(job((["roof", "bonnet"], LADDER)), job((["left-door"], LADDER), name="other"))
    assert [(c.job, c.zone) for c in clocks(shop.state, at(0))] == [
        ("car", "roof"),
        ("car", "bonnet"),
        ("other", "left-door"),
    ]
    shop.must(close(), 1)
    assert [c.job for c in clocks(shop.state, at(1))] == ["other"]


def test_the_hours_to_keep_dry_and_not_to_drive_run_per_zone_from_its_last_step():
    cure = clock(climbed(6), 16).cure
    assert cure.finished_at == at(15)
    assert cure.dry_until - cure.finished_at == timedelta(hours=12)
    assert cure.drive_from - cure.finished_at == timedelta(hours=24)
    assert cure.until == cure.drive_from
    assert cure.protects_until is None


def test_the_months_that_a_coat_protects_are_twelfths_of_a_mean_year():
    shop = Shop(job((["roof"], recipe(step("coat"), finish={"protects_months": 24}))))
    shop.work("roof", "coat", 0, 1)
    assert clock(shop, 2).cure.protects_until == at(1) + timedelta(days=730.5)


def test_a_coat_is_fully_cured_days_after_it_may_get_wet_and_the_car_does_not_wait_for_that():
    shop = Shop(job((["roof"], recipe(step("coat"), finish={"keep_dry_hours": 12, "full_cure_days": 7}))))
    shop.work("roof", "coat", 0, 1)
    cure = clock(shop, 2).cure
    assert cure.full_cure_at == at(1) + timedelta(days=7)
    assert cure.until == cure.dry_until


def test_the_car_is_handed_over_at_the_latest_cure_of_all_its_zones():
    wheel = recipe(step("coat"), name="wheel", finish={"keep_dry_hours": 48})
    shop = Shop(job((["roof"], recipe(step("coat"), finish={"no_drive_hours": 1})), (["left-rim"], wheel)))
    shop.work("left-rim", "coat", 0, 1)
    assert handover_at(shop.state.jobs["car"]) is None
    shop.work("roof", "coat", 2, 3)
    assert handover_at(shop.state.jobs["car"]) == at(1 + 48 * 60)
    shop.must(undo("roof"), 4)
    assert handover_at(shop.state.jobs["car"]) is None


def test_a_recipe_without_cure_is_ready_when_its_last_step_ends():
    shop = Shop(job((["roof"], recipe(step("clean")))))
    shop.work("roof", "clean", 0, 7)
    assert handover_at(shop.state.jobs["car"]) == at(7)


def test_the_cure_counts_from_a_corrected_time():
    shop = climbed(6)
    shop.must(correct("roof", "buff", "finish", 20), 21)
    assert clock(shop, 21).cure.finished_at == at(20)


def test_last_steps_that_may_swap_all_have_to_be_done_before_the_cure_runs():
    ladder = recipe(step("coat-a", any_order="x"), step("coat-b", any_order="x"), finish={"keep_dry_hours": 1})
    shop = Shop(job((["roof"], ladder)))
    shop.work("roof", "coat-b", 0, 1)
    assert handover_at(shop.state.jobs["car"]) is None
    assert clock(shop, 1).choices == ("coat-a",)
    shop.work("roof", "coat-a", 2, 3)
    assert handover_at(shop.state.jobs["car"]) == at(63)
