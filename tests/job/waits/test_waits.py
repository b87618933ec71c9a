from datetime import timedelta

import pytest

from bayapp.job.waits.ladder_position import window_of
from bayapp.job.waits.waits import NotBegun, Window, wait_of
from tests.job.builders import (
    MS,
    ZONES,
    Shop,
    at,
    code,
    finish,
    form,
    grounds,
    job,
    recipe,
    start,
    step,
    two_step,
    undo,
    why,
)


def shop_with(wait, zones="roof", **more):
    return Shop(job((zones.split(), two_step(wait)), **more))


def window(shop, zone, name):
    state = shop.state.jobs["car"]
    return window_of(state, zone, state.job.recipe_of(zone).position(name), state.zones[zone], shop.state.last_at)


def test_a_start_is_right_from_exactly_opens_at_to_exactly_lapses_at_and_not_a_millisecond_outside():
    shop = shop_with({"min": 5, "max": 30})
    shop.work("roof", "coat", 0, 2)
    tap = start("roof", "level")
    assert code(shop.ask(tap, 7 - MS)) == "early"
    assert shop.ask(tap, 7).accepted
    assert shop.ask(tap, 32).accepted
    assert code(shop.ask(tap, 32 + MS)) == "late"


def test_waits_of_a_fraction_of_a_minute_are_kept_to_the_millisecond():
    shop = shop_with({"min": 0.1, "max": 0.35})
    shop.work("roof", "coat", 0, 1)
    assert window(shop, "roof", "level").opens_at - at(1) == timedelta(seconds=6)
    assert window(shop, "roof", "level").lapses_at - at(1) == timedelta(seconds=21)


def test_a_wait_counts_from_the_end_of_the_step_before_unless_it_names_another():
    ladder = recipe(step("wipe"), step("coat"), step("level", wait={"min": 10, "after": "wipe"}))
    shop = Shop(job((["roof"], ladder)))
    shop.work("roof", "wipe", 0, 1)
    shop.work("roof", "coat", 2, 4)
    assert window(shop, "roof", "level").opens_at == at(11)
    assert code(shop.ask(start("roof", "level"), 11 - MS)) == "early"
    assert shop.ask(start("roof", "level"), 11).accepted


def test_a_latest_moment_may_count_from_the_first_stroke():
    shop = shop_with({"min": 1, "max": 8, "max_from": "start"})
    shop.work("roof", "coat", 0, 3)
    assert window(shop, "roof", "level") == Window(at(3), at(4), at(8))
    assert shop.ask(start("roof", "level"), 8).accepted
    assert code(shop.ask(start("roof", "level"), 8 + MS)) == "late"


def test_when_the_first_stroke_is_so_long_ago_that_no_moment_is_right_the_step_is_early_and_then_late():
    shop = shop_with({"min": 3, "max": 5, "max_from": "start"})
    shop.work("roof", "coat", 0, 4)
    assert code(shop.ask(start("roof", "level"), 5)) == "early"
    assert code(shop.ask(start("roof", "level"), 5 + MS)) == "late"
    assert code(shop.ask(start("roof", "level"), 7)) == "late"


def test_a_wait_of_the_block_counts_from_its_last_zone_to_finish():
    shop = shop_with({"min": 5, "max": 30, "of": "block"}, "roof bonnet")
    shop.work("roof", "coat", 0, 2)
    refused = shop.ask(start("roof", "level"), 7)
    assert (code(refused), why(refused)) == ("order", "others-first")
    assert grounds(refused).zones == ("bonnet",)
    shop.work("bonnet", "coat", 8, 10)
    assert code(shop.ask(start("roof", "level"), 15 - MS)) == "early"
    assert shop.ask(start("roof bonnet", "level"), 15).accepted
    assert shop.ask(start("roof bonnet", "level"), 40).accepted
    assert code(shop.ask(start("roof", "level"), 40 + MS)) == "late"


def test_a_wait_of_the_block_takes_no_notice_of_other_blocks():
    ladder = two_step({"min": 5, "of": "block"})
    shop = Shop(job((["roof"], ladder), (["bonnet"], ladder)))
    shop.work("roof", "coat", 0, 2)
    assert shop.ask(start("roof", "level"), 7).accepted


