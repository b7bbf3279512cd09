"""What a page that a phone installed knows of itself, and who tells it. Pure."""

from __future__ import annotations

from collections.abc import AsyncIterator
from dataclasses import dataclass
from typing import Protocol


@dataclass(frozen=True)
class Installed:
    """What a page that a phone installed knows of itself."""

    version: str = ""
    """of this build, short"""
    offline: bool = False
    """it would start without signal: its worker is active, lock and store are held"""
    stays: bool | None = None
    """the browser promised not to clear what is kept; None: not asked yet"""
    newer: bool = False
    """a newer version lies ready"""
    on_home: bool = False
    """it runs as its own window, not as a browser tab"""


class Link(Protocol):
    """What tells it; there is none where this is no installed page."""

    def states(self) -> AsyncIterator[Installed]:
        """The first at once, then each change."""

    async def ask_to_stay(self) -> None:
        """Ask the browser to keep what is here; the answer comes as a state."""

    async def renew(self) -> None:
        """Take the newer version: the page loads anew."""
