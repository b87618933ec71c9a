"""The air of the bay: pure functions of temperature and humidity. Knows no job and no sensor."""

from bayapp.air.dew import dew_point

__all__ = ["dew_point"]
