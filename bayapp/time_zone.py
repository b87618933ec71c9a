"""The time zone of this machine, and the only place that asks for it."""

import time
import warnings
from datetime import tzinfo

from tzlocal import reload_localzone

NONE_FOUND = "Can not find any timezone"


class UnknownZoneError(LookupError):
    """The machine names no time zone, or one that there is no data of; the text is what was found."""


def local_zone() -> tzinfo:
    """Return the shop's time zone with its rules for summer time, as the machine has it now.

    Raises:
        UnknownZoneError: it has none that is known.
    """
    if hasattr(time, "tzset"):
        time.tzset()  # else tzlocal compares with the zone of the program's start
    try:
        with warnings.catch_warnings():
            warnings.filterwarnings("error", message=NONE_FOUND)  # no zone at all is not UTC
            return reload_localzone()
    except (LookupError, OSError, ValueError, UserWarning) as unknown:
        raise UnknownZoneError(" ".join(str(unknown.args[0] if unknown.args else unknown).split())) from unknown
