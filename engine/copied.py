"""Whether the log was copied off this phone, by the ``export`` entries in it."""

from __future__ import annotations

from engine.entries import Entry
from engine.log import State

ABOUT_LEAVING = frozenset({"visit", "leave", "export", "sign"})
"""kinds that come with going, or after the copy: they need no copy of their own"""
PASSING_KEYS = frozenset({"x_caution", "x_timer"})
"""notes that say nothing of the site: a caution that was read, a clock that was started"""
OF_THE_COPY = ("copy.", "sign.")
"""steps that are about the copy itself"""


def not_copied(state: State) -> int:
    """How many entries that matter no copy holds.

    A copy holds what its entry had seen; hand-written entries, of no phone, what stands in
    front of it.
    """
    seen: dict[str, int] = {}
    for entry in state.entries:
        if entry.what == "export" and entry.id not in state.voided:
            for device, n in {**entry.seen, entry.device: entry.n}.items():
                seen[device] = max(seen.get(device, 0), n)
    return sum(matters(entry) and entry.n > seen.get(entry.device, 0) for entry in state.entries)


def matters(entry: Entry) -> bool:
    """Whether somebody would miss this entry if the phone fell into the water."""
    if entry.what in ABOUT_LEAVING:
        return False
    if entry.what == "note":
        return entry.body.keys().isdisjoint(PASSING_KEYS)
    if entry.what == "step":
        return not entry.body["step"].startswith(OF_THE_COPY)
    return not (entry.what == "waive" and entry.body["of"] == "copied")
