"""Asks why zones are not worked today, and sets them aside."""

from bayapp.job import SetAside
from bayapp.job.text.naming import capital, zones_title
from bayapp.pages.board.phrases import aside_reasons
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import WhyAside
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.text.language import _


class AsideController:
    """Sets zones of the open car aside; ``show`` fills the choice page."""

    def __init__(self, selection: Selection, pages: PageStack, sender: RequestSender, show: Show) -> None:
        self._selection, self._pages, self._sender, self._show = selection, pages, sender, show

    def open(self, wanted: WhyAside) -> None:
        """Ask for the reason."""
        job = wanted.job

        def set_aside(reason: str) -> None:
            if self._sender.send_or_show_refusal(SetAside(job, wanted.zones, reason, self._selection.by)):
                self._pages.show_board()

        zones = capital(zones_title(self._selection.bay.state.jobs[job].job, wanted.zones))
        sentence = _("{zones}: no clock and no call, and nobody waits for it. It can be taken up again at any time.")
        entries = [Entry(reason, capital(reason)) for reason in aside_reasons()]
        self._show(_("Why is it set aside?"), sentence.format(zones=zones), entries, set_aside, ())
