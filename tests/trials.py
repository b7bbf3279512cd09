"""What can be tried of each thing of the samples."""

from __future__ import annotations

from typing import Any

from messages_sent import model_at
from samples import sample

from engine.jobfile import read_job
from fieldapp.knobs import SITE, offered
from fieldapp.model import Model, OpenJob

R = "/j/REEDBED-HIDE"
SAMPLES = ("orchard-gate", "reedbed-hide", "tide-mill")


def trials() -> list[tuple[str, str, Any]]:
    """Everything that can be moved in the samples."""
    out = []
    for name in SAMPLES:
        job = read_job(sample(name)).plan
        for thing in (*job.spans, *job.boxes, SITE):
            out += [(name, thing, knob) for knob in offered(job, thing)]
    return out


TRIALS = trials()
NAMED = {"argvalues": TRIALS, "ids": [f"{n}-{t}-{k.name}" for n, t, k in TRIALS]}
FEW = [row for row in TRIALS if row[1] in ("C4", "C", "S", "L2", "R1", SITE)]


def at(thing: str = "C4", job: OpenJob | None = None) -> Model:
    return model_at(f"{R}/whatif/{thing}", job)
