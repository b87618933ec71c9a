"""How a command ends when it cannot go on: what it says, and its exit code."""

import logging
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import typer
from typer.core import TyperGroup

from bayapp.cli.options import IN_USE
from bayapp.files.problems import BadFile
from bayapp.paths import default_store
from bayapp.private_files import make_private_folder
from bayapp.text.language import _

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
        except BadFile as bad:
            raise bad_input(str(bad)) from bad
        except BrokenPipeError:
            raise  # the reader of our output has closed it
        except OSError as error:
            raise bad_input(_os_message(error)) from error
        except ImportError as error:
            if (error.name or "").startswith("bayapp"):
                raise _bug(error, ctx.meta.get(IN_USE)) from error
            complain(
                _("A library is missing or cannot be loaded: {error}. `bayapp doctor` says what to do.").format(
                    error=error
                )
            )
            raise typer.Exit(NO) from error
        except Exception as error:
            if type(error).__module__.startswith(("typer", "click")):
                raise
            raise _bug(error, ctx.meta.get(IN_USE)) from error


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


def _bug(error: Exception, store: Path | None) -> typer.Exit:
    """Log a bug of ours in the store in use and say where; it is never the person's fault."""
    in_use = [store] if store and store.is_dir() else []  # a name that was mistyped does not become a folder
    for folder in (*in_use, default_store(), Path(tempfile.gettempdir())):
        try:
            log = _log(error, folder)
        except OSError:
            continue
        complain(
            _("Something in bayapp itself went wrong ({kind}). What is known of it is in {log}").format(
                kind=type(error).__name__, log=log
            )
        )
        return typer.Exit(NO)
    complain(_("Something in bayapp itself went wrong: {kind}: {error}").format(kind=type(error).__name__, error=error))
    return typer.Exit(NO)


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
