"""Marks zones by touch: which zones, what they are, of damage where, of a repaint when; and lifts marks again."""

from collections.abc import Sequence
from datetime import date

from PySide6.QtCore import QObject, QPointF

from bayapp.job import JobState, LiftMark, SetMark
from bayapp.job.model.ids import THE_CAR, JobId, Urgency, ZoneId
from bayapp.job.model.mark import Damage, Mark, MarkKind, Marks
from bayapp.job.text.mark_words import damage_title, kind_title, mark_title
from bayapp.job.text.naming import capital
from bayapp.pages.arrival.marks import (
    LIST,
    SETS,
    UNDO,
    MarkRow,
    ago_text,
    consequences,
    days_ago,
    lifting,
    mark_view,
    marks_listed,
    named,
    way_back,
)
from bayapp.pages.board.car_view import Face, faces
from bayapp.pages.cars.change import Picking
from bayapp.pages.cars.new_job import called
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import MarkZones, Page
from bayapp.screen.arrival.zone_place import Spot, ZonePlacePage
from bayapp.screen.board.drawings import Drawings
from bayapp.screen.cars.new_job_work import WorkPage
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.widgets.choice_page import Entry
from bayapp.screen.widgets.paged_choices import Portion, show_paged
from bayapp.text.days import day_text
from bayapp.text.language import _

MANY = Portion(most=11)


