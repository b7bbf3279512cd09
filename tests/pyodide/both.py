"""What is run word for word in either Python, so that the results can be compared."""

from __future__ import annotations

from pathlib import Path
from time import perf_counter
from typing import Any

from engine.jobfile import load
from engine.predict import predict
from engine.report_json import prediction_json


def predictions(folder: str) -> dict[str, Any]:
    """What is predicted for each job file in a folder, as `predict --json` says it."""
    files = sorted(Path(folder).glob("*.json"))
    return {file.name: prediction_json(predict(load(file).plan)) for file in files}


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
