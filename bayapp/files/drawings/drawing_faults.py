"""Finds what is wrong with a readable drawing: overlaps, gaps, wrong neighbours.

Limits are shares of the drawing's width. They are the shipped forms' own: their neighbours lie up to 1.3 % apart and
other zones at least that; the widest place without a zone takes a circle of 3.2 % on a car (a pillar of the windscreen)
and of 3.9 % on a pick-up (between cab and bed).
"""

from collections.abc import Iterator
from itertools import combinations
from typing import NamedTuple

from shapely import union_all
from shapely.geometry.base import BaseGeometry

from bayapp.files.drawings.zone_shapes import ZoneShapes
from bayapp.job import VehicleForm
from bayapp.text.language import _

OVERLAP = 0.005
"""Of the smaller zone's area; less is the drawing program's rounding."""
APART = 0.015
BESIDE = 0.012
HOLE = 0.04
"""Diameter of the largest circle that may lie in the body and in no zone."""


class Fault(NamedTuple):
    """One fault: the zone, its key ("" for the zone as a whole), and what is wrong."""

    zone: str
    key: str
    reason: str


def faults(form: VehicleForm, shapes: ZoneShapes) -> list[Fault]:
    """Return everything that is wrong with the names and outlines of a form's zones."""
    return [
        *_same_names(form),
        *_bad_outlines(form, shapes),
        *_overlaps(form, shapes),
        *_neighbours(form, shapes),
        *_holes(form, shapes),
    ]


def _same_names(form: VehicleForm) -> Iterator[Fault]:
    first: dict[str, str] = {}
    for zone in form.zone:
        if zone.name in first:
            text = _("is called {name!r} like zone {other!r}; nobody could tell them apart, give it a name of its own")
            yield Fault(zone.id, "name", text.format(name=zone.name, other=first[zone.name]))
        first.setdefault(zone.name, zone.id)


def _bad_outlines(form: VehicleForm, shapes: ZoneShapes) -> Iterator[Fault]:
    for zone in form.zone:
        figure = shapes.zones[zone.id]
        if figure.area == 0:
            yield Fault(zone.id, "", _("its path encloses nothing; draw its outline and close it with Z"))
        elif not shapes.page.covers(figure):
            yield Fault(zone.id, "", _("lies partly outside the viewBox and would be cut off; move it inside"))


def _overlaps(form: VehicleForm, shapes: ZoneShapes) -> Iterator[Fault]:
    for one, other in combinations([zone.id for zone in form.zone], 2):
        mine, theirs = shapes.zones[one], shapes.zones[other]
        shared = mine.intersection(theirs)
        smaller = min(mine.area, theirs.area)
        if smaller and shared.area / smaller > OVERLAP:
            text = _(
                "lies over zone {other!r} at {place} by {percent} % of the smaller; let one end where the other begins"
            )
            percent = max(1, round(100 * shared.area / smaller))
            yield Fault(one, "", text.format(other=other, place=_place(shared), percent=percent))


def _neighbours(form: VehicleForm, shapes: ZoneShapes) -> Iterator[Fault]:
    """Yield wrong neighbours: they must name each other and touch; cabin and car itself are drawn apart."""
    says = {zone.id: set(zone.neighbours) for zone in form.zone}
    inside = {zone.id for zone in form.zone if zone.surface in ("cabin", "car")}
    for one, other in combinations(says, 2):
        if (other in says[one]) != (one in says[other]):
            named, silent = (one, other) if other in says[one] else (other, one)
            text = _(
                "is named as a neighbour by zone {named!r} but does not name it; add {named!r} here or drop it there"
            )
            yield Fault(silent, "neighbours", text.format(named=named))
        elif not inside & {one, other} and (fault := _misjudged(one, other, other in says[one], shapes)):
            yield fault


def _misjudged(one: str, other: str, beside: bool, shapes: ZoneShapes) -> Fault | None:
    apart = shapes.zones[one].distance(shapes.zones[other]) / shapes.width
    if beside and apart > APART:
        text = _(
            "names zone {other!r} as a neighbour, but a gap of {gap} units lies between them; "
            "draw them side by side or leave it out"
        )
        return Fault(one, "neighbours", text.format(other=other, gap=round(apart * shapes.width)))
    if not beside and apart < BESIDE:
        text = _(
            "touches zone {other!r}, which is not among its neighbours; name each among the other's or draw them apart"
        )
        return Fault(one, "neighbours", text.format(other=other))
    return None


def _holes(form: VehicleForm, shapes: ZoneShapes) -> Iterator[Fault]:
    radius = HOLE * shapes.width / 2
    bare = shapes.body.difference(union_all(list(shapes.zones.values())))
    cores = bare.buffer(-radius)
    for core in getattr(cores, "geoms", [cores]):
        if core.is_empty:
            continue
        nearest = sorted(shapes.zones, key=lambda zone: shapes.zones[zone].distance(core))[:3]
        text = _(
            "a gap in the body at {place} belongs to no zone; widen {zones}, draw a zone there or cut the chassis open"
        )
        yield Fault(nearest[0], "", text.format(place=_place(core), zones=", ".join(map(repr, nearest))))


def _place(figure: BaseGeometry) -> str:
    """Return the position of a figure in drawing units, as drawing programs show it."""
    point = figure.representative_point()
    return f"({point.x:.0f}, {point.y:.0f})"
