from datetime import timedelta

import pytest
from pydantic import ValidationError

from bayapp.job import Job, JobFile, resolve
from bayapp.job.model.ids import JobId
from bayapp.job.model.misfit import MisfitError
from bayapp.job.model.product import Product
from tests.job.builders import START, form, job, recipe, step

COATING = recipe(step("wipe"), step("coat", product="glass-coat"), name="coating")
CLEANING = recipe(step("clean"), name="cleaning")


def written(*work, recipes=(COATING, CLEANING), **more):
    """A job file with these (zones, recipe name) tables."""
    return JobFile.model_validate(
        {
            "format": "bayapp-job/1",
            "title": "Green car",
            "vehicle": "test-car",
            "crew": ["Ash", "Bo"],
            "start": "2026-11-25T08:00:00Z",
            "work": [{"zones": zones.split(), "recipe": name} for zones, name in work],
            "recipe": {r.name: r.model_dump() for r in recipes},
            **more,
        }
    )


def shelf(name):
    raise AssertionError(f"nothing called {name} should be looked for on the shelf")


def resolved(*work, **more):
    return resolve(written(*work, **more), JobId("car"), form(), shelf, lambda name: None)


def test_zones_and_sets_become_work_blocks_with_their_recipes_inside():
    made = resolved(("rims roof", "coating"), ("bonnet", "cleaning"))
    assert [block.zones for block in made.blocks] == [("left-rim", "right-rim", "roof"), ("bonnet",)]
    assert made.blocks[1].recipe.name == "cleaning"
    assert (made.start, made.crew) == (START, ("Ash", "Bo"))


def test_a_resolved_job_knows_when_the_car_was_promised():
    assert resolved(("roof", "coating")).promised is None
    assert resolved(("roof", "coating"), promised="2026-11-25T17:00:00Z").promised == START + timedelta(hours=9)


def test_a_recipe_that_the_file_lacks_is_asked_for_by_name():
    made = resolve(
        written(("roof", "from-the-shelf"), recipes=()), JobId("car"), form(), lambda name: CLEANING, lambda name: None
    )
    assert made.blocks[0].recipe == CLEANING


def test_the_products_that_the_recipes_name_go_along():
    own = Product(name="glass-coat", title="Own bottle")
    made = resolved(("roof", "coating"), product={"glass-coat": own.model_dump()})
    assert made.products == {"glass-coat": own}
    shelved = resolve(written(("roof", "coating")), JobId("car"), form(), shelf, lambda name: Product(name=name))
    assert shelved.products["glass-coat"].name == "glass-coat"


def test_a_resolved_job_carries_its_drawing():
    file = written(("roof", "coating"))
    assert resolve(file, JobId("car"), form(), shelf, lambda name: None, "<svg/>").drawing == "<svg/>"
    assert resolve(file, JobId("car"), form(), shelf, lambda name: None).drawing == ""


def test_a_zone_or_set_that_the_form_lacks_is_named_together_with_what_it_has():
    with pytest.raises(ValueError, match=r"work 2: zones: 'spoiler' is neither.*rims, panels, all, windscreen"):
        resolved(("roof", "coating"), ("spoiler", "cleaning"))


def test_a_zone_climbs_one_ladder():
    with pytest.raises(ValueError, match="'roof' stands in two work blocks"):
        resolved(("roof", "coating"), ("panels", "cleaning"))


def test_two_of_the_crew_are_told_apart():
    with pytest.raises(ValidationError, match="crew names 'Ash' twice"):
        written(("roof", "coating"), crew=["Ash", "Ash "])


def test_a_wait_on_a_set_that_the_form_lacks_is_an_error():
    waits = recipe(step("coat", wait={"of": "skirts", "min": 1}), name="waits")
    with pytest.raises(ValueError, match=r"work 1: step 'coat' of recipe 'waits' waits of 'skirts'.*it has rims"):
        resolved(("roof", "waits"), recipes=(waits,))


