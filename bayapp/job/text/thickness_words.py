"""What is said of paint that was measured: its figures, where it is thin, and where it is unlike its neighbours."""

from collections.abc import Iterable

from bayapp.job.model.ids import StepId, StepKind, ZoneId
from bayapp.job.state.state import BayState, JobState
from bayapp.job.text.naming import zones_title
from bayapp.job.thickness import Unlike, ZoneThickness, limits_of, thickness_of
from bayapp.text.figures import figure, micrometres
from bayapp.text.language import _, ngettext


def figures_text(found: ZoneThickness) -> str:
    """Return what the readings of a zone come to: "least 72 µm, mean 104 µm, 5 readings"."""
    return ngettext(
        "least {least}, mean {mean}, {n} reading", "least {least}, mean {mean}, {n} readings", found.count
    ).format(least=micrometres(found.least), mean=micrometres(round(found.mean)), n=found.count)


def thin_text(found: ZoneThickness) -> str:
    """Return what is said of a thin zone; empty of any other."""
    if not found.thin:
        return ""
    return _("Thin: {least}. Polish with care, or not at all.").format(least=micrometres(found.least))


def unlike_text(found: ZoneThickness) -> str:
    """Return how a zone is unlike its neighbours and what that may mean; empty where it is like them."""
    if found.unlike is None or found.neighbours_um is None:
        return ""
    said = {
        Unlike.THICKER: _("Mean {mean}, its neighbours {neighbours}: likely repainted."),
        Unlike.THINNER: _("Mean {mean}, its neighbours {neighbours}: likely polished before, or they were repainted."),
    }[found.unlike]
    return said.format(mean=micrometres(round(found.mean)), neighbours=micrometres(round(found.neighbours_um)))


def polish_warning(state: BayState, car: JobState, zones: Iterable[ZoneId], step: StepId | None) -> str:
    """Return what whoever polishes these zones should know of their paint; empty for any other step.

    Of one zone it is said in whole sentences, of several which are thin and which are unlike.
    """
    zones = tuple(zones)
    if step is None or not car.thickness or car.job.recipe_of(zones[0]).named(step).kind is not StepKind.POLISH:
        return ""
    known = thickness_of(car, limits_of(state), zones)
    found = [known[zone] for zone in zones if zone in known]
    if len(zones) == 1:
        return " ".join(said for one in found for said in (thin_text(one), unlike_text(one)) if said)
    return " ".join(said for said in (_all_thin(car, found), _all_unlike(car, found)) if said)


def _all_thin(car: JobState, found: Iterable[ZoneThickness]) -> str:
    thin = [one for one in found if one.thin]
    if not thin:
        return ""
    listed = ", ".join(_zone_and_um(car, one, one.least) for one in thin)
    return _("Thin, in µm: {zones}. Polish there with care, or not at all.").format(zones=listed)


def _all_unlike(car: JobState, found: Iterable[ZoneThickness]) -> str:
    thick = [one for one in found if one.unlike is Unlike.THICKER]
    if not thick:
        return ""
    listed = ", ".join(_zone_and_um(car, one, one.mean) for one in thick)
    return _("Likely repainted, in µm: {zones}.").format(zones=listed)


def _zone_and_um(car: JobState, found: ZoneThickness, um: float) -> str:
    return f"{zones_title(car.job, (found.zone,))} {figure(round(um))}"
