"""The bay as it stands: one door for every request, and beside it the alerts, the advice, the clock, the sensors."""

from bayapp.bay.bay import Bay

__all__ = ["Bay"]
