"""Names to things: a box finds its sheet, a span its boxes.

What does not hold together is told with the place where it stands.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import Any

from attrs import evolve, field, frozen

from engine import job as nouns
from engine.defaults import DEFAULTS
from engine.fields import BAD, Assumption, Number, Reader
from engine.format import SHEET_KEYS, build_sheet
from engine.job import AnySheet, Job, Point
from engine.sheets import AS_TYPED
from engine.whereabouts import MISSING, join, nearest

Raw = dict[str, Any]
"""the keys of one thing, as read"""


@frozen
class _Things:
    """What has been made of a plan so far, by name; ``declared`` are the boxes to come."""

    reader: Reader
    sheets: Mapping[str, AnySheet]
    stops: dict[str, nouns.Stop]
    earths: Mapping[str, nouns.Earth]
    budgets: Mapping[str, nouns.Budget]
    declared: Collection[str]
    boxes: dict[str, nouns.Box] = field(factory=dict)
    spans: dict[str, nouns.Span] = field(factory=dict)
    taken: set[Point] = field(factory=set)
    """ports with a span"""


def assemble(
    reader: Reader, doc: Mapping[str, Any], plan: Raw, starter: Mapping[str, AnySheet]
) -> Job:
    """The job of a plan whose keys are read; what does not hold together goes to ``reader``.

    ``doc`` is the plan as it was typed: it tells which figures nobody gave.
    """
    sheets = _sheets(reader, plan.get("sheets", {}), starter)
    stops = {
        name: nouns.Stop(name, stop.pop("name", name), indoor=stop.pop("indoor", False), **stop)
        for name, stop in ((n, dict(s)) for n, s in plan.get("stops", {}).items())
    }
    earths = {name: nouns.Earth(name, **earth) for name, earth in plan.get("earths", {}).items()}
    budgets = {n: nouns.Budget(n, **budget) for n, budget in plan.get("budgets", {}).items()}
    declared = [raw["id"] for raw in plan["boxes"]]
    things = _Things(reader, sheets, stops, earths, budgets, declared)
    for index, raw in enumerate(plan["boxes"]):
        _box(things, f"boxes[{index}]", dict(raw))
    for index, raw in enumerate(plan["spans"]):
        _span(things, f"spans[{index}]", dict(raw))
    meters = _meters(reader, plan.get("meters", ()), sheets)
    earths = {
        name: evolve(earth, stop=_spelled(earth.stop, stops)) for name, earth in earths.items()
    }
    for name, earth in earths.items():
        if earth.stop not in stops:
            reader.bad(f"earths.{name}.stop", earth.stop, "a stop", nearest(earth.stop, stops))
    _unique(reader, plan)
    _no_loops(reader, plan["spans"])
    return Job(
        id=plan["id"],
        title=plan["title"],
        site=plan["site"],
        stops=stops,
        earths=earths,
        meters=meters,
        budgets=budgets,
        boxes=things.boxes,
        spans=things.spans,
        sheets=sheets,
        walks=_walks(reader, plan.get("walks", ()), stops),
        assumed=tuple(_assumptions(doc, things, plan.get("sheets", {}))),
    )


def _sheets(
    reader: Reader, own: Mapping[str, Raw], starter: Mapping[str, AnySheet]
) -> dict[str, AnySheet]:
    out = dict(starter)
    for name, raw in own.items():
        sheet = build_sheet(name, dict(raw))
        if isinstance(sheet, nouns.BoxSheet) and sheet.regenerates and sheet.out_volts is None:
            reader.bad(join(join("sheets", name), "out_volts"), MISSING, "the volts that come out")
        if isinstance(sheet, nouns.BoxSheet) and sheet.kind == "splitter":
            _outs(reader, join(join("sheets", name), "ports"), sheet)
        out[name] = sheet
    return out


def _outs(reader: Reader, at: str, sheet: nouns.BoxSheet) -> None:
    """A splitter has the outs that its sheet names, so they must be such."""
    for port in sheet.ports:
        if not _has_port(sheet, port):
            reader.bad(join(at, port), port, "a port of a splitter: in, out1, out2 and so on")


def _box(things: _Things, at: str, raw: Raw) -> None:
    reader, sheets, stops = things.reader, things.sheets, things.stops
    earths, budgets = things.earths, things.budgets
    sheet = sheets.get(raw["sheet"])
    if not isinstance(sheet, nouns.BoxSheet):
        known = [name for name, one in sheets.items() if isinstance(one, nouns.BoxSheet)]
        reader.bad(f"{at}.sheet", raw["sheet"], "the sheet of a box", nearest(raw["sheet"], known))
        return
    raw["stop"] = _spelled(raw["stop"], stops)
    stop, at_m, indoor = raw["stop"], raw.pop("at_m", None), raw.pop("indoor", False)
    if stop not in stops:
        if at_m is None:
            near = nearest(stop, stops)
            reader.bad(f"{at}.stop", stop, "a stop, or at_m beside it", near)
            return
        stops[stop] = nouns.Stop(stop, stop, at_m, indoor)
    bond = raw.get("bond")
    if bond:
        bond = raw["bond"] = evolve(bond, to=_spelled(bond.to, earths))
    if bond and bond.to not in earths:
        reader.bad(f"{at}.bond.to", bond.to, "an earth", nearest(bond.to, earths))
    if raw.get("budget"):
        raw["budget"] = _spelled(raw["budget"], budgets)
    if raw.get("budget") and raw["budget"] not in budgets:
        reader.bad(f"{at}.budget", raw["budget"], "a budget", nearest(raw["budget"], budgets))
    raw.setdefault("name", raw["id"])
    things.boxes[raw["id"]] = nouns.Box(**{**raw, "sheet": sheet})


def _span(things: _Things, at: str, raw: Raw) -> None:
    reader, sheets, boxes, declared = things.reader, things.sheets, things.boxes, things.declared
    cable = sheets.get(raw["cable"])
    if not isinstance(cable, nouns.CableSheet):
        known = [name for name, one in sheets.items() if isinstance(one, nouns.CableSheet)]
        reader.bad(
            f"{at}.cable", raw["cable"], "the sheet of a cable", nearest(raw["cable"], known)
        )
        return
    ends: list[Point] = []
    for key in ("from_", "to"):
        place = f"{at}.{key.rstrip('_')}"
        point = Point.parse(raw.pop(key))
        point = Point(_spelled(point.box, boxes), point.port)
        box = boxes.get(point.box)
        if box is None and _spelled(point.box, declared) in declared:
            continue  # that box has its own problem, told at its own place
        if box is None:
            reader.bad(place, str(point), "a box of this job", nearest(point.box, declared))
        elif not _has_port(box.sheet, point.port):
            ports = ", ".join(box.sheet.facts.ports)
            reader.bad(place, str(point), f"a port of a {box.kind}: {ports}")
        elif point in things.taken or point in ends:
            reader.bad(place, str(point), "a free port; another span is plugged in here")
        else:
            ends.append(point)
    if len(ends) == 2:
        things.spans[raw["id"]] = nouns.Span(a=ends[0], b=ends[1], **{**raw, "cable": cable})
        things.taken.update(ends)


def _spelled(name: str, known: Collection[str]) -> str:
    """A name as the thing it means is spelled: ids are compared without case."""
    if name in known:
        return name
    return next((one for one in known if one.lower() == name.lower()), name)


def _has_port(sheet: nouns.BoxSheet, port: str) -> bool:
    if sheet.kind == "splitter":
        return port == "in" or (port.startswith("out") and port[3:].isdigit() and port[3] != "0")
    return port in sheet.facts.ports


def _meters(
    reader: Reader, rows: Iterable[Raw], sheets: Mapping[str, AnySheet]
) -> dict[str, nouns.Meter]:
    out: dict[str, nouns.Meter] = {}
    for index, row in enumerate(rows):
        sheet = sheets.get(row["sheet"])
        if isinstance(sheet, nouns.MeterSheet):
            out[row["id"]] = nouns.Meter(**{"name": row["id"], **row, "sheet": sheet})
        else:
            known = [name for name, one in sheets.items() if isinstance(one, nouns.MeterSheet)]
            place = f"meters[{index}].sheet"
            reader.bad(place, row["sheet"], "the sheet of a meter", nearest(row["sheet"], known))
    return out


def _walks(
    reader: Reader, rows: Iterable[Sequence[Any]], stops: Collection[str]
) -> tuple[tuple[str, str, float], ...]:
    out = []
    for index, (a, b, metres) in enumerate(rows):
        for part, stop in enumerate((a, b)):
            if not isinstance(stop, str) or stop not in stops:
                reader.bad(f"walks[{index}][{part}]", stop, "a stop", nearest(stop, stops))
        if Number(0, 100_000).read(reader, metres, f"walks[{index}][2]") is not BAD:
            out.append((a, b, float(metres)))
    return tuple(out)


def _unique(reader: Reader, plan: Raw) -> None:
    """Ids are unique in the whole file, compared without case."""
    places = [
        *((f"stops.{name}", name) for name in plan.get("stops", {})),
        *((f"earths.{name}", name) for name in plan.get("earths", {})),
        *((f"budgets.{name}", name) for name in plan.get("budgets", {})),
        *((f"meters[{i}].id", row["id"]) for i, row in enumerate(plan.get("meters", ()))),
        *((f"boxes[{i}].id", row["id"]) for i, row in enumerate(plan["boxes"])),
        *((f"spans[{i}].id", row["id"]) for i, row in enumerate(plan["spans"])),
    ]
    first: dict[str, str] = {}
    for place, name in places:
        other = first.setdefault(name.lower(), place)
        if other != place:
            reader.bad(place, name, f"an id used once; {other} has it too")


def _no_loops(reader: Reader, spans: Iterable[Raw]) -> None:
    """Spans must form a tree: a loop has no upstream."""
    parent: dict[str, str] = {}

    def root(name: str) -> str:
        while parent.setdefault(name, name) != name:
            name = parent[name]
        return name

    for index, span in enumerate(spans):
        a, b = (root(Point.parse(span[key]).box.lower()) for key in ("from_", "to"))
        if a == b:
            reader.bad(f"spans[{index}]", span["id"], "no loop: these boxes are joined already")
        parent[a] = b


# The quantities whose bare number takes a tolerance, and the keys whose absence takes a value.
_BARE = {
    "volts": "source-volts",
    "out_volts": "source-volts",
    "ohms_per_km": "cable-ohms",
    "own_watts": "own-watts",
    "ohms_per_conductor": "box-ohms",
    "ohms": "box-ohms",
    "watts": "endpoint-watts",
}
_ABSENT = {"cutoff_volts": "cutoff", "on_volts": "turn-on", "watts_swing_percent": "swing"}


def _has_ordinary_port(raw: Mapping[str, Any]) -> bool:
    """A transceiver without a reach of its own in one of its ports."""
    facts = nouns.KINDS.get(raw["kind"])
    if facts is None or not facts.active or "speeds_mbps" not in raw:
        return False
    stated = {port for port, keys in raw.get("ports", {}).items() if "reach_m" in keys}
    return not set(facts.ports) <= stated


def _assumptions(doc: Mapping[str, Any], things: _Things, own: Iterable[str]) -> list[Assumption]:
    """Every default that this job rests on, once a thing."""
    out = []
    for span in doc.get("spans", ()):
        if not isinstance(span["length_m"], Mapping):
            out.append(Assumption(span["id"], "length", span["id"], DEFAULTS["length"]))
    used = {box.sheet.id for box in things.boxes.values()}
    used |= {span.cable.id for span in things.spans.values()}
    typed = {**AS_TYPED, **{name: doc["sheets"][name] for name in own}}
    for name in sorted(used & set(typed)):
        raw = typed[name]
        for key, default in _BARE.items():
            if key in raw and not isinstance(raw[key], Mapping) and raw["kind"] != "meter":
                out.append(Assumption(name, key, name, DEFAULTS[default]))
        for key, default in _ABSENT.items():
            if key in SHEET_KEYS[raw["kind"]] and key not in raw:
                out.append(Assumption(name, key, name, DEFAULTS[default]))
        if _has_ordinary_port(raw):
            out.append(Assumption(name, "reach_m", name, DEFAULTS["reach"]))
        if raw["kind"] == "cable" and "category" not in raw:
            out.append(Assumption(name, "category", name, DEFAULTS["category"]))
        if raw["kind"] == "cable" and "ohms_per_km" not in raw:
            out.append(Assumption(name, "ohms_per_km", name, DEFAULTS["ohms-from-gauge"]))
            if "awg" not in raw:
                out.append(Assumption(name, "gauge", name, DEFAULTS["gauge"]))
            if raw.get("material") == "clad" and "copper_percent" not in raw:
                out.append(Assumption(name, "copper_share", name, DEFAULTS["copper-share"]))
    return out
