"""What the car painter needs to know of one zone, and the words it writes."""

from dataclasses import dataclass

from bayapp.job.model.ids import Motion, Stage, Urgency
from bayapp.job.model.mark import Mark


@dataclass(frozen=True)
class ZoneLook:
    """How one zone looks now.

    Attributes:
        stage: the state of the surface; drawn as texture.
        layers: the motions of the layers laid so far, first to last.
        planned: how many layers are planned, 0 if unknown.
        urgency: the state of its clock; drawn as colour and badge.
        fraction: share of the wait or of the open window that is left, 0 to 1.
        time_text: the countdown in words ready to paint, e.g. "6:20"; empty for none.
        name: the zone's name, drawn if there is room for it.
        show_time: ask for the time on the car; it is painted only where its plate fits.
        selected: a person has picked this zone.
        next_up: the next step is here: ring and flag.
        away: not in the job at all; drawn back, an empty outline in the silhouette.
        aside: not worked today; drawn as thin lines across the texture.
        marks: what is known of it from arrival; drawn as tags.
        covered: a cover is over its coat; drawn as a sewn hem.
    """

    stage: Stage = Stage.UNTOUCHED
    layers: tuple[Motion, ...] = ()
    planned: int = 0
    urgency: Urgency = Urgency.IDLE
    fraction: float = 1.0
    time_text: str = ""
    name: str = ""
    show_time: bool = False
    selected: bool = False
    next_up: bool = False
    away: bool = False
    aside: bool = False
    covered: bool = False
    marks: tuple[Mark, ...] = ()

    @property
    def counted(self) -> int:
        """How many layers the plate counts: none if only one is planned."""
        return 0 if self.planned == 1 else len(self.layers)

    @property
    def active(self) -> bool:
        """Whether a clock runs on this zone or somebody works on it."""
        return self.urgency not in (Urgency.IDLE, Urgency.FINISHED)


@dataclass(frozen=True)
class CarWords:
    """The words on the board beside the zones' names, in the language of the shop."""

    next_up: str = "NEXT"
    left: str = "left side"
    right: str = "right side"
    front: str = "front"


NO_WORDS = CarWords(next_up="", left="", right="", front="")
"""Nothing beside the zones' names: for a car drawn small."""
