"""The tables of zones: a row per zone or equal zones, a column per step of their recipe."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from bayapp.job.model.ids import StepId, Urgency
from bayapp.job.model.job import Job
from bayapp.job.model.recipe import FollowingRecipe, Recipe, Step
from bayapp.job.text.naming import capital, sets_title, step_title
from bayapp.report.facts.day_record import DayRecord, ZoneRecord
from bayapp.report.facts.merge import Row, rows_of
from bayapp.report.facts.phrases import Phrases, required
from bayapp.report.facts.recipes_over_time import title_of
from bayapp.report.paper.cells import PAD, QUIET, RULE, CellEntry, cell_height, entry
from bayapp.report.paper.paper import Ink, Piece, Type, broken, height_of, lines_at, space
from bayapp.text.language import _, ngettext

NAMES = 33.0
CURE = 11.5
GAP = 0.6
BAND = "#e6e9ea"
Lines = list[tuple[str, Type]]


@dataclass(frozen=True, slots=True)
class Column:
    """A step's place in the table, mm."""

    step: Step
    left: float
    width: float


@dataclass(frozen=True, slots=True)
class ZoneTable:
    """Sets the tables of one record at one size of type, to one width."""

    ink: Ink
    phrases: Phrases
    job: Job
    width: float
    size: float

    def pieces(self, record: DayRecord) -> list[Piece]:
        """Return the tables of every recipe that was worked, in the order of the job.

        Zones without any work stand among what is left; one that went on by another recipe stands under both.
        """
        pieces: list[Piece] = []
        for recipe in dict.fromkeys(block.recipe for block in self.job.blocks):
            zones = [zone for zone in record.zones if self.job.blocks[zone.block].recipe == recipe]
            now = title_of(recipe)
            earlier: set[str] = set()  # done under another recipe
            for title in _titles(zones, now):
                parts = _worked_by(title, zones)
                done = {step.step for zone in parts for step in zone.steps}
                wanted = [s for s in _climbed(recipe) if s.id in done]
                if title == now:
                    wanted = [s for s in recipe.step if s.id in done or s.id not in earlier]
                earlier |= done
                pieces += self._of_recipe(title, wanted, parts)
        return pieces

    def _of_recipe(self, title: str, steps: Sequence[Step], zones: Sequence[ZoneRecord]) -> list[Piece]:
        worked = [zone for zone in zones if zone.steps or zone.cure]
        if not worked:
            return []
        pieces: list[Piece] = []
        for place, columns in enumerate(self._bands(steps, self.job.recipe_of(worked[0].zone))):
            head = self._head(title, columns, worked, place > 0)
            pieces += [head, *(self._row(row, columns, head) for row in rows_of(worked, self.job)), space(1.5)]
        return pieces

    def _bands(self, steps: Sequence[Step], recipe: Recipe) -> list[list[Column]]:
        """Return steps of a recipe side by side, in as many bands as it takes for a span of time to fit in each."""
        least = self.ink.width("00:00–00:00", Type(self.size, narrow=True)) + 2 * PAD + GAP
        fits = max(1, int((self.width - NAMES - 2 * CURE) / least))
        return [self._columns(recipe, steps[n : n + fits], least) for n in range(0, len(steps), fits)]

    def _columns(self, recipe: Recipe, steps: Sequence[Step], least: float) -> list[Column]:
        """Share the width out: what a span of time needs to each, the rest to the long words of titles, then to all."""
        bold = Type(self.size, bold=True, narrow=True)
        words = [capital(step_title(recipe, StepId(step.id))).split() for step in steps]
        wishes = [max(0.0, max(self.ink.width(w, bold) for w in title) + 2 * PAD - least) for title in words]
        rest = self.width - NAMES - 2 * CURE - least * len(steps)
        granted = min(1.0, rest / sum(wishes)) if sum(wishes) else 0.0
        equal = (rest - granted * sum(wishes)) / len(steps)
        widths = [least + wish * granted + equal for wish in wishes]
        lefts = accumulate(widths, initial=NAMES)
        return [Column(step, left, width) for step, left, width in zip(steps, lefts, widths, strict=False)]

    def _fitted(self, title: str, how: Type, width: float) -> Type:
        """Return the type made small enough for the title's longest word."""
        widest = max(self.ink.width(word, how) for word in title.split())
        return how if widest <= width else replace(how, size=how.size * width / widest * 0.99)

    def _head(self, recipe_title: str, columns: Sequence[Column], zones: Sequence[ZoneRecord], more: bool) -> Piece:
        """Return the recipe's name, each step's title and the wait that the recipe asks for."""
        bold, quiet = Type(self.size, bold=True, narrow=True), Type(self.size - 0.5, narrow=True, ink=QUIET)
        name = capital(recipe_title) + (f", {_('continued')}" if more else "")
        heads = [(0.0, self._set(NAMES, (name, Type(self.size + 1, bold=True)), (self._protects(zones), quiet)))]
        for column in columns:
            title = capital(step_title(self.job.recipe_of(zones[0].zone), StepId(column.step.id)))
            asked = self._required(column.step, zones[0])
            fitted = self._fitted(title, bold, column.width - 2 * PAD)
            heads.append((column.left, self._set(column.width, (title, fitted), (asked, quiet))))
        for place, words in enumerate((_("Dry until"), _("Drive from"))):
            heads.append((self.width - (2 - place) * CURE, self._set(CURE, (words, bold))))
        height = max(height_of(lines) for _x, lines in heads) + 2 * PAD

        def paint(ink: Ink, top: float) -> None:
            ink.box(0, top, self.width, height, BAND, None)
            for x, lines in heads:
                lines_at(ink, x + PAD, top + PAD, lines)

        return Piece(height, paint, keep=True)

    def _set(self, width: float, *texts: tuple[str, Type]) -> Lines:
        """Return texts one below the other, broken to a column's width."""
        return [(s, how) for text, how in texts if text for s in broken(self.ink, text, how, width - 2 * PAD)]

    def _required(self, step: Step, zone: ZoneRecord) -> str:
        wait = step.wait
        if wait is None or (wait.min == 0 and wait.max is None and wait.of is None):
            return ""
        waits = [kept.wait.counted_from for kept in zone.steps if kept.step == step.id and kept.wait]
        if wait.of is None and wait.after is None:
            return required(wait, "")
        if waits:
            return required(wait, waits[-1])
        if wait.sets:
            return required(wait, sets_title(self.job, wait)) if self.job.counted(wait) else ""
        return required(
            wait, "" if wait.after is None else step_title(self.job.recipe_of(zone.zone), StepId(wait.after))
        )

    def _protects(self, zones: Sequence[ZoneRecord]) -> str:
        ends = [zone.cure.protects_until for zone in zones if zone.cure and zone.cure.protects_until]
        if not ends:
            return ""
        return _("next check due {month}, no guarantee").format(month=self.phrases.month(min(ends)))

    def _row(self, row: Row, columns: Sequence[Column], head: Piece) -> Piece:
        """Return one row: names and state, a cell for each step, the cure."""
        names = self._names(row)
        cells: list[list[CellEntry]] = [
            [
                entry(self.ink, self.phrases, step, self.size, column.width - GAP)
                for step in row.like.steps
                if step.step == column.step.id
            ]
            for column in columns
        ]
        cures = self._cures(row.like)
        height = max([height_of(names) + 2 * PAD, *map(cell_height, cells), *(height_of(c) + 2 * PAD for c in cures)])

        def paint(ink: Ink, top: float) -> None:
            ink.line(0, top, self.width, top, 0.15, RULE)
            _painted(ink, PAD, top + PAD, names)
            for column, entries in zip(columns, cells, strict=True):
                below = top
                for one in entries:
                    one.paint(ink, column.left, below, column.width - GAP)
                    below += one.height
            for place, lines in enumerate(cures):
                _painted(ink, self.width - (2 - place) * CURE + PAD, top + PAD, lines)

        return Piece(height, paint, head=head)

    def _names(self, row: Row) -> Lines:
        bold, quiet = Type(self.size, bold=True, narrow=True), Type(self.size - 0.5, narrow=True, ink=QUIET)
        return self._set(NAMES, (capital(row.title), bold), (state_words(row.like), quiet))

    def _cures(self, zone: ZoneRecord) -> list[Lines]:
        how = Type(self.size, narrow=True)
        moments = (zone.cure.dry_until, zone.cure.drive_from) if zone.cure else ()
        texts = [self.phrases.clock(moment) if moment else "" for moment in moments]
        return [self._set(CURE, (text, how)) for text in texts]


