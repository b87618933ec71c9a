"""CP-SAT without pandas, which OR-Tools loads for a few functions on tables: 42 MB and a third of a second for nothing.

``ortools.sat.python.cp_model`` names two classes of pandas in its signatures, and uses them where a whole table of
variables is made at once, which nothing here does. So it is given two empty classes instead while it loads.
"""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from types import ModuleType


@contextmanager
def _no_pandas() -> Iterator[None]:
    if "pandas" in sys.modules:
        yield
        return
    stand_in = ModuleType("pandas")
    vars(stand_in).update(Index=type("Index", (), {}), Series=type("Series", (), {}))
    sys.modules["pandas"] = stand_in
    try:
        yield
    finally:
        del sys.modules["pandas"]


with _no_pandas():
    from ortools.sat.python import cp_model

__all__ = ["cp_model"]
