"""Options that several commands share."""

from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

StoreOption = Annotated[Path | None, typer.Option(metavar="DIR", help="Folder of the journal; by default this shop's.")]
JsonOption = Annotated[bool, typer.Option("--json", help="Print one JSON document.")]


def instant(text: str) -> datetime:
    """Return the instant that ``--at`` names; BadParameter when it names none."""
    from bayapp.job.model.instant import parse_instant

    try:
        return parse_instant(text)
    except ValueError as error:
        raise typer.BadParameter(str(error), param_hint="--at") from error
