"""By which recipe each zone was worked when, for a zone that went on by another."""

from collections.abc import Sequence
from datetime import datetime

from bayapp.job.model.ids import JobId, ZoneId
from bayapp.job.model.recipe import Recipe
from bayapp.job.state.events import Event, JobOpened, RecipeSwapped, WorkAdded


class RecipesOverTime:
    """The titles of each zone's recipes, each from an instant on."""

    def __init__(self, events: Sequence[Event], job: JobId) -> None:
        self._titles: dict[ZoneId, list[tuple[datetime, str]]] = {}
        for event in events:
            if event.job != job:
                continue
            if isinstance(event, JobOpened):
                for block in event.opened.blocks:
                    self._goes_by(block.zones, event.at, title_of(block.recipe))
            elif isinstance(event, WorkAdded):
                self._goes_by(event.block.zones, event.at, title_of(event.block.recipe))
            elif isinstance(event, RecipeSwapped):
                self._goes_by(event.becomes.zones, event.at, event.recipe)

    def title_at(self, zone: ZoneId, moment: datetime) -> str:
        """Return the recipe that a zone went by at a moment; before the first, the first; empty for a zone without."""
        titles = self._titles.get(zone, [])
        by_then = [title for since, title in titles if since <= moment]
        return by_then[-1] if by_then else next((title for _since, title in titles), "")

    def _goes_by(self, zones: Sequence[ZoneId], since: datetime, title: str) -> None:
        for zone in zones:
            self._titles.setdefault(zone, []).append((since, title))


def title_of(recipe: Recipe) -> str:
    """Return what people call a recipe."""
    return recipe.title or recipe.name
