from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.pages.bays import HandBay, hand_bay


@pytest.fixture
def hand(tmp_path: Path) -> Iterator[HandBay]:
    with hand_bay(tmp_path) as found:
        yield found


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[HandBay]:
    """A bay without a car, where nothing has been recorded."""
    with hand_bay(tmp_path, cars=0) as found:
        yield found
