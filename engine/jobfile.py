"""Reading and writing a job file: text to document to job; every problem names its place.

``format`` has the tables of keys. Here names become things: a box finds its sheet, a
span its boxes, and what does not hold together is refused with the place where it stands.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Mapping
from math import isfinite
from pathlib import Path
from typing import Any

from attrs import evolve, frozen

from engine import job as nouns
from engine.defaults import DEFAULTS
from engine.entries import Entry
from engine.fields import (
    BAD,
    MISSING,
    Assumption,
    Enough,
    Number,
    Problem,
    Reader,
    join,
    nearest,
    show,
)
from engine.format import FORMAT, PLAN, SHEET_KEYS, build_sheet
from engine.job import Job, Point
from engine.sheets import AS_TYPED, STARTER
from engine.showable import escaped
from engine.sliced import Steps, finish

LOG = PLAN.keys["log"].kind
LARGEST_BYTES = 20 * 1024 * 1024
PIECES = 4000
"""of a text between two yields: quick ones, a value or a comma each"""
DEEPEST = 20
MOST_VALUES = 2_000_000
"""in one file, ours: 100,000 entries have fewer, and each takes some hundred bytes of memory"""


class BadFile(Exception):
    """A job file that cannot be read; ``problems`` has one entry for each thing wrong."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(problem.line() for problem in self.problems))


@frozen
class JobFile:
    """A job file as read: the plan as first agreed, the log, and the text it came from."""

    doc: Mapping[str, Any]
    plan: Job
    entries: tuple[Entry, ...]


# ---------------------------------------------------------------- text to document


def parse_json(text: str | bytes) -> dict[str, Any]:
    """The document in a job file's text.

    Raises
    ------
    BadFile : not UTF-8, not JSON, a key twice in one object, NaN or infinity, more
        than 20 MB, deeper than 20, or not an object.
    """
    size = len(text) if isinstance(text, bytes) else len(text.encode("utf-8", "surrogatepass"))
    if size > LARGEST_BYTES:
        raise BadFile([Problem("the file", f"{size} bytes", "at most 20 MB")])
    if isinstance(text, bytes):
        try:
            text = text.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            where = Problem(f"byte {error.start}", "no UTF-8", "a UTF-8 text")
            raise BadFile([where]) from None
    if not text.strip():
        raise BadFile([Problem("the file", "nothing", f"a job in the format {FORMAT}")])
    _refuse_depth(text)
    try:
        doc = json.loads(
            text,
            object_pairs_hook=_no_twins,
            parse_constant=_no_constant,
            parse_float=_finite,
        )
    except BadFile:
        raise
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, letter {error.colno}"
        raise BadFile([Problem(place, "no JSON", "a job as JSON")]) from None
    except ValueError:  # a number of more digits than Python reads
        raise BadFile([Problem("the file", "an endless number", "ordinary numbers")]) from None
    if not isinstance(doc, dict):
        raise BadFile([Problem("the file", "no object", f"a job in the format {FORMAT}")])
    return doc


def _refuse_depth(text: str) -> None:
    """Nesting and values are counted before parsing, so that no file exhausts the parser."""
    depth, values, inside, behind = 0, 0, False, False
    for letter in text:
        if inside:
            if behind:
                behind = False
            elif letter == "\\":
                behind = True
            elif letter == '"':
                inside = False
        elif letter == '"':
            inside = True
        elif letter in "[{":
            depth += 1
            if depth > DEEPEST:
                raise BadFile([Problem("the file", "deeper nesting", f"at most {DEEPEST} levels")])
        elif letter in "]}":
            depth -= 1
        elif letter == ",":
            values += 1
    if values > MOST_VALUES:
        raise BadFile([Problem("the file", f"{values} values", f"at most {MOST_VALUES}")])


