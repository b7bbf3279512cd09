"""Job documents for tests: parts put in a row, random jobs, and their reading by the contract.

Nothing here imports the engine. ``chain`` makes a document out of parts; a number given
to a part is exact, a mapping is kept as it is, and ``Bare`` leaves a number bare so that
the default tolerance of its kind applies. ``walk`` reads the wiring of a document again,
on its own, for the checks against other programs.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from copy import deepcopy
from dataclasses import dataclass, field
from random import Random
from typing import Any

CORNERS = ("low", "expected", "high")


def band(low: float, expected: float, high: float) -> dict[str, float]:
    """A quantity as a job file writes it."""
    return {"low": low, "expected": expected, "high": high}


def exact(value: float) -> dict[str, float]:
    """A quantity known exactly."""
    return band(value, value, value)


@dataclass(frozen=True)
class Bare:
    """A number to be written without its band."""

    value: float


def quantity(value: Any) -> Any:
    """What the file holds for a part's argument."""
    if isinstance(value, Bare):
        return value.value
    return deepcopy(value) if isinstance(value, dict) else exact(value)


# ---------------------------------------------------------------- parts

LETTER = {
    "source": "S",
    "injector": "P",
    "repeater": "R",
    "long-span": "L",
    "splitter": "Y",
    "arrestor": "A",
    "joint": "J",
    "endpoint": "E",
}
DOORS = {"source": ("", "out"), "arrestor": ("line", "kit"), "joint": ("a", "b")}
"""the port that the feed's side is plugged into, and the one behind; else in and out"""
ACTIVE = frozenset({"source", "repeater", "long-span", "splitter", "endpoint"})


@dataclass(frozen=True)
class Part:
    """One box: its sheet and its own keys. ``turned``: the feed comes in at the other port."""

    sheet: Mapping[str, Any]
    keys: Mapping[str, Any] = field(default_factory=dict)
    turned: bool = False

    @property
    def doors(self) -> tuple[str, str]:
        """The port met first and the port behind it."""
        first, second = DOORS.get(self.sheet["kind"], ("in", "out"))
        return (second, first) if self.turned else (first, second)


@dataclass(frozen=True)
class Run:
    """One span: its length, its cable's sheet and its own keys."""

    length_m: Any
    cable: Mapping[str, Any]
    keys: Mapping[str, Any] = field(default_factory=dict)


def run(length_m: Any, ohms_per_km: Any = 66.6, cable: Mapping | None = None, **keys: Any) -> Run:
    """A span, indoors unless said otherwise; ``cable`` in place of a copper one of known ohms."""
    sheet = cable or {"kind": "cable", "category": "6", "ohms_per_km": quantity(ohms_per_km)}
    return Run(length_m, sheet, {"indoor": True, **keys})


def source(volts: Any = 53.5, **keys: Any) -> Part:
    """A powered port."""
    return Part(_sheet("source", {"speeds_mbps": [100, 1000]}, keys, volts=volts))


def injector(volts: Any = 53.5, **keys: Any) -> Part:
    """Power starts here, data passes."""
    return Part(_sheet("injector", {}, keys, volts=volts))


def endpoint(watts: Any = 12, **keys: Any) -> Part:
    """The powered thing at the end."""
    return Part(_sheet("endpoint", {"speeds_mbps": [100, 1000]}, keys, watts=watts))


def active(own_watts: Any = 2.5, kind: str = "repeater", **keys: Any) -> Part:
    """A pass-through box with a transceiver."""
    return Part(_sheet(kind, {"speeds_mbps": [100, 1000]}, keys, own_watts=own_watts))


def regenerating(
    own_watts: Any = 2, out_volts: Any = 54, efficiency: Any = 0.9, kind: str = "repeater", **keys
) -> Part:
    """A box that makes its own volts for what is behind it."""
    return active(
        own_watts,
        kind,
        power="regenerating",
        out_volts=quantity(out_volts),
        efficiency=quantity(efficiency),
        **keys,
    )


def arrestor(ohms_per_conductor: Any = 0.2, **keys: Any) -> Part:
    """A bonded arrestor whose line side is met first."""
    sheet = _sheet("arrestor", {}, keys, ohms_per_conductor=ohms_per_conductor)
    return Part(sheet, {"bond": {"to": "EB", "lead_m": 0.3}})


