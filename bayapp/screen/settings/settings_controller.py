"""The settings by touch: every change is saved and takes effect at once. Joins page, file, wall and sound."""

from collections.abc import Callable
from math import hypot

from PySide6.QtCore import QObject

from bayapp.files.shop.settings import USUAL_DISTANCE_M, Settings, set_up_bay, use_shop_units
from bayapp.pages.settings.hours import HourEdge, StretchCount, hour_moved, hours_cells, with_stretches
from bayapp.pages.settings.named_bays import bays_text
from bayapp.pages.settings.settings import (
    Seen,
    Setting,
    bay_cells,
    moved,
    settings_cells,
    touched,
    word_cells,
)
from bayapp.pages.wanted import Page
from bayapp.screen.settings.backup_controller import BackupController
from bayapp.screen.settings.people_names import PeopleNames
from bayapp.screen.settings.shop_settings import ShopSettings
from bayapp.screen.widgets.cells_page import CellsPage
from bayapp.screen.widgets.choice_page import Entry, Show, tell
from bayapp.screen.widgets.measure import Measure, fitted, measure_of, read_from
from bayapp.screen.widgets.relayout import retranslate
from bayapp.screen.window.wall import Wall
from bayapp.text.language import _, back_to_source, language, languages

SIZED_BY = ("screen_diagonal_inch", "reading_distance_m", "letters")
OF_BAY = (
    "dew_margin_c",
    "bay_m3",
    "bay_air_changes",
    "bay_mixing_k",
    "thin_um",
    "unlike_um",
    "repaint_days",
    "final_check",
)
HABITS = ("language", "temperatures", "volumes", "day_clock")
SIZES = (Setting.INCH, Setting.DISTANCE, Setting.LETTERS)
MM_PER_INCH = 25.4


