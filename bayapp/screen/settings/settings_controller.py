"""The settings by touch: what is touched is saved at once and counts at once. Joins page, file, wall and sound."""

from collections.abc import Callable, Hashable
from math import hypot

from PySide6.QtCore import QObject

from bayapp.files.shop.settings import USUAL_DISTANCE_M, Settings, take_habits
from bayapp.pages.settings.settings import Seen, hours_cells, moved, settings_cells, touched, with_stretches
from bayapp.screen.board.wall import Wall
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.settings.backup_controller import BackupController
from bayapp.screen.settings.people_names import PeopleNames
from bayapp.screen.settings.shop_settings import ShopSettings
from bayapp.screen.widgets.cells_page import CellsPage
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.screen.widgets.measure import Measure, fitted, measure_of, read_from
from bayapp.screen.widgets.relayout import lay_out_anew, tell_anew
from bayapp.text.language import _, back_to_source, language, languages

HABITS = ("language", "temperatures", "volumes", "day_clock")
MM_PER_INCH = 25.4


class SettingsController(QObject):
    """Shows the settings and makes every change count at once; ``show`` fills the choice page."""

    def __init__(self, wall: Wall, settings: ShopSettings, typing: TypedEntryController, show: Show) -> None:
        super().__init__(wall)
        self._wall, self._settings, self._show = wall, settings, show
        self._base = Measure(
            wall.real.px_per_mm / read_from(Measure(1.0), settings.read().reading_distance_m).px_per_mm
        )
        self.has_sensors: Callable[[], bool] = lambda: False
        self.page, self.hours = CellsPage(wall.look, wall), CellsPage(wall.look, wall)
        wall.add_page(self.page)
        wall.add_page(self.hours)
        self.page.moved.connect(self._move)
        self.page.touched.connect(self._touch)
        self.hours.moved.connect(self._move_hour)
        self.hours.touched.connect(self._choose_stretches)
        self.backup = BackupController(wall, settings, show)
        self.people = PeopleNames(wall, settings, typing, show)
        settings.changed.connect(self._apply)

    def open(self, about: object = None) -> None:
        """Show every setting."""
        self._show_cells()
        self._wall.show_page(self.page)

    def _show_cells(self, told: str = "") -> None:
        now = self._settings.read()
        now = now.model_copy(update={"theme": self._wall.look.palette.name, "spoken": self._speaks(now)})
        seen = Seen(self._inch(), _name(language()), self.backup.last_told(), self.has_sensors())
        where = _("Kept in {folder}").format(folder=self._settings.store.absolute())
        self.page.show_cells(_("Settings"), self._settings.trouble or told or where, settings_cells(now, seen))

    def _inch(self) -> float:
        """Return how large the screen is taken to be."""
        across = max(hypot(size.width(), size.height()) for size in (self._wall.screen().size(), self._wall.size()))
        return across / self._base.px_per_mm / MM_PER_INCH

    def _speaks(self, now: Settings) -> bool:
        return self._wall.sound.spoken if self._wall.sound else now.spoken

    def _move(self, key: str, way: int) -> None:
        self._settings.change(lambda now: moved(now, key, way, self._inch()))
        self._show_cells(self._most_told() if key in ("inch", "distance") and way > 0 else "")

    def _most_told(self) -> str:
        """Say where the screen lets nothing grow further."""
        wall = self._wall
        if fitted(wall.real, wall.width(), wall.height()).px_per_mm >= wall.real.px_per_mm:
            return ""
        far = fitted(wall.real, wall.width(), wall.height()).px_per_mm / self._base.px_per_mm * USUAL_DISTANCE_M
        return _("It is as large as this screen allows, for about {n} m.").format(n=f"{far:.1f}")

    def _touch(self, key: str) -> None:
        ways: dict[str, Callable[[], None]] = {
            "hours": self.open_hours,
            "language": self._open_languages,
            "people": self.people.open,
            "backup": self.backup.open,
            "keys": lambda: self._wall.page_wanted.emit("keys", None),
            "sensors": lambda: self._wall.page_wanted.emit("sensors", None),
            "spoken": self._speak,
        }
        if key in ways:
            ways[key]()
            return
        shown = {"theme": self._wall.look.palette.name}
        self._settings.change(lambda now: touched(now.model_copy(update=shown), key))
        self._show_cells()

    def _speak(self) -> None:
        sound = self._wall.sound
        on = not self._speaks(self._settings.read())
        why = sound.speak(on) if sound else _("The sound is still starting.")
        if why:
            self._show(_("Spoken lines"), "", [], lambda key: self._wall.back(), (why,))
            return
        self._settings.change(lambda now: now.model_copy(update={"spoken": on}))
        self._show_cells()

    def _open_languages(self) -> None:
        entries = [Entry(tag, _name(tag), tag, chosen=tag == language()) for tag in languages()]
        told = () if len(entries) > 1 else (_("There is no other language here yet."),)
        self._show(_("Language"), "", entries, self._speak_in, told)

    def _speak_in(self, tag: Hashable) -> None:
        self._settings.change(lambda now: now.model_copy(update={"language": str(tag)}))
        self.open()

    def open_hours(self, about: object = None) -> None:
        """Show when work is done."""
        self._show_hours()
        self._wall.show_page(self.hours)

    def _show_hours(self) -> None:
        told = self._settings.trouble or _("Every day, local time. The plan is made within them.")
        self.hours.show_cells(_("Working hours"), told, hours_cells(self._settings.read()))

    def _move_hour(self, key: str, way: int) -> None:
        self._settings.change(lambda now: moved(now, key, way, 0.0))
        self._show_hours()

    def _choose_stretches(self, key: str) -> None:
        self._settings.change(lambda now: with_stretches(now, int(key.removeprefix("hours-"))))
        self._show_hours()

    def _apply(self, before: Settings, now: Settings) -> None:
        """Let what has changed count."""
        wall = self._wall
        if now.theme not in (before.theme, wall.look.palette.name):
            wall.look.swap_theme()
            wall.theme_changed()
        if now.volume != before.volume and wall.sound:
            wall.sound.set_volume(now.volume)
        if any(getattr(now, name) != getattr(before, name) for name in HABITS):
            source = back_to_source()
            take_habits(now)
            tell_anew(wall, source)
        sized = (now.screen_diagonal_inch, now.reading_distance_m)
        if sized != (before.screen_diagonal_inch, before.reading_distance_m):
            self._measure(before, now)
        wall.refresh()

    def _measure(self, before: Settings, now: Settings) -> None:
        wall = self._wall
        if now.screen_diagonal_inch != before.screen_diagonal_inch:
            size = max(wall.screen().size(), wall.size(), key=lambda one: hypot(one.width(), one.height()))
            self._base = measure_of(wall.screen(), size.width(), size.height(), now.screen_diagonal_inch)
        wall.real = read_from(self._base, now.reading_distance_m)
        lay_out_anew(wall)


def _name(tag: str) -> str:
    """Return what a language calls itself."""
    from babel.core import Locale, UnknownLocaleError  # noqa: PLC0415 (a twentieth of a second that no start should pay)

    try:
        return str(Locale.parse(tag.replace("-", "_")).get_display_name()).capitalize()
    except (UnknownLocaleError, ValueError):
        return tag
