import pytest
import typer

from bayapp.cli.plan.job import left_of
from bayapp.files.library import Library
from bayapp.job import Job
from bayapp.paths import resource


@pytest.fixture(scope="module")
def job() -> Job:
    return Library().load_job(resource("jobs", "estate-whole-car.toml"))


def test_zones_and_sets_are_left_out_and_nothing_else(job: Job):
    left = left_of(job, ["windscreen", "rims"])
    gone = {"windscreen", *job.zones_named("rims")}
    assert len(gone) == 5
    assert list(left.block_of) == [zone for zone in job.block_of if zone not in gone]
    assert left.zones_named("rims") == ()
    assert all(left.recipe_of(zone) == job.recipe_of(zone) for zone in left.block_of)
    assert left_of(job, []) is job


def test_a_name_that_is_not_worked_is_bad_input(job: Job, capsys: pytest.CaptureFixture[str]):
    with pytest.raises(typer.Exit) as ended:
        left_of(job, ["rims", "spoiler"])
    assert ended.value.exit_code == 2
    complaint = capsys.readouterr().err
    assert "nothing called 'spoiler' is worked in this job; it has " in complaint
    assert "windscreen" in complaint
    assert "rims" in complaint


def test_a_job_of_which_nothing_is_left_is_bad_input(job: Job, capsys: pytest.CaptureFixture[str]):
    with pytest.raises(typer.Exit) as ended:
        left_of(job, list(job.block_of))
    assert ended.value.exit_code == 2
    assert "nothing is left to plan" in capsys.readouterr().err
