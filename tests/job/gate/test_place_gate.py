"""Where cars stand: dust, water and the air stay within a place, and a curtain divides two bays.

That a curtain holds spray and dust back, and what to mind outside, is common practice, no source.
"""

from dataclasses import replace

import pytest

from bayapp.job import CloseJob, CorrectAir, MoveCar, SetUpPlaces, UndoMove, fold, why_not
from bayapp.job.doubted_coats import doubted_coats
from bayapp.job.gate.place_gate import answers_to
from bayapp.job.grounds import Why
from bayapp.job.model.ids import Person, PlaceId
from bayapp.job.model.place import OUTSIDE, Bay
from bayapp.job.state.requests import OpenJob
from tests.job.builders import Shop, at, code, finish, job, recipe, start, step, undo, why
from tests.job.gate.places import BAY_1, BAY_2, BAYS, CAR, DIVIDED, DRIES, VAN, moved, read_in, splash, two_cars

BO = Person("Bo")
WASH, POLISH = start("left-rim", "wash", "Bo", "van"), start("left-rim", "polish", "Bo", "van")


def polish_comes(*steps: str, bays: tuple[Bay, ...] = ()) -> Shop:
    """The van's rim comes to its polish beside a car whose roof has been brought so far."""
    shop = two_cars(bays=bays)
    shop.must(finish("left-rim", "wash", "Bo", "van"), 1)
    for name in steps:
        shop.must(finish("roof", name), 2)
    return shop


def test_without_names_all_cars_stand_in_one_room() -> None:
    assert why(polish_comes("wipe", "coat").ask(POLISH, 3)) == Why.DUST_ON_COAT


def test_dust_passes_between_bays_without_a_curtain_and_not_where_one_hangs() -> None:
    assert why(polish_comes("wipe", "coat", bays=BAYS).ask(POLISH, 3)) == Why.DUST_ON_COAT
    assert polish_comes("wipe", "coat", bays=DIVIDED).ask(POLISH, 3).accepted


def test_of_three_bays_in_a_row_a_curtain_divides_what_lies_on_both_its_sides() -> None:
    third = Bay(id=PlaceId("bay-3"), name="Third bay")
    places = replace(two_cars().state.places, bays=(BAYS[0], DIVIDED[0].model_copy(update={"id": BAY_2}), third))
    assert places.same_air(BAY_1, BAY_2)
    assert not places.same_air(BAY_1, third.id)
    assert not places.same_air(third.id, BAY_2)
    assert [bay.id for bay in places.around(BAY_2)] == [BAY_1, BAY_2]


def test_outside_is_open_to_no_bay_and_a_car_of_which_nobody_told_counts_in_every_bay() -> None:
    places = moved(CAR, BAY_1, DIVIDED).state.places
    assert not places.same_air(OUTSIDE, BAY_1)
    assert not places.same_air(None, OUTSIDE)
    assert places.same_air(None, BAY_1)
    assert places.same_air(None, BAY_2)
    assert places.around(OUTSIDE) == ()


def test_nobody_coats_where_dust_flies_and_a_curtain_holds_it_back() -> None:
    for bays, refused in ((BAYS, Why.COAT_IN_DUST), (DIVIDED, None)):
        shop = polish_comes("wipe", bays=bays)
        shop.must(read_in(BAY_1), 2)
        shop.must(POLISH, 3)
        if refused:  # the dust came over that wipe
            shop.work("roof", "wipe", 3, 4)
        assert why(shop.ask(start("roof", "coat"), 4)) == refused


def test_around_a_place_are_the_cars_and_readings_whose_air_it_shares() -> None:
    shop = moved(CAR, BAY_1, DIVIDED)
    shop.must(MoveCar(VAN, BAY_1), 3)
    shop.must(read_in(BAY_1, 10), 4)
    assert shop.state.around(BAY_1) is shop.state, "all that was read and stands here"
    shop.must(read_in(BAY_2, 30), 5)
    here = shop.state.around(BAY_1)
    assert (here.jobs.keys(), here.air) == ({CAR, VAN}, shop.state.air_at(BAY_1)), "what was read elsewhere is not here"
    shop.must(MoveCar(VAN, BAY_2), 6)
    assert shop.state.around(BAY_1).jobs.keys() == {CAR}


