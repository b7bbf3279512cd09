"""What a careful technician writes down on a made-up site, from the source outwards."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

from attrs import evolve, frozen

from engine.entries import numbered
from engine.figures import FLOW_KINDS
from engine.job import Job, Point
from engine.log import State, runs_of
from engine.network import AS_PLANNED, Standing
from engine.practice.causes import AT_FIRST, CAUSES
from engine.practice.draw import bits
from engine.practice.site import COUNT_SECONDS, OPEN_OHMS, Misread, Shown, Site

ALL = AT_FIRST
"""volts and milliamps at every port of every active box, watts at the source, every light"""
FEW = ("volts", "watts")
"""volts alone, and the watts that the source's page shows"""
FLOWS = FLOW_KINDS
"""what flows, without the lights"""
POINTS_FIRST = ("volts", "milliamps", "watts", "mbps", "error_count")
SPANS_AFTER = ("loop_ohms", "unbalance_ohms", "metres")
NAMES = ("Wenna", "Tobias", "Ilse", "Marek", "Sunniva", "Joran")
FIRST_DAY = datetime(2031, 5, 4, 8, 0, tzinfo=UTC)
BETWEEN = timedelta(seconds=20)
METRES_A_MINUTE = 50
"""a walk (job format, section 5)"""
OTHER_SITE = "Practice begins here: what was read before is of another site."
MADE_UP_KEY = "x_made_up"
"""a document that holds it tells of no real site"""


@frozen
class Look:
    """One thing that is read: where, of what, and at which stop one stands for it."""

    at: str
    kind: str
    stop: str


def document(site: Site, kinds: Sequence[str] = ()) -> dict[str, Any]:
    """The job's document with the walk in its log; it says that it is made up, not what of."""
    doc = dict(site.file.doc)
    log = list(doc.pop("log", ()))
    made = {**doc, MADE_UP_KEY: {"seed": site.seed}}
    return {**made, "log": [*log, *readings(site, kinds or asked_for(site))]}


def asked_for(site: Site) -> tuple[str, ...]:
    """What the walk reads: what is read first, and what a cause needs that shows in no such."""
    row = CAUSES.get(site.truth.cause)
    return ALL if row is None or row.at_first else (*ALL, *row.shows)


def readings(site: Site, kinds: Sequence[str] = ALL) -> list[dict[str, Any]]:
    """Log entries of one visit: a note that it is made up, then stop by stop what was read.

    The values of one stop are of one moment. They come after all that the log holds; what was
    read before them is struck, since it is of another site.
    """
    clerk = _Clerk(site)
    entries = [clerk.entry(what="visit", people=1)]
    text = f"Made up for practice, seed {site.seed}: nobody measured this."
    entries.append(clerk.entry(what="note", text=text))
    entries += [
        clerk.entry(what="change", where=where, did=OTHER_SITE)
        for where in _read_before(site.state)
    ]
    written: list[tuple[Look, Shown]] = []
    moment = stop = ""
    pages = []
    for look in looks(site, kinds):
        if look.stop != stop:
            clerk.walk(stop, look.stop)
            stop, moment = look.stop, clerk.next_id()
        written.append((look, _seen(site, look, moment)))
        pages.append(clerk.entry(what="reading", at=look.at, kind=look.kind, moment=moment))
    for page, (look, shown) in zip(pages, _misread(site, written), strict=True):
        page |= _figures(shown)
        meter = site.meter_for(look.kind)
        if meter is not None:
            page["meter"] = meter
        if look.kind == "error_count":
            page["seconds"] = COUNT_SECONDS
    return [*entries, *pages]


def _read_before(state: State) -> tuple[str, ...]:
    """Runs, earths and stops of which a reading is current: it is of no made-up site."""
    found: dict[str, None] = {}
    for reading in state.readings:
        if state.is_current(reading):
            found |= dict.fromkeys(sorted(runs_of(state.job, state.network, reading.at)))
    return tuple(found)


def looks(site: Site, kinds: Sequence[str]) -> Iterator[Look]:
    """What is read in its order: point by point outwards, then spans, earths and stops."""
    job, network = site.state.job, site.state.network
    feeds = {
        tree.feed
        for tree in network.trees
        if not tree.box.sheet.regenerates and any(node.load for node in tree.nodes)
    }
    lights = {link.end for link in site.planned_links if link.known}
    for point in network.where:
        box = job.boxes[point.box]
        for kind in POINTS_FIRST:
            wanted = {
                "watts": point in feeds,
                "mbps": point in lights,
                "error_count": point in lights,
            }.get(kind, box.sheet.facts.active)
            if wanted and kind in kinds:
                yield Look(str(point), kind, box.stop)
    for span in job.spans.values():
        for kind in SPANS_AFTER:
            if kind in kinds:
                yield Look(span.id, kind, job.boxes[span.a.box].stop)
    for earth in job.earths.values():
        if "earth_ohms" in kinds:
            yield Look(earth.id, "earth_ohms", earth.stop)
    for stop in job.stops:
        if "celsius" in kinds:
            yield Look(stop, "celsius", stop)


def _seen(site: Site, look: Look, moment: str) -> Shown:
    """What the meter shows; whoever forgets that a box was off does not write that down."""
    misread, standing = site.misread, AS_PLANNED
    if misread and misread.how == "state":
        standing = Standing(off=frozenset({misread.at}))
    return site.shown(look.at, look.kind, None, standing, moment)


def _figures(shown: Shown) -> dict[str, Any]:
    if shown.pairs:
        return {"pairs": dict(shown.pairs)}
    more = {"unsteady": list(shown.unsteady)} if shown.unsteady else {}
    return {"value": shown.value, **more}


# ---------------------------------------------------------------- between meter and log

Written = list[tuple[Look, Shown]]


