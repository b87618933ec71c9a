"""Asks why zones are not worked today, and sets them aside."""

from collections.abc import Hashable

from bayapp.job import SetAside
from bayapp.job.text.naming import capital, zones_title
from bayapp.pages.board.phrases import aside_reasons
from bayapp.screen.board.wall import Wall
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.text.language import _


class AsideController:
    """Sets zones of the open car aside; ``show`` fills the choice page and lets it stand."""

    def __init__(self, wall: Wall, show: Show) -> None:
        self._wall, self._show = wall, show

    def open(self, about: object) -> None:
        """Ask for the reason; ``about`` holds the zones."""
        assert isinstance(about, tuple)
        wall, job = self._wall, self._wall.job
        assert job

        def set_aside(key: Hashable) -> None:
            if wall.ask_or_say(SetAside(job, about, str(key), wall.by)):
                wall.show_board()

        zones = capital(zones_title(wall.bay.state.jobs[job].job, about))
        told = _("{zones}: no clock and no call, and nobody waits for it. It can be taken up again at any time.")
        entries = [Entry(reason, capital(reason)) for reason in aside_reasons()]
        self._show(_("Why not today?"), told.format(zones=zones), entries, set_aside, ())
