"""Checks a vehicle form and its drawing more strictly than is needed to use it."""

from pathlib import Path

from bayapp.files.documents import read_document
from bayapp.files.drawings.drawing_faults import faults
from bayapp.files.drawings.drawing_file import read_drawing
from bayapp.files.drawings.zone_shapes import moved, shapes_of
from bayapp.files.problems import BadFile
from bayapp.job import VehicleForm
from bayapp.text.language import _


def check_form(path: Path) -> None:
    """Check a vehicle form for overlaps, gaps, wrong neighbours and zones with the same name.

    Raises:
        BadFile: with everything found, each at the zone it is about.
    """
    form, source = read_document(path, VehicleForm)
    places = {zone.id: place for place, zone in enumerate(form.zone)}
    svg = read_drawing(form, source, path.parent)
    if moved(svg):
        text = _("{drawing} moves paths by 'transform', which is not read here; apply it to the paths and save again")
        raise BadFile([source.finding(("drawing",), text.format(drawing=form.drawing))])
    found = faults(form, shapes_of(svg))
    if found:
        raise BadFile([source.finding(("zone", places[f.zone], *((f.key,) if f.key else ())), f.reason) for f in found])
