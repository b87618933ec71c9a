"""Asks for the reason of a deviation, after a refused step was held, and records it."""

from dataclasses import replace

from bayapp.job import FinishStep, Start
from bayapp.job.shut_out.shut_out import shut_out
from bayapp.job.shut_out.shut_out_sentences import shut_out_sentence
from bayapp.job.text.naming import capital, step_title, zones_title
from bayapp.job.text.sentences import rules_text
from bayapp.pages.board.phrases import reasons
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import WhyCarryOn
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.widgets.choice_page import Entry
from bayapp.text.language import _


class CarryOnController:
    """Records a deviation with its reason."""

    def __init__(self, selection: Selection, pages: PageStack, sender: RequestSender, choices: Choices) -> None:
        self._selection, self._pages, self._sender, self._choices = selection, pages, sender, choices

    def open(self, wanted: WhyCarryOn) -> None:
        """Ask for the reason of exactly this request, and say what kinds of rules it goes against."""
        action, bay = wanted.action, self._sender.bay
        job, rules = bay.state.jobs[action.job].job, rules_text(bay.judge(action).refusals)
        what = f"{zones_title(job, action.zones)}: {step_title(job.recipe_of(action.zones[0]), action.step)}"

        def carry_on(reason: str) -> None:
            if self._sender.send_or_show_refusal(replace(action, deviation=reason)):
                self._pages.leave()

        said = _("{what}. It is recorded as a deviation.") if not rules else _("{what}. A deviation: {rules}.")
        self._choices.show(
            _("Why carry on?"),
            said.format(what=capital(what), rules=rules),
            [Entry(reason, capital(reason)) for reason in reasons()],
            carry_on,
            self._costs(action),
        )

    def _costs(self, action: Start | FinishStep) -> tuple[str, ...]:
        """Return what the step would shut out if it were begun for a reason, in a sentence; none where nothing."""
        if not isinstance(action, Start):
            return ()
        state, at = self._sender.bay.state, self._sender.bay.now()
        begun = replace(action, deviation=reasons()[0])
        said = shut_out_sentence(shut_out(state, begun, at), begun, state, at, self._selection.tz)
        return (said,) if said else ()
