"""What a touch keeps others from, and until when: held against what the gate itself says later."""

from datetime import timedelta

from bayapp.job import Start
from bayapp.job.model.ids import JobId, ZoneId
from bayapp.job.shut_out.shut_out import NOTHING, ShutOut, shut_out
from bayapp.job.state.requests import CloseSet, Cover
from tests.job.builders import Shop, at, code, finish, job, recipe, set_aside, start, step
from tests.job.shut_out.days import day, played

BUFFED = recipe(
    step("wipe", minutes=2),
    step("coat", minutes=10, wait={"max": 20, "lapse": "wipe"}),
    step("buff", minutes=5, wait={"min": 30, "max": 240, "lapse": "wipe"}),
    name="buffed",
)
POLISHED = recipe(step("polish", minutes=20), step("wipe", minutes=2), name="polished")
WASHED = recipe(step("decontaminate", minutes=4), name="washed")
DRIED = recipe(step("wipe"), step("coat", minutes=10), name="dried", finish={"keep_dry_hours": 12})


def found(shop: Shop, request: Start, minutes: float) -> ShutOut:
    return shut_out(shop.state, request, at(minutes))


def told(shop: Shop, request: Start, minutes: float) -> list[tuple[str, str, object]]:
    """Zone, step, and the minutes after eight until it waits; None where nobody can say."""
    barred = found(shop, request, minutes).barred
    return [(b.zone, b.step, (b.until - at(0)) / timedelta(minutes=1) if b.until else None) for b in barred]


def test_a_coat_bars_dust_until_it_is_buffed_as_the_gate_says_too():
    shop = Shop(job((["roof"], BUFFED), (["bonnet"], POLISHED)))
    shop.work("roof", "wipe", 0, 2)
    coat = start("roof", "coat")
    assert told(shop, coat, 3) == [("bonnet", "polish", 3 + 10 + 30 + 5)]
    shop.work("roof", "coat", 3, 13)
    shop.must(start("roof", "buff"), 43)
    assert code(shop.ask(start("bonnet", "polish", "Bo"), 47.999)) == "bay"
    shop.must(finish("roof", "buff"), 48)
    assert shop.ask(start("bonnet", "polish", "Bo"), 48).accepted


def test_a_zone_that_must_stay_dry_bars_water_until_its_last_hour_as_the_gate_says_too():
    shop = Shop(job((["roof"], DRIED), (["bonnet"], WASHED)))
    shop.work("roof", "wipe", 0, 2)
    assert told(shop, start("roof", "coat"), 3) == [("bonnet", "decontaminate", 13 + 12 * 60)]
    shop.work("roof", "coat", 3, 13)
    assert code(shop.ask(start("bonnet", "decontaminate"), 13 + 12 * 60 - 0.001)) == "bay"
    assert shop.ask(start("bonnet", "decontaminate"), 13 + 12 * 60).accepted


def test_a_wash_is_not_told_of_the_moment_between_the_last_buff_and_the_cleaning_after_it():
    """The gate lets water in there, but whoever is told half an hour believes that the rims are washed today."""
    cleaned = recipe(
        step("coat", minutes=10),
        step("buff", minutes=5, wait={"min": 30}),
        step("clean", minutes=2),
        name="cleaned",
        finish={"keep_dry_hours": 12},
    )
    shop = Shop(job((["roof"], cleaned), (["bonnet"], WASHED)))
    assert told(shop, start("roof", "coat"), 0) == [("bonnet", "decontaminate", 10 + 30 + 5 + 2 + 12 * 60)]
    shop.work("roof", "coat", 0, 10)
    shop.work("roof", "buff", 40, 45)
    assert shop.ask(start("bonnet", "decontaminate"), 45).accepted


def test_dust_over_an_open_wipe_is_told_as_a_wipe_to_do_again():
    shop = Shop(job((["roof"], BUFFED), (["bonnet"], POLISHED)))
    shop.work("roof", "wipe", 0, 2)
    found = shut_out(shop.state, start("bonnet", "polish"), at(2))
    assert (found.barred, found.missed, found.spoils) == ((), (), (("car", "roof"),))
    assert shut_out(shop.state, start("roof", "coat"), at(2)).spoils == ()


