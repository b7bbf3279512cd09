"""The sample jobs that come with the app, each a document of the caller's own."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

SAMPLES = Path(__file__).resolve().parent.parent / "sample_jobs"
NAMES = sorted(path.stem for path in SAMPLES.glob("*.json"))


def sample(name: str = "orchard-gate") -> dict[str, Any]:
    """A sample job's document with its log."""
    return json.loads((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))


def planned(name: str = "orchard-gate") -> dict[str, Any]:
    """A sample job's document without its log."""
    return {**sample(name), "log": []}
