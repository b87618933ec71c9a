"""Keeps an open ladder and the bar under it up to date with the bay, and passes on the requests of its buttons."""

from datetime import datetime

from PySide6.QtCore import QObject

from bayapp.job import Cover, FinishStep, Refusal, Request, Start, TakeUp
from bayapp.job.model.ids import StepId
from bayapp.job.verdict import one_a_rule
from bayapp.pages.board.aids import FillSpotCard
from bayapp.pages.board.ladder import ladder
from bayapp.pages.board.next_step import Offer, asks_which
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import CorrectTimes, NoteAbout, Page, Refused, WhyAside, WhyCarryOn
from bayapp.screen.board.ladder import LadderPage
from bayapp.screen.board.ladder_bar import LadderBar
from bayapp.screen.board.refresher import Refresher
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender


class LadderController(QObject):
    """Connects the ladder and the door: what has become untrue since it was painted is refused in words."""

    def __init__(
        self,
        page: LadderPage,
        bar: LadderBar,
        selection: Selection,
        pages: PageStack,
        sender: RequestSender,
        refresher: Refresher,
    ) -> None:
        super().__init__(pages)
        self._page, self._bar, self._selection, self._pages, self._sender = page, bar, selection, pages, sender
        self._refresher = refresher
        page.group_chosen.connect(lambda zones: pages.show_ladder(selection.job, zones))
        page.step_chosen.connect(self._choose_step)
        page.aid_wanted.connect(self._aid)
        bar.pressed.connect(self._press)
        bar.deviation_wanted.connect(lambda action: pages.want(WhyCarryOn(action)))
        bar.undo_wanted.connect(sender.send_or_show_refusal)
        bar.correct_wanted.connect(lambda job, zones: pages.want(CorrectTimes(job, zones)))
        bar.aside_wanted.connect(lambda job, zones: pages.want(WhyAside(job, zones)))
        bar.note_wanted.connect(self._note)
        refresher.refreshed.connect(self._show)

    def take(self, offer: Offer) -> None:
        """Pass on the request of a next-step button; open its ladder if there is a choice to make or a refusal.

        A button that says what is wrong with the plan opens the plan, one without a car those that may come in, and one
        that is shut until somebody says what time it is opens that question.
        """
        action = offer.action
        if offer.opens_plan:
            self._pages.want(Page.PLAN)
        if offer.looks_over and offer.job:
            self._pages.show_car(offer.job)
            self._pages.want(Page.FINAL_CHECK)
        if offer.takes_in:
            self._pages.want(Page.CARS)
        if offer.asks_time:
            self._pages.want(Page.CLOCK)
        if action is None:
            return
        state = self._sender.bay.state.jobs[action.job]
        if isinstance(action, Start) and asks_which(state, action, self._sender.bay.now()):
            self._pages.show_ladder(action.job, action.zones)
            return
        if not offer.hold and self._closes_the_way(action):
            self._refresher.refresh()
            return
        if self._sender.asks_who(action):
            return
        verdict = self._sender.send(action)
        if verdict.refusals and not self._sender.asks_first(action, verdict):
            self._pages.show_ladder(action.job, action.zones)
            self._say_unless_shown(action, verdict.refusals)

    def _show(self, at: datetime) -> None:
        chosen = self._selection
        if self._pages.standing is self._page and chosen.job:
            view = ladder(chosen.bay, chosen.job, chosen.zones, chosen.step, chosen.seen_at(at))
            self._page.show_ladder(view)
            self._bar.show_ladder(view)

    def _aid(self, aid: Request | FillSpotCard) -> None:
        if isinstance(aid, FillSpotCard):
            self._pages.want(aid)
        else:
            self._sender.send_or_show_refusal(aid)

    def _choose_step(self, step: StepId) -> None:
        self._selection.choose_step(step)
        self._refresher.refresh()

    def _press(self, action: Start | FinishStep | TakeUp) -> None:
        if not self._bar.held and self._closes_the_way(action):
            self._refresher.refresh()
            return
        if self._sender.asks_who(action):
            return
        verdict = self._sender.send(action)
        if verdict.refusals:
            if not self._sender.asks_first(action, verdict):
                self._say_unless_shown(action, verdict.refusals)
        elif isinstance(action, FinishStep):
            self._pages.show_board()

    def _closes_the_way(self, action: Start | FinishStep | TakeUp | Cover) -> bool:
        """Whether a step must be held that was painted before anybody knew what it would close."""
        bay = self._sender.bay
        return isinstance(action, Start) and bay.advice.closes_the_way(action, bay.now())

    def _say_unless_shown(self, action: Start | FinishStep | TakeUp | Cover, refusals: tuple[Refusal, ...]) -> None:
        """Show why a touch was refused, unless the repainted ladder already shows all of it on its button."""
        rules = one_a_rule(refusals)
        if len(rules) > 1 or not self._bar.says_why_not(action):
            self._pages.want(Refused(rules))

    def _note(self) -> None:
        if self._selection.job:
            self._pages.want(NoteAbout(self._selection.job, self._selection.zones))