def test_dust_bars_a_coat_while_it_flies_and_says_which_window_it_closes():
    cleaned = recipe(
        step("clean", minutes=2), step("coat", minutes=10, wait={"max": 20, "lapse": "repeat"}), name="cleaned"
    )
    shop = Shop(job((["roof"], cleaned), (["bonnet"], POLISHED)))
    shop.work("roof", "clean", 0, 2)
    assert told(shop, start("bonnet", "polish"), 1 + 1) == [("roof", "coat", 22)]
    assert found(shop, start("bonnet", "polish"), 2).missed == (), "at exactly the latest moment it may still begin"
    late = found(shop, start("bonnet", "polish"), 3)
    assert [(missed.zone, missed.step, missed.lapses_at) for missed in late.missed] == [("roof", "coat", at(22))]


def test_what_neither_makes_dust_nor_lays_a_coat_nor_ends_a_ladder_shuts_nothing_out():
    shop = Shop(job((["roof"], BUFFED), (["bonnet"], POLISHED), (["left-rim"], WASHED)))
    assert found(shop, start("roof", "wipe"), 0) == NOTHING
    assert found(shop, start("left-rim", "decontaminate"), 0) == NOTHING


def test_what_the_gate_refuses_shuts_nothing_out():
    shop = Shop(job((["roof"], BUFFED), (["bonnet"], POLISHED)))
    assert code(shop.ask(start("roof", "coat"), 0)) == "order"
    assert found(shop, start("roof", "coat"), 0) == NOTHING


def test_a_zone_done_or_set_aside_or_with_no_dust_before_it_is_not_kept_waiting():
    shop = Shop(job((["roof"], BUFFED), (["bonnet"], POLISHED), (["left-door"], POLISHED)))
    shop.work("roof", "wipe", 0, 2)
    shop.work("bonnet", "polish", 3, 5)
    shop.must(set_aside("left-door"), 6)
    assert found(shop, start("roof", "coat"), 7) == NOTHING


def test_a_wait_that_ran_already_is_not_told_again_with_the_next_layer():
    layers = recipe(step("coat-1"), step("coat-2", wait={"min": 5}), step("buff", wait={"min": 30}), name="layers")
    shop = Shop(job((["roof"], layers), (["bonnet"], POLISHED)))
    assert [zone for zone, _, _ in told(shop, start("roof", "coat-1"), 0)] == ["bonnet"]
    shop.work("roof", "coat-1", 0, 5)
    assert told(shop, start("roof", "coat-2"), 10) == []


def test_glass_coated_before_the_other_panes_are_polished_closes_the_way_for_them():
    of_set = recipe(
        step("polish"), step("wipe"), step("coat"), step("buff", wait={"of": "panels", "min": 15}), name="of-set"
    )
    shop = Shop(job((["roof"], of_set), (["bonnet"], of_set)))
    shop.work("roof", "polish", 0, 5)
    shop.work("roof", "wipe", 5, 7)
    first = found(shop, start("roof", "coat"), 8)
    assert first.closes_the_way
    (barred,) = first.barred
    assert (barred.zone, barred.step, barred.until) == ("bonnet", "polish", None)
    assert (barred.by.zone, barred.by.step, barred.by.stuck) == ("roof", "buff", "buff")
    assert (barred.by.waits_for, barred.by.zones) == ("panels", ("bonnet",))
    shop.work("bonnet", "polish", 8, 13)
    assert found(shop, start("roof", "coat"), 14) == NOTHING, "nothing is left that makes dust"


def test_two_panels_with_a_coat_before_a_polish_close_the_way_for_each_other_at_the_second_coat():
    def again(name: str):  # each panel goes by a recipe of its own: no touch polishes both
        return recipe(step("coat-1"), step("polish", minutes=5), step("coat-2"), step("buff"), name=name)

    shop = Shop(job((["roof"], again("one")), (["bonnet"], again("other"))))
    assert not found(shop, start("roof", "coat-1"), 0).closes_the_way
    shop.work("roof", "coat-1", 0, 5)
    second = found(shop, start("bonnet", "coat-1"), 6)
    assert second.closes_the_way
    assert [(b.zone, b.step, b.until) for b in second.barred] == [("roof", "polish", None)]
    shop.work("bonnet", "coat-1", 6, 11)
    for zone in ("roof", "bonnet"):
        assert code(shop.ask(start(zone, "polish"), 24 * 60 * 10)) == "bay", "ten days later it is still so"


