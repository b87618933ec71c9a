"""``report``: the day record as papers. Knows no paper's layout."""

from collections.abc import Sequence
from datetime import date, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bayapp.cli.options import StoreOption
from bayapp.cli.trouble import bad_input
from bayapp.paths import default_store

if TYPE_CHECKING:
    from bayapp.job import Event
    from bayapp.job.words import JobId


def report(
    out: Annotated[Path, typer.Option(metavar="DIR", help="Folder that the papers go to.")],
    store: StoreOption = None,
    job: Annotated[str | None, typer.Option(metavar="ID", help="One job; by default each job worked that day.")] = None,
    day: Annotated[
        str | None, typer.Option(metavar="DATE", help="e.g. 2026-11-25; by default the last day worked.")
    ] = None,
) -> None:
    """Write the day record of a store's jobs as PDF, CSV and JSON, and print the files' paths.

    Exit 1: nothing was done on that day. 2: there is no such store or job.
    """
    from tzlocal import get_localzone

    from bayapp.cli.stores import read_store, store_trouble
    from bayapp.clock import BayClock
    from bayapp.report import write_report

    wanted = None if day is None else _day(day)
    with store_trouble():
        events = read_store(store or default_store())
    tz = get_localzone()
    days = _days(events, tz)
    if job is not None and job not in days:
        raise bad_input(f"There is no job {job!r} in this store; it has {', '.join(sorted(days)) or 'none'}.")
    worked = {j: on for j, on in days.items() if job in (None, j)}
    last = wanted or max((max(on) for on in worked.values()), default=None)
    todo = [j for j, on in worked.items() if last in on]
    if last is None or not todo:
        typer.echo(f"Nothing was recorded on {last or 'any day'}; there is nothing to report.", err=True)
        raise typer.Exit(1)
    for job_id in todo:
        for path in write_report(events, job_id, last, out, tz, BayClock.at_wall().now()):
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
        raise typer.BadParameter(f"{text!r} is no date; write e.g. 2026-11-25", param_hint="--day") from error
