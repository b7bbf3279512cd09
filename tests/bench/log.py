"""Measure what one more entry costs on a long log and on a short one, and what a whole fold costs.

All pairs are taken in turns in one run, so that the ratios say what grows with the log whatever
the machine is. Run: ``python tests/bench/log.py [--entries N] [--edits N] [--rounds N]``.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from engine.entries import read_entry
from engine.jobfile import read_job
from engine.judge import judge
from engine.leave import holds
from engine.log import State, advance, fold
from engine.steps import derive

SAMPLES = Path(__file__).resolve().parents[2] / "sample_jobs"
SHORT = 50


def rows(count: int, edits: int = 0, repeats: bool = False) -> list[dict[str, Any]]:
    """A log of ``count`` entries from two phones: four readings in five, and what goes between.

    ``edits`` of them alter the plan. Readings stand each in a moment of its own, or, with
    ``repeats``, replace each other.
    """
    out = []
    every = count // edits if edits else count + 1
    for n in range(1, count + 1):
        if n % every == 0:
            body = {"what": "set", "path": ["spans", "C2", "length_m"], "value": 60 + n % 30}
        elif n % 5:
            at = ("S.out", "R1.in", "R1.out", "E.in")[n % 4]
            moment = "noon" if repeats else f"m{n}"
            body = {"what": "reading", "at": at, "kind": "volts", "value": 50, "moment": moment}
        elif n % 2:
            body = {"what": "step", "step": f"fit.R{n % 7}", "state": "done"}
        else:
            body = {"what": "note", "text": "dry"}
        own, other = ("aa", "bb") if n % 40 < 20 else ("bb", "aa")
        seen = {own: n - 1, other: n - 1}
        out.append({"id": f"e{n:05}", "device": own, "n": n, "seen": seen, "by": "Ida", **body})
    return out


def after(state: State, body: dict[str, Any]) -> tuple[State, Any]:
    """A state and one more entry for it."""
    n = len(state.entries) + 1
    head = {"id": f"f{n}", "device": "aa", "n": n, "seen": {"aa": n - 1, "bb": n - 1}, "by": "Ida"}
    return state, read_entry({**head, **body})


MORE: dict[str, dict[str, Any]] = {
    "a reading": {"what": "reading", "at": "E.in", "kind": "volts", "value": 50, "moment": "now"},
    "a step": {"what": "step", "step": "fit.R1", "state": "done"},
    "a void of a reading": {"what": "void", "of": "e00049"},
    "a change": {"what": "change", "where": "C2", "did": "new plug"},
    "a plan edit": {"what": "set", "path": ["spans", "C2", "length_m"], "value": 99},
}


def in_turns(rounds: int, *calls: Callable[[], Any]) -> list[float]:
    """The median of each call. [ms]"""
    taken: list[list[float]] = [[] for _ in calls]
    for _ in range(rounds):
        for slot, call in zip(taken, calls, strict=True):
            start = perf_counter()
            call()
            slot.append((perf_counter() - start) * 1e3)
    return [median(slot) for slot in taken]


def line(name: str, first: float, second: float) -> str:
    return f"{name:40}{first:10.3f}{second:10.3f}{first / second:9.2f}"


def main() -> None:
    """Print the times and their ratios."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--entries", type=int, default=5000)
    parser.add_argument("--edits", type=int, default=500)
    parser.add_argument("--rounds", type=int, default=200)
    options = parser.parse_args()
    doc = json.loads((SAMPLES / "orchard-gate.json").read_text(encoding="utf-8"))
    many = options.entries

    print(f"{'ms (medians)':40}{many:10}{SHORT:10}{'ratio':>9}")
    long, short = (fold(read_job({**doc, "log": rows(count)})) for count in (many, SHORT))
    for name, body in MORE.items():
        (a, one), (b, other) = after(long, body), after(short, body)
        calls = (lambda: advance(a, [one])), (lambda: advance(b, [other]))  # noqa: B023
        print(line(f"append: {name}", *in_turns(options.rounds, *calls)))

    print(f"\n{'ms (medians)':40}{'fold':>10}{'reading':>10}{'ratio':>9}")
    for edits in (0, options.edits):
        whole = {**doc, "log": rows(many, edits)}
        file = read_job(whole)
        times = in_turns(5, lambda: fold(file), lambda: read_job(whole))  # noqa: B023
        print(line(f"{many} entries, {edits} edits", *times))

    print(f"\n{'ms (medians)':40}{many:10}{SHORT:10}{'ratio':>9}")
    for repeats in (False, True):
        judged = [judge(read_job({**doc, "log": rows(c, 0, repeats)})) for c in (many, SHORT)]
        kind = "superseded" if repeats else "all current"
        steps = [lambda j=j: derive(j.state, j.prediction, j.judged.read) for j in judged]
        leave = [lambda j=j: holds(j.state, j.prediction, j.steps, j.verdicts) for j in judged]
        print(line(f"steps.derive, readings {kind}", *in_turns(20, *steps)))
        print(line(f"leave.holds, readings {kind}", *in_turns(20, *leave)))


if __name__ == "__main__":
    main()
