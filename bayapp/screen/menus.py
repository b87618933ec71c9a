"""What the choice pages offer and what their answers do: one class a page."""

from collections.abc import Callable, Hashable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

from bayapp.job import CloseJob, FinishStep, Start, why_not, zone_clock
from bayapp.job.gate.stock import Stock
from bayapp.job.model.ids import ZoneId
from bayapp.job.state.requests import ReportSound
from bayapp.job.text.naming import capital, step_title, zones_title
from bayapp.job.verdict import Refusal
from bayapp.pages.board.clock_column import words_of
from bayapp.pages.board.clock_question import (
    ClockAnswer,
    ClockChoice,
    ClockNotice,
    clock_notice_now,
    clock_page,
    still_so,
)
from bayapp.pages.board.phrases import cautions, notes, reasons
from bayapp.pages.shelf.shelf import order_line
from bayapp.record import BackgroundWriteFailed, StoreProblem
from bayapp.screen.air.air_day_controller import AirDayController
from bayapp.screen.air.air_entry_controller import AirEntryController
from bayapp.screen.board.bays_controller import BaysController
from bayapp.screen.board.correction_controller import CorrectionController
from bayapp.screen.board.wall import Wall
from bayapp.screen.cars.aside_controller import AsideController
from bayapp.screen.cars.cars_controller import CarsController
from bayapp.screen.cars.people_controller import PeopleController
from bayapp.screen.input.foot_switch import FootSwitch
from bayapp.screen.input.glove_lock import GloveLock
from bayapp.screen.input.scanner import Scanner
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.plan.plan_controller import PlanController
from bayapp.screen.processes.day_record_controller import DayRecordController
from bayapp.screen.processes.report_runner import ReportRunner
from bayapp.screen.settings.keys_controller import KeysController
from bayapp.screen.settings.settings_controller import SettingsController
from bayapp.screen.settings.shop_settings import ShopSettings
from bayapp.screen.shelf.new_bottle_controller import NewBottleController
from bayapp.screen.shelf.shelf_controller import ShelfController
from bayapp.screen.widgets.choice_page import Answer, Entry, Show
from bayapp.text.language import _

if TYPE_CHECKING:
    from bayapp.screen.cars.change_controller import ChangeController
    from bayapp.screen.cars.new_job_controller import NewJobController
    from bayapp.screen.recipes.recipes_controller import RecipesController


