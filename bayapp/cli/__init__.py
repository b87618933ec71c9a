"""The commands."""

from bayapp.cli.app import app, main

__all__ = ["app", "main"]
