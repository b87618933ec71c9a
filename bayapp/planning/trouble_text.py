"""What is wrong where not every wait can be kept, in one sentence of the trade."""

from collections.abc import Iterable, Iterator
from datetime import tzinfo

from bayapp.job.gate.bay_facts import fresh_coat
from bayapp.job.model.ids import JobId, StepId, ZoneId
from bayapp.job.state.state import BayState
from bayapp.job.text.naming import capital, kind_words, of_car, zones_in_order
from bayapp.planning.circles import Circle
from bayapp.planning.core.work_order import Loss
from bayapp.planning.from_bay.from_job import Work
from bayapp.planning.remedies import Trouble
from bayapp.text.figures import clock_time
from bayapp.text.language import _

Zones = tuple[JobId, tuple[ZoneId, ...]]


def trouble_sentence(trouble: Trouble) -> str:
    """Return what is wrong, the worst first; empty where nothing is."""
    return next(_sentences(trouble), "")


def _sentences(trouble: Trouble) -> Iterator[str]:
    situation = trouble.situation
    words = _Words(situation.state, trouble.settled.work, situation.shop.tz)
    if trouble.circles:
        yield words.circle(trouble.circles)
    for job in situation.state.open_jobs:
        lying = tuple(zone for zone in job.aside if fresh_coat(job, zone, situation.at))
        if lying and trouble.settled.work.left_out:
            yield words.lying(job.job.id, lying)
    if trouble.settled.losses:
        yield words.lost(trouble.settled.losses)
    if trouble.settled.work.held:
        yield words.held()
    if trouble.settled.work.left_out:
        yield words.left_out()
    if trouble.settled.overtime and trouble.settled.plan.makespan_s is not None:
        yield words.overtime(trouble.settled.plan.makespan_s)
    if trouble.settled.work.problem.tasks and not trouble.settled.plan.starts_s:
        yield _("No order keeps every wait.")


class _Words:
    def __init__(self, state: BayState, work: Work, tz: tzinfo) -> None:
        self._state, self._work, self._tz = state, work, tz

    def circle(self, found: Iterable[Circle]) -> str:
        """Say which coat came too soon, and what it and its closing step wait for."""
        all_found = tuple(found)
        first = all_found[0]
        job = first.closing.job
        mine = [c for c in all_found if c.closing.job == job]
        barred = sorted((r for c in mine for r in c.barred if r.job == job), key=lambda r: r.place) or first.barred
        sentence = _(
            "{coated} coated too soon: the {closing} waits for {zones}, and {step} there would spoil the coat."
        )
        return self._of_car(
            job,
            sentence.format(
                coated=capital(self._zones(job, (c.closing.zone for c in mine))),
                closing=kind_words(first.closing.step.kind),
                zones=self._zones(barred[0].job, dict.fromkeys(r.zone for r in barred)),
                step=kind_words(barred[0].step.kind),
            ),
        )

    def lying(self, job: JobId, zones: tuple[ZoneId, ...]) -> str:
        """Say that a coat was left open when its zone was set aside."""
        sentence = _("{zones} left open: the coat was set aside unfinished, and no dust or water may reach it.")
        return self._of_car(job, sentence.format(zones=capital(self._zones(job, zones))))

    def lost(self, losses: tuple[Loss, ...]) -> str:
        """Say which step comes too late first, and what comes again for it."""
        first = min(losses, key=lambda loss: loss.lapses_at)
        same = [loss for loss in losses if (loss.job, loss.step) == (first.job, first.step)]
        step = self._state.jobs[first.job].job.recipe_of(first.zone).named(first.step)
        again = next(
            (
                r
                for r in self._work.rung_of.values()
                if any((key[:3]) == (first.job, first.zone, first.step) for key in r.lost)
            ),
            None,
        )
        facts = {
            "step": capital(kind_words(step.kind)),
            "zones": self._zones(first.job, (loss.zone for loss in same)),
            "time": clock_time(first.lapses_at, self._tz, seconds=False),
        }
        if again is None or again.step.id == first.step:
            return self._of_car(first.job, _("{step} ({zones}) cannot begin by {time} any more.").format(**facts))
        sentence = _("{step} ({zones}) cannot begin by {time} any more; {again} comes again.")
        return self._of_car(first.job, sentence.format(**facts, again=kind_words(again.step.kind)))

    def held(self) -> str:
        """Say that somebody must look, and at what."""
        job, zones = _of_first_car(self._work.held)
        sentence = _("{zones}: the moment of a step was missed, and somebody must look before work goes on.")
        return self._of_car(job, sentence.format(zones=capital(self._zones(job, zones))))

    def left_out(self) -> str:
        """Say for whom or what the first step that is left out waits."""
        job, _zone, step_id, _turn = self._work.left_out[0]
        state = self._state.jobs[job]
        zones = tuple(dict.fromkeys(key[1] for key in self._work.left_out if (key[0], key[2]) == (job, step_id)))
        step = state.job.recipe_of(zones[0]).named(StepId(step_id))
        facts = {"step": capital(kind_words(step.kind)), "zones": self._zones(job, zones)}
        if self._work.crew.people and not self._work.crew.able(state, step):
            return self._of_car(job, _("{step} ({zones}): nobody who is here does that.").format(**facts))
        return self._of_car(job, _("{step} ({zones}) waits for work that is not planned.").format(**facts))

    def overtime(self, ends_s: int) -> str:
        """Say until when somebody would have to stay."""
        ends = clock_time(self._work.moment(ends_s), self._tz, seconds=False)
        return _("Within the hours a wait would be missed: somebody stays until {time}.").format(time=ends)

    def _zones(self, job: JobId, zones: Iterable[ZoneId]) -> str:
        return zones_in_order(self._state.jobs[job].job, zones)

    def _of_car(self, job: JobId, sentence: str) -> str:
        return of_car(self._state.jobs[job].job, sentence, len(self._state.open_jobs))


def _of_first_car(zones: Iterable[tuple[JobId, ZoneId]]) -> Zones:
    """Return the first car that is named, and all its zones."""
    all_zones = list(zones)
    job = all_zones[0][0]
    return job, tuple(zone for of, zone in all_zones if of == job)
