"""The day's sound check: plays every tone once and asks whether it was heard."""

from enum import StrEnum

from PySide6.QtCore import QObject, QTimer

from bayapp.bay import Bay
from bayapp.job.state.requests import ReportSound
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.sound import Voice
from bayapp.screen.widgets.choice_page import Entry
from bayapp.text.language import _


class Heard(StrEnum):
    """What a person answers."""

    YES = "heard"
    AGAIN = "again"
    NO = "silent"


class SoundCheckController(QObject):
    """Plays the tones and records what was heard of them."""

    def __init__(self, bay: Bay, pages: PageStack, choices: Choices, voice: Voice) -> None:
        super().__init__(pages)
        self._bay, self._pages, self._choices, self._voice = bay, pages, choices, voice
        self._played: bool | None = None  # whether they were played to the end; None while they play
        self._shown = -1  # which showing of the choice page this page is

    def open(self) -> None:
        """Play every tone once and ask whether it was heard."""
        if against := self._voice.against_check():
            self._choices.tell(_("No sound"), _("Alerts are shown, but cannot be heard."), against)
            return
        self._played = None
        self._show(_("The tones are playing."))
        QTimer.singleShot(0, self._play)

    def _play(self) -> None:
        self._played = None
        self._voice.check(self._ended)

    def _ended(self, complete: bool) -> None:
        self._played = complete
        page = self._pages.choices
        if page.showing == self._shown and page.isVisible():
            self._show(self._result())

    def _result(self) -> str:
        if self._played is None:
            return _("The tones are still playing: wait for the last one.")
        if self._played:
            return _("All tones were played.")
        return _("The check broke off before its end: play it again.")

    def _show(self, subtitle: str) -> None:
        entries = [
            Entry(Heard.YES, _("I heard it")),
            Entry(Heard.AGAIN, _("Play again"), glyph="sound"),
            Entry(Heard.NO, _("I heard nothing")),
        ]
        sentences = (
            _("Each kind of alert sounds once: ready, closes soon, too late, may get wet, hand over, attention."),
            _("Heard nothing? Turn up the loudspeaker, check its cable and power, then play again."),
        )
        self._choices.show(_("Sound check"), subtitle, entries, self._answered, sentences)
        self._shown = self._pages.choices.showing

    def _answered(self, heard: Heard) -> None:
        if heard is Heard.AGAIN:
            self._show(_("The tones are playing."))
            self._play()
        elif heard is Heard.YES and not self._played:
            self._show(self._result())
        else:
            self._bay.request(ReportSound(heard is Heard.YES))
            self._pages.show_board()
