"""What the textures and badges on the drawn car mean."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bayapp.job.model.ids import Stage, Urgency
from bayapp.report.facts.day_record import DayRecord
from bayapp.report.paper.cells import QUIET
from bayapp.report.paper.paper import Ink, Piece, Texture, Type, lines_at
from bayapp.text.language import _, ngettext


@dataclass(frozen=True, slots=True)
class Legend:
    """What the textures and badges on the drawn car mean; only those that it bears."""

    ink: Ink
    record: DayRecord
    width: float
    size: float

    def pieces(self) -> list[Piece]:
        """Return the legend in as many lines as it needs."""
        how = Type(self.size, narrow=True, ink=QUIET)
        height = max(3.6, how.leading) + 0.6
        pieces: list[Piece] = []
        line: list[tuple[float, Sample]] = []
        x = 0.0
        for sample in self._samples():
            step = 6.5 + self.ink.width(sample[-1], how) + 3.5
            if x + step > self.width and line:
                pieces.append(self._line(line, how, height))
                line, x = [], 0.0
            line.append((x, sample))
            x += step
        return [*pieces, self._line(line, how, height)]

    def _line(self, line: Sequence[tuple[float, "Sample"]], how: Type, height: float) -> Piece:
        def paint(ink: Ink, top: float) -> None:
            for x, (sign, words) in line:
                if isinstance(sign, Texture):
                    ink.swatch(x, top + 0.3, 5.5, 3.2, sign)
                else:
                    ink.badge(x + 1.2, top + 0.1, 3.6, sign)
                lines_at(ink, x + 6.5, top + 0.3, [(words, how)])

        return Piece(height, paint, keep=True)

    def _samples(self) -> Iterable["Sample"]:
        words = {
            Stage.UNTOUCHED: _("untouched"), Stage.CLEAN: _("clean"), Stage.POLISHED: _("polished"),
            Stage.WIPED: _("wiped"), Stage.BUFFED: _("levelled or buffed"), Stage.FINISHED: _("finished"),
        }  # fmt: skip
        seen = {zone.stage for zone in self.record.zones}
        for stage in Stage:
            if stage is Stage.COATED and stage in seen:
                for layers in sorted({zone.layers for zone in self.record.zones if zone.stage is stage}, key=len):
                    coats = ngettext("{n} coat", "{n} coats", len(layers)).format(n=len(layers))
                    yield Texture(stage, layers), coats
            elif stage in seen and stage in words:
                yield Texture(stage), words[stage]
        if any(zone.aside for zone in self.record.zones):
            yield Texture(Stage.UNTOUCHED, aside=True), _("set aside")
        clocks = {
            Urgency.WORKING: _("being worked"), Urgency.WAITING: _("waits"), Urgency.OPEN: _("may be worked"),
            Urgency.CLOSING: _("closes soon"), Urgency.LAPSED: _("too late"), Urgency.FINISHED: _("all steps done"),
        }  # fmt: skip
        urgencies = {zone.urgency for zone in self.record.zones}
        yield from ((u, clocks[u]) for u in Urgency if u in urgencies and u in clocks)


Sample = tuple[Texture | Urgency, str]
"""A texture, or the state of a clock, and the words for it."""
