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
    try:
        shapes = shapes_of(svg)
    except ValueError as error:
        zone = str(error)
        if zone not in places:
            text = _("the {part} of {drawing} has numbers missing, too many or too large; save it again as plain SVG")
            reason = text.format(part=zone or "chassis", drawing=form.drawing)
            raise BadFile([source.finding(("drawing",), reason)]) from error
        text = _("the path of {zone!r} in {drawing} begins without M or has numbers missing or too large; draw it anew")
        reason = text.format(zone=zone, drawing=form.drawing)
        raise BadFile([source.finding(("zone", places[zone]), reason)]) from error
    found = faults(form, shapes)
    if found:
        raise BadFile([source.finding(("zone", places[f.zone], *((f.key,) if f.key else ())), f.reason) for f in found])
