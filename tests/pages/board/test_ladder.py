"""A zone's or a set's ladder: what is done, what runs, what may come next, and why not."""

from datetime import UTC, timedelta

import pytest

from bayapp.job import CorrectAir, FinishStep, ReadAir, SetAside, Start, TakeUp, Undo, WriteNote
from bayapp.job.model.ids import Person, StepId, Urgency, ZoneId
from bayapp.pages.board.ladder import LadderView, RungState, ladder
from bayapp.pages.viewpoint import Viewpoint
from tests.pages.bays import ASH, BO, CAR, OPENING, HandBay
from tests.pages.orders import order_of, planned

RIM = ("rim-rear-right",)


def seen(hand: HandBay, *zones: str, chosen: str | None = None, by: Person | None = ASH) -> LadderView:
    wanted = tuple(ZoneId(z) for z in zones)
    return ladder(hand.bay, CAR, wanted, StepId(chosen) if chosen else None, Viewpoint(by, hand.bay.now(), UTC))


def states(view: LadderView) -> dict[str, RungState]:
    return {r.step: r.state for r in view.rungs}


def start(hand: HandBay, step: str, *zones: str, by: Person = ASH) -> None:
    verdict = hand.bay.request(Start(CAR, tuple(ZoneId(z) for z in zones), StepId(step), by))
    assert verdict.accepted, verdict.refusals


def take_back(hand: HandBay, zone: str, *leave: str) -> None:
    for _ in range(30):
        state = hand.bay.state.jobs[CAR].zones[ZoneId(zone)]
        if tuple(r.step for r in state.rungs) == leave and not state.running:
            return
        assert hand.bay.request(Undo(CAR, (ZoneId(zone),), ASH)).accepted
    pytest.fail("undo never got there")


# Rungs.


def test_rungs_are_done_next_and_later_with_who_and_when(hand: HandBay):
    view = seen(hand, "windscreen")
    assert states(view) == {
        "decontaminate": RungState.DONE,
        "polish": RungState.DONE,
        "wipe": RungState.DONE,
        "coat-1": RungState.DONE,
        "coat-2": RungState.DONE,
        "coat-3": RungState.NEXT,
        "buff": RungState.LATER,
        "glass-clean": RungState.LATER,
    }
    done = view.rungs[0]
    assert (done.detail, done.time) == ("Ash", "05:46")
    assert (view.title, view.subtitle) == ("Windscreen", "2 of 3 coats laid")


def test_a_deviated_rung_is_marked(hand: HandBay):
    assert [r.step for r in seen(hand, "windscreen").rungs if r.deviated] == ["coat-2"]


def test_rungs_say_what_they_wait_for(hand: HandBay):
    details = {str(r.step): r.detail for r in seen(hand, "windscreen").rungs}
    assert details["coat-3"] == "5 min to 60 min later"
    assert details["buff"] == "15 min to 2 h later"


def test_a_step_under_way_says_since_when(hand: HandBay):
    start(hand, "level", *RIM)
    (running,) = [r for r in seen(hand, *RIM).rungs if r.state is RungState.RUNNING]
    assert (running.step, running.detail, running.time) == ("level", "under way", "09:00")


def test_after_a_missed_moment_the_ladder_has_stepped_back(hand: HandBay):
    hand.wait(41)
    view = seen(hand, *RIM)
    assert states(view)["polish"] is RungState.NEXT
    assert states(view)["coat"] is RungState.LATER
    (again,) = [r for r in view.rungs if r.step == "polish"]
    assert again.detail == "again: its moment was missed"
    assert (view.label, view.digits, view.urgency) == ("late by", "+0:01", Urgency.LAPSED)


