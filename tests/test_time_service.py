"""Whether the system says that its clock is kept right."""

import shutil
import subprocess
import sys

import pytest

from bayapp.time_service import MAX_ERROR_US, set_by_time_service, synchronised_by

TIME_OK, TIME_ERROR, FAILED = 0, 5, -1  # linux/timex.h


@pytest.mark.parametrize(
    ("state", "max_error_us", "believed"),
    [
        (TIME_OK, 20_000, True),
        (TIME_ERROR, 20_000, True),  # a service that leaves the machine's own clock alone: timedatectl says yes, too
        (TIME_ERROR, MAX_ERROR_US, False),  # so the kernel begins, and so it is after somebody sets the clock by hand
        (TIME_OK, MAX_ERROR_US - 1, True),
        (FAILED, 0, False),
    ],
)
def test_the_kernel_s_largest_error_decides(state, max_error_us, believed):
    assert synchronised_by(state, max_error_us) is believed


@pytest.mark.skipif(sys.platform != "linux" or not shutil.which("timedatectl"), reason="timedatectl is not here")
def test_it_says_what_timedatectl_says():
    shown = subprocess.run(
        ["timedatectl", "show", "-p", "NTPSynchronized", "--value"],
        capture_output=True,
        text=True,
        check=False,
    )
    if shown.returncode:
        pytest.skip(f"timedatectl does not answer here: {shown.stderr.strip()}")
    assert set_by_time_service() is (shown.stdout.strip() == "yes")


@pytest.mark.skipif(sys.platform == "linux", reason="Linux can say so")
def test_a_system_that_cannot_say_is_not_believed():
    assert not set_by_time_service()
