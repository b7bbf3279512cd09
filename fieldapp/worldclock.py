"""An entry's time as the wall clock here shows it. Pure: the phone's own zone is its only input."""

from __future__ import annotations

from datetime import date, datetime


def clock_of(stamp: str | None) -> str:
    """Hours and minutes of an RFC 3339 time, or nothing.

    >>> clock_of(None)
    ''
    """
    if not stamp:
        return ""
    try:
        return datetime.fromisoformat(stamp).astimezone().strftime("%H:%M")
    except ValueError:
        return ""


def day_of(stamp: str | None) -> date | None:
    """The day of an RFC 3339 time as the calendar here has it, or None.

    >>> day_of("soon") is None
    True
    """
    try:
        return datetime.fromisoformat(stamp).astimezone().date() if stamp else None
    except (ValueError, OverflowError):
        return None