def test_a_finished_zone_says_until_when_it_must_stay_dry(hand: HandBay):
    view = seen(hand, "tips")
    keeps = "Done. Keep dry until 2 Mar 20:08. Fully cured 9 Mar: no wash before."
    assert view.subtitle == f"No dust until 09:08. {keeps}"
    hand.wait(8 * 60 + 30)
    assert seen(hand, "tips").subtitle == keeps
    assert (view.button.action, view.button.title) == (None, "All done")
    assert {r.state for r in view.rungs} == {RungState.DONE}


# The large button.


def test_begin_and_done_are_one_button(hand: HandBay):
    before = seen(hand, *RIM).button
    assert before.action == Start(CAR, (ZoneId(RIM[0]),), StepId("level"), ASH)
    assert (before.title, before.detail, before.refused) == (
        "Begin: excess off, first towel (Ash)",
        "Closes in 0:40.",
        False,
    )
    start(hand, "level", *RIM)
    hand.wait(15)
    after = seen(hand, *RIM).button
    assert after.action == FinishStep(CAR, (ZoneId(RIM[0]),), StepId("level"), ASH)
    assert (after.title, after.detail) == ("Done: excess off, first towel", "Begun 0:15 ago by Ash.")


def test_too_early_says_why_and_from_when_to_the_second_and_to_the_millisecond(hand: HandBay):
    button = seen(hand, "windscreen").button
    assert button.refused
    assert button.title == "Not yet: coat in circles"
    assert "09:01:10" in button.detail
    assert button.deviation
    hand.wait(69.999)
    assert seen(hand, "windscreen").button.refused
    hand.wait(0.001)
    assert not seen(hand, "windscreen").button.refused


@pytest.mark.parametrize("zone", ["windscreen", "rim-rear-right", "bonnet", "sill-left", "tips", "glass-left-front"])
def test_the_button_says_what_the_gate_says(hand: HandBay, zone: str):
    for after_s in (0, 41, 71, 600):
        hand.wait(after_s)
        button = seen(hand, zone).button
        if button.action:
            assert hand.bay.judge(button.action).accepted is not button.refused


def test_a_person_who_is_busy_elsewhere_cannot_begin(hand: HandBay):
    button = seen(hand, "glass-right-front", by=BO).button
    assert button.refused
    assert "Bo" in button.detail


def test_an_unsettled_clock_cannot_be_overridden(hand: HandBay):
    hand.doubt_the_time()
    button = seen(hand, *RIM).button
    assert button.refused
    assert button.deviation is None


# Sets.


def test_zones_in_step_are_offered_together_and_others_are_not(hand: HandBay):
    groups = {g.title: g.zones for g in seen(hand, "glass-right-front").groups}
    assert len(groups["right side glass"]) == 3
    rims = seen(hand, *RIM).groups
    assert [g.zones for g in rims] == [RIM], "the four rims stand at different steps"
    start(hand, "coat-1", "glass-right-front")
    assert len(seen(hand, "glass-right-rear").groups[-1].zones) == 2


def test_the_group_that_is_open_is_marked(hand: HandBay):
    zones = seen(hand, "glass-right-front").groups[-1].zones
    view = seen(hand, *zones)
    assert [g.zones for g in view.groups if g.chosen] == [zones]
    assert view.title == "Right side glass"
    assert view.button.action == Start(CAR, zones, StepId("coat-1"), ASH)


# Layers in any order.


def test_layers_that_may_swap_are_choices_and_the_choice_is_what_the_button_asks_for(hand: HandBay):
    take_back(hand, "windscreen", "decontaminate", "polish", "wipe")
    view = seen(hand, "windscreen")
    assert [(c.step, c.title, c.chosen) for c in view.choices] == [
        ("coat-1", "up and down", True),
        ("coat-2", "across", False),
        ("coat-3", "in circles", False),
    ]
    second = seen(hand, "windscreen", chosen="coat-3")
    assert [c.step for c in second.choices if c.chosen] == ["coat-3"]
    assert isinstance(second.button.action, Start)
    assert second.button.action.step == "coat-3"


