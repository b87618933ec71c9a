import pytest

from bayapp.job import EVENT
from bayapp.job.model.ids import ZoneId
from bayapp.job.model.product import Product
from bayapp.job.state.events import Deviation
from bayapp.job.waits.ladder_position import ladder_position
from tests.job.builders import Shop, at, close, code, finish, grounds, job, read_air, recipe, start, step

LADDER = recipe(step("wipe"), step("coat-1"), step("coat-2", wait={"min": 5, "max": 60, "lapse": "wipe"}))
REASON = "The customer is waiting"


@pytest.fixture
def shop():
    """The roof was coated at 1, the bonnet wiped at 1; the door is untouched."""
    made = Shop(job((["roof", "bonnet", "left-door"], LADDER)))
    made.work("roof bonnet", "wipe", 0, 0)
    made.work("roof", "coat-1", 0, 1)
    return made


@pytest.mark.parametrize(
    ("zone", "name", "minutes", "refused_as"),
    [
        ("roof", "coat-2", 3, "early"),
        ("roof", "coat-2", 62, "late"),
        ("bonnet", "coat-2", 3, "order"),
    ],
)
def test_a_refused_step_that_was_carried_out_anyway_is_recorded_with_what_was_said_and_why(
    shop, zone, name, minutes, refused_as
):
    assert code(shop.ask(start(zone, name), minutes)) == refused_as
    said = shop.must(start(zone, name, reason=REASON), minutes).events[0].deviation
    assert (said.code, said.reason) == (refused_as, REASON)
    assert zone in said.why.lower()
    assert shop.state.jobs["car"].zones[zone].running.deviation == said


def test_the_hands_the_bay_and_the_air_may_be_overridden():
    dusty = recipe(step("polish"), name="dusty")
    damp = recipe(step("coat"), name="damp", air="refuse")
    shop = Shop(job((["roof"], dusty), (["bonnet", "left-door"], damp)))
    assert shop.must(start("bonnet", "coat", reason=REASON), 0).events[0].deviation.code == "air"
    shop.must(read_air(), 1)
    assert shop.must(start("roof", "polish", "Bo", reason=REASON), 1).events[0].deviation.code == "bay"
    assert shop.must(start("left-door", "coat", "Bo", reason=REASON), 1).events[0].deviation.code == "busy"


def test_a_step_that_is_right_is_no_deviation_even_with_a_reason(shop):
    assert shop.must(start("bonnet", "coat-1", reason=REASON), 2).events[0].deviation is None


def test_a_deviation_stands_only_on_the_zones_that_were_refused(shop):
    shop.work("bonnet", "coat-1", 10, 14)
    roof, bonnet = shop.must(start("roof bonnet", "coat-2", reason=REASON), 15).events
    assert (roof.zone, roof.deviation) == ("roof", None)
    assert bonnet.deviation.code == "early"
    assert "bonnet" in bonnet.deviation.why.lower()


def test_a_deviation_for_the_bays_sake_stands_on_every_zone_of_the_touch(shop):
    shop.must(start("left-door", "wipe"), 8)
    shop.work("bonnet", "coat-1", 8, 8, "Bo")
    roof, bonnet = shop.must(start("roof bonnet", "coat-2", reason=REASON), 10).events
    assert roof.deviation.code == "busy"
    assert bonnet.deviation.code == "early"


@pytest.mark.parametrize(
    ("tap", "refused_as"),
    [
        (start("nowhere", "wipe", reason=REASON), "unknown"),
        (start("roof", "sand", reason=REASON), "unknown"),
        (start("roof", "wipe", by="Cy", reason=REASON), "unknown"),
        (start("roof", "wipe", job="other", reason=REASON), "unknown"),
        (start("roof", "coat-1", reason=REASON), "done"),
        (start("roof bonnet", "coat-1", reason=REASON), "done"),
    ],
)
def test_nobody_carries_on_through_what_is_unknown_or_done(shop, tap, refused_as):
    refused = shop.do(tap, 10)
    assert (code(refused), refused.events) == (refused_as, ())


def test_nobody_carries_on_through_a_wrong_clock_a_zone_at_work_or_a_closed_job(shop):
    assert code(shop.ask(start("bonnet", "coat-1", reason=REASON), 0.5)) == "clock"
    shop.must(start("bonnet", "coat-1"), 2)
    assert code(shop.ask(start("bonnet", "coat-2", "Bo", reason=REASON), 3)) == "busy"
    shop.must(close(), 4)
    assert code(shop.ask(start("left-door", "wipe", reason=REASON), 5)) == "done"