def test_a_wait_of_a_set_counts_from_the_last_coat_of_its_last_zone_whatever_the_recipe():
    one = recipe(step("coat"), step("buff", wait={"of": "panels", "min": 5, "max": 30}), name="one")
    two = recipe(step("coat-1"), step("coat-2"), step("buff", wait={"of": "panels", "min": 5, "max": 30}), name="two")
    shop = Shop(job((["roof"], one), (["bonnet"], two)))
    shop.work("roof", "coat", 0, 1)
    shop.work("bonnet", "coat-1", 2, 3)
    refused = shop.ask(start("roof", "buff"), 20)
    assert (code(refused), grounds(refused).zones) == ("order", ("bonnet",))
    shop.work("bonnet", "coat-2", 20, 21)
    for zone in ("roof", "bonnet"):
        assert code(shop.ask(start(zone, "buff"), 26 - MS)) == "early"
        assert shop.ask(start(zone, "buff"), 26).accepted
        assert shop.ask(start(zone, "buff"), 51).accepted
        assert code(shop.ask(start(zone, "buff"), 51 + MS)) == "late"


def test_zones_of_a_set_that_are_not_worked_in_this_job_are_not_waited_for():
    shop = shop_with({"min": 5, "of": "panels"})
    shop.work("roof", "coat", 0, 1)
    assert shop.ask(start("roof", "level"), 6).accepted


def test_a_wait_of_a_set_that_has_nothing_to_do_in_this_job_is_no_wait():
    shop = shop_with({"min": 5, "of": "rims"})
    shop.work("roof", "coat", 0, 1)
    assert window(shop, "roof", "level") is None
    assert shop.ask(start("roof", "level"), 1).accepted


def test_a_wait_of_a_set_may_count_a_step_of_those_zones_own_recipes():
    masks = recipe(step("mask"), step("inspect"), name="masks")
    coats = recipe(step("coat", wait={"of": "rims", "after": "mask", "min": 1}), name="coats")
    shop = Shop(job((["roof"], coats), (["left-rim", "right-rim"], masks)))
    assert code(shop.ask(start("roof", "coat"), 0)) == "order"
    shop.work("left-rim right-rim", "mask", 0, 3)
    assert code(shop.ask(start("roof", "coat"), 4 - MS)) == "early"
    assert shop.ask(start("roof", "coat"), 4).accepted


def test_a_wait_may_count_several_sets_and_then_counts_from_the_last_zone_of_all_of_them():
    masks = recipe(step("mask"), name="masks")
    coats = recipe(step("coat", wait={"of": "rims", "also": ["bonnet"], "after": "mask", "min": 1}), name="coats")
    shop = Shop(job((["roof"], coats), (["left-rim"], masks), (["bonnet"], masks)))
    shop.work("left-rim", "mask", 0, 3)
    assert grounds(shop.ask(start("roof", "coat"), 3)).zones == ("bonnet",)
    shop.work("bonnet", "mask", 5, 6)
    assert code(shop.ask(start("roof", "coat"), 7 - MS)) == "early"
    assert shop.ask(start("roof", "coat"), 7).accepted


def test_zones_wait_for_the_car_itself_where_it_is_worked_and_for_nothing_where_it_is_not():
    zone = recipe(step("wipe", wait={"of": "car", "after": "dry", "min": 1}), name="zone")
    whole = recipe(step("wash"), step("dry"), name="whole")
    with_the_car = form((*ZONES, "car"))
    shop = Shop(job((["roof"], zone), (["car"], whole), vehicle=with_the_car))
    shop.work("car", "wash", 0, 3)
    assert (code(refused := shop.ask(start("roof", "wipe"), 3)), grounds(refused).zones) == ("order", ("car",))
    shop.work("car", "dry", 3, 5)
    assert code(shop.ask(start("roof", "wipe"), 6 - MS)) == "early"
    assert shop.ask(start("roof", "wipe"), 6).accepted
    for vehicle in (with_the_car, form()):
        assert Shop(job((["roof"], zone), vehicle=vehicle)).ask(start("roof", "wipe"), 0).accepted


def test_zones_wait_for_nothing_that_the_ladder_of_the_car_itself_does_not_have():
    zone = recipe(step("wipe", wait={"of": "car", "after": "dust-off"}), name="zone")
    shop = Shop(job((["roof"], zone), (["car"], recipe(step("wash"))), vehicle=form((*ZONES, "car"))))
    assert shop.ask(start("roof", "wipe"), 0).accepted


def test_among_last_coats_that_may_swap_the_one_laid_last_counts():
    swap = recipe(
        step("coat-a", any_order="cross"), step("coat-b", any_order="cross"), step("buff", wait={"of": "panels"})
    )
    shop = Shop(job((["roof", "bonnet"], swap)))
    shop.work("roof", "coat-b", 0, 1)
    assert isinstance(window(shop, "roof", "buff"), NotBegun)
    shop.work("roof", "coat-a", 2, 3)
    shop.work("bonnet", "coat-a", 4, 5)
    shop.work("bonnet", "coat-b", 6, 7)
    assert window(shop, "roof", "buff").since == at(7)


