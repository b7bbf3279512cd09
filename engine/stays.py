"""When somebody was on site, and what was photographed: gathered entry by entry.

A stay is one time on site: a visit that is opened after the site was left begins another.
"""

from __future__ import annotations

from collections.abc import Set

from attrs import define, evolve, field, frozen

from engine.entries import Entry
from engine.logged import State, Visit


@frozen
class Return:
    """The last time that somebody came back: the entry that had left the site, the visit that
    was opened after it, and their places in the order."""

    left: Entry
    left_place: int
    visit: Entry
    place: int

    @property
    def reason(self) -> str:
        """Why one came, as the visit says it; '' where it does not."""
        return self.visit.body.get("reason") or ""


def came_back(state: State) -> Return | None:
    """The return that the present stay began with; None on a first one.

    What was taken back neither left nor came. Of several leaves in a row the last counts.
    """
    left: tuple[Entry, int] | None = None
    found = None
    for place, entry in state.of_kind("visit", "leave"):
        if entry.what == "leave":
            left = (entry, place)
        elif left is not None:
            found, left = Return(*left, entry, place), None
    return found


def left_at(state: State) -> Entry | None:
    """The last leave before the present stay; None on a first one."""
    found = came_back(state)
    return found.left if found else None


@define
class Stays:
    """The visits of a log and its pictures so far. What was taken back is left out when asked."""

    begun: list[Visit] = field(factory=list)
    left: list[tuple[str, int, tuple[str, ...]]] = field(factory=list)
    """entry, number of the visit that it closes, holds left open"""
    pictures: list[tuple[str, str, str]] = field(factory=list)
    """entry, of what, sha256"""

    def copy(self) -> Stays:
        """One that can go on by itself."""
        return Stays(self.begun.copy(), self.left.copy(), self.pictures.copy())

    def opened(self, entry: Entry, number: int) -> None:
        """A visit begins."""
        reason = entry.body.get("reason") or ""
        self.begun.append(Visit(number, entry.body.get("people"), entry.id, reason=reason))

    def worked(self) -> None:
        """Something was done; without a visit the log is one visit."""
        if not self.begun:
            self.begun.append(Visit(0))

    def closed(self, entry: Entry) -> None:
        """The visit that stands ends."""
        self.worked()
        self.left.append((entry.id, self.begun[-1].number, tuple(entry.body.get("open", ()))))

    def pictured(self, entry: Entry, of: str) -> None:
        """A photo was taken."""
        self.worked()
        self.pictures.append((entry.id, of, entry.body["sha256"]))

    def photos(self, voided: Set[str]) -> dict[str, tuple[str, ...]]:
        """The pictures of each thing, as they came."""
        out: dict[str, list[str]] = {}
        for ident, of, sha256 in self.pictures:
            if ident not in voided:
                out.setdefault(of, []).append(sha256)
        return {of: tuple(sums) for of, sums in out.items()}

    def visits(self, voided: Set[str]) -> tuple[Visit, ...]:
        """Each visit, with the last word on how it ended."""
        ends = {number: (ident, held) for ident, number, held in self.left if ident not in voided}
        return tuple(
            evolve(visit, left=ends[visit.number][0], open=ends[visit.number][1])
            if visit.number in ends
            else visit
            for visit in self.begun
        )
