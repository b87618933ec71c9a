"""Days and dates in words; dates in digits are in ``figures``."""

from datetime import date, datetime, tzinfo

from bayapp.text.language import _


def same_day(one: datetime, other: datetime, tz: tzinfo) -> bool:
    """Return whether two instants lie on one day of a time zone."""
    return one.astimezone(tz).date() == other.astimezone(tz).date()


def day_text(day: date) -> str:
    """Return a day that every country reads alike: "31 Dec 2027"."""
    return _("{day} {month} {year}").format(day=day.day, month=_short_month(day), year=day.year)


def short_date(day: date) -> str:
    """Return day and month: "26 Nov"."""
    return f"{day.day} {_short_month(day)}"


def day_of_week(day: date) -> str:
    """Return the day of the week, day and month: "Thu 26 Nov"."""
    days = (_("Mon"), _("Tue"), _("Wed"), _("Thu"), _("Fri"), _("Sat"), _("Sun"))
    return f"{days[day.weekday()]} {short_date(day)}"


def long_date(day: date) -> str:
    """Return weekday, day, month and year: "Thursday, 26 November 2026"."""
    days = (
        *(_("Monday"), _("Tuesday"), _("Wednesday"), _("Thursday")),
        *(_("Friday"), _("Saturday"), _("Sunday")),
    )
    months = (
        *(_("January"), _("February"), _("March"), _("April"), _("May"), _("June"), _("July")),
        *(_("August"), _("September"), _("October"), _("November"), _("December")),
    )
    return f"{days[day.weekday()]}, {day.day} {months[day.month - 1]} {day.year}"


def month_and_year(day: date) -> str:
    """Return month and year: "Nov 2028"."""
    return f"{_short_month(day)} {day.year}"


def _short_month(day: date) -> str:
    first_half = (_("Jan"), _("Feb"), _("Mar"), _("Apr"), _("May"), _("Jun"))
    return (*first_half, _("Jul"), _("Aug"), _("Sep"), _("Oct"), _("Nov"), _("Dec"))[day.month - 1]
