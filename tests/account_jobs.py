"""Made-up sites and logs of which accounts are given, so that all that can be said of faults is said."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from attrs import evolve, fields

from engine.diagnose.account import Account, Fault, account
from engine.diagnose.asking import Test, asked_for
from engine.diagnose.candidates import REMAKE
from engine.diagnose.nexttest import NextTest
from engine.job import Point
from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.network import Standing
from engine.practice import ALL, document, made_up
from engine.say import Say

SAMPLES = Path(__file__).parent.parent / "sample_jobs"
WALKED = (
    ("reedbed-hide", "span.high", "C4"),
    ("reedbed-hide", "link.noise", None),
    ("reedbed-hide", "earth.high", None),
    ("reedbed-hide", "box.restart", None),
    ("tide-mill", "port.refused", None),
    ("tide-mill", "load.off", None),
    ("tide-mill", "feed.twice", None),
    ("tide-mill", "reading.typed", None),
    ("orchard-gate", "span.open", None),
    ("orchard-gate", "reading.unit", None),
    ("orchard-gate", "reading.place", None),
    ("orchard-gate", "reading.ac", None),
)
"""a sample, the cause that is hidden in it, and where"""


def sample(name: str) -> dict[str, Any]:
    """A sample job's document."""
    return json.loads((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))


def walked(name: str, cause: str, where: str | None = None, seed: int = 3) -> dict[str, Any]:
    """A sample with the log of a first walk over a site with something hidden in it."""
    doc = {**sample(name), "log": []}
    site = made_up(read_job(doc), cause=cause, where=where, seed=seed)
    return document(site)


def logged(name: str, *bodies: dict[str, Any]) -> dict[str, Any]:
    """A sample with readings of one's own."""
    log = [
        {"id": f"e{n}", "device": "d", "n": n, "what": "reading", "meter": "M1", **body}
        for n, body in enumerate(bodies, start=1)
    ]
    return {**sample(name), "log": log}


def at(point: str, kind: str, value: float | None, **more) -> dict[str, Any]:
    """The body of one reading."""
    body = {"at": point, "kind": kind, **more}
    return body if value is None else {**body, "value": value}


def shared() -> dict[str, Any]:
    """A source that shares its supply with other ports, and gives nothing."""
    doc = logged("orchard-gate", at("S.out", "volts", 0.0), at("S.out", "mbps", 1000))
    doc["budgets"] = {"supply": {"watts": 60, "other_watts": 20}}
    next(box for box in doc["boxes"] if box["id"] == "S")["budget"] = "supply"
    return doc


def came_back() -> dict[str, Any]:
    """A return visit, at which the far end reads lower than on the first."""
    doc = logged("reedbed-hide", *(at(point, "volts", volts) for point, volts in LATER))
    first = [
        {"id": "v1", "device": "d", "n": 90, "what": "visit", "people": 1},
        {"id": "r1", "device": "d", "n": 91, **_body("S.out", 54.0)},
        {"id": "r2", "device": "d", "n": 92, **_body("C.in", 49.0)},
        {"id": "l1", "device": "d", "n": 93, "what": "leave", "by": "Ottar", "open": []},
        {"id": "v2", "device": "d", "n": 94, "what": "visit", "people": 1},
    ]
    later = [{**entry, "n": 100 + n} for n, entry in enumerate(doc["log"])]
    return {**doc, "log": [*first, *later]}


LATER = (
    ("S.out", 54.0),
    ("L1.out", 53.9),
    ("L1.in", 53.7),
    ("L2.in", 44.0),
    ("L2.out", 43.9),
    ("C.in", 43.6),
)


def _body(point: str, volts: float) -> dict[str, Any]:
    return {"what": "reading", "meter": "M1", **at(point, "volts", volts)}


def two_at_once() -> dict[str, Any]:
    """Two things wrong in two places: a span laid longer than its plan, a box that draws too much."""
    longer = {**sample("tide-mill"), "log": []}
    spans = [dict(span) for span in longer["spans"]]
    next(span for span in spans if span["id"] == "C2")["length_m"] *= 1.3
    site = made_up(read_job({**longer, "spans": spans}), cause="box.heavy", where="R2", seed=1)
    return {**longer, "log": document(site)["log"]}


def volts_alone() -> dict[str, Any]:
    """A walk with a voltmeter and nothing else: the next test takes a known load."""
    doc = walked("tide-mill", "box.no-pass", None, 1)
    log = [one for one in doc["log"] if one["what"] != "reading" or one["kind"] == "volts"]
    return {**doc, "log": log}


def uneven() -> dict[str, Any]:
    """A loop whose pairs stand apart, and nothing else."""
    pairs = {"1": 13.1, "2": 13.3, "3": 26.0, "4": 13.2}
    return logged("orchard-gate", at("C2", "loop_ohms", None, pairs=pairs))


