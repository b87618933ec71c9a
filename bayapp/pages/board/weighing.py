"""Sentences for and against a step."""

from datetime import datetime, timedelta, tzinfo

from bayapp.bay.price_found import Price
from bayapp.job import BayState, Start
from bayapp.job.model.ids import Person
from bayapp.job.shut_out.shut_out_sentences import shut_out_brief, shut_out_sentence
from bayapp.job.text.naming import elapsed_text, left_text, step_title, zones_title
from bayapp.planning.core.work_order import PlannedStep
from bayapp.planning.next.recommendation import Recommendation
from bayapp.text.figures import clock_time, moment_text
from bayapp.text.language import _, ngettext

WORTH_SAYING = timedelta(minutes=1)


def warning_sentence(state: BayState, recommendation: Recommendation, tz: tzinfo) -> str:
    """Return what would or may be missed: the step that lapses first, and how many more; empty for none."""
    if not recommendation.at_stake:
        return ""
    first = min(recommendation.at_stake, key=lambda loss: loss.lapses_at)
    job = state.jobs[first.job].job
    alike = [loss.zone for loss in recommendation.at_stake if (loss.job, loss.step) == (first.job, first.step)]
    if recommendation.losses:
        sentence = _("If you start this now: {step}, {zones}, will be too late at {time}.")
    else:
        sentence = _("If you start this now and it takes long: {step}, {zones}, may be too late at {time}.")
    sentence = sentence.format(
        step=step_title(job.recipe_of(first.zone), first.step),
        zones=zones_title(job, alike),
        time=clock_time(first.lapses_at, tz, seconds=False),
    )
    rest = len(recommendation.at_stake) - len(alike)
    more = ngettext("And {n} more.", "And {n} more.", rest).format(n=rest)
    return f"{sentence} {more}" if rest else sentence


def against_sentence(
    state: BayState, recommendation: Recommendation, by: Person | None, at: datetime, tz: tzinfo
) -> str:
    """Return all that speaks against a step, the worst first; empty for nothing, also for what costs only time."""
    advice = recommendation.advice
    start = Start(advice.job, advice.zones, advice.step, by)
    late = warning_sentence(state, recommendation, tz)
    barred = shut_out_sentence(recommendation.shuts_out, start, state, at, tz)
    worst_first = (barred, late) if recommendation.shuts_out.closes_the_way else (late, barred)
    return " ".join(sentence for sentence in worst_first if sentence)


def against_brief(state: BayState, recommendation: Recommendation, at: datetime, tz: tzinfo) -> str:
    """Return the worst that speaks against a step in few words, for a small button; empty for nothing.

    Empty too for what closes the way for others: of that the whole reason must be read.
    """
    shuts_out = recommendation.shuts_out
    if shuts_out.closes_the_way:
        return ""
    return _late_brief(state, recommendation, at, tz) or shut_out_brief(shuts_out, state, at, tz)


def _late_brief(state: BayState, recommendation: Recommendation, at: datetime, tz: tzinfo) -> str:
    """Return how many windows would or may be missed, and of several the first."""
    at_stake = recommendation.at_stake
    if not at_stake:
        return ""
    first = min(at_stake, key=lambda loss: loss.lapses_at)
    job = state.jobs[first.job].job
    alike = [loss.zone for loss in at_stake if (loss.job, loss.step) == (first.job, first.step)]
    said = {"zones": zones_title(job, alike), "time": moment_text(first.lapses_at, at, tz)}
    rest = len(at_stake) - len(alike)
    if not rest:
        plain = (
            _("Too late then: {zones}, {time}.") if recommendation.losses else _("May be too late: {zones}, {time}.")
        )
        return plain.format(**said)
    if recommendation.losses:
        many = ngettext(
            "{n} too late then, first: {zones}, {time}.", "{n} too late then, first: {zones}, {time}.", rest
        )
    else:
        many = ngettext("{n} may be too late: {zones}, {time}.", "{n} may be too late: {zones}, {time}.", rest)
    return many.format(n=len(at_stake), **said)


def price_sentence(state: BayState, price: Price, at: datetime, tz: tzinfo) -> str:
    """Return what the last touch turned out to cost: the way on, else a window that it loses, else minutes."""
    if price.trouble:
        return price.trouble
    if price.losses:
        first = min(price.losses, key=lambda loss: loss.lapses_at)
        job = state.jobs[first.job].job
        alike = [loss.zone for loss in price.losses if (loss.job, loss.step) == (first.job, first.step)]
        said = _("It costs: {step}, {zones}, will be too late at {time}.").format(
            step=step_title(job.recipe_of(first.zone), first.step),
            zones=zones_title(job, alike),
            time=moment_text(first.lapses_at, at, tz),
        )
        rest = len(price.losses) - len(alike)
        more = ngettext("And {n} more.", "And {n} more.", rest).format(n=rest)
        return f"{said} {more}" if rest else said
    minutes = round(price.later / timedelta(minutes=1))
    if price.finish is None:
        return ngettext("It costs {n} minute.", "It costs {n} minutes.", minutes).format(n=minutes)
    said = ngettext("It costs {n} minute: all done at {time}.", "It costs {n} minutes: all done at {time}.", minutes)
    return said.format(n=minutes, time=moment_text(price.finish, at, tz))


def cost_sentence(recommendation: Recommendation) -> str:
    """Return how much later all work would be done; empty if unknown."""
    if recommendation.cost is None:
        return ""
    if recommendation.cost < WORTH_SAYING:
        return _("Costs no time.")
    minutes = round(recommendation.cost / timedelta(minutes=1))
    return ngettext("All done {n} minute later.", "All done {n} minutes later.", minutes).format(n=minutes)


def coming_sentence(state: BayState, recommendation: Recommendation, opens_at: datetime | None, at: datetime) -> str:
    """Return which wait this step fills: what opens next for the same person, and how long this step takes."""
    if recommendation.coming is None or recommendation.takes is None or opens_at is None or opens_at <= at:
        return ""
    return _("Takes {takes}; {zone} waits {left} more.").format(
        takes=elapsed_text(recommendation.takes),
        zone=_zone(state, recommendation.coming),
        left=left_text(opens_at - at),
    )


def _zone(state: BayState, step: PlannedStep) -> str:
    return state.jobs[step.job].job.zone_names[step.zone]
