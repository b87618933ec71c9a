"""The journal on disk."""

from bayapp.record.journal import Journal, JournalEntry
from bayapp.record.problems import AppendConflict, BackgroundWriteFailed, StoreInUse, StoreProblem
from bayapp.record.sql_journal import open_journal

__all__ = [
    "AppendConflict",
    "BackgroundWriteFailed",
    "Journal",
    "JournalEntry",
    "StoreInUse",
    "StoreProblem",
    "open_journal",
]
