"""The sentences of the plan page: the finish, how certain it is, what it saves, what cannot hold."""

from datetime import datetime, timedelta, tzinfo

from bayapp.job import BayState
from bayapp.job.model.ids import JobId, StepId, ZoneId
from bayapp.job.text.naming import capital, of_car, step_title
from bayapp.planning.core.work_order import Loss, WorkOrder
from bayapp.text.figures import length_text, moment_text, percent
from bayapp.text.language import _

MINUTE = timedelta(minutes=1)


def plan_title(state: BayState, order: WorkOrder | None, at: datetime, tz: tzinfo) -> str:
    """Return the title: the plan in one line."""
    if not state.open_jobs:
        return _("No car in the bay")
    if order is None:
        return _("No plan yet")
    if order.status == "infeasible" or order.trouble:
        return _("Not every wait can be kept")
    if order.status == "unknown" or order.finish is None:
        return _("Everything is done") if order.status != "unknown" else _("No plan was found in time")
    return _("Work done at {time}").format(time=moment_text(order.finish, at, tz))


def plan_sentences(
    state: BayState, order: WorkOrder | None, morning: WorkOrder | None, at: datetime, tz: tzinfo
) -> tuple[str, ...]:
    """Return all else, the most important first; ``morning`` is the first plan of the day."""
    if order is None or not state.open_jobs:
        return ()
    sentences = [
        *_trouble(state, order, at, tz),
        _finish(order, at, tz),
        _lapse(order),
        _drift(order, morning, at, tz),
        _safety(order),
        *_idle_hands(state, order),
        _proof(order),
    ]
    return tuple(sentence for sentence in sentences if sentence)


def _trouble(state: BayState, order: WorkOrder, at: datetime, tz: tzinfo) -> list[str]:
    sentences = [order.trouble]
    if order.stuck and order.ways_out:
        sentences.append(_("The time line shows the first way out."))
    sentences += [_sentence(clash) for clash in order.clash]
    sentences += [_loss(state, loss, at, tz) for loss in order.losses]
    if order.status == "infeasible" and order.finish and not order.stuck:
        sentences.append(_("The order that loses least ends at {time}.").format(time=moment_text(order.finish, at, tz)))
    if order.status == "unknown" and not order.steps:
        sentences.append(_("The clocks go on; the next step is chosen by what is most pressing."))
    return sentences


def _sentence(text: str) -> str:
    return text if text.endswith((".", "!", "?")) else f"{text}."


def _loss(state: BayState, loss: Loss, at: datetime, tz: tzinfo) -> str:
    sentence = _("{what}: too late from {time} on, whatever is done now.")
    what = _what(state, loss.job, loss.zone, loss.step)
    return sentence.format(what=capital(what), time=moment_text(loss.lapses_at, at, tz))


def _what(state: BayState, job_id: JobId, zone: ZoneId, step: StepId) -> str:
    known = state.jobs.get(job_id)
    if known is None:
        return f"{zone}, {step}"
    job = known.job
    title = f"{job.zone_names.get(zone, zone)}, {step_title(job.recipe_of(zone), step)}"
    return of_car(job, title, len(state.open_jobs))


def _finish(order: WorkOrder, at: datetime, tz: tzinfo) -> str:
    """Return how late it may get, and how much longer zone after zone would take."""
    parts = []
    if order.finish and order.finish_p90:
        parts.append(_("by {time} on a slow day").format(time=moment_text(order.finish_p90, at, tz)))
    saved = order.one_by_one - order.finish if order.one_by_one and order.finish else timedelta()
    if saved >= MINUTE:
        parts.append(_("{length} sooner than zone after zone").format(length=length_text(saved)))
    elif order.one_by_one and order.steps:
        parts.append(_("no sooner than zone after zone"))
    return capital("; ".join(parts)) + "." if parts else ""


def _lapse(order: WorkOrder) -> str:
    """Return how likely it is that a latest moment is missed."""
    if order.lapse_chance is None:
        return ""
    chance = round(order.lapse_chance * 100)
    if chance == 100:
        return _("At the usual pace a latest moment will be missed.")
    if chance == 0:
        return _("Chance of missing a latest moment: under {chance}.").format(chance=percent(1))
    return _("Chance of missing a latest moment: {chance}.").format(chance=percent(chance))


def _drift(order: WorkOrder, morning: WorkOrder | None, at: datetime, tz: tzinfo) -> str:
    if morning is None or not (morning.finish and order.finish) or morning.made_for == order.made_for:
        return ""
    when, drift = moment_text(morning.made_for, at, tz), order.finish - morning.finish
    if abs(drift) < MINUTE:
        return _("As planned at {time}.").format(time=when)
    sentence = (
        _("{length} later than planned at {time}.") if drift > timedelta() else _("{length} sooner than at {time}.")
    )
    return sentence.format(length=length_text(abs(drift)), time=when)


def _safety(order: WorkOrder) -> str:
    if order.safety_cost_s < 60:
        return ""
    length = length_text(timedelta(seconds=order.safety_cost_s))
    return _("{length} later than the soonest order, so that fewer waits are missed.").format(length=length)


def _idle_hands(state: BayState, order: WorkOrder) -> list[str]:
    """Return who has nothing to do while others work: the work is not shared."""
    crew = dict.fromkeys(person for job in state.open_jobs for person in job.job.crew)
    busy = {step.person for step in order.steps}
    if not busy - {None}:
        return []
    return [_("{person} has nothing to do in this plan.").format(person=p) for p in crew if p not in busy]


def _proof(order: WorkOrder) -> str:
    if order.status == "optimal" and order.finish and order.safety_cost_s == 0:
        least_late = _("No order that is as little late for what was promised ends sooner.")
        return least_late if order.promised else _("No order ends sooner.")
    return ""
