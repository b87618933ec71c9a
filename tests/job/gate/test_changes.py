"""A job changed while the car is in the bay: zones added, recipes swapped for what is still to do."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayapp.job import AddWork, ChangeCrew, SwapRecipe, WorkBlock, clocks, fold, why_not, zone_clock
from bayapp.job.gate.changes import merged_recipe
from bayapp.job.model.ids import JobId, Person, StepId
from bayapp.job.model.product import Product
from bayapp.job.state.events import EVENT
from bayapp.job.state.state import ZoneState
from bayapp.job.text.naming import step_title
from tests.job.builders import Shop, at, code, finish, form, job, recipe, send_back, start, step, undo, why

CAR, BO = JobId("car"), Person("Bo")
PANEL = recipe(
    step("wipe"),
    step("coat-1", layer=1, wait={"max": 30}),
    step("buff", wait={"min": 10, "max": 60}),
    name="panel",
)
LONGER = recipe(
    step("clean-up", "wipe"),
    step("first", "coat", layer=1, wait={"max": 30, "lapse": "wipe"}),
    step("second", "coat", layer=2, wait={"min": 60, "max": 120, "after": "first"}, product="hard-coat"),
    step("buff", wait={"min": 20, "max": 90}),
    name="panel-two-layers",
    title="Panel, two layers",
)
WASH = recipe(step("decontaminate"), name="wash")


def shop_of(*blocks):
    return Shop(job(*(blocks or ((["roof", "bonnet"], PANEL),))))


def add(zones, added, products=()):
    block = WorkBlock(zones=tuple(zones.split()), recipe=added)
    return AddWork(CAR, block, {p.name: p for p in products}, BO)


def swap(zones, other, reason="customer wants two layers"):
    return SwapRecipe(CAR, tuple(zones.split()), other, reason, {}, BO)


def clock(shop, minutes, zone="roof"):
    return zone_clock(shop.state.jobs["car"], zone, at(minutes))


def test_added_zones_are_worked_from_then_on_and_stand_in_the_journal():
    shop = shop_of()
    shop.work("roof", "wipe", 0, 1)
    (event,) = shop.must(add("left-rim right-rim", WASH, [Product(name="decon-wash")]), 2).events
    assert event.event == "work-added/1"
    assert event.by == "Bo"
    assert [c.zone for c in clocks(shop.state, at(3))] == ["roof", "bonnet", "left-rim", "right-rim"]
    assert set(shop.state.jobs["car"].job.products) == {"decon-wash"}
    shop.work("left-rim", "decontaminate", 3, 4)
    assert clock(shop, 5, "left-rim").urgency == "finished"
    assert clock(shop, 5).step == "wipe", "water came over it"


@pytest.mark.parametrize(
    ("zones", "expected", "reason"),
    [
        ("roof", "done", "worked-already"),
        ("spoiler", "unknown", "no-such-zone"),
        ("", "unknown", "no-zone"),
    ],
)
def test_only_zones_of_the_form_that_are_not_worked_yet_can_be_added(zones, expected, reason):
    verdict = shop_of().ask(add(zones, WASH), 1)
    assert (code(verdict), why(verdict)) == (expected, reason)


def test_work_whose_waits_could_never_hold_is_not_added():
    """The rims wait for the panels and the panels for the rims: nobody could ever begin."""
    panels = recipe(step("coat", wait={"of": "rims"}), name="a")
    rims = recipe(step("coat", wait={"of": "panels"}), name="b")
    shop = shop_of((["roof"], panels))
    verdict = shop.ask(add("left-rim", rims), 1)
    assert why(verdict) == "waits-clash"
    assert "circle" in why_not(verdict.refusal, shop.state)


def test_before_any_work_a_swapped_recipe_is_the_new_one_with_ids_that_others_know():
    shop = shop_of()
    (event,) = shop.must(swap("roof bonnet", LONGER), 1).events
    assert event.recipe == "Panel, two layers"
    assert event.becomes.zones == ("roof", "bonnet")
    assert [s.id for s in event.becomes.recipe.step] == ["wipe", "coat-1", "second", "buff"]
    assert event.becomes.recipe.step[2].wait.after == "coat-1"


def test_what_was_done_stays_done_and_the_running_wait_is_that_of_the_new_recipe():
    shop = shop_of()
    shop.work("roof", "wipe", 0, 1)
    shop.work("roof", "coat-1", 2, 4)
    shop.must(swap("roof", LONGER), 5)
    assert clock(shop, 5).step == "second"
    assert clock(shop, 5).opens_at == at(64)
    assert clock(shop, 5, "bonnet").step == "wipe"
    assert code(shop.ask(start("roof", "second"), 63)) == "early"
    shop.work("roof", "second", 64, 66)
    shop.work("roof", "buff", 90, 92)
    assert clock(shop, 93).urgency == "finished"
    assert [run.step for run in shop.state.jobs["car"].zones["roof"].runs] == ["wipe", "coat-1", "second", "buff"]


def test_zones_that_stand_at_different_rungs_get_an_event_each_by_one_touch():
    shop = shop_of()
    shop.work("roof", "wipe", 0, 1)
    events = shop.must(swap("roof bonnet", LONGER), 2).events
    assert [e.becomes.zones for e in events] == [("roof", "bonnet")]
    other = recipe(step("wipe", title="twice"), step("coat", wait={"max": 10}), name="other")
    events = shop.must(swap("roof bonnet", other), 3).events
    assert sorted(e.becomes.zones for e in events) == [("bonnet",), ("roof",)]


def test_a_zone_under_way_or_with_other_work_below_it_cannot_swap():
    shop = shop_of()
    shop.must(start("roof", "wipe"), 0)
    assert why(shop.ask(swap("roof", LONGER), 1)) == "still-worked"
    shop.must(finish("roof", "wipe"), 1)
    polished = recipe(step("polish"), step("coat"), name="polished")
    verdict = shop.ask(swap("roof", polished), 2)
    assert (code(verdict), why(verdict)) == ("order", "ladders-differ")
    assert "nothing like solvent wipe" in why_not(verdict.refusal, shop.state)


def test_the_same_recipe_once_more_is_said_to_be_there_already():
    assert why(shop_of().ask(swap("roof", PANEL), 1)) == "same-recipe"


DRESSED = recipe(step("wipe"), step("dress", wait={"max": 20}), name="dressed", title="Dressed")
POLISHED = recipe(
    step("polish"),
    step("wipe"),
    step("coat-1", layer=1, wait={"max": 30, "lapse": "wipe"}),
    step("level", wait={"max": 8, "lapse": "polish"}),
    name="polished",
)
ONE_TOWEL = recipe(
    step("polish"),
    step("level", "wipe"),  # bears the name of another step that was done
    step("coat", layer=2, wait={"max": 30, "lapse": "wipe"}),
    name="one-towel",
)


def test_a_zone_that_fell_goes_on_by_a_recipe_without_the_steps_it_fell_through():
    """What was missed keeps its words in the recipe that was left: they must not vanish from the day record."""
    shop = shop_of()
    shop.work("roof", "wipe", 0, 1)
    shop.work("roof", "wipe", 40, 41)
    assert [lapse.step for lapse in shop.state.jobs["car"].zones["roof"].lapses] == ["coat-1"]
    shop.must(swap("roof", DRESSED), 42)
    becomes = shop.state.jobs["car"].job.recipe_of("roof")
    assert not becomes.has("coat-1")
    assert step_title(becomes, StepId("coat-1")) == "coat"
    assert clock(shop, 43).step == "dress"
    shop.work("roof", "dress", 44, 45)
    assert clock(shop, 46).urgency == "finished"
    assert fold([EVENT.validate_json(event.model_dump_json()) for event in shop.events]) == shop.state


def test_a_panel_whose_window_was_missed_may_take_another_recipe_before_anybody_touches_it_again():
    """The fall is charged by the first touch; a swap is one."""
    shop = shop_of((["roof"], POLISHED))
    for n, done in enumerate(("polish", "wipe", "coat-1")):
        shop.work("roof", done, 2 * n, 2 * n + 1)
    assert why(shop.ask(swap("roof", ONE_TOWEL), 6)) == "ladders-differ", "its coat still stands"
    assert clock(shop, 20).step == "polish"
    shop.must(swap("roof", ONE_TOWEL), 20)
    zone = shop.state.jobs["car"].zones["roof"]
    assert (zone.rungs, [lapse.step for lapse in zone.lapses]) == ((), ["level"])
    assert clock(shop, 21).step == "polish"
    recipe_now = shop.state.jobs["car"].job.recipe_of("roof")
    assert [s.kind.value for s in recipe_now.step] == ["polish", "wipe", "coat"]
    assert [s.id for s in recipe_now.step] == ["polish", "wipe", "coat"], "twins keep the name of the old"
    assert step_title(recipe_now, StepId("level")) == "level"


def test_another_step_never_takes_the_name_of_one_that_was_done():
    """A coat that was levelled and sent back: "level" in the new recipe is a dressing."""
    shop = shop_of((["roof"], POLISHED))
    for n, done in enumerate(("polish", "wipe", "coat-1", "level")):
        shop.work("roof", done, 2 * n, 2 * n + 1)
    shop.must(send_back("roof", "polish"), 20)
    other = recipe(step("polish"), step("level", "dress"), name="other")
    shop.must(swap("roof", other), 21)
    recipe_now = shop.state.jobs["car"].job.recipe_of("roof")
    assert [s.id for s in recipe_now.step] == ["polish", "level-2"]
    assert step_title(recipe_now, StepId("level")) == "level"
    shop.work("roof", "polish", 22, 23)
    shop.work("roof", "level-2", 24, 25)
    assert clock(shop, 26).urgency == "finished"


def test_undo_goes_no_further_back_than_the_other_recipe_has_the_steps():
    shop = shop_of((["roof"], POLISHED))
    for n, done in enumerate(("polish", "wipe", "coat-1", "level")):
        shop.work("roof", done, 2 * n, 2 * n + 1)
    shop.must(send_back("roof", "polish"), 20)
    shop.must(swap("roof", ONE_TOWEL), 21)
    assert why(shop.ask(undo("roof"), 22)) == "nothing-to-undo"
    shop.must(start("roof", "polish"), 23)
    shop.must(undo("roof"), 24)
    assert (clock(shop, 24).step, clock(shop, 24).urgency) == ("polish", "idle")


def test_a_zone_may_change_its_recipe_again_and_again_and_every_step_keeps_its_words():
    shop = shop_of((["roof"], POLISHED))
    for n, done in enumerate(("polish", "wipe", "coat-1", "level")):
        shop.work("roof", done, 2 * n, 2 * n + 1)
    shop.must(send_back("roof", "polish"), 20)
    shop.must(swap("roof", ONE_TOWEL), 21)
    shop.must(swap("roof", DRESSED), 22)
    shop.must(swap("roof", POLISHED), 23)
    recipe_now = shop.state.jobs["car"].job.recipe_of("roof")
    assert [s.kind.value for s in recipe_now.step] == ["polish", "wipe", "coat", "level"]
    for run in shop.state.jobs["car"].zones["roof"].runs:
        assert step_title(recipe_now, run.step) in ("polish", "solvent wipe", "coat", "level")
    assert why(shop.ask(swap("roof", POLISHED), 24)) == "same-recipe"


def test_undo_after_a_swap_takes_back_the_work_and_keeps_the_new_recipe():
    shop = shop_of()
    shop.work("roof", "wipe", 0, 1)
    shop.must(swap("roof", LONGER), 2)
    shop.must(undo("roof"), 3)
    assert clock(shop, 3).urgency == "working"
    shop.must(undo("roof"), 4)
    assert clock(shop, 4).step == "wipe"
    assert shop.state.jobs["car"].job.recipe_of("roof").has("second")


def test_changes_come_back_from_the_journal_as_they_were():
    shop = shop_of()
    shop.work("roof", "wipe", 0, 1)
    shop.must(add("left-rim", WASH), 2)
    shop.must(swap("roof", LONGER), 3)
    again = fold([EVENT.validate_json(event.model_dump_json()) for event in shop.events])
    assert again == shop.state


KINDS = st.lists(st.sampled_from(["wipe", "polish", "coat", "buff"]), min_size=1, max_size=6)


@given(KINDS, KINDS, st.integers(0, 6))
def test_a_merged_recipe_keeps_every_rung_and_goes_on_as_the_new_one(old, new, done):
    """However long the ladders: what stands is unchanged, what follows is of the kinds of the new recipe."""

    def ladder(kinds, name):
        return recipe(*(step(f"{name}-{n}", kind) for n, kind in enumerate(kinds)), name=name)

    before, after = ladder(old, "old"), ladder(new, "new")
    shop = Shop(job((["roof"], before), vehicle=form()))
    done = min(done, len(old))
    for n in range(done):
        shop.work("roof", f"old-{n}", 2 * n, 2 * n + 1)
    zone: ZoneState = shop.state.jobs["car"].zones["roof"]
    fits = old[:done] == new[:done]
    verdict = shop.do(swap("roof", after), 20)
    if not fits:
        assert why(verdict) == "ladders-differ"
        return
    merged = merged_recipe(before, zone, after)
    assert [s.id for s in merged.step[:done]] == [f"old-{n}" for n in range(done)]
    assert [s.kind.value for s in merged.step] == new
    assert len({s.id for s in merged.step}) == len(new)


def test_people_come_and_go_and_only_who_is_in_may_work():
    shop = shop_of()
    shop.must(ChangeCrew(CAR, (Person("Cy"),), BO), 1)
    assert shop.state.jobs["car"].job.crew == ("Cy",)
    assert why(shop.ask(start("roof", "wipe", "Ash"), 2)) == "no-such-person"
    shop.must(start("roof", "wipe", "Cy"), 2)


def test_nobody_leaves_in_the_midst_of_a_step_and_what_was_done_stays_theirs():
    shop = shop_of()
    shop.must(start("roof", "wipe", "Bo"), 1)
    gone = ChangeCrew(CAR, (Person("Ash"),))
    assert (code(shop.ask(gone, 2)), why(shop.ask(gone, 2))) == ("busy", "still-at-work")
    shop.must(finish("roof", "wipe", "Bo"), 3)
    shop.must(gone, 4)
    assert shop.state.jobs["car"].zones["roof"].runs[0].by == "Bo"


def test_with_nobody_named_work_is_recorded_without_a_name():
    shop = shop_of()
    shop.must(ChangeCrew(CAR, ()), 1)
    shop.must(start("roof", "wipe", None), 2)
    assert shop.state.jobs["car"].zones["roof"].running.by is None
