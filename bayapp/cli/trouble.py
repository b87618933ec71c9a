"""How a command ends when it cannot go on: what it says, and its exit code."""

import logging
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import typer
from typer.core import TyperGroup

from bayapp.cli.options import IN_USE
from bayapp.files.problems import BadFile
from bayapp.paths import default_store
from bayapp.private_files import make_private_folder
from bayapp.text.language import _
from bayapp.time_zone import UnknownZoneError

NO = 1
BAD_INPUT = 2


class Commands(TyperGroup):
    """Commands that never end in a traceback: bad input says why; a bug of ours goes to a log and says where."""

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        command = super().get_command(ctx, cmd_name)
        if command:
            _help_in_language(command)
        return command

    def format_help(self, ctx: Any, formatter: Any) -> None:
        _help_in_language(self)
        super().format_help(ctx, formatter)

    def invoke(self, ctx: Any) -> Any:
        try:
            return super().invoke(ctx)
        except BrokenPipeError:
            raise  # the reader of our output has closed it
        except Exception as error:
            if type(error).__module__.startswith(("typer", "click")):
                raise
            ending = ending_of(error, ctx.meta.get(IN_USE))
            complain(ending.said)
            raise typer.Exit(ending.code) from error


@dataclass(frozen=True, slots=True)
class Ending:
    """How a command ends that cannot go on: what it says, and its exit code."""

    said: str
    code: int


def ending_of(error: Exception, store: Path | None) -> Ending:
    """Return how a command ends with this error; a bug of ours is written to a log in the ``store`` in use."""
    if isinstance(error, BadFile):
        return Ending(str(error), BAD_INPUT)
    if isinstance(error, OSError):
        return Ending(_os_message(error), BAD_INPUT)
    if isinstance(error, UnknownZoneError):
        return Ending(_("This machine has no time zone that is known: {found}").format(found=error), NO)
    if isinstance(error, ImportError) and not (error.name or "").startswith("bayapp"):
        said = _("A library is missing or cannot be loaded: {error}. `bayapp doctor` says what to do.")
        return Ending(said.format(error=error), NO)
    from bayapp.record.problems import StoreProblem

    if isinstance(error, StoreProblem):
        return Ending(f"{error.where}: {error.what} {error.remedy}", BAD_INPUT)
    return Ending(_bug(error, store), NO)


def help_texts(command: Any) -> Iterator[tuple[Any, str]]:
    """Yield the help texts of a command and its options, each with its owner."""
    for owner in (command, *command.params):
        if getattr(owner, "help", None):
            yield owner, owner.help


def _help_in_language(command: Any) -> None:
    for owner, text in list(help_texts(command)):
        owner.help = _(text)


def complain(text: str) -> None:
    """Say something to the person at the terminal, on standard error."""
    typer.echo(text, err=True)


def bad_input(reason: str) -> typer.Exit:
    """Say why the input cannot be used; return the exit to raise."""
    complain(reason)
    return typer.Exit(BAD_INPUT)


def _os_message(error: OSError) -> str:
    where = f"{error.filename}: " if error.filename else ""
    return f"{where}{error.strerror or error}"


def _bug(error: Exception, store: Path | None) -> str:
    """Log a bug of ours in the store in use; return where. It is never the person's fault."""
    in_use = [store] if store and store.is_dir() else []  # a name that was mistyped does not become a folder
    for folder in (*in_use, default_store(), Path(tempfile.gettempdir())):
        try:
            log = _log(error, folder)
        except OSError:
            continue
        return _("Something in bayapp itself went wrong ({kind}). What is known of it is in {log}").format(
            kind=type(error).__name__, log=log
        )
    return _("Something in bayapp itself went wrong: {kind}: {error}").format(kind=type(error).__name__, error=error)


def _log(error: Exception, folder: Path) -> Path:
    make_private_folder(folder)
    path = folder / "errors.log"
    handler = logging.FileHandler(path, encoding="utf-8")
    handler.setFormatter(logging.Formatter("%(asctime)s %(message)s"))
    record = logging.LogRecord("bayapp.cli", logging.ERROR, "", 0, "%s", (error,), _info(error))
    handler.emit(record)
    handler.close()
    return path


def _info(error: Exception) -> Any:
    return (type(error), error, error.__traceback__)
