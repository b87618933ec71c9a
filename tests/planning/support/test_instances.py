"""The readers of the published instances, against rows of the files read by eye."""

from bayapp.planning.core.problem import Lag
from tests.planning.support.instances import job_shop, job_shop_optimum, project, project_with_latest


def test_the_smallest_job_shop_is_the_one_in_the_book():
    # Muth and Thompson 1963, the 6 by 6 problem: job 1 goes to machines 2 0 1 3 5 4 for 1 3 6 7 3 6.
    problem = job_shop("ft06")
    first_job = [t for t in problem.tasks if t.id.startswith("0.")]
    assert [(*t.uses, t.duration_s) for t in first_job] == [
        ("m2", 1), ("m0", 3), ("m1", 6), ("m3", 7), ("m5", 3), ("m4", 6),
    ]  # fmt: skip
    assert len(problem.tasks) == 36
    assert len(problem.lags) == 30
    assert problem.capacities == {f"m{machine}": 1 for machine in range(6)}
    assert job_shop_optimum("ft06") == 55


def test_a_project_is_read_with_its_successors_lengths_and_demands():
    # j301_1.sm: job 3 takes 4 and 10 of R 1, jobs 7, 8 and 13 come after it; there is 12 13 4 12 of the four.
    problem = project("j301_1")
    assert (problem.task_of["3"].duration_s, problem.task_of["3"].uses) == (4, {"r0": 10})
    assert [lag for lag in problem.lags if lag.first == "3"] == [Lag("3", "7"), Lag("3", "8"), Lag("3", "13")]
    assert problem.capacities == {"r0": 12, "r1": 13, "r2": 4, "r3": 12}
    assert (len(problem.tasks), problem.task_of["32"].duration_s) == (32, 0)


def test_a_project_with_latest_moments_is_read_with_lags_from_start_to_start():
    # psp1.sch: "5 1 2 11 6 [9] [-5]" and "5 1 9 0 8 6 3 4"; there is 10 of each of the five.
    problem = project_with_latest("psp1")
    assert [lag for lag in problem.lags if lag.first == "5"] == [
        Lag("5", "11", 9, basis="start-start"),
        Lag("5", "6", -5, basis="start-start"),
    ]
    assert (problem.task_of["5"].duration_s, problem.task_of["5"].uses) == (9, {"r1": 8, "r2": 6, "r3": 3, "r4": 4})
    assert problem.capacities == dict.fromkeys(("r0", "r1", "r2", "r3", "r4"), 10)
    assert len(problem.tasks) == 12
