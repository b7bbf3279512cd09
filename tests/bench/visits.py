"""A made-up site visited: the walk, what is then named, the tests that are asked for, their minutes.

After each test that the engine asks for, the site's own figure for it goes into the log at a
moment of its own; then everything is judged and diagnosed again. The tests end where the engine
asks for none, or after ``MOST_TESTS``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from random import Random
from time import perf_counter
from typing import Any

from sick_sites import Named, Sick, alike, answers, plan, sick_site, with_of

from engine.diagnose import Diagnosis, diagnosing
from engine.diagnose.candidates import REMAKE
from engine.diagnose.nexttest import NextTest, next_test
from engine.faults import PAIR
from engine.faults.sizes import rate
from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.network import AS_PLANNED, Standing
from engine.practice import ALL, Truth, document, made_up
from engine.predict import finish

MOST_TESTS = 6
SHOWN = 5
"""so many guesses are kept"""
OFF_BY = 3.0
"""by so much every rate is off, up or down, where a row says so"""
MOST_RATE = 0.9
"""no rate becomes more than that"""
NONE = (("none", ""),)


@dataclass(frozen=True)
class Row:
    """One row of the table: which sites, and what is read there."""

    name: str
    plan: str = "line"
    kinds: tuple[str, ...] = ALL
    swing: float = 10.0
    count: int = 1
    """hidden causes of a site; 0 for healthy ones"""
    causes: frozenset[str] | None = None
    known: Mapping[str, float] = field(default_factory=dict)
    """known loads that stand in place of endpoints on the walk [W]"""
    rates_off: bool = False
    tests: int = MOST_TESTS
    thumbs: bool = False
    """whether rules of thumb are asked too"""

    @property
    def standing(self) -> Standing:
        """What stands in place of the plan on the walk."""
        return Standing(known=self.known) if self.known else AS_PLANNED


@dataclass(frozen=True)
class Stage:
    """What was named after so many tests."""

    guesses: tuple[tuple[Named, float], ...]
    """the first ones, a pair of causes as both in one"""
    strict: bool
    right: bool
    one_of: bool
    """of two causes, whether the first guess names one, or both"""
    told_as_one: bool
    """whether it were right if guesses that count for each other were told as one"""
    seconds: float
    test: str = ""
    """the test that was asked for then"""
    minutes: float = 0.0

    @property
    def top(self) -> float:
        """How likely the first guess is said to be."""
        return self.guesses[0][1]


@dataclass(frozen=True)
class Visit:
    """One site and all that was said of it."""

    seed: int
    truths: tuple[Truth, ...]
    shows: bool
    stages: tuple[Stage, ...]
    readings: tuple[str, ...] = ()
    """of a site that was named wrongly: each reading with its z, for a person to read"""
    thumbs: Mapping[str, tuple[bool, bool]] = field(default_factory=dict)
    """by rule of thumb: strict, right"""

    def after(self, tests: int) -> Stage:
        """What is named after so many tests, or after the last one that was asked for."""
        return self.stages[min(tests, len(self.stages) - 1)]

    @property
    def minutes(self) -> float:
        """Walks and work of all tests."""
        return sum(stage.minutes for stage in self.stages)


Thumb = Callable[[Judgement, str], Named]
"""a rule of thumb: from a judgement and the plan's name to a cause and its place"""


def visited(row: Row, seed: int, thumbs: Mapping[str, Thumb] | None = None) -> Visit:
    """One site of a row, from the walk to the last test."""
    file, before = plan(row.plan, row.swing)
    if row.count:
        sick = sick_site(
            file,
            seed,
            kinds=row.kinds,
            swing=row.swing,
            count=row.count,
            standing=row.standing,
            causes=row.causes,
        )
    else:
        site = made_up(file, cause="none", seed=seed, swing=row.swing)
        sick = Sick(site, document(site, row.kinds), (), True)
    named = [answers(truth, sick.log) for truth in sick.truths] or [frozenset(NONE)]
    rates = off_rates(seed) if row.rates_off else rate
    doc = {**sick.doc, "log": list(sick.log)}
    stages: list[Stage] = []
    judged = first = judge(read_job(doc), known=before)
    for _ in range((row.tests if sick.shows else 0) + 1):
        start = perf_counter()
        current = [verdict for verdict in judged.verdicts if verdict.current]
        found = finish(diagnosing(judged.prediction, current, rates=rates))
        test = next_test(found)
        stages.append(_stage(found, named, test, perf_counter() - start))
        if test is None or test.kind == REMAKE:
            # a new plug is the mending itself: nothing more is read of this site
            break
        doc["log"].extend(entries_of(sick, test, doc["log"][-1], len(stages)))
        judged = judge(read_job(doc), known=judged)
    hard = not stages[min(2, len(stages) - 1)].right
    z = tuple(_reading(verdict) for verdict in judged.verdicts) if hard else ()
    ruled = {}
    for name, thumb in (thumbs or {}).items():
        said = thumb(first, row.plan)
        ruled[name] = (_matches([said], named), _matches([alike(said)], _all_alike(named)))
    return Visit(seed, sick.truths, sick.shows, tuple(stages), z, ruled)