def test_one_pair_of_hands_is_in_one_place_whatever_hangs_between() -> None:
    shop = polish_comes("wipe", bays=DIVIDED)
    shop.must(POLISH, 3)
    assert why(shop.ask(start("roof", "coat", "Bo"), 4)) == Why.PERSON_BUSY


# Water.


def test_water_beside_another_car_that_must_only_be_kept_dry_is_asked_about_once() -> None:
    shop = two_cars("coat", "level")
    asked = shop.ask(WASH, 8)
    assert [r.why for r in asked.refusals] == [Why.SPLASH]
    assert not asked.accepted
    assert asked.possible
    assert answers_to(asked, out_of_reach=True) == (splash(out_of_reach=True),)
    assert answers_to(asked, False, BO) == (replace(splash(out_of_reach=False), by=BO),)
    assert answers_to(polish_comes("wipe", "coat").ask(POLISH, 3), out_of_reach=True) == (), "dust is no such question"
    shop.must(splash(out_of_reach=True), 8)
    assert shop.must(WASH, 8).accepted
    assert shop.ask(start("right-rim", "wash", "Ash", "van"), 9).accepted


def test_who_says_that_the_water_reaches_it_is_told_until_when_to_keep_dry_and_may_think_again() -> None:
    shop = two_cars("coat", "level")
    shop.must(splash(out_of_reach=False), 8)
    refusal = shop.ask(WASH, 8).refusal
    assert (refusal.why, refusal.right_from) == (Why.KEEP_DRY, at(7 + 12 * 60))
    assert why_not(refusal, shop.state).startswith("Roof of Red car must be kept dry until 20:07:00")
    shop.must(splash(out_of_reach=True), 9)
    assert shop.ask(WASH, 9).accepted


def test_a_car_that_was_moved_is_asked_about_anew_and_not_if_it_was_not_moved_after_all() -> None:
    shop = two_cars("coat", "level", bays=BAYS)
    shop.must(splash(out_of_reach=True), 8)
    shop.must(MoveCar(VAN, BAY_1), 9)
    assert why(shop.ask(WASH, 9)) == Why.SPLASH
    shop.must(UndoMove(VAN), 10)
    assert shop.ask(WASH, 10).accepted


def test_water_on_a_coat_that_is_still_open_is_refused_on_another_car_too() -> None:
    assert why(two_cars("coat").ask(WASH, 8)) == Why.WATER_ON_COAT
    dries = two_cars("coat", ladder=DRIES)
    dries.must(splash(out_of_reach=True), 8)
    assert why(dries.ask(WASH, 8)) == Why.KEEP_DRY


def test_water_on_the_same_car_is_refused_as_long_as_it_must_be_kept_dry() -> None:
    paint = recipe(step("wipe"), step("coat"), step("level"), name="paint", finish={"keep_dry_hours": 12})
    shop = Shop(job((["roof"], paint), (["left-rim"], recipe(step("decontaminate"), name="wash"))))
    for name in ("wipe", "coat", "level"):
        shop.must(finish("roof", name), 1)
    assert why(shop.ask(start("left-rim", "decontaminate"), 2)) == Why.KEEP_DRY


def test_a_curtain_asks_nobody_about_water() -> None:
    assert two_cars("coat", "level", bays=DIVIDED).ask(WASH, 8).accepted


def test_a_reason_carries_a_wash_through_the_question() -> None:
    verdict = two_cars("coat", "level").must(start("left-rim", "wash", "Bo", "van", "The rinse is a damp cloth"), 8)
    assert verdict.events[0].deviation.code == "bay"
    assert "out of reach of the water on White van" in verdict.events[0].deviation.why


