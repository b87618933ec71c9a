"""Reads the drawing of a vehicle form: an SVG with a path for every zone."""

import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

from bayapp.files.bounds import LARGEST_DRAWING, MOST_ZONES
from bayapp.files.drawings.drawing_bounds import judge_svg
from bayapp.files.drawings.paintable import SVG, Drawing, unpaintable
from bayapp.files.parsed_text import ParsedText
from bayapp.files.plain_file import decode, is_plain, read_bytes
from bayapp.files.problems import BadFile, Finding
from bayapp.files.shipped_texts import is_shipped
from bayapp.files.validation_messages import did_you_mean
from bayapp.job import VehicleForm
from bayapp.text.language import _, ngettext

_OTHER_COMMANDS = re.compile(r"[^MLCZeE\s\d.,+-]")


def read_drawing(form: VehicleForm, source: ParsedText, folder: Path) -> str:
    """Return the text of the form's drawing, which lies in ``folder`` and draws every zone once.

    Raises:
        BadFile: the drawing is missing, is no SVG in UTF-8, lacks zones, cannot be painted, or is beyond a bound.
    """
    path = folder / form.drawing
    if not is_plain(path):
        reason = _(
            "there is no drawing {drawing!r} beside this file; the drawing and its form lie in one folder"
        ).format(drawing=form.drawing)
        raise BadFile([source.finding(("drawing",), reason)])
    if len(form.zone) > MOST_ZONES:
        reason = _("{n} zones stand in it; at most {most} are read").format(n=len(form.zone), most=MOST_ZONES)
        raise BadFile([source.finding(("zone",), reason)])
    text = decode(path, read_bytes(path, LARGEST_DRAWING))
    judge_svg(path, text)
    drawing = _parsed(path, text)
    findings = [*_unreadable(source, form, drawing.zones), *_undrawn(source, form, drawing.zones)]
    if not findings and not is_shipped(path):
        findings = [*unpaintable(source, form, drawing)]
    if findings:
        raise BadFile(findings)
    return text


def _undrawn(source: ParsedText, form: VehicleForm, drawn: list[tuple[str, str]]) -> Iterator[Finding]:
    """Yield a finding for every zone that has no path, or several."""
    ids, outlines = Counter(zone for zone, _data in drawn), {zone for zone, data in drawn if data}
    for place, zone in enumerate(form.zone):
        if ids[zone.id] == 1 and zone.id in outlines:
            continue
        hint = "" if ids[zone.id] else did_you_mean(zone.id, ids.keys() - {z.id for z in form.zone})
        reason = _("{drawing} has no path in group 'zones' with id {zone!r}{hint}")
        if ids[zone.id] > 1:
            reason = ngettext(
                "{drawing} has {n} path with id {zone!r}", "{drawing} has {n} paths with id {zone!r}", ids[zone.id]
            )
        message = reason.format(drawing=form.drawing, n=ids[zone.id], zone=zone.id, hint=hint)
        yield source.finding(("zone", place), message)


def _unreadable(source: ParsedText, form: VehicleForm, drawn: list[tuple[str, str]]) -> Iterator[Finding]:
    """Yield findings about paths that the screen cannot draw: without a zone, or with unknown commands."""
    places = {zone.id: place for place, zone in enumerate(form.zone)}
    for number, (zone, data) in enumerate(drawn, 1):
        if not zone:
            yield source.finding(("drawing",), _unnamed(form, drawn, number))
        elif zone not in places:
            reason = _(
                "{drawing} has a path {zone!r} in group 'zones', which is no zone; move it to group 'detail'"
            ).format(drawing=form.drawing, zone=zone)
            yield source.finding(("drawing",), reason)
        elif other := _OTHER_COMMANDS.search(data):
            reason = _("{drawing} draws {zone!r} with the path command {other!r}; use M, L, C and Z, absolute").format(
                drawing=form.drawing, zone=zone, other=other[0]
            )
            yield source.finding(("zone", places[zone]), reason)


def _unnamed(form: VehicleForm, drawn: list[tuple[str, str]], number: int) -> str:
    """Return which path has no id, with the zones that are not drawn yet as candidates."""
    ids = {zone for zone, _data in drawn}
    text = _("in {drawing} path {number} of group 'zones' has no id; move it to group 'detail'")
    zone = next((zone.id for zone in form.zone if zone.id not in ids), "")
    if zone:
        text = _("in {drawing} path {number} of group 'zones' has no id; give it its zone's, e.g. {zone!r}")
    return text.format(drawing=form.drawing, number=number, zone=zone)


def _parsed(path: Path, text: str) -> Drawing:
    try:
        root = ElementTree.fromstring(text)
    except ElementTree.ParseError as error:
        line, column = error.position
        reason = _("this is not SVG: {error}; save it again from the drawing program").format(
            error=str(error).partition(":")[0]
        )
        raise BadFile([Finding(str(path), line, "", reason, column + 1)]) from error
    if root.tag != f"{SVG}svg" or not root.get("viewBox"):
        reason = _("this is no SVG drawing with a viewBox; save it as plain SVG")
        raise BadFile([Finding(str(path), 1, "", reason)])
    return Drawing.of(root)