def off_rates(seed: int) -> Callable[[str], float]:
    """Rates each of which is three times too high or too low, by the toss of a coin."""

    def rates(cause: str) -> float:
        up = Random(f"{seed} {cause}").random() < 0.5
        return min(rate(cause) * (OFF_BY if up else 1 / OFF_BY), MOST_RATE)

    return rates


def entries_of(sick: Sick, test: NextTest, last: Mapping[str, Any], number: int) -> list[dict]:
    """What is written down of a test: volts always with milliamps."""
    site = sick.site
    moment = f"test-{number}"
    kinds = ("volts", "milliamps") if test.kind == "volts" else (test.kind,)
    taken = datetime.fromisoformat(last["t"]) + timedelta(minutes=round(test.minutes) + 3)
    out = []
    for i, kind in enumerate(kinds):
        shown = site.shown(test.at, kind, None, test.standing, moment)
        page: dict[str, Any] = {
            **{key: last[key] for key in ("device", "by", "seen") if key in last},
            "id": f"{last['id'][:-4]}{number:02x}{i:02x}",
            "t": (taken + timedelta(seconds=20 * i)).strftime("%Y-%m-%dT%H:%M:%SZ"),
            "n": last["n"] + 1 + i,
            "what": "reading",
            "at": test.at,
            "kind": kind,
            "moment": moment,
        }
        meter = site.meter_for(kind)
        page |= {"meter": meter} if meter is not None else {}
        page |= {} if test.standing.as_planned else {"with": with_of(test.standing)}
        page |= {"pairs": dict(shown.pairs)} if shown.pairs else {"value": shown.value}
        page |= {"unsteady": list(shown.unsteady)} if shown.unsteady else {}
        out.append(page)
    return out


# ---------------------------------------------------------------- right or wrong


def _stage(
    found: Diagnosis, named: list[frozenset[Named]], test: NextTest | None, seconds: float
) -> Stage:
    best = found.best
    first = list(best.parts) if best.cause == PAIR else [(best.cause, best.where)]
    guesses = tuple(
        (
            (" and ".join(" ".join(part) for part in one.parts), "")
            if one.parts
            else (one.cause, one.where),
            one.probability,
        )
        for one in found.guesses[:SHOWN]
    )
    same = _all_alike(named)
    return Stage(
        guesses,
        _matches(first, named),
        _matches([alike(one) for one in first], same),
        any(alike(one) in names for one in first for names in same),
        _matches(_first_as_one(found), same),
        seconds,
        _told(test) if test else "",
        test.minutes if test else 0.0,
    )


def _first_as_one(found: Diagnosis) -> list[Named]:
    """The likeliest once guesses that count for each other are added up."""
    added: dict[tuple[Named, ...], float] = {}
    for one in found.guesses:
        parts = one.parts or ((one.cause, one.where),)
        name = tuple(alike(part) for part in parts)
        added[name] = added.get(name, 0.0) + one.probability
    return list(max(added, key=added.get))


def _all_alike(named: list[frozenset[Named]]) -> list[frozenset[Named]]:
    return [frozenset(alike(one) for one in names) for names in named]


def _matches(said: list[Named], named: list[frozenset[Named]]) -> bool:
    """Whether all that is hidden is said, each once, and nothing else."""
    if len(said) != len(named):
        return False
    return all(any(one in names for one in said) for names in named) and all(
        any(one in names for names in named) for one in said
    )


def _told(test: NextTest) -> str:
    stood = "" if test.standing.as_planned else f" with {with_of(test.standing)}"
    return f"{test.kind} at {test.at}{stood}, {test.minutes:.1f} min, {test.bits:.2f} bits"


def _reading(verdict) -> str:
    reading = verdict.reading
    figure = dict(reading.pairs) if reading.pairs else reading.figure
    z = "" if verdict.z is None else f"{verdict.z:+.1f}"
    unsteady = f" {reading.unsteady}" if reading.unsteady else ""
    return (
        f"{reading.at} {reading.kind} {figure}{unsteady} z={z} {verdict.verdict} {reading.id[-12:]}"
    )