def test_an_answer_about_a_car_or_a_zone_that_is_not_here_is_refused() -> None:
    shop = two_cars("coat", "level")
    assert why(shop.ask(splash(True, zone="bonnet"), 8)) == Why.NO_ZONE
    assert why(shop.ask(replace(splash(True), of=VAN), 8)) == Why.NO_SUCH_JOB
    shop.must(CloseJob(CAR), 8)
    assert why(shop.ask(splash(True), 9)) == Why.NO_SUCH_JOB


# Moving.


def test_a_moved_car_takes_its_dust_and_water_along() -> None:
    shop = polish_comes("wipe", "coat", bays=BAYS)
    assert why(shop.ask(POLISH, 3)) == Why.DUST_ON_COAT
    shop.must(MoveCar(VAN, OUTSIDE), 3)
    assert shop.ask(POLISH, 3).accepted


def test_a_car_somebody_is_at_work_on_stays_where_it_is() -> None:
    shop = moved(CAR, BAY_1)
    shop.must(start("roof", "wipe"), 3)
    assert why(shop.ask(MoveCar(CAR, OUTSIDE, deviation="it is in the way"), 4)) == Why.CAR_WORKED
    shop.must(undo("roof"), 4)
    assert shop.ask(MoveCar(CAR, OUTSIDE), 4).accepted


def test_where_a_car_stands_of_which_nobody_told_is_said_also_while_it_is_worked():
    shop = two_cars()
    shop.must(start("roof", "wipe"), 1)
    shop.must(SetUpPlaces(BAYS), 2)
    shop.must(MoveCar(CAR, BAY_1), 3)
    assert why(shop.ask(MoveCar(CAR, BAY_2), 4)) == Why.CAR_WORKED


def test_a_fresh_coat_goes_not_where_dust_flies_unless_there_is_a_reason() -> None:
    shop = polish_comes("wipe", "coat", bays=DIVIDED)
    shop.must(POLISH, 3)
    assert why(shop.ask(MoveCar(CAR, BAY_2), 4)) == Why.DUST_ON_COAT
    (event,) = shop.must(MoveCar(CAR, BAY_2, deviation="The gate is broken"), 4).events
    assert (event.deviation.code, event.deviation.reason) == ("bay", "The gate is broken")
    assert event.deviation.why.startswith("Dust would fall on the fresh coat of roof of Red car.")


def test_a_coat_that_must_be_kept_dry_comes_beside_water_after_the_question() -> None:
    shop = two_cars("coat", "level", bays=DIVIDED)
    shop.must(WASH, 8)
    assert why(shop.ask(MoveCar(CAR, BAY_2), 9)) == Why.SPLASH
    open_coat = two_cars("coat", bays=DIVIDED)
    open_coat.must(WASH, 8)
    assert why(open_coat.ask(MoveCar(CAR, BAY_2), 9)) == Why.WATER_ON_COAT


def test_who_moves_a_coat_outside_is_warned_of_the_weather() -> None:
    for steps, warned in (((), []), (("coat",), [Why.COAT_OUTSIDE]), (("coat", "level"), [Why.KEEP_DRY_OUTSIDE])):
        shop = two_cars(*steps, bays=BAYS)
        verdict = shop.ask(MoveCar(CAR, OUTSIDE), 8)
        assert verdict.accepted
        assert [r.why for r in verdict.asks] == warned
    said = [why_not(r, shop.state) for r in verdict.asks]
    assert said == ["Roof of Red car must be kept dry until 20:07:00: outside, mind rain and dew."]


def test_only_the_last_move_is_taken_back_and_only_once() -> None:
    shop = moved(CAR, BAY_1)
    shop.must(MoveCar(CAR, OUTSIDE), 5)
    shop.must(UndoMove(CAR), 6)
    assert shop.state.jobs[CAR].place == BAY_1
    assert shop.state.jobs[CAR].place_at(at(5.5)) == BAY_1
    shop.must(UndoMove(CAR), 7)
    assert shop.state.jobs[CAR].place is None
    shop.must(MoveCar(CAR, BAY_2), 8)
    shop.must(SetUpPlaces(DIVIDED), 9)
    assert why(shop.ask(UndoMove(CAR), 10)) == Why.NO_MOVE