def test_coats_redone_on_one_zone_after_a_fall_do_not_bring_back_the_wait_that_lapsed_on_the_other():
    ladder = recipe(
        step("wipe"), step("coat"), step("level", wait={"of": "block", "min": 1, "max": 5, "lapse": "wipe"})
    )
    shop = Shop(job((["roof", "bonnet"], ladder)))
    shop.work("roof bonnet", "wipe", 0, 1)
    shop.work("roof bonnet", "coat", 2, 3)
    shop.work("roof", "wipe", 9, 10)
    shop.work("roof", "coat", 11, 12)
    assert shop.ask(start("roof", "level"), 13).accepted
    assert code(shop.ask(start("bonnet", "level"), 13)) == "late"
    assert shop.ask(start("bonnet", "wipe"), 13).accepted


def test_coats_redone_on_one_zone_do_not_move_the_wait_that_runs_on_the_other():
    ladder = recipe(
        step("wipe"), step("coat-1"), step("coat-2", wait={"of": "block", "max": 60}),
        step("level", wait={"max": 5, "lapse": "wipe"}),
    )  # fmt: skip
    shop = Shop(job((["roof", "bonnet"], ladder)))
    shop.work("roof bonnet", "wipe", 0, 1)
    shop.work("roof bonnet", "coat-1", 2, 3)
    shop.work("roof", "coat-2", 4, 5)
    shop.work("roof", "wipe", 20, 21)
    shop.work("roof", "coat-1", 22, 23)
    assert window(shop, "bonnet", "coat-2").lapses_at == at(63)
    assert window(shop, "roof", "coat-2").lapses_at == at(83)


def test_an_undone_finish_holds_up_the_block_again():
    shop = shop_with({"min": 5, "of": "block"}, "roof bonnet")
    shop.work("roof bonnet", "coat", 0, 2)
    shop.must(undo("bonnet"), 3)
    assert code(shop.ask(start("roof", "level", "Bo"), 8)) == "order"
    shop.must(finish("bonnet", "coat"), 9)
    assert window(shop, "roof", "level").opens_at == at(14)


def test_steps_that_may_swap_carry_the_waits_of_their_turn():
    swap = recipe(
        step("wipe"),
        step("coat-a", any_order="cross", wait={"max": 30}),
        step("coat-b", any_order="cross", wait={"min": 5, "max": 60}),
        step("buff", wait={"min": 15}),
    )
    shop = Shop(job((["roof"], swap)))
    shop.work("roof", "wipe", 0, 1)
    assert shop.ask(start("roof", "coat-b"), 1).accepted
    assert code(shop.ask(start("roof", "coat-b"), 31 + MS)) == "late"
    shop.work("roof", "coat-b", 2, 3)
    assert code(shop.ask(start("roof", "coat-a"), 8 - MS)) == "early"
    assert shop.ask(start("roof", "coat-a"), 8).accepted
    assert shop.ask(start("roof", "coat-a"), 63).accepted
    assert code(shop.ask(start("roof", "coat-a"), 63 + MS)) == "late"
    shop.work("roof", "coat-a", 8, 9)
    assert window(shop, "roof", "buff").opens_at == at(24)
    assert wait_of(swap, 1, 1) == swap.step[2].wait


def test_a_wait_of_no_time_at_all_is_right_at_that_one_millisecond():
    shop = shop_with({"min": 0, "max": 0})
    shop.work("roof", "coat", 0, 2)
    assert shop.ask(start("roof", "level"), 2).accepted
    assert code(shop.ask(start("roof", "level"), 2 + MS)) == "late"


def test_a_wait_of_a_whole_year_is_kept():
    shop = shop_with({"min": 366 * 24 * 60})
    shop.work("roof", "coat", 0, 2)
    assert code(shop.ask(start("roof", "level"), 2 + 366 * 24 * 60 - MS)) == "early"
    assert shop.ask(start("roof", "level"), 2 + 366 * 24 * 60).accepted


@pytest.mark.parametrize(
    ("opens", "lapses", "closing"),
    [
        (0, 40, 30),  # a quarter of forty
        (10, 14, 13),  # a quarter of four minutes is exactly the last sixty seconds
        (0, 2, 1),  # a quarter would be thirty seconds, but sixty is the least
        (0, 0.5, 0),  # never before it opens
        (5, 5, 5),
    ],
)
def test_closing_is_the_last_quarter_and_never_less_than_the_last_minute(opens, lapses, closing):
    assert Window(at(0), at(opens), at(lapses)).closing_from == at(closing)


def test_a_window_without_a_latest_moment_never_closes_and_never_lapses():
    endless = Window(at(0), at(1), None)
    assert endless.closing_from is None
    assert not endless.lapsed(at(1e6))


