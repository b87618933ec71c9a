"""The shipped vehicle forms and their drawings, each loaded once."""

import tomllib
from functools import cache

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.job.model.vehicle import VehicleForm
from bayapp.paths import resource

NAMES = sorted(path.stem for path in resource("vehicles").glob("*.toml"))


@cache
def form_named(name: str) -> VehicleForm:
    """Return a shipped vehicle form."""
    return VehicleForm.model_validate(tomllib.loads(resource("vehicles", f"{name}.toml").read_text(encoding="utf-8")))


@cache
def drawing_named(name: str) -> FormDrawing:
    """Return the drawing of a shipped vehicle form."""
    return FormDrawing.load(form_named(name), resource("vehicles"))