def test_a_shop_without_names_has_an_outside_and_a_way_back() -> None:
    shop = two_cars()
    shop.must(MoveCar(CAR, OUTSIDE), 8)
    assert shop.state.jobs[CAR].place == OUTSIDE
    shop.must(MoveCar(CAR, None), 9)
    assert shop.state.jobs[CAR].place is None
    assert why(moved(CAR, BAY_1).ask(MoveCar(CAR, None), 9)) == Why.NO_SUCH_PLACE


def test_a_car_that_comes_in_takes_the_first_free_bay_and_stands_outside_where_none_is() -> None:
    shop = moved(CAR, BAY_1)
    for number, place in ((1, BAY_2), (2, OUTSIDE)):
        shop.must(OpenJob(job((["roof"], recipe(step("wipe"))), name=f"more-{number}")), 3)
        assert shop.state.jobs[f"more-{number}"].place == place
    given = shop.must(OpenJob(job((["roof"], recipe(step("wipe"))), name="given"), BAY_1), 4)
    assert given.events[0].place == BAY_1
    unknown = OpenJob(job((["roof"], recipe(step("wipe"))), name="lost"), PlaceId("attic"))
    assert why(shop.ask(unknown, 5)) == Why.NO_SUCH_PLACE


# Bays.


def test_a_bay_keeps_its_cars_under_another_name_and_its_old_name_is_known_when_it_is_gone() -> None:
    shop = moved(CAR, BAY_1)
    shop.must(SetUpPlaces((Bay(id=BAY_1, name="  Wash   bay "), BAYS[1])), 3)
    assert shop.state.jobs[CAR].place == BAY_1
    assert shop.state.places.names[BAY_1] == "Wash bay"
    shop.must(MoveCar(CAR, OUTSIDE), 4)
    shop.must(SetUpPlaces(BAYS[1:]), 5)
    assert shop.state.places.names[BAY_1] == "Wash bay"
    assert shop.state.places.next_id() == "bay-3"


def test_what_holds_already_is_not_written_down_again() -> None:
    assert moved(CAR, BAY_1).ask(SetUpPlaces(BAYS), 3).events == ()


@pytest.mark.parametrize("name", ["", "   ", "BACK BAY"])
def test_a_bay_needs_a_name_of_its_own(name: str) -> None:
    bay = Bay.model_construct(id=PlaceId("bay-3"), name=name, curtain=False)
    assert code(moved(CAR, BAY_1).ask(SetUpPlaces((*BAYS, bay)), 3)) == "unknown"


# The air.


def test_a_coat_asks_for_a_reading_of_the_air_where_the_car_stands() -> None:
    shop = two_cars(bays=DIVIDED)
    shop.must(finish("roof", "wipe"), 1)
    coat = start("roof", "coat")
    assert shop.ask(coat, 2).accepted, "what was read before bays had names counts in each of them"
    shop = moved(CAR, BAY_1, DIVIDED)
    shop.must(finish("roof", "wipe"), 31)
    shop.must(read_in(BAY_2), 31)
    (old,) = shop.ask(coat, 32).refusals
    assert (old.why, why_not(old, shop.state)) == (
        Why.OLD_READING,
        "The air of Front bay was last read at 08:00:00, over 30 minutes ago. Read it again there.",
    )
    shop.must(MoveCar(CAR, OUTSIDE), 33)
    refused = shop.ask(coat, 33)
    assert [why_not(r, shop.state) for r in refused.refusals] == [
        "Nobody has read the air where the car stands: outside. Read temperature and humidity there."
    ]
    shop.must(read_in(OUTSIDE), 34)
    outside = shop.ask(coat, 34)
    assert outside.accepted
    assert [r.why for r in outside.asks] == [Why.COAT_OUTSIDE]
    shop.must(MoveCar(CAR, BAY_2), 35)
    assert shop.ask(coat, 35).accepted