class MarksController(QObject):
    """Marks zones of the car in view, and lifts marks; every mark says before what it will forbid.

    Attributes:
        page: the car, on which zones are touched, and what they may be.
        place: one zone large, on which a damage is placed.
    """

    def __init__(
        self,
        selection: Selection,
        pages: PageStack,
        sender: RequestSender,
        drawings: Drawings,
        choices: Choices,
        typing: TypedEntryController,
    ) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._sender = selection, pages, sender
        self._drawings, self._choices, self._typing = drawings, choices, typing
        self._job: JobId | None = None
        self._chosen: tuple[ZoneId, ...] = ()
        self._what = Damage.SCRATCH
        self._said: tuple[SetMark, ...] = ()
        self._before: Marks = {}
        self.page = WorkPage(pages.look, pages.window)
        self.page.toggled.connect(self._touched)
        self.page.zones_touched.connect(self._zones_touched)
        self.page.next_wanted.connect(lambda: self._pages.want(Page.ARRIVAL))
        self.place = ZonePlacePage(pages.look, pages.window)
        self.place.wanted.connect(self._placed)
        for page in (self.page, self.place):
            self._pages.add(page)

    @property
    def _car(self) -> JobState:
        assert self._job
        return self._selection.bay.state.jobs[self._job]

    @property
    def _picking(self) -> Picking:
        form = self._car.job.vehicle
        return Picking(form, tuple(zone for zone in self._car.job.zone_names if zone != THE_CAR), self._chosen)

    def open(self, wanted: MarkZones) -> None:
        """Show the car."""
        if wanted.job != self._job:
            self._said = ()
        self._show_car(wanted.job, wanted.zones)

    def _show_car(self, job: JobId, zones: tuple[ZoneId, ...] = ()) -> None:
        self._job, self._chosen = job, zones
        title = _("Marks: {car}").format(car=self._car.job.name)
        subtitle = _("Touch one zone or several, then what they are. Ringed is chosen.")
        drawing = self._drawings.of(job, [state.job for state in self._selection.bay.state.open_jobs])
        self.page.open_car(title, drawing, subtitle, recipes=False, zones=False)
        self._show()

    def _show(self) -> None:
        self._pages.show(self.page)
        self.page.show_work(mark_view(self._car, self._picking, self._said), self._faces())

    def _faces(self) -> dict[ZoneId, Face]:
        bay = self._selection.bay
        at = bay.now()
        return faces(self._car, bay.clocks(at), at, selected=self._chosen)

    # Which zones.

    def _zones_touched(self, zones: list[ZoneId]) -> None:
        if zones == [THE_CAR]:
            self._ask_sets()  # a mark on the car as a whole would say nothing of its panels
            return
        zones = [zone for zone in zones if zone != THE_CAR]
        if len(zones) == 1:
            self._toggle(zones[0])
            return
        names = self._car.job.zone_names
        entries = [Entry(zone, capital(names[zone]), chosen=zone in self._chosen) for zone in zones]
        self._choices.show(_("Which one?"), _("Several zones lie under the glove."), entries, self._toggle)

    def _toggle(self, name: str) -> None:
        self._chosen = self._picking.toggled(name).chosen
        self._show()

    def _ask_sets(self) -> None:
        form, picking = self._car.job.vehicle, self._picking
        sets = sorted(form.set_titles, key=lambda name: -len(form.zones_of([name])))
        entries = [
            Entry(name, called(form, name), chosen=set(picking.zones_of(name)) <= set(self._chosen)) for name in sets
        ]
        show_paged(_("Which sets?"), _("A touch chooses all of it."), entries, self._toggle, self._choices.show, MANY)

    # What they are.

    def _touched(self, name: str) -> None:
        if name == SETS:
            self._ask_sets()
        elif name == LIST:
            self._list()
        elif name == UNDO:
            self._take_back()
        elif not self._chosen:
            self._choices.tell(capital(kind_title(MarkKind(name))), "", _("Touch the zones it is about first."))
        elif name == MarkKind.DAMAGE:
            self._ask_damage()
        elif name == MarkKind.REPAINTED:
            self._ask_day()
        else:
            self._confirm(Mark(kind=MarkKind(name)))

    def _names(self) -> str:
        return capital(named(self._car.job.vehicle, self._chosen))

    def _ask_damage(self) -> None:
        entries = [Entry(what, capital(damage_title(what))) for what in Damage]
        self._choices.show(_("Which damage?"), self._names(), entries, self._damaged)

    def _damaged(self, what: Damage) -> None:
        drawing = self._drawings.of(self._job, [state.job for state in self._selection.bay.state.open_jobs])
        self._what = what
        if len(self._chosen) > 1 or drawing is None:
            self._placed(None)
            return
        (zone,) = self._chosen
        spot = drawing.anchor(zone)
        around = tuple(path for other, path in drawing.zone_paths.items() if other != zone)
        known = tuple(mark.point for mark in self._car.marks.get(zone, ()) if mark.point)
        self.place.zone.show_zone(drawing.zone_paths[zone], QPointF(spot.x, spot.y), around, known)
        title = _("{zone}: {damage}").format(zone=self._names(), damage=damage_title(what))
        self.place.show_place(title, _("Touch where it is; rings are damages that were told before."))
        self._pages.show(self.place)

    def _placed(self, spot: Spot | None) -> None:
        self._set(Mark(kind=MarkKind.DAMAGE, what=self._what, point=spot))

    def _ask_day(self) -> None:
        today = self._today()
        entries: list[Entry[date | None]] = [
            Entry(day, capital(ago_text(days)), day_text(day)) for days, day in days_ago(today)
        ]
        entries.append(Entry(None, _("Another day"), _("typed"), glyph="note"))
        subtitle = _("{zones}: when was it painted?").format(zones=self._names())
        self._choices.show(_("Repainted"), subtitle, entries, self._painted)

    def _today(self) -> date:
        return self._selection.bay.now().astimezone(self._selection.tz).date()

    def _painted(self, day: date | None) -> None:
        if day is not None:
            self._confirm(Mark(kind=MarkKind.REPAINTED, date=day))
            return
        typing = Typing(Kind.DATE, _("Repainted"), _("Year, month, day."))

        def take(typed: Typing) -> None:
            if typed.day is not None and typed.day > self._today():
                self._choices.tell(_("Repainted"), "", _("{day} is still to come.").format(day=day_text(typed.day)))
            elif typed.day is not None:
                self._confirm(Mark(kind=MarkKind.REPAINTED, date=typed.day))

        self._typing.ask(typing, take)

    def _confirm(self, mark: Mark) -> None:
        """Say before what it will forbid and what falls away, and offer a note."""
        bay = self._selection.bay
        title = _("{zones}: {mark}").format(zones=self._names(), mark=mark_title(mark))
        entries = [
            Entry(False, _("Mark it"), self._names(), badge=Urgency.OPEN),
            Entry(True, _("Mark it with a note"), _("in own words"), glyph="note"),
        ]
        said = consequences(self._car, self._chosen, mark, bay.now(), self._selection.tz)
        caution = _("Common practice, without a source; sheet, vehicle maker and local rules come first.")
        self._choices.show(title, caution, entries, lambda noted: self._go(mark, noted), said)

    def _go(self, mark: Mark, noted: bool) -> None:
        if not noted:
            self._set(mark)
            return

        def take(typed: Typing) -> None:
            self._set(mark.model_copy(update={"note": typed.sentence}))

        self._typing.ask(Typing(Kind.NOTE, _("Note"), self._names()), take, about=(self._job, self._chosen, mark.kind))

    def _set(self, mark: Mark) -> None:
        assert self._job
        asked, before = SetMark(self._job, self._chosen, mark, self._selection.by), self._car.marks
        if self._sender.send_or_show_refusal(asked):
            self._said, self._before = (asked,), before
            self._show_car(self._job)

    def _take_back(self) -> None:
        """Take back what was marked last, once."""
        (said,), by = self._said, self._selection.by
        if self._ask_all(way_back(self._before, said, by)):
            self._said = ()
        self._show()

    def _ask_all(self, requests: Sequence[SetMark | LiftMark]) -> bool:
        return all(self._sender.send_or_show_refusal(one) for one in requests)

    # Lifted.

    def _list(self) -> None:
        entries = [Entry(row, row.title, row.detail) for row in marks_listed(self._car)]
        subtitle = _("{car}: touch a mark to lift it.").format(car=self._car.job.name)
        show_paged(_("Marks so far"), subtitle, entries, self._row_touched, self._choices.show, MANY)

    def _row_touched(self, row: MarkRow) -> None:
        entries = [
            Entry(True, _("Lift it"), _("it was mended, or was none")),
            Entry(False, _("Leave it"), glyph="back"),
        ]
        sentence = _("{zones}: {mark}.").format(zones=row.title, mark=row.detail)
        self._choices.show(_("Lift this mark?"), "", entries, lambda lift: self._lift(row, lift), (sentence,))

    def _lift(self, row: MarkRow, lift: bool) -> None:
        assert self._job
        if not lift:
            self._list()
        elif self._sender.send_or_show_refusal(lifting(self._car, row, self._selection.by)):
            self._said = ()
            self._show_car(self._job)
