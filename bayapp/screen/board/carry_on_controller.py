"""Asks for the reason of a deviation, after a refused step was held, and records it."""

from dataclasses import replace

from bayapp.job.text.naming import capital, step_title, zones_title
from bayapp.pages.board.phrases import reasons
from bayapp.pages.wanted import WhyCarryOn
from bayapp.screen.frame.asking import Asking
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.widgets.choice_page import Entry
from bayapp.text.language import _


class CarryOnController:
    """Records a deviation with its reason."""

    def __init__(self, pages: PageStack, asking: Asking, choices: Choices) -> None:
        self._pages, self._asking, self._choices = pages, asking, choices

    def open(self, wanted: WhyCarryOn) -> None:
        """Ask for the reason of exactly this request."""
        action = wanted.action
        job = self._asking.bay.state.jobs[action.job].job
        what = f"{zones_title(job, action.zones)}: {step_title(job.recipe_of(action.zones[0]), action.step)}"

        def carry_on(reason: str) -> None:
            if self._asking.ask_or_say(replace(action, deviation=reason)):
                self._pages.back()

        self._choices.show(
            _("Why carry on?"),
            _("{what}. It is recorded as a deviation.").format(what=capital(what)),
            [Entry(reason, capital(reason)) for reason in reasons()],
            carry_on,
        )
