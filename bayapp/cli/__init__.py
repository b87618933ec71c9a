"""The commands. Knows no rule: each command loads what it needs, asks it, and prints."""

from bayapp.cli.app import app, main

__all__ = ["app", "main"]
