"""Plays random taps, air and time against the gate and against a plain model, and compares every answer."""

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from bayapp.job import advise, clocks, fold, handover_at
from tests.job.builders import (
    Shop,
    at,
    close_set,
    cover,
    finish,
    job,
    read_air,
    recipe,
    set_aside,
    start,
    step,
    take_up,
    uncover,
    undo,
)
from tests.job.plain_model import LADDERS, MINUTE, Model

PANEL = recipe(
    step("polish"),
    step("wipe"),
    step("coat-1", wait={"max": 3, "lapse": "wipe"}),
    step("coat-2", wait={"min": 1, "max": 4, "lapse": "repeat"}),
    step("level", wait={"of": "block", "min": 0.5, "max": 3, "lapse": "polish"}),
    name="panel",
    finish={"keep_dry_hours": 0.1},
)
RIM = recipe(
    step("decontaminate"),
    step("coat", wait={"min": 0.25}),
    step("buff", wait={"min": 1, "max": 2, "max_from": "start"}),
    name="rim",
    air="refuse",
    finish={"keep_dry_hours": 0.1, "dust_free_minutes": 2},
)
ZONES = st.sampled_from([("roof",), ("bonnet",), ("left-rim",), ("roof", "bonnet")])
STEPS = st.sampled_from([s["name"] for ladder in ("roof", "left-rim") for s in LADDERS[ladder]])
PEOPLE = st.sampled_from(["Ash", "Bo"])


