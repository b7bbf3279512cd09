"""A first plan from one distance: where boxes must stand, and the lightest feed that holds.

Every candidate is solved. Fewest places on the way first, then fewest boxes, then the thicker cable, then the feed.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, isfinite
from typing import Any

from attrs import define, field, frozen

from engine.job import BoxSheet
from engine.jobfile import read_job
from engine.planning import BadPlan
from engine.predict import predict
from engine.say import say
from engine.sheets import AS_TYPED, STARTER
from engine.standards.surge import LEAD_MOST

MOST_M = 3000
LEAST_M = 1.0
SOURCES = tuple(f"generic.source-{watts}w" for watts in (15, 30, 60, 90))
CABLES = {
    True: ("generic.cat6-outdoor", "generic.cat6a-22-outdoor"),
    False: ("generic.cat6-indoor",),
}
LONG, PATCH = "generic.long-span", "generic.patch"
PATCH_M = 0.5
"""a lead at one stop [m] (a choice)"""
AIR_C = {"low": -10, "expected": 15, "high": 35}
"""a temperate site until somebody says otherwise (a choice)"""
LEAD_MM2 = 6
"""an earth lead thicker than the least (a choice)"""
EARTH_OHMS = 10
"""a target to be set by the local code (common practice)"""
CLASSES = ((3.84, 1), (6.49, 2), (12.95, 3), (25.5, 4), (40, 5), (51, 6), (62, 7), (71.3, 8))
"""watts at the far end up to which a class goes; IEEE 802.3 clauses 33 and 145"""
MATTERS = frozenset(
    ["volts-low", "collapse-worst", "start-up", "class", "budget", "port-power", "speed-mismatch"]
)
"""rules that a plan offered as one that works does not break, even where they only warn;
a reach that holds as planned may warn for the doubt in the length"""


@frozen
class Layout:
    """The legs of a run, each ``long`` (between two long-span units) or ``plain``, in metres."""

    legs: tuple[tuple[str, float], ...]

    @property
    def boxes(self) -> int:
        """Boxes with power of their own between the two ends."""
        plain = [kind for kind, _ in self.legs].count("plain")
        return 2 * (len(self.legs) - plain) + sum(
            one[0] == other[0] == "plain"
            for one, other in zip(self.legs, self.legs[1:], strict=False)
        )


def propose(
    metres: float,
    *,
    watts: float = 13.0,
    mbps: int = 1000,
    outdoor: bool = True,
    title: str,
    ident: str,
) -> dict[str, Any]:
    """A whole job document for this distance and load; the best there is where nothing holds.

    Raises
    ------
    BadPlan : a distance, load or speed that no run has.
    """
    if not (isfinite(metres) and LEAST_M <= metres <= MOST_M):
        raise BadPlan(say("plan-distance", metres=str(metres), most=MOST_M))
    if not (isfinite(watts) and 0 < watts <= CLASSES[-1][0]) or mbps not in (10, 100, 1000):
        raise BadPlan(say("plan-load", watts=str(watts), mbps=str(mbps)))
    best: tuple[tuple[int, int], dict[str, Any]] | None = None
    for layout in sorted(_layouts(metres, mbps), key=lambda one: (len(one.legs), one.boxes)):
        for cable in CABLES[outdoor]:
            for source in SOURCES:
                doc = _Draft(outdoor, cable).job(layout, source, watts, mbps, title, ident)
                short = _short_of(doc)
                if best is None or short < best[0]:
                    best = short, doc
                if short == (0, 0):
                    return doc
    assert best is not None, "every distance has a layout"
    return best[1]


def _short_of(doc: dict[str, Any]) -> tuple[int, int]:
    """What stops a plan, and what else is amiss at worst: counts."""
    found = predict(read_job(doc).plan).findings
    stops = sum(one.severity == "stop" for one in found)
    return stops, sum(one.rule in MATTERS for one in found)


def _layouts(metres: float, mbps: int) -> Iterator[Layout]:
    """Repeaters all along; long spans all along; long spans with one plain leg behind them."""
    count = ceil(metres / 100)
    yield Layout((("plain", metres / count),) * count)
    sheet = STARTER[LONG]
    reach = sheet.reach_m("in", mbps) if isinstance(sheet, BoxSheet) else None
    if mbps != 1000 or metres <= 100 or reach is None:
        return
    count = ceil(metres / reach)
    yield Layout((("long", metres / count),) * count)
    if count > 1 and metres - (count - 1) * reach <= 100:
        rest = metres - (count - 1) * reach
        yield Layout((("long", reach),) * (count - 1) + (("plain", rest),))


@define
class _Draft:
    """A document being drawn from the feed outwards."""

    outdoor: bool
    cable: str
    boxes: list[dict[str, Any]] = field(factory=list)
    spans: list[dict[str, Any]] = field(factory=list)
    stops: dict[str, Any] = field(factory=dict)
    earths: dict[str, Any] = field(factory=dict)
    stop: str = "hut"
    behind: str = ""

    def job(
        self, layout: Layout, source: str, watts: float, mbps: int, title: str, ident: str
    ) -> dict[str, Any]:
        """The document of a layout, fed by this source."""
        self.stops["hut"] = {"name": "Hut", "at_m": 0, "indoor": True}
        self._put("S", source)
        self.behind = "S.out"
        at_m = 0.0
        for place, (kind, metres) in enumerate(layout.legs):
            at_m += metres
            last = place == len(layout.legs) - 1
            self._leg(kind, metres, at_m, last, plain_next=not last and kind == "plain")
        class_ = next(number for most, number in CLASSES if watts <= most)
        speeds = [speed for speed in (10, 100, 1000) if speed <= mbps]
        load = {"kind": "endpoint", "watts": watts, "class": class_, "speeds_mbps": speeds}
        named = {row["sheet"] for row in self.boxes} | {row["cable"] for row in self.spans}
        sheets = {name: dict(AS_TYPED[name]) for name in sorted(named - {"my.far-end"})}
        return {
            "format": "farend-job/1",
            "id": ident,
            "title": title,
            "site": {"name": title, "ambient_c": dict(AIR_C)},
            "stops": self.stops,
            "earths": self.earths,
            "sheets": {**sheets, "my.far-end": {**load, "outdoor": self.outdoor}},
            "boxes": self.boxes,
            "spans": self.spans,
            "log": [],
        }

    def _leg(self, kind: str, metres: float, at_m: float, last: bool, plain_next: bool) -> None:
        """One stretch to the next stop, with all that stands at its two ends."""
        patch = min(PATCH_M, metres / 20)
        inside = metres - patch * (2 * self.outdoor + (1 + last) * (kind == "long"))
        if kind == "long":
            self._through("L", LONG, "out", "in", patch)
        if self.outdoor:
            self._arrestor("kit", "line", patch)
        ahead = "far" if last else f"M{len(self.stops)}"
        name = "Far end" if last else f"Stop {len(self.stops)}"
        self.stops[ahead] = {"name": name, "at_m": round(at_m, 1), "indoor": not self.outdoor}
        self.stop = ahead
        cable = (inside, self.cable)
        if self.outdoor:
            self._arrestor("line", "kit", *cable)
            cable = (patch, PATCH)
        if kind == "long":
            self._through("L", LONG, "in", "out", *cable)
            cable = (patch, PATCH)
        if last:
            self._put("E", "my.far-end")
            self._span("E.in", *cable)
        elif plain_next:
            sheet = "generic.repeater-1000" + ("-outdoor" if self.outdoor else "")
            self._through("R", sheet, "in", "out", *cable)

    def _arrestor(self, first: str, second: str, metres: float, cable: str = PATCH) -> None:
        place = "indoor" if self.stops[self.stop]["indoor"] else "outdoor"
        self._through("A", f"generic.arrestor-1000-{place}", first, second, metres, cable)
        earth = f"EB-{self.stop}"
        self.earths[earth] = {"stop": self.stop, "target_ohms": EARTH_OHMS}
        self.boxes[-1]["bond"] = {
            "to": earth,
            "lead_m": LEAD_MOST.value,
            "mm2": LEAD_MM2,
        }

    def _through(
        self, stem: str, sheet: str, first: str, second: str, metres: float, cable: str = PATCH
    ) -> None:
        name = f"{stem}{1 + sum(row['id'].startswith(stem) for row in self.boxes)}"
        self._put(name, sheet)
        self._span(f"{name}.{first}", metres, cable)
        self.behind = f"{name}.{second}"

    def _put(self, name: str, sheet: str) -> None:
        self.boxes.append({"id": name, "sheet": sheet, "stop": self.stop})

    def _span(self, to: str, metres: float, cable: str) -> None:
        row = {"id": f"C{len(self.spans) + 1}", "from": self.behind, "to": to}
        self.spans.append({**row, "cable": cable, "length_m": round(metres, 3)})
