"""Shows what is wrong with the plan, and does what a touched way out asks for."""

from PySide6.QtCore import QObject, Signal

from bayapp.job.state.requests import Request
from bayapp.pages.plan.ways_out import WayButton, ways_out_page
from bayapp.pages.selection import Selection
from bayapp.screen.board.refresher import Refresher
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.plan.ways_out import WaysOutPage


class WaysOutController(QObject):
    """Keeps the page of ways out up to date, and sends the requests that it painted.

    Attributes:
        back: what takes the last way out back; None where none was taken or something followed.

    Signals:
        line_wanted: the time line was asked for.
        settled: a way out was taken, or nothing is wrong any more: the time line takes the place of this page.
        words_wanted: all sentences were asked for.
    """

    line_wanted = Signal()
    settled = Signal()
    words_wanted = Signal()

    def __init__(self, selection: Selection, pages: PageStack, sender: RequestSender, refresher: Refresher) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._sender = selection, pages, sender
        self._page: WaysOutPage | None = None
        self._taken: WayButton | None = None
        self._taken_at: object = None
        refresher.refreshed.connect(self._refresh)

    @property
    def wanted(self) -> bool:
        """Whether something is wrong with the plan, and there is a way out."""
        troubled = self._selection.bay.advice.troubled
        return bool(troubled and troubled.ways_out)

    @property
    def back(self) -> Request | None:
        taken = self._taken
        return taken.back if taken and self._sender.bay.state.last_at == self._taken_at else None

    @property
    def taken_title(self) -> str:
        """What the last way out did."""
        return self._taken.title if self._taken else ""

    def open(self) -> None:
        """Show the ways out in the car's place."""
        page = self._page or self._make()
        self._fill(page)
        self._pages.show(page)

    def take_back(self) -> None:
        """Take the last way out back."""
        request, self._taken = self.back, None
        if request is not None:
            self._sender.send_or_show_refusal(request)

    def _make(self) -> WaysOutPage:
        page = self._page = WaysOutPage(self._pages.look, self._pages.window)
        page.taken.connect(self._take)
        page.line_wanted.connect(self.line_wanted)
        page.words_wanted.connect(self.words_wanted)
        self._pages.add(page)
        return page

    def _fill(self, page: WaysOutPage) -> None:
        chosen = self._selection
        if order := chosen.bay.advice.troubled:
            page.show_ways(ways_out_page(chosen.bay.state, order, chosen.by, chosen.bay.now(), chosen.tz))

    def _refresh(self) -> None:
        """Update the page; once nothing is wrong any more, the time line takes its place."""
        if self._page and self._pages.standing is self._page:
            self._fill(self._page)
            if not self.wanted:
                self.settled.emit()

    def _take(self, way: WayButton) -> None:
        """Send what the button asks for; where it asks for nothing, the loss is taken, or the board offers it later."""
        advice = self._selection.bay.advice
        if way.later:
            advice.choose_cover(way.later)
        elif way.request is None:
            advice.take_losses()
        elif not self._sender.send_or_show_refusal(way.request):
            return
        else:
            self._taken, self._taken_at = way, self._sender.bay.state.last_at
            advice.take_way_out()
        if self._pages.standing is self._page:
            self.settled.emit()
