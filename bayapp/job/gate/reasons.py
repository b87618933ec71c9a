"""Whether a request that must say why does say it."""

from bayapp.job.grounds import Bare, Why
from bayapp.job.model.ids import Code
from bayapp.job.state.requests import FinishBottle, Request, SendBack, SetAside, SwapRecipe
from bayapp.job.verdict import Refusal


def without_reason(request: Request) -> Refusal | None:
    """Return why a request cannot be taken whose reason is empty or blank; None for one that needs none."""
    if isinstance(request, SetAside | SendBack | SwapRecipe | FinishBottle) and not request.reason.strip():
        job = None if isinstance(request, FinishBottle) else request.job
        return Refusal(Code.UNKNOWN, Bare(Why.NO_REASON), job)
    return None
