"""Small invented forms for tests."""

from bayapp.drawing.form_drawing import FormDrawing
from bayapp.job.model.vehicle import VehicleForm


def form_of(*zones: str) -> VehicleForm:
    """Return a form with these zones and no sets."""
    rows = [{"id": zone, "name": zone, "surface": "paint", "area_m2": 1.0} for zone in zones]
    return VehicleForm.model_validate(
        {"format": "bayapp-vehicle/1", "name": "box", "title": "Box", "drawing": "box.svg", "zone": rows}
    )


def boxes_of(width: int, height: int, **zones: tuple[int, int, int, int]) -> FormDrawing:
    """Return a drawing of this size whose zones are boxes given as left, top, right, bottom."""
    shape = '<path id="{0}" d="M{1} {2} L{3} {2} L{3} {4} L{1} {4} Z"/>'
    paths = "".join(shape.format(zone, *box) for zone, box in zones.items())
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}">'
    return FormDrawing(form_of(*zones), f'{head}<g id="zones">{paths}</g></svg>')
