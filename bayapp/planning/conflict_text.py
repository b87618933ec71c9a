"""What a clash means in the words of the job."""

from collections.abc import Iterable
from datetime import timedelta, tzinfo

from bayapp.job.state.state import BayState
from bayapp.job.text.naming import capital, left_text, of_car, step_title, zones_title
from bayapp.planning.core.problem import Lag, LastOf, Task
from bayapp.planning.from_bay.from_job import Work
from bayapp.planning.from_bay.remaining_operations import Rung
from bayapp.text.figures import clock_time
from bayapp.text.language import _

SECOND = timedelta(seconds=1)


def conflict_sentences(work: Work, state: BayState, clash: Iterable[Task | Lag], tz: tzinfo) -> tuple[str, ...]:
    """Return a sentence that says which latest moments and waits cannot all hold; none if nothing clashes."""
    rules = list(clash)
    if not rules:
        return ()
    sentence = {
        1: _("{facts}: that cannot be kept."),
        2: _("{facts}: not both can be kept."),
    }.get(len(rules), _("{facts}: not all of this can be kept."))
    return (capital(sentence.format(facts="; ".join(_Facts(work, state, tz).of(rules)))),)


class _Facts:
    """Waits and latest moments as parts of a sentence; what is the same on several zones is said once."""

    def __init__(self, work: Work, state: BayState, tz: tzinfo) -> None:
        self._work, self._state, self._tz = work, state, tz
        self._lasts = {last.id: last for last in work.problem.lasts}

    def of(self, clash: list[Task | Lag]) -> list[str]:
        """Return the latest moments first, soonest first, then the waits."""
        groups: dict[tuple[object, ...], list[Rung]] = {}
        for rule in sorted(clash, key=_deadlines_first):
            task = rule.id if isinstance(rule, Task) else rule.then
            rung = self._work.rung_of[task]
            sentence = self._deadline(rule) if isinstance(rule, Task) else self._wait(rule)
            groups.setdefault((rung.job, rung.block, rung.step.id, sentence), []).append(rung)
        return [self._of_zones(rungs, str(key[-1])) for key, rungs in groups.items()]

    def _of_zones(self, rungs: list[Rung], sentence: str) -> str:
        """Phrase a fact about a step on some zones: "buff (rear screen) must start by 14:10:00"."""
        job = self._state.jobs[rungs[0].job].job
        step = step_title(job.recipe_of(rungs[0].zone), rungs[0].key[2])
        zones = zones_title(job, (r.zone for r in rungs))
        sentence = _("{step} ({zones}) {sentence}").format(step=step, zones=zones, sentence=sentence)
        return of_car(job, sentence, len(self._state.open_jobs))

    def _deadline(self, task: Task) -> str:
        moment = self._work.moment(task.latest_s or 0)
        return _("must start by {time}").format(time=clock_time(moment, self._tz))

    def _wait(self, lag: Lag) -> str:
        first, high = self._first(lag), lag.max_s
        if high is not None and (lag.basis == "start-start" or high <= 0 < self._lasting(lag.first)):
            lasting = self._lasting(lag.first)
            since = high if lag.basis == "start-start" else high + lasting
            sentence = _("must start within {most} of the first stroke of {first}, which takes {lasting}")
            return sentence.format(most=_length(since), first=first, lasting=_length(lasting))
        if high is None and lag.min_s <= 0:
            return _("comes after {first}").format(first=first)
        if high is None:
            return _("must start {least} after {first} at the earliest").format(least=_length(lag.min_s), first=first)
        if lag.min_s <= 0:
            return _("must start within {most} after {first}").format(most=_length(high), first=first)
        sentence = _("must start {least} to {most} after {first}")
        return sentence.format(least=_length(lag.min_s), most=_length(high), first=first)

    def _lasting(self, task: str) -> int:
        """Return how long a step takes in total; 0 for the last of several."""
        if task in self._lasts:
            return 0
        run = self._work.rung_of[task].run
        gone = timedelta() if run is None else self._work.at - run.started_at
        return self._work.problem.task_of[task].duration_s + gone // SECOND

    def _first(self, lag: Lag) -> str:
        """Say what a wait counts from: a step of the same zone, of another, or the last of several."""
        last = self._lasts.get(lag.first)
        if last is not None:
            return self._last(last)
        rung, then = self._work.rung_of[lag.first], self._work.rung_of[lag.then]
        job = self._state.jobs[rung.job].job
        step = step_title(job.recipe_of(rung.zone), rung.key[2])
        if (rung.job, rung.zone) == (then.job, then.zone):
            return step
        return _("{step} ({zone})").format(step=step, zone=job.zone_names[rung.zone])

    def _last(self, last: LastOf) -> str:
        rungs = [self._work.rung_of[task] for task in last.tasks]
        job = self._state.jobs[rungs[0].job].job
        zones = zones_title(job, (r.zone for r in rungs))
        steps = {step_title(job.recipe_of(r.zone), r.key[2]) for r in rungs}
        step = steps.pop() if len(steps) == 1 else _("work")
        return _("the last {step} on {zones}").format(step=step, zones=zones)


def _deadlines_first(rule: Task | Lag) -> tuple[bool, int]:
    return isinstance(rule, Lag), (rule.latest_s or 0) if isinstance(rule, Task) else 0


def _length(seconds: int) -> str:
    """Return a duration: "5 min", "2:30 min" if not in whole minutes, "1 h 30" from an hour on."""
    if seconds >= 3600:
        return left_text(timedelta(seconds=seconds))
    minutes = f"{seconds // 60}" if seconds % 60 == 0 else left_text(timedelta(seconds=seconds))
    return _("{minutes} min").format(minutes=minutes)
