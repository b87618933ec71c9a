"""Where a car can stand: the bays of a shop, in a row with curtains between some of them, and outside."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from bayapp.job.model.ids import PlaceId

OUTSIDE = PlaceId("outside")
BayName = Annotated[str, Field(min_length=1, max_length=24)]
Spot = Annotated[str, Field(max_length=40)]
"""Where a car cures elsewhere, in a few words: under which roof, on whose yard; empty where nobody said."""


class Bay(BaseModel):
    """One bay; ``curtain``: one hangs between it and the next, and neither dust nor water nor air passes.

    ``id`` stays as it is when the bay gets another name.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")
    id: PlaceId
    name: BayName
    curtain: bool = False


@dataclass(frozen=True, slots=True)
class Places:
    """The bays as they stand side by side, and which sensor stands where.

    Without bays the shop is one room without a name, and a car's place is None. None beside bays says that nobody has
    told where it is: it then counts as in every bay, but not as outside.

    Attributes:
        names: of all bays that ever were, for papers and for ids that are not given twice.
    """

    bays: tuple[Bay, ...] = ()
    sensors: Mapping[str, PlaceId] = field(default_factory=dict)
    names: Mapping[PlaceId, str] = field(default_factory=dict)

    def knows(self, place: PlaceId | None) -> bool:
        """Whether a car can be said to stand there."""
        if place is None:
            return not self.bays
        return place == OUTSIDE or any(bay.id == place for bay in self.bays)

    def same_air(self, one: PlaceId | None, other: PlaceId | None) -> bool:
        """Whether dust, water and air pass between two places; outside is open to no bay."""
        if one == other:
            return True
        if OUTSIDE in (one, other):
            return False
        if not (self._is_bay(one) and self._is_bay(other)):
            return True
        first, last = sorted(self._at(place) for place in (one, other))
        return not any(bay.curtain for bay in self.bays[first:last])

    def around(self, place: PlaceId | None) -> tuple[Bay, ...]:
        """Return the bays that a place shares its air with, itself among them; none outside."""
        return tuple(bay for bay in self.bays if self.same_air(place, bay.id))

    def divides(self) -> tuple[tuple[PlaceId, bool], ...]:
        """Return all that decides which places share their air: the row of bays and its curtains."""
        return tuple((bay.id, bay.curtain) for bay in self.bays)

    def next_id(self) -> PlaceId:
        """Return the id of the next bay; none that was ever given."""
        return PlaceId(f"bay-{len(self.names) + 1}")

    def _is_bay(self, place: PlaceId | None) -> bool:
        return any(bay.id == place for bay in self.bays)

    def _at(self, place: PlaceId | None) -> int:
        return next(number for number, bay in enumerate(self.bays) if bay.id == place)


NO_PLACES = Places()
