"""The time zone of this machine, and the only place that asks for it."""

import time
from datetime import tzinfo

from tzlocal import reload_localzone


def local_zone() -> tzinfo:
    """Return the shop's time zone with its rules for summer time, as the machine has it now."""
    if hasattr(time, "tzset"):
        time.tzset()  # else tzlocal compares with the zone of the program's start
    return reload_localzone()
