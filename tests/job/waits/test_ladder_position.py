import pytest

from bayapp.alerts.from_clocks import conditions
from bayapp.alerts.kinds import AlertKind
from bayapp.job import clocks
from bayapp.job.waits.ladder_position import ladder_position, next_places
from tests.job.builders import MS, Shop, at, code, finish, grounds, job, recipe, send_back, start, step, undo


def ladder(lapse, **wait):
    return recipe(
        step("polish"),
        step("wipe"),
        step("coat-1", wait={"max": 30, "lapse": "wipe"}),
        step("coat-2", wait={"min": 5, "max": 60, **({"lapse": lapse} if lapse else {}), **wait}),
        step("level"),
        step("inspect"),
    )


def coated_once(rungs, zone="roof"):
    """Polished, wiped and coated at 6; the second coat is right from 11 to 66."""
    shop = Shop(job(([zone], rungs)))
    shop.work(zone, "polish", 0, 1)
    shop.work(zone, "wipe", 2, 3)
    shop.work(zone, "coat-1", 4, 6)
    return shop


def stands(shop, minutes, zone="roof"):
    return ladder_position(shop.state.jobs["car"], zone, at(minutes))


def done(shop, minutes, zone="roof"):
    return [run.step for run in stands(shop, minutes, zone).rungs]


@pytest.mark.parametrize(
    ("lapse", "left", "following"),
    [
        ("wipe", ["polish"], "wipe"),
        ("polish", [], "polish"),
        ("repeat", ["polish", "wipe"], "coat-1"),
    ],
)
def test_a_lapse_costs_what_the_recipe_says(lapse, left, following):
    shop = coated_once(ladder(lapse))
    assert done(shop, 66) == ["polish", "wipe", "coat-1"]
    if lapse == "repeat":  # the wipe has been waiting for longer than it holds, so it falls in its turn
        left, following = ["polish"], "wipe"
    assert done(shop, 66 + MS) == left
    refused = shop.ask(start("roof", "coat-2"), 66 + MS)
    assert code(refused) == "late"
    assert grounds(refused).lapsed_at == at(66)
    assert shop.ask(start("roof", following), 66 + MS).accepted


def test_a_repeat_goes_back_one_step_while_what_lies_below_still_holds():
    shop = coated_once(ladder("repeat", max=20))
    assert done(shop, 26 + MS) == ["polish", "wipe"]
    assert grounds(shop.ask(start("roof", "coat-2"), 27)).back_to == "coat-1"
    assert shop.ask(start("roof", "coat-1"), 27).accepted


def test_an_inspection_without_such_a_step_holds_the_zone_until_a_person_carries_on_with_a_reason():
    shop = coated_once(ladder("inspect"))
    refused = shop.ask(start("roof", "coat-2"), 67)
    assert (code(refused), grounds(refused).back_to) == ("late", None)
    assert stands(shop, 67).held
    assert code(shop.ask(start("roof", "level"), 67)) == "order"
    assert shop.ask(start("roof", "polish"), 67).accepted, "or it is polished off"
    assert shop.do(start("roof", "coat-2", reason="Looked at it under the lamp, no residue"), 67).accepted
    shop.must(finish("roof", "coat-2"), 68)
    assert done(shop, 68) == ["polish", "wipe", "coat-1", "coat-2"]


def test_an_inspection_goes_back_to_the_recipes_own_inspection_where_it_has_one():
    rungs = recipe(
        step("inspect"), step("coat-1"), step("coat-2", wait={"max": 60, "lapse": "inspect"})
    )  # fmt: skip
    shop = Shop(job((["roof"], rungs)))
    shop.work("roof", "inspect", 0, 1)
    shop.work("roof", "coat-1", 2, 3)
    assert done(shop, 64) == []
    assert shop.ask(start("roof", "inspect"), 64).accepted


