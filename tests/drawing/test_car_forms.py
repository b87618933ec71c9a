"""The cars beside the estate: what tells each from the others. The rules of every drawing: ``test_shipped_forms``."""

from pathlib import Path

import pytest
from PySide6.QtCore import QSizeF

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.files.library import Library
from bayapp.job.model.ids import ZoneId
from bayapp.paths import resource
from tests.drawing.support.shipped import drawing_named, form_named

CARS = ["coupe", "estate", "hatchback", "saloon", "sport-utility"]
ON_EVERY_CAR = ["bonnet", "windscreen", "roof", "rear-screen", "bumper-front", "bumper-rear", "grille", "tips", "cabin"]
ON_EVERY_SIDE = ["wing", "quarter", "sill", "mirror", "headlamp", "taillamp", "trim"]


def zones_of(name: str) -> set[str]:
    return {zone.id for zone in form_named(name).zone}


def length(drawing: FormDrawing) -> float:
    """From bumper to bumper; one unit is as many millimetres on every car."""
    front, rear = (drawing.zone_paths[ZoneId(f"bumper-{end}")].boundingRect() for end in ("front", "rear"))
    return rear.right() - front.left()


def clearance(drawing: FormDrawing) -> float:
    """From the lower edge of the sill to the ground that the tyre stands on."""
    tyre, sill = (drawing.zone_paths[ZoneId(zone)].boundingRect() for zone in ("tyre-front-left", "sill-left"))
    return tyre.bottom() - sill.bottom()


@pytest.mark.parametrize("name", CARS)
def test_every_car_names_the_same_thing_as_the_others_do(name: str) -> None:
    wanted = {f"{part}-{side}" for part in ON_EVERY_SIDE for side in ("left", "right")}
    wanted |= {f"{part}-{side}-front" for part in ("door", "glass") for side in ("left", "right")}
    wheel = ("arch", "tyre", "rim", "caliper")
    wanted |= {f"{part}-{end}-{side}" for part in wheel for end in ("front", "rear") for side in ("left", "right")}
    assert wanted.union(ON_EVERY_CAR) <= zones_of(name)


@pytest.mark.parametrize("name", CARS)
def test_left_and_right_have_the_same_zones(name: str) -> None:
    ids = zones_of(name)
    assert {zone.replace("left", "right") for zone in ids} == {zone for zone in ids if "left" not in zone}


@pytest.mark.parametrize(("name", "lid"), [("saloon", "boot-lid"), ("coupe", "boot-lid"), ("hatchback", "tailgate")])
def test_a_car_has_a_boot_lid_or_a_tailgate(name: str, lid: str) -> None:
    assert zones_of(name) & {"boot-lid", "tailgate"} == {lid}
    assert lid in form_named(name).zones_of(["upper-paint"])


def test_only_the_coupe_has_no_rear_doors_and_its_doors_are_the_longest() -> None:
    assert {name for name in CARS if "door-left-rear" not in zones_of(name)} == {"coupe"}
    doors = {name: drawing_named(name).zone_paths[ZoneId("door-left-front")].boundingRect().width() for name in CARS}
    assert doors["coupe"] > 1.4 * max(width for name, width in doors.items() if name != "coupe")


def test_the_hatchback_is_the_shortest() -> None:
    lengths = {name: length(drawing_named(name)) for name in CARS}
    assert max(lengths["hatchback"] / lengths[name] for name in CARS if name != "hatchback") < 0.9


def test_the_sport_utility_stands_highest_on_the_largest_wheels() -> None:
    clear = {name: clearance(drawing_named(name)) for name in CARS}
    tyres = {name: drawing_named(name).zone_paths[ZoneId("tyre-front-left")].boundingRect().width() for name in CARS}
    assert clear["sport-utility"] > 1.3 * max(high for name, high in clear.items() if name != "sport-utility")
    assert max(tyres, key=lambda name: tyres[name]) == "sport-utility"


def test_three_boxes_leave_the_saloon_a_boot_half_as_long_as_its_bonnet() -> None:
    """The estate and the hatchback end in a short lid below an upright screen; the saloon does not."""

    def share(name: str, lid: str) -> float:
        paths = drawing_named(name).zone_paths
        return paths[ZoneId(lid)].boundingRect().width() / paths[ZoneId("bonnet")].boundingRect().width()

    assert share("saloon", "boot-lid") > 0.5
    assert max(share(name, "tailgate") for name in ("estate", "hatchback", "sport-utility")) < 0.35


def test_cladding_of_the_sport_utility_is_trim_and_not_paint() -> None:
    assert {"sill-left", "sill-right"} <= set(form_named("sport-utility").zones_of(["trim"]))


@pytest.mark.parametrize("name", CARS)
def test_a_countdown_fits_on_the_large_zones(name: str) -> None:
    drawing = drawing_named(name)
    pane = "glass-left-rear" if ZoneId("glass-left-rear") in drawing.zone_paths else "glass-left-front"
    for zone in ("bonnet", "windscreen", "roof", "door-left-front", pane):
        assert drawing.plate_anchor(ZoneId(zone), QSizeF(130, 60)) is not None, zone


@pytest.mark.parametrize("name", CARS)
def test_the_ready_job_for_the_whole_estate_fits_every_car_by_one_word(name: str, tmp_path: Path) -> None:
    text = resource("jobs", "estate-whole-car.toml").read_text(encoding="utf-8")
    (tmp_path / "job.toml").write_text(text.replace('vehicle = "estate"', f'vehicle = "{name}"'), encoding="utf-8")
    job = Library().load_job(tmp_path / "job.toml")
    left_out = {zone.id for zone in form_named(name).zone} - {zone for block in job.blocks for zone in block.zones}
    assert left_out == set(form_named(name).zones_of(["trim"]))
