"""Small plans of every shape, their steps, and what a log of them says."""

from __future__ import annotations

import random
from functools import cache

from random_jobs import random_job
from samples import NAMES, planned

from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.phrases import english
from engine.step import Step


def judged(doc: dict) -> Judgement:
    return judge(read_job(doc))


def steps(doc: dict) -> list[Step]:
    return list(judged(doc).steps)


def by_id(doc: dict) -> dict[str, Step]:
    return {step.id: step for step in steps(doc)}


def words(step: Step) -> str:
    phrase = english(step.say)
    return f"{phrase.text} {phrase.why}"


SHEETS = {
    "source": {"kind": "source", "volts": 54, "watts_max": 90, "speeds_mbps": [100, 1000]},
    "injector": {"kind": "injector", "volts": 54, "grants": "always"},
    "repeater": {"kind": "repeater", "own_watts": 1, "class": 6, "speeds_mbps": [100, 1000]},
    "anew": {
        "kind": "repeater",
        "power": "regenerating",
        "own_watts": 1,
        "out_volts": 54,
        "class": 6,
        "speeds_mbps": [1000],
    },
    "long": {
        "kind": "long-span",
        "own_watts": 1,
        "class": 6,
        "speeds_mbps": [1000],
        "ports": {"in": {"faces": "long-span"}, "out": {"faces": "equipment"}},
    },
    "arrestor": {"kind": "arrestor"},
    "joint": {"kind": "joint"},
    "splitter": {"kind": "splitter", "own_watts": 1, "class": 6, "speeds_mbps": [100, 1000]},
    "lamp": {"kind": "endpoint", "watts": 4, "class": 2, "speeds_mbps": [100, 1000]},
    "braided": {
        "kind": "cable",
        "category": "6",
        "material": "copper",
        "awg": 23,
        "screened": True,
    },
}
BOXES = {name: sheet for name, sheet in SHEETS.items() if sheet["kind"] != "cable"}
ENDS = {
    "injector": ("in", "out"),
    "repeater": ("in", "out"),
    "anew": ("in", "out"),
    "long": ("in", "out"),
    "arrestor": ("line", "kit"),
    "joint": ("a", "b"),
    "splitter": ("in", "out1"),
}


def plan(seed: int) -> dict:
    """A small plan: a chain of boxes, some the other way round, with branches and some loose ends."""
    dice = random.Random(seed)
    stops = {f"s{n}": {"at_m": 0 if n == 0 else 40 * n + dice.randrange(3)} for n in range(4)}
    for stop in stops.values():
        stop["indoor"] = dice.random() < 0.4
        if dice.random() < 0.5:
            stop["building"] = dice.choice(["barn", "mill"])
        if dice.random() < 0.3:
            stop["needs"] = ["ladder"]
    earths = {f"EB{n}": {"stop": f"s{n}"} for n in range(4)}
    boxes = [{"id": "S", "sheet": "source", "stop": "s0"}]
    spans: list[dict] = []
    open_ports = ["S.out"]

    def join(a: str, b: str) -> None:
        ends = (a, b) if dice.random() < 0.5 else (b, a)
        spans.append(
            {
                "id": f"C{len(spans)}",
                "from": ends[0],
                "to": ends[1],
                "cable": dice.choice(["generic.cat6-outdoor", "braided"]),
                "length_m": dice.choice([2, 30, 90]),
            }
        )

    place = 0
    for n in range(dice.randrange(0, 6)):
        kind = dice.choice(sorted(ENDS))
        place = min(3, place + dice.randrange(2))
        box = {"id": f"B{n}", "sheet": kind, "stop": f"s{place}"}
        if kind == "arrestor" and dice.random() < 0.8:
            box["bond"] = {"to": f"EB{place}", "lead_m": 0.4}
        near, far = ENDS[kind]
        if kind != "splitter" and dice.random() < 0.4:
            near, far = far, near
        boxes.append(box)
        join(open_ports.pop(0), f"B{n}.{near}")
        open_ports.append(f"B{n}.{far}")
        if kind == "splitter":
            open_ports.append(f"B{n}.out2")
    for n, port in enumerate(open_ports):
        if dice.random() < 0.9:
            boxes.append({"id": f"E{n}", "sheet": "lamp", "stop": f"s{min(3, place + n)}"})
            join(port, f"E{n}.in")
    if dice.random() < 0.2:
        boxes.append({"id": "LOOSE", "sheet": "lamp", "stop": "s1"})
    dice.shuffle(boxes)
    return {
        "format": "farend-job/1",
        "id": f"PLAN-{seed}",
        "title": "Made up",
        "site": {"name": "Nowhere", "ambient_c": 10},
        "stops": stops,
        "earths": earths,
        "sheets": SHEETS,
        "boxes": boxes,
        "spans": spans,
    }


@cache
def plans() -> tuple[tuple[dict, Judgement], ...]:
    docs = [*(planned(name) for name in NAMES), *(plan(seed) for seed in range(300))]
    return tuple((doc, judged(doc)) for doc in docs)


def fed_twice(one: Judgement) -> bool:
    """Where two feeds meet there is no outwards; the finding stops the job."""
    return bool(one.prediction.study.network.twice)


def rests(one: Judgement, name: str) -> set[str]:
    """All that a step rests on, and what that rests on."""
    after = {step.id: step.after for step in one.steps}
    found, waiting = set(), [name]
    while waiting:
        for before in after[waiting.pop()]:
            if before not in found:
                found.add(before)
                waiting.append(before)
    return found


def of_kind(one: Judgement, *kinds: str) -> set[str]:
    return {step.id for step in one.steps if step.kind in kinds}


@cache
def random_plans() -> tuple[Judgement, ...]:
    return tuple(judged(random_job(seed)) for seed in range(500))


def plans_only() -> tuple[Judgement, ...]:
    return tuple(one for _, one in plans())


def after(doc: dict, *bodies: dict) -> dict[str, Step]:
    log = [
        {"id": f"e{n}", "device": "d", "n": n, "by": "Ida", **b} for n, b in enumerate(bodies, 1)
    ]
    return by_id({**doc, "log": log})


def photo(of: str) -> dict:
    return {"what": "photo", "of": of, "sha256": "ab" * 32}


def tick(step: str, state: str = "done") -> dict:
    return {"what": "step", "step": step, "state": state}


def read(at: str, kind: str, value: float) -> dict:
    return {"what": "reading", "at": at, "kind": kind, "value": value, "meter": "M1"}
