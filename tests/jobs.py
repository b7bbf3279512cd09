"""Job documents for tests: parts put in a row.

Nothing here imports the engine. ``chain`` makes a document out of parts; a number given
to a part is exact, a mapping is kept as it is, and ``Bare`` leaves a number bare so that
the default tolerance of its kind applies.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from copy import deepcopy
from dataclasses import dataclass, field
from typing import Any


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
            name = add_box(doc, part)
            first, second = part.doors
            if behind is not None:
                assert cable is not None, "two boxes without a run between them"
                add_span(doc, cable, behind, f"{name}.{first}")
            behind, cable = f"{name}.{second}", None


def add_box(doc: dict, part: Part) -> str:
    letter = LETTER[part.sheet["kind"]]
    name = f"{letter}{1 + sum(box['id'].startswith(letter) for box in doc['boxes'])}"
    doc["sheets"][f"my.{name}"] = deepcopy(dict(part.sheet))
    doc["boxes"].append({"id": name, "sheet": f"my.{name}", "stop": "post", **part.keys})
    return name


def add_span(doc: dict, cable: Run, start: str, end: str) -> None:
    name = f"C{len(doc['spans']) + 1}"
    doc["sheets"][f"my.{name}"] = deepcopy(dict(cable.cable))
    length = quantity(cable.length_m)
    row = {"id": name, "from": start, "to": end, "cable": f"my.{name}", "length_m": length}
    doc["spans"].append({**row, **cable.keys})


def sheets_of(doc: Mapping[str, Any], *kinds: str) -> list[dict[str, Any]]:
    """The sheets of these kinds, to be changed in place."""
    return [sheet for sheet in doc["sheets"].values() if sheet["kind"] in kinds]
