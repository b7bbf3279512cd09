"""Open plan edits as the rule has it, pair by pair: what ``engine.conflicts`` is held against."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable

from attrs import define, field

from engine.conflicts import Conflict, Edit
from engine.edits import GONE, Path, within
from engine.entries import Entry
from engine.order import Sight, _direct, _predecessors


@define
class SlowContest:
    """As ``engine.conflicts.Contest``; every pair that clashes is written down."""

    known: dict[str, Edit] = field(factory=dict)
    open: tuple[Edit, ...] = ()
    clashes: tuple[tuple[Edit, Edit], ...] = ()
    contested: set[str] = field(factory=set)

    def copy(self) -> SlowContest:
        return SlowContest(self.known.copy(), self.open, self.clashes, self.contested.copy())

    def related(self, path: Path) -> tuple[Edit, ...]:
        """The open edits on a path, around it or inside it."""
        return tuple(e for e in self.open if _in(path, e.path) or _in(e.path, path))

    def rivals(self, path: Path, entry: Entry, sight: Sight) -> bool:
        sees = seer(sight)
        return any(not sees(entry, one.entry) for one in self.open if one.path == path)

    def arrives(self, edit: Edit, sight: Sight) -> None:
        sees = seer(sight)
        near = self.related(edit.path)
        against = [e for e in near if not sees(edit.entry, e.entry) and not _alike(e, edit)]
        self.known[edit.id] = edit
        if edit.fits:
            self._close(e for e in near if _in(e.path, edit.path) and sees(edit.entry, e.entry))
        else:
            against = [one for one in against if len(one.path) < len(edit.path)]
        if edit.fits or against:
            self._open(edit, against)

    def settles(self, edit: Edit, named: tuple[Edit, ...], sight: Sight) -> None:
        sees = seer(sight)
        roots = {one.kept.id for one in named}
        self.contested |= roots
        for path in {edit.path, *(own.path for own in named)}:
            self._close(
                one
                for one in self.related(path)
                if one.kept.id in roots and (one.root is None or sees(edit.entry, one.entry))
            )
        near = self.related(edit.path)
        against = [e for e in near if not sees(edit.kept.entry, e.entry) and not _alike(e, edit)]
        self.known[edit.id] = edit
        self._open(edit, against)

    def inside_again(self, lost: Edit, sight: Sight) -> tuple[Edit, ...]:
        inside = {a if b is lost else b for a, b in self.clashes if lost in (a, b)}
        return tuple(sorted((e for e in inside if e.path != lost.path), key=lambda e: e.place))

    def _open(self, edit: Edit, against: list[Edit]) -> None:
        self.open = (*self.open, edit)
        self.clashes += tuple((one, edit) for one in against)
        for one in (edit, *against):
            if against:
                self.contested |= {one.id, one.kept.id}

    def _close(self, edits: Iterable[Edit]) -> None:
        closed = set(edits)
        self.open = tuple(one for one in self.open if one not in closed)
        self.clashes = tuple(pair for pair in self.clashes if not closed & set(pair))

    def conflicts(self) -> tuple[Conflict, ...]:
        by_path: dict[Path, set[Edit]] = {}
        for pair in self.clashes:
            path = max((one.path for one in pair), key=len)
            by_path.setdefault(path, set()).update(pair)
        return tuple(_conflict(path, by_path[path]) for path in sorted(by_path))


def seer(sight: Sight) -> Callable[[Entry, Entry], bool]:
    """Who has seen whom, by counts: of each device as many as anyone seen had seen."""
    reach = _reach_of_all(sight._entries)

    def sees(entry: Entry, other: Entry) -> bool:
        return other.n <= reach[entry.id].get(other.device, 0)

    return sees


def _reach_of_all(entries: tuple[Entry, ...]) -> dict[str, dict[str, int]]:
    out: dict[str, dict[str, int]] = {}
    counts: dict[str, list[int]] = {}
    lines: dict[str, list[Entry]] = {}
    for entry in entries:
        reach: dict[str, int] = {}
        known = [out[one.id] for one in _predecessors(entry, lines, counts)]
        for seen in (dict(_direct(entry)), *known):
            for device, count in seen.items():
                reach[device] = max(reach.get(device, 0), count)
        out[entry.id] = reach
        own = counts.setdefault(entry.device, [])
        slot = bisect_right(own, entry.n)
        own.insert(slot, entry.n)
        lines.setdefault(entry.device, []).insert(slot, entry)
    return out


def _in(path: Path, around: Path) -> bool:
    return path[: len(around)] == around


def _alike(one: Edit, other: Edit) -> bool:
    outer, inner = sorted((one, other), key=lambda edit: len(edit.path))
    left, right = within(outer.outcome, inner.spot[len(outer.path) :]), inner.outcome
    if isinstance(left, bool) or isinstance(right, bool):
        return left is right
    return left == right


def _conflict(path: Path, edits: set[Edit]) -> Conflict:
    row = sorted(edits, key=lambda edit: edit.place)
    each = {edit.kept.id: edit for edit in row}
    shown = next((edit for edit in reversed(row) if edit.fits), row[-1])
    return Conflict(
        path="/".join(next(edit.spot for edit in row if edit.path == path)),
        entries=tuple(each),
        values=tuple(None if e.outcome is GONE else e.outcome for e in each.values()),
        by=tuple(edit.kept.entry.by for edit in each.values()),
        shown=shown.kept.id,
    )