def test_a_sensor_reads_the_air_of_the_bay_in_which_it_stands() -> None:
    shop = moved(CAR, BAY_1, DIVIDED)
    shop.must(SetUpPlaces(DIVIDED, {"wall": BAY_2, "gone": PlaceId("bay-9")}), 3)
    assert shop.state.places.sensors == {"wall": BAY_2}
    (event,) = shop.must(replace(read_in(None), source="wall"), 4).events
    assert event.place == BAY_2
    assert shop.state.air_at(BAY_2) is event
    assert shop.state.air_at(BAY_1) is not event
    assert why(shop.ask(read_in(PlaceId("attic")), 5)) == Why.NO_SUCH_PLACE


def test_a_car_counts_the_readings_of_where_it_stood_and_nobody_knows_an_unread_place() -> None:
    shop = moved(CAR, BAY_1, DIVIDED)
    shop.must(read_in(BAY_1, 10), 3)
    shop.must(read_in(BAY_2, 30), 4)
    shop.must(MoveCar(CAR, BAY_2), 10)
    shop.must(read_in(BAY_1, 11), 11)
    shop.must(MoveCar(CAR, OUTSIDE), 12)
    shop.must(MoveCar(CAR, BAY_1), 60)
    shop.must(read_in(BAY_1, 12), 61)
    held = shop.state.jobs[CAR].readings
    said = [(r.measured_at, getattr(r, "air_c", None)) for r in held]
    assert said == [
        (at(0), 20.0),
        (at(3), 10.0),
        (at(10), 30.0),
        (at(12), None),
        (at(61), 12.0),
    ], "that of 11 is over half an hour old when the car comes back"


def test_a_curtain_that_is_drawn_leaves_a_car_the_reading_that_held() -> None:
    shop = moved(CAR, BAY_1, BAYS)
    shop.must(read_in(BAY_2, 30), 3)
    shop.must(SetUpPlaces(DIVIDED), 4)
    assert [getattr(r, "air_c", None) for r in shop.state.jobs[CAR].readings] == [20.0, 30.0, 20.0]
    shop.must(SetUpPlaces(BAYS), 5)
    assert shop.state.jobs[CAR].readings[-1].air_c == 30.0


def test_the_state_after_a_move_is_that_of_the_whole_journal() -> None:
    shop = two_cars("coat", "level", bays=DIVIDED)
    shop.must(read_in(BAY_2, 25), 9)
    shop.must(MoveCar(CAR, BAY_2), 10)
    shop.must(read_in(BAY_2, 26, at(9.5)), 11)
    assert fold(shop.events) == shop.state


def test_a_place_that_was_read_before_the_car_came_says_nothing_of_the_time_before() -> None:
    shop = moved(CAR, BAY_1, DIVIDED)
    shop.must(CorrectAir(at(0), None), 3)
    shop.must(read_in(BAY_2, 30), 4)
    assert shop.state.jobs[CAR].readings == ()
    shop.must(MoveCar(CAR, BAY_2), 10)
    assert [(r.measured_at, getattr(r, "air_c", None)) for r in shop.state.jobs[CAR].readings] == [(at(10), 30.0)]


def test_a_coat_laid_after_a_move_is_not_doubted_for_a_correction_of_another_reading() -> None:
    shop = moved(CAR, BAY_1, DIVIDED)
    shop.must(read_in(BAY_1, 21), 3)
    shop.must(read_in(BAY_2, 22), 4)
    shop.must(finish("roof", "wipe"), 5)
    shop.must(MoveCar(CAR, BAY_2), 6)
    shop.must(start("roof", "coat"), 7)
    shop.must(CorrectAir(at(3), None), 8)
    assert doubted_coats(shop.state) == ()
    shop.must(CorrectAir(at(4), None), 9)
    (doubted,) = doubted_coats(shop.state)
    assert (doubted.zone, doubted.was.air_c, doubted.becomes) == ("roof", 22.0, None)
