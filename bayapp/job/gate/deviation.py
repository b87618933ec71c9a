"""What is recorded of a person who carries on through refusals."""

from collections.abc import Sequence

from bayapp.job.state.events import BrokenRule, Deviation
from bayapp.job.state.state import BayState
from bayapp.job.text.sentences import why_not
from bayapp.job.verdict import Refusal, one_a_rule


def deviation_from(refusals: Sequence[Refusal], state: BayState, reason: str | None) -> Deviation | None:
    """Return the deviation from every rule that was broken, in the gate's words; None without a reason, or any rule."""
    if not refusals or not reason:
        return None
    first, *also = (BrokenRule(code=r.code, why=why_not(r, state)) for r in one_a_rule(refusals))
    return Deviation(code=first.code, why=first.why, reason=reason, also=tuple(also))
