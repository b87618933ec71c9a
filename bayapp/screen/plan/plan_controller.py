"""Opens the plan page and keeps it up to date with the bay; loads the page when it is first opened."""

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from bayapp.pages.plan.plan import DayPlan, PlanView, day_plan, plan_page
from bayapp.pages.selection import Selection
from bayapp.screen.board.refresher import Refresher
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.plan.ways_out_controller import WaysOutController
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.text.language import _

if TYPE_CHECKING:
    from bayapp.screen.plan.plan import PlanPage


class PlanController(QObject):
    """Shows the work order of the bay on a time line; ``show`` fills the choice page."""

    def __init__(
        self, selection: Selection, pages: PageStack, sender: RequestSender, refresher: Refresher, show: Show
    ) -> None:
        super().__init__(pages)
        self._ways = WaysOutController(selection, pages, sender, refresher)
        self._ways.line_wanted.connect(self.open_line)
        self._ways.settled.connect(self._open_line_instead)
        self._ways.words_wanted.connect(self._say_all)
        self._selection, self._pages, self._show = selection, pages, show
        self._page: PlanPage | None = None
        self._by_person = True
        self._day: DayPlan | None = None
        selection.bay.subscribe(self._keep)
        refresher.refreshed.connect(self._refresh)

    def open(self) -> None:
        """Show the ways out where something is wrong with the plan, else the plan."""
        if self._ways.wanted:
            self._ways.open()
        else:
            self.open_line()

    def open_line(self) -> None:
        """Show the time line in the car's place."""
        self._open_line(self._pages.show)

    def _open_line_instead(self) -> None:
        self._open_line(self._pages.show_instead)

    def _open_line(self, show: Callable[["PlanPage"], None]) -> None:
        page = self._page or self._make()
        show(page)
        self._keep()
        page.open_plan(self._view())

    def _make(self) -> "PlanPage":
        from bayapp.screen.plan.plan import PlanPage  # noqa: PLC0415 (pyqtgraph loads when a plan is first looked at)

        page = self._page = PlanPage(self._pages.look, self._pages.window)
        page.rows_wanted.connect(self._swap_rows)
        page.words_wanted.connect(self._press_last)
        self._pages.add(page)
        return page

    def _view(self) -> PlanView:
        bay = self._selection.bay
        morning = self._day.order if self._day else None
        order, out = bay.advice.order, bay.advice.planner_out
        view = plan_page(bay.state, order, self._by_person, self._selection.seen_at(bay.now()), morning, out)
        return replace(view, undoes=self._ways.taken_title if self._ways.back else "", ways_out=self._ways.wanted)

    def _keep(self) -> None:
        """Remember the day's first plan, for comparison."""
        bay = self._selection.bay
        self._day = day_plan(bay.state, self._day, bay.advice.order, bay.now())

    def _refresh(self) -> None:
        if self._page and self._pages.standing is self._page:
            self._page.show_plan(self._view())

    def _press_last(self) -> None:
        """Do what the last button under the time line offers: undo, ways out, or all in words."""
        if self._ways.back:
            self._ways.take_back()
        elif self._ways.wanted:
            self._ways.open()
        else:
            self._say_all()

    def _swap_rows(self, by_person: bool) -> None:
        self._by_person = by_person
        if self._page:
            self._page.show_plan(self._view())
            self._page.rows_swapped()

    def _say_all(self) -> None:
        view = self._view()
        self._show(
            view.title,
            view.subtitle,
            [Entry("plan", _("Back to the time line"))],
            lambda _key: self.open(),
            view.sentences,
        )
