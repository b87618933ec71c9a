"""Splits and joins the zones of a form for one car: a new form and a new drawing.

A split zone leaves its id to a set of its parts, so sets, recipes and jobs that name it mean all of it. Cut and join
work on the drawing's text with shapely: Qt's path operations lose whole pieces of our outlines.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from xml.etree import ElementTree

from shapely import union_all
from shapely.geometry.base import BaseGeometry

from bayapp.files.drawings.drawing_faults import APART, BESIDE
from bayapp.files.drawings.part_names import PARTS, joined_name, part_name, part_short, short_of_whole
from bayapp.files.drawings.zone_cutting import Direction, cut, data_of, joined, nearest_to
from bayapp.files.drawings.zone_shapes import ZoneShapes, shapes_of
from bayapp.job.model.ids import ZoneId
from bayapp.job.model.vehicle import VehicleForm, Zone
from bayapp.job.text.naming import capital
from bayapp.text.language import _

GAP = 0.004
"""What stays free beside a cut, as a share of the drawing's width; less than lies between neighbours of any form."""

OFF_OTHERS = 0.003
"""How far what fills a gap keeps off other zones, as a share of the drawing's width."""

NARROWEST = 0.01125
"""The least width of a part, as a share of the drawing's width: that of the narrowest zone of the shipped forms."""

LONGEST_NAME, LONGEST_ID = 90, 60
_SVG = "{http://www.w3.org/2000/svg}"


class CannotDivideError(Exception):
    """These zones cannot be split or joined in this way; the sentence says why and what would be right."""


@dataclass(frozen=True, slots=True)
class Division:
    """A form with zones split or joined, and its drawing.

    ``became`` maps each zone that is gone to those in its place.
    """

    form: VehicleForm
    drawing: str
    became: Mapping[ZoneId, tuple[ZoneId, ...]]


def split(form: VehicleForm, drawing: str, zone: ZoneId, direction: Direction, share: float) -> Division:
    """Split a zone in two by a straight cut; the zone's id becomes the name of a set that holds both.

    Raises:
        CannotDivideError: a part would be narrower than a zone may be, or the zone is the car itself.
    """
    shapes, old = _shapes(drawing), form.zone_named(zone)
    if old.surface == "car":
        raise CannotDivideError(_("{zone} stands for the car itself: split the panels.").format(zone=capital(old.name)))
    parts = cut(shapes.zones[zone], direction, share, GAP * shapes.width)
    for part in parts:
        left, top, right, bottom = part.bounds if not part.is_empty else (0, 0, 0, 0)
        if min(right - left, bottom - top) < NARROWEST * shapes.width:
            text = _("One part of {zone} would be too narrow to work by itself: move the cut, or cut the other way.")
            raise CannotDivideError(text.format(zone=old.name))
    places = _places(direction, shapes.zones[zone], shapes)
    taken = {z.id for z in form.zone} | form.sets.keys()
    ids = [_free(f"{zone}-{place}", taken) for place in places]
    sizes = _shared_out(old.area_m2, [part.area for part in parts])
    figures = dict(zip(ids, parts, strict=True))
    made = [
        old.model_copy(
            update={
                "id": part_id,
                "name": part_name(old.name, place)[:LONGEST_NAME],
                "short": part_short(old.short or old.name, place),
                "area_m2": size,
            }
        )
        for part_id, place, size in zip(ids, places, sizes, strict=True)
    ]
    sets = {**form.sets, zone: tuple(ids)}
    titles = {**form.set_titles, zone: old.name}
    return _divided(form, drawing, _Change({zone: made}, figures, sets, titles))


