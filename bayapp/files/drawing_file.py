"""The drawing beside a vehicle form: there, an SVG, and with a path for every zone. Knows nothing of shapes."""

from collections import Counter
from pathlib import Path
from xml.etree import ElementTree

from bayapp.files.plain_words import did_you_mean
from bayapp.files.problems import BadFile, Finding
from bayapp.files.source import Source
from bayapp.files.toml_file import read_bytes
from bayapp.job import VehicleForm

LARGEST_DRAWING = 5_000_000
"""Bytes."""

_SVG = "{http://www.w3.org/2000/svg}"


def check_drawing(form: VehicleForm, source: Source, folder: Path) -> None:
    """Check that the form's drawing lies in ``folder`` and draws every zone once.

    Raises:
        BadFile: the drawing is missing, is no SVG, or lacks zones.
    """
    path = folder / form.drawing
    if not path.is_file():
        reason = f"there is no drawing {form.drawing!r} beside this file; the drawing and its form lie in one folder"
        raise BadFile([source.finding(("drawing",), reason)])
    ids = _path_ids(path)
    findings = []
    for place, zone in enumerate(form.zone):
        if ids[zone.id] == 1:
            continue
        many = f"{ids[zone.id]} paths" if ids[zone.id] else "no path"
        hint = "" if ids[zone.id] else did_you_mean(zone.id, ids.keys() - {z.id for z in form.zone})
        findings.append(source.finding(("zone", place), f"{form.drawing} has {many} with id {zone.id!r}{hint}"))
    if findings:
        raise BadFile(findings)


def _path_ids(path: Path) -> Counter[str]:
    try:
        root = ElementTree.fromstring(read_bytes(path, LARGEST_DRAWING))
    except ElementTree.ParseError as error:
        line, column = error.position
        reason = f"this is not SVG: {str(error).partition(':')[0]}; save it again from the drawing program"
        raise BadFile([Finding(str(path), line, "", reason, column + 1)]) from error
    if root.tag != f"{_SVG}svg" or not root.get("viewBox"):
        reason = "this is no SVG drawing with a viewBox; save it as plain SVG"
        raise BadFile([Finding(str(path), 1, "", reason)])
    return Counter(p.get("id", "") for p in root.iter(f"{_SVG}path") if p.get("d"))