def test_only_coats_count_among_last_steps_that_may_swap():
    swap = recipe(
        step("coat", any_order="x"), step("inspect", any_order="x"), step("buff", wait={"of": "panels", "min": 5})
    )
    other = recipe(step("dress", wait={"of": "panels", "min": 5}), name="other")
    shop = Shop(job((["roof"], swap), (["left-rim"], other)))
    shop.work("roof", "coat", 0, 1)
    assert shop.ask(start("left-rim", "dress"), 6).accepted


TWICE = recipe(
    step("coat-a", any_order="cross"),
    step("coat-b", any_order="cross"),
    step("buff", wait={"of": "block", "min": 1}),
)


def test_a_block_is_asked_for_the_turn_and_not_for_the_step_that_this_zone_did_last():
    """The door lacks a layer though it has the one that was the last on the roof."""
    shop = Shop(job((["left-door", "roof"], TWICE)))
    shop.work("left-door", "coat-a", 0, 0)
    shop.work("roof", "coat-b", 1, 1)
    shop.work("roof", "coat-a", 2, 2)
    refused = shop.ask(start("roof", "buff"), 3)
    assert (code(refused), grounds(refused).zones, grounds(refused).anchor) == ("order", ("left-door",), "coat-b")
    shop.work("left-door", "coat-b", 4, 4)
    assert code(shop.ask(start("roof", "buff"), 5 - MS)) == "early"
    assert shop.ask(start("roof", "buff"), 5).accepted


def test_the_second_turn_of_a_block_waits_for_the_first_turn_of_the_others_whichever_step_that_was():
    layers = recipe(
        step("wipe"),
        step("coat-a", any_order="cross"),
        step("coat-b", any_order="cross", wait={"of": "block", "min": 5}),
    )
    shop = Shop(job((["left-door", "roof"], layers)))
    shop.work("left-door roof", "wipe", 0, 0)
    shop.work("roof", "coat-a", 0, 1)
    assert code(shop.ask(start("roof", "coat-b"), 7)) == "order"
    shop.work("left-door", "coat-b", 7, 8)
    assert code(shop.ask(start("roof", "coat-b"), 13 - MS)) == "early"
    shop.work("roof", "coat-b", 13, 14)
    assert shop.ask(start("left-door", "coat-a"), 14).accepted, "its first turn and the roof's are over"


UNMASKING = recipe(step("mask"), step("unmask", wait={"of": "panels"}), name="trim")
PANEL = recipe(
    step("polish"), step("coat"), step("level", wait={"max": 10, "lapse": "polish"}), step("inspect"), name="panel"
)


def masked():
    """Roof and bonnet are coated, the roof is levelled; the trim on the rim's place is still masked."""
    shop = Shop(job((["left-rim"], UNMASKING), (["roof", "bonnet"], PANEL)))
    shop.work("left-rim", "mask", 0, 0)
    shop.work("roof bonnet", "polish", 1, 1)
    shop.work("roof bonnet", "coat", 2, 2)
    shop.work("roof", "level", 3, 3)
    return shop


def test_nobody_unmasks_while_a_panel_that_fell_back_is_polished_again():
    shop, unmask = masked(), start("left-rim", "unmask", "Bo")
    assert shop.ask(unmask, 12).accepted, "the bonnet may be levelled until then"
    refused = shop.ask(unmask, 12 + MS)
    assert (code(refused), grounds(refused).zones, grounds(refused).anchor) == ("order", ("bonnet",), "coat")
    shop.must(start("bonnet", "polish"), 13)
    assert code(shop.ask(unmask, 14)) == "order"
    shop.must(finish("bonnet", "polish"), 15)
    assert code(shop.ask(unmask, 15)) == "order"
    shop.work("bonnet", "coat", 15, 16)
    assert shop.ask(unmask, 16).accepted


def test_a_wait_without_a_latest_moment_counts_from_the_coat_that_was_laid_anew():
    cooling = recipe(step("mask"), step("unmask", wait={"of": "panels", "min": 5}), name="trim")
    shop = Shop(job((["left-rim"], cooling), (["roof", "bonnet"], PANEL)))
    shop.work("left-rim", "mask", 0, 0)
    shop.work("roof bonnet", "polish", 1, 1)
    shop.work("roof bonnet", "coat", 2, 2)
    assert window(shop, "left-rim", "unmask").opens_at == at(7)
    shop.work("bonnet", "polish", 13, 13)
    assert isinstance(window(shop, "left-rim", "unmask"), NotBegun)
    shop.work("roof", "polish", 14, 14)
    shop.work("roof bonnet", "coat", 15, 20)
    assert window(shop, "left-rim", "unmask").opens_at == at(25)
