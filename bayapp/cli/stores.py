"""What commands need of a store: its events, and its problems in plain words."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from bayapp.cli.trouble import bad_input
from bayapp.job import Event


@contextmanager
def store_trouble() -> Iterator[None]:
    """Say what is wrong with a store and what to do, and end the command."""
    from bayapp.record.problems import StoreProblem

    try:
        yield
    except StoreProblem as problem:
        raise bad_input(f"{problem.where}: {problem.what} {problem.remedy}") from problem


def read_store(store: Path) -> list[Event]:
    """Return every event of a journal, also while a wall screen writes to it."""
    from bayapp.record import open_journal

    journal = open_journal(store, write=False)
    try:
        return list(journal.read())
    finally:
        journal.close()
