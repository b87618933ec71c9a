"""How soon the practice day could have ended for somebody who knew beforehand how long everything takes.

Argued by hand, for no search has proven as much in minutes; ``test_live_run`` holds it against plans of such a person.

The glass lies open now, the bonnet is wiped and must be coated within 20 minutes, before any glass can be buffed, so
nothing is polished before the bonnet's second coat is levelled. No water flies while it is open, nor for 12 hours
after. Then the lower panels are washed, polished one after the other, for there is one polisher, and coated. Either

- every panel that still has to be polished, and every lower one, is coated after the last lower panel was polished:
  both people level all first coats, the last of them waits an hour for its second coat, and then comes the cabin; or
- one of them is coated, and so lies open, between the wash and the last polish, which must wait for it; or
- one of the upper panels is polished and coated before the wash, which must wait for 12 hours after it; or
- only lamps are: then the wash waits for these, and the first case follows.

A panel coated between two washes would put the later one off by 12 hours more. All these are shorter than what really
happens: no other zone counts, and nobody is ever kept from working but as said.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from bayapp.job import BayState
from bayapp.job.model.ids import StepId, StepKind, ZoneId
from bayapp.planning.from_bay.situation import Minutes

CABIN, BONNET = ZoneId("cabin"), ZoneId("bonnet")
DRY = timedelta(hours=12)
HANDS = 2
TO_LEVEL = timedelta(minutes=1)


def soonest(state: BayState, at: datetime, minutes: Minutes) -> datetime:
    """Return a moment before which nobody could have finished the practice car without a lapse."""
    return _Day(state, at, minutes).soonest()


@dataclass(frozen=True)
class _Day:
    state: BayState
    at: datetime
    minutes: Minutes

    def soonest(self) -> datetime:
        """Return the soonest of the four cases."""
        lower = self._whose_next_is(StepKind.DECONTAMINATE)
        polished = self._whose_next_is(StepKind.POLISH)
        upper = [z for z in polished if self._has(z, "coat-2")]
        lamps = [z for z in polished if not self._has(z, "coat-2")]
        panels = [*upper, *lower]
        open_until = self.at + self._open(BONNET)
        wash = open_until + DRY
        cases = [
            self._coated_last(wash, lower, panels),
            self._polish_interrupted(wash, lower, panels),
            self._end(min(open_until + self._polish_and_coat(z) for z in upper) + DRY, lower),
            self._coated_last(min(open_until + self._polish_and_coat(z) for z in lamps) + DRY, lower, panels),
        ]
        return min(cases)

    def _whose_next_is(self, kind: StepKind) -> list[ZoneId]:
        (job,) = self.state.open_jobs
        found = []
        for zone, now in job.zones.items():
            recipe = job.job.recipe_of(zone)
            done = len(now.rungs)
            if not now.running and done < len(recipe.step) and recipe.step[done].kind is kind:
                found.append(zone)
        return found

    def _has(self, zone: ZoneId, step: str) -> bool:
        return self.state.open_jobs[0].job.recipe_of(zone).has(StepId(step))

    def _takes(self, zone: ZoneId, *steps: str) -> timedelta:
        """Return the work of some steps with the least waits before them."""
        job = self.state.open_jobs[0].job
        recipe = job.recipe_of(zone)
        whole = timedelta()
        for name in steps:
            step = recipe.named(StepId(name))
            whole += timedelta(minutes=self.minutes(job, zone, step))
            whole += step.wait.earliest if step.wait and step.wait.of is None else timedelta()
        return whole

    def _coats(self, zone: ZoneId) -> list[str]:
        recipe = self.state.open_jobs[0].job.recipe_of(zone)
        kinds = (StepKind.COAT, StepKind.LEVEL)
        return [s.id for s in recipe.step if s.kind in kinds]

    def _open(self, zone: ZoneId) -> timedelta:
        """Return how long a zone lies open, from its first stroke until its last coat is levelled."""
        return self._takes(zone, *self._coats(zone))

    def _polish_and_coat(self, zone: ZoneId) -> timedelta:
        return self._takes(zone, "polish", "wipe") + self._open(zone)

    def _polished(self, wash: datetime, lower: Iterable[ZoneId]) -> datetime:
        """Return when the lower panels are polished."""
        zones = list(lower)
        first = min(self._takes(zone, "decontaminate") for zone in zones)
        return wash + first + sum((self._takes(zone, "polish") for zone in zones), timedelta())

    def _coated_last(self, wash: datetime, lower: list[ZoneId], panels: list[ZoneId]) -> datetime:
        first_coats = sum((self._takes(zone, step) for zone in panels for step in ("coat-1", "level-1")), timedelta())
        first_coats -= len(panels) * TO_LEVEL  # nobody needs to stand by
        second = min(self._takes(zone, "coat-2", "level-2") for zone in panels)
        return self._polished(wash, lower) + first_coats / HANDS + second + self._cabin()

    def _polish_interrupted(self, wash: datetime, lower: list[ZoneId], panels: list[ZoneId]) -> datetime:
        return self._end(wash + min(self._open(zone) for zone in panels), lower)

    def _end(self, wash: datetime, lower: list[ZoneId]) -> datetime:
        """Return the end of a day on which the last panel to be polished is wiped and coated at once."""
        last = min(self._takes(zone, "wipe") + self._open(zone) for zone in lower)
        return self._polished(wash, lower) + last + self._cabin()

    def _cabin(self) -> timedelta:
        recipe = self.state.open_jobs[0].job.recipe_of(CABIN)
        return self._takes(CABIN, *(step.id for step in recipe.step))
