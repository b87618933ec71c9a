"""Random orders of boots, steps of the wall clock, answers and work, held against true time.

Whatever the machine's clock says, and whatever an honest person answers, no step is accepted before its wait has really
passed, and none after its window really has. What a person says who is honest but mistaken counts once it is put right.
"""

from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule, run_state_machine_as_test

from bayapp.bay import Bay
from bayapp.clock import EPOCH, HandReadings, from_wall, to_ms
from bayapp.job import fold, zone_clock
from bayapp.job.model.ids import JobId, StepId, ZoneId
from bayapp.job.state.requests import FinishStep, OpenJob, SayTime, SendBack, Start
from bayapp.record import open_journal
from tests.job.builders import job, recipe, step

BEGAN = datetime(2026, 11, 25, 8, 0, 0, 250_000, tzinfo=UTC)
MINUTE, DAY = timedelta(minutes=1), timedelta(days=1)
NONE = timedelta()
IN_MEMORY = Path("/dev/shm")  # the disk itself is not what is tried here
CAR = JobId("car")
ZONES = (ZoneId("roof"), ZoneId("bonnet"))
LEAST = {"coat-1": 60 * MINUTE, "coat-2": 30 * MINUTE, "level": 20 * MINUTE}
MOST = {"coat-1": 180 * MINUTE}
LADDER = recipe(
    step("wipe"),
    step("coat-1", wait={"min": 60, "max": 180, "lapse": "wipe"}),
    step("coat-2", wait={"min": 30}),
    step("level", wait={"min": 20, "of": "all"}),
    name="ladder",
)
OPEN_ENDED = recipe(
    step("wipe"),
    step("coat-1", wait={"min": 60}),
    step("coat-2", wait={"min": 30}),
    step("level", wait={"min": 20, "of": "all"}),
    name="open-ended",
)
ANSWERS = ("yes", "in a hurry", "time", "unknown")
spans = st.one_of(
    st.integers(0, 100 * 60_000).map(lambda ms: timedelta(milliseconds=ms)),
    st.sampled_from([20, 29, 40, 61, 170]).map(lambda minutes: minutes * MINUTE),
)
jumps = st.integers(-(10**7), 10**7).map(lambda ms: timedelta(milliseconds=ms))
BATTERIES = ("kept", "kept", "dead", "ten years on", "ten years back", "drifted")


