"""Thin paint and paint unlike its neighbours are told on the ladder and on the button of whoever polishes."""

from collections.abc import Iterator
from datetime import UTC
from pathlib import Path

import pytest

from bayapp.job import FinishStep, Job, ReadThickness, Start, WithdrawThickness, WorkBlock
from bayapp.job.model.ids import JobId, StepId, ZoneId
from bayapp.job.model.recipe import Recipe
from bayapp.job.model.vehicle import VehicleForm, Zone
from bayapp.pages.board.ladder import LadderView, ladder
from bayapp.pages.board.next_step import Offer, offers
from bayapp.pages.viewpoint import Viewpoint
from tests.pages.bays import ASH, OPENING, HandBay, hand_bay

BONNET, WING, PAINT = ZoneId("bonnet"), ZoneId("wing"), JobId("paint")
THIN, REPAINTED = (
    "Thin: 72 µm. Polish with care, or not at all.",
    "Mean 240 µm, its neighbours 110 µm: likely repainted.",
)


def painted_job() -> Job:
    steps = [
        {"id": "wash", "kind": "decontaminate"},
        {"id": "polish", "kind": "polish"},
        {"id": "wipe", "kind": "wipe"},
    ]
    zones = (
        Zone(id="bonnet", name="bonnet", surface="paint", area_m2=1, neighbours=("wing",)),
        Zone(id="wing", name="wing", surface="paint", area_m2=1, neighbours=("bonnet",)),
    )
    form = VehicleForm(format="bayapp-vehicle/1", name="block", title="Block", drawing="block.svg", zone=zones)
    recipe = Recipe.model_validate({"name": "paint", "step": steps})
    return Job.model_validate(
        {
            "id": PAINT,
            "title": "Paint",
            "crew": ("Ash",),
            "start": OPENING,
            "vehicle": form,
            "blocks": [WorkBlock.model_validate({"zones": ("bonnet", "wing"), "recipe": recipe})],
            "products": {},
        }
    )


@pytest.fixture
def hand(tmp_path: Path) -> Iterator[HandBay]:
    with hand_bay(tmp_path / "paint", cars=0) as made:
        made.bay.open_job(painted_job(), OPENING)
        yield made


def measure(hand: HandBay, zone: ZoneId, *um: float) -> None:
    assert hand.bay.request(ReadThickness(PAINT, ((zone, um),), ASH)).accepted


def wash(hand: HandBay, *zones: ZoneId) -> None:
    assert hand.bay.request(FinishStep(PAINT, zones, StepId("wash"), ASH)).accepted


def seen(hand: HandBay, *zones: ZoneId) -> LadderView:
    return ladder(hand.bay, PAINT, zones, None, Viewpoint(ASH, hand.bay.now(), UTC))


def offered(hand: HandBay) -> Offer:
    at, now = hand.bay.now(), hand.clocks()
    return offers(hand.bay.state, now, *hand.bay.advice.for_person(now, ASH, at), Viewpoint(ASH, at, UTC, PAINT))[0]


def test_a_thin_zone_says_so_on_its_ladder_and_on_both_buttons_of_its_polish(hand: HandBay):
    measure(hand, BONNET, 104, 72, 110)
    wash(hand, BONNET)
    view = seen(hand, BONNET)
    assert view.button.action == Start(PAINT, (BONNET,), StepId("polish"), ASH)
    assert view.button.detail.startswith(THIN)
    assert view.caution.startswith(THIN)
    wash(hand, WING)
    assert hand.bay.request(Start(PAINT, (WING,), StepId("polish"), ASH)).accepted
    assert hand.bay.request(FinishStep(PAINT, (WING,), StepId("polish"), ASH)).accepted
    main = next(o for o in (offered(hand),) if isinstance(o.action, Start))
    assert main.action == Start(PAINT, (BONNET,), StepId("polish"), ASH)
    assert main.detail.startswith(THIN)


def test_a_zone_far_thicker_than_its_neighbours_is_likely_repainted(hand: HandBay):
    measure(hand, BONNET, 110)
    measure(hand, WING, 240)
    wash(hand, WING, BONNET)
    assert seen(hand, WING).button.detail.startswith(REPAINTED)
    thinner = seen(hand, BONNET).button.detail
    assert thinner.startswith("Mean 110 µm, its neighbours 240 µm: likely polished before, or they were repainted.")


def test_several_zones_by_one_touch_name_those_that_are_thin_or_likely_repainted(hand: HandBay):
    measure(hand, BONNET, 72)
    measure(hand, WING, 240)
    wash(hand, BONNET, WING)
    assert seen(hand, BONNET, WING).button.detail.startswith(
        "Thin, in µm: bonnet 72. Polish there with care, or not at all. Likely repainted, in µm: wing 240."
    )


def test_before_the_polish_and_of_sound_paint_nothing_is_said(hand: HandBay):
    measure(hand, BONNET, 72)
    assert "Thin" not in seen(hand, BONNET).button.detail + seen(hand, BONNET).caution
    wash(hand, BONNET)
    assert hand.bay.request(WithdrawThickness(PAINT, BONNET, None, ASH)).accepted
    measure(hand, BONNET, 104)
    assert "Thin" not in seen(hand, BONNET).button.detail + seen(hand, BONNET).caution


def test_while_it_is_polished_the_ladder_still_says_it(hand: HandBay):
    measure(hand, BONNET, 72)
    wash(hand, BONNET)
    assert hand.bay.request(Start(PAINT, (BONNET,), StepId("polish"), ASH)).accepted
    assert seen(hand, BONNET).caution.startswith(THIN)