def test_a_wipe_holds_only_for_its_window_even_where_the_recipe_names_no_cost():
    rungs = recipe(step("polish"), step("wipe"), step("coat", wait={"max": 30}))
    shop = Shop(job((["roof"], rungs)))
    shop.work("roof", "polish", 0, 1)
    shop.work("roof", "wipe", 2, 3)
    assert shop.ask(start("roof", "coat"), 33).accepted
    assert code(shop.ask(start("roof", "coat"), 33 + MS)) == "late"
    shop.work("roof", "wipe", 40, 41)
    assert shop.ask(start("roof", "coat"), 71).accepted


def test_a_missed_latest_moment_of_another_step_without_a_named_cost_is_for_a_person_to_look_at():
    shop = coated_once(ladder(None))
    assert stands(shop, 67).held


def test_a_fall_is_remembered_with_the_moment_it_happened_once_work_goes_on():
    shop = coated_once(ladder("wipe"))
    shop.must(start("roof", "wipe"), 80)
    zone = shop.state.jobs["car"].zones["roof"]
    assert [(la.step, la.lapsed_at, la.back_to, la.carried_on) for la in zone.lapses] == [
        ("coat-2", at(66), "wipe", False)
    ]
    assert [run.step for run in zone.runs] == ["polish", "wipe", "coat-1"], "what was done stays in the record"


def test_lapses_follow_each_other_down_the_ladder_and_end():
    rungs = recipe(
        step("decontaminate"),
        step("polish", wait={"max": 100, "lapse": "repeat"}),
        step("wipe", wait={"max": 50, "lapse": "repeat"}),
        step("coat", wait={"max": 10, "lapse": "repeat"}),
        step("level", wait={"max": 5, "lapse": "repeat"}),
    )
    shop = Shop(job((["roof"], rungs)))
    for number, name in enumerate(("decontaminate", "polish", "wipe", "coat")):
        shop.work("roof", name, number, number + 1)
    assert done(shop, 9 + MS) == ["decontaminate", "polish", "wipe"]
    assert done(shop, 13 + MS) == ["decontaminate", "polish"]
    assert done(shop, 52 + MS) == ["decontaminate"]
    assert done(shop, 101 + MS) == []
    assert [la.step for la in stands(shop, 200).lapses] == ["level", "coat", "wipe", "polish"]
    assert shop.ask(start("roof", "decontaminate"), 1e6).accepted


def test_carrying_on_through_one_of_several_lapses_pays_for_those_before_it_only():
    rungs = recipe(
        step("polish"),
        step("wipe", wait={"max": 100, "lapse": "polish"}),
        step("coat-1", wait={"max": 30}),
        step("coat-2", wait={"max": 60, "lapse": "wipe"}),
    )
    shop = coated_once(rungs)
    tap = start("roof", "wipe", reason="Kept covered since the polish")
    assert code(shop.ask(start("roof", "wipe"), 200)) == "late"
    assert code(shop.ask(start("roof", "coat-1"), 200)) == "order"
    shop.must(tap, 200)
    zone = shop.state.jobs["car"].zones["roof"]
    assert [(la.step, la.carried_on) for la in zone.lapses] == [("coat-2", False), ("wipe", True)]
    assert [run.step for run in zone.rungs] == ["polish"]
    shop.must(finish("roof", "wipe"), 201)
    assert shop.ask(start("roof", "coat-1"), 201).accepted


def test_a_deviation_for_another_reason_does_not_carry_a_restarted_swap_through_its_lapse():
    rungs = recipe(
        step("wipe"),
        step("coat-a", any_order="cross"),
        step("coat-b", any_order="cross", wait={"max": 60, "lapse": "repeat"}),
    )
    shop = Shop(job((["roof"], rungs), (["bonnet"], recipe(step("inspect"), name="other"))))
    shop.work("roof", "wipe", 0, 1)
    shop.work("roof", "coat-b", 2, 3)
    shop.must(start("bonnet", "inspect"), 70)
    shop.must(start("roof", "coat-b", reason="Bo is away"), 70)
    zone = shop.state.jobs["car"].zones["roof"]
    assert zone.running.deviation.code == "busy"
    assert [la.carried_on for la in zone.lapses] == [False]
    assert [run.step for run in zone.rungs] == ["wipe"]


