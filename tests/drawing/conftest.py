"""The estate and its drawing, loaded once for all tests of the drawing."""

import tomllib

import pytest

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.job.vehicle import VehicleForm
from bayapp.paths import resource


@pytest.fixture(scope="session")
def estate() -> VehicleForm:
    return VehicleForm.model_validate(tomllib.loads(resource("vehicles", "estate.toml").read_text(encoding="utf-8")))


@pytest.fixture(scope="session")
def drawing(estate: VehicleForm) -> FormDrawing:
    return FormDrawing.load(estate, resource("vehicles"))