def test_an_empty_reason_is_no_reason(shop):
    assert code(shop.ask(start("roof", "coat-2", reason=""), 3)) == "early"


def test_a_finish_without_a_start_may_deviate_too(shop):
    begun, ended = shop.must(finish("roof", "coat-2", reason=REASON), 3).events
    assert begun.deviation.code == "early"
    assert ended.event == "step-finished/1"


def test_a_deviation_survives_being_written_down(shop):
    event = shop.must(start("roof", "coat-2", reason=REASON), 3).events[0]
    assert EVENT.validate_json(EVENT.dump_json(event)) == event


def test_carrying_on_through_a_lapse_keeps_the_rungs_and_says_so(shop):
    shop.must(start("roof", "coat-2", reason=REASON), 70)
    zone = shop.state.jobs["car"].zones["roof"]
    assert [(la.step, la.carried_on) for la in zone.lapses] == [("coat-2", True)]
    assert [run.step for run in zone.rungs] == ["wipe", "coat-1"]


def test_a_step_left_out_by_a_deviation_can_be_made_up_once_the_zone_is_finished(shop):
    """The rungs above it come off the ladder and are done again."""
    shop.must(finish("bonnet", "coat-2", reason="One coat was ordered"), 3)
    assert ladder_position(shop.state.jobs["car"], ZoneId("bonnet"), at(3)).next_places == ()
    refused = shop.ask(start("bonnet", "coat-1"), 4)
    assert (code(refused), grounds(refused).after) == ("order", ("coat-2",))
    shop.must(start("bonnet", "coat-1", reason="Two after all"), 4)
    shop.must(finish("bonnet", "coat-1"), 5)
    assert shop.ask(start("bonnet", "coat-2"), 10).accepted
    shop.work("bonnet", "coat-2", 10, 11)
    assert code(shop.ask(start("bonnet", "coat-1", reason=REASON), 12)) == "done"


def test_a_deviation_names_every_rule_that_it_breaks():
    """An hour early, and at 2.4 °C above the dew point where 3 are needed (ISO 8502-4's rule)."""
    ladder = recipe(step("coat-1"), step("coat-2", wait={"min": 60, "max": 240}))
    shop = Shop(job((["roof", "bonnet"], ladder)))
    shop.must(read_air(20, 50, 20), 0)
    shop.must(finish("roof bonnet", "coat-1"), 0)
    shop.must(read_air(20, 50, 11.66), 1)  # the dew point of 20 °C and 50 % is 9.3 °C (from memory)
    refused = shop.ask(start("roof bonnet", "coat-2"), 1)
    assert {refusal.code.value for refusal in refused.refusals} == {"early", "air"}
    roof, bonnet = shop.must(start("roof bonnet", "coat-2", reason=REASON), 1).events
    assert [rule.code.value for rule in roof.deviation.rules] == ["early", "air"]
    assert "Roof: coat 2" in roof.deviation.why
    assert "Bonnet: coat 2" in bonnet.deviation.why
    (of_air,) = bonnet.deviation.also
    assert "2.4 °C above the dew point of 9.3 °C" in of_air.why


def test_every_limit_of_the_air_that_is_broken_is_named_and_what_would_help_is_said_once():
    product = Product(name="dry", air_c=(22, 30), rh_percent=(30, 45))
    shop = Shop(job((["roof"], recipe(step("coat", product="dry"))), products=[product]))
    shop.must(read_air(20, 50, 11.66), 0)
    said = shop.must(start("roof", "coat", reason=REASON), 1).events[0].deviation
    whole = " ".join(rule.why for rule in said.rules)
    assert [rule.code.value for rule in said.rules] == ["air", "air", "air"]
    assert "dew point" in whole
    assert "The air is 20" in whole
    assert "Humidity is 50" in whole
    assert whole.count("Warm the ") == 1


def test_an_entry_from_before_all_rules_were_named_still_opens():
    old = {"code": "early", "why": "Too early.", "reason": "told to"}
    assert [rule.why for rule in Deviation.model_validate(old).rules] == ["Too early."]
