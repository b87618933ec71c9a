"""The page on which paint is measured: the chosen zone, what is typed, what its readings come to, and the whole car."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from bayapp.job import BayState, JobState, ReadThickness, WithdrawThickness
from bayapp.job.model.ids import JobId, Person, ZoneId
from bayapp.job.model.thickness import LEAST_UM, MOST_UM
from bayapp.job.state.events import ThicknessSource
from bayapp.job.text.naming import capital, zones_title
from bayapp.job.text.thickness_words import figures_text, thin_text, unlike_text
from bayapp.job.thickness import ZoneThickness, limits_of, readings_of, thickness_of
from bayapp.text.figures import figure, micrometres
from bayapp.text.language import _, ngettext

BACK, POINT = "back", "."
KEYS = (*"0123456789", POINT, BACK)
MOST_DIGITS = 4  # before the point; one behind it, as gauges show
SHOWN = 12
UM_PER_MIL = 25.4
"""A mil is a thousandth of an inch, and an inch is 25.4 mm exactly."""
_BURST = re.compile(r"\s*(?P<number>\d{1,4}(?:[.,]\d{1,3})?)\s*(?P<unit>µm|μm|um|microns?|mils?)?\s*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class ThicknessEntry:
    """What has been typed so far, and for which zone; the zone stays chosen from reading to reading."""

    zone: ZoneId | None = None
    typed: str = ""

    def choose(self, zone: ZoneId) -> "ThicknessEntry":
        """Return the entry for another zone; what is typed stays, for whoever typed before touching it."""
        return replace(self, zone=zone)

    def press(self, key: str) -> "ThicknessEntry":
        """Return the entry after one of ``KEYS``; a key that would make no number changes nothing."""
        if key == BACK:
            return replace(self, typed=self.typed[:-1])
        text = self.typed + key
        whole, point, part = text.partition(POINT)
        if key not in KEYS or len(whole) > MOST_DIGITS or len(part) > 1 or POINT in part or (point and not whole):
            return self
        return replace(self, typed=text)

    @property
    def um(self) -> float | None:
        """What is typed, µm; None where that is no number yet."""
        return float(self.typed) if self.typed else None

    def request(self, job: JobId, by: Person | None, source: ThicknessSource = "keypad") -> ReadThickness | None:
        """Return the request to record it, or None where a zone or a number is missing."""
        if self.zone is None or self.um is None:
            return None
        return ReadThickness(job, ((self.zone, (self.um,)),), by, source)

    def from_gauge(self, text: str) -> "ThicknessEntry | None":
        """Return the entry with what a gauge typed by itself, with or without its unit; None where it is no reading."""
        found = _BURST.fullmatch(text)
        if found is None:
            return None
        um = float(found["number"].replace(",", "."))
        if (found["unit"] or "").lower().startswith("mil"):
            um *= UM_PER_MIL
        return replace(self, typed=f"{um:.1f}".removesuffix(".0"))


@dataclass(frozen=True, slots=True)
class HeatFigure:
    """What a measured zone shows on the heat drawing; ``thin`` is its least reading where that is thin, µm."""

    mean: float
    thin: float | None
    unlike: bool


@dataclass(frozen=True, slots=True)
class ThicknessView:
    """All that the page shows.

    Attributes:
        zone: what the chosen zone is called; what to do where none is chosen.
        trouble: why what is typed cannot be recorded; empty if it can, or nothing is typed.
        readings: of the chosen zone, the last ones, in the order of measuring.
        figures: what they come to.
        says: where it is thin or unlike its neighbours.
        take_back: what a touch takes back: the last reading of the chosen zone; empty where there is none.
    """

    subtitle: str
    chosen: ZoneId | None
    zone: str
    typed: str
    trouble: str
    readings: str
    figures: str
    says: str
    take_back: str
    heat: Mapping[ZoneId, HeatFigure]
    thin_um: float
    figures_are: str
    thin_is: str
    unlike_is: str


def thickness_view(state: BayState, car: JobState, entry: ThicknessEntry) -> ThicknessView:
    """Return what the page shows of a car."""
    limits = limits_of(state)
    found = thickness_of(car, limits)
    mine = found.get(entry.zone) if entry.zone else None
    um = readings_of(car, entry.zone) if entry.zone else ()
    last = _last(car, entry.zone)
    return ThicknessView(
        subtitle=_subtitle(car, len(found)),
        chosen=entry.zone,
        zone=capital(zones_title(car.job, (entry.zone,))) if entry.zone else _("Touch a zone"),
        typed=entry.typed,
        trouble=_trouble(entry),
        readings=_listed(um),
        figures=figures_text(mine) if mine else "",
        says=" ".join(said for said in (thin_text(mine), unlike_text(mine)) if said) if mine else "",
        take_back=_take_back(last),
        heat={
            zone: HeatFigure(one.mean, one.least if one.thin else None, bool(one.unlike)) for zone, one in found.items()
        },
        thin_um=limits.thin_um,
        figures_are=_("mean in µm"),
        thin_is=_("thin: its least, below {um}").format(um=figure(limits.thin_um)),
        unlike_is=_("unlike its neighbours by {um} or more").format(um=figure(limits.unlike_um)),
    )


def withdrawal(job: JobId, entry: ThicknessEntry, by: Person | None) -> WithdrawThickness | None:
    """Return the request to take the last reading of the chosen zone back, or None where no zone is chosen."""
    return None if entry.zone is None else WithdrawThickness(job, entry.zone, None, by)


def measured_text(car: JobState) -> str:
    """Return in a line how much of a car's paint was measured; empty where nothing was."""
    measured = sum(bool(readings_of(car, zone)) for zone in car.thickness)
    return ngettext("{n} zone measured", "{n} zones measured", measured).format(n=measured) if measured else ""


def _heat(found: ZoneThickness) -> HeatFigure:
    return HeatFigure(found.mean, found.least if found.thin else None, found.unlike is not None)


def _subtitle(car: JobState, measured: int) -> str:
    painted = sum(zone.surface == "paint" for zone in car.job.vehicle.zone)
    return _("Dry film, on metal: {n} of {most} painted zones measured.").format(n=measured, most=painted)


def _trouble(entry: ThicknessEntry) -> str:
    if entry.um is not None and not LEAST_UM <= entry.um <= MOST_UM:
        return _("From {least} to {most} is possible.").format(least=micrometres(LEAST_UM), most=micrometres(MOST_UM))
    if entry.typed and entry.zone is None:
        return _("Touch the zone that was measured.")
    return ""


def _last(car: JobState, zone: ZoneId | None) -> tuple[float, ...]:
    """Return the last entry of a zone that counts."""
    entries = car.thickness.get(zone, ()) if zone else ()
    return next((entry.read.um for entry in reversed(entries) if entry.counts), ())


def _listed(um: tuple[float, ...]) -> str:
    listed = ", ".join(_plain(value) for value in um[-SHOWN:])
    return f"… {listed}" if len(um) > SHOWN else listed


def _take_back(last: tuple[float, ...]) -> str:
    if len(last) > 1:
        return ngettext("{n} reading", "{n} readings", len(last)).format(n=len(last))
    return micrometres(last[0]) if last else ""


def _plain(um: float) -> str:
    return micrometres(um).removesuffix(" µm")
