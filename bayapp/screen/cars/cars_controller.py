"""The cars in the bay and the jobs that lie ready: shows one, or takes one in."""

from collections.abc import Hashable
from pathlib import Path

from bayapp.files.library import Library
from bayapp.files.problems import BadFile
from bayapp.job import Job
from bayapp.job.model.ids import JobId
from bayapp.pages.cars.cars import ReadyJob, cars
from bayapp.paths import resource
from bayapp.screen.board.wall import Wall
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.text.language import _

MOST_CARS = 8
NEW_CAR = "new car"


class CarsController:
    """Lets a person show another car, or take one in from a job file in the folder ``jobs``."""

    def __init__(self, wall: Wall, jobs: Path, show: Show) -> None:
        self._wall, self._jobs, self._show = wall, jobs, show
        self._library = Library(jobs.parent, resource())

    def open(self, about: object = None) -> None:
        """The cars in the bay, and the job files that lie ready."""
        view = cars(self._wall.bay.state, self._ready())
        inside = [Entry(c.job, c.title, c.detail, glyph="car", chosen=c.job == self._wall.job) for c in view.inside]
        ready = [
            Entry(r, r.title, r.problem or r.detail, glyph="warning" if r.problem else "paper") for r in view.ready
        ]
        subtitle = _("Job files lie in {folder}").format(folder=self._jobs)
        may_close = bool(self._wall.bay.state.open_jobs)
        new = Entry(NEW_CAR, _("New car"), _("choose what it is and what is to be done"), glyph="more")
        entries = [*inside, new, *ready]
        first = about if isinstance(about, int) and about < len(entries) else 0
        shown = entries[first : first + MOST_CARS]
        if len(entries) > MOST_CARS:
            left = len(entries) - first - len(shown)
            told = _("{n} more").format(n=left) if left > 0 else _("back to the first")
            shown.append(Entry(first + len(shown) if left > 0 else 0, _("More cars and jobs"), told, glyph="more"))
        self._show(_("Which car?"), subtitle, shown, self._car_chosen, may_close=may_close)

    def _ready(self) -> list[tuple[Path, Job | str]]:
        found: list[tuple[Path, Job | str]] = []
        for path in [*sorted(self._jobs.glob("*.toml")), *sorted(resource("jobs").glob("*.toml"))]:
            try:
                found.append((path, self._library.load_job(path)))
            except BadFile as bad:
                found.append((path, str(bad)))
        return found

    def _car_chosen(self, key: Hashable) -> None:
        if key == NEW_CAR:
            self._wall.page_wanted.emit("new-car", None)
        elif isinstance(key, int):
            self.open(key)
        elif not isinstance(key, ReadyJob):
            self._wall.show_job(JobId(str(key)))
        elif key.problem:
            self._show(key.title, _("This job cannot be opened."), [], self.open, (key.problem,))
        else:
            self._open_ready(key)

    def _open_ready(self, ready: ReadyJob) -> None:
        """Take a ready job in; its file may have been changed since it was listed."""
        try:
            self._wall.show_job(self._take_in(ready.path))
        except BadFile as bad:
            self._show(ready.title, _("This job cannot be opened."), [], self.open, (str(bad),))

    def _take_in(self, path: Path) -> JobId:
        """Open a job file as a car that comes in now; the same file may serve many cars."""
        bay = self._wall.bay
        at = bay.now()
        written = self._library.load_job(path)
        job = written.model_copy(update={"id": JobId(f"{path.stem}-{at:%Y%m%d-%H%M%S}"), "start": at})
        bay.open_job(job)
        return job.id