def _climbed(recipe: Recipe) -> list[Step]:
    """Return the steps of a recipe and of those before it, the earliest first, each once."""
    before = recipe.earlier if isinstance(recipe, FollowingRecipe) else ()
    steps = [step for ladder in (*reversed(before), recipe) for step in ladder.step]
    return list({step.id: step for step in steps}.values())


def _titles(zones: Sequence[ZoneRecord], now: str) -> list[str]:
    """Return the recipes that these zones were worked by today, in the order of time, the present one last."""
    steps = sorted((step for zone in zones for step in zone.steps), key=lambda step: step.started_at)
    return [*dict.fromkeys(step.recipe for step in steps if step.recipe not in ("", now)), now]


def _worked_by(title: str, zones: Sequence[ZoneRecord]) -> list[ZoneRecord]:
    """Return the zones with the steps that were begun under one recipe; the cure belongs to the present one."""
    parts = []
    for zone in zones:
        steps = tuple(step for step in zone.steps if (step.recipe or zone.recipe) == title)
        parts.append(replace(zone, steps=steps, cure=zone.cure if zone.recipe == title else None))
    return parts


def state_words(zone: ZoneRecord) -> str:
    """Return how a zone stands, in words."""
    if zone.steps and all(step.recipe not in ("", zone.recipe) for step in zone.steps):
        return _("went on by {recipe}").format(recipe=zone.recipe)
    words = {
        Urgency.WORKING: _("being worked"),
        Urgency.LAPSED: _("too late, must go back"),
        Urgency.FINISHED: _("finished"),
    }.get(zone.urgency, _("not done yet"))
    words = _("set aside: {reason}").format(reason=zone.aside) if zone.aside else words
    if zone.earlier:
        words += ", " + ngettext("{n} step on earlier days", "{n} steps on earlier days", zone.earlier).format(
            n=zone.earlier
        )
    return words


def _painted(ink: Ink, x: float, top: float, lines: Lines) -> None:
    lines_at(ink, x, top, lines)