class SettingsController(QObject):
    """Shows the settings and applies every change at once; ``show`` fills the choice page."""

    def __init__(
        self,
        window: Wall,
        settings: ShopSettings,
        show: Show,
        backup: BackupController,
        people: PeopleNames,
        has_sensors: Callable[[], bool],
    ) -> None:
        super().__init__(window)
        self._window, self._pages, self._settings, self._show = window, window.pages, settings, show
        self.backup, self.people, self._has_sensors = backup, people, has_sensors
        self._base = Measure(window.real.px_per_mm / _enlarged(Measure(1.0), settings.read()).px_per_mm)
        self.page, self.words, self.of_bay, self.hours = (CellsPage(window.look, window) for _ in range(4))
        for page in (self.page, self.words, self.of_bay):
            self._pages.add(page)
            page.moved.connect(self.move)
            page.touched.connect(self.touch)
        self._pages.add(self.hours)
        self.hours.moved.connect(self._move_hour)
        self.hours.touched.connect(self._choose_stretches)
        settings.changed.connect(self._apply)

    def open(self) -> None:
        """Show every setting."""
        self._show_cells()
        self._pages.show(self.page)

    def _show_cells(self, subtitle: str = "") -> None:
        now = self._settings.read()
        now = now.model_copy(update={"theme": self._pages.look.palette.name, "spoken": self._speaks(now)})
        seen = self.seen()
        where = _("Kept in {folder}").format(folder=self._settings.store.absolute())
        trouble = self._settings.trouble
        self.page.show_cells(_("Settings"), trouble or subtitle or where, settings_cells(now, seen))
        self.words.show_cells(_("Language, units"), trouble or _("What people read and type."), word_cells(now, seen))
        of_bay = _("For coats: how far a panel is above the dew point. For vapour: ask whoever built the ventilation.")
        self.of_bay.show_cells(_("The bay"), trouble or of_bay, bay_cells(now, seen))

    def seen(self) -> Seen:
        """Return what the pages show beside the settings."""
        bays = bays_text(self._window.selection.bay.state.places)
        return Seen(self._inch(), _name(language()), self.backup.last_text(), self._has_sensors(), bays)

    def _inch(self) -> float:
        """Return the screen's diagonal in inches, at the present pixel density."""
        across = max(hypot(size.width(), size.height()) for size in (self._window.screen().size(), self._window.size()))
        return across / self._base.px_per_mm / MM_PER_INCH

    def _speaks(self, now: Settings) -> bool:
        return self._window.voice.speaks(now.spoken)

    def move(self, key: Setting, way: int) -> None:
        """Take in a - or +."""
        self._settings.change(lambda now: moved(now, key, way, self._inch()))
        self._show_cells(self._limit_reached() if key in SIZES and way > 0 else "")

    def _limit_reached(self) -> str:
        """Say so if the screen allows no larger size."""
        window = self._window
        shown = fitted(window.real, window.width(), window.height())
        if shown.px_per_mm >= window.real.px_per_mm:
            return ""
        far = shown.px_per_mm / self._base.px_per_mm * USUAL_DISTANCE_M
        return _("It is as large as this screen allows, for about {n} m.").format(n=f"{far:.1f}")

    def touch(self, key: Setting) -> None:
        """Take in a touch on a setting that toggles, or that has a page of its own."""
        ways: dict[Setting, Callable[[], None]] = {
            Setting.HOURS: self.open_hours,
            Setting.WORDS: self.open_words,
            Setting.BAY: self.open_bay,
            Setting.LANGUAGE: self._open_languages,
            Setting.PEOPLE: self.people.open,
            Setting.BACKUP: self.backup.open,
            Setting.BAYS: lambda: self._pages.want(Page.NAMED_BAYS),
            Setting.KEYS: lambda: self._pages.want(Page.KEYS),
            Setting.SENSORS: lambda: self._pages.want(Page.SENSORS),
            Setting.SPOKEN: self._speak,
        }
        if key in ways:
            ways[key]()
            return
        shown = {"theme": self._pages.look.palette.name}
        self._settings.change(lambda now: touched(now.model_copy(update=shown), key))
        self._show_cells()

    def _speak(self) -> None:
        on = not self._speaks(self._settings.read())
        why = self._window.voice.speak(on)
        if why:
            tell(self._show, _("Spoken lines"), "", why)
            return
        self._settings.change(lambda now: now.model_copy(update={"spoken": on}))
        self._show_cells()

    def _open_languages(self) -> None:
        entries = [Entry(tag, _name(tag), tag, chosen=tag == language()) for tag in languages()]
        sentences = () if len(entries) > 1 else (_("There is no other language here yet."),)
        self._show(_("Language"), "", entries, self._speak_in, sentences)

    def _speak_in(self, tag: str) -> None:
        self._settings.change(lambda now: now.model_copy(update={"language": tag}))
        self.open_words()

    def open_words(self) -> None:
        """Show language, units and times of day."""
        self._show_cells()
        self._pages.show(self.words)

    def open_bay(self) -> None:
        """Show what the shop tells of its bay and its air."""
        self._show_cells()
        self._pages.show(self.of_bay)

    def open_hours(self) -> None:
        """Show the shop's working hours."""
        self._show_hours()
        self._pages.show(self.hours)

    def _show_hours(self) -> None:
        subtitle = self._settings.trouble or _("Every day, local time. The plan is made within them.")
        self.hours.show_cells(_("Working hours"), subtitle, hours_cells(self._settings.read()))

    def _move_hour(self, key: HourEdge, way: int) -> None:
        self._settings.change(lambda now: hour_moved(now, key, way))
        self._show_hours()

    def _choose_stretches(self, key: StretchCount) -> None:
        self._settings.change(lambda now: with_stretches(now, key.count))
        self._show_hours()

    def _apply(self, before: Settings, now: Settings) -> None:
        """Apply what has changed."""
        window = self._window
        if now.theme not in (before.theme, self._pages.look.palette.name):
            window.look.use_theme(now.theme)
            window.theme_changed()
        if now.volume != before.volume:
            window.voice.set_volume(now.volume)
        if _differ(before, now, HABITS):
            source = back_to_source()
            use_shop_units(now)
            retranslate(window, source)
        if _differ(before, now, SIZED_BY):
            self._measure(before, now)
        if _differ(before, now, OF_BAY):
            window.selection.bay.request(set_up_bay(now, window.selection.tz))
        window.refresher.refresh()

    def _measure(self, before: Settings, now: Settings) -> None:
        window = self._window
        if now.screen_diagonal_inch != before.screen_diagonal_inch:
            size = max(window.screen().size(), window.size(), key=lambda one: hypot(one.width(), one.height()))
            self._base = measure_of(window.screen(), size.width(), size.height(), now.screen_diagonal_inch)
        window.measure_by(_enlarged(self._base, now))


def _differ(before: Settings, now: Settings, names: tuple[str, ...]) -> bool:
    return any(getattr(now, name) != getattr(before, name) for name in names)


def _enlarged(base: Measure, now: Settings) -> Measure:
    return read_from(base, now.reading_distance_m, now.letters)


def _name(tag: str) -> str:
    """Return a language's name in that language."""
    from babel.core import Locale, UnknownLocaleError  # noqa: PLC0415 (a twentieth of a second that no start should pay)

    try:
        return str(Locale.parse(tag.replace("-", "_")).get_display_name()).capitalize()
    except (UnknownLocaleError, ValueError):
        return tag
