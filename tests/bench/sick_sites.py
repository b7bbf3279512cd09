"""Made-up sites for the measurement of the diagnosis: plans, hidden causes, and what is right.

**What is drawn.** Causes and places by their odds p/(1-p) (``faults.sizes``), as ``practice``
draws them, ``none`` left out, from those of which there is a trace in the kinds of reading that
the walk takes. A site counts only if its cause *shows* there: some figure of the walk differs
from that of the same site without the cause (same draws, same noise) by more than the meter's
own limits, or some light does. The others are given back as hidden: ``none`` is the best that
can be said of them, and the calibration over all visits counts them.

**What is right.** Cause and place, as hidden: *strict*. *Right* lets causes through that the
table of causes itself says the readings do not part, at the same place and with one remedy
(``ALIKE``).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from attrs import evolve
from jobs import Bare, active, at_stops, band, chain, endpoint, regenerating, run, source, with_keys

from engine.jobfile import JobFile, read_job
from engine.judge import Judgement, judge
from engine.network import AS_PLANNED, Standing
from engine.practice import CAUSES, Cause, Site, Truth, document, made_up, share
from engine.practice.draw import weighted
from engine.practice.site import FLOOR_VOLTS

PLANNED_SWING = 10.0
"""by how much the load moves from moment to moment by its sheet, unless a row says more [%]"""
ANOTHER = 10**9
"""the seed of a second cause's size lies so far off"""

# ---------------------------------------------------------------- plans


def _line(swing: float) -> list:
    """Source, two pass-through boxes, endpoint: 70 + 280 + 60 m."""
    box = {"ohms_per_conductor": 0.05}
    near, far, last = (run(Bare(metres), Bare(66.6)) for metres in (70, 280, 60))
    return [
        source(band(52.5, 53.5, 54.5), watts_max=60),
        near,
        active(band(2, 2.5, 3), **box),
        far,
        active(band(2, 2.5, 3), **box),
        last,
        endpoint(band(6, 12, 19), watts_swing_percent=swing),
    ]


def _two_pairs(swing: float) -> list:
    """The same over two pairs, of which a port feeds no more; a lighter load."""
    parts = _line(swing)
    end = endpoint(band(4, 7, 10), watts_swing_percent=swing)
    return [with_keys(parts[0], pairs=2), *parts[1:-1], end]


def _regenerating(swing: float) -> list:
    """Boxes that make their own volts for what is behind."""
    parts = _line(swing)
    for place in (2, 4):
        parts[place] = regenerating(
            band(2, 2.5, 3), band(53, 54, 55), band(0.86, 0.9, 0.93), kind="long-span"
        )
    return parts


def _tree(swing: float) -> list:
    """A splitter with two endpoints behind it."""
    box = {"ohms_per_conductor": 0.05}
    runs = [run(Bare(metres), Bare(66.6)) for metres in (70, 150, 60, 90)]
    end = endpoint(band(4, 6, 8), watts_swing_percent=swing)
    return [
        source(band(52.5, 53.5, 54.5), watts_max=60),
        runs[0],
        active(band(2, 2.5, 3), **box),
        runs[1],
        active(band(2, 2.5, 3), kind="splitter", **box),
        [[runs[2], end], [runs[3], end]],
    ]


PLANS: Mapping[str, tuple[Callable[[float], list], tuple[int, ...]]] = {
    "line": (_line, (0, 70, 350, 410)),
    "two pairs": (_two_pairs, (0, 70, 350, 410)),
    "regenerating": (_regenerating, (0, 70, 350, 410)),
    "tree": (_tree, (0, 70, 220, 280, 310)),
}
"""parts of each plan, and how far each of its boxes is from the source [m]"""


@cache
def plan(name: str, swing: float) -> tuple[JobFile, Judgement]:
    """A plan, and its judgement without a reading, which those with readings start from."""
    parts, metres = PLANS[name]
    doc = at_stops(chain(*parts(swing), ambient_c=band(0, 15, 30)), metres)
    doc["sheets"]["my.meter"] = {
        "kind": "meter",
        "volts": {"percent": 0.5, "digits": 2, "resolution": 0.01},
        "milliamps": {"percent": 1, "digits": 2, "resolution": 1},
        "watts": {"percent": 3, "digits": 1, "resolution": 0.1},
    }
    doc["meters"] = [{"id": "m1", "sheet": "my.meter"}]
    file = read_job(doc)
    return file, judge(file)


# ---------------------------------------------------------------- what is right

ALIKE: Mapping[str, tuple[str, str]] = {
    **dict.fromkeys(
        ("source.dead", "port.off", "budget.shed"),
        (
            "feed gives nothing",
            "0 V from S.out on and no current in each row of the table; the port's page says which",
        ),
    ),
    **dict.fromkeys(
        ("contact.high", "pair.split", "pair.crossed", "link.pair-open"),
        (
            "wires of one span's plugs",
            "volts normal in each row of the table, a light or frames only; both plugs are remade",
        ),
    ),
    **dict.fromkeys(
        ("reading.typed", "reading.unit", "reading.place", "reading.ac"),
        (
            "one figure misread",
            "one figure is odd and its neighbours agree; it is read again",
        ),
    ),
}
"""causes that count for each other at the same place: their common name, and why.

Not here, though volts alone do not part them, because the remedy differs: ``span.high`` and
``joint.high`` of one span, ``source.low`` and ``source.soft``, ``box.no-pass`` and ``box.dead``,
``load.off`` and ``reading.state``. The kinds of ``span.high`` and the ends of a joint are one
guess in the engine, so nothing has to be said of them here.
"""

Named = tuple[str, str]
"""a cause and its place"""


