"""What is told when something went otherwise than asked."""

from __future__ import annotations

from fieldapp.words.english.said import says


@says("told-unreadable")
def _told_unreadable(name: str, at: str, more: int) -> str:
    return f"{name} stops making sense at {at}. Nothing here was changed."


@says("told-no-start")
def _told_no_start(name: str) -> str:
    return f"{name} does not begin with a plan. Nothing was changed."


@says("told-newer")
def _told_newer(name: str) -> str:
    return f"{name} was kept by a newer Farend. Nothing was changed; open it there."


@says("told-here-already")
def _told_here(name: str) -> str:
    return f"{name} is here already. Nothing was changed."


@says("told-full")
def _told_full() -> str:
    return "The phone is full. The digits stay here. Free some room, then tap Keep."


@says("told-read-only")
def _told_read_only() -> str:
    return "Nothing can be written here. The digits stay on the screen."


@says("told-failed")
def _told_failed() -> str:
    return "That could not be written. The digits stay here. Tap Keep again."


@says("told-busy")
def _told_busy() -> str:
    return "Another Farend has these jobs open. Here they can be looked at; nothing is kept."


@says("told-torn")
def _told_torn() -> str:
    return "Power went while something was written. The last whole copy is used."


@says("told-no-name")
def _told_no_name(name: str) -> str:
    return f"There is no job called {name} here."


@says("row-newer")
def _row_newer() -> str:
    return "A newer Farend keeps this job. Nothing here was changed."


@says("row-unreadable")
def _row_unreadable() -> str:
    return "This file stops making sense. Nothing here was changed."
