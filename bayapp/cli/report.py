"""``report``: the day record as papers."""

from collections.abc import Sequence
from datetime import date, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bayapp.cli.options import StoreOption, instant
from bayapp.cli.trouble import NO, bad_input, complain
from bayapp.paths import default_store
from bayapp.text.language import _

if TYPE_CHECKING:
    from bayapp.job import Event
    from bayapp.job.model.ids import JobId

PAPERS = ("a4", "letter")


def report(
    out: Annotated[Path, typer.Option(metavar="DIR", help="Folder that the papers go to.")],
    store: StoreOption = None,
    job: Annotated[str | None, typer.Option(metavar="ID", help="One job; by default each job worked that day.")] = None,
    day: Annotated[
        str | None, typer.Option(metavar="DATE", help="e.g. 2026-11-25; by default the last day worked.")
    ] = None,
    at: Annotated[
        str | None, typer.Option(metavar="TIME", help="As it stood then, e.g. 2026-11-25T08:00:00Z; by default now.")
    ] = None,
    paper: Annotated[str, typer.Option(metavar="SIZE", help=" or ".join(PAPERS))] = PAPERS[0],
) -> None:
    """Write the day record of a store's jobs as PDF, CSV and JSON, and print the files' paths.

    Exit 1: nothing was done on that day. 2: there is no such store or job.
    """
    from tzlocal import get_localzone

    from bayapp.cli.stores import read_store, store_trouble
    from bayapp.clock import BayClock
    from bayapp.files.shop.settings import load_settings, use_shop_units
    from bayapp.report.write import ReportRequest, write_report

    if paper not in PAPERS:
        raise typer.BadParameter(
            _("{paper!r} is none of {listed}").format(paper=paper, listed=", ".join(PAPERS)), param_hint="--paper"
        )
    wanted = None if day is None else _day(day)
    moment = None if at is None else instant(at)
    with store_trouble():
        use_shop_units(load_settings(store or default_store()))
        events = [e for e in read_store(store or default_store()) if moment is None or e.at <= moment]
    days = _days(events, get_localzone())
    if job is not None and job not in days:
        raise bad_input(
            _("There is no job {job!r} in this store; it has {listed}.").format(
                job=job, listed=", ".join(sorted(days)) or _("none")
            )
        )
    worked = {j: on for j, on in days.items() if job in (None, j)}
    last = wanted or max((max(on) for on in worked.values()), default=None)
    todo = [j for j, on in worked.items() if last in on]
    if last is None or not todo:
        nothing = _("Nothing was recorded on {day}; there is nothing to report.").format(day=last)
        complain(nothing if last else _("Nothing was recorded on any day; there is nothing to report."))
        raise typer.Exit(NO)
    # The bay's timeline may be ahead of the wall clock.
    asked_at = moment or max(BayClock.at_wall().now(), events[-1].at)
    for job_id in todo:
        for path in write_report(events, ReportRequest(job_id, last, asked_at, get_localzone(), paper), out):
            typer.echo(path)


def _days(events: Sequence["Event"], tz: tzinfo) -> dict["JobId", set[date]]:
    """Return the days on which something was recorded of each job."""
    days: dict[JobId, set[date]] = {}
    for event in events:
        if event.job is not None:
            days.setdefault(event.job, set()).add(event.at.astimezone(tz).date())
    return days


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise typer.BadParameter(
            _("{text!r} is no date; write e.g. 2026-11-25").format(text=text), param_hint="--day"
        ) from error