def own_logs() -> Iterator[dict[str, Any]]:
    """What no walk brings: pairs, earths, known loads, figures that are absurd together."""
    yield sample("orchard-gate")
    yield {**sample("tide-mill"), "log": []}
    yield shared()
    yield came_back()
    yield two_at_once()
    yield volts_alone()
    yield uneven()
    pairs = {"1": 13.1, "2": 13.3, "3": 26.0, "4": 1e6}
    yield logged(
        "reedbed-hide",
        at("S.out", "volts", 54.0),
        at("C4", "loop_ohms", None, pairs=pairs),
        at("C4", "metres", 256),
        at("EB1", "earth_ohms", 400),
        at("C4", "unbalance_ohms", 1.4),
        at("C.in", "volts", 60.0, **{"with": {"C": "off"}}),
        at("C.in", "volts", 51.0, **{"with": {"C": {"watts": 15}}}),
        at("L2.in", "error_count", 900, seconds=60),
    )
    yield logged("tide-mill", at("S.out", "volts", 54), at("R1.in", "volts", 5400))
    yield logged(
        "orchard-gate",
        at("S.out", "volts", 12.0),
        at("R1.in", "volts", 49.0),
        at("E.in", "volts", 50.5),
        at("E.in", "milliamps", 900),
        at("S.out", "milliamps", 30),
    )
    yield logged(
        "orchard-gate",
        at("S.out", "volts", 53.5),
        at("R1.in", "volts", 52.6),
        at("R1.out", "volts", 52.5),
        at("E.in", "volts", 51.0),
        at("C2", "metres", 92.0, moment="marks"),
        at("C1", "loop_ohms", 90.0),
    )


@cache
def judged() -> tuple[Judgement, ...]:
    """All of these, judged."""
    docs = [walked(*row) for row in WALKED]
    return tuple(judge(read_job(doc)) for doc in (*docs, *own_logs()))


@cache
def accounts() -> tuple[Account, ...]:
    """What their diagnoses come to."""
    return tuple(account(one) for one in judged())


def said_of(one: Account) -> Iterator[Say]:
    """All that an account says."""
    for fault in one.faults:
        yield from (say for say in (fault.say, fault.do, fault.look, fault.sure) if say)
        yield from (evidence.say for evidence in fault.because)
    yield from one.unseen
    if one.doubt is not None:
        yield one.doubt
    if one.next_test is not None:
        yield from (one.next_test.say, one.next_test.why, *one.next_test.cautions)


def every_test() -> Iterator[Test]:
    """Every kind of test, asked for of one site, whichever of them would tell most there."""
    judgement, told = next(
        (one, its) for one, its in zip(judged(), accounts(), strict=True) if its.next_test
    )
    own = {one.name: getattr(told.next_test, one.name) for one in fields(NextTest)}
    job = judgement.state.job
    span, end = (
        next(iter(job.spans)),
        next(b.id for b in job.boxes.values() if b.kind == "endpoint"),
    )
    feed = str(judgement.prediction.study.network.trees[0].feed)
    plain, off = Standing(), Standing(off=frozenset({end}))
    known = Standing(known={end: 15.0})
    for place, kind, standing in (
        (f"{end}.in", "volts", plain),
        (f"{end}.in", "volts", off),
        (f"{end}.in", "volts", known),
        (f"{end}.in", "mbps", plain),
        (f"{end}.in", REMAKE, plain),
        (feed, "volts", Standing(beyond=Point.parse(feed))),
        (span, "loop_ohms", plain),
        (span, "metres", plain),
    ):
        same = tuple(evolve(one, mean=1.0) for one in own["foretold"])
        test = NextTest(**{**own, "at": place, "kind": kind, "standing": standing})
        yield asked_for(judgement, told.diagnosis, test, None)
        yield asked_for(judgement, told.diagnosis, evolve(test, foretold=same), None)


MOST_ALIKE = 12


@cache
def accounts_said() -> tuple[Say, ...]:
    """What these accounts say, of each code the first few that differ."""
    found: dict[str, dict[str, Say]] = {}
    tests = [said for one in every_test() for said in (one.say, one.why, *one.cautions)]
    for told in (*(say for one in accounts() for say in said_of(one)), *tests):
        alike = found.setdefault(told.code, {})
        if len(alike) < MOST_ALIKE:
            alike.setdefault(repr(told), told)
    return tuple(told for alike in found.values() for told in alike.values())


@cache
def hidden(name: str, cause: str, where: str | None, seed: int, *more: str) -> tuple:
    """A made-up site with a known truth: its judgement, its account, the truth."""
    site = made_up(read_job({**sample(name), "log": []}), cause=cause, where=where, seed=seed)
    one = judge(read_job(document(site, (*ALL, *more))))
    return one, account(one), site.truth


def told(name: str, cause: str, where: str | None = None, seed: int = 3, *more: str) -> Account:
    return hidden(name, cause, where, seed, *more)[1]


def fault_of(one: Account, cause: str, where: str | None = None) -> Fault:
    return next(f for f in one.faults if f.cause == cause and where in (None, f.where))


def account_of(doc: dict[str, Any], **more) -> Account:
    return account(judge(read_job(doc)), **more)
