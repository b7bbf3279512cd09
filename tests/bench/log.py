"""Measure what one more entry costs on a long log and on a short one, and what a whole fold costs.

All pairs are taken in turns in one run, so that the ratios say what grows with the log whatever
the machine is; so are 1,000 edits of one length by phones that saw nobody, and 250.
Run: ``python tests/bench/log.py [--entries N] [--edits N] [--rounds N]``.
"""

from __future__ import annotations

import json
import sys
from typing import Any

import clock
from clock import SAMPLES, Turns
from promises import rows_of
from rows import Row, told
from test_contest import FILE, crowd

from engine.entries import read_entry
from engine.jobfile import read_job
from engine.judge import judge
from engine.leave import Seen, holding
from engine.log import State, advance, fold
from engine.sliced import finish
from engine.steps import derive

SHORT = 50
CROWDS = (250, 1000)
"""phones that edit one length and saw nobody"""


def log_of(count: int, edits: int = 0, repeats: bool = False) -> list[dict[str, Any]]:
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


def orchard() -> dict[str, Any]:
    """The sample that the long logs are of."""
    return json.loads((SAMPLES / "orchard-gate.json").read_text(encoding="utf-8"))


def rows(rounds: int = 200, entries: int = 5000) -> list[Row]:
    """The promised ratios, and beside a whole fold the reading of its file."""
    row, doc, out = rows_of("log"), orchard(), []
    long, short = (fold(read_job({**doc, "log": log_of(count)})) for count in (entries, SHORT))
    for name, body in MORE.items():
        (a, one), (b, other) = after(long, body), after(short, body)
        calls = {
            "long": lambda a=a, one=one: advance(a, [one]),
            "short": lambda b=b, other=other: advance(b, [other]),
        }
        turns = clock.in_turns(rounds, calls)
        out.append(
            row(name, turns.times("long", "short"), f"behind {entries:,} {turns.ms('long'):.3f} ms")
        )
    crowds = {str(count): crowd(count) for count in CROWDS}
    calls = {name: lambda many=many: fold(FILE, many) for name, many in crowds.items()}
    turns, (few, many) = clock.in_turns(3, calls), crowds
    out.append(row("contest", turns.times(many, few), f"{turns.ms(many):.0f} ms"))
    whole = folded(doc, entries, 0)
    beside = f"{whole.ms('fold'):.0f} ms, {whole.ms('read'):.0f} ms"
    return [*out, row("fold", whole.times("fold", "read"), beside)]


def folded(doc: dict[str, Any], entries: int, edits: int) -> Turns:
    """A whole log folded, and its file read."""
    whole = {**doc, "log": log_of(entries, edits)}
    file = read_job(whole)
    return clock.in_turns(5, {"fold": lambda: fold(file), "read": lambda: read_job(whole)})


def line(name: str, turns: Turns) -> str:
    """The two calls of a pair, and their ratio."""
    one, other = turns.each
    return f"{name:40}{turns.ms(one):10.3f}{turns.ms(other):10.3f}{turns.times(one, other):9.2f}"


def main() -> int:
    """Print the times and their ratios."""
    parser = clock.options(__doc__, rounds=200)
    parser.add_argument("--entries", type=int, default=5000)
    parser.add_argument("--edits", type=int, default=500)
    given = parser.parse_args()
    doc, many = orchard(), given.entries

    print(f"{'ms (medians)':40}{'fold':>10}{'reading':>10}{'ratio':>9}")
    print(line(f"{many} entries, {given.edits} edits", folded(doc, many, given.edits)))
    print(f"\n{'ms (medians)':40}{many:10}{SHORT:10}{'ratio':>9}")
    for repeats in (False, True):
        judged = {
            f"{c}": judge(read_job({**doc, "log": log_of(c, 0, repeats)})) for c in (many, SHORT)
        }
        kind = "superseded" if repeats else "all current"
        for name, act in {
            "steps.derive": lambda j: derive(j.state, j.prediction, j.judged.read),
            "leave.holding": lambda j: finish(
                holding(Seen(j.state, j.prediction, j.steps, j.judged))
            ),
        }.items():
            calls = {c: lambda j=j, act=act: act(j) for c, j in judged.items()}
            print(line(f"{name}, readings {kind}", clock.in_turns(20, calls)))
    return told(rows(given.rounds, many))


if __name__ == "__main__":
    sys.exit(main())
