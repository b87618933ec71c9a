"""The journal on disk."""

from bayapp.record.journal import Journal, JournalEntry
from bayapp.record.problems import (
    AppendConflict,
    BackgroundWriteFailed,
    CutStore,
    DamagedStore,
    NewerStore,
    PlaceProblem,
    StoreInUse,
    StoreLost,
    StoreProblem,
)
from bayapp.record.sql_journal import open_journal

__all__ = [
    "AppendConflict",
    "BackgroundWriteFailed",
    "CutStore",
    "DamagedStore",
    "Journal",
    "JournalEntry",
    "NewerStore",
    "PlaceProblem",
    "StoreInUse",
    "StoreLost",
    "StoreProblem",
    "open_journal",
]