def test_laid_in_another_order_the_ladder_shows_what_lies_there(hand: HandBay):
    take_back(hand, "windscreen", "decontaminate", "polish", "wipe")
    where = (CAR, (ZoneId("windscreen"),), StepId("coat-3"), ASH)
    assert hand.bay.request(Start(*where, deviation="agreed")).accepted
    assert hand.bay.request(FinishStep(*where)).accepted
    view = seen(hand, "windscreen")
    assert states(view)["coat-3"] is RungState.DONE
    assert [c.step for c in view.choices] == ["coat-1", "coat-2"]
    assert hand.clock_of("windscreen").layers == ("circular",)


def test_where_one_step_is_left_there_is_no_choice(hand: HandBay):
    assert seen(hand, "windscreen").choices == ()
    assert seen(hand, "windscreen", chosen="polish").button.title.endswith("coat in circles")


# Undo, notes, cautions.


def test_undo_says_what_it_takes_back_and_when_that_was(hand: HandBay):
    view = seen(hand, "windscreen")
    assert view.undo == Undo(CAR, (ZoneId("windscreen"),), ASH)
    assert view.undo_text == "coat across at 08:56"
    start(hand, "level", *RIM)
    assert seen(hand, *RIM).undo_text == "excess off, first towel at 09:00"


def test_an_untouched_zone_has_nothing_to_undo(hand: HandBay):
    view = seen(hand, "sill-left")
    assert (view.undo, view.undo_text) == (None, "")


def test_the_two_latest_notes_of_the_zone_stand_on_its_ladder(hand: HandBay):
    for n, text in enumerate(("first", "second", "third")):
        hand.bay.request(WriteNote(CAR, text, (ZoneId("roof"),), ASH), OPENING + timedelta(minutes=n))
    hand.bay.request(WriteNote(CAR, "elsewhere", (ZoneId("bonnet"),), ASH), OPENING + timedelta(minutes=3))
    assert seen(hand, "roof").notes == ("09:01  second", "09:02  third")


def test_coating_shows_the_products_cautions_with_the_safety_sheet_first(hand: HandBay):
    caution = seen(hand, "windscreen").caution
    assert caution.index("safety sheet") < caution.index("flame")
    assert "vapour" in caution.lower()


def test_earliest_and_latest_are_times_of_day(hand: HandBay):
    view = seen(hand, "windscreen")
    assert (view.earliest, view.latest) == ("earliest 09:01:10", "latest 09:56:10")
    assert view.track


# Set aside.


def set_aside(hand: HandBay, *zones: str, reason: str = "not ordered") -> None:
    assert hand.bay.request(SetAside(CAR, tuple(ZoneId(z) for z in zones), reason, ASH)).accepted


def test_a_zone_that_waits_for_work_may_be_set_aside_and_one_at_work_or_done_may_not(hand: HandBay):
    assert seen(hand, "windscreen").may_set_aside
    start(hand, "level", *RIM)
    assert not seen(hand, *RIM).may_set_aside
    assert not seen(hand, "tips").may_set_aside


def test_the_ladder_of_a_zone_set_aside_says_why_and_offers_to_take_it_up_and_nothing_else(hand: HandBay):
    set_aside(hand, "windscreen")
    view = seen(hand, "windscreen")
    assert view.subtitle == "Set aside: not ordered."
    assert (view.label, view.digits, view.track, view.how, view.caution) == ("set aside", "", None, "", "")
    assert RungState.NEXT not in states(view).values()
    assert view.button.action == TakeUp(CAR, (ZoneId("windscreen"),), ASH)
    assert (view.button.title, view.button.refused, view.button.restful) == ("Take up again", False, True)
    assert (view.undo, view.may_set_aside) == (None, False)
    assert hand.bay.request(view.button.action).accepted
    assert seen(hand, "windscreen").button.title == "Not yet: coat in circles"


