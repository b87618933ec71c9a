"""Events to text and back, and retired versions brought up to today's."""

import gc
import json

import pytest

from bayapp.job.state.events import StepFinished, StepStarted
from bayapp.record import StoreProblem, open_journal
from bayapp.record.bodies import UnreadableBody, from_bodies, name_of, names_of, to_body, upcast
from tests.record.samples import STAMP, bare, chain_anew, finished, one_of_each, opened, started


def from_0_to_half(body):
    """In the oldest version the zone was called panel."""
    return {**body, "event": "step-started/0.5", "zone": body["panel"]} | {"panel": None}


def from_half_to_1(body):
    return {key: value for key, value in body.items() if key != "panel"} | {"event": "step-started/1"}


UPCASTS = {"step-started/0": from_0_to_half, "step-started/0.5": from_half_to_1}


def old_body() -> str:
    body = json.loads(to_body(started()))
    body["panel"] = body.pop("zone")
    return json.dumps({**body, "event": "step-started/0"})


def test_bodies_come_back_as_the_events_that_they_were():
    assert from_bodies([to_body(e) for e in one_of_each()]) == one_of_each()


def test_an_old_body_climbs_step_by_step_to_today():
    assert from_bodies([to_body(finished()), old_body()], UPCASTS) == [finished(), started()]
    assert upcast(to_body(finished()), UPCASTS) == to_body(finished())


def test_a_journal_reads_old_entries_and_leaves_them_as_they_were_written(tmp_path):
    journal = open_journal(tmp_path, upcasts=UPCASTS)
    journal.append((opened("car"), started()), STAMP)
    with bare(tmp_path) as other:
        other.execute("UPDATE journal SET name = 'step-started/0', body = ? WHERE seq = 2", (old_body(),))
        chain_anew(other)
        assert journal.read() == [opened("car"), started()]
        assert other.execute("SELECT body FROM journal WHERE seq = 2").fetchone() == (old_body(),)
    journal.close()


def test_an_event_of_a_newer_program_is_refused_and_named(tmp_path):
    journal = open_journal(tmp_path)
    journal.append((opened("car"), started()), STAMP)
    with bare(tmp_path) as other:
        other.execute("UPDATE journal SET body = replace(body, 'step-started/1', 'step-started/7') WHERE seq = 2")
        chain_anew(other)
    with pytest.raises(StoreProblem, match=r"newer bayapp wrote entry 2: .*step-started/7"):
        journal.read()
    journal.close()


def test_retired_names_count_as_the_events_that_they_became():
    assert names_of([StepStarted], UPCASTS) == ["step-started/1", "step-started/0", "step-started/0.5"]
    assert names_of([StepStarted, StepFinished], {}) == ["step-started/1", "step-finished/1"]
    assert name_of(started()) == "step-started/1"


@pytest.mark.parametrize("bad", ["", "{}", "null", '{"event":"step-started/1"}', "{},{}"])
def test_a_body_that_is_no_event_is_found_by_its_place(bad):
    with pytest.raises(UnreadableBody) as unreadable:
        from_bodies([to_body(started()), bad, to_body(started())])
    assert unreadable.value.place == 1


def test_two_events_in_one_body_are_not_taken_for_two_entries():
    with pytest.raises(UnreadableBody):
        from_bodies([f"{to_body(started())},{to_body(finished())}"])


def test_the_collector_runs_again_after_reading():
    from_bodies([to_body(started())])
    assert gc.isenabled()
    with pytest.raises(UnreadableBody):
        from_bodies(["x"])
    assert gc.isenabled()