def _no_twins(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    out = dict(pairs)
    if len(out) < len(pairs):
        names: set[str] = set()
        twin = next(name for name, _ in pairs if name in names or names.add(name))
        raise BadFile([Problem(show(twin), "the key twice", "each key once in an object")])
    return out


def _finite(word: str) -> float:
    """A number too large for a float would be read as an infinity."""
    value = float(word)
    return value if isfinite(value) else _no_constant(word[:24])


def _no_constant(word: str) -> Any:
    raise BadFile([Problem("the file", word, "finite numbers")])


# ---------------------------------------------------------------- document to job


def read_job(doc: Mapping[str, Any], starter: Mapping[str, Any] = STARTER) -> JobFile:
    """A document as a job with its log.

    ``starter`` are the starter sheets that a box may name beside the file's own.

    Raises
    ------
    BadFile : with every problem found, not only the first, up to ``MOST_PROBLEMS``.
    """
    return finish(reading_job(doc, starter))


def reading_job(doc: Mapping[str, Any], starter: Mapping[str, Any] = STARTER) -> Steps[JobFile]:
    """The same in steps: the plan is read in one, of the log a few entries in each."""
    newer = doc.get("format")
    if isinstance(newer, str) and newer.startswith("farend-job/") and newer != FORMAT:
        problem = Problem("format", json.dumps(newer), f"{FORMAT}; a newer Farend made this file")
        raise BadFile([problem])
    reader = Reader()
    try:
        log = doc.get("log", [])
        plan = PLAN.read(reader, {**doc, "log": []}, "")
        yield
        entries = yield from LOG.reading(reader, log, "log")
        job = None if reader.problems else _assemble(reader, doc, plan, starter)
    except Enough:
        job = None
    if reader.problems:
        raise BadFile(reader.problems)
    return JobFile(doc, job, entries)


def load(path: str | Path) -> JobFile:
    """The job in a file.

    Raises
    ------
    BadFile : also when the file cannot be opened.
    """
    path = Path(path)
    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise BadFile([Problem(str(path), "more than 20 MB", "a job file")])
        data = path.read_bytes()
    except OSError as error:
        found = (error.strerror or "nothing readable").lower()
        raise BadFile([Problem(str(path), found, "a job file")]) from None
    return read_job(parse_json(data))


def write(doc: Mapping[str, Any]) -> str:
    """A document as the text of a job file: UTF-8, indented, keys in their order."""
    return finish(writing(doc))


def writing(doc: Mapping[str, Any]) -> Steps[str]:
    """The same in steps."""
    pieces = []
    for piece in json.JSONEncoder(ensure_ascii=False, indent=2).iterencode(doc):
        pieces.append(piece)
        if len(pieces) % PIECES == 0:
            yield
    return escaped("".join(pieces)) + "\n"


def _assemble(reader: Reader, doc: Mapping, plan: dict, starter: Mapping[str, Any]) -> Job:
    """Names to things: the references of a plan, each checked where it stands."""
    sheets = _sheets(reader, plan.get("sheets", {}), doc, starter)
    stops = {
        name: nouns.Stop(name, stop.pop("name", name), indoor=stop.pop("indoor", False), **stop)
        for name, stop in ((n, dict(s)) for n, s in plan.get("stops", {}).items())
    }
    earths = {name: nouns.Earth(name, **earth) for name, earth in plan.get("earths", {}).items()}
    budgets = {n: nouns.Budget(n, **budget) for n, budget in plan.get("budgets", {}).items()}
    boxes: dict[str, nouns.Box] = {}
    for index, raw in enumerate(plan["boxes"]):
        _box(reader, f"boxes[{index}]", dict(raw), sheets, stops, earths, budgets, boxes)
    declared = [raw["id"] for raw in plan["boxes"]]
    spans: dict[str, nouns.Span] = {}
    taken: set[Point] = set()
    for index, raw in enumerate(plan["spans"]):
        _span(reader, f"spans[{index}]", dict(raw), sheets, boxes, declared, spans, taken)
    meters = _meters(reader, plan.get("meters", ()), sheets)
    earths = {
        name: evolve(earth, stop=_spelled(earth.stop, stops)) for name, earth in earths.items()
    }
    for name, earth in earths.items():
        if earth.stop not in stops:
            reader.bad(f"earths.{name}.stop", earth.stop, "a stop", nearest(earth.stop, stops))
    _unique(reader, doc, plan)
    _no_loops(reader, plan["spans"])
    return Job(
        id=plan["id"],
        title=plan["title"],
        site=plan["site"],
        stops=stops,
        earths=earths,
        meters=meters,
        budgets=budgets,
        boxes=boxes,
        spans=spans,
        sheets=sheets,
        walks=_walks(reader, plan.get("walks", ()), stops),
        assumed=tuple(_assumptions(doc, boxes, spans, plan.get("sheets", {}))),
    )


def _sheets(reader: Reader, own: dict, doc: Mapping, starter: Mapping) -> dict[str, Any]:
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


def _box(reader, at, raw, sheets, stops, earths, budgets, boxes) -> None:
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
    boxes[raw["id"]] = nouns.Box(**{**raw, "sheet": sheet})


def _span(reader, at, raw, sheets, boxes, declared, spans, taken) -> None:
    cable = sheets.get(raw["cable"])
    if not isinstance(cable, nouns.CableSheet):
        known = [name for name, one in sheets.items() if isinstance(one, nouns.CableSheet)]
        reader.bad(
            f"{at}.cable", raw["cable"], "the sheet of a cable", nearest(raw["cable"], known)
        )
        return
    ends = []
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
        elif point in taken or point in ends:
            reader.bad(place, str(point), "a free port; another span is plugged in here")
        else:
            ends.append(point)
    if len(ends) == 2:
        spans[raw["id"]] = nouns.Span(a=ends[0], b=ends[1], **{**raw, "cable": cable})
        taken.update(ends)


def _spelled(name: str, known: Collection[str]) -> str:
    """A name as the thing it means is spelled: ids are compared without case."""
    if name in known:
        return name
    return next((one for one in known if one.lower() == name.lower()), name)


def _has_port(sheet: nouns.BoxSheet, port: str) -> bool:
    if sheet.kind == "splitter":
        return port == "in" or (port.startswith("out") and port[3:].isdigit() and port[3] != "0")
    return port in sheet.facts.ports


def _meters(reader, rows, sheets) -> dict[str, nouns.Meter]:
    out = {}
    for index, row in enumerate(rows):
        sheet = sheets.get(row["sheet"])
        if isinstance(sheet, nouns.MeterSheet):
            told = {key: row[key] for key in ("serial", "calibrated") if key in row}
            out[row["id"]] = nouns.Meter(row["id"], sheet, row.get("name", row["id"]), **told)
        else:
            known = [name for name, one in sheets.items() if isinstance(one, nouns.MeterSheet)]
            place = f"meters[{index}].sheet"
            reader.bad(place, row["sheet"], "the sheet of a meter", nearest(row["sheet"], known))
    return out


def _walks(reader, rows, stops) -> tuple[tuple[str, str, float], ...]:
    out = []
    for index, (a, b, metres) in enumerate(rows):
        for part, stop in enumerate((a, b)):
            if not isinstance(stop, str) or stop not in stops:
                reader.bad(f"walks[{index}][{part}]", stop, "a stop", nearest(stop, stops))
        if Number(0, 100_000).read(reader, metres, f"walks[{index}][2]") is not BAD:
            out.append((a, b, float(metres)))
    return tuple(out)


def _unique(reader: Reader, doc: Mapping, plan: dict) -> None:
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


def _no_loops(reader: Reader, spans: Iterable[Mapping]) -> None:
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


def _assumptions(doc: Mapping, boxes: Mapping, spans: Mapping, own: Mapping) -> list[Assumption]:
    """Every default that this job rests on, once a thing."""
    out = []
    for span in doc.get("spans", ()):
        if not isinstance(span["length_m"], Mapping):
            out.append(Assumption(span["id"], "length", span["id"], DEFAULTS["length"]))
    used = {box.sheet.id for box in boxes.values()} | {span.cable.id for span in spans.values()}
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
