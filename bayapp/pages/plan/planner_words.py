"""What has become of the planner, and what the board does meanwhile."""

from bayapp.bay.planner_out import Outage, PlannerOut
from bayapp.text.language import _


def planner_sentence(out: PlannerOut) -> str:
    """Return what has become of the planner, in one sentence."""
    if out.outage is Outage.LATE:
        return _("The plan is late.")
    if out.outage is Outage.ENDED:
        return _("The planner stopped and is started again.")
    return _("There is no plan: the planner fails again and again.")


def without_plan() -> str:
    """Return what the board does while there is no plan."""
    return _("Until it is there, what is most pressing is offered. Clocks and calls go on.")


def planner_sentences(out: PlannerOut) -> tuple[str, ...]:
    """Return what has become of the planner, what the board does meanwhile, and what the planner said last."""
    said = [_("It said last: {said}").format(said=out.said)] if out.said else []
    help_ = [_("`bayapp doctor` says what the planner lacks.")] if out.outage is Outage.GIVEN_UP else []
    return (planner_sentence(out), without_plan(), *said, *help_)
