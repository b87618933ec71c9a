"""What holds on a zone after its last step: how long it is kept dry, not driven and not washed, and its next check."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from bayapp.job.model.ids import ZoneId
from bayapp.job.state.state import JobState


@dataclass(frozen=True, slots=True)
class Cure:
    """What still holds on a zone whose ladder is done.

    Attributes:
        finished_at: when its last step ended.
        dry_until, drive_from, protects_until, full_cure_at: None where the recipe says nothing of the kind. It may get
            wet long before it is fully cured, but is not washed until then; its next check is due when it
            ``protects_until``.
    """

    finished_at: datetime
    dry_until: datetime | None
    drive_from: datetime | None
    protects_until: datetime | None = None
    full_cure_at: datetime | None = None

    @property
    def until(self) -> datetime:
        """When the last of it ends that the shop waits for."""
        return max(t for t in (self.finished_at, self.dry_until, self.drive_from) if t)


def cure_of(state: JobState, zone: ZoneId) -> Cure | None:
    """Return the cure of a zone, or None while its ladder is not done; of one that got wet it is dry so much later."""
    rungs, recipe = state.zones[zone].rungs, state.job.recipe_of(zone)
    if (
        not rungs
        or state.zones[zone].running
        or recipe.position(rungs[-1].step) not in recipe.group_of(len(recipe.step) - 1)
    ):
        return None
    group = recipe.group_of(len(recipe.step) - 1)
    if len(group) > 1 and len({recipe.step[p].id for p in group} - {r.step for r in rungs}) > 0:
        return None
    end, finish = rungs[-1].finished_at, recipe.finish
    if end is None:
        return None
    wet = state.zones[zone].wet
    dries_from = max(end, wet.at) if wet else end
    dry = dries_from + timedelta(hours=finish.keep_dry_hours) if finish.keep_dry_hours else None
    drive = end + timedelta(hours=finish.no_drive_hours) if finish.no_drive_hours else None
    protects = end + timedelta(days=finish.protects_months * 365.25 / 12) if finish.protects_months else None
    fully = end + timedelta(days=finish.full_cure_days) if finish.full_cure_days else None
    return Cure(end, dry, drive, protects, fully)
