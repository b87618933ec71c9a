"""Asks the system whether a time service (NTP, PTP, GPS) keeps its wall clock right."""

import ctypes
import sys

MAX_ERROR_US = 16_000_000
"""The kernel's estimate of its error where nothing sets the clock, µs; ``timedatectl`` draws the line here too."""
NOTHING_TO_SET = 0


class _Timex(ctypes.Structure):
    """The head of ``struct timex`` of Linux, adjtimex(2); what follows is not looked at, but written to."""

    _fields_ = (
        ("modes", ctypes.c_uint),
        ("offset", ctypes.c_long),
        ("freq", ctypes.c_long),
        ("maxerror", ctypes.c_long),
        ("rest", ctypes.c_char * 512),
    )


def set_by_time_service() -> bool:
    """Whether the system says that its wall clock is synchronised; False also where it has no way to say so.

    The rule is that of systemd's ``NTPSynchronized`` (timedatectl): the largest error that the kernel reckons with is
    under 16 s. It starts there with every boot, goes back there whenever somebody sets the clock by hand, and grows by
    500 millionths while no time service is heard, so that it says no after nine hours alone.
    """
    if not sys.platform.startswith("linux"):
        return False
    found = _Timex(modes=NOTHING_TO_SET)
    try:
        state = ctypes.CDLL(None).adjtimex(ctypes.byref(found))
    except (OSError, AttributeError):  # no C library, or one without it
        return False
    return synchronised_by(state, found.maxerror)


def synchronised_by(state: int, max_error_us: int) -> bool:
    """Whether this answer of adjtimex(2) says so: what it returned, -1 for a failure, and ``maxerror``, µs."""
    return state >= 0 and 0 <= max_error_us < MAX_ERROR_US