def joint(ohms_per_conductor: Any = 0.02, **keys: Any) -> Part:
    """A joint."""
    return Part(_sheet("joint", {}, keys, ohms_per_conductor=ohms_per_conductor))


def with_keys(part: Part, **keys: Any) -> Part:
    """The same part with keys of its own on the box (``pairs``, ``bond``)."""
    return Part(part.sheet, {**part.keys, **keys}, part.turned)


def turned(part: Part) -> Part:
    """The same part the other way round."""
    return Part(part.sheet, part.keys, not part.turned)


def _sheet(kind: str, usual: Mapping, keys: Mapping, **quantities: Any) -> dict[str, Any]:
    said = {name.rstrip("_"): value for name, value in keys.items()}
    return {"kind": kind, **usual, **{n: quantity(q) for n, q in quantities.items()}, **said}


# ---------------------------------------------------------------- parts in a row


def chain(*parts: Any, ambient_c: Any = 20) -> dict[str, Any]:
    """The document of parts in a row, from the feed outwards.

    Boxes and runs alternate; two boxes side by side are joined by no cable and refused.
    A list of chains in last place are the branches behind a splitter. Boxes are called by
    the letter of their kind and a count (``S1``, ``L1``, ``L2``), spans ``C1``, ``C2``.
    """
    doc = {
        "format": "farend-job/1",
        "id": "TRIAL",
        "title": "Trial",
        "site": {"name": "Bench", "ambient_c": quantity(ambient_c)},
        "stops": {"post": {"at_m": 0, "indoor": True}},
        "earths": {"EB": {"stop": "post"}},
        "sheets": {},
        "boxes": [],
        "spans": [],
        "log": [],
    }
    _hang(doc, None, parts)
    return doc


def beside(doc: dict[str, Any], *parts: Any) -> dict[str, Any]:
    """The document with one more run in it, with a feed of its own; boxes are counted on."""
    _hang(doc, None, parts)
    return doc


def at_stops(doc: dict[str, Any], metres: Iterable[float]) -> dict[str, Any]:
    """The document with every box at a stop of its own, so far from the first."""
    for number, (box, at) in enumerate(zip(doc["boxes"], metres, strict=True)):
        box["stop"] = f"stop-{number}"
        doc["stops"][box["stop"]] = {"at_m": at, "indoor": True}
    return doc


def _hang(doc: dict, behind: str | None, parts: Iterable[Any]) -> None:
    cable: Run | None = None
    for part in parts:
        if isinstance(part, list):
            box = behind.partition(".")[0]
            for number, branch in enumerate(part, start=1):
                _hang(doc, f"{box}.out{number}", branch)
        elif isinstance(part, Run):
            assert cable is None, "two runs without a box between them"
            cable = part
        else:
            name = _add_box(doc, part)
            first, second = part.doors
            if behind is not None:
                assert cable is not None, "two boxes without a run between them"
                _add_span(doc, cable, behind, f"{name}.{first}")
            behind, cable = f"{name}.{second}", None


def _add_box(doc: dict, part: Part) -> str:
    letter = LETTER[part.sheet["kind"]]
    name = f"{letter}{1 + sum(box['id'].startswith(letter) for box in doc['boxes'])}"
    doc["sheets"][f"my.{name}"] = deepcopy(dict(part.sheet))
    doc["boxes"].append({"id": name, "sheet": f"my.{name}", "stop": "post", **part.keys})
    return name


def _add_span(doc: dict, cable: Run, start: str, end: str) -> None:
    name = f"C{len(doc['spans']) + 1}"
    doc["sheets"][f"my.{name}"] = deepcopy(dict(cable.cable))
    length = quantity(cable.length_m)
    row = {"id": name, "from": start, "to": end, "cable": f"my.{name}", "length_m": length}
    doc["spans"].append({**row, **cable.keys})


# ---------------------------------------------------------------- random jobs


