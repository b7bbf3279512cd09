"""Measure the operating point against ``scipy.optimize.root`` on the same equations.

The job has six boxes in a row. Both are given the same ohms and watts; the general solver
gets the residual V_i - V_parent + R_i·I_i as a plain function and, on its own row, with
arrays. They take turns in one run, so that the ratio holds on any machine.
Run: ``python tests/bench/operating.py [--rounds N]``.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence

import clock
import numpy as np
from clock import REPEATS
from jobs import active, arrestor, chain, endpoint, run, source, turned
from promises import rows_of
from rows import Row, told
from scipy.optimize import root

from engine.circuit import edge_ohms
from engine.jobfile import read_job
from engine.network import build
from engine.sweeps import Solved, solve

OURS = "engine solve"
GENERAL = ("root, plain residual", "root, array residual")


def six_boxes() -> dict:
    """A job with six boxes of which three draw power."""
    return chain(
        source(54),
        run(2),
        active(2.5),
        run(1),
        turned(arrestor()),
        run(300),
        arrestor(),
        run(1),
        active(2.5),
        run(8),
        endpoint(16),
    )


def numbers_of(document: dict) -> tuple[list[int], list[float], list[float], float]:
    """Parent, ohms and watts of each point of the six-box job, and the volts that feed it."""
    job = read_job(document).plan
    (tree,) = build(job).trees
    ohms = [edge_ohms(job, node, tree.box.sheet, "expected") for node in tree.nodes]
    drawn = {"R1.in": 2.5, "R2.in": 2.5, "E1.in": 16.0}
    watts = [drawn.get(str(node.point), 0.0) for node in tree.nodes]
    return [node.parent for node in tree.nodes], ohms, watts, 54.0


def plain_residual(parent: Sequence[int], ohms, watts, feed: float) -> Callable:
    """The residual as a loop, from the last point to the first."""
    backwards = range(len(parent) - 1, -1, -1)

    def residual(volts):
        amps = [w / v for w, v in zip(watts, volts, strict=True)]
        out = [0.0] * len(amps)
        for i in backwards:
            above = parent[i]
            out[i] = volts[i] - (feed if above < 0 else volts[above]) + ohms[i] * amps[i]
            if above >= 0:
                amps[above] += amps[i]
        return out

    return residual


def array_residual(parent: Sequence[int], ohms, watts, feed: float) -> Callable:
    """The same residual for all points at once: V - Vs + (paths · ohms · subtrees) · (P/V)."""
    count = len(parent)
    behind = np.zeros((count, count))
    for i in range(count):
        at = i
        while at >= 0:
            behind[at, i] = 1.0
            at = parent[at]
    shared = behind.T @ (np.array(ohms)[:, None] * behind)
    watts = np.array(watts)
    return lambda volts: volts - feed + shared @ (watts / volts)


def measured(rounds: int) -> clock.Turns:
    """Our solve and the general one, whose answers must agree before anything is timed."""
    parent, ohms, watts, feed = numbers_of(six_boxes())
    start = [feed] * len(parent)
    plain = plain_residual(parent, ohms, watts, feed)
    arrays = array_residual(parent, ohms, watts, feed)
    ours = solve(parent, ohms, watts, feed)
    assert isinstance(ours, Solved)
    for residual in (plain, arrays):
        theirs = root(residual, start)
        assert theirs.success
        assert np.allclose(ours.volts, theirs.x, rtol=0, atol=1e-6)
    work = {OURS: lambda: solve(parent, ohms, watts, feed)}
    work |= dict(
        zip(GENERAL, (lambda: root(plain, start), lambda: root(arrays, start)), strict=True)
    )
    return clock.in_turns(rounds, work, REPEATS)


def rows(rounds: int = 15) -> list[Row]:
    """The promised ratio."""
    turns = measured(rounds)
    each = {name: f"{1e3 * turns.ms(name):.1f} us" for name in (OURS, *GENERAL)}
    beside = ", ".join(f"{name} {took}" for name, took in each.items())
    return [rows_of("operating")("root", min(turns.times(one, OURS) for one in GENERAL), beside)]


def main() -> int:
    """Print the medians and their ratio."""
    return told(rows(clock.options(__doc__, rounds=15).parse_args().rounds))


if __name__ == "__main__":
    sys.exit(main())
