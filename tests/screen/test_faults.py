import sys

import pytest

from bayapp.screen.faults import LOG, log_faults


@pytest.fixture
def usual_hook():
    kept, handlers = sys.excepthook, list(LOG.handlers)
    yield
    sys.excepthook = kept
    for handler in [h for h in LOG.handlers if h not in handlers]:
        LOG.removeHandler(handler)
        handler.close()


@pytest.mark.usefixtures("usual_hook")
def test_a_fault_of_ours_is_written_down_with_its_place_and_raises_nothing(tmp_path):
    log_faults(tmp_path)
    try:
        raise ZeroDivisionError("a wait of no length")
    except ZeroDivisionError as fault:
        sys.excepthook(type(fault), fault, fault.__traceback__)
    log = (tmp_path / "bayapp.log").read_text(encoding="utf-8")
    assert "a wait of no length" in log
    assert "test_faults.py" in log


@pytest.mark.usefixtures("usual_hook")
def test_no_log_is_made_while_nothing_goes_wrong(tmp_path):
    log_faults(tmp_path)
    assert list(tmp_path.iterdir()) == []
