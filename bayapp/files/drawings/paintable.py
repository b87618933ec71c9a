"""Finds what a page could not paint of a drawing: incomplete paths, details of no zone, tangled outlines."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple, Self
from xml.etree import ElementTree

from bayapp.files.bounds import LARGEST_COORDINATE
from bayapp.files.drawings.drawing_bounds import TangleError, expect_plain_outlines
from bayapp.files.drawings.path_commands import Point, commands_of
from bayapp.files.parsed_text import ParsedText
from bayapp.files.problems import Finding
from bayapp.job import VehicleForm
from bayapp.text.language import _

SVG = "{http://www.w3.org/2000/svg}"
_PAINTED = ("chassis", "zones", "detail")


class DrawnPath(NamedTuple):
    """A path of a drawing: its group, id and data; of a detail its zone; where its badge goes, if it says so."""

    group: str
    id: str
    data: str
    zone: str
    anchor: str | None


@dataclass(frozen=True, slots=True)
class Drawing:
    """What is painted of a drawing, as it is written."""

    view_box: str
    paths: tuple[DrawnPath, ...]

    @classmethod
    def of(cls, root: ElementTree.Element) -> Self:
        """Return what is painted of a parsed SVG."""
        groups = [g for g in root.iter(f"{SVG}g") if g.get("id") in _PAINTED]
        paths = (
            DrawnPath(g.get("id", ""), p.get("id", ""), p.get("d", ""), p.get("data-zone", ""), p.get("data-anchor"))
            for g in groups
            for p in g.iter(f"{SVG}path")
        )
        return cls(root.get("viewBox", ""), tuple(paths))

    @property
    def zones(self) -> list[tuple[str, str]]:
        """Id and path data of every path in the group ``zones``, those without any data too."""
        return [(path.id, path.data) for path in self.paths if path.group == "zones"]


def unpaintable(source: ParsedText, form: VehicleForm, drawing: Drawing) -> Iterator[Finding]:
    """Yield findings about what a page could not paint: incomplete paths, details of no zone, tangled outlines."""
    places = {zone.id: place for place, zone in enumerate(form.zone)}
    wrong = list(_incomplete(source, form, drawing, places))
    if not wrong:
        for group in ("zones", "chassis"):
            try:
                expect_plain_outlines([(path.id, path.data) for path in drawing.paths if path.group == group])
            except TangleError as tangle:
                reason = _("{drawing} is a tangle at {path!r}: lines cross too often or lie too densely; draw it anew")
                place = ("zone", places[str(tangle)]) if str(tangle) in places else ("drawing",)
                wrong.append(source.finding(place, reason.format(drawing=form.drawing, path=str(tangle) or group)))
    yield from wrong


def _incomplete(
    source: ParsedText, form: VehicleForm, drawing: Drawing, places: Mapping[str, int]
) -> Iterator[Finding]:
    if not _is_view_box(drawing.view_box):
        yield source.finding(("drawing",), _unreadable_part("viewBox", form))
    for path in drawing.paths:
        try:
            points = [point for _command, points in commands_of(path.data) for point in points]
        except ValueError:
            yield _incomplete_path(source, form, path, places)
        else:
            if path.group == "zones" and not _encloses(points):
                reason = _("its path encloses nothing; draw its outline and close it with Z")
                yield source.finding(("zone", places[path.id]), reason)
        if path.group == "detail" and path.zone not in places:
            reason = _("{drawing} has a detail with data-zone {zone!r}, which is no zone; name the zone it lies on")
            yield source.finding(("drawing",), reason.format(drawing=form.drawing, zone=path.zone))
        if path.anchor is not None and not _is_anchor(path.anchor):
            reason = _("{drawing} has data-anchor {text!r} at {zone!r}; write x, y and radius, or leave it out")
            yield source.finding(("drawing",), reason.format(drawing=form.drawing, zone=path.id, text=path.anchor[:40]))


def _incomplete_path(source: ParsedText, form: VehicleForm, path: DrawnPath, places: Mapping[str, int]) -> Finding:
    if path.group == "zones":
        text = _("the path of {zone!r} in {drawing} begins without M or has numbers missing or too large; draw it anew")
        return source.finding(("zone", places[path.id]), text.format(zone=path.id, drawing=form.drawing))
    return source.finding(("drawing",), _unreadable_part(path.group, form))


def _unreadable_part(part: str, form: VehicleForm) -> str:
    text = _("the {part} of {drawing} has numbers missing, too many or too large; save it again as plain SVG")
    return text.format(part=part, drawing=form.drawing)


def _encloses(points: Sequence[Point]) -> bool:
    """Whether an outline may enclose anything: three points that do not all lie above or beside each other."""
    return len(points) >= 3 and all(max(along) > min(along) for along in zip(*points, strict=True))


def _is_view_box(text: str) -> bool:
    numbers = _numbers(text.replace(",", " "))
    return len(numbers) == 4 and min(numbers[2:]) > 0


def _is_anchor(text: str) -> bool:
    numbers = _numbers(text)
    return len(numbers) == 3 and numbers[2] > 0


def _numbers(text: str) -> list[float]:
    """Return the numbers of a text; none where it holds anything else, or one that is too large."""
    try:
        numbers = [float(part) for part in text.split()]
    except ValueError:
        return []
    return numbers if all(abs(number) <= LARGEST_COORDINATE for number in numbers) else []