def random_job(seed: int, boxes: int | None = None) -> dict[str, Any]:
    """A job of any shape the format knows, the same for the same seed.

    Trees behind splitters, pass-through and regenerating boxes, arrestors, joints,
    injector feeds, two and four pairs, droop, bands and bare numbers. Loads are modest:
    such a job is expected to run at its worst corner too. ``boxes`` is the count of
    boxes that draw power, 2 to 6 unless given.
    """
    rng = Random(seed)
    feed_keys = {"pairs": rng.choice((2, 4, 4)), "ohms": _wide(rng, 0.05, 0.4)}
    feed = rng.choice((source, source, injector))(_near(rng, 55, 0.01), **feed_keys)
    head = (
        [source(), run(rng.uniform(1, 40)), feed] if "injector" in feed.sheet.values() else [feed]
    )
    limb = _limb(rng, boxes or rng.randint(2, 6))
    return chain(*head, *limb, ambient_c=band(rng.uniform(-20, 0), 15, rng.uniform(25, 50)))


def _limb(rng: Random, left: int) -> list[Any]:
    """Everything behind an active port: cable, passive things, and the next active boxes."""
    parts: list[Any] = [_random_run(rng, rng.choice((2, 4, 4, 4, 4)))]
    for passive in rng.sample((arrestor, joint), rng.choice((0, 0, 1, 2))):
        part = passive(_wide(rng, 0.01, 0.4))
        parts += [turned(part) if rng.random() < 0.5 else part, _random_run(rng)]
    if left <= 1:
        return [*parts, endpoint(_random_watts(rng))]
    if left >= 3 and rng.random() < 0.4:
        here = rng.randint(1, left - 2)
        branches = [_limb(rng, here), _limb(rng, left - 1 - here)]
        return [*parts, _random_active(rng, "splitter"), branches]
    return [
        *parts,
        _random_active(rng, rng.choice(("repeater", "long-span"))),
        *_limb(rng, left - 1),
    ]


def _random_active(rng: Random, kind: str) -> Part:
    own = rng.choice((_wide(rng, 0.5, 2.5), Bare(rng.uniform(0.5, 2.0)), 0))
    if rng.random() < 0.3:
        keys = {"pairs_out": rng.choice((2, 4))} if rng.random() < 0.5 else {}
        out_volts = rng.choice((Bare(54), _near(rng, 53, 0.02)))
        return regenerating(own, out_volts, band(0.82, 0.87, 0.92), kind, **keys)
    part = active(own, kind, ohms_per_conductor=quantity(_wide(rng, 0, 0.3)))
    return with_keys(part, pairs=2) if rng.random() < 0.1 else part


def _random_watts(rng: Random) -> Any:
    return rng.choice((_wide(rng, 1.0, 4.0), Bare(rng.uniform(1, 5)), rng.uniform(1, 4)))


def _random_run(rng: Random, pairs: int = 4) -> Run:
    cable = rng.choice(
        (
            {"kind": "cable", "ohms_per_km": quantity(_near(rng, 70, 0.08))},
            {"kind": "cable", "ohms_per_km": rng.uniform(60, 90), "alpha_per_k": 0.0039},
            {"kind": "cable", "ohms_per_km": rng.uniform(60, 90), "material": "aluminium"},
            {"kind": "cable", "ohms_per_km": rng.uniform(60, 90), "material": "clad"},
        )
    )
    keys: dict[str, Any] = {"pairs": pairs}
    if rng.random() < 0.5:
        keys["end_ohms"] = quantity(_wide(rng, 0, 0.2))
    if rng.random() < 0.3:
        keys["ambient_c"] = band(5, 20, 45)
    return run(rng.choice((Bare(rng.uniform(2, 90)), rng.uniform(2, 90))), cable=cable, **keys)


def _near(rng: Random, value: float, share: float) -> dict[str, float]:
    reach = value * rng.uniform(0, share)
    return band(value - reach, value, value + reach)


def _wide(rng: Random, least: float, most: float) -> dict[str, float]:
    return band(*sorted(rng.uniform(least, most) for _ in range(3)))


