"""What is said of the machine's clock: a question about an outage, its answers, and what is put right later."""

from datetime import timedelta
from typing import Any

import pytest

from bayapp.job import clocks, fold
from bayapp.job.model.ids import Person
from bayapp.job.state.events import ClockStepped, ClockSynchronised, MachineStarted, OutageLength, Shift, TimePutRight
from bayapp.job.state.put_right import put_right
from bayapp.job.state.requests import ReportClockJump, ReportMachineStart, ReportSynchronised, SayTime
from tests.job.builders import Shop, at, finish, job, read_air, recipe, start, step, why

LADDER = recipe(
    step("wipe"),
    step("coat-1", wait={"min": 60, "max": 90, "lapse": "wipe"}),
    step("coat-2", wait={"min": 30}),
)
CAR = job((["roof"], LADDER))
NONE = timedelta()
MINUTE = timedelta(minutes=1)


def read(events: Any) -> Any:
    """Return the state of these entries, in the times that are known to be right."""
    return fold(put_right(events))


class Bench(Shop):
    """A shop that reads its entries anew when the time has been put right."""

    def must(self, request, minutes):
        verdict = super().must(request, minutes)
        if any(isinstance(event, TimePutRight) for event in verdict.events):
            self.state = read(self.events)
        return verdict

    def off(self, since, until, length="asked", on=1.0, synchronised=False):
        request = ReportMachineStart(at(since), on * MINUTE, NONE, length, synchronised)
        self.must(request, until)
        return self

    @property
    def known(self):
        return self.state.machine

    def opens(self):
        """When the next coat of the roof opens and lapses, in minutes."""
        clock = next(c for c in self.clocks(self.last()) if c.zone == "roof")
        return tuple(None if m is None else (m - at(0)) / MINUTE for m in (clock.opens_at, clock.lapses_at))

    def last(self):
        return (self.state.last_at - at(0)) / MINUTE

    def clocks(self, minutes):
        return clocks(self.state, at(minutes))


def wiped():
    """Wiped at 5; the first coat is right from 65 to 95. The machine went off at 10 and was on again for a minute."""
    bench = Bench(CAR)
    bench.work("roof", "wipe", 3, 5)
    return bench.off(10, 11)


def test_a_jump_within_a_boot_and_a_time_service_are_written_down():
    assert Shop().ask(ReportClockJump(60_000), 1).events == (ClockStepped(at=at(1), by_ms=60_000, settled=True),)
    assert Shop().ask(ReportSynchronised(at(9)), 1).events == (ClockSynchronised(at=at(1), utc=at(9)),)


def test_a_jump_leaves_an_open_question_open():
    bench = wiped()
    bench.must(ReportClockJump(60_000), 12)
    assert bench.known.asked


def test_while_it_is_asked_nothing_that_hangs_on_time_is_accepted():
    bench = wiped()
    assert bench.known.asked
    for request in (start("roof", "coat-1"), finish("roof", "wipe"), read_air()):
        assert why(bench.ask(request, 200)) == "time-unsure"


@pytest.mark.parametrize("answer", ["machine", "time", "service"])
def test_an_answer_says_how_long_the_machine_was_off_and_waits_have_run_on(answer):
    bench = wiped()
    bench.must(SayTime(answer, at(43)), 12)
    (outage,) = bench.known.outages
    assert (outage.since, outage.until) == (at(10), at(42))
    assert outage.length == ("measured" if answer == "service" else "told")
    assert bench.last() == 43
    assert bench.opens() == (65, 95)
    assert bench.ask(start("roof", "coat-1"), 65).accepted


def test_of_nobody_s_knowledge_no_time_has_passed_for_the_wait_and_all_for_the_window():
    bench = wiped()
    bench.must(SayTime("unknown"), 12)
    assert bench.known.outages[0].length == "unsure"
    assert why(bench.ask(start("roof", "coat-1"), 65)) == "lapsed"
    bench.work("roof", "wipe", 66, 67)
    assert bench.opens() == (127, 157)


def test_a_wait_without_a_latest_moment_goes_on_from_where_it_was():
    bench = Bench(CAR)
    bench.work("roof", "wipe", 0, 1)
    bench.work("roof", "coat-1", 61, 62)
    bench.off(70, 71)
    bench.must(SayTime("unknown"), 72)
    assert bench.opens() == (92, None)
    (clock,) = bench.clocks(72)
    assert clock.unsure
    assert why(bench.ask(start("roof", "coat-2"), 92 - 1 / 60_000)) == "early"
    assert bench.ask(start("roof", "coat-2"), 92).accepted


def test_a_reading_from_before_vouches_for_nothing_after_an_outage_of_unknown_length():
    strict = job((["roof"], recipe(step("wipe"), step("coat", wait={"min": 0}), air="refuse")))
    bench = Bench(strict)
    bench.must(read_air(20, 50, 20), 0)
    bench.work("roof", "wipe", 1, 2)
    assert bench.ask(start("roof", "coat"), 3).accepted
    bench.off(3, 4)
    bench.must(SayTime("unknown"), 5)
    assert why(bench.ask(start("roof", "coat"), 6)) == "old-reading"


def test_a_time_before_the_last_entry_is_refused_with_what_would_be_right():
    bench = wiped()
    refused = bench.ask(SayTime("time", at(7)), 12)
    assert why(refused) == "before-outage"
    assert refused.refusal.grounds.earliest == at(12)


def test_a_time_typed_to_the_minute_may_lie_up_to_a_minute_behind():
    bench = wiped()
    bench.must(SayTime("time", at(11.5)), 12)
    assert bench.known.outages[0].until == at(11), "the machine has been on for that long at least"