class Menus(QObject):
    """Fills the wall's choice page and acts on what is chosen.

    ``jobs`` is the folder that holds job files; ``runner`` writes day records. Whoever makes it connects ``open`` to
    the wall's wish for a page, for a wall may stand before its menus do.
    """

    def __init__(self, wall: Wall, jobs: Path, runner: ReportRunner) -> None:
        super().__init__(wall)
        self._wall, self._jobs, self._typing = wall, jobs, TypedEntryController(wall)
        self._new_job: NewJobController | None = None
        self._change: ChangeController | None = None
        self._recipes: RecipesController | None = None
        self._record = DayRecordController(wall, runner, self._show)
        self.sensors: Callable[[Show], None] | None = None  # shows the sensors, where the shop has any
        self._answer: Answer = lambda key: None
        self._played: bool | None = None  # whether the sound check was played to its end; None while it plays
        wall.choices.chosen.connect(self._chosen)
        self.settings = ShopSettings(jobs.parent, self)
        air_page = AirDayController(wall, self._show)
        self._pages: dict[str, Callable[[object], None]] = {
            "cars": CarsController(wall, jobs, self._show).open,
            "change": lambda about: self.change_controller().open(about),
            "bays": BaysController(wall).open,
            "new-car": lambda about: self.new_job_controller().open(about),
            "people": self._people,
            "crew": PeopleController(wall, self.settings, self._show).open,
            "zones": self._zones,
            "reason": self._reason,
            "note": self._note,
            "more": self._more,
            "sound": self._sound,
            "clock": self._clock,
            "cautions": self._cautions,
            "aside": AsideController(wall, self._show).open,
            "close": self._close,
            "trouble": self._trouble,
            "refused": self._refused,
            "sensors": self._sensors,
            "report": self._record.open,
            "plan": PlanController(wall, self._show).open,
            "air": AirEntryController(wall).open,
            "air-day": air_page.open,
            "air-readings": air_page.readings,
            "air-touched": air_page.touched,
            "correct": CorrectionController(wall).open,
        }
        self.switch = FootSwitch(wall)
        self.lock = GloveLock(wall)
        self._pages["lock"] = self.lock.lock
        self._pages["keys"] = KeysController(wall, self.settings, self.switch, self._show).open
        typing = self._typing
        controller = self.settings_controller = SettingsController(wall, self.settings, typing, self._show)
        controller.has_sensors = lambda: self.sensors is not None
        self._pages |= {"settings": controller.open, "hours": controller.open_hours, "names": controller.people.open}
        self._pages["backup"] = controller.backup.open
        self._add_shelf(jobs, typing)

    def _add_shelf(self, jobs: Path, typing: TypedEntryController) -> None:
        """Add the pages of the shelf; the scanner comes last, so that it sees every key first."""
        wall = self._wall
        fresh = NewBottleController(wall, jobs, self._show, typing)
        controller = ShelfController(wall, self._show, typing, fresh.open)
        fresh.shelved, fresh.bottle_wanted = controller.open, controller.open_bottle
        self._pages |= {"shelf": controller.open, "bottle": controller.open_bottle, "new-bottle": fresh.open}
        self._pages |= {
            "recipes": lambda about: self.recipes_controller().open(about),
            "recipe": lambda about: self.recipes_controller().open_recipe(about),
            "sheet": lambda about: self.recipes_controller().open_sheet(about),
            "recipe-edit": lambda about: self.recipes_controller().open_editing(about),
        }
        self.scanner = Scanner(wall)
        self.scanner.scanned.connect(fresh.scanned)

    # Controllers that are made when their page is first wanted: the start of the wall does not pay for them.

    def new_job_controller(self) -> "NewJobController":
        """Return what makes a job of a new car."""
        if self._new_job is None:
            from bayapp.screen.cars.new_job_controller import NewJobController  # noqa: PLC0415 (see above)

            self._new_job = NewJobController(self._wall, self._jobs, self.settings, self._show)
        return self._new_job

    def change_controller(self) -> "ChangeController":
        """Return what changes a running job."""
        if self._change is None:
            from bayapp.screen.cars.change_controller import ChangeController  # noqa: PLC0415 (see above)

            self._change = ChangeController(self._wall, self._jobs, self._show)
        return self._change

    def recipes_controller(self) -> "RecipesController":
        """Return what shows and changes recipes."""
        if self._recipes is None:
            from bayapp.screen.recipes.recipes_controller import RecipesController  # noqa: PLC0415 (see above)

            self._recipes = RecipesController(self._wall, self._jobs.parent, self._show, self._typing)
        return self._recipes

    def _chosen(self, key: Hashable) -> None:
        self._answer(key)

    def open(self, page: str, about: object = None) -> None:
        """Open a choice page by name; KeyError for a page there is none of."""
        self._pages[page](about)

    def _show(
        self,
        title: str,
        subtitle: str,
        entries: list[Entry],
        answer: Answer,
        sentences: tuple[str, ...] = (),
        *,
        may_close: bool = True,
    ) -> None:
        self._answer = answer
        self._wall.choices.show_choices(title, subtitle, entries, sentences, may_close)
        self._wall.show_choices()

    def _people(self, about: object) -> None:
        """More people work on the car than the strip has room for."""
        wall = self._wall
        crew = wall.bay.state.jobs[wall.job].job.crew if wall.job else ()
        entries = [Entry(person, person, glyph="person", chosen=person == wall.by) for person in crew]
        self._show(_("Who stands at the car?"), "", entries, self._person_chosen)

    def _person_chosen(self, key: Hashable) -> None:
        self._wall.choose_person(str(key))
        self._wall.back()

    def _zones(self, about: object) -> None:
        """Several zones lie under one glove: ask which."""
        assert isinstance(about, tuple)
        wall, job_id = self._wall, self._wall.job
        assert job_id
        state, at = wall.bay.state.jobs[job_id], wall.bay.now()
        entries = []
        for zone in about:
            clock = zone_clock(state, ZoneId(zone), at)
            told = " ".join(words_of(clock, at)).strip()
            step = step_title(state.job.recipe_of(zone), clock.step) if clock.step else _("done")
            entries.append(Entry(zone, capital(state.job.zone_names[zone]), f"{step}  {told}", badge=clock.urgency))
        self._show(_("Which one?"), _("Several zones lie under the glove."), entries, self._zone_chosen)

    def _zone_chosen(self, key: Hashable) -> None:
        self._wall.show_ladder(self._wall.job, (ZoneId(str(key)),))

    def _reason(self, about: object) -> None:
        """A refused step was held: ask for the reason, then carry on."""
        assert isinstance(about, Start | FinishStep)
        wall = self._wall
        job = wall.bay.state.jobs[about.job].job
        what = f"{zones_title(job, about.zones)}: {step_title(job.recipe_of(about.zones[0]), about.step)}"
        entries = [Entry(reason, capital(reason)) for reason in reasons()]

        def carry_on(key: Hashable) -> None:
            if wall.ask_or_say(replace(about, deviation=str(key))):
                wall.back()

        self._show(
            _("Why carry on?"),
            _("{what}. It is recorded as a deviation.").format(what=capital(what)),
            entries,
            carry_on,
        )

    def _note(self, about: object) -> None:
        def write(key: Hashable) -> None:
            if self._wall.note(str(key)):
                self._wall.back()

        entries = [Entry(note, capital(note)) for note in notes()]
        self._show(_("Note"), _("It goes into the day record."), entries, write)

    def _more(self, about: object) -> None:
        wall = self._wall
        sound = wall.sound
        low = order_line(Stock(wall.bay.state, wall.bay.now()).short())
        entries = [
            Entry("cars", _("Cars"), _("take one in, or show another"), glyph="car"),
            Entry("crew", _("Who is in today"), _("people come and go"), glyph="person"),
            Entry("plan", _("Plan"), _("who does what when, and the finish"), glyph="clock"),
            Entry("change", _("Change this job"), _("add work, another recipe, not today"), glyph="change"),
            Entry("report", _("Day record"), self._record.told or _("write the papers of this car"), glyph="paper"),
            Entry("shelf", _("Shelf"), low or _("bottles, batch and expiry"), glyph="bottle"),
            Entry("recipes", _("Recipes"), _("see, make, change, import, export"), glyph="paper"),
            Entry("sound", _("Sound check"), sound.why() if sound else "", glyph="sound"),
            Entry("air-day", _("The air"), _("fit to coat, the day, solvent vapour"), glyph="air"),
            Entry("settings", _("Settings"), _("screen, sound, units, hours, backup"), glyph="settings"),
            Entry("lock", _("Glove lock"), _("touches do nothing, keys do"), glyph="lock"),
            Entry("note", _("Note"), _("about the whole car"), glyph="note"),
            Entry("cautions", _("Cautions"), _("solvent, fire, eyes, hot metal"), glyph="warning"),
            Entry("close", _("Car leaves the bay"), _("closes its job"), glyph="car"),
        ]
        if wall.job is None:
            entries = [e for e in entries if e.key not in ("plan", "change", "report", "note", "close")]
        self._show(_("More"), "", entries, self._more_chosen)

    def _more_chosen(self, key: Hashable) -> None:
        self.open(str(key), ())

    def _sound(self, about: object) -> None:
        """Play every tone once and ask whether it was heard."""
        wall = self._wall
        sound = wall.sound
        if sound is None or not sound.works():
            why = sound.why() if sound else _("The sound is still starting.")
            self._show(_("No sound"), _("Alerts are shown, but cannot be heard."), [], self._back, (why,))
            return
        self._played = None
        self._show_check(_("The tones are playing."))
        QTimer.singleShot(0, self._play_check)

    def _play_check(self) -> None:
        self._played = None
        if self._wall.sound:
            self._wall.sound.check(self._check_ended)

    def _check_ended(self, complete: bool) -> None:
        self._played = complete
        if self._answer == self._sound_answer and self._wall.choices.isVisible():
            self._show_check(self._check_told())

    def _check_told(self) -> str:
        if self._played is None:
            return _("The tones are still playing: wait for the last one.")
        if self._played:
            return _("All tones were played.")
        return _("The check broke off before its end: play it again.")

    def _show_check(self, subtitle: str) -> None:
        entries = [
            Entry("heard", _("I heard it")),
            Entry("again", _("Play again"), glyph="sound"),
            Entry("silent", _("I heard nothing")),
        ]
        told = (
            _("Each kind of alert sounds once: ready, closes soon, too late, cured, hand over, attention."),
            _("Heard nothing? Turn up the loudspeaker, check its cable and power, then play again."),
        )
        self._show(_("Sound check"), subtitle, entries, self._sound_answer, told)

    def _sound_answer(self, key: Hashable) -> None:
        if key == "again":
            self._show_check(_("The tones are playing."))
            self._play_check()
            return
        if key == "heard" and not self._played:
            self._show_check(self._check_told())
            return
        self._wall.bay.request(ReportSound(key == "heard"))
        self._wall.show_board()

    def _clock(self, about: object) -> None:
        """The machine's time has jumped: say so, and ask where the truth cannot be known."""
        wall = self._wall
        notice = about if isinstance(about, ClockNotice) else clock_notice_now(wall.bay, wall.tz)
        page = clock_page(wall.bay, notice, wall.tz)
        entries = [Entry(choice, choice.title, choice.detail) for choice in page.choices]
        self._show(page.title, page.subtitle, entries, self._clock_answer, (page.sentence,))

    def _clock_answer(self, key: Hashable) -> None:
        """Take an answer at its word, unless the machine's clock says another time by now than the button did."""
        assert isinstance(key, ClockChoice)
        if key.answer is ClockAnswer.MACHINE and not still_so(self._wall.bay, key):
            self._clock(ClockNotice.QUESTION)
            return
        if key.answer is not ClockAnswer.LATER:
            self._wall.bay.clock_watch.settle(to_wall=key.answer is ClockAnswer.MACHINE)
        self._wall.show_board()

    def _cautions(self, about: object) -> None:
        self._show(_("Cautions"), "", [], self._back, cautions())

    def _trouble(self, about: object) -> None:
        """The store failed: say whether a touch was lost by it; the clocks run on."""
        assert isinstance(about, StoreProblem)
        told = _("{what} ({where})").format(what=about.what, where=about.where)
        if isinstance(about, BackgroundWriteFailed):
            kept = _("No touch is lost, and the clocks shown run on. But nothing can be recorded until this is mended.")
            self._show(_("The store fails"), "", [], self._back, (told, about.remedy, kept))
            return
        lost = _("What was touched last is not recorded: touch it again. The clocks shown run on.")
        self._show(_("Not recorded"), "", [], self._back, (told, about.remedy, lost))

    def _refused(self, about: object) -> None:
        """What was asked for may not be now, and has no button that could say so."""
        assert isinstance(about, Refusal)
        wall = self._wall
        self._show(_("Not now"), "", [], self._back, (why_not(about, wall.bay.state, wall.tz),))

    def _sensors(self, about: object) -> None:
        if self.sensors:
            self.sensors(self._show)

    def _close(self, about: object) -> None:
        wall = self._wall
        if wall.job is None:
            return
        entries = [Entry(CloseJob(wall.job, wall.by), _("the car has left"), hold=True), Entry(None, _("It stays"))]
        told = _("Its clocks go away; its record stays. Write the day record first.")
        self._show(_("Car leaves the bay?"), "", entries, self._close_answer, (told,))

    def _close_answer(self, key: Hashable) -> None:
        wall = self._wall
        if isinstance(key, CloseJob):
            if not wall.ask_or_say(key):
                return
            wall.show_first_job()
        wall.show_board()
        if not wall.bay.state.open_jobs:
            self.open("cars")

    def _back(self, key: Hashable = None) -> None:
        self._wall.back()
