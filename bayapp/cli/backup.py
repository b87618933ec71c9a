"""``backup`` and ``restore``: safe copies of a store, also while it runs."""

from pathlib import Path
from typing import Annotated

import typer

from bayapp.cli.options import StoreOption
from bayapp.cli.trouble import complain
from bayapp.paths import default_store
from bayapp.text.language import _


def backup(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Folder that the copy goes to.")],
    store: StoreOption = None,
) -> None:
    """Copy the journal into a folder, also while the wall screen runs, and prove the copy."""
    from bayapp.cli.stores import store_trouble
    from bayapp.record.backup import back_up

    with store_trouble():
        typer.echo(back_up(store or default_store(), folder))


def restore(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A copy that backup made.")],
    store: StoreOption = None,
) -> None:
    """Put a copy in the place of the journal; the one that was there is kept aside. Close the wall screen first."""
    from bayapp.cli.stores import store_trouble
    from bayapp.record import backup as record

    place = store or default_store()
    with store_trouble():
        aside = record.restore(file, place)
    typer.echo(place)
    if aside:
        complain(_("The journal that was there is kept as {aside}").format(aside=aside))
