"""The shop's settings while the program runs: read, changed and saved atomically."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from bayapp.files.problems import BadFile
from bayapp.files.shop.settings import Settings, load_settings, save_settings, settings_file
from bayapp.text.language import _

Change = Callable[[Settings], Settings]


class ShopSettings(QObject):
    """The contents of the store's ``settings.toml``, or its last valid contents while it is wrong.

    Attributes:
        trouble: why the file could not be read or written last time; empty if it could.

    Signals:
        changed: the settings have changed; carries the old and the new ones.
    """

    changed = Signal(object, object)

    def __init__(self, store: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.store = store
        self.trouble = ""
        self._known = Settings()
        self.read()

    def read(self) -> Settings:
        """Return the settings from the file, whoever wrote it."""
        try:
            found = load_settings(self.store)
        except (BadFile, OSError) as wrong:
            self.trouble = self._sentence(wrong)
            return self._known
        self.trouble = ""
        self._take(found)
        return found

    def change(self, change: Change) -> bool:
        """Change and save the settings; return whether that worked. A file that is wrong is left as it is."""
        before = self.read()
        if self.trouble:
            return False
        after = Settings.model_validate(change(before).model_dump(mode="json"))
        try:
            save_settings(self.store, after)
        except (BadFile, OSError) as wrong:
            self.trouble = self._sentence(wrong)
            return False
        self._take(after)
        return True

    def _take(self, found: Settings) -> None:
        before, self._known = self._known, found
        if before != found:
            self.changed.emit(before, found)

    def _sentence(self, wrong: BadFile | OSError) -> str:
        file = settings_file(self.store)
        if isinstance(wrong, BadFile):
            first = wrong.findings[0]
            sentence = _(
                "Somebody is writing {file}, or it is wrong ({place}: {why}). "
                "Nothing was changed; put it right, then touch again."
            )
            return sentence.format(file=file, place=first.place, why=first.reason)
        sentence = _("{file} cannot be written ({why}). Nothing was changed.")
        return sentence.format(file=file, why=wrong.strerror or wrong)
