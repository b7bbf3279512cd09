"""What can happen to the app as an installed page, as plain values."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.installed import Installed


@dataclass(frozen=True)
class PhoneSeen:
    """What the page knows of itself now."""

    installed: Installed


@dataclass(frozen=True)
class StayPressed:
    """The browser is to be asked again whether it keeps what is here."""


@dataclass(frozen=True)
class StayAnswered:
    """It had time to answer."""


@dataclass(frozen=True)
class RenewPressed:
    """Take the newer version."""


@dataclass(frozen=True)
class ReminderAway:
    """No more of copies today."""
