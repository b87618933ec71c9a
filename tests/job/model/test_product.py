import pytest
from pydantic import ValidationError

from bayapp.job.model.product import Product


def test_limits_go_from_low_to_high():
    with pytest.raises(ValidationError, match="air_c goes from 30 to 10; write the lower limit first"):
        Product(name="glass-coat", air_c=(30, 10))
    assert Product(name="glass-coat", air_c=(20, 20)).air_c == (20, 20)


@pytest.mark.parametrize(
    "more",
    [
        {"rh_percent": (0, 80)},
        {"rh_percent": (30, 101)},
        {"air_c": (float("nan"), 30)},
        {"surface_c": ("10", 30)},
        {"dew_margin_c": -1},
        {"bottle": 1},
    ],
)
def test_what_no_sheet_could_say_is_refused(more):
    with pytest.raises(ValidationError):
        Product.model_validate({"name": "glass-coat", **more})


def test_the_margin_over_the_dew_point_is_three_degrees_unless_the_sheet_says_more():
    # ISO 8502-4's rule, borrowed.
    assert Product(name="glass-coat").dew_margin_c is None
