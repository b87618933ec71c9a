"""The shop that plans are made for, from a store's settings."""

import time
from pathlib import Path

from tzlocal import reload_localzone

from bayapp.files.shop.settings import load_settings, use_shop_units
from bayapp.planning.from_bay.shop import Shop


def shop_of(store: Path) -> Shop:
    """Return the hours and people that a store's settings tell, in the machine's time zone as it is now.

    Raises:
        BadFile: the settings are there but wrong.
    """
    settings = load_settings(store)
    use_shop_units(settings)
    if hasattr(time, "tzset"):
        time.tzset()  # else tzlocal compares with the zone of the program's start
    cannot = {person: frozenset(kinds) for person, kinds in settings.cannot.items()}
    return Shop(hours=settings.hours, cannot=cannot, tz=reload_localzone())