def test_zones_of_one_block_that_one_touch_polishes_close_no_way_for_each_other():
    again = recipe(step("coat-1"), step("polish", minutes=5), step("coat-2"), step("buff"), name="again")
    shop = Shop(job((["roof", "bonnet"], again)))
    shop.work("roof", "coat-1", 0, 5)
    assert found(shop, start("bonnet", "coat-1"), 6) == NOTHING
    shop.work("bonnet", "coat-1", 6, 11)
    shop.must(start("roof bonnet", "polish"), 12)


def test_a_pane_that_has_to_be_done_again_closes_no_way_where_the_gate_counts_its_first_coat():
    buff = step("buff", minutes=5, wait={"of": "panels", "min": 15, "max": 60, "lapse": "polish"})
    of_set = recipe(step("polish"), step("coat-1"), step("coat-2"), buff, name="of-set")
    shop = Shop(job((["roof", "bonnet"], of_set)))
    for turn, name in enumerate(("polish", "coat-1", "coat-2")):
        shop.work("roof bonnet", name, 5 * turn, 5 * turn + 5)
    shop.work("roof", "polish", 85, 90)  # both missed their buff
    (barred,) = found(shop, start("roof", "coat-1"), 90).barred
    assert (barred.zone, barred.step, barred.until) == ("bonnet", "polish", at(90 + 5 + 5 + 15 + 5))
    shop.work("roof", "coat-1", 90, 95)
    shop.work("roof", "coat-2", 95, 100)
    shop.work("roof", "buff", 115, 120)
    assert shop.ask(start("bonnet", "polish"), 120).accepted


def test_after_a_cover_or_a_set_closed_early_the_next_coat_is_told_to_close_the_way_again():
    of_set = recipe(
        step("polish"), step("coat"), step("buff", minutes=5, wait={"of": "panels", "min": 15}), name="of-set"
    )
    for frees in (Cover, CloseSet):
        shop = Shop(job((["roof"], of_set), (["left-door"], of_set), (["bonnet"], of_set)))
        shop.work("roof", "polish", 0, 5)
        shop.work("left-door", "polish", 5, 10)
        shop.work("roof", "coat", 11, 16)
        assert found(shop, start("left-door", "coat"), 17) == NOTHING, "it is closed already"
        shop.must(frees(JobId("car"), (ZoneId("roof"),)), 18)
        assert found(shop, start("left-door", "coat"), 19).closes_the_way


def test_a_second_car_is_kept_waiting_as_well():
    shop = Shop(job((["roof"], DRIED)), job((["bonnet"], WASHED), name="van"))
    shop.work("roof", "wipe", 0, 2)
    (barred,) = found(shop, start("roof", "coat"), 3).barred
    assert (barred.job, barred.zone) == ("van", "bonnet")


def test_what_is_under_way_counts_as_done_after_its_usual_time():
    shop = Shop(job((["roof"], BUFFED), (["bonnet"], recipe(step("wipe", minutes=40), step("polish"), name="late"))))
    shop.work("roof", "wipe", 0, 2)
    shop.must(start("bonnet", "wipe", "Bo"), 2)
    (barred,) = found(shop, start("roof", "coat"), 3).barred
    assert (barred.otherwise, barred.until) == (at(42), at(48))


def test_of_the_day_on_which_the_windscreen_went_first_its_coat_alone_closes_the_way():
    job_of_day, lines = day("glass-first")
    panes = {ZoneId(f"glass-{side}-{place}") for side in ("left", "right") for place in ("front", "rear", "quarter")}
    closing = {}
    for number, line in enumerate(lines):
        if isinstance(line.request, Start):
            seen = shut_out(played(job_of_day, lines[:number]), line.request, line.at)
            closing[line.request.step] = seen.closes_the_way
    assert closing == {"decontaminate": False, "polish": False, "wipe": False, "coat-1": True}
    assert {one.zone for one in seen.barred} == panes
    assert {(one.step, one.until) for one in seen.barred} == {("decontaminate", None)}
