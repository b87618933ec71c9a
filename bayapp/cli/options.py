"""Options that several commands share."""

from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

IN_USE = "bayapp.store"


def _remember(ctx: typer.Context, store: Path | None) -> Path | None:
    """Let whoever writes down a fault know which store is in use."""
    if store:
        ctx.meta[IN_USE] = store
    return store


StoreOption = Annotated[
    Path | None,
    typer.Option(metavar="DIR", help="Folder of the journal; by default this shop's.", callback=_remember),
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print one JSON document.")]


def instant(text: str) -> datetime:
    """Return the instant that ``--at`` names; BadParameter when it names none."""
    from bayapp.job.model.instant import parse_instant

    try:
        return parse_instant(text)
    except ValueError as error:
        raise typer.BadParameter(str(error), param_hint="--at") from error
