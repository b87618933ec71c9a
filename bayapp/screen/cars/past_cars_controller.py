"""Lists the cars that left, shows one as it was then, and takes one back into the bay."""

import logging
from dataclasses import replace

from PySide6.QtCore import QObject

from bayapp.drawing.car_colours import body_colour
from bayapp.drawing.form_drawing import FormDrawing
from bayapp.job import Job, JobState, ReopenJob, zone_clock
from bayapp.job.model.ids import JobId, Urgency, ZoneId
from bayapp.pages.board.car_view import Face, faces
from bayapp.pages.cars.past_cars import past_car, past_entries
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import Page, ShowOwner, ShowPastCar, ShowRecord, StoreTrouble
from bayapp.paths import resource
from bayapp.record import StoreProblem
from bayapp.screen.cars.past_car import PastCarPage
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.screen.widgets.paged_choices import Rest
from bayapp.text.language import _

MOST = 8
LOG = logging.getLogger("bayapp")


class PastCarsController(QObject):
    """Shows the cars that left; ``show`` fills the choice page.

    Attributes:
        page: the page of one of them.
    """

    def __init__(self, selection: Selection, pages: PageStack, sender: RequestSender, show: Show) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._sender, self._show = selection, pages, sender, show
        self._job: JobId | None = None
        self.page = PastCarPage(pages.look, pages.window)
        self.page.record_wanted.connect(self._want_record)
        self.page.back_wanted.connect(self._take_back)
        self.page.owner_wanted.connect(self._want_owner)
        pages.add(self.page)

    def open(self, first: int = 0) -> None:
        """List the cars that left, from a place on."""
        bay = self._selection.bay
        try:
            found = bay.past_cars(first, MOST + 1)
        except StoreProblem as problem:
            self._pages.want(StoreTrouble(problem))
            return
        entries: list[Entry[JobId | Rest]] = [
            Entry(car.job, car.title, car.detail, glyph="car", fill=body_colour(car.colour), heading=car.group)
            for car in past_entries(found[:MOST], bay.now(), self._selection.tz)
        ]
        if len(found) > MOST:
            entries.append(Entry(Rest(first + MOST), _("Earlier"), glyph="more", heading=entries[-1].heading))
        elif first:
            entries.append(Entry(Rest(0), _("Back to the last"), glyph="more", heading=entries[-1].heading))
        sentences = () if entries else (_("No car has left yet."),)
        self._show(_("Past cars"), _("The last to leave comes first."), entries, self._chosen, sentences)

    def _chosen(self, key: JobId | Rest) -> None:
        if isinstance(key, Rest):
            self.open(key.first)
        else:
            self._pages.want(ShowPastCar(key))

    def show_car(self, wanted: ShowPastCar) -> None:
        """Show one of them; one that is in the bay again is shown on the board."""
        bay = self._selection.bay
        try:
            car = bay.car_as_it_left(wanted.job)
        except StoreProblem as problem:
            self._pages.want(StoreTrouble(problem))
            return
        if car is None:
            self._pages.want(Page.PAST_CARS)
            return
        self._job = wanted.job
        self.page.show_past(past_car(car, bay.now(), self._selection.tz), _surfaces(car), _drawing_of(car.job))
        self._pages.show(self.page)

    def _want_record(self) -> None:
        if self._job:
            self._pages.want(ShowRecord(self._job))

    def _want_owner(self) -> None:
        if self._job:
            self._pages.want_below(ShowOwner(self._job))

    def _take_back(self) -> None:
        if self._job and self._sender.send_or_show_refusal(ReopenJob(self._job, self._selection.by)):
            self._pages.show_car(self._job)


def _surfaces(car: JobState) -> dict[ZoneId, Face]:
    """Return the car's faces as it left, without clocks."""
    at = car.closed_at or car.opened_at
    found = faces(car, [zone_clock(car, zone, at) for zone in car.zones], at)
    return {z: replace(face, urgency=Urgency.IDLE, time_text="", show_time=False) for z, face in found.items()}


def _drawing_of(job: Job) -> FormDrawing | None:
    try:
        return FormDrawing.of_job(job, resource("vehicles"))
    except ValueError as trouble:
        LOG.error("the car cannot be drawn: %s", trouble)
        return None