def test_a_wait_on_a_step_that_no_zone_of_the_set_has_is_an_error():
    waits = recipe(step("coat", wait={"of": "rims", "after": "buff"}), name="waits")
    says = (
        "step 'coat' of recipe 'waits' waits for step 'buff' of 'rims', but "
        "no zone of that set has such a step in this job"
    )
    for work, place in (((("roof", "waits"), ("rims", "cleaning")), 0), ((("rims", "cleaning"), ("roof", "waits")), 1)):
        with pytest.raises(MisfitError, match=f"^work {place + 1}: {says}$") as misfit:
            resolved(*work, recipes=(waits, CLEANING))
        assert misfit.value.block == place
    assert resolved(("roof", "waits"), recipes=(waits,)), "without rims in the job there is nothing to wait for"


def test_blocks_that_wait_for_each_other_are_an_error_that_names_the_circle():
    one = recipe(step("coat", wait={"of": "rims"}), name="one")
    two = recipe(step("wipe", wait={"of": "panels"}), step("coat"), name="two")
    with pytest.raises(MisfitError, match="go round in a circle") as error:
        resolved(("roof", "one"), ("rims", "two"), recipes=(one, two))
    assert (error.value.block, error.value.zone) == (None, "roof")
    assert "'coat' of zone 'roof'" in str(error.value)
    assert str(error.value).startswith("work: these waits go round in a circle, so none could ever start: ")


@pytest.mark.parametrize("zones", ["left-rim", "left-rim right-rim"])
def test_a_coat_that_waits_for_the_last_coat_of_its_own_set_is_an_error(zones):
    one = recipe(step("wipe"), step("coat-1", wait={"of": "rims"}), step("coat-2"), name="one")
    last = recipe(step("wipe"), step("coat", wait={"of": "rims"}), name="last")
    for ladder in (one, last):
        with pytest.raises(ValueError, match="circle"):
            resolved((zones, ladder.name), recipes=(ladder,))


def test_waits_that_look_back_along_the_day_are_no_circle():
    masks = recipe(
        step("mask"), step("unmask", wait={"of": "panels"}), step("coat-t", "coat"), name="masks"
    )  # fmt: skip
    panels = recipe(
        step("polish", wait={"of": "rims", "after": "mask"}),
        step("coat-a", any_order="x"),
        step("coat-b", any_order="x", wait={"of": "block", "min": 5}),
        step("coat-c", any_order="x", wait={"of": "block", "after": "coat-a", "min": 5}),
        step("buff", wait={"of": "block", "min": 15}),
        step("clean", wait={"of": "panels", "min": 15}),
        name="panels-ladder",
    )
    assert resolved(("rims", "masks"), ("panels", "panels-ladder"), recipes=(masks, panels))


def test_a_recipe_may_name_the_car_itself_on_a_form_without_it_but_no_other_zone_that_is_not_there():
    of_car = recipe(step("wipe", wait={"of": "car", "after": "dry"}), name="waits")
    assert resolved(("roof", "waits"), recipes=(of_car,))
    of_nothing = recipe(step("wipe", wait={"of": "car", "also": ["boat"], "after": "dry"}), name="waits")
    with pytest.raises(ValueError, match="waits of 'boat', which is no set"):
        resolved(("roof", "waits"), recipes=(of_nothing,))


def test_a_circle_over_a_further_set_of_a_wait_is_found():
    one = recipe(step("wipe", wait={"of": "left-rim", "also": ["roof"], "after": "wipe"}), name="one")
    other = recipe(step("wipe", wait={"of": "bonnet", "after": "wipe"}), name="other")
    with pytest.raises(ValueError, match="go round in a circle"):
        resolved(("bonnet", "one"), ("roof", "other"), recipes=(one, other))


def test_a_resolved_job_survives_being_written_as_json():
    made = job((["roof"], COATING), products=[Product(name="glass-coat")])
    assert Job.model_validate_json(made.model_dump_json()) == made


def test_a_name_in_a_job_stands_for_its_worked_zones_only():
    made = job((["roof", "left-rim"], COATING))
    assert made.zones_named("rims") == ("left-rim",)
    assert made.zones_named("roof") == ("roof",)
    assert made.zones_named("bonnet") == ()
    assert made.zones_named("nothing") == ()


@pytest.mark.parametrize(
    "more", [{"format": "bayapp-job/2"}, {"colour": "green"}, {"start": "tomorrow"}, {"work": []}, {"title": ""}]
)
def test_what_the_format_does_not_know_is_refused(more):
    with pytest.raises(ValidationError, match=next(iter(more))):
        written(("roof", "coating"), **more)
