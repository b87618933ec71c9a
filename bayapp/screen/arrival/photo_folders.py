"""Asks which photos are to be taken in: from which folder or stick, and which of its files."""

from collections.abc import Callable
from enum import Enum
from pathlib import Path

from bayapp.files.photo_files import PhotoFile, photo_files
from bayapp.files.shop.settings import Settings
from bayapp.pages.selection import Selection
from bayapp.screen.frame.choices import Choices
from bayapp.screen.processes.drives import SHARED, sticks
from bayapp.screen.settings.shop_settings import ShopSettings
from bayapp.screen.widgets.choice_page import Entry
from bayapp.screen.widgets.paged_choices import show_paged
from bayapp.text.figures import moment_text, size_text
from bayapp.text.language import _
from bayapp.text.readable import visible

AT_ONCE = 12
"""Photos that one touch takes from a folder."""


class OfFolder(Enum):
    """What a folder offers beside its files."""

    ALL = "all"
    WATCH = "watch"


class PhotoFolders:
    """Asks for photos; ``take`` gets the files, ``watched_other`` hears that another folder is watched.

    Attributes:
        folders: where photos are looked for beside the watched folder: the shop's own folder, then sticks.
    """

    def __init__(
        self,
        selection: Selection,
        choices: Choices,
        settings: ShopSettings,
        take: Callable[[list[Path]], None],
        watched_other: Callable[[], None],
    ) -> None:
        self._selection, self._choices, self._settings = selection, choices, settings
        self._take, self._watched_other = take, watched_other
        self.folders: Callable[[], list[Path]] = lambda: [settings.store / SHARED, *sticks()]

    def watched(self) -> Path | None:
        """Return the folder that is watched."""
        folder = self._settings.read().photos_from
        return Path(folder) if folder else None

    def ask(self) -> None:
        """Ask from where."""
        watched = self.watched()
        folders = dict.fromkeys([*([watched] if watched else []), *self.folders()])
        entries = [
            Entry(folder, folder.name or str(folder), _("watched") if folder == watched else str(folder), glyph="photo")
            for folder in folders
            if folder.is_dir()
        ]
        if not entries:
            sentence = _("Plug in the stick or card, or put the photos into the folder {folder!r} of the store.")
            self._choices.tell(_("No stick is here"), "", sentence.format(folder=SHARED))
            return
        subtitle = _("A stick shows here once the machine has it open.")
        show_paged(_("Photos: from where?"), subtitle, entries, self._ask_which, self._choices.show)

    def _ask_which(self, folder: Path) -> None:
        try:
            files = photo_files(folder)
        except OSError as trouble:
            self._choices.tell(_("The folder cannot be read"), "", str(trouble.strerror or trouble))
            return
        subtitle = str(folder) if files else _("No photo is here: their names end in .jpg, .png or .webp.")
        entries = [*self._of_folder(folder, files), *map(self._entry, files)]
        self._show(subtitle, entries, lambda key: self._chosen(folder, files, key))

    def _show(
        self, subtitle: str, entries: list[Entry[Path | OfFolder]], chosen: Callable[[Path | OfFolder], None]
    ) -> None:
        show_paged(_("Which photos?"), subtitle, entries, chosen, self._choices.show)

    def _of_folder(self, folder: Path, files: list[PhotoFile]) -> list[Entry[Path | OfFolder]]:
        entries: list[Entry[Path | OfFolder]] = []
        count = min(AT_ONCE, len(files))
        if count > 1:
            title = _("All {n}") if count == len(files) else _("The newest {n}")
            entries.append(Entry(OfFolder.ALL, title.format(n=count), glyph="photo"))
        watched = folder == self.watched()
        title = _("Watch it no more") if watched else _("Watch this folder")
        told = _("what comes there is taken in while photos are open")
        entries.append(Entry(OfFolder.WATCH, title, told, glyph="clock", chosen=watched))
        return entries

    def _entry(self, file: PhotoFile) -> Entry[Path | OfFolder]:
        when = moment_text(file.changed_at, self._selection.bay.now(), self._selection.tz)
        return Entry(file.path, visible(file.path.name), f"{when}, {size_text(file.size)}", glyph="photo")

    def _chosen(self, folder: Path, files: list[PhotoFile], key: Path | OfFolder) -> None:
        if isinstance(key, Path):
            self._take([key])
        elif key is OfFolder.ALL:
            self._take([file.path for file in files[:AT_ONCE]])
        else:
            self._watch(None if folder == self.watched() else folder)

    def _watch(self, folder: Path | None) -> None:
        def watched(now: Settings) -> Settings:
            return now.model_copy(update={"photos_from": str(folder) if folder else None})

        self._settings.change(watched)
        self._watched_other()
