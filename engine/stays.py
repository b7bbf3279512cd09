"""When somebody was on site, and what was photographed: gathered entry by entry."""

from __future__ import annotations

from collections.abc import Set

from attrs import evolve, frozen

from engine.entries import Entry
from engine.logged import Visit


@frozen
class Stays:
    """The visits of a log and its pictures so far. What was taken back is left out when asked."""

    begun: tuple[Visit, ...] = ()
    left: tuple[tuple[str, int, tuple[str, ...]], ...] = ()
    """entry, number of the visit that it closes, holds left open"""
    pictures: tuple[tuple[str, str, str], ...] = ()
    """entry, of what, sha256"""

    def opened(self, entry: Entry, number: int) -> Stays:
        """A visit begins."""
        visit = Visit(number, entry.body.get("people"), entry.id)
        return evolve(self, begun=(*self.begun, visit))

    def worked(self) -> Stays:
        """Something was done; without a visit the log is one visit."""
        return self if self.begun else evolve(self, begun=(Visit(0),))

    def closed(self, entry: Entry) -> Stays:
        """The visit that stands ends."""
        here = self.worked()
        last = (entry.id, here.begun[-1].number, tuple(entry.body.get("open", ())))
        return evolve(here, left=(*here.left, last))

    def pictured(self, entry: Entry, of: str) -> Stays:
        """A photo was taken."""
        here = self.worked()
        return evolve(here, pictures=(*here.pictures, (entry.id, of, entry.body["sha256"])))

    def photos(self, voided: Set[str]) -> dict[str, tuple[str, ...]]:
        """The pictures of each thing, as they came."""
        out: dict[str, tuple[str, ...]] = {}
        for ident, of, sha256 in self.pictures:
            if ident not in voided:
                out[of] = (*out.get(of, ()), sha256)
        return out

    def visits(self, voided: Set[str]) -> tuple[Visit, ...]:
        """Each visit, with the last word on how it ended."""
        ends = {number: (ident, held) for ident, number, held in self.left if ident not in voided}
        return tuple(
            evolve(visit, left=ends[visit.number][0], open=ends[visit.number][1])
            if visit.number in ends
            else visit
            for visit in self.begun
        )
