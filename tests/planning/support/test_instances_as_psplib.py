"""The readers of the published instances, against the package psplib, which reads two of the formats on its own."""

import pytest
from psplib import parse_psplib, parse_rcpsp_max
from psplib.ProjectInstance import ProjectInstance

from bayapp.planning.core.problem import Lag, Problem
from tests.planning.support.instances import DATA, project, project_with_latest


def durations_and_demands(problem: Problem) -> list[tuple[int, list[int]]]:
    return [(t.duration_s, [t.uses.get(r, 0) for r in problem.capacities]) for t in problem.tasks]


def as_read_by_psplib(instance: ProjectInstance) -> list[tuple[int, list[int]]]:
    return [(a.modes[0].duration, a.modes[0].demands) for a in instance.activities]


@pytest.mark.parametrize("name", ["j301_1", "j301_2"])
def test_a_project_is_read_as_psplib_reads_it(name):
    ours, theirs = project(name), parse_psplib(DATA / "rcpsp" / f"{name}.sm")
    assert durations_and_demands(ours) == as_read_by_psplib(theirs)
    assert list(ours.capacities.values()) == [r.capacity for r in theirs.resources]
    arcs = {(str(i + 1), str(j + 1)) for i, a in enumerate(theirs.activities) for j in a.successors}
    assert set(ours.lags) == {Lag(first, then) for first, then in arcs}
    assert len(ours.tasks) == 32


@pytest.mark.parametrize("name", ["psp1", "psp2", "psp3", "psp4"])
def test_a_project_with_latest_moments_is_read_as_psplib_reads_it(name):
    ours, theirs = project_with_latest(name), parse_rcpsp_max(DATA / "rcpsp-max" / f"{name}.sch")
    assert durations_and_demands(ours) == as_read_by_psplib(theirs)
    assert list(ours.capacities.values()) == [r.capacity for r in theirs.resources]
    arcs = {
        (str(i), str(j), lag)
        for i, a in enumerate(theirs.activities)
        for j, lag in zip(a.successors, a.delays or [], strict=True)
    }
    assert set(ours.lags) == {Lag(first, then, lag, basis="start-start") for first, then, lag in arcs}
    assert any(lag.min_s < 0 for lag in ours.lags), "a latest moment, read backwards"
