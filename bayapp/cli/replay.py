"""``replay``: what the gate says to a file of events."""

import json
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from bayapp.cli.trouble import NO
from bayapp.text.language import _

if TYPE_CHECKING:
    from bayapp.cli.outcomes import Outcome


def replay(
    job: Annotated[Path, typer.Argument(help="A job file.")],
    events: Annotated[Path, typer.Argument(help="Lines of events, one JSON object each.")],
    as_json: Annotated[bool, typer.Option("--json", help="Print one line of JSON per event.")] = False,
) -> None:
    """Run events through the gate and print its answer to each. Nothing is recorded.

    Exit 0: all accepted. 1: some line was refused. 2: the job or the events are not right; then nothing is printed.
    """
    from bayapp.cli.outcomes import run
    from bayapp.files.event_lines import read_event_lines
    from bayapp.files.library import Library

    loaded = Library().load_job(job)
    outcomes = list(run(loaded, read_event_lines(events, loaded)))
    for outcome in outcomes:
        typer.echo(json.dumps(_as_json(outcome), ensure_ascii=False) if as_json else _as_text(outcome))
    raise typer.Exit(0 if all(o.accepted for o in outcomes) else NO)


def _as_json(outcome: "Outcome") -> dict[str, Any]:
    return {
        "line": outcome.line,
        "verdict": "accepted" if outcome.accepted else "refused",
        "code": outcome.code,
        "opens_at": _instant(outcome.opens_at),
        "lapses_at": _instant(outcome.lapses_at),
        "why": outcome.why,
    }


def _as_text(outcome: "Outcome") -> str:
    verdict = _("deviation") if outcome.why else _("accepted")
    if not outcome.accepted:
        verdict = _("refused ({code})").format(code=outcome.code)
    parts = [f"{outcome.line:>4}", verdict]
    parts += [_("opens {at}").format(at=_instant(outcome.opens_at))] if outcome.opens_at else []
    parts += [_("lapses {at}").format(at=_instant(outcome.lapses_at))] if outcome.lapses_at else []
    return "  ".join([*parts, *([outcome.why] if outcome.why else [])])


def _instant(moment: datetime | None) -> str | None:
    from bayapp.job.model.instant import write_instant

    return None if moment is None else write_instant(moment)