def test_a_step_that_had_been_left_out_takes_what_was_done_above_it_off_the_ladder():
    shop = coated_once(ladder("wipe"))
    shop.must(start("roof", "level", reason="Customer wants one coat"), 12)
    shop.must(finish("roof", "level"), 13)
    shop.must(start("roof", "coat-2", reason="Customer wants two after all"), 14)
    shop.must(finish("roof", "coat-2"), 15)
    assert done(shop, 15) == ["polish", "wipe", "coat-1", "coat-2"]
    assert shop.ask(start("roof", "level"), 16).accepted


def test_an_undo_after_a_fall_brings_back_the_zone_as_it_had_fallen():
    shop = coated_once(ladder("wipe"))
    shop.must(start("roof", "wipe"), 80)
    shop.must(undo("roof"), 81)
    assert done(shop, 81) == ["polish"]
    assert code(shop.ask(start("roof", "coat-2"), 81)) == "late"
    shop.must(undo("roof"), 82)
    assert shop.state.jobs["car"].zones["roof"].running.step == "coat-1"


def test_a_zone_that_has_fallen_says_what_comes_next_and_refuses_what_lies_above():
    shop = coated_once(ladder("polish"))
    assert code(shop.ask(start("roof", "wipe"), 70)) == "order"
    assert code(shop.ask(start("roof", "level"), 70)) == "order"
    assert shop.ask(start("roof", "polish"), 70).accepted


def test_a_recipe_of_one_step_begins_and_ends():
    rungs = recipe(step("clean"))
    shop = Shop(job((["roof"], rungs)))
    assert stands(shop, 0).next_places == (0,)
    shop.work("roof", "clean", 0, 0)
    assert stands(shop, 0).next_places == ()
    assert code(shop.ask(start("roof", "clean"), 1)) == "done"


def test_of_steps_that_may_swap_each_is_next_until_it_is_done():
    rungs = recipe(
        step("wipe"), step("coat-a", any_order="x"), step("coat-b", any_order="x"), step("coat-c", any_order="x")
    )
    shop = Shop(job((["roof"], rungs)))
    shop.work("roof", "wipe", 0, 1)
    runs = lambda: shop.state.jobs["car"].zones["roof"].rungs  # noqa: E731 - read afresh each time
    assert next_places(rungs, runs()) == (1, 2, 3)
    shop.work("roof", "coat-b", 1, 2)
    assert next_places(rungs, runs()) == (1, 3)
    assert code(shop.ask(start("roof", "coat-b"), 2)) == "done"
    shop.work("roof", "coat-c", 2, 3)
    shop.work("roof", "coat-a", 3, 4)
    assert next_places(rungs, runs()) == ()


def test_a_first_step_that_waited_too_long_for_others_is_held_for_there_is_nothing_below_it():
    late = recipe(step("wipe", wait={"of": "rims", "max": 5, "lapse": "repeat"}), step("coat"), name="late")
    shop = Shop(job((["roof"], late), (["left-rim"], recipe(step("coat"), name="rim"))))
    shop.work("left-rim", "coat", 0, 1)
    assert shop.ask(start("roof", "wipe"), 6).accepted
    assert code(shop.ask(start("roof", "wipe"), 6 + MS)) == "late"
    assert stands(shop, 7).held
    assert shop.ask(start("roof", "wipe", reason="Covered meanwhile"), 7).accepted


