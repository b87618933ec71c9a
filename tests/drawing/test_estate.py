"""The shipped estate: what is on it. The rules of its drawing are in ``test_shipped_forms``."""

import pytest

from bayapp.job.model.vehicle import VehicleForm

SIDES = ("left", "right")
ENDS = ("front", "rear")
WHOLE = ["bonnet", "windscreen", "roof", "rear-screen", "tailgate", "bumper-front", "bumper-rear"]


def test_it_has_forty_eight_zones_or_more_and_each_side_has_the_same(estate: VehicleForm) -> None:
    ids = {zone.id for zone in estate.zone}
    assert len(ids) >= 48
    left = {zone.replace("left", "right") for zone in ids if "left" in zone}
    assert left == {zone for zone in ids if "right" in zone}
    assert ids.issuperset([*WHOLE, "grille", "tips", "cabin"])


@pytest.mark.parametrize("side", SIDES)
def test_every_side_has_its_glass_wheels_lamps_and_panels(estate: VehicleForm, side: str) -> None:
    ids = {zone.id for zone in estate.zone}
    wanted = {f"{part}-{side}" for part in ("wing", "quarter", "sill", "mirror", "headlamp", "taillamp", "trim")}
    wanted |= {f"{part}-{end}-{side}" for part in ("rim", "tyre", "caliper") for end in ENDS}
    wanted |= {f"door-{side}-{end}" for end in ENDS} | {f"glass-{side}-{end}" for end in (*ENDS, "quarter")}
    assert wanted <= ids


@pytest.mark.parametrize("name", ["side-glass-left", "side-glass-right", "rear-glass"])
def test_it_has_the_sets_of_glass_that_its_jobs_name(estate: VehicleForm, name: str) -> None:
    assert estate.zones_of([name])