def with_lost_sets(doc: Mapping[str, Any], seed: int) -> dict[str, Any]:
    """The same job with two-pair spans anywhere, some joints joining the sets of pairs.

    Unlike in ``random_job``, pairs may end in the middle of a way between two joining places.
    """
    rng = Random(seed)
    doc = deepcopy(dict(doc))
    for span in doc["spans"]:
        if rng.random() < 0.3:
            span["pairs"] = 2
    for box in doc["boxes"]:
        if doc["sheets"][box["sheet"]]["kind"] == "joint" and rng.random() < 0.5:
            box["joins_pairs"] = True
    return doc


def with_bundles(doc: Mapping[str, Any], seed: int) -> dict[str, Any]:
    """The same job with some spans in bundles of powered cables, which warm themselves."""
    rng = Random(seed)
    doc = deepcopy(dict(doc))
    for span in doc["spans"]:
        if rng.random() < 0.6:
            span["bundle"] = rng.choice((1, 100, 400, 1000))
    return doc


def large_tree(seed: int, boxes: int) -> dict[str, Any]:
    """One source and a tree of this many boxes: about two points a box, some 15 W in all.

    Each box hangs behind one of the ten added before it, so the tree is deep as well as
    wide; those with something behind them are splitters, the others endpoints.
    """
    rng = Random(seed)
    hangs_on = [rng.randrange(max(0, i - 10), i) for i in range(1, boxes)]
    doc = chain(source(_near(rng, 55, 0.01), ohms=0.1))
    watts = 15 / boxes
    names = []
    for i in range(boxes):
        inner = i in hangs_on
        part = active(watts, "splitter", ohms_per_conductor=0.01) if inner else endpoint(watts)
        names.append(_add_box(doc, part))
    outs = [0] * boxes
    metres = 1500 / boxes
    for i, name in enumerate(names):
        cable = run(rng.uniform(metres, 3 * metres), pairs=4 if rng.random() < 0.97 else 2)
        above = hangs_on[i - 1] if i else 0
        outs[above] += 1 if i else 0
        start = f"{names[above]}.out{outs[above]}" if i else "S1.out"
        _add_span(doc, cable, start, f"{name}.in")
    return doc


def sheets_of(doc: Mapping[str, Any], *kinds: str) -> list[dict[str, Any]]:
    """The sheets of these kinds, to be changed in place."""
    return [sheet for sheet in doc["sheets"].values() if sheet["kind"] in kinds]


# ---------------------------------------------------------------- a document by the contract

SPREADS = {
    "volts": (0.98, 1.02),
    "out_volts": (0.98, 1.02),
    "ohms_per_km": (0.95, 1.05),
    "length_m": (0.98, 1.02),
    "own_watts": (0.8, 1.2),
    "ohms_per_conductor": (0.8, 1.2),
    "ohms": (0.8, 1.2),
    "watts": (0.5, 0.8, 1.0),
}
"""what a bare number means: its shares at low (, expected) and high; job format, section 2"""
ALPHA20 = {"copper": 0.00393, "aluminium": 0.00403, "clad": 0.0040}
"""per kelvin at 20 °C; values-cable 1"""
QUANTITIES = (*SPREADS, "ambient_c", "efficiency", "end_ohms")
"""the keys that may hold low, expected and high"""


def number(thing: Mapping[str, Any], key: str, corner: str) -> float:
    """A quantity of a sheet or span at a corner of *its own*; 0 where it is missing."""
    value = thing.get(key, 0)
    if isinstance(value, dict):
        return value[corner]
    shares = SPREADS.get(key, (1, 1))
    low, expected, high = shares if len(shares) == 3 else (shares[0], 1, shares[1])
    return value * {"low": low, "expected": expected, "high": high}[corner]


def with_quantities(
    doc: Mapping[str, Any], pick: Callable[[str, float, float, float], float]
) -> dict[str, Any]:
    """The same job with every quantity exact: ``pick`` of its key, low, expected and high."""
    doc = deepcopy(dict(doc))
    for thing in (doc["site"], *doc["sheets"].values(), *doc["spans"]):
        for key in thing.keys() & set(QUANTITIES):
            thing[key] = exact(pick(key, *(number(thing, key, corner) for corner in CORNERS)))
    return doc


@dataclass(frozen=True)
class Edge:
    """What lies between two points: a span or a box, and the pairs that carry power there."""

    above: str
    below: str
    thing: Mapping[str, Any]
    pairs: int


