"""What a ladder offers beside the next step: a cover, and to go on without the rest of a set."""

from datetime import UTC, timedelta

from bayapp.job import CloseSet, Cover, FinishStep, ReadAir, Start, Uncover, Undo
from bayapp.job.model.ids import StepId, ZoneId
from bayapp.job.state.requests import SendBack
from bayapp.pages.board.clock_column import tiles
from bayapp.pages.board.ladder import LadderView, ladder
from bayapp.pages.board.undo_last import last_touch
from bayapp.pages.viewpoint import Viewpoint
from tests.pages.bays import ASH, BO, CAR, HandBay

SCREEN = (ZoneId("windscreen"),)


def seen(hand: HandBay, zone: str = "windscreen") -> LadderView:
    return ladder(hand.bay, CAR, (ZoneId(zone),), None, Viewpoint(ASH, hand.bay.now(), UTC))


def titles(view: LadderView) -> list[str]:
    return [aid.title for aid in view.aids]


def accepted(hand: HandBay, request: object) -> None:
    verdict = hand.bay.request(request)  # type: ignore[arg-type]
    assert verdict.accepted, verdict.refusal


def coated(hand: HandBay) -> None:
    """The windscreen gets its last coat, before the side glass has its only one."""
    hand.go_to(hand.clock_of("windscreen").opens_at or hand.bay.now())
    accepted(hand, ReadAir(20.0, 50.0, 20.0))
    accepted(hand, Start(CAR, SCREEN, StepId("coat-3"), ASH))
    hand.wait(120)
    accepted(hand, FinishStep(CAR, SCREEN, StepId("coat-3"), ASH))


def test_a_cover_is_offered_over_a_fresh_coat_with_what_to_mind(hand: HandBay):
    view = seen(hand)
    (cover,) = view.aids
    assert (cover.title, cover.request, cover.refused) == ("Cover the coat", Cover(CAR, SCREEN, ASH), False)
    assert "clear of the wet coat" in view.covering
    assert "sheet comes first" in view.covering
    bare = seen(hand, "bonnet")
    assert (bare.aids, bare.covering) == ((), "")


def test_a_covered_coat_says_so_and_offers_to_take_it_off(hand: HandBay):
    accepted(hand, Cover(CAR, SCREEN, BO))
    view = seen(hand)
    (off,) = view.aids
    assert (off.title, off.detail, off.request) == ("Cover off", "covered 09:00 by Bo", Uncover(CAR, SCREEN, ASH))
    assert (view.subtitle, view.covering) == ("2 of 3 coats laid, covered since 09:00", "")
    (tile,) = [t for t in tiles(hand.bay.state, hand.clocks(), hand.bay.now()) if t.zones == SCREEN]
    assert tile.detail == "Coat in circles, covered"


def test_while_dust_flies_the_cover_stays_on_and_the_button_says_why(hand: HandBay):
    accepted(hand, FinishStep(CAR, (ZoneId("rim-rear-left"),), StepId("level"), BO))
    job = hand.bay.state.jobs[CAR]
    dusty = next(
        clock
        for clock in hand.clocks()
        if clock.step and not clock.running and job.job.recipe_of(clock.zone).named(clock.step).makes_dust
    )
    for clock in hand.clocks():
        if hand.bay.judge(Cover(CAR, (clock.zone,), BO)).accepted:
            accepted(hand, Cover(CAR, (clock.zone,), BO))
    assert dusty.step
    accepted(hand, Start(CAR, (dusty.zone,), dusty.step, BO))
    (off,) = seen(hand).aids
    assert off.refused
    assert off.detail.startswith("Dust is flying")


def test_by_itself_says_from_when_to_when_before_it_is_touched(hand: HandBay):
    coated(hand)
    view = seen(hand)
    assert titles(view) == ["Cover the coat", "Buff by itself"]
    alone, end = view.aids[1], hand.bay.now()
    opens, lapses = end + timedelta(minutes=15), end + timedelta(minutes=120)
    assert alone.detail == f"from {opens:%H:%M} to {lapses:%H:%M}"
    assert alone.request == CloseSet(CAR, SCREEN, ASH)
    hand.wait(121 * 60)
    assert seen(hand).aids[-1].detail == f"its latest moment was {lapses:%H:%M}"
    accepted(hand, Undo(CAR, SCREEN, ASH))


def test_before_any_coat_is_laid_by_itself_is_held_and_names_who_is_not_ready(hand: HandBay):
    """The cabin waits for the whole outside, as a polish waits for masking and a wipe for its taking off."""
    (alone,) = seen(hand, "cabin").aids
    assert (alone.title, alone.detail) == ("Hold 2 s: Clean by itself", "not ready: bonnet and 30 more")
    assert alone.hold
    coated(hand)
    assert [aid.hold for aid in seen(hand).aids] == [False, False]


def test_undo_takes_back_what_it_says_the_last_of_it_first(hand: HandBay):
    coated(hand)
    hand.wait(60)
    accepted(hand, Cover(CAR, SCREEN, ASH))
    hand.wait(60)
    accepted(hand, CloseSet(CAR, SCREEN, ASH))
    hand.wait(60)
    accepted(hand, SendBack(CAR, SCREEN, StepId("coat-1"), "a run in the coat", ASH))
    for words in ("sent back at", "by itself at", "covered at", "coat in circles at"):
        last = last_touch(hand.bay.state, ASH, UTC)
        assert last
        assert seen(hand).undo_text.startswith(words)
        assert last.request == Undo(CAR, SCREEN, ASH)
        accepted(hand, last.request)


def test_a_covers_undo_names_every_zone_of_its_touch(hand: HandBay):
    rims = tuple(c.zone for c in hand.clocks() if hand.bay.judge(Cover(CAR, (c.zone,), ASH)).accepted)
    assert len(rims) > 1
    accepted(hand, Cover(CAR, rims, ASH))
    last = last_touch(hand.bay.state, ASH, UTC)
    assert last
    assert set(last.request.zones) == set(rims)
    assert last.text.endswith(": covered at 09:00")
