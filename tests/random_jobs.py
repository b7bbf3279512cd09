"""Job documents drawn at random from a seed, and one large tree.

Nothing here imports the engine.
"""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from random import Random
from typing import Any

from jobs import (
    Bare,
    Part,
    Run,
    active,
    add_box,
    add_span,
    arrestor,
    band,
    chain,
    endpoint,
    injector,
    joint,
    quantity,
    regenerating,
    run,
    source,
    turned,
    with_keys,
)


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
        names.append(add_box(doc, part))
    outs = [0] * boxes
    metres = 1500 / boxes
    for i, name in enumerate(names):
        cable = run(rng.uniform(metres, 3 * metres), pairs=4 if rng.random() < 0.97 else 2)
        above = hangs_on[i - 1] if i else 0
        outs[above] += 1 if i else 0
        start = f"{names[above]}.out{outs[above]}" if i else "S1.out"
        add_span(doc, cable, start, f"{name}.in")
    return doc
