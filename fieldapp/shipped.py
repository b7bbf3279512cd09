"""The jobs that come with the app: samples to begin with, and more sites to practise on."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from engine.jobfile import load
from fieldapp.foundout import PracticeSite

PRACTICE = "practice"


def sample_names() -> tuple[tuple[str, str], ...]:
    """The samples there are: name and title."""
    return tuple((path.stem, load(path).plan.title) for path in sample_files())


def sample_files() -> tuple[Path, ...]:
    """The sample jobs: in the wheel beside the app, in a checkout beside the packages."""
    return tuple(sorted(_folder().glob("*.json")))


def practice_files() -> tuple[Path, ...]:
    """The plans that made-up sites are built to: the samples' and some smaller ones, least first."""
    found = (*sample_files(), *(_folder() / PRACTICE).glob("*.json"))
    return tuple(sorted(found, key=lambda path: (len(load(path).plan.boxes), path.stem)))


def practice_sites() -> tuple[PracticeSite, ...]:
    """What is told of each."""
    return tuple(_site(path) for path in practice_files())


def _site(path: Path) -> PracticeSite:
    plan = load(path).plan
    at_m = [stop.at_m for stop in plan.stops.values()]
    pairs = max((span.pairs_carried for span in plan.spans.values()), default=0)
    fed = min((box.sheet.pairs for box in plan.boxes.values() if box.kind == "source"), default=4)
    ends = sum(box.kind == "endpoint" for box in plan.boxes.values())
    return PracticeSite(
        path.stem, plan.title, max(at_m) - min(at_m), len(plan.boxes), min(pairs, fed), ends
    )


def _folder() -> Path:
    inside = Path(str(files("fieldapp") / "samples"))
    return inside if inside.is_dir() else Path(__file__).resolve().parent.parent / "sample_jobs"
