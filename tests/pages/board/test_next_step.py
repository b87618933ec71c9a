"""What the one big button offers."""

from collections.abc import Iterator
from datetime import UTC, timedelta
from pathlib import Path
from typing import Any

import pytest

from bayapp.job import (
    Advice,
    ChooseBottle,
    FinishStep,
    Job,
    MeasureBottle,
    Product,
    ReadAir,
    SetAside,
    ShelveBottle,
    Start,
    WorkBlock,
)
from bayapp.job.model.ids import BottleId, JobId, Person, StepId, Urgency, ZoneId
from bayapp.job.model.recipe import Recipe
from bayapp.job.model.vehicle import VehicleForm, Zone
from bayapp.pages.board.next_step import Offer, offers
from bayapp.pages.viewpoint import Viewpoint
from bayapp.planning.core.work_order import Loss
from bayapp.planning.next.recommendation import Recommendation
from tests.pages.bays import ASH, BO, CAR, OPENING, HandBay, hand_bay


def offered(hand: HandBay, by: Person | None = ASH, shown: JobId = CAR) -> tuple[Offer, ...]:
    at, now = hand.bay.now(), hand.clocks()
    return offers(hand.bay.state, now, *hand.bay.advice.for_person(now, by, at), Viewpoint(by, at, UTC, shown))


def small_job(*, dry_h: float = 0) -> Job:
    """One bonnet: a wipe, then a coat two minutes later for three minutes, and a level at any time."""
    steps = [
        {"id": "wipe", "kind": "wipe"},
        {"id": "coat", "kind": "coat", "wait": {"min": 2, "max": 5}},
        {"id": "level", "kind": "level"},
    ]
    recipe = Recipe.model_validate({"name": "short", "step": steps, "finish": {"keep_dry_hours": dry_h}})
    form = VehicleForm(
        format="bayapp-vehicle/1",
        name="block",
        title="Block",
        drawing="block.svg",
        zone=(Zone(id="bonnet", name="bonnet", surface="paint", area_m2=1),),
        sets={},
    )
    block = WorkBlock.model_validate({"zones": ("bonnet",), "recipe": recipe})
    return Job.model_validate(
        {
            "id": "short",
            "title": "Short",
            "crew": ("Ash",),
            "start": OPENING,
            "vehicle": form,
            "blocks": [block],
            "products": {},
        }
    )


@pytest.fixture
def short(tmp_path: Path) -> Iterator[HandBay]:
    with hand_bay(tmp_path / "short", cars=0) as hand:
        hand.bay.open_job(small_job(dry_h=12), OPENING)
        yield hand


def work(hand: HandBay, step: str, seconds: float = 0) -> None:
    where = (JobId("short"), (ZoneId("bonnet"),), StepId(step), ASH)
    assert hand.bay.request(Start(*where)).accepted
    hand.wait(seconds)
    assert hand.bay.request(FinishStep(*where)).accepted


def test_whoever_is_at_work_is_first_offered_to_finish_it(hand: HandBay):
    main = offered(hand, BO)[0]
    assert main.title == "Done: excess off, first towel, rear left rim (Bo)"
    assert main.action == FinishStep(CAR, (ZoneId("rim-rear-left"),), StepId("level"), BO)
    assert main.urgency is Urgency.WORKING


def test_the_work_of_another_is_offered_last_so_that_nobodys_step_is_left_running(hand: HandBay):
    kinds = [type(o.action) for o in offered(hand, ASH)]
    assert kinds[0] is Start
    assert kinds[-1] is FinishStep
    assert kinds.count(FinishStep) == 1
    assert offered(hand, ASH)[-1].detail == "Bo has been at it for 0:00. Touch when it is done; Ash is recorded beside."


def test_one_touch_finishes_all_that_one_touch_began(hand: HandBay):
    zones = tuple(ZoneId(f"glass-right-{place}") for place in ("front", "rear", "quarter"))
    hand.bay.request(Start(CAR, zones, StepId("coat-1"), ASH))
    hand.wait(30)
    main = offered(hand)[0]
    assert main.action == FinishStep(CAR, zones, StepId("coat-1"), ASH)
    assert main.title == "Done: coat, right side glass (Ash)"
    assert main.detail.startswith("Under way for 0:30.")


