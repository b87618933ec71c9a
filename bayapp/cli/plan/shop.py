"""The shop that plans are made for, from a store's settings."""

from pathlib import Path

from bayapp.files.shop.settings import load_settings, use_shop_units
from bayapp.planning.from_bay.shop import Shop
from bayapp.time_zone import local_zone


def shop_of(store: Path) -> Shop:
    """Return the hours and people that a store's settings tell, in the machine's time zone as it is now.

    Raises:
        BadFile: the settings are there but wrong.
    """
    settings = load_settings(store)
    use_shop_units(settings)
    cannot = {person: frozenset(kinds) for person, kinds in settings.cannot.items()}
    return Shop(hours=settings.hours, cannot=cannot, tz=local_zone())