class Boots(RuleBasedStateMachine):
    """A wall, its machine, and true time beside them.

    Attributes:
        true: how much time has really passed.
        ends: when each step of each zone really ended last.
        last_true: when the newest sign of life really was; ``asked_true``: when the outage that is asked about began.
        short, long: by how much answers to the minute can have made waits too short, and windows too long.
        lie: which outage somebody answered wrongly in a hurry, and how long it really was.
    """

    def __init__(self):
        super().__init__()
        self.folder = TemporaryDirectory(prefix="bayapp-boots-", dir=IN_MEMORY if IN_MEMORY.exists() else None)
        self.readings = HandReadings("boot-1", 5_000, to_ms(BEGAN - EPOCH))
        self.boots, self.true, self.last_true = 1, NONE, NONE
        self.asked_true: timedelta | None = None
        self.ends: dict[tuple[ZoneId, StepId], timedelta] = {}
        self.short = self.long = NONE
        self.lie: tuple[int, timedelta] | None = None
        self.open()
        assert self.bay.request(OpenJob(job((ZONES[:1], LADDER), (ZONES[1:], OPEN_ENDED)))).accepted
        for zone in ZONES:
            self.a_step(zone, lasts=NONE, too_soon=False)

    def open(self):
        self.journal = open_journal(Path(self.folder.name))
        self.bay = Bay.begun(self.journal, self.readings, UTC)

    def teardown(self):
        self.journal.close()
        self.folder.cleanup()

    @property
    def known(self):
        return self.bay.state.machine

    def sign(self):
        """The newest sign of life is of now."""
        self.last_true = self.true

    def pass_time(self, span):
        self.readings.pass_time(span)
        self.true += span

    def real_now(self):
        return BEGAN + self.true

    def missing(self):
        """Return how much more time really passed since the outage that is asked about than the board counted."""
        assert self.asked_true is not None
        return (self.true - self.asked_true) - (self.bay.now() - self.known.asked[0].since)

    # What happens to the machine.

    @rule(span=spans, watched=st.booleans())
    def time_passes(self, span, watched):
        self.pass_time(span)
        if watched:
            self.watch()

    def watch(self):
        self.bay.clock_watch.watch()
        self.sign()
        if not self.known.asked:
            self.asked_true = None

    @rule(by=jumps, watched=st.booleans())
    def somebody_sets_the_machine_s_clock(self, by, watched):
        self.readings.step_wall(by)
        self.readings.time_service = False
        if watched:
            self.watch()

    @rule(watched=st.booleans())
    def a_time_service_is_heard(self, watched):
        self.readings.wall_ms = to_ms(self.real_now() - EPOCH)
        self.readings.time_service = True
        if watched:
            self.watch()

    @rule()
    def the_program_alone_starts_again(self):
        self.journal.close()
        self.open()

    @rule(
        off=spans,
        battery=st.sampled_from(BATTERIES),
        drift=jumps,
        up=st.integers(1, 90_000),
        heard=st.booleans(),
        answer=st.sampled_from([None, *ANSWERS]),
    )
    def the_machine_is_off(self, off, battery, drift, up, heard, answer):
        self.journal.close()
        self.boots += 1
        self.readings.reboot(f"boot-{self.boots}", off)
        self.readings.time_service = False
        self.true += off
        if battery == "dead":
            self.readings.wall_ms = 60_000
        elif battery == "drifted":
            self.readings.step_wall(drift)
        elif battery != "kept":
            self.readings.step_wall(3652 * DAY * (1 if battery == "ten years on" else -1))
        self.pass_time(timedelta(milliseconds=up))
        if heard:
            self.a_time_service_is_heard(watched=False)
        was_asked = bool(self.known.asked)
        self.open()
        if self.known.asked and not was_asked:
            self.asked_true = self.last_true
        self.sign()
        if answer and self.known.asked:
            self.answered(answer)

    # What people answer.

    def say(self, said):
        accepted = self.bay.clock_watch.say(said).accepted
        if accepted:
            self.asked_true = None
            self.sign()
        return accepted

    @precondition(lambda self: self.known.asked)
    @rule(answer=st.sampled_from(ANSWERS))
    def answered(self, answer):
        """Answer honestly: to the minute, only where what it comes to is so to the minute; but in a hurry otherwise."""
        now, missing = self.bay.now(), self.missing()
        if answer == "unknown":
            assert self.say(SayTime("unknown"))
            return
        typed = self.real_now().replace(second=0, microsecond=0)
        ahead = (typed if answer == "time" else self.bay.clock_watch.by_machine()) - now
        true = abs(ahead - missing) < MINUTE
        said = SayTime("time" if answer == "time" else "machine", now + ahead)
        place, outage = self.known.outages.index(self.known.asked[0]), self.known.asked[0]
        hasty = answer == "in a hurry" and not true and self.lie is None and len(self.known.asked) == 1
        if (true or hasty) and ahead >= NONE and self.say(said):
            if hasty:
                self.lie = place, outage.until - outage.since + missing
            else:
                self.short += max(NONE, ahead - missing)
                self.long += max(NONE, missing - ahead)

    # What is put right later.

    @precondition(lambda self: not self.known.asked)
    @rule(how=st.sampled_from(["the hasty answer", "all along", "nobody knows why", "service"]))
    def put_right(self, how):
        now, typed, behind = self.bay.now(), self.real_now().replace(second=0, microsecond=0), self.known.behind
        if how == "the hasty answer" and self.lie:
            place, real = self.lie
            outage = self.known.outages[place]
            by = real - (outage.until - outage.since)
            if by == NONE or self.say(SayTime("time", now + by, outage.until)):
                self.lie = None
        elif how == "service":
            if behind and self.readings.time_service and behind == from_wall(self.readings.stamp()) - now:
                self.say(SayTime("service", now + behind))
        elif how != "the hasty answer" and abs(typed - now) > MINUTE:
            self.say(SayTime("time", typed, "all-along" if how == "all along" else None))

    # The work.

    @rule(zone=st.sampled_from(ZONES), lasts=st.sampled_from([None, NONE, 3 * MINUTE]), too_soon=st.booleans())
    def a_step(self, zone, lasts, too_soon):
        """End what is under way, begin what comes next when the board says that it may, or a bit sooner, and end it."""
        self.end(zone)
        clock = zone_clock(self.bay.state.jobs[CAR], zone, self.bay.now())
        if clock.step is None and self.known.asked:
            return
        if clock.step is None:
            assert self.bay.request(SendBack(CAR, (zone,), StepId("wipe"), "it is tried again")).accepted
            return
        if not self.known.asked and clock.opens_at and clock.opens_at > self.bay.now():
            self.pass_time(clock.opens_at - self.bay.now() - (MINUTE / 60_000 if too_soon else NONE))
        self.begin(zone, clock.step)
        if lasts is not None:
            self.pass_time(lasts)
            self.end(zone)

    @rule(zone=st.sampled_from(ZONES), place=st.integers(0, 3))
    def at_once(self, zone, place):
        self.end(zone)
        self.begin(zone, StepId(LADDER.step[place].id))

    def begin(self, zone, at_step):
        if not self.bay.request(Start(CAR, (zone,), at_step)).accepted:
            return
        self.sign()
        assert not self.known.asked, "work went on though nobody knew the time"
        if self.lie is None:
            self.waited(zone, at_step)

    def end(self, zone):
        running = self.bay.state.jobs[CAR].zones[zone].running
        if running and self.bay.request(FinishStep(CAR, (zone,), running.step)).accepted:
            self.sign()
            self.ends[zone, running.step] = self.true

    def waited(self, zone, at_step):
        """A step that is let begin has waited long enough in true time, and not too long."""
        if at_step in LEAST:
            really = self.true - self.counted_from(zone, at_step)
            assert really >= LEAST[at_step] - self.short, f"{at_step} was let begin after {really}"
            if zone == ZONES[0] and at_step in MOST:
                assert really <= MOST[at_step] + self.long, f"{at_step} was let begin after {really}"

    def counted_from(self, zone, at_step):
        """Return when that really ended which the wait for a step counts from."""
        before = StepId(LADDER.step[[s.id for s in LADDER.step].index(at_step) - 1].id)
        return max(self.ends[other, before] for other in (ZONES if at_step == "level" else (zone,)))

    @invariant()
    def no_clock_opens_before_its_wait_has_really_passed(self):
        if self.lie is not None:
            return
        now = self.bay.now()
        for clock in self.bay.clocks(now):
            if clock.step in LEAST and clock.opens_at and not clock.lapses:
                opens = self.true + (clock.opens_at - now) - self.counted_from(clock.zone, clock.step)
                assert opens >= LEAST[clock.step] - self.short, f"{clock.step} opens after {opens}"
            if clock.step in MOST and clock.lapses_at and not (clock.lapses or self.known.asked):
                lapses = self.true + (clock.lapses_at - now) - self.counted_from(clock.zone, clock.step)
                assert lapses <= MOST[clock.step] + self.long, f"{clock.step} lapses after {lapses}"

    @rule()
    def it_is_said_again_what_the_journal_holds(self):
        """What is shown is what a start would find."""
        if self.lie is None:
            again = open_journal(Path(self.folder.name), write=False)
            try:
                assert fold(again.read_open()).jobs == self.bay.state.jobs
            finally:
                again.close()


def play(examples, steps=40):
    settled = settings(
        max_examples=examples,
        stateful_step_count=steps,
        deadline=None,
        suppress_health_check=list(HealthCheck),
        print_blob=True,
    )
    run_state_machine_as_test(Boots, settings=settled)


def test_no_order_of_boots_steps_and_answers_makes_a_wait_shorter():
    play(8)


@pytest.mark.slow
def test_a_thousand_orders_of_boots_steps_and_answers():
    play(1_000)
