"""What can be tried of a thing: a table of values of the job format, and the edits that set them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from engine.advise.ground import Ground
from engine.advise.limits import FARTHEST_M, HOTTEST_C, MOST_WATTS
from engine.edits import GONE, value_at
from engine.format import PLAN, SHEET_KEYS
from engine.job import Job
from engine.planning import Edit
from engine.sheets import AS_TYPED
from fieldapp.sheetquestions import kind_at, limits_of
from fieldapp.words.units import LENGTH, per, shown

SITE = "site"
"""the thing of a trial that is about the place itself"""
GAUGE = "gauge"
"""the one value that is chosen, not moved"""
SPAN = frozenset({"span"})
FEEDS = frozenset({"source", "injector"})
ACTIVE = frozenset({"repeater", "long-span", "splitter"})


@dataclass(frozen=True)
class Knob:
    """A value that can be tried.

    ``of`` are the kinds of thing that have it, ``key`` is its name in the job format and in the
    nouns; of a band ``figure`` is moved and the other two keep their share. ``worse`` is the
    way in which a plan stops holding. ``low`` and ``high`` are where the search ends and, of a
    ``window``, the ends of the ruler (a choice).
    """

    name: str
    of: frozenset[str]
    key: str
    kind: str
    figure: str
    worse: int
    step: float
    low: float
    high: float
    window: bool = False
    keeps_others: bool = False
    """the band's other figures stay where they are: a hotter day is no warmer night"""

    @property
    def in_steps(self) -> Knob:
        """As it is moved: one step is one of the units it is shown in, a foot where that is so."""
        return replace(self, step=self.step / per(self.kind))

    @property
    def as_shown(self) -> Knob:
        """With all its figures in the unit it is shown in, as its ruler has them."""
        return replace(self, low=shown(self.low, self.kind), high=shown(self.high, self.kind))


KNOBS = (
    Knob("length", SPAN, "length_m", LENGTH, "expected", 1, 1, 0, FARTHEST_M),
    Knob("load", frozenset({"endpoint"}), "watts", "watts", "high", 1, 0.5, 0, MOST_WATTS),
    Knob("volts", FEEDS, "volts", "volts", "expected", -1, 0.1, 30, 60, window=True),
    Knob("most", FEEDS, "watts_max", "watts", "expected", -1, 1, 0, MOST_WATTS),
    Knob("own", ACTIVE, "own_watts", "watts", "expected", 1, 0.1, 0, MOST_WATTS),
    Knob("out-volts", ACTIVE, "out_volts", "volts", "expected", -1, 0.1, 30, 60, window=True),
    Knob("out-most", ACTIVE, "out_watts_max", "watts", "expected", -1, 1, 0, MOST_WATTS),
    Knob(
        "cutoff",
        ACTIVE | {"endpoint"},
        "cutoff_volts",
        "volts",
        "expected",
        1,
        0.5,
        20,
        57,
        window=True,
    ),
    Knob(
        "heat", SPAN, "ambient_c", "celsius", "high", 1, 1, 0, HOTTEST_C, window=True,
        keeps_others=True,
    ),
    Knob(
        "hottest", frozenset({SITE}), "ambient_c", "celsius", "high", 1, 1, 0, HOTTEST_C,
        window=True, keeps_others=True,
    ),
    Knob(
        "indoors", frozenset({SITE}), "indoor_c", "celsius", "high", 1, 1, 0, HOTTEST_C,
        window=True, keeps_others=True,
    ),
)  # fmt: skip
"""all that can be tried, in the order in which it is offered"""


def _owner(job: Job, thing: str) -> tuple[str, Any] | None:
    """The kind of a thing, and the noun that has its values: a box's are on its sheet."""
    if thing in job.spans:
        return "span", job.spans[thing]
    if thing in job.boxes:
        return job.boxes[thing].kind, job.boxes[thing].sheet
    return (SITE, job.site) if thing == SITE else None


def _owned(job: Job, thing: str) -> tuple[str, Any]:
    """The same of a thing that is there."""
    owner = _owner(job, thing)
    assert owner is not None
    return owner


def offered(job: Job, thing: str) -> tuple[Knob, ...]:
    """What can be tried of a thing: of its kind, and with a value in this plan."""
    owner = _owner(job, thing)
    if owner is None:
        return ()
    kind, noun = owner
    here = [knob for knob in KNOBS if kind in knob.of and getattr(noun, knob.key) is not None]
    made_anew = kind not in ACTIVE or noun.regenerates
    return tuple(knob for knob in here if made_anew or not knob.key.startswith("out_"))


def has_gauge(job: Job, thing: str) -> bool:
    """Whether the thing is a span whose cable's gauge is known."""
    return thing in job.spans and job.spans[thing].cable.awg is not None


def now_of(job: Job, knob: Knob, thing: str) -> float:
    """The plan's value."""
    value = getattr(_owned(job, thing)[1], knob.key)
    return float(getattr(value, knob.figure, value))


def allowed(job: Job, knob: Knob, thing: str) -> tuple[float, float]:
    """The least and the most that the job format takes."""
    kind = _owned(job, thing)[0]
    if kind == SITE:
        held = kind_at(PLAN, (SITE, knob.key))
    elif kind == "span":
        held = kind_at(PLAN, ("spans", thing, knob.key))
    else:
        held = SHEET_KEYS[kind][knob.key].kind
    return limits_of(held)


def alike(job: Job, thing: str) -> tuple[str, ...]:
    """The boxes that have the sheet of this one: a value of it is theirs too."""
    box = job.boxes.get(thing)
    if box is None:
        return ()
    return tuple(one.id for one in job.boxes.values() if one.sheet.id == box.sheet.id)


# ---------------------------------------------------------------- the edits of a trial


def edits_of(
    ground: Ground, knob: Knob, thing: str, value: float, as_: str = "correction"
) -> tuple[Edit, ...]:
    """The entries that make the plan so. A value of a starter sheet brings the sheet along."""
    doc, job = ground.doc, ground.job
    edits: tuple[Edit, ...] = ()
    path: tuple[str, ...]
    if thing in job.spans:
        path = ("spans", thing, knob.key)
    elif thing not in job.boxes:
        path = (SITE, knob.key)
    else:
        sheet = job.boxes[thing].sheet.id
        path = ("sheets", sheet, knob.key)
        if sheet not in doc.get("sheets", {}):
            body = dict(AS_TYPED[sheet])
            edits = ({"what": "add", "path": ["sheets", sheet], "value": body, "as": as_},)
            doc = {**doc, "sheets": {**doc.get("sheets", {}), sheet: body}}
    stands = value_at(doc, path)
    moved = _moved(knob, stands, now_of(job, knob, thing), value)
    was = {} if stands is GONE else {"was": stands}
    return (*edits, {"what": "set", "path": list(path), "value": moved, **was, "as": as_})


def _moved(knob: Knob, stands: Any, now: float, value: float) -> Any:
    """What is written for a value: a band keeps its shape, or only the one figure moves."""
    if stands is GONE or not isinstance(stands, Mapping):
        return value
    if knob.keeps_others:
        return {
            key: value if key == knob.figure else min(one, value) for key, one in stands.items()
        }
    if not now:
        return value
    scaled = {key: round(one * value / now, 6) for key, one in stands.items()}
    return {**scaled, knob.figure: value}
