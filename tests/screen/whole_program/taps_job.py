"""An invented job with far more steps than a test can tap, and one clock that runs for hours."""

from datetime import datetime
from pathlib import Path

from bayapp.job.model.instant import write_instant

TITLE = "Car of many taps"
RUNGS = 40
BLOCKS = (
    ("bonnet", "roof", "tailgate"),
    ("wing-left", "door-left-front", "door-left-rear"),
    ("wing-right", "door-right-front", "door-right-rear"),
    ("quarter-left", "sill-left", "mirror-left"),
    ("quarter-right", "sill-right", "mirror-right"),
    ("bumper-front", "grille"),
    ("bumper-rear", "tips"),
    ("tyre-front-left", "tyre-rear-left"),
    ("tyre-front-right", "tyre-rear-right"),
)
WAITING = "windscreen"


def job_text(start: datetime, wait_min: float = 600) -> str:
    """Return the job file: ladders of plain wipes, and a pane whose coat waits for so long after its wipe."""
    lines = ['format = "bayapp-job/1"', f'title = "{TITLE}"', 'vehicle = "estate"', 'crew = ["Ash"]']
    lines += [f"start = {write_instant(start)}", _work((WAITING,), "pane")]
    lines += [_work(zones, "wipes") for zones in BLOCKS]
    lines += [f"[[recipe.wipes.step]]\nid = 'wipe-{n}'\nkind = 'wipe'" for n in range(RUNGS)]
    lines += ["[[recipe.pane.step]]\nid = 'wipe'\nkind = 'wipe'"]
    lines += [f"[[recipe.pane.step]]\nid = 'coat'\nkind = 'coat'\nwait = {{ min = {wait_min} }}"]
    return "\n".join(lines) + "\n"


def write_job(folder: Path, start: datetime, wait_min: float = 600) -> Path:
    """Write the job file into a folder; return its path."""
    file = folder / "car-of-many-taps.toml"
    file.write_text(job_text(start, wait_min), encoding="utf-8")
    return file


def _work(zones: tuple[str, ...], recipe: str) -> str:
    return f"[[work]]\nzones = {list(zones)}\nrecipe = '{recipe}'"
