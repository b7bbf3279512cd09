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
from dataclasses import dataclass
from typing import Any

import pytest
from by_contract import CORNERS, Edge, Feed, conductor_ohms, joins, number, walk, worse
from random_jobs import random_job, with_lost_sets

from engine.jobfile import read_job
from engine.network import build
from engine.operating import Conditions, operate

pytestmark = pytest.mark.ngspice

SEEDS = range(300, 348)
LOST = range(348, 360)
"""jobs in which pairs may end anywhere, and joints may join the sets"""
CORNER_OF = {seed: ("expected", "low", "high")[seed % 3] for seed in (*SEEDS, *LOST)}


def find_ngspice() -> str:
    """The path of ngspice; a build server without it is a failure, not a skip."""
    path = shutil.which("ngspice")
    if path is None:
        reason = "no ngspice on the path: install the package of that name"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    return path


def job_of(seed: int) -> dict[str, Any]:
    """The job of a seed."""
    return with_lost_sets(random_job(seed), seed) if seed in LOST else random_job(seed)


@pytest.fixture(scope="module")
def ngspice() -> str:
    """The path of the simulator."""
    return find_ngspice()


@dataclass(frozen=True)
class Names:
    """What a point is called in the netlist: one node for each rail and set, or for each rail
    alone where the sets are joined."""

    mark: str
    joined: bool

    def rail(self, rail: str, pair: int = 1) -> str:
        """The node of one rail of a set."""
        return f"{self.mark}_{rail}" if self.joined else f"{self.mark}_{rail}{pair}"

    @property
    def volts(self) -> str:
        """The volts between the rails of a point where the sets are joined."""
        assert self.joined
        return f"V({self.rail('plus')},{self.rail('minus')})"


def netlist(doc: Mapping[str, Any], corner: str) -> tuple[list[str], dict[str, Names]]:
    """The job at a corner of its volts: the lines, and what each point is called in them."""
    feeds = walk(doc)
    points = {feed.point for feed in feeds}
    points |= {edge.below for feed in feeds for edge in feed.edges}
    names = {point: Names(point.replace(".", "_").lower(), joins(doc, point)) for point in points}
    lines = []
    for feed in feeds:
        here = names[feed.point]
        key = "out_volts" if feed.sheet.get("power") == "regenerating" else "volts"
        droop = number(feed.sheet, "ohms", worse(corner))
        start = f"{here.mark}_inner" if droop else here.rail("plus")
        lines.append(f"V{here.mark} {start} 0 {number(feed.sheet, key, corner)!r}")
        if droop:
            lines.append(f"Rdroop{here.mark} {start} {here.rail('plus')} {droop!r}")
        lines.append(f"Vback{here.mark} {here.rail('minus')} 0 0")
        for edge in feed.edges:
            lines += _wires(doc, edge, worse(corner), names)
        for point, sheet in feed.drawn:
            lines.append(_load(feeds, point, sheet, worse(corner), names))
    return lines, names


