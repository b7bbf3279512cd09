"""The operating point against the circuit simulator ngspice, conductor by conductor.

Each job is written as a netlist with its eight conductors: every span has a resistor for
each conductor that carries, the sets of pairs run apart through passive boxes and meet at
active ones, and a constant-power box is a behavioural current source. Nothing of the
loop-ohms arithmetic of the engine is used.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections.abc import Mapping
from typing import Any

import pytest
from jobs import Feed, conductor_ohms, number, random_job, walk, worse

from engine.jobfile import read_job
from engine.network import build
from engine.operating import Conditions, operate

pytestmark = pytest.mark.ngspice

SEEDS = range(300, 308)
CORNER_OF = {seed: ("expected", "low", "high")[seed % 3] for seed in SEEDS}
TINY_OHMS = 1e-9
"""ngspice takes no resistor of nothing"""


@pytest.fixture(scope="module")
def ngspice() -> str:
    """The path of ngspice; a build server without it is a failure, not a skip."""
    path = shutil.which("ngspice")
    if path is None:
        reason = "no ngspice on the path: install the package of that name"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    return path


def netlist(doc: Mapping[str, Any], corner: str) -> str:
    """The job as a netlist at a corner of its volts."""
    lines = ["* a job"]
    feeds = walk(doc)
    for feed in feeds:
        key = "out_volts" if feed.sheet.get("power") == "regenerating" else "volts"
        droop = number(feed.sheet, "ohms", worse(corner)) or TINY_OHMS
        mark = _mark(feed.point)
        lines.append(f"V{mark} {mark}_inner 0 {number(feed.sheet, key, corner)!r}")
        lines.append(f"Rdroop{mark} {mark}_inner {mark}_plus {droop!r}")
        lines.append(f"Rback{mark} {mark}_minus 0 {TINY_OHMS!r}")
        lines += _joined(mark)
        lines += _wires(doc, feed, worse(corner))
        for point, sheet in feed.drawn:
            lines += _joined(_mark(point))
            lines.append(_load(feeds, point, sheet, worse(corner)))
    return "\n".join(lines)


def _mark(point: str) -> str:
    return point.replace(".", "_").lower()


def _joined(mark: str) -> list[str]:
    """The two sets of pairs meet at an active box: each rail of each set on one node."""
    return [
        f"Rjoin{mark}{rail}{pair} {mark}_{rail} {mark}_{rail}{pair} {TINY_OHMS!r}"
        for rail in ("plus", "minus")
        for pair in (1, 2)
    ]


def _wires(doc: Mapping[str, Any], feed: Feed, corner: str) -> list[str]:
    """Both conductors of each pair in force, out and back; ends in the first set's return.

    ``end_ohms`` is loop ohms at the pairs in force, so it is spread over the conductors.
    """
    lines = []
    for number_of, edge in enumerate(feed.edges):
        if "length_m" in edge.thing:
            one = conductor_ohms(doc, edge.thing, corner)
            one += number(edge.thing, "end_ohms", corner) * edge.pairs / 2
        else:
            one = number(edge.thing, "ohms_per_conductor", corner)
        above, below = _mark(edge.above), _mark(edge.below)
        for rail in ("plus", "minus"):
            for pair in range(1, edge.pairs // 2 + 1):
                for wire in ("a", "b"):
                    name = f"Rw{_mark(feed.point)}{number_of}{rail}{pair}{wire}"
                    ends = f"{above}_{rail}{pair} {below}_{rail}{pair}"
                    lines.append(f"{name} {ends} {one or TINY_OHMS!r}")
    return lines


def _load(feeds: list[Feed], point: str, sheet: Mapping[str, Any], corner: str) -> str:
    """Constant watts; the guard of 5 V keeps the simulator's first steps finite."""
    own = number(sheet, "watts" if sheet["kind"] == "endpoint" else "own_watts", corner)
    mark, watts = _mark(point), repr(own)
    if sheet.get("power") == "regenerating":
        name = point.partition(".")[0]
        behind = [_mark(feed.point) for feed in feeds if feed.point.startswith(f"{name}.out")]
        out = "".join(f"+V({m}_plus,{m}_minus)*(0-I(V{m}))" for m in behind)
        watts = f"({own!r}{out})/{number(sheet, 'efficiency', worse(corner))!r}"
    volts = f"V({mark}_plus,{mark}_minus)"
    return f"B{mark} {mark}_plus {mark}_minus I = ({watts})/max({volts},5)"


def solve(ngspice: str, deck: str, points: list[str], start: float) -> dict[str, float]:
    """Volts between the rails of every point, from a batch run of the simulator."""
    guess = sorted(set(re.findall(r"\b\w+_plus[12]?\b", deck)))
    nodes = " ".join(f"V({node})={start}" for node in guess)
    shown = "\n".join(f"print V({_mark(p)}_plus1) V({_mark(p)}_minus1)" for p in points)
    text = (
        f"{deck}\n.nodeset {nodes}\n"
        ".options reltol=1e-9 abstol=1e-12 vntol=1e-9 gmin=1e-15 itl1=500\n"
        f".control\nset numdgt=12\nop\n{shown}\nquit\n.endc\n.end\n"
    )
    done = subprocess.run(
        [ngspice, "-b", "/dev/stdin"], input=text, capture_output=True, text=True, timeout=60
    )
    values = dict(re.findall(r"v\((\w+)\) = (\S+)", done.stdout))
    assert values, done.stdout + done.stderr
    return {
        p: float(values[f"{_mark(p)}_plus1"]) - float(values[f"{_mark(p)}_minus1"]) for p in points
    }


@pytest.mark.parametrize("seed", SEEDS)
def test_volts_agree_with_ngspice(ngspice, seed):
    """Every point of a random job within 1 mV of the simulator's answer."""
    doc, corner = random_job(seed), CORNER_OF[seed]
    job = read_job(doc).plan
    flows = operate(job, build(job), Conditions(corner)).flows
    simulated = solve(ngspice, netlist(doc, corner), [str(point) for point in flows], 53.0)
    for point, flow in flows.items():
        assert flow.volts == pytest.approx(simulated[str(point)], abs=1e-3), point


def test_the_seeds_cover_regenerating_trees_and_two_pairs():
    """What the comparison is for is in it."""
    feeds = [walk(random_job(seed)) for seed in SEEDS]
    assert any(len(walked) >= 3 for walked in feeds)
    assert {edge.pairs for walked in feeds for feed in walked for edge in feed.edges} == {2, 4}
    assert any(len(feed.drawn) >= 3 for walked in feeds for feed in walked)
