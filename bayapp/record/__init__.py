"""The journal on disk. Knows what an event looks like, not what it means."""

from bayapp.record.journal import Entry, Journal
from bayapp.record.problems import NoSignOfLife, Overtaken, StoreInUse, StoreProblem
from bayapp.record.sql_journal import open_journal

__all__ = ["Entry", "Journal", "NoSignOfLife", "Overtaken", "StoreInUse", "StoreProblem", "open_journal"]