def test_a_wipe_that_dust_came_over_is_done_again_and_the_ladder_says_why(hand: HandBay):
    dust = Start(CAR, (ZoneId("wing-left"),), StepId("polish"), ASH, "No other place to polish it.")
    assert hand.bay.request(dust).accepted
    view = seen(hand, "bonnet")
    assert states(view)["wipe"] is RungState.NEXT
    assert view.subtitle == "Dust or water came over it at 09:00. So it is wiped again."
    (again,) = [r for r in view.rungs if r.step == "wipe"]
    assert again.detail == "again: dust or water came over it"


def test_a_missed_moment_is_named_with_when_it_was_due_and_what_it_costs(hand: HandBay):
    hand.wait(41)
    view = seen(hand, *RIM)
    assert view.subtitle == "Excess off, first towel was due by 09:00. So it is again: polish by hand."


def test_zones_set_aside_and_zones_that_are_not_share_no_touch(hand: HandBay):
    set_aside(hand, "door-left-front", "door-left-rear")
    doors = ("door-left-front", "door-left-rear", "door-right-front")
    assert seen(hand, *doors).zones == ("door-right-front",)
    assert set(seen(hand, *doors[:2]).zones) == set(doors[:2])
    assert isinstance(seen(hand, *doors[:2]).button.action, TakeUp)


def test_who_is_not_of_the_crew_cannot_take_it_up_and_is_told(hand: HandBay):
    set_aside(hand, "windscreen")
    button = seen(hand, "windscreen", by=Person("Cy")).button
    assert (button.title, button.refused, button.deviation) == ("Not yet: Take up again", True, None)
    assert "'Cy' is not in this job's crew" in button.detail


def test_before_the_wipe_of_a_cold_panel_the_button_says_in_few_words_what_to_do(hand: HandBay):
    hand.bay.request(ReadAir(20, 50, 8))
    button = seen(hand, "rear-screen").button
    assert not button.refused
    assert button.detail.startswith("Not right for its coat yet. Warm the panel by 4.3 °C, or dry the air to 37 %.")


def test_a_coat_on_a_reading_that_was_put_right_is_marked_on_its_ladder_with_both_values(hand: HandBay):
    assert seen(hand, "windscreen").notes == ()
    read = next(run.laid_on for run in hand.bay.state.jobs[CAR].zones[ZoneId("windscreen")].rungs if run.laid_on)
    corrected = CorrectAir(read.at, ReadAir(read.air_c, read.rh_percent, 9.0), read.source)
    assert hand.bay.request(corrected).accepted
    (note, *_) = seen(hand, "windscreen").notes
    assert "laid on a reading" in note
    assert "surface 9.0 °C, not right for it." in note
    details = [rung.detail for rung in seen(hand, "windscreen").rungs]
    assert [detail for detail in details if detail.endswith("air 19 °C 49 %, now 9 °C 49 %")], details


def test_a_step_that_only_the_plan_holds_back_says_for_what_it_waits(hand: HandBay):
    rim = planned("rim-rear-right", "level", OPENING, 3, "Ash", touch=1, lapses_at=OPENING + timedelta(seconds=40))
    screen = planned("rear-screen", "wipe", rim.end, 2, "Ash", touch=2)
    coat = planned("windscreen", "coat-3", screen.end, 2, "Ash", touch=3)
    hand.bay.advice.take_order(order_of(OPENING, rim, screen, coat, entry=hand.bay.state.last_at))
    waits = "Planned for 09:03, after rear right rim: excess off, first towel, by 09:00."
    assert seen(hand, "rear-screen").planned == waits
    assert seen(hand, "rear-screen", by=None).planned == waits.replace("09:03,", "09:03 (Ash),")
    assert not seen(hand, "rim-rear-right").planned, "it is next"
    assert not seen(hand, "windscreen").planned, "its own wait runs, and the button says so"
    assert not seen(hand, "bonnet").planned, "the plan has nothing for it"
