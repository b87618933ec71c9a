"""Logs the program's own faults, and lets the board go on."""

import logging
import sys
from logging.handlers import RotatingFileHandler
from pathlib import Path
from types import TracebackType

LARGEST_BYTES = 1_000_000
LOG = logging.getLogger("bayapp")


def log_faults(store: Path) -> None:
    """Write every error that nobody caught to ``bayapp.log`` in the store; nothing is shown, the clocks go on."""
    for earlier in [h for h in LOG.handlers if isinstance(h, RotatingFileHandler)]:  # of a start that failed
        LOG.removeHandler(earlier)
    handler = RotatingFileHandler(
        store / "bayapp.log", maxBytes=LARGEST_BYTES, backupCount=1, encoding="utf-8", delay=True
    )
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))
    LOG.addHandler(handler)
    sys.excepthook = _log


def _log(kind: type[BaseException], fault: BaseException, trace: TracebackType | None) -> None:
    LOG.error("a fault of bayapp's own; please report it", exc_info=(kind, fault, trace))
