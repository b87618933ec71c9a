"""``backup`` and ``restore``: safe copies of a store, also while it runs."""

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bayapp.cli.options import StoreOption, instant
from bayapp.cli.priority import BackgroundOption
from bayapp.cli.trouble import NO, complain
from bayapp.paths import default_store
from bayapp.text.language import _

if TYPE_CHECKING:
    from bayapp.files.shop.backup_log import PlaceLog
    from bayapp.files.shop.settings import Settings


def backup(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Folder that the copy goes to.")],
    store: StoreOption = None,
) -> None:
    """Copy the journal and its photos into a folder, also while the wall screen runs, and prove the copy."""
    from bayapp.cli.stores import store_trouble
    from bayapp.record.backup import back_up

    with store_trouble():
        typer.echo(back_up(store or default_store(), folder, _say_lacking))


def _say_lacking(count: int) -> None:
    from bayapp.record.photos import lacking_text

    if count:
        complain(lacking_text(count))


def backup_places(
    at: Annotated[str, typer.Option(help="The instant of the bay.")],
    store: StoreOption = None,
    _in_background: BackgroundOption = False,
) -> None:
    """Back up to every place of the shop, keep the last ones, and write down what became of each; the screen's own."""
    from bayapp.files.shop.backup_log import BackupLog, PlaceLog, read_backup_log, write_backup_log
    from bayapp.files.shop.settings import load_settings, use_shop_units
    from bayapp.pages.settings.backups import places

    moment, place = instant(at), store or default_store()
    settings = load_settings(place)
    use_shop_units(settings)
    before, found = read_backup_log(place), dict[str, PlaceLog]()
    for folder in places(place, settings):
        found[str(folder)] = _back_up_to(place, folder, settings, before.of(folder), moment)
    write_backup_log(place, BackupLog(places=found))
    if any(one.failed_at for one in found.values()):
        raise typer.Exit(NO)


def _back_up_to(store: Path, folder: Path, settings: "Settings", before: "PlaceLog", moment: datetime) -> "PlaceLog":
    """Make a backup in one place; return what is to be written down of it."""
    from bayapp.files.shop.backup_log import PlaceLog
    from bayapp.files.shop.backup_places import why_missing
    from bayapp.record import StoreProblem
    from bayapp.record.backup import back_up
    from bayapp.record.kept_backups import drop_older

    own = store.absolute() in folder.parents
    why = "" if own else why_missing(folder, settings.backups_mark)
    if not why:
        try:
            file = back_up(store, folder)
            drop_older(store, folder, settings.backups_kept)
        except StoreProblem as problem:
            why = f"{problem.where}: {problem.what} {problem.remedy}"
        except OSError as error:
            why = f"{folder}: {error.strerror or error}"
        else:
            return PlaceLog(good_at=moment, file=file.name)
    complain(why)
    return before.model_copy(update={"failed_at": moment, "why": why})


def restore(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A copy that backup made.")],
    store: StoreOption = None,
) -> None:
    """Put a copy in the place of the journal, and its photos beside it; the one that was there is kept aside.

    Close the wall screen first.
    """
    from bayapp.cli.stores import store_trouble
    from bayapp.record import backup as record

    place = store or default_store()
    with store_trouble():
        aside = record.restore(file, place)
    typer.echo(place)
    if aside:
        complain(_("The journal that was there is kept as {aside}").format(aside=aside))