def join(form: VehicleForm, drawing: str, zones: Sequence[ZoneId]) -> Division:
    """Join neighbouring zones of the same surface; every set that held one of them then holds the joined one.

    If they are all the parts that a zone was split into, that zone is restored.

    Raises:
        CannotDivideError: their surfaces differ, or they are not neighbours.
    """
    shapes, old = _shapes(drawing), [form.zone_named(zone) for zone in zones]
    again = next((name for name, members in form.sets.items() if _are_its_parts(name, members, zones)), None)
    if again is None:
        _check_joining(old, shapes)
    others = union_all([figure for zone, figure in shapes.zones.items() if zone not in zones])
    reach = (1.5 * GAP if again else APART) * shapes.width
    keep_off = others if again else others.buffer(OFF_OTHERS * shapes.width)
    figure = joined([shapes.zones[zone] for zone in zones], reach, keep_off)
    taken = {z.id for z in form.zone} | form.sets.keys()
    name = form.set_titles.get(again or "", "") or joined_name([zone.name for zone in old])
    shorts = [zone.short for zone in old]
    short = short_of_whole(shorts) if again else joined_name(shorts) if all(shorts) else ""
    made = old[0].model_copy(
        update={
            "id": again or _free("-and-".join(zones), taken),
            "name": name[:LONGEST_NAME],
            "short": short[:45],
            "area_m2": round(sum(zone.area_m2 for zone in old), 4),
        }
    )
    sets = {name: _with_joined(members, zones, made.id) for name, members in form.sets.items() if name != again}
    titles = {name: title for name, title in form.set_titles.items() if name != again}
    instead = {zone: [made] if place == 0 else [] for place, zone in enumerate(zones)}
    found = _divided(form, drawing, _Change(instead, {made.id: figure}, sets, titles))
    return Division(found.form, found.drawing, dict.fromkeys(zones, (ZoneId(made.id),)))


@lru_cache(maxsize=2)
def _shapes(drawing: str) -> ZoneShapes:
    """Return the figures of a drawing; cached, because moving a cut asks for the same ones again and again."""
    return shapes_of(drawing)


def _check_joining(old: Sequence[Zone], shapes: ZoneShapes) -> None:
    first = old[0]
    for zone in old[1:]:
        if zone.surface != first.surface:
            text = _("{one} and {other} are of different surfaces, which are not worked alike: they stay two zones.")
            raise CannotDivideError(text.format(one=first.name, other=zone.name))
    together, left = [shapes.zones[first.id]], list(old[1:])
    while left:
        near = [z for z in left if shapes.zones[z.id].distance(union_all(together)) <= APART * shapes.width]
        if not near:
            text = _("{one} and {other} do not lie side by side: only neighbours can become one zone.")
            raise CannotDivideError(text.format(one=first.name, other=left[0].name))
        together += [shapes.zones[z.id] for z in near]
        left = [z for z in left if z not in near]


def _places(direction: Direction, figure: BaseGeometry, shapes: ZoneShapes) -> tuple[str, str]:
    """Return the names of the two parts: the car is drawn unfolded, nose to the left, its left side below."""
    if direction == "across":
        return "front", "rear"
    _left, page_top, _right, page_bottom = shapes.page.bounds
    middle, (_l, top, _r, bottom) = (page_top + page_bottom) / 2, figure.bounds
    if top < middle < bottom:
        return "right", "left"
    return ("lower", "upper") if bottom <= middle else ("upper", "lower")


def _are_its_parts(name: str, members: Iterable[str], zones: Sequence[ZoneId]) -> bool:
    """Whether these zones are exactly the parts that a zone of this name was split into."""
    return set(members) == set(zones) and all(
        zone.startswith(f"{name}-") and zone.removeprefix(f"{name}-").split("-")[0] in PARTS for zone in zones
    )


def _with_joined(members: Iterable[str], zones: Sequence[ZoneId], made: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(made if member in zones else member for member in members))


def _shared_out(whole: float, drawn: Sequence[float]) -> list[float]:
    first = round(whole * drawn[0] / sum(drawn), 4)
    return [max(first, 0.0001), max(round(whole - first, 4), 0.0001)]


def _free(wanted: str, taken: Iterable[str]) -> str:
    taken, name, number = set(taken), wanted[:LONGEST_ID].rstrip("-"), 2
    while name in taken:
        name = f"{wanted[: LONGEST_ID - 4].rstrip('-')}-{number}"
        number += 1
    return name


