"""The parts of the paper around the tables: head, car, summary, deviations, what is left."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from bayapp.job.model.identity import called
from bayapp.job.model.job import Job
from bayapp.job.text.naming import capital, zones_in_brief
from bayapp.report.facts.air_values import WaitMoved
from bayapp.report.facts.bottles_used import bottles_used, used_without_bottle
from bayapp.report.facts.day_record import DayRecord, Kept, WaitKept, WorkLeft
from bayapp.report.facts.merge import (
    joined_aside,
    joined_covers,
    joined_deviations,
    joined_lapses,
    joined_marks,
    names_of,
    rows_of,
)
from bayapp.report.facts.phrases import Phrases, zones_count
from bayapp.report.paper.cells import BAR_HEIGHT, INK, QUIET, paint_bar
from bayapp.report.paper.legend import Legend
from bayapp.report.paper.paper import Ink, Piece, Type, broken, height_of, lines_at, space
from bayapp.text.days import long_date
from bayapp.text.language import _, ngettext

GUTTER = 6.0
CAR_SHARE = 0.63
CAR_SHAPE = 1000 / 1600
TINT = "#f1f2f2"
APART = 0.9
TALLEST = 60.0
NAMED = 3
Lines = list[tuple[str, Type]]


@dataclass(frozen=True, slots=True)
class Sections:
    """Sets the sections of one record at one size of type, to one width."""

    ink: Ink
    phrases: Phrases
    record: DayRecord
    job: Job
    width: float
    size: float

    def head(self) -> list[Piece]:
        """Return the title with the car, the day and the crew."""
        record, quiet = self.record, Type(8.5, ink=QUIET)
        left = self._set(capital(called(record.title, record.identity.plate)), Type(17, bold=True), self.width * 0.62)
        facts = [
            _("{vehicle}, job {job}").format(vehicle=record.vehicle, job=record.job),
            _("Crew: {crew}").format(crew=self.phrases.crew() or _("nobody named")),
        ]
        facts += self.phrases.identity(record.identity)
        under = [line for fact in facts for line in self._set(fact, quiet, self.width)]
        day = [(_("Day record"), quiet), (long_date(record.day), Type(10.5, bold=True))]
        height = max(height_of(left), height_of(day)) + 1 + height_of(under)

        def paint(ink: Ink, top: float) -> None:
            lines_at(ink, 0, top, left)
            for place, (text, how) in enumerate(day):
                lines_at(ink, self.width - ink.width(text, how), top + height_of(day[:place]), [(text, how)])
            lines_at(ink, 0, top + max(height_of(left), height_of(day)) + 1, under)
            ink.line(0, top + height + 1.5, self.width, top + height + 1.5, 0.5, INK)

        return [Piece(height + 2, paint, keep=True), space(2)]

    def car_and_summary(self, car_height: float) -> list[Piece]:
        """Return the drawn car with its legend, and beside it what counts most."""
        car_width = min(self.width * CAR_SHARE, car_height / CAR_SHAPE)
        x = car_width + GUTTER
        summary = self._summary(self.width - x)
        legend = Legend(self.ink, self.record, self.width, 7)
        key = self._key(self.width - x)
        height = max(car_width * CAR_SHAPE, height_of(summary) + height_of(key) + BAR_HEIGHT + 3)

        def paint(ink: Ink, top: float) -> None:
            ink.car(0, top, car_width, car_width * CAR_SHAPE)
            lines_at(ink, x, top, summary)
            bottom = top + height
            paint_bar(ink, self._sample_wait(), x, bottom - height_of(key) - BAR_HEIGHT, self.width - x)
            lines_at(ink, x, bottom - height_of(key), key)

        return [Piece(height + 1, paint, keep=True), *legend.pieces(), space(3)]

    def _sample_wait(self) -> WaitKept:
        at = [self.record.start + timedelta(minutes=n) for n in (0, 5, 9, 20)]
        return WaitKept("", "end", started_at=at[2], since=at[0], opens_at=at[1], lapses_at=at[3])

    def _key(self, width: float) -> Lines:
        """Return how the tables are read; the first line stands under a sample of a wait."""
        text = _(
            "Thin: the wait asked for. Thick: the time allowed. Mark: when it was begun, with the wait as it was. "
            "Boxed: otherwise than the recipe says. Struck through: had to be done again."
        )
        return self._set(text, Type(6.5, narrow=True, ink=QUIET), width)

    def _summary(self, width: float) -> Lines:
        record, label, text = self.record, Type(8, ink=QUIET), Type(8.5)
        big = Type(13, bold=True)
        lines: Lines = [(_("Handover"), label)]
        if record.handover_at:
            lines += self._set(_("From {time}").format(time=self.phrases.moment(record.handover_at)), big, width)
        else:
            lines += self._set(_("No moment yet"), big, width)
            lines += self._set(
                _("{zones} not done; see what is left.").format(zones=zones_count(len(record.not_done))), text, width
            )
        for words, moments in (
            (_("Keep the finished zones dry until {time}."), [z.cure.dry_until for z in record.zones if z.cure]),
            (_("Do not drive before {time}."), [z.cure.drive_from for z in record.zones if z.cure]),
            (_("Fully cured, and washed, not before {time}."), [z.cure.full_cure_at for z in record.zones if z.cure]),
        ):
            ahead = [moment for moment in moments if moment and moment > record.seen_at]
            if ahead:
                lines += self._set(words.format(time=self.phrases.moment(max(ahead))), text, width)
        for sentence in self.phrases.brakes(record.brakes):
            lines += self._set(sentence, text, width)
        for sentence in self._not_said():
            lines += self._set(sentence, text, width)
        lines += [("", Type(4)), (_("The day"), label)]
        for fact in self._counts():
            lines += self._set(fact, text, width)
        return lines

    def _not_said(self) -> list[str]:
        """Return what no sheet says of the finished zones."""
        cures = [zone.cure for zone in self.record.zones if zone.cure]
        dry, drive = any(cure.dry_until for cure in cures), any(cure.drive_from for cure in cures)
        if not cures or (dry and drive):
            return []
        if not dry and not drive:
            return [_("How long to keep it dry, and from when to drive, the sheets do not say.")]
        return [
            _("From when to drive, the sheets do not say.")
            if dry
            else _("How long to keep it dry, the sheets do not say.")
        ]

    def _counts(self) -> list[str]:
        record = self.record
        steps = [step for zone in record.zones for step in zone.steps]
        waits = [step.wait for step in steps if step.wait]
        kept = sum(wait.kept is Kept.INSIDE for wait in waits)
        done = sum(step.finished_at is not None for step in steps)
        air = [c for c in record.air_changes if c.kind != "read"]
        counts = (
            (len(record.deviations), _("1 deviation"), _("{n} deviations")),
            (
                sum(not one.spoilt_by for one in record.lapses),
                _("1 latest moment missed"),
                _("{n} latest moments missed"),
            ),
            (sum(bool(one.spoilt_by) for one in record.lapses), _("1 wipe spoilt"), _("{n} wipes spoilt")),
            (sum(bool(zone.aside) for zone in record.zones), _("1 zone set aside"), _("{n} zones set aside")),
            (len(record.taken_back), _("1 entry undone"), _("{n} entries undone")),
            (len(record.corrections), _("1 time corrected"), _("{n} times corrected")),
            (len(air), _("1 reading of the air put right"), _("{n} readings of the air put right")),
        )
        return [
            ngettext("{n} step done", "{n} steps done", done).format(n=done),
            _("{kept} of {all} waits kept").format(kept=kept, all=len(waits)),
            *((one if n == 1 else many).format(n=n) for n, one, many in counts if n),
            _("as it stood {time}").format(time=self.phrases.moment(record.seen_at)),
        ]

    def deviations_and_lapses(self) -> list[Piece]:
        """Return what went otherwise than the recipes say, in a box of its own; nothing when nothing did."""
        record, phrases = self.record, self.phrases
        sentences = [
            *(phrases.deviation(d, self._names(d)) for d in joined_deviations(record.deviations)),
            *(doubted.said for doubted in record.doubted),
            *(phrases.lapse(la, self._names(la)) for la in joined_lapses(record.lapses)),
        ]
        return self._listed(_("Deviations and missed moments"), sentences, tinted=True)

    def marks(self) -> list[Piece]:
        """Return what zones are or were marked as on this day; nothing where none was."""
        sentences = [self.phrases.mark(m, self._names(m)) for m in joined_marks(self.record.marks)]
        return self._listed(_("Marks"), sentences)

    def aside(self) -> list[Piece]:
        """Return the zones that were taken out of the day's work; nothing when none was."""
        sentences = [self.phrases.aside(a, self._names(a)) for a in joined_aside(self.record.aside)]
        return self._listed(_("Set aside, not worked today"), sentences)

    def covers(self) -> list[Piece]:
        """Return the coats that were covered and the zones that went on by themselves; nothing when none was."""
        sentences = [
            *(self.phrases.cover(c, self._names(c)) for c in joined_covers(self.record.covers)),
            *map(self.phrases.alone, self.record.alone),
        ]
        return self._listed(_("Covered, and worked by itself"), sentences)

    def changes(self) -> list[Piece]:
        """Return how the job was changed on this day; nothing when it was not."""
        sentences = [
            self.phrases.change(c, capital(names_of(self.job, c.zones)) if c.zones else "") for c in self.record.changes
        ]
        sentences += map(self.phrases.identity_corrected, self.record.identity_corrections)
        return self._listed(_("The job was changed"), sentences)

    def air_changes(self) -> list[Piece]:
        """Return what was put right about the air, distrusted sensors, and which waits readings moved; or nothing."""
        mended = [c for c in self.record.air_changes if c.kind != "read"]
        moves: dict[object, list[WaitMoved]] = {}
        for change in self.record.air_changes:
            for moved in change.moved if change.kind == "read" else ():
                moves.setdefault((moved.zones, moved.step, moved.since), []).append(moved)
        return [
            *self._listed(_("The air was corrected"), [self.phrases.air_change(c) for c in mended]),
            *self._listed(_("Sensors not trusted"), [self.phrases.distrusted(d) for d in self.record.distrusted]),
            *self._listed(_("Waits that the air moved"), [self.phrases.moved_by_the_air(m) for m in moves.values()]),
        ]

    def _names(self, entries: Sequence[object]) -> str:
        return capital(names_of(self.job, [getattr(one, "zone") for one in entries]))  # noqa: B009 (two types share it)

    def left(self) -> list[Piece]:
        """Return what is left on each zone, with the first moment of the next step."""
        zones = [zone for zone in self.record.zones if zone.ahead]
        zones_by_ahead: dict[WorkLeft, list[str]] = {}
        for row in rows_of(zones, self.job):
            if row.like.ahead:
                zones_by_ahead.setdefault(row.like.ahead, []).append(row.title)
        texts = [f"{capital(', '.join(names))}: {self._ahead(ahead)}" for ahead, names in zones_by_ahead.items()]
        return self._listed(_("Left to do"), texts)

    def _ahead(self, ahead: WorkLeft) -> str:
        steps = ", ".join(step.title for step in ahead.steps)
        if ahead.aside:
            return _("{steps}. Set aside: {reason}.").format(steps=steps, reason=ahead.aside.rstrip("."))
        if ahead.forbidden:
            return _("{steps}. Not done: {why}").format(steps=steps, why=ahead.forbidden)
        if ahead.running:
            return _("{steps}. The first is under way.").format(steps=steps)
        if ahead.held:
            return _("{steps}. A person must look first.").format(steps=steps)
        if ahead.waits_for:
            return _("{steps}. Waits for {zones}.").format(steps=steps, zones=_first_of(ahead.waits_for))
        if ahead.barred:
            return _("{steps}. Not yet: {why}").format(steps=steps, why=ahead.barred)
        if ahead.next_from and ahead.next_from > self.record.seen_at:
            text = _("{steps}. From {time}").format(steps=steps, time=self.phrases.clock(ahead.next_from))
        else:
            text = _("{steps}. From now").format(steps=steps)
        if ahead.next_until:
            return _("{from_when} until {time}.").format(from_when=text, time=self.phrases.clock(ahead.next_until))
        return f"{text}."

    def bottles(self) -> list[Piece]:
        """Return what was laid from which bottle on which zone, and every product of which no bottle was told."""
        zones = self.record.zones
        told = [self.phrases.bottle(one, used) for one, used in bottles_used(zones).items()]
        untold = [
            self.phrases.no_bottle(product, zones_in_brief(self.job, used))
            for product, used in used_without_bottle(zones).items()
        ]
        listed = self._listed(_("Bottles"), told)
        if not untold:
            return listed
        sentence = _("Bottle not told: {products}.").format(products="; ".join(untold))
        lines = self._set(sentence, Type(self.size, narrow=True), self.width)
        return [*listed, Piece(height_of(lines), lambda ink, top: _painted(ink, 0, top, lines)), space(1)]

    def small_print(self) -> list[Piece]:
        """Return air, notes, corrections, what was undone and what happened to the machine's clock."""
        record, phrases = self.record, self.phrases
        return [
            *self._listed(_("Taken back and corrected"), self._mended()),
            *self._listed(_("Notes"), [phrases.note(note) for note in record.notes]),
            *self._listed(_("Paint thickness"), phrases.thickness(record.thickness)),
            *self._listed(_("Photos"), phrases.photos(record.photos)),
            *self.air_changes(),
            *self._listed(_("Air"), [phrases.reading(reading) for reading in record.readings]),
            *self._listed(_("The machine's clock"), self._of_the_clock()),
        ]

    def _of_the_clock(self) -> list[str]:
        record, phrases = self.record, self.phrases
        return [
            *map(phrases.outage, record.outages),
            *map(phrases.put_right, record.times_put_right),
            *map(phrases.jump, record.clock_jumps),
        ]

    def _mended(self) -> list[str]:
        record, phrases = self.record, self.phrases
        texts = [*map(phrases.taken_back, record.taken_back), *map(phrases.correction, record.corrections)]
        return [capital(text) for text in texts]

    def cautions(self) -> list[Piece]:
        """Return the line that goes before every product's own words."""
        text = _(
            "Product safety sheets, local rules and licensed practice come first. Solvents burn, their vapour harms: "
            "no flame or spark, fresh air, gloves and glasses. Times are an estimate from the recipes and the air as "
            "read, not a guarantee."
        )
        lines = self._set(text, Type(self.size, narrow=True, ink=QUIET), self.width)
        return [space(1), Piece(height_of(lines), lambda ink, top: _painted(ink, 0, top, lines))]

    def _listed(self, title: str, texts: Sequence[str], tinted: bool = False) -> list[Piece]:
        """Return a heading and the texts below it, two side by side."""
        if not texts:
            return []
        inset = 2.0 if tinted else 0.0
        how = Type(self.size, narrow=True)
        items = [self._set(text, how, self._half(inset)) for text in texts]
        heading = [[(title, Type(self.size + 2, bold=True))]]
        pieces = [self._side_by_side(heading, inset, keep=True)]
        while items:
            fits = next((n for n in range(len(items), 1, -1) if _shared(items[:n])[1] <= TALLEST), 1)
            pieces.append(self._side_by_side(items[:fits], inset, keep=False))
            items = items[fits:]
        return [*pieces, space(2.5)]

    def _half(self, inset: float) -> float:
        return (self.width - GUTTER - 2 * inset) / 2

    def _side_by_side(self, items: Sequence[Lines], inset: float, keep: bool) -> Piece:
        """Return items in two columns, the left one to be read first."""
        left, height = _shared(items)

        def column(ink: Ink, x: float, top: float, some: Sequence[Lines]) -> None:
            for lines in some:
                top = lines_at(ink, x, top, lines) + APART

        def paint(ink: Ink, top: float) -> None:
            if inset:
                ink.box(0, top, self.width, height + 0.05, TINT, None)
                ink.line(0.4, top, 0.4, top + height, 0.8, INK)
            column(ink, inset, top + APART / 2, items[:left])
            column(ink, inset + self._half(inset) + GUTTER, top + APART / 2, items[left:])

        return Piece(height, paint, keep=keep)

    def _set(self, text: str, how: Type, width: float) -> Lines:
        return [(line, how) for line in broken(self.ink, text, how, width)]


def _first_of(names: Sequence[str]) -> str:
    """Return the first few names and how many more there are; each of them stands among what is left."""
    rest = len(names) - NAMED
    if rest <= 0:
        return ", ".join(names)
    return ngettext("{names} and {n} more", "{names} and {n} more", rest).format(names=", ".join(names[:NAMED]), n=rest)


def _shared(items: Sequence[Lines]) -> tuple[int, float]:
    """Return how many items go into the left of two columns so that both are as low as can be, and the height."""
    heights = [height_of(lines) + APART for lines in items]
    left = min(range(1, len(items) + 1), key=lambda n: max(sum(heights[:n]), sum(heights[n:])))
    return left, max(sum(heights[:left]), sum(heights[left:]))


def _painted(ink: Ink, x: float, top: float, lines: Lines) -> None:
    lines_at(ink, x, top, lines)
