"""The command line: every command is registered here."""

import gc
from pathlib import Path
from typing import Annotated

import typer

from bayapp.cli import air, backup, check, doctor, keep_photos, picture, replay, report, verify
from bayapp.cli.options import StoreOption
from bayapp.cli.plan import command, follow
from bayapp.cli.trouble import NO, Commands, complain, ending_of
from bayapp.private_files import keep_new_files_private
from bayapp.text.language import _

app = typer.Typer(
    cls=Commands,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help="The wall screen of a detailing bay. With no command it opens the screen.",
)
app.command("check")(check.check)
app.command("replay")(replay.replay)
app.command("plan")(command.plan)
app.command("plan-follow", hidden=True)(follow.plan_follow)
app.command("air")(air.air)
app.command("report")(report.report)
app.command("picture")(picture.picture)
app.command("doctor")(doctor.doctor)
app.command("verify")(verify.verify)
app.command("backup")(backup.backup)
app.command("backup-places", hidden=True)(backup.backup_places)
app.command("restore")(backup.restore)
app.command("keep-photos", hidden=True)(keep_photos.keep_photos)


@app.callback(invoke_without_command=True)
def wall_screen(
    ctx: typer.Context,
    store: StoreOption = None,
    job: Annotated[Path | None, typer.Option(help="A job file to take into the bay.")] = None,
    practice: Annotated[
        bool, typer.Option("--practice", help="An invented car; of the store, only settings are read.")
    ] = False,
    speed: Annotated[float, typer.Option(help="How many times faster practice time runs.")] = 1.0,
    kiosk: Annotated[bool, typer.Option("--kiosk", help="Fill the screen and stay in front.")] = False,
) -> None:
    """Open the wall screen, unless a command follows."""
    options = {"--store": store, "--job": job, "--practice": practice, "--speed": speed != 1.0, "--kiosk": kiosk}
    if ctx.invoked_subcommand is not None:
        for name in (name for name, given in options.items() if given):
            raise typer.BadParameter(
                _("{name} before a command belongs to the wall screen; write it after the command").format(name=name)
            )
        return
    if not 0 < speed <= 3600:
        raise typer.BadParameter(_("the speed must be more than 0 and at most 3600"), param_hint="--speed")
    if speed != 1.0 and not practice:
        raise typer.BadParameter(_("only practice can run faster; add --practice"), param_hint="--speed")
    _open_screen(store, job, practice, speed, kiosk)


def _open_screen(store: Path | None, job: Path | None, practice: bool, speed: float, kiosk: bool) -> None:
    gc.disable()  # hardly anything that loads is garbage: looking for it costs a tenth; on again once the board stands
    try:
        _run_screen(store, job, practice, speed, kiosk)
    finally:
        gc.enable()


def _run_screen(store: Path | None, job: Path | None, practice: bool, speed: float, kiosk: bool) -> None:
    # Before Qt, which reads the source of all that loads after it.
    import bayapp.bay
    import bayapp.files.shop.settings
    import bayapp.pages.board.board
    import bayapp.pages.board.ladder  # noqa: F401
    from bayapp.screen.app import NoDisplayError, WallOptions
    from bayapp.screen.start import start

    def tell(failed: Exception) -> tuple[str, int]:
        ending = ending_of(failed, store)
        complain(ending.said)
        return ending.said, ending.code

    try:
        raise typer.Exit(start(store, WallOptions(job, practice, speed, kiosk), tell))
    except NoDisplayError as missing:
        complain(str(missing))
        raise typer.Exit(NO) from missing


def main() -> None:
    """Run the command that the arguments name, and exit with its code."""
    keep_new_files_private()
    app(prog_name="bayapp")