def _misread(site: Site, written: Written) -> list[tuple[Look, Shown]]:
    """The figures as they were written down."""
    misread = site.misread
    change = SLIPS.get(misread.how) if misread else None
    return change(site, misread, written) if misread and change else written


def _at(written: Written, at: str, kind: str) -> int | None:
    places = (i for i, (look, _) in enumerate(written) if (look.at, look.kind) == (at, kind))
    return next(places, None)


def _put(written: Written, place: int | None, value: float) -> Written:
    if place is None:
        return written
    out = list(written)
    out[place] = (out[place][0], Shown(round(value, 9)))
    return out


def _typed(site: Site, misread: Misread, written: Written) -> Written:
    """Two neighbouring digits swapped, or the point slipped."""
    place = _at(written, misread.at, "volts")
    if place is None:
        return written
    value = written[place][1].value
    if misread.kind == "swapped":
        text = f"{value:.2f}"
        pairs = [
            i for i in range(len(text) - 1) if text[i : i + 2].isdigit() and text[i] != text[i + 1]
        ]
        if pairs:
            i = pairs[int(site.share("digit") * len(pairs))]
            return _put(written, place, float(text[:i] + text[i + 1] + text[i] + text[i + 2 :]))
    return _put(written, place, value * (10 if site.share("slip") < 0.5 else 0.1))


def _unit(site: Site, misread: Misread, written: Written) -> Written:
    """Volts as millivolts, or milliamps as amps."""
    kind = misread.kind
    place = _at(written, misread.at, kind)
    factor = 1000 if kind == "volts" else 0.001
    return written if place is None else _put(written, place, written[place][1].value * factor)


def _place(site: Site, misread: Misread, written: Written) -> Written:
    """Exchanged with the next box's, or that one's written down twice."""
    at = misread.at
    here = _at(written, at, "volts")
    others = [
        i
        for i, (look, _) in enumerate(written)
        if look.kind == "volts" and Point.parse(look.at).box != Point.parse(at).box
    ]
    if here is None or not others:
        return written
    there = next((i for i in others if i > here), others[-1])
    out = _put(written, here, written[there][1].value)
    if misread.kind == "exchanged":
        out = _put(out, there, written[here][1].value)
    return out


def _ac(site: Site, misread: Misread, written: Written) -> Written:
    """The dial on alternating volts: near nothing, or on a cheap meter about double."""
    place = _at(written, misread.at, "volts")
    if place is None:
        return written
    value = written[place][1].value
    near = site.share("ac")
    double = misread.kind == "double"
    return _put(written, place, round(value * (2.1 + 0.2 * near) if double else 0.3 * near, 2))


def _no_short(site: Site, misread: Misread, written: Written) -> Written:
    """The far end was not shorted, so no pair closes."""
    place = _at(written, misread.at, "loop_ohms")
    if place is None:
        return written
    look, shown = written[place]
    out = list(written)
    out[place] = (look, evolve(shown, pairs=dict.fromkeys(shown.pairs or (), OPEN_OHMS)))
    return out


SLIPS = {"typed": _typed, "unit": _unit, "place": _place, "ac": _ac, "no-short": _no_short}


# ---------------------------------------------------------------- the entries' own keys


class _Clerk:
    """Numbers, times and names of the entries of one walk."""

    def __init__(self, site: Site) -> None:
        self.job: Job = site.state.job
        before = numbered(site.state.entries)
        self.seed, self.before = site.seed, len(before)
        self.device = f"{bits(site.seed, 'device', self.before):064x}"[:4]
        self.by = NAMES[bits(site.seed, "name") % len(NAMES)]
        self.seen: dict[str, int] = {}
        for entry in before:
            if entry.device:
                self.seen[entry.device] = max(self.seen.get(entry.device, 0), entry.n)
        # what no phone wrote can be seen only by counting on from it
        self.n = max((entry.n for entry in before if not entry.device), default=0)
        self.at = _after(entry.t for entry in before)

    def next_id(self) -> str:
        """The id of the entry that comes next."""
        return self._id(self.n + 1)

    def _id(self, n: int) -> str:
        """Milliseconds since 1970, a 7, and chance (RFC 9562, 5.7)."""
        stamp = f"{int(self.at.timestamp() * 1000):012x}"
        rest = f"{bits(self.seed, 'id', self.before, n):064x}"
        return (
            f"{stamp[:8]}-{stamp[8:]}-7{rest[:3]}-"
            f"{'89ab'[int(rest[3], 16) % 4]}{rest[4:7]}-{rest[7:19]}"
        )

    def entry(self, **keys: Any) -> dict[str, Any]:
        """The next entry, with its common keys."""
        self.n += 1
        out = {
            "id": self._id(self.n),
            "t": self.at.strftime("%Y-%m-%dT%H:%M:%SZ"),
            "device": self.device,
            "n": self.n,
            "by": self.by,
            **keys,
        }
        if self.seen:
            out["seen"] = dict(self.seen)
        self.at += BETWEEN
        return out

    def walk(self, start: str, end: str) -> None:
        """Time goes by on the way to another stop."""
        stops: Mapping[str, Any] = self.job.stops
        metres = abs(stops[start].at_m - stops[end].at_m) if start in stops else 0.0
        self.at += timedelta(seconds=round(60 * metres / METRES_A_MINUTE))


def _after(times: Iterator[str | None]) -> datetime:
    """An hour after the last of these times, or the morning of the first day."""
    last = FIRST_DAY
    for text in times:
        try:
            at = datetime.fromisoformat(text) if text else FIRST_DAY
        except ValueError:
            continue
        last = max(last, at.astimezone(UTC) + timedelta(hours=1))
    return last if last > FIRST_DAY + timedelta(hours=1) else FIRST_DAY
