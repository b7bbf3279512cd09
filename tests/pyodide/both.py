"""What is run word for word in either Python, so that the results can be compared."""

from __future__ import annotations

import json
from pathlib import Path
from time import perf_counter
from typing import Any

from engine.jobfile import load
from engine.judge import judge
from engine.report_json import judgement_json, prediction_json


def predictions(folder: str) -> dict[str, Any]:
    """What is predicted and judged for each job file in a folder, as `--json` says it."""
    files = sorted(Path(folder).glob("*.json"))
    judgements = {file.name: judge(load(file)) for file in files}
    told = {
        name: [prediction_json(found.prediction), judgement_json(found)]
        for name, found in judgements.items()
    }
    return json.loads(json.dumps(told))


def times(source: str, repeats: int, setup: str = "") -> list[float]:
    """Milliseconds of each of `repeats` runs of `source`, after one that is not counted."""
    names: dict[str, object] = {"__name__": "timed"}
    exec(setup, names)
    code = compile(source, "<timed>", "exec")
    exec(code, names)
    out = []
    for _ in range(repeats):
        start = perf_counter()
        exec(code, names)
        out.append((perf_counter() - start) * 1000)
    return out