def test_a_step_that_nobody_has_ended_is_told_from_one_that_takes_its_time(hand: HandBay):
    """A coat on three panes takes some six minutes; after half an hour it has been done, and nobody has touched."""
    zones = tuple(ZoneId(f"glass-right-{place}") for place in ("front", "rear", "quarter"))
    hand.bay.request(Start(CAR, zones, StepId("coat-1"), ASH))
    hand.wait(14 * 60)
    assert "Done long ago?" not in offered(hand)[0].detail
    hand.wait(26 * 60)
    main = offered(hand)[0]
    assert main.detail.startswith("Under way for 40:00, usually ")
    assert "Done long ago?" in main.detail
    assert main.action == FinishStep(CAR, zones, StepId("coat-1"), ASH)


def test_what_closes_first_comes_before_what_closes_later_and_what_waited_longest_after_it(hand: HandBay):
    found = [o for o in offered(hand) if isinstance(o.action, Start)]
    assert found[0].title == "Begin: excess off, first towel, rear right rim (Ash)"
    assert found[0].detail.startswith("Closes in 0:40.")
    assert found[1].title == "Begin: coat, right side glass (Ash)"
    closing = ["Closes in" in o.detail for o in found]
    assert closing == sorted(closing, reverse=True)


def test_every_offer_is_one_that_the_gate_accepts(hand: HandBay):
    for after_s in (0, 31, 40, 110):
        hand.wait(after_s)
        for by in (ASH, BO):
            for offer in offered(hand, by):
                assert offer.action
                assert hand.bay.judge(offer.action).accepted, offer


def test_the_offers_carry_the_person_who_stands_at_the_car(hand: HandBay):
    assert {o.action.by for o in offered(hand) if o.action} == {ASH}


def test_a_missed_moment_says_that_this_mends_it(hand: HandBay):
    glass = tuple(ZoneId(f"glass-right-{place}") for place in ("front", "rear", "quarter"))
    hand.bay.request(FinishStep(CAR, glass, StepId("coat-1"), ASH))
    hand.wait(20 * 60)
    (mend,) = [o for o in offered(hand) if o.urgency is Urgency.LAPSED]
    assert mend.title == "Begin: solvent wipe, bonnet and roof (Ash)"
    assert mend.detail.startswith("Its moment was missed; this mends it.")


def test_a_step_that_makes_another_too_late_says_so_before_it_is_begun(hand: HandBay):
    hand.wait(242)
    hand.bay.request(FinishStep(CAR, (ZoneId("rim-rear-left"),), StepId("level"), BO))
    hand.bay.request(Start(CAR, (ZoneId("rear-screen"),), StepId("wipe"), BO))
    (towel,) = [o for o in offered(hand) if o.title == "Begin: once more, second towel, rear left rim (Ash)"]
    assert towel.urgency is Urgency.LAPSED
    assert towel.detail == "If you start this now: coat, right side glass, will be too late at 09:06."


def test_what_comes_on_another_day_stands_with_its_date(short: HandBay):
    short.go_to(OPENING.replace(hour=23, minute=59))
    work(short, "wipe")
    (only,) = offered(short)
    assert only.detail.startswith("Next: coat, bonnet, at 3 Mar 00:0")


def test_nothing_to_do_says_for_how_long_and_what_comes_then(short: HandBay):
    assert offered(short)[0].title == "Begin: solvent wipe, bonnet"
    work(short, "wipe")
    (only,) = offered(short)
    assert (only.title, only.action) == ("Nothing to do for 2:00", None)
    assert only.detail == "Next: coat, bonnet, at 09:02:00."
    short.wait(119.999)
    assert offered(short)[0].title == "Nothing to do for 0:01"
    short.wait(0.001)
    assert offered(short)[0].title == "Begin: coat, bonnet"


def test_all_done_says_from_when_the_car_may_go_and_then_that_it_may(short: HandBay):
    work(short, "wipe")
    short.wait(120)
    work(short, "coat", 60)
    work(short, "level", 60)
    (done,) = offered(short)
    assert done.title == "All done; keep it dry"
    assert done.detail == "The car may be handed over from 2 Mar 21:04, in 12 h 00."
    assert done.action is None
    short.wait(12 * 3600 - 0.001)
    assert offered(short)[0].title == "All done; keep it dry"
    short.wait(0.001)
    (gone,) = offered(short)
    assert (gone.title, gone.detail) == ("All done", "The car may be handed over.")


