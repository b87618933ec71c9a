"""A job with a vehicle form of its own: a box of two zones, both files beside the job."""

from pathlib import Path

from tests.files.broken import DRAWING, VEHICLE

JOB_OF_THE_VAN = """\
format = "bayapp-job/1"
title = "TITLE"
vehicle = "own-van.toml"
crew = ["Ash"]
start = 2026-11-25T08:00:00Z
[[work]]
zones = ["whole"]
recipe = "wiped"
[[recipe.wiped.step]]
id = "wipe"
kind = "wipe"
"""


def van_job(folder: Path, title: str = "Own van", drawing: str = DRAWING) -> Path:
    """Write the job, its form and its drawing into a folder; return the job's file."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "own-van.svg").write_text(drawing, encoding="utf-8")
    (folder / "own-van.toml").write_text(VEHICLE, encoding="utf-8")
    job = folder / "job.toml"
    job.write_text(JOB_OF_THE_VAN.replace("TITLE", title), encoding="utf-8")
    return job
