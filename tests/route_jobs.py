"""Jobs and steps for the tests of the order of the work: samples, derived ones, made-up ones."""

from __future__ import annotations

import json
from collections.abc import Iterable
from functools import cache
from itertools import pairwise
from pathlib import Path
from random import Random

from attrs import evolve
from jobs import active, chain, endpoint, run, source
from random_jobs import random_job

from engine.job import Job
from engine.jobfile import read_job
from engine.judge import judge
from engine.route import Work
from engine.say import say
from engine.step import PARTS, Step
from engine.walks import between

SAMPLES = Path(__file__).parent.parent / "sample_jobs"
NAMES = sorted(path.stem for path in SAMPLES.glob("*.json"))
PACE = 50.0


def spread(doc: dict, seed: int, share: float = 0.6) -> dict:
    """The job along its tree: some spans lead to a new stop, as far away as they are long."""
    rng = Random(seed)
    first = doc["boxes"][0]["id"]
    stops = {"at0": {"at_m": 0, "indoor": True}}
    at = {first: "at0"}
    for span in doc["spans"]:
        near, far = (span[end].partition(".")[0] for end in ("from", "to"))
        at[far] = at[near]
        if rng.random() < share:
            length = span["length_m"]
            metres = length["expected"] if isinstance(length, dict) else length
            at[far] = f"at{len(stops)}"
            stops[at[far]] = {
                "at_m": stops[at[near]]["at_m"] + metres,
                "indoor": rng.random() < 0.5,
            }
    earths = {f"EB{stop}": {"stop": stop} for stop in stops}
    boxes = [{**box, "stop": at[box["id"]]} for box in doc["boxes"]]
    for box in boxes:
        if box["id"].startswith("A"):
            box["bond"] = {"to": f"EB{box['stop']}", "lead_m": 0.4}
    return {**doc, "stops": stops, "earths": earths, "boxes": boxes}


def walk_m(job: Job, steps: Iterable[Step]) -> float:
    """Metres between successive steps, one after the other."""
    return sum(between(job, a.stop, b.stop) for a, b in pairwise(steps))


def work_of(doc: dict) -> tuple[Job, list[Step]]:
    """The job and its steps."""
    one = judge(read_job({**doc, "log": []}))
    return one.state.job, list(one.steps)


@cache
def sample(name: str) -> tuple[Job, list[Step]]:
    return work_of(json.loads((SAMPLES / f"{name}.json").read_text(encoding="utf-8")))


@cache
def derived(count: int = 60) -> tuple[tuple[Job, list[Step]], ...]:
    """Jobs of any shape along their trees, with the steps that their plans call for."""
    return tuple(work_of(spread(random_job(seed), seed)) for seed in range(count))


@cache
def along(*metres: float, walks: tuple = ()) -> Job:
    """A job on one run with a stop at each of these metres, named a, b, c …; S1 feeds it at a."""
    parts: list = [source()]
    for _ in metres[2:]:
        parts += [run(10), active(1)]
    doc = chain(*parts, run(10), endpoint(1))
    stops = {name: {"at_m": m} for name, m in zip("abcdefgh", metres, strict=False)}
    boxes = [{**box, "stop": at} for box, at in zip(doc["boxes"], stops, strict=True)]
    return read_job(
        {
            **doc,
            "stops": stops,
            "earths": {},
            "boxes": boxes,
            "walks": [list(walk) for walk in walks],
        }
    ).plan


def step(name: str, stop: str, minutes: float = 10, power: str = "any", **keys) -> Step:
    """A step of no kind that the rules know, unless its name says so."""
    keys = {"part": "fit", "holds": None, **keys}
    return Step(
        id=name, stop=stop, say=say("step-off", box="S1"), power=power, minutes=minutes, **keys
    )


def names(work: Work) -> list[str]:
    return [one.id for one in work.steps]


def made_up(seed: int) -> tuple[Job, list[Step]]:
    """Up to nine steps at up to seven stops, resting on each other at random."""
    rng = Random(seed)
    count = rng.randint(2, 7)
    job = along(0.0, *sorted(rng.sample(range(10, 600, 10), count - 1)))
    stops, spans = list(job.stops), sorted(job.spans)
    steps: list[Step] = []
    if rng.random() < 0.5:
        steps.append(step("off.S1", "a", 2, part="off"))
    for n in range(rng.randint(3, 7)):
        power = rng.choice(("any", "any", "dead", "dead", "live"))
        part = rng.choice(("pull", "fit", "look", "load", "leave"))
        both = rng.choice(spans) if rng.random() < 0.15 else None
        at = job.boxes[job.spans[both].b.box].stop if both else rng.choice(stops)
        steps.append(
            step(
                f"x.{n}", at, rng.randint(1, 20), power, part=part, span=both, both_ends=bool(both)
            )
        )
    if rng.random() < 0.4:
        steps.append(step("energise.S1", "a", 2, "live", part="power"))
    if rng.random() < 0.2:
        steps.append(step("cold.S1", "a", 6, "live", part="load"))
    steps.sort(key=lambda one: (PARTS.index(one.part), job.stops[one.stop].at_m, one.id))
    for n, one in enumerate(steps):
        before = rng.sample(steps[:n], min(n, rng.choice((0, 0, 1, 1, 2))))
        steps[n] = evolve(one, after=tuple(other.id for other in before))
    return job, steps


def cases(derived_jobs: int = 40, made: int = 460):
    yield from (sample(name) for name in NAMES)
    yield from derived(derived_jobs)
    yield from (made_up(seed) for seed in range(5000, 5000 + made))


def rest(work: Work, done: list[str]) -> list[str]:
    return names(work)[len(done) :]


def rest_of(order: list[str], done: list[str]) -> list[str]:
    return [name for name in order if name not in done]
