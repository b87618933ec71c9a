"""The air page: whether the air is right for coating now, what would make it so, the day's air, the vapour."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from typing import NamedTuple

from bayapp.air import Fitness, Limits, assess
from bayapp.air.fitness import Span
from bayapp.job import BayState
from bayapp.job.gate.air_rules import assessed, limits_of
from bayapp.job.model.ids import PlaceId, StepKind, Urgency
from bayapp.job.model.product import Product, Solvent
from bayapp.job.state.contradiction import Contradiction
from bayapp.job.state.events import AirRead
from bayapp.job.state.readings import READING_HOLDS
from bayapp.job.state.state import JobState
from bayapp.job.text.air_sentences import advice_text, hindrance_texts, margin_text
from bayapp.job.text.naming import capital, place_title
from bayapp.job.vapour.vapour import vapour
from bayapp.job.vapour.vapour_sentences import caution_text, caution_texts, figure_text, label_text, limits_text
from bayapp.pages.air.air_chart import Panel, panels
from bayapp.pages.air.contradiction_words import short_contradiction
from bayapp.text.figures import clock_time, warmth
from bayapp.text.language import _

AT_LEAST = timedelta(hours=4)
BEYOND = timedelta(minutes=20)
MINUTE = timedelta(minutes=1)


class CoatMark(NamedTuple):
    """Zones coated between two moments; on the charts they are one bar."""

    begins: datetime
    ends: datetime


class ContradictingAir(NamedTuple):
    """The air according to a sensor that contradicts the one that counts."""

    sensor: str
    air: AirRead


@dataclass(frozen=True, slots=True)
class AirPageView:
    """All that the page shows.

    Attributes:
        subtitle: when it was read, by whom or what.
        verdict: the answer in a few words, readable from 3 m; ``why``: its grounds and remedies.
        fit: True or False by a reading that still holds; None if there is none.
        urgency: the badge beside the verdict.
        vapour_label: what the vapour's figure means and what it does not.
        cautions: all cautions about solvents.
    """

    subtitle: str
    verdict: str
    why: str
    fit: bool | None
    urgency: Urgency
    panels: tuple[Panel, ...]
    coats: tuple[CoatMark, ...]
    begins: datetime
    now: datetime
    ends: datetime
    vapour_label: str
    vapour_figure: str
    vapour_of: str
    vapour_caution: str
    vapour_over: bool
    cautions: tuple[str, ...]
    tz: tzinfo


def air_page(
    everywhere: BayState,
    at: datetime,
    tz: tzinfo,
    apart: Sequence[Contradiction] = (),
    whole: bool = True,
    place: PlaceId | None = None,
) -> AirPageView:
    """Return the page of a place's air at an instant; the charts advance by whole minutes, to save repaints.

    If sensors are ``apart``, the one that allows fewer coats answers. The state is not ``whole`` if cars that have
    left could not be read: the vapour is then given as a minimum.
    """
    state = everywhere.around(place)
    now = at.replace(second=0, microsecond=0) + MINUTE
    midnight = at.astimezone(tz).replace(hour=0, minute=0, second=0, microsecond=0)
    today = [r for r in state.readings if midnight <= r.measured_at <= at]
    before = [r for r in state.readings if r.measured_at < midnight][-1:]
    coats = _coats(state, midnight, now)
    begins = min([now - AT_LEAST, *(r.measured_at for r in today[:1]), *(c.begins for c in coats[:1])])
    products = coats_ahead(state)
    limits = _narrowest([limits_of(product, state.dew_margin_k) for product in products or (None,)])
    air = state.air
    holds = air is not None and at - air.measured_at <= READING_HOLDS
    found = assessed(None, air, state.dew_margin_k) if air and holds else None
    worse = _worse(air, apart, products, state.dew_margin_k) if air and holds else None
    verdict, why, fit = _verdict(worse.air if worse else air, found, products, state.dew_margin_k)
    amount = vapour(everywhere, at, place)
    vapour_figure, vapour_of = figure_text(amount, whole)
    return AirPageView(
        subtitle=" ".join(
            (*_of_place(everywhere, place), _source_sentence(air, tz), *(short_contradiction(one) for one in apart))
        ),
        verdict=verdict,
        why=_("By the {sensor}: {why}").format(sensor=worse.sensor, why=why) if worse else why,
        fit=fit,
        urgency={True: Urgency.OPEN, False: Urgency.LAPSED, None: Urgency.IDLE}[fit],
        panels=panels([*before, *today], found, limits, begins, now),
        coats=coats,
        begins=begins,
        now=now,
        ends=now + max(BEYOND, (now - begins) / 20),
        vapour_label=label_text(),
        vapour_figure=vapour_figure,
        vapour_of=vapour_of,
        vapour_caution=f"{limits_text(amount, whole)} {caution_text(amount)}",
        vapour_over=amount is not None and amount.too_much,
        cautions=caution_texts(_solvents(state), amount),
        tz=tz,
    )


def _of_place(state: BayState, place: PlaceId | None) -> tuple[str, ...]:
    title = place_title(state.places, place)
    return (_("{place}:").format(place=capital(title)),) if title else ()


def coats_ahead(state: BayState) -> tuple[Product | None, ...]:
    """Return the products of all coats still to be laid in the bay, each once; None for one without a sheet."""
    found: dict[str, Product | None] = {}
    for job in state.open_jobs:
        for zone, zone_state in job.zones.items():
            if zone in job.aside:
                continue
            done = {run.step for run in zone_state.rungs}
            for step in job.job.recipe_of(zone).step:
                if step.kind is StepKind.COAT and step.id not in done:
                    found[step.product or ""] = job.job.products.get(step.product or "")
    return tuple(found.values())


def _verdict(
    air: AirRead | None,
    found: Fitness | None,
    products: Sequence[Product | None],
    margin_k: float,
) -> tuple[str, str, bool | None]:
    if air is None:
        return _("Not known: read the air"), _("Nobody has read temperature and humidity yet."), None
    if found is None:
        reason = _("The last reading is over 30 minutes old. What the air is now, nobody knows.")
        return _("Not known: read the air again"), reason, None
    each = [(product, assessed(product, air, margin_k)) for product in products or (None,)]
    unfit = [(product, fitness) for product, fitness in each if not fitness.fit]
    if not unfit:
        return _("Right for coating now"), _fit_sentence(found, each), True
    reason = _reason([fitness for _product, fitness in unfit])
    if len(unfit) == len(each):
        return _("Not right for coating now"), reason, False
    names = ", ".join(dict.fromkeys(_name(product) for product, _fitness in unfit))
    return _("Not right for every coat"), _("{names}: {reason}").format(names=names, reason=reason), False


def _worse(
    air: AirRead, apart: Iterable[Contradiction], products: Sequence[Product | None], margin_k: float
) -> ContradictingAir | None:
    """Return the air according to a sensor that allows fewer coats than the reading that counts, or None."""

    def refused(read: AirRead) -> int:
        return sum(not assessed(product, read, margin_k).fit for product in products or (None,))

    saying = [said for one in apart for said in (one.first, one.second)]
    others = [ContradictingAir(said.name, air.model_copy(update=dict(said.values))) for said in saying]
    worst = max(others, key=lambda other: refused(other.air), default=None)
    return worst if worst and refused(worst.air) > refused(air) else None


def _reason(unfit: Sequence[Fitness]) -> str:
    """Return why not, and what would make it fit for all of them; if nothing does, for the first."""
    one = unfit[0]
    surface_c = one.surface_c if one.surface_read else None
    together = assess(one.air_c, one.rh_percent, surface_c, _narrowest([fitness.limits for fitness in unfit]))
    worst = together if together.remedies() else one
    return f"{hindrance_texts(worst)[0]} {advice_text(worst)}"


def _fit_sentence(found: Fitness, each: Sequence[tuple[Product | None, Fitness]]) -> str:
    needed = max(fitness.limits.margin_k for _product, fitness in each)
    sentence = _("{standing}; {needed} is enough.").format(
        standing=margin_text(found.margin_k, found.dew_c), needed=warmth(needed)
    )
    if found.surface_read:
        return sentence
    return sentence + " " + _("The panel was not read: a car that has just come in is colder than the air.")


def _name(product: Product | None) -> str:
    return (product.title or product.name) if product else _("coat")


def _source_sentence(air: AirRead | None, tz: tzinfo) -> str:
    if air is None:
        return _("It has not been read yet.")
    time = clock_time(air.measured_at, tz, seconds=False)
    if air.source:
        return _("Last read at {time} by {source}.").format(time=time, source=air.source)
    if air.by:
        return _("Last read at {time} by {source}.").format(time=time, source=air.by)
    return _("Last read at {time}.").format(time=time)


def _narrowest(each: Sequence[Limits]) -> Limits:
    return Limits(
        max(limits.margin_k for limits in each),
        _overlap(limits.air_c for limits in each),
        _overlap(limits.surface_c for limits in each),
        _overlap(limits.rh_percent for limits in each),
    )


def _overlap(spans: Iterable[Span | None]) -> Span | None:
    found = [span for span in spans if span]
    return (max(s[0] for s in found), min(s[1] for s in found)) if found else None


def _coats(state: BayState, since: datetime, now: datetime) -> tuple[CoatMark, ...]:
    """Return the day's coats, overlapping ones joined, oldest first."""
    marks = sorted(
        CoatMark(run.started_at, run.finished_at or now)
        for job in state.jobs.values()
        for zone, zone_state in job.zones.items()
        for run in (*zone_state.runs, *((zone_state.running,) if zone_state.running else ()))
        if run.started_at >= since and job.job.recipe_of(zone).named(run.step).kind is StepKind.COAT
    )
    joined: list[CoatMark] = []
    for mark in marks:
        if joined and mark.begins <= joined[-1].ends:
            joined[-1] = CoatMark(joined[-1].begins, max(joined[-1].ends, mark.ends))
        else:
            joined.append(mark)
    return tuple(joined)


def _solvents(state: BayState) -> tuple[Solvent, ...]:
    def of(job: JobState) -> Iterable[Solvent]:
        return (p.solvent.pure for p in job.job.products.values() if p.solvent)

    return tuple(dict.fromkeys(solvent for job in state.open_jobs for solvent in of(job)))
