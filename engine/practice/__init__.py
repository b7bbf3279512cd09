"""A made-up site with a hidden cause, so that the whole job can be done with no cable.

``made_up`` draws a site within the limits of a plan and hides a cause in it. ``Site.measure`` is
what a meter shows there; ``readings`` are the log entries of a first walk; ``document`` is the
job with them.
"""

from __future__ import annotations

from collections.abc import Iterable

from attrs import frozen

from engine.faults.sizes import LIGHTS, SIZES
from engine.jobfile import JobFile
from engine.log import State, fold
from engine.practice.causes import AT_FIRST, CAUSES, Cause
from engine.practice.draw import drawn, share, weighted
from engine.practice.site import MADE_UP, Site, Truth
from engine.practice.walk import ALL, FEW, FLOWS, MADE_UP_KEY, document, readings
from engine.unknowns import Site as Quantities
from engine.whereabouts import nearest

__all__ = [
    "ALL",
    "AT_FIRST",
    "CAUSES",
    "FEW",
    "FLOWS",
    "LIGHTS",
    "MADE_UP",
    "MADE_UP_KEY",
    "SIZES",
    "Cause",
    "NotHere",
    "Site",
    "Truth",
    "document",
    "made_up",
    "readings",
    "share",
]

NONE = "none"
NONE_SHARE = 0.2
"""share of sites drawn for practice on which nothing is wrong (a choice: who practises wants to
look for something, and must not be sure that there is something)"""


@frozen
class NotHere(Exception):
    """A cause that nobody knows, or that cannot be in this job, or not at this place.

    ``possible`` are the causes, or the places of the cause.
    """

    cause: str
    where: str | None
    possible: tuple[str, ...]
    near: str | None = None


def made_up(
    file: JobFile,
    *,
    cause: str | None = None,
    where: str | None = None,
    seed: int = 0,
    swing: float | None = None,
) -> Site:
    """One site as it might truly be, built to a plan, with a hidden cause.

    Parameters
    ----------
    cause : its id, or ``none``; drawn by the causes' rates when None.
    where : its place; drawn when None.
    swing : by how much every endpoint's draw moves from moment to moment; by the sheets if None. [%]

    Raises
    ------
    NotHere : the cause is unknown, or cannot be there.
    """
    site = sound(file, seed, swing)
    if cause is None:
        row, place = by_chance(site, where)
        return row.strike(site, place) if row else site
    if cause == NONE:
        if where is not None:
            raise NotHere(NONE, where, ())
        return site
    row = CAUSES.get(cause)
    if row is None:
        raise NotHere(cause, None, (NONE, *CAUSES), nearest(cause, (NONE, *CAUSES)))
    places = row.places(site)
    if where is None and places:
        where = places[int(site.share("where") * len(places))]
    spelled = next((p for p in places if where and p.lower() == where.lower()), None)
    if spelled is None:
        raise NotHere(cause, where, places, nearest(where, places))
    return row.strike(site, spelled)


def sound(
    file: JobFile, seed: int, swing: float | None = None, *, state: State | None = None
) -> Site:
    """A site on which nothing is wrong; ``state`` is the job as it stands, where it is known."""
    state = state or fold(file)
    quantities = Quantities(state.job, state.network)
    swings = {
        box.id: box.sheet.watts_swing_percent if swing is None else swing
        for box in state.job.boxes.values()
        if box.kind == "endpoint"
    }
    return Site(file, state, seed, drawn(quantities, seed), swings, state.job)


def by_chance(
    site: Site,
    where: str | None = None,
    *,
    sure: bool = False,
    rows: Iterable[Cause] = CAUSES.values(),
) -> tuple[Cause | None, str]:
    """A cause and its place by their odds p/(1-p); ``none`` with a share of its own.

    Only what the first walk can show is drawn. With a place asked for, or ``sure``, some cause is
    there.
    """
    odds = [
        ((row, place), row.rate / (1 - row.rate))
        for row in rows
        if row.at_first and row.rate
        for place in row.places(site)
        if where is None or place.lower() == where.lower()
    ]
    if where is not None and not odds:
        places = (place for row in CAUSES.values() for place in row.places(site))
        possible = tuple(dict.fromkeys(places))
        raise NotHere("", where, possible, nearest(where, possible))
    if not odds or (where is None and not sure and site.share(NONE) < NONE_SHARE):
        return None, ""
    return weighted(odds, site.share("cause"))
