"""The estate and its drawing, loaded once for all tests of the drawing."""

import pytest

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.job.model.vehicle import VehicleForm
from tests.drawing.support.shipped import drawing_named, form_named


@pytest.fixture(scope="session")
def estate() -> VehicleForm:
    return form_named("estate")


@pytest.fixture(scope="session")
def drawing() -> FormDrawing:
    return drawing_named("estate")
