"""Splitting and joining zones of a new car: what was touched so far and what follows.

It loads shapely, so the wall loads it only when the page is first opened.
"""

from dataclasses import dataclass, replace

from bayapp.files.drawings.division import CannotDivideError, join, split
from bayapp.files.drawings.zone_cutting import Direction
from bayapp.job.model.ids import ZoneId
from bayapp.job.text.naming import capital
from bayapp.pages.cars.new_job import Draft
from bayapp.text.language import _

HALF = 0.5
STEP = 0.05
LEAST, MOST = 0.1, 0.9


@dataclass(frozen=True, slots=True)
class Dividing:
    """The state of the page.

    Attributes:
        draft: the car as it is drawn now, the open cut in it.
        before: the car without the open cut; None if no cut is open. A cut stays open until something else is touched.
        chosen: the zones touched last, or the parts of the open cut.
        cut_zone, direction, share: the open cut.
        joining: whether the next touch joins a zone to the chosen one.
        past: the earlier states for ``undone``, the newest last.
        trouble: why the last touch did nothing; else empty.
    """

    draft: Draft
    before: Draft | None = None
    chosen: tuple[ZoneId, ...] = ()
    cut_zone: ZoneId | None = None
    direction: Direction = "across"
    share: float = HALF
    joining: bool = False
    past: tuple[Draft, ...] = ()
    trouble: str = ""

    def touched(self, zone: ZoneId) -> "Dividing":
        """Choose a zone, or join it with the chosen one."""
        settled = self._settled()
        if not (self.joining and self.chosen) or zone in self.chosen:
            return replace(settled, chosen=(zone,), joining=False)
        draft = self.draft
        try:
            division = join(draft.form, draft.drawing, (*self.chosen, zone))
        except CannotDivideError as why:
            return replace(self, trouble=capital(str(why)))
        new = draft.divided(division.form, division.drawing, division.became)
        return replace(settled, draft=new, chosen=division.became[zone], joining=False, past=(*settled.past, draft))

    def cut(self, direction: Direction) -> "Dividing":
        """Cut the chosen zone in two, or rotate the open cut."""
        zone = self.cut_zone if self.before else self._one
        if zone is None:
            return replace(self, trouble=_("Touch the zone that is to be cut."))
        return self._cut(zone, direction, HALF)

    def moved(self, steps: int) -> "Dividing":
        """Move the open cut, forward or up for less than 0."""
        if self.before is None or self.cut_zone is None:
            return replace(self, trouble=_("Cut a zone first."))
        share = min(MOST, max(LEAST, round(self.share + steps * STEP, 2)))
        return self._cut(self.cut_zone, self.direction, share)

    def join_wanted(self) -> "Dividing":
        """Let the next touch join a zone to the chosen one; a second call cancels that."""
        if self._one is None:
            return replace(self, trouble=_("Touch the first of the zones that are to be one."))
        return replace(self._settled(), joining=not self.joining)

    def undone(self) -> "Dividing":
        """Undo the last cut or join."""
        if self.before:
            return Dividing(self.before, chosen=(self.cut_zone,) if self.cut_zone else (), past=self.past)
        if self.past:
            return Dividing(self.past[-1], past=self.past[:-1])
        return replace(self, trouble=_("Nothing has been divided."))

    def worked_by(self, recipe: str) -> "Dividing":
        """Give the chosen zones a recipe."""
        return replace(self._settled(), draft=self.draft.worked_by(self.chosen, recipe), chosen=self.chosen)

    @property
    def _one(self) -> ZoneId | None:
        return self.chosen[0] if len(self.chosen) == 1 else None

    def _settled(self) -> "Dividing":
        """Return the state with the open cut made final."""
        past = (*self.past, self.before) if self.before else self.past
        return replace(self, before=None, cut_zone=None, past=past, trouble="")

    def _cut(self, zone: ZoneId, direction: Direction, share: float) -> "Dividing":
        base = self.before or self.draft
        try:
            division = split(base.form, base.drawing, zone, direction, share)
        except CannotDivideError as why:
            return replace(self, trouble=capital(str(why)))
        return replace(
            self,
            draft=base.divided(division.form, division.drawing, division.became),
            before=base,
            chosen=division.became[zone],
            cut_zone=zone,
            direction=direction,
            share=share,
            joining=False,
            trouble="",
        )


@dataclass(frozen=True, slots=True)
class DividingView:
    """What the page shows.

    Attributes:
        note: what was touched, or what to touch.
        across, along: the direction of an open cut.
        share: its position in words; empty if none is open.
        forward, back: the words of the buttons that move the cut.
        recipe: the recipe of the chosen zones.
        joining, may_undo: whether the next touch joins; whether anything can be taken back.
        may_cut, may_join, may_choose: whether the chosen zones can be cut, joined, given a recipe.
    """

    note: str
    across: bool
    along: bool
    share: str
    forward: str
    back: str
    recipe: str
    joining: bool
    may_undo: bool
    may_cut: bool
    may_join: bool
    may_choose: bool
    trouble: str


def dividing_view(dividing: Dividing) -> DividingView:
    """Return the page."""
    draft, open_cut = dividing.draft, dividing.before is not None
    names = [capital(draft.form.zone_named(zone).name) for zone in dividing.chosen]
    prompt = ";  ".join(names) or _("Touch a zone on the car.")
    if dividing.joining:
        prompt = _("{zone}: touch the neighbour that it is joined with.").format(zone=prompt)
    along = dividing.direction == "along"
    recipes = dict.fromkeys(draft.picks.get(zone, "") for zone in dividing.chosen)
    said = [draft.recipes[name].title or name if name else _("not worked") for name in recipes]
    return DividingView(
        note=prompt,
        across=open_cut and not along,
        along=open_cut and along,
        share=_("move the cut: {n} %").format(n=round(100 * dividing.share)) if open_cut else "",
        forward=_("Up") if along else _("To the front"),
        back=_("Down") if along else _("To the rear"),
        recipe=", ".join(said),
        joining=dividing.joining,
        may_undo=open_cut or bool(dividing.past),
        may_cut=open_cut or len(dividing.chosen) == 1,
        may_join=len(dividing.chosen) == 1,
        may_choose=bool(dividing.chosen) and bool(draft.recipes_for(*dividing.chosen)),
        trouble=dividing.trouble,
    )
