"""``plan``: the work order of a job, before anybody has touched the car or with the day under way."""

import json
import sys
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bayapp.cli.options import JsonOption, instant
from bayapp.cli.trouble import NO, complain
from bayapp.paths import default_store
from bayapp.text.language import _

if TYPE_CHECKING:
    from bayapp.cli.plan.search import Found, Planner
    from bayapp.job import BayState

LONGEST_S = 3600


def plan(
    job: Annotated[Path, typer.Argument(help="A job file.")],
    seconds: Annotated[float, typer.Option(metavar="S", help="How long to search at most.")] = 5.0,
    as_json: JsonOption = False,
    store: Annotated[
        Path | None, typer.Option(metavar="DIR", help="Whose settings tell the hours and who does what.")
    ] = None,
    at: Annotated[
        str | None,
        typer.Option(
            metavar="TIME",
            help="Begin then, e.g. 2026-11-25T08:00:00Z; by default with the last event, else as the job says.",
        ),
    ] = None,
    events: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Lines of events that have happened; later ones are left out.")
    ] = None,
    without: Annotated[
        list[str] | None, typer.Option(metavar="ZONE_OR_SET", help="Leave this out; may be given several times.")
    ] = None,
) -> None:
    """Find the order of work that ends soonest and keeps every wait; Ctrl-C takes the best so far.

    Events that the gate refuses are left out and named. Exit 0: all that is left is planned. 1: some wait cannot
    hold, some step cannot be planned, or no order was found in time; says why. 2: the job or the events are not right.
    """
    if not 0 < seconds <= LONGEST_S:
        raise typer.BadParameter(
            _("the search takes more than 0 and at most {longest} s").format(longest=LONGEST_S),
            param_hint="--seconds",
        )
    from bayapp.cli.plan.job import bay_of
    from bayapp.planning.work import plan_work

    state, moment = bay_of(job, events, None if at is None else instant(at), without or ())
    raise typer.Exit(run(plan_work, state, moment, store or default_store(), seconds, as_json))


def run(planner: "Planner", state: "BayState", at: datetime, store: Path, seconds: float, as_json: bool) -> int:
    """Search, print what was found, and return the exit code."""
    from bayapp.cli.plan.search import InterruptibleSearch
    from bayapp.cli.plan.shop import shop_of
    from bayapp.cli.plan.work_order_text import as_json as document
    from bayapp.cli.plan.work_order_text import as_text

    shop = shop_of(store)
    found = InterruptibleSearch(planner, state, at, shop, seconds).run(sys.stderr)
    if as_json:
        typer.echo(json.dumps(document(found.order, found.interrupted), indent=1, ensure_ascii=False))
    else:
        for line in as_text(found.order, {job.job.id: job.job for job in state.open_jobs}, shop.tz):
            typer.echo(line)
    return _verdict(found, seconds, as_json)


def _verdict(found: "Found", seconds: float, as_json: bool) -> int:
    """Say how the search ended where that must be said; return the exit code."""
    order = found.order
    if order.status == "infeasible":
        for sentence in (_("Not every wait of this job can hold."), *order.clash):
            complain(sentence)
        return NO
    if order.losses:
        for sentence in (_("No order was found that keeps every wait."), *order.clash):
            complain(sentence)
        return NO
    if order.status == "unknown":
        stopped = _("Stopped by Ctrl-C before any order was found.")
        complain(
            stopped
            if found.interrupted
            else _("No order was found in {seconds:g} s; give it longer with --seconds.").format(seconds=seconds)
        )
        return NO
    if found.interrupted:
        typer.echo(_("Stopped by Ctrl-C: this is the best order found until then."), err=as_json)
    if order.left_out:
        complain(_("Not all that is left could be planned."))
        return NO
    return 0