def test_a_layer_of_any_order_missed_by_a_millisecond_does_not_pass_for_a_new_first_one():
    """The layer that lies there would have been void without a word."""
    layers = recipe(
        step("wipe"),
        step("coat-a", any_order="cross"),
        step("coat-b", any_order="cross", wait={"max": 60, "lapse": "repeat"}),
    )
    shop = Shop(job((["roof"], layers)))
    shop.work("roof", "wipe", 0, 1)
    shop.work("roof", "coat-b", 2, 3)
    assert shop.ask(start("roof", "coat-a"), 63).accepted
    late = shop.ask(start("roof", "coat-a"), 63 + MS)
    assert (code(late), grounds(late).back_to) == ("late", "coat-b")
    assert stands(shop, 63 + MS).next_places == (2,)
    shop.work("roof", "coat-b", 64, 65)
    assert code(shop.do(start("roof", "coat-a"), 66)) is None
    assert [lapse.step for lapse in shop.state.jobs["car"].zones["roof"].lapses] == ["coat-a"]


def test_a_lapse_whose_rung_the_recipe_lacks_holds_the_zone_and_voids_nothing():
    shop = Shop(job((["roof"], recipe(step("coat-1"), step("coat-2", wait={"max": 9, "lapse": "wipe"})))))
    shop.work("roof", "coat-1", 0, 1)
    position = stands(shop, 10 + MS)
    assert position.held
    assert done(shop, 10 + MS) == ["coat-1"]
    late = shop.ask(start("roof", "coat-2"), 10 + MS)
    assert (code(late), grounds(late).back_to) == ("late", None)
    assert shop.ask(start("roof", "coat-1"), 10 + MS).accepted, "or it is laid again"
    shop.must(start("roof", "coat-2", reason="It still sticks"), 11)
    assert done(shop, 11) == ["coat-1"]


LOOK = recipe(
    step("polish"), step("coat"), step("level"), step("inspect", wait={"min": 15, "max": 30, "lapse": "nothing"})
)


def levelled() -> Shop:
    shop = Shop(job((["roof"], LOOK)))
    for minutes, name in enumerate(("polish", "coat", "level")):
        shop.must(finish("roof", name), minutes)
    return shop


def test_a_look_is_called_in_time_and_one_taken_late_costs_nothing_but_being_told():
    shop = levelled()
    assert code(shop.ask(start("roof", "inspect"), 17 - MS)) == "early"
    for minutes in (17, 32, 32 + MS, 500):
        assert shop.ask(start("roof", "inspect"), minutes).accepted
        assert done(shop, minutes) == ["polish", "coat", "level"]
    kinds = [
        [c.kind for c in conditions(shop.state, clocks(shop.state, at(minutes)), at(minutes))]
        for minutes in (16, 17, 31, 33)
    ]
    assert kinds == [[], [AlertKind.OPENED], [AlertKind.CLOSING], [AlertKind.LAPSED]]
    shop.must(finish("roof", "inspect"), 500)
    assert shop.state.jobs["car"].zones["roof"].lapses == ()


def test_a_look_at_all_counts_from_the_level_that_stands_not_from_the_first():
    panel = recipe(step("polish"), step("coat"), step("level"), name="panel")
    car = recipe(
        step(
            "look",
            kind="inspect",
            wait={"of": "panels", "after_last": "level", "min": 15, "max": 30, "lapse": "nothing"},
        ),
        name="car",
    )
    shop = Shop(job((["roof", "bonnet"], panel), (["left-rim"], car)))
    for minutes, name in enumerate(("polish", "coat", "level")):
        shop.must(finish("roof bonnet", name), minutes)
    shop.must(send_back("roof", "polish"), 3)
    assert code(shop.ask(start("left-rim", "look"), 20)) == "order"
    for minutes, name in enumerate(("polish", "coat", "level"), 21):
        shop.must(finish("roof", name), minutes)
    assert shop.ask(start("left-rim", "look"), 38).accepted
    assert code(shop.ask(start("left-rim", "look"), 37)) == "early"
