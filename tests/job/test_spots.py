"""A test spot is asked for before the first polish of a paint, and with another paste or tool; it bars nothing.

Common practice, no source.
"""

import pytest
from pydantic import ValidationError

from bayapp.job import SkipSpot, TrySpot
from bayapp.job.model.ids import JobId, StepId, ZoneId
from bayapp.job.model.spot_card import SpotCard
from bayapp.job.spots import chosen_spot, wants_spot
from bayapp.job.text.spot_words import spot_text
from bayapp.report.facts.job_changes import spots_tried
from tests.job.builders import Shop, at, finish, job, recipe, start, step

CAR = JobId("car")
TWO = recipe(
    step("polish-cut", product="cutting-paste", tool="polisher"),
    step("clean-pad", kind="clean", title="clean the pad"),
    step("polish-refine", product="fine-paste", tool="polisher", title="refining pass"),
    step("wipe"),
    name="two-passes",
)
GENTLE = SpotCard(machine="eccentric", pad="soft foam", paste="fine paste", passes=1, result="hardly any change")
CUT = SpotCard(machine="rotary", pad="wool", paste="cutting paste", passes=4, result="swirls out, haze left")


def shop() -> Shop:
    return Shop(job((["roof", "bonnet"], TWO)))


def tried(card: SpotCard, name: str = "polish-cut", zone: str = "roof") -> TrySpot:
    return TrySpot(CAR, (ZoneId(zone),), StepId(name), card, None)


def said(made: Shop, name: str = "polish-cut", zone: str = "bonnet") -> str:
    return spot_text(made.state.jobs[CAR], (ZoneId(zone),), StepId(name))


def test_it_is_asked_for_and_the_polish_may_begin_without() -> None:
    made = shop()
    assert said(made) == "First a test spot."
    made.must(start("roof", "polish-cut"), 1)


def test_after_the_first_polish_nobody_is_asked_any_more() -> None:
    made = shop()
    made.must(finish("roof", "polish-cut"), 1)
    assert said(made) == ""
    assert said(made, "polish-refine") == "First a test spot."


def test_what_was_chosen_last_stands_on_the_polish_of_every_zone() -> None:
    made = shop()
    made.must(tried(GENTLE), 1)
    made.must(tried(CUT), 2)
    made.must(tried(GENTLE.model_copy(update={"chosen": False})), 3)
    assert said(made) == "Rotary, wool, cutting paste, 4 passes."
    assert said(made, zone="roof") == said(made)
    assert made.replayed() == made.state


def test_another_paste_asks_anew_and_other_steps_ask_for_nothing() -> None:
    made = shop()
    made.must(tried(CUT), 1)
    car = made.state.jobs[CAR]
    assert said(made, "polish-refine") == "First a test spot."
    assert [said(made, name) for name in ("clean-pad", "wipe")] == ["", ""]
    assert chosen_spot(car, (ZoneId("roof"),), StepId("wipe")) is None
    made.must(tried(GENTLE, "polish-refine"), 2)
    assert said(made, "polish-refine") == "Eccentric, soft foam, fine paste, 1 pass."


def test_none_is_made_by_one_touch_and_may_be_made_after_all() -> None:
    made = shop()
    made.must(SkipSpot(CAR, (ZoneId("roof"),), StepId("polish-cut")), 1)
    assert not wants_spot(made.state.jobs[CAR], (ZoneId("bonnet"),), StepId("polish-cut"))
    assert said(made) == ""
    made.must(tried(CUT), 2)
    assert said(made) == "Rotary, wool, cutting paste, 4 passes."


def test_glass_is_polished_without() -> None:
    glass = shop().state.jobs[CAR].job
    pane = glass.vehicle.model_copy(
        update={"zone": tuple(zone.model_copy(update={"surface": "glass"}) for zone in glass.vehicle.zone)}
    )
    made = Shop(glass.model_copy(update={"vehicle": pane}))
    assert said(made) == ""


def test_a_refining_pass_and_the_cleaning_of_a_pad_are_steps_like_others() -> None:
    made = shop()
    for minutes, name in enumerate(("polish-cut", "clean-pad", "polish-refine"), 1):
        made.must(finish("roof", name), minutes)


def test_the_record_tells_what_was_tried_and_what_was_not() -> None:
    made = shop()
    made.must(tried(GENTLE.model_copy(update={"chosen": False})), 1)
    made.must(tried(CUT), 2)
    made.must(SkipSpot(CAR, (ZoneId("roof"),), StepId("polish-refine")), 3)
    told = list(spots_tried(made.events, made.state.jobs[CAR].job))  # type: ignore[arg-type]
    assert [(one.at, one.spot) for one in told] == [
        (at(1), ("eccentric, soft foam, fine paste, 1 pass", "hardly any change", False)),
        (at(2), ("rotary, wool, cutting paste, 4 passes", "swirls out, haze left", True)),
        (at(3), ("", "", False)),
    ]


@pytest.mark.parametrize("wrong", [{"passes": 0}, {"passes": 41}, {"pad": "  "}, {"machine": "m" * 61}, {"result": ""}])
def test_a_card_that_says_nothing_or_cannot_be_is_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(ValidationError):
        SpotCard.model_validate({**CUT.model_dump(), **wrong})
