"""Jobs that somebody comes back to: a made-up site as it was, left, and met again.

What a site has of its own stays: ohms, volts, watts, the meters' percent part. The weather of
the second visit is drawn anew, so are swings, digits and contacts. ``grown`` hides a cause in the
site that is met again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from attrs import evolve

from engine.jobfile import read_job
from engine.log import State, fold
from engine.practice import CAUSES, Site, document, readings, sound
from engine.practice.draw import drawn
from engine.unknowns import PER_VISIT
from engine.unknowns import Site as Quantities

FIRST, LATER = "2031-05-04", "2032-05-20"


def later(site: Site, seed: int) -> Site:
    """The same site on another day."""
    weather = drawn(Quantities(site.state.job, site.state.network), seed)
    values = {
        key: weather[key] if key[0] in PER_VISIT else value for key, value in site.values.items()
    }
    return evolve(site, values=values)


def left(
    doc: Mapping[str, Any], seed: int, kinds: Iterable[str] = (), swing: float | None = None
) -> tuple[Site, dict[str, Any]]:
    """A sound site of this plan, and its document with the readings of one visit that was left."""
    site = sound(read_job({**doc, "log": []}), seed, swing)
    made = document(site, tuple(kinds))
    return site, {**made, "log": [*_dated(made["log"], FIRST), _next(made["log"], what="leave")]}


def back(doc: Mapping[str, Any], **keys: Any) -> dict[str, Any]:
    """The document with a visit more."""
    entry = _next(doc["log"], what="visit", people=1, **keys)
    return {**doc, "log": [*doc["log"], {**entry, "t": f"{LATER}T08:00:00Z"}]}


def logged(doc: Mapping[str, Any], *bodies: Mapping[str, Any]) -> dict[str, Any]:
    """The document with more entries at the end of its log."""
    log = list(doc["log"])
    for body in bodies:
        log.append(_next(log, **body))
    return {**doc, "log": log}


def worse(site: Site, grown: tuple[str, str] | None) -> Site:
    """The site with a cause in it, which its ``truth`` tells."""
    if grown is None:
        return site
    cause, where = grown
    return CAUSES[cause].strike(site, where)


def met_again(
    doc: Mapping[str, Any],
    site: Site,
    seed: int,
    *,
    grown: tuple[str, str] | None = None,
    kinds: Iterable[str] = ("volts", "milliamps", "watts", "mbps"),
    only: Iterable[str] = (),
    **keys: Any,
) -> dict[str, Any]:
    """The document with a visit more, on which all was read again, or only these places."""
    there = evolve(worse(later(site, seed), grown), state=_state(doc))
    rows = [one for one in readings(there, tuple(kinds)) if one["what"] == "reading"]
    wanted = set(only)
    rows = [one for one in rows if not wanted or one["at"] in wanted]
    doc = back(doc, **keys)
    log = list(doc["log"])
    for row in rows:
        body = {key: value for key, value in row.items() if key not in OWN}
        body["moment"] = f"later {row['moment']}"
        log.append({**_next(log, **body), "t": f"{LATER}T09:00:00Z"})
    return {**doc, "log": log}


OWN = frozenset({"id", "t", "device", "n", "by", "seen"})


def _state(doc: Mapping[str, Any]) -> State:
    return fold(read_job(dict(doc)))


def _dated(log: list[dict[str, Any]], day: str) -> list[dict[str, Any]]:
    return [{**entry, "t": f"{day}{entry['t'][10:]}"} for entry in log]


def _next(log: list[dict[str, Any]], **body: Any) -> dict[str, Any]:
    last = log[-1] if log else {}
    n = max((entry.get("n", 0) for entry in log), default=0) + 1
    common = {"id": f"later-{n}", "device": last.get("device", "d"), "n": n, "by": "Ottar"}
    return {**common, "t": last.get("t", f"{FIRST}T08:00:00Z"), **body}
