"""A site with one fault in it: what each reading would show there."""

from __future__ import annotations

from math import log

import pytest
from account_jobs import at, logged
from jobs import chain, endpoint, regenerating, run, source

from engine.circuit import wire
from engine.diagnose.scene import Scene
from engine.diagnose.trial import Loose, Trial
from engine.faults import FAULTS
from engine.figures import Figure
from engine.job import Point
from engine.jobfile import read_job
from engine.judge import judge
from engine.network import build
from engine.operating import Conditions
from engine.operating import run as run_circuit


def scene_of(doc: dict) -> Scene:
    judgement = judge(read_job(doc))
    return Scene(judgement.prediction, judgement.verdicts)


def shown(scene: Scene, cause: str, where: str) -> dict[tuple[str, str], object]:
    """What the readings of a scene would show with this fault, all else at its means."""
    ((_, bend),) = FAULTS[cause].at(scene, where)
    trial = Trial(scene, bend)
    out = {}
    for seen in scene.seen:
        asked = trial.asked(seen)
        values = trial.columns.values([0.0] * len(trial.columns.place), asked)
        out[asked.at, asked.kind] = trial.shows(values, asked)
    return out


def test_far_outside_two_states_a_figure_is_as_unlikely_on_either_side():
    """By hand: 20 deviations beyond the nearer end, spread over the width."""
    loose = Loose(10.0, 50.0, 0.5)
    assert loose.log_density(60.0) == pytest.approx(-200 - log(40))
    assert loose.log_density(0.0) == pytest.approx(-200 - log(40))


def test_an_endpoint_that_slept_leaves_the_volts_as_if_it_were_unplugged():
    """Whatever was written down of it; a reading that was taken with it unplugged stays as it is."""
    off = {"with": {"E": "off"}, "moment": "unplugged"}
    scene = scene_of(
        logged("orchard-gate", at("E.in", "volts", 48.6), at("E.in", "volts", 51, **off))
    )
    ((_, bend),) = FAULTS["reading.state"].at(scene, "E")
    asked = [Trial(scene, bend).asked(seen).standing for seen in scene.seen]
    assert [one.off for one in asked] == [frozenset({"E"})] * 2
    volts = shown(scene, "reading.state", "E")["E.in", "volts"]
    assert isinstance(volts, Figure) and volts.value > 51


def test_a_short_takes_what_is_behind_it_off_the_box_that_feeds_it():
    """A box that makes its own volts, whose port folds back: it draws for itself alone."""
    doc = chain(source(53.5), run(100), regenerating(2, 54, 0.9), run(100), endpoint(12))
    log = [
        {"id": f"e{n}", "device": "d", "n": n, "what": "reading", **at(point, "milliamps", 9)}
        for n, point in enumerate(("S1.out", "R1.in", "E1.in"), 1)
    ]
    scene = scene_of({**doc, "log": log})
    shorted = shown(scene, "span.short", "C2")
    circuit = wire(scene.job, build(scene.job), "expected")
    left = run_circuit(circuit, Conditions(cut=frozenset({Point("R1", "out")})))
    for point in ("S1.out", "R1.in"):
        figure = shorted[point, "milliamps"]
        amps = left.flows[Point.parse(point)].amps
        assert isinstance(figure, Figure) and figure.value == pytest.approx(1000 * amps, rel=0.02)
    assert isinstance(shorted["E1.in", "milliamps"], Loose), "nothing comes there"