class Taps(RuleBasedStateMachine):
    def __init__(self):
        super().__init__()
        self.shop = Shop(job((["roof", "bonnet"], PANEL), (["left-rim"], RIM)))
        self.model = Model()
        self.now = 0
        self.accepted = len(self.shop.events)

    def minutes(self):
        return self.now / MINUTE

    def due(self, zones, fallen=True):
        """The step under way on the first of the zones, else the next one, or what was next until it lapsed."""
        zone, ladder = self.model.zones[zones[0]], LADDERS[zones[0]]
        rungs = self.model.fall(zones[0], self.now)[0] if fallen else zone.rungs
        place = zone.busy[0] if zone.busy else (rungs[-1][0] + 1 if rungs else 0)
        return ladder[min(place, len(ladder) - 1)]["name"]

    def compare(self, request, expected):
        verdict = self.shop.do(request, self.minutes())
        assert {refusal.code.value for refusal in verdict.refusals} == expected
        assert verdict.accepted == (not expected)
        self.accepted += len(verdict.events)

    @initialize(read=st.booleans())
    def morning(self, read):
        if read:
            self.read_air(True)

    @rule(ahead=st.integers(0, 5 * MINUTE), air=st.sampled_from([None, None, None, True, True, False]))
    def time_passes(self, ahead, air):
        self.now += ahead
        if air is not None:
            self.read_air(air)

    @rule(data=st.data())
    @precondition(lambda self: self.model.edges(self.now))
    def time_comes_to_an_edge(self, data):
        self.now = data.draw(st.sampled_from(self.model.edges(self.now)[:9]))

    @rule(zones=ZONES, who=PEOPLE, fallen=st.booleans(), reason=st.booleans())
    def what_is_due_is_begun(self, zones, who, fallen, reason):
        name = self.due(zones, fallen)
        expected = self.model.start(zones, name, who, self.now, reason)
        self.compare(start(" ".join(zones), name, who, reason="Told to" if reason else None), expected)

    @rule(zones=ZONES, who=PEOPLE)
    def what_is_due_is_finished(self, zones, who):
        name = self.due(zones)
        expected = self.model.finish(zones, name, who, self.now, reason=False)
        self.compare(finish(" ".join(zones), name, who), expected)

    @rule(zones=ZONES, who=PEOPLE, steps=st.integers(1, 4), slow=st.integers(0, MINUTE // 4))
    def zones_climb_as_soon_as_they_may(self, zones, who, steps, slow):
        for _ in range(steps):
            if not any(self.model.zones[zone].busy for zone in zones):
                name = self.due(zones)
                windows = [self.model.window(z, self.model.place(z, name)) for z in zones]
                self.now = max([self.now, *(w[0] for w in windows if isinstance(w, tuple))])
                self.what_is_due_is_begun(zones, who, True, False)
            self.now += slow
            self.what_is_due_is_finished(zones, who)

    @rule(who=PEOPLE, ahead=st.integers(0, 3 * MINUTE))
    def a_missed_buff_is_worked_again(self, who, ahead):
        self.zones_climb_as_soon_as_they_may(("left-rim",), who, 2, 0)
        self.now += ahead
        expected = self.model.start(("left-rim",), "decontaminate", who, self.now, False)
        self.compare(start("left-rim", "decontaminate", who), expected)

    @rule(zones=ZONES, name=STEPS, who=PEOPLE, reason=st.booleans(), end=st.booleans())
    def anything_is_asked_for(self, zones, name, who, reason, end):
        ask, answer = (finish, self.model.finish) if end else (start, self.model.start)
        expected = answer(zones, name, who, self.now, reason)
        self.compare(ask(" ".join(zones), name, who, reason="Told to" if reason else None), expected)

    @rule(zones=ZONES)
    def something_is_undone(self, zones):
        self.compare(undo(" ".join(zones)), self.model.undo(zones, self.now))

    @rule(zones=ZONES, then=st.sampled_from([None, "uncover", "undo"]))
    def coats_are_covered(self, zones, then):
        self.compare(cover(" ".join(zones)), self.model.cover(zones, self.now))
        if then == "uncover":
            self.covers_are_taken_off(zones)
        elif then == "undo":
            self.something_is_undone(zones)

    @rule(zones=ZONES)
    def covers_are_taken_off(self, zones):
        self.compare(uncover(" ".join(zones)), self.model.uncover(zones, self.now))

    @rule(zones=ZONES)
    def zones_go_on_by_themselves(self, zones):
        self.compare(close_set(" ".join(zones)), self.model.close_set(zones, self.now))

    @rule(zone=st.sampled_from(["roof", "bonnet"]), who=PEOPLE, cover_it=st.booleans())
    def one_panel_gets_ahead_of_the_other(self, zone, who, cover_it):
        self.zones_climb_as_soon_as_they_may((zone,), who, 4, 0)
        if cover_it:
            self.coats_are_covered((zone,), None)
        self.zones_go_on_by_themselves((zone,))
        self.zones_climb_as_soon_as_they_may((zone,), who, 1, 0)

    @rule(zones=ZONES)
    def zones_are_set_aside(self, zones):
        self.compare(set_aside(" ".join(zones)), self.model.set_aside(zones))

    @rule(data=st.data())
    @precondition(lambda self: self.model.away)
    def what_was_set_aside_is_taken_up(self, data):
        zones = data.draw(st.sampled_from([(zone,) for zone in self.model.away] + [tuple(self.model.away)]))
        self.compare(take_up(" ".join(zones)), self.model.take_up(zones))

    @rule(away=ZONES, zones=ZONES, who=PEOPLE, steps=st.integers(1, 5), back=st.booleans())
    def zones_climb_while_others_are_set_aside(self, away, zones, who, steps, back):
        self.zones_are_set_aside(away)
        self.zones_climb_as_soon_as_they_may(zones, who, steps, 0)
        if back:
            self.anything_is_taken_up(away)

    @rule(zones=ZONES)
    def anything_is_taken_up(self, zones):
        self.compare(take_up(" ".join(zones)), self.model.take_up(zones))

    def read_air(self, fit):
        self.model.air = (self.now, fit)
        self.compare(read_air(20, 50 if fit else 95), set())

    @rule(zones=ZONES)
    @precondition(lambda self: self.shop.state.last_at > self.shop.events[0].at)
    def a_tap_from_before_the_last_entry_changes_nothing(self, zones):
        last = (self.shop.state.last_at - self.shop.events[0].at).total_seconds() * 1000
        refused = self.shop.do(start(" ".join(zones), self.due(zones), reason="Told to"), (round(last) - 1) / MINUTE)
        assert [refusal.code.value for refusal in refused.refusals] == ["clock"]

    @invariant()
    def the_zones_stand_as_in_the_model(self):
        for name, zone in self.shop.state.jobs["car"].zones.items():
            plain, names = self.model.zones[name], [s["name"] for s in LADDERS[name]]
            assert [run.step for run in zone.runs] == [names[run[0]] for run in plain.runs]
            assert [run.step for run in zone.rungs] == [names[rung[0]] for rung in plain.rungs]
            assert (zone.running.step if zone.running else None) == (names[plain.busy[0]] if plain.busy else None)
            assert [lapse.step for lapse in zone.lapses] == [names[place] for place, _ in plain.costs]

    @invariant()
    def replay_equals_the_live_state_and_nothing_accepted_is_lost(self):
        assert len(self.shop.events) == self.accepted
        assert fold(self.shop.events) == self.shop.state

    @invariant()
    def what_is_set_aside_stands_still_and_handover_is_as_in_the_model(self):
        car = self.shop.state.jobs["car"]
        assert dict(car.aside) == dict.fromkeys(self.model.away, "not ordered")
        assert not any(car.zones[zone].running for zone in car.aside)
        now = clocks(self.shop.state, at(self.minutes()))
        for clock in now:
            assert bool(clock.aside) == (clock.zone in car.aside)
            if clock.aside:
                assert (clock.urgency.value, clock.opens_at, clock.lapses_at) == ("idle", None, None)
        offered = {zone for a in advise(self.shop.state, now, None, at(self.minutes())) for zone in a.zones}
        assert not offered & car.aside.keys()
        moment = self.model.handover()
        assert handover_at(car) == (None if moment is None else at(moment / MINUTE))

    @invariant()
    def nobody_works_two_touches_at_once_but_by_a_deviation(self):
        zones = self.shop.state.jobs["car"].zones.items()
        running = [(zone.running, name) for name, zone in zones if zone.running]
        for person in ("Ash", "Bo"):
            touches = {r.touch or zone for r, zone in running if r.by == person and not r.deviation}
            assert len(touches) <= 1

    @invariant()
    def no_step_was_begun_while_its_wait_held_but_by_a_deviation(self):
        for name, zone in self.shop.state.jobs["car"].zones.items():
            ladder = {"left-rim": RIM}.get(name, PANEL)
            for number, run in enumerate(zone.runs):
                wait = ladder.named(run.step).wait
                if wait is None or run.deviation or wait.of:
                    continue
                before = ladder.step[ladder.position(run.step) - 1].id
                anchor = next(r for r in reversed(zone.runs[:number]) if r.step == before)
                assert run.started_at - anchor.finished_at >= wait.earliest
                if wait.latest is not None:
                    since = anchor.started_at if wait.max_from == "start" else anchor.finished_at
                    assert run.started_at - since <= wait.latest


TestTaps = Taps.TestCase
TestTaps.settings = settings(max_examples=80, stateful_step_count=60, deadline=None)
