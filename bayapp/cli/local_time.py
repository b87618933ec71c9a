"""The time of day on this machine's wall. Knows no clock: it only turns instants into local time."""

from datetime import UTC, datetime, timedelta, tzinfo


class LocalTime(tzinfo):
    """This machine's time zone, with the offset that holds at each instant."""

    def utcoffset(self, moment: datetime | None) -> timedelta | None:
        return None if moment is None else moment.replace(tzinfo=None).astimezone().utcoffset()

    def dst(self, moment: datetime | None) -> timedelta | None:
        return None

    def tzname(self, moment: datetime | None) -> str | None:
        return None if moment is None else moment.replace(tzinfo=None).astimezone().tzname()

    def fromutc(self, moment: datetime) -> datetime:
        """Return an instant, written in UTC, as local time; an hour that comes twice keeps its fold."""
        return _folded(moment.replace(tzinfo=UTC)).replace(tzinfo=self)


def _folded(moment: datetime) -> datetime:
    local = moment.astimezone()
    for fold in (0, 1):
        if local.replace(tzinfo=None, fold=fold).astimezone().utcoffset() == local.utcoffset():
            return local.replace(fold=fold)
    return local