def test_two_starts_before_the_answer_are_answered_by_one():
    bench = wiped().off(12, 14, on=2)
    bench.must(SayTime("machine", at(50)), 15)
    assert [o.length for o in bench.known.outages] == ["told", "told"]
    assert [(o.since, o.until) for o in bench.known.outages] == [(at(10), at(46)), (at(47), at(49))]


def test_ten_years_that_were_taken_for_true_are_put_right_by_the_next_answer():
    years = 10 * 365 * 24 * 60
    bench = wiped()
    bench.must(SayTime("machine", at(years)), 12)
    bench.off(years + 1, years + 2)
    bench.must(SayTime("time", at(40)), years + 3)
    assert bench.last() == 40
    assert [o.length for o in bench.known.outages] == ["told", "unsure"], "of the second outage nobody knows the length"
    assert why(bench.ask(start("roof", "coat-1"), 95)) == "lapsed"


def test_a_hasty_answer_can_be_put_right_at_any_time_and_no_wait_stays_too_short():
    bench = wiped()
    bench.must(SayTime("machine", at(72)), 12)  # as if it had been off for an hour
    assert bench.ask(start("roof", "coat-1"), 73).accepted
    (outage,) = bench.known.outages
    bench.must(SayTime("time", at(43), wrong=outage.until), 73)  # it was half an hour
    assert bench.opens() == (65, 95)
    assert why(bench.ask(start("roof", "coat-1"), 64.9)) == "early"
    assert [event.at for event in bench.events if isinstance(event, MachineStarted)] == [at(11)], "as it was believed"


def test_an_outage_cannot_have_been_shorter_than_the_machine_has_been_on():
    bench = wiped()
    bench.must(SayTime("machine", at(72)), 12)
    (outage,) = bench.known.outages
    assert why(bench.ask(SayTime("time", at(12.9), wrong=outage.until), 73)) == "before-outage"
    assert bench.ask(SayTime("time", at(13), wrong=outage.until), 73).accepted
    assert why(bench.ask(SayTime("time", at(43), wrong=at(1)), 73)) == "nothing-to-settle"


def test_a_board_that_was_wrong_all_along_moves_with_every_wait():
    bench = wiped()
    bench.must(SayTime("machine", at(43)), 12)
    bench.must(SayTime("time", at(103), wrong="all-along"), 43)
    assert bench.opens() == (125, 155)


def test_time_that_is_missing_nobody_knows_why_is_counted_to_no_wait():
    bench = wiped()
    bench.must(SayTime("machine", at(43)), 12)
    bench.must(SayTime("time", at(60)), 43)
    assert bench.opens()[1] == 27, "its latest moment may have passed while the machine was off"
    assert why(bench.ask(start("roof", "coat-1"), 300)) == "lapsed"


def test_time_that_was_too_much_is_taken_from_the_outages_that_can_have_been_shorter_the_last_one_first():
    bench = Bench(CAR)
    bench.off(10, 11)
    bench.must(SayTime("machine", at(31)), 11)
    bench.off(40, 41)
    bench.must(SayTime("machine", at(51)), 41)
    bench.must(SayTime("time", at(36)), 51)
    assert [(o.until - o.since) / MINUTE for o in bench.known.outages] == [16, 1]
    assert {o.length for o in bench.known.outages} == {"unsure"}


def test_a_time_service_measures_afterwards_what_was_answered_wrongly():
    bench = Bench(CAR)
    bench.work("roof", "wipe", 3, 5)
    bench.must(ReportSynchronised(at(6)), 6)
    bench.off(10, 11)
    bench.must(SayTime("machine", at(71)), 11)
    bench.must(ReportSynchronised(at(42)), 72)
    assert bench.known.behind == -30 * MINUTE
    bench.must(SayTime("service", at(42)), 72)
    (outage,) = bench.known.outages
    assert (outage.until, outage.length) == (at(41), "measured")
    assert bench.known.behind == NONE
    assert bench.opens() == (65, 95)


def test_a_time_service_that_was_never_heard_before_shortens_no_wait():
    bench = wiped()
    bench.must(SayTime("machine", at(43)), 12)
    bench.must(ReportSynchronised(at(50)), 44)
    bench.must(SayTime("service", at(50)), 44)
    assert bench.known.behind == NONE
    assert bench.last() == 50
    assert why(bench.ask(start("roof", "coat-1"), 71)) == "lapsed", "nobody knows whether the outage was longer"


def test_what_nobody_asks_cannot_be_answered():
    for said in (SayTime("unknown"), SayTime("time", at(3))):
        assert why(Bench(CAR).ask(said, 3)) == "nothing-to-settle"
    assert why(Bench(CAR).ask(SayTime("time", at(7_973 * 365.2425 * 24 * 60)), 3)) == "beyond-calendar"


def test_the_entry_says_what_was_moved_and_how_sure_it_is():
    bench = wiped()
    (event,) = bench.must(SayTime("machine", at(43), by=Person("Ash")), 12).events
    assert event == TimePutRight(
        at=at(43),
        by=Person("Ash"),
        answer="machine",
        shifts=(Shift(since=at(11), by_ms=31 * 60_000),),
        outages=(OutageLength(until=at(42), length="told"),),
    )


def test_a_question_of_an_older_journal_is_still_asked_and_can_be_answered():
    bench = Bench(CAR)
    bench.work("roof", "wipe", 3, 5)
    bench.events.append(ClockStepped(at=at(6), by_ms=-90_000))
    bench.state = fold(bench.events)
    assert bench.known.asked
    settled = fold([*bench.events, ClockStepped(at=at(7), by_ms=-90_000, settled=True)])
    assert not settled.machine.asked
    bench.must(SayTime("time", at(30)), 8)
    assert not bench.known.asked
    assert bench.opens() == (65, 95)
