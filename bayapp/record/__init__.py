"""The journal on disk."""

from bayapp.record.journal import Entry, Journal
from bayapp.record.problems import AppendConflict, BackgroundWriteFailed, StoreInUse, StoreProblem
from bayapp.record.sql_journal import open_journal

__all__ = ["AppendConflict", "BackgroundWriteFailed", "Entry", "Journal", "StoreInUse", "StoreProblem", "open_journal"]