def test_an_empty_bay_says_how_to_take_a_car_in(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as hand:
        (only,) = offered(hand)
        assert only.title == "No car in the bay"
        assert only.action is None


def test_an_unsettled_clock_offers_nothing_to_press(hand: HandBay):

    hand.bay.request(FinishStep(CAR, (ZoneId("rim-rear-left"),), StepId("level"), BO))
    hand.doubt_the_time()
    assert {o.action for o in offered(hand)} == {None}


def test_free_to_begin_tells_since_when(short: HandBay):
    short.bay.request(ReadAir(20, 50))
    short.wait(30)
    assert offered(short)[0].detail == "Free to begin."
    short.wait(60)
    assert offered(short)[0].detail == "Free to begin for 1:30."
    assert short.bay.now() == OPENING + timedelta(seconds=90)


def test_with_two_cars_in_the_bay_every_offer_and_every_call_says_whose_step_it_is(tmp_path: Path):
    with hand_bay(tmp_path, cars=2) as hand:
        titles = {job.job.id: job.job.title for job in hand.bay.state.open_jobs}
        assert len(set(titles.values())) == 2
        found = offered(hand)
        assert {o.job for o in found} == set(titles)
        for offer in found:
            assert offer.job
            if offer.elsewhere:
                assert offer.title.startswith(f"2 {titles[offer.job]}, "), "the other car comes first in large words"
            else:
                assert offer.job == CAR
                assert offer.costs or offer.detail.startswith(f"{titles[CAR]}: ")
        hand.update_alerts()
        labels = [alert.condition.label for alert in hand.bay.alerts.unanswered()]
        assert labels
        assert all(label.startswith(tuple(f"{title}: " for title in titles.values())) for label in labels)


def test_what_is_offered_for_another_car_than_the_one_shown_names_it_first(tmp_path: Path):
    with hand_bay(tmp_path, cars=2) as hand:
        other = JobId(f"{CAR}-2")
        here = offered(hand, shown=CAR)
        there = offered(hand, shown=other)
        assert [(o.action, o.elsewhere) for o in here] == [(o.action, not o.elsewhere) for o in there]
        seen = {(o.title.split(",")[0], o.second.split(",")[0]) for o in there if o.elsewhere}
        assert seen == {("1 Practice estate", "Or 1 Practice estate")}


def test_the_button_says_who_only_where_several_work(short: HandBay, tmp_path: Path):
    assert offered(short)[0].title == "Begin: solvent wipe, bonnet", "Ash is alone at this car"
    with hand_bay(tmp_path / "two", cars=1) as hand:
        assert offered(hand, BO)[-1].title.endswith("(Bo)")
        nobodys = [o.title for o in offered(hand, None) if isinstance(o.action, Start)]
        assert nobodys[0] == "Begin: excess off, first towel, rear right rim", "nobody has said who"


def set_aside(hand: HandBay) -> Offer:
    assert hand.bay.request(SetAside(JobId("short"), (ZoneId("bonnet"),), "no time today", ASH)).accepted
    (only,) = offered(hand)
    return only


def test_with_every_zone_set_aside_nothing_is_left_and_nothing_is_called_done(short: HandBay):
    found = set_aside(short)
    assert (found.title, found.detail, found.action) == ("Nothing is left for today", "Set aside: bonnet.", None)


def test_a_coat_on_a_zone_set_aside_leaves_no_moment_to_hand_over(short: HandBay):
    work(short, "wipe")
    short.wait(121)
    work(short, "coat")
    found = set_aside(short)
    assert found.title == "Nothing is left for today"
    assert found.detail.startswith("There is no moment to hand over: a coat or masking is on a zone that is set aside.")


def test_a_car_done_but_for_what_is_set_aside_says_so(tmp_path: Path):
    with hand_bay(tmp_path / "two", cars=0) as hand:
        plain = small_job()
        form = plain.vehicle.model_copy(
            update={"zone": (*plain.vehicle.zone, Zone(id="roof", name="roof", surface="paint", area_m2=1))}
        )
        roof = WorkBlock.model_validate({"zones": ("roof",), "recipe": plain.blocks[0].recipe})
        hand.bay.open_job(plain.model_copy(update={"vehicle": form, "blocks": (*plain.blocks, roof)}), OPENING)
        assert hand.bay.request(SetAside(JobId("short"), (ZoneId("roof"),), "will be repainted", ASH)).accepted
        work(hand, "wipe")
        hand.wait(121)
        work(hand, "coat")
        work(hand, "level")
        (only,) = offered(hand)
        assert (only.title, only.detail) == ("All done", "The car may be handed over. Set aside: roof.")


def test_a_cold_car_is_warned_of_on_the_button_before_its_wipe_is_begun(short: HandBay):
    short.bay.request(ReadAir(20, 50, 8))
    (offer,) = offered(short)
    assert offer.title == "Begin: solvent wipe, bonnet"
    assert offer.detail.startswith("Not right for its coat yet. Warm the panel by 4.3 °C, or dry the air to 37 %.")
    assert isinstance(offer.action, Start)
    assert short.bay.request(offer.action).accepted, "it warns, and the person decides"


def test_before_a_wipe_a_reading_of_the_air_is_asked_for(short: HandBay):
    assert offered(short)[0].detail.startswith("Read the air first: its coat asks for that.")
    short.bay.request(ReadAir(20, 50))
    assert offered(short)[0].detail == "Free to begin."


def test_an_empty_bottle_is_named_where_it_alone_keeps_a_zone_from_going_on(tmp_path: Path):
    product = Product(name="hard-coat", title="Orrelin Hard Coat", coverage_ml_per_m2=10.0)
    job = small_job().model_dump()
    job["blocks"][0]["recipe"]["step"][1]["product"] = "hard-coat"
    job["products"] = {"hard-coat": product}
    with hand_bay(tmp_path / "bottle", cars=0) as hand:
        hand.bay.open_job(Job.model_validate(job), OPENING)
        assert hand.bay.request(ShelveBottle(product, 50.0, "A7")).accepted
        assert hand.bay.request(MeasureBottle(BottleId("bottle-1"), ml=0.0)).accepted
        work(hand, "wipe", 30)
        hand.wait(180)
        (offer, *_rest) = offered(hand)
        assert (offer.title, offer.action) == ("Another bottle is needed", None)
        assert "Orrelin Hard Coat" in offer.detail
        assert hand.bay.request(ShelveBottle(product, 50.0, "B2")).accepted
        assert hand.bay.request(ChooseBottle(BottleId("bottle-2"))).accepted
        assert offered(hand)[0].title == "Begin: coat, bonnet"


RIGHT_GLASS = tuple(ZoneId(f"glass-right-{place}") for place in ("front", "rear", "quarter"))


def of_glass(zones: tuple[ZoneId, ...], **more: Any) -> Recommendation:
    return Recommendation(Advice(CAR, zones, StepId("coat-1"), Urgency.CLOSING, None, OPENING), **more)


FREE, SLOW = timedelta(), timedelta(minutes=5)
LOSS = Loss(job=CAR, zone=ZoneId("bonnet"), step=StepId("coat-1"), lapses_at=OPENING)


@pytest.mark.parametrize(
    ("whole", "first"),
    [
        ({"cost": FREE}, "Begin: coat, right side glass (Ash)"),
        ({"cost": SLOW}, "Begin: coat, right front door glass and right quarter glass (Ash)"),
        ({"cost": None}, "Begin: coat, right front door glass and right quarter glass (Ash)"),
        ({"cost": FREE, "losses": (LOSS,)}, "Begin: coat, right front door glass and right quarter glass (Ash)"),
    ],
)
def test_a_whole_set_comes_before_the_part_that_the_plan_has_of_it_where_it_costs_nothing(
    hand: HandBay, whole: dict[str, Any], first: str
):
    part = of_glass((RIGHT_GLASS[0], RIGHT_GLASS[2]), planned=True)
    recommendations = [part, of_glass(RIGHT_GLASS, **whole)]
    seen = Viewpoint(ASH, hand.bay.now(), UTC, CAR)
    found = offers(hand.bay.state, hand.clocks(), recommendations, None, seen)
    assert found[0].title == first
    assert "Costs no time" not in found[0].detail