def alike(named: Named) -> Named:
    """A cause with those that count for it in one."""
    cause, where = named
    return (ALIKE[cause][0] if cause in ALIKE else cause), where


def answers(truth: Truth, log: Sequence[Mapping[str, Any]]) -> frozenset[Named]:
    """What a truth is called by a diagnosis: a misread figure by its entry.

    Of two figures that were exchanged either one is right: both are read again. What was never
    read cannot be named.
    """
    if truth.cause not in ("reading.typed", "reading.unit", "reading.place", "reading.ac"):
        return frozenset({(truth.cause, truth.where)})
    kind = truth.kind if truth.cause == "reading.unit" else "volts"
    rows = [one for one in log if one["what"] == "reading" and one["kind"] == kind]
    here = next((i for i, one in enumerate(rows) if one["at"] == truth.where), None)
    if here is None:
        return frozenset()
    places = {here}
    if truth.kind == "exchanged":
        box = truth.where.split(".")[0]
        others = [i for i, one in enumerate(rows) if one["at"].split(".")[0] != box]
        places.add(next((i for i in others if i > here), others[-1]))
    return frozenset((truth.cause, rows[i]["id"]) for i in places)


# ---------------------------------------------------------------- draws


@dataclass(frozen=True)
class Sick:
    """One made-up site with the log of its walk, and what is hidden in it."""

    site: Site
    doc: Mapping[str, Any]
    truths: tuple[Truth, ...]
    shows: bool

    @property
    def log(self) -> Sequence[Mapping[str, Any]]:
        """The entries of the walk."""
        return self.doc["log"]


def sick_site(
    file: JobFile,
    seed: int,
    *,
    kinds: Sequence[str],
    swing: float,
    count: int = 1,
    standing: Standing = AS_PLANNED,
    causes: frozenset[str] | None = None,
) -> Sick:
    """A site with ``count`` hidden causes, drawn by their odds, or from ``causes`` alone."""
    sound = made_up(file, cause="none", seed=seed, swing=swing)
    picks: list[tuple[Cause, str]] = []
    for number in range(count):
        odds = [
            ((row, where), by)
            for (row, where), by in possible(
                sound, kinds, causes if count == 1 else _of_the_site(causes)
            )
            if where not in {there for _, there in picks}
        ]
        picks.append(weighted(odds, share(seed, "bench cause", number)))

    def struck(*which: int) -> tuple[Site, tuple[Truth, ...]]:
        one, truths = sound, []
        for number in which:
            row, where = picks[number]
            # sizes are drawn by the seed: two causes must not both be large together
            one = row.strike(evolve(one, seed=seed + number * ANOTHER), where)
            truths.append(one.truth)
            one = evolve(one, seed=seed)
        return one, tuple(truths)

    every = range(count)
    site, truths = struck(*every)
    doc = walked(site, kinds, standing)
    rest = (struck(*(i for i in every if i != number))[0] for number in every)
    shows = all(differ(site, doc["log"], walked(one, kinds, standing)["log"]) for one in rest)
    return Sick(site, doc, truths, shows)


def _of_the_site(causes: frozenset[str] | None) -> frozenset[str]:
    """Causes that change the site, not the log: two at once are two things to mend."""
    return frozenset(one for one in causes or CAUSES if not one.startswith("reading."))


def possible(site: Site, kinds: Sequence[str], causes: frozenset[str] | None) -> Iterable:
    """Causes with their places and odds, of which these kinds of reading bear a trace."""
    for row in CAUSES.values():
        if not row.rate or not set(row.shows) & set(kinds):
            continue
        if causes is None or row.id in causes:
            for place in row.places(site):
                yield (row, place), row.rate / (1 - row.rate)


def odds_of(file: JobFile, kinds: Sequence[str]) -> float:
    """The odds of all causes that are drawn, together; those of ``none`` are 1."""
    site = made_up(file, cause="none")
    return sum(odds for _, odds in possible(site, kinds, None))


def walked(site: Site, kinds: Sequence[str], standing: Standing) -> dict[str, Any]:
    """The document with the walk; with something standing there, each flow read with it."""
    doc = document(site, kinds)
    if standing.as_planned:
        return doc
    for entry in doc["log"]:
        if entry["what"] == "reading" and entry["kind"] in ("volts", "milliamps", "watts"):
            shown = site.shown(entry["at"], entry["kind"], None, standing, entry["moment"])
            entry.pop("unsteady", None)
            entry |= {"value": shown.value, "with": with_of(standing)}
            if shown.unsteady:
                entry["unsteady"] = list(shown.unsteady)
    return doc


def with_of(standing: Standing) -> dict[str, Any]:
    """What stood there, as an entry says it."""
    out: dict[str, Any] = dict.fromkeys(sorted(standing.off), "off")
    out |= {box: {"watts": watts} for box, watts in standing.known.items()}
    return out | ({"*": "off"} if standing.beyond else {})


def differ(site: Site, log: Sequence[Mapping], other: Sequence[Mapping]) -> bool:
    """Whether two walks differ by more than a meter's own limits, in a figure or a light."""
    pairs = (
        (one, two)
        for one, two in zip(log, other, strict=True)
        if one["what"] == "reading" and "value" in one
    )
    for one, two in pairs:
        kind, a, b = one["kind"], one["value"], two["value"]
        accuracy = site.job.accuracy(one.get("meter"), kind)
        most = accuracy.reach(max(abs(a), abs(b))) if accuracy else 0.0
        floor = FLOOR_VOLTS if kind == "volts" else 0.0
        if abs(a - b) > most + floor or ("unsteady" in one) != ("unsteady" in two):
            return True
    return False
