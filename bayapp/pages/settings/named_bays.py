"""The bays of the shop by name, side by side: one more, another name, a curtain, a sensor, one less."""

from dataclasses import dataclass

from bayapp.job import BayState, SetUpPlaces
from bayapp.job.model.ids import PlaceId
from bayapp.job.model.place import Bay, Places
from bayapp.text.language import _

MOST = 6
"""So many bays fit on the page with the curtains between them."""


@dataclass(frozen=True, slots=True)
class OneBay:
    """One bay in the row, and what stands in it."""

    bay: PlaceId
    title: str
    detail: str


@dataclass(frozen=True, slots=True)
class Curtain:
    """The gap after a bay, and whether a curtain hangs there; a touch hangs one, or takes it away."""

    after: PlaceId
    title: str
    detail: str
    hangs: bool


def row_of_bays(state: BayState) -> tuple[OneBay | Curtain, ...]:
    """Return the bays as they stand side by side, with what is between them."""
    found: list[OneBay | Curtain] = []
    bays = state.places.bays
    for number, bay in enumerate(bays):
        inside = [job.job.name for job in state.open_jobs if job.place == bay.id]
        found.append(OneBay(bay.id, bay.name, ", ".join(inside) or _("free")))
        if number + 1 < len(bays):
            title = _("{one} | {other}") if bay.curtain else _("{one} – {other}")
            detail = _("curtain: no dust or water passes") if bay.curtain else _("no curtain: one air")
            title = title.format(one=bay.name, other=bays[number + 1].name)
            found.append(Curtain(bay.id, title, detail, bay.curtain))
    return tuple(found)


def one_more(places: Places) -> SetUpPlaces:
    """Return the request for another bay at the end of the row, called by the first free number."""
    taken = {bay.name for bay in places.bays}
    numbered = (_("Bay {n}").format(n=number) for number in range(1, len(taken) + 2))
    fresh = Bay(id=places.next_id(), name=next(name for name in numbered if name not in taken))
    return SetUpPlaces((*places.bays, fresh), places.sensors)


def renamed(places: Places, bay: PlaceId, name: str) -> SetUpPlaces:
    """Return the request that gives a bay another name; one typed in capitals is written as names are."""
    name = name.strip().capitalize() if name.isupper() else name.strip()
    return _changed(places, bay, {"name": name})


def curtain_moved(places: Places, after: PlaceId) -> SetUpPlaces:
    """Return the request that hangs a curtain after a bay, or takes it away."""
    return _changed(places, after, {"curtain": not next(b.curtain for b in places.bays if b.id == after)})


def sensor_moved(places: Places, sensor: str, bay: PlaceId) -> SetUpPlaces:
    """Return the request that puts a sensor into a bay; one that stands there is then in no bay in particular."""
    others = {name: place for name, place in places.sensors.items() if name != sensor}
    stands = places.sensors.get(sensor) == bay
    return SetUpPlaces(places.bays, others if stands else {**others, sensor: bay})


def one_less(places: Places, bay: PlaceId) -> SetUpPlaces:
    """Return the request that takes a bay away; a curtain on either side of it stays between those that remain."""
    bays = list(places.bays)
    number = next(n for n, one in enumerate(bays) if one.id == bay)
    gone = bays.pop(number)
    if gone.curtain and number:
        bays[number - 1] = bays[number - 1].model_copy(update={"curtain": True})
    return SetUpPlaces(tuple(bays), {s: place for s, place in places.sensors.items() if place != bay})


def bays_text(places: Places) -> str:
    """Return the row in a few words for the settings: "Wash bay | Coating bay – Back bay"."""
    if not places.bays:
        return _("one, without a name")
    joined = "".join(bay.name + (" | " if bay.curtain else " – ") for bay in places.bays[:-1])
    return joined + places.bays[-1].name


def _changed(places: Places, bay: PlaceId, update: dict[str, object]) -> SetUpPlaces:
    bays = tuple(one.model_copy(update=update) if one.id == bay else one for one in places.bays)
    return SetUpPlaces(bays, places.sensors)
