"""Options that several commands share. Knows no command."""

from pathlib import Path
from typing import Annotated

import typer

StoreOption = Annotated[Path | None, typer.Option(metavar="DIR", help="Folder of the journal; by default this shop's.")]
JsonOption = Annotated[bool, typer.Option("--json", help="Print one JSON document.")]