def _wires(
    doc: Mapping[str, Any], edge: Edge, corner: str, names: Mapping[str, Names]
) -> list[str]:
    """Both conductors of each pair in force, out and back.

    ``end_ohms`` is loop ohms at the pairs in force, so it is spread over the conductors.
    """
    if "length_m" in edge.thing:
        one = conductor_ohms(doc, edge.thing, corner)
        one += number(edge.thing, "end_ohms", corner) * edge.pairs / 2
    else:
        one = number(edge.thing, "ohms_per_conductor", corner)
    above, below = names[edge.above], names[edge.below]
    return [
        f"Rw{below.mark}{rail}{pair}{wire} {above.rail(rail, pair)} {below.rail(rail, pair)} "
        f"{one!r}"
        for rail in ("plus", "minus")
        for pair in range(1, edge.pairs // 2 + 1)
        for wire in ("a", "b")
    ]


def _load(
    feeds: list[Feed], point: str, sheet: Mapping[str, Any], corner: str, names: Mapping
) -> str:
    """Constant watts; the guard of 5 V keeps the simulator's first steps finite."""
    own = number(sheet, "watts" if sheet["kind"] == "endpoint" else "own_watts", corner)
    here, watts = names[point], repr(own)
    if sheet.get("power") == "regenerating":
        name = point.partition(".")[0]
        behind = [names[feed.point] for feed in feeds if feed.point.startswith(f"{name}.out")]
        out = "".join(f"+{one.volts}*(0-I(V{one.mark}))" for one in behind)
        watts = f"({own!r}{out})/{number(sheet, 'efficiency', worse(corner))!r}"
    rails = f"{here.rail('plus')} {here.rail('minus')}"
    return f"B{here.mark} {rails} I = ({watts})/max({here.volts},5)"


def node_volts(
    ngspice: str, lines: list[str], nodes: list[str], start: float = 0.0
) -> dict[str, float]:
    """Volts of nodes, from one batch run of the simulator; ``start`` is a first guess of plus."""
    circuit = "\n".join(lines)
    plus = sorted(set(re.findall(r"\b\w+_plus[12]?\b", circuit)))
    guess = "\n".join(f".nodeset V({node})={start}" for node in plus)
    shown = "\n".join(f"print V({node})" for node in nodes)
    text = (
        f"* wires\n{circuit}\n{guess}\n"
        ".options reltol=1e-7 abstol=1e-9 vntol=1e-7 gmin=1e-15 itl1=500\n"
        f".control\nset numdgt=12\nop\n{shown}\nquit\n.endc\n.end\n"
    )
    done = subprocess.run(
        [ngspice, "-b", "/dev/stdin"], input=text, capture_output=True, text=True, timeout=60
    )
    found = {name: float(v) for name, v in re.findall(r"v\((\w+)\) = (\S+)", done.stdout)}
    assert found.keys() >= set(nodes), done.stdout[-2000:] + done.stderr[-2000:]
    return found


@pytest.mark.parametrize("seed", CORNER_OF)
def test_volts_agree_with_ngspice(ngspice, seed):
    """Every point of a random job within 1 mV of the simulator's answer."""
    doc, corner = job_of(seed), CORNER_OF[seed]
    lines, names = netlist(doc, corner)
    nodes = [called.rail(rail) for called in names.values() for rail in ("plus", "minus")]
    volts = node_volts(ngspice, lines, nodes, start=53.0)
    job = read_job(doc).plan
    flows = operate(job, build(job), Conditions(corner)).flows
    assert {str(point) for point in flows} == names.keys()
    for point, flow in flows.items():
        called = names[str(point)]
        simulated = volts[called.rail("plus")] - volts[called.rail("minus")]
        assert flow.volts == pytest.approx(simulated, abs=1e-3), point


def test_the_seeds_cover_what_the_format_can_say():
    """What the comparison is for is in it, and each corner a third of the time."""
    docs = {seed: job_of(seed) for seed in CORNER_OF}
    feeds = [feed for doc in docs.values() for feed in walk(doc)]
    sheets = [sheet for doc in docs.values() for sheet in doc["sheets"].values()]
    assert len(docs) == 60
    corners = list(CORNER_OF.values())
    assert {corner: corners.count(corner) for corner in CORNERS} == dict.fromkeys(CORNERS, 20)
    assert {edge.pairs for feed in feeds for edge in feed.edges} == {2, 4}
    kinds = {sheet["kind"] for sheet in sheets}
    assert {"splitter", "arrestor", "joint", "injector", "repeater", "long-span"} <= kinds
    assert {"aluminium", "clad", None} == {
        s.get("material") for s in sheets if s["kind"] == "cable"
    }
    assert any(number(feed.sheet, "ohms", "low") > 0.1 for feed in feeds), "droop"
    regenerated = [feed for feed in feeds if feed.sheet.get("power") == "regenerating"]
    assert sum(bool(feed.drawn) for feed in regenerated) >= 10
    assert any(len(walk(doc)) >= 4 for doc in docs.values()), "one regenerating box behind another"
    assert any(len(feed.drawn) >= 5 for feed in feeds)
    assert any(box.get("joins_pairs") for doc in docs.values() for box in doc["boxes"])
