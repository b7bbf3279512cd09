"""A made-up site while somebody works on it: what is hidden there, and the site as it is now.

The job's file holds the seed and how much is hidden, nothing else; what is there follows from
those and the log. A ``change`` logged where the cause truly is mends it, and so does a plan edit
that is a change of that very thing. What is done elsewhere does not.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from attrs import evolve, frozen

from engine.entries import EDITS, Entry
from engine.job import Point
from engine.jobfile import JobFile
from engine.log import State, stop_of
from engine.places import touched
from engine.practice import NONE, by_chance, sound
from engine.practice.causes import AT_AN_END, CAUSES
from engine.practice.site import Site, Truth
from engine.practice.walk import MADE_UP_KEY

PERHAPS, ONE_CAUSE = "perhaps", "one-cause"
LEVELS = (PERHAPS, ONE_CAUSE)
"""how much is hidden: healthy or not, you do not know; or some one cause for sure"""
HIDES = tuple(row for row in CAUSES.values() if not row.id.startswith("reading."))
"""what can be hidden where one measures oneself: slips of the pen are then one's own"""
PRACTICE = "x_practice"
"""the key of a note on the practice itself: it begins, nothing is wrong, the truth was shown"""
BEGUN, SOUND, SHOWN = "begun", "sound", "shown"


@frozen
class Asked:
    """What a job's file says of its made-up site."""

    seed: int
    level: str


def is_made_up(doc: Mapping[str, Any]) -> bool:
    """Whether a job's document tells of no real site."""
    return MADE_UP_KEY in doc


def asked(file: JobFile) -> Asked | None:
    """The seed and how much is hidden; None where no site can be drawn from what is there.

    A file that the command line wrote holds no ``level``: its cause may have been chosen.
    """
    said = file.doc.get(MADE_UP_KEY)
    if not isinstance(said, dict) or said.get("level") not in LEVELS:
        return None
    seed = said.get("seed")
    return Asked(seed, said["level"]) if isinstance(seed, int) else None


def hidden(file: JobFile) -> Truth | None:
    """What is wrong on a job's made-up site, drawn from the plan as first agreed; None where the
    job has none that can be measured.
    """
    first = _first(file)
    return first[1] if first is not None else None


def site_now(file: JobFile, state: State) -> Site | None:
    """A job's made-up site with what was done there so far; None where it has none.

    Numbers stay as they were drawn for the first plan: correcting a plan moves nothing out there.
    What was laid or fitted anew is drawn anew.
    """
    drawn = _first(file)
    if drawn is None:
        return None
    first, truth = drawn
    now = sound(file, first.seed, state=state)
    anew = frozenset().union(*(things for _, things in _laid(state)))
    stays = {
        key: value
        for key, value in first.values.items()
        if key in now.values and key[-1] not in anew
    }
    now = evolve(now, values={**now.values, **stays})
    row = CAUSES.get(truth.cause)
    if row is None or mended_by(state, truth) or truth.where not in row.places(now):
        return now
    return row.strike(now, truth.where)


def mended_by(state: State, truth: Truth) -> str:
    """The entry that mended the hidden cause; nothing while it is there, or where none was."""
    if truth.cause == NONE:
        return ""
    changes = (one for one in state.entries if one.what == "change" and one.id not in state.voided)
    mending = [one.id for one in changes if is_at(state, truth, one.body["where"])]
    mending += [one.id for one, things in _laid(state) if truth.where in things]
    return next(iter(mending), "")


def is_at(state: State, truth: Truth, where: str) -> bool:
    """Whether a place is the one of the hidden cause: a port is its box's too, and an end that
    was made badly belongs to its span as well as to the box that it is plugged into.
    """
    named = state.job.named(where)
    places = {truth.where, Point.parse(truth.where).box or truth.where}
    if truth.cause in AT_AN_END and truth.end:
        places |= {truth.end, Point.parse(truth.end).box}
    return named in places or (Point.parse(named).box or named) in places


def _laid(state: State) -> Iterator[tuple[Entry, frozenset[str]]]:
    """Plan edits that changed something out there, each with the things that it changed."""
    for entry in state.entries:
        is_edit = entry.what in EDITS and entry.id not in state.voided
        if is_edit and entry.body.get("as_") == "change":
            yield entry, touched(state.job, tuple(entry.body["path"]))


def _first(file: JobFile) -> tuple[Site, Truth] | None:
    """The sound site as the first plan has it, and what is wrong on it."""
    of = asked(file)
    if of is None:
        return None
    doc = {key: value for key, value in file.doc.items() if key != "log"}
    site = sound(evolve(file, doc=doc, entries=()), of.seed)
    row, where = by_chance(site, sure=of.level == ONE_CAUSE, rows=HIDES)
    return site, row.strike(site, where).truth if row else site.truth


# ---------------------------------------------------------------- when it is read


def moment_at(state: State, at: str) -> str:
    """The name of the moment of what is read now at a place: one as long as one stays at a stop
    and alters nothing there.
    """
    last, number = "", 0
    for here in _stays(state):
        number += here != last
        last = here
    number += _place(state, at) != last
    return f"made-up-{number}"


def _stays(state: State) -> Iterator[str]:
    """Where each reading was taken, in their order; nothing where something was altered."""
    for entry in state.entries:
        if entry.id in state.voided:
            continue
        if entry.what == "reading":
            yield _place(state, state.job.named(entry.body["at"]))
        elif entry.what == "change":
            yield ""


def _place(state: State, at: str) -> str:
    return stop_of(state.job, at) or at
