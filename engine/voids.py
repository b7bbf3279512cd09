"""What was taken back: a void that was itself taken back takes nothing back."""

from __future__ import annotations

from collections.abc import Iterable

from engine.entries import Entry


def voids_of(entries: Iterable[Entry]) -> dict[str, tuple[str, ...]]:
    """For each id that is taken back, the entries that do it. A void may come before its target."""
    out: dict[str, list[str]] = {}
    for entry in entries:
        if entry.what == "void":
            out.setdefault(entry.body["of"], []).append(entry.id)
    return {target: tuple(voids) for target, voids in out.items()}


def voided(entries: tuple[Entry, ...]) -> set[str]:
    """The ids taken back by a void that stands.

    Voids that take each other back in a circle are settled by the order: the last one stands.
    """
    target = {entry.id: entry.body["of"] for entry in entries if entry.what == "void"}
    waiting = dict.fromkeys(target, 0)
    for hit in target.values():
        if hit in waiting:
            waiting[hit] += 1
    ready = [ident for ident, count in waiting.items() if not count]
    circled, settled, gone = list(target), set(), set()
    while ready or circled:
        ident = ready.pop() if ready else circled.pop()
        if ident in settled:
            continue
        settled.add(ident)
        hit = target[ident]
        if ident in gone:
            waiting[hit] = waiting.get(hit, 0) - 1
        elif hit not in settled:
            gone.add(hit)
        if hit in target and (hit in gone or not waiting[hit]):
            ready.append(hit)
    return gone