@dataclass(frozen=True)
class Feed:
    """A point where power starts, and all that hangs on it, nearest first."""

    point: str
    sheet: Mapping[str, Any]
    edges: tuple[Edge, ...]
    drawn: tuple[tuple[str, Mapping[str, Any]], ...]
    """the points where a box draws its own watts, with its sheet"""


def walk(doc: Mapping[str, Any]) -> list[Feed]:
    """The feeds of a document, by job format section 1; for jobs without findings of feeding.

    A feed that a regenerating box makes comes after the one in front of it.
    """
    boxes = {box["id"]: box for box in doc["boxes"]}
    plugged = {span[end]: span for span in doc["spans"] for end in ("from", "to")}
    feeds = []
    waiting = [
        (f"{name}.out", min(4, _pairs(doc, box)))
        for name, box in boxes.items()
        if doc["sheets"][box["sheet"]]["kind"] in ("source", "injector")
    ]
    while waiting:
        feed, pairs = waiting.pop(0)
        edges: list[Edge] = []
        drawn: list[tuple[str, Mapping]] = []
        fronts = [(feed, pairs)]
        while fronts:
            point, pairs = fronts.pop(0)
            span = plugged.get(point)
            if span is None:
                continue
            entry = span["to"] if span["from"] == point else span["from"]
            cable = doc["sheets"][span["cable"]]
            pairs = min(pairs, span.get("pairs", 4), cable.get("pairs", 4))
            edges.append(Edge(point, entry, span, pairs))
            name, _, port = entry.partition(".")
            sheet = doc["sheets"][boxes[name]["sheet"]]
            if sheet["kind"] in ACTIVE:
                drawn.append((entry, sheet))
            outs = _ports_behind(doc, name, sheet["kind"], port, plugged)
            through = min(pairs, _pairs(doc, boxes[name]))
            if sheet.get("power") == "regenerating":
                fresh = min(_pairs(doc, boxes[name]), sheet.get("pairs_out", pairs))
                waiting += [(out, fresh) for out in outs]
                continue
            edges += [Edge(entry, out, sheet, through) for out in outs]
            fronts += [(out, through) for out in outs]
        sheet = doc["sheets"][boxes[feed.partition(".")[0]]["sheet"]]
        feeds.append(Feed(feed, sheet, tuple(edges), tuple(drawn)))
    return feeds


def _pairs(doc: Mapping[str, Any], box: Mapping[str, Any]) -> int:
    return min(box.get("pairs", 4), doc["sheets"][box["sheet"]].get("pairs", 4))


def _ports_behind(doc, name: str, kind: str, port: str, plugged: Mapping) -> list[str]:
    if kind in ("source", "injector", "endpoint"):
        return []
    if kind == "splitter":
        return sorted(point for point in plugged if point.startswith(f"{name}.out"))
    other = {"line": "kit", "kit": "line", "a": "b", "b": "a", "in": "out", "out": "in"}
    return [f"{name}.{other[port]}"]


def joins(doc: Mapping[str, Any], point: str) -> bool:
    """Whether the sets of pairs meet at this point: where power starts, and in joining boxes."""
    box = next(box for box in doc["boxes"] if box["id"] == point.partition(".")[0])
    sheet = doc["sheets"][box["sheet"]]
    if point.endswith(".out") and sheet["kind"] in ("source", "injector"):
        return True
    said = box.get("joins_pairs", sheet.get("joins_pairs"))
    return sheet["kind"] in ACTIVE if said is None else said


def conductor_ohms(doc: Mapping[str, Any], span: Mapping[str, Any], corner: str) -> float:
    """One conductor of a span at its temperature, without its ends. [ohm]"""
    cable = doc["sheets"][span["cable"]]
    celsius = number(span if "ambient_c" in span else doc["site"], "ambient_c", corner)
    alpha = cable.get("alpha_per_k", ALPHA20[cable.get("material", "copper")])
    cold = number(cable, "ohms_per_km", corner) / 1000 * number(span, "length_m", corner)
    return cold * (1 + alpha * (celsius - 20))


def worse(corner: str) -> str:
    """The corner of ohms and watts that goes with this corner of volts."""
    return {"low": "high", "expected": "expected", "high": "low"}[corner]