@dataclass(frozen=True, slots=True)
class _Change:
    """What a form becomes.

    Attributes:
        instead: for each zone that goes, the zones in its place; none if it joins the zone before it.
        figures: the outline of each new zone.
        sets, titles: all sets of the form and their titles, as they are then.
    """

    instead: Mapping[ZoneId, Sequence[Zone]]
    figures: Mapping[str, BaseGeometry]
    sets: Mapping[str, tuple[str, ...]]
    titles: Mapping[str, str]


def _divided(form: VehicleForm, drawing: str, change: _Change) -> Division:
    """Return the form and drawing after a change, with the neighbours of every zone worked out again."""
    instead = change.instead
    became = {zone: tuple(ZoneId(z.id) for z in made) for zone, made in instead.items()}
    zones = [z for old in form.zone for z in (instead[ZoneId(old.id)] if old.id in instead else [old])]
    beside = _beside(form, _shapes(drawing), became, change.figures)
    true = tuple(z.model_copy(update={"neighbours": tuple(n.id for n in zones if n.id in beside[z.id])}) for z in zones)
    changed = {"zone": [z.model_dump() for z in true], "sets": change.sets, "set_titles": change.titles}
    redrawn = _redrawn(drawing, became, change.figures)
    return Division(VehicleForm.model_validate(form.model_dump() | changed), redrawn, became)


def _beside(
    form: VehicleForm,
    shapes: ZoneShapes,
    became: Mapping[ZoneId, tuple[ZoneId, ...]],
    figures: Mapping[str, BaseGeometry],
) -> dict[str, set[str]]:
    """Return the neighbours of each zone: a new zone keeps the old one's neighbours that it lies beside, and gets those
    that it touches."""
    old = {z.id: set(z.neighbours) for z in form.zone}
    kept = [zone for zone in old if zone not in became]
    beside = {zone: old[zone] & set(kept) for zone in kept}
    made = list(figures)
    near = {(a, b) for a in made for b in made if a != b and figures[a].distance(figures[b]) <= APART * shapes.width}
    beside |= {new: {b for a, b in near if a == new} for new in made}
    from_of = {new: [zone for zone, news in became.items() if new in news] for new in made}
    for zone, news in became.items():
        if not news:  # joined into the first one's
            for new in made:
                from_of[new].append(zone)
    for new, figure in figures.items():
        for other in kept:
            apart = figure.distance(shapes.zones[other]) / shapes.width
            was = [zone for zone in from_of[new] if other in old[zone]]
            far = [z for z in was if shapes.zones[z].distance(shapes.zones[other]) > APART * shapes.width]
            if apart < BESIDE or (was and apart <= APART) or far:
                beside[new].add(other)
                beside[other].add(new)
    return beside


def _redrawn(drawing: str, became: Mapping[ZoneId, tuple[ZoneId, ...]], figures: Mapping[str, BaseGeometry]) -> str:
    """Return the drawing with the new outlines instead of the old; a detail goes to the part that it lies on."""
    ElementTree.register_namespace("", _SVG.strip("{}"))
    root = ElementTree.fromstring(drawing)
    todo, gone = dict(figures), dict(became)
    new_ids = list(figures)
    for group in root.iter(f"{_SVG}g"):
        if group.get("id") == "zones":
            for node in list(group):
                if node.get("id") in gone:
                    place = list(group).index(node)
                    group.remove(node)
                    for new in [n for n in new_ids if n in todo]:
                        path = ElementTree.Element(f"{_SVG}path", {"id": new, "d": data_of(todo.pop(new))})
                        path.tail = node.tail
                        group.insert(place, path)
        elif group.get("id") == "detail":
            for node in group.iter(f"{_SVG}path"):
                if node.get("data-zone") in gone:
                    nearest = nearest_to(node.get("d", ""), [figures[n] for n in new_ids])
                    node.set("data-zone", new_ids[nearest])
    return ElementTree.tostring(root, encoding="unicode")
