"""Jobs that can be read and take hours to work out: refused where they come in. Pure.

A job that is here is never refused for it; only what would make one of it is. What judging
took on a laptop: 2,000 edits of 60 phones 11 s, 1,000 edits that have not seen each other 72 s
(it goes by the third power), 5,000 standings 155 s, 300 feeds with an endpoint each 117 s.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable

from engine.fields import Problem
from engine.jobfile import BadFile, JobFile
from engine.log import fold
from fieldapp.exchange.limits import LIMITS, Limits

EDITS = frozenset({"set", "add", "remove"})


def refuse_crowds(file: JobFile, limits: Limits = LIMITS) -> None:
    """Raises BadFile where there is more of something than is worked out in time."""
    problem = crowd_of(file, limits)
    if problem is not None:
        raise BadFile([problem])


def crowd_of(file: JobFile, limits: Limits = LIMITS) -> Problem | None:
    """The first thing of which there is too much."""
    for name, at, what, count in COUNTS:
        most = getattr(limits, name)
        found = count(file, most)
        if found > most:
            return Problem(at, f"{found} {what}", f"at most {most}")
    return None


def _edits(file: JobFile, most: int) -> int:
    return sum(entry.what in EDITS for entry in file.entries)


def _unseen(file: JobFile, most: int) -> int:
    """At most so many have not seen each other: each has seen its phone's earlier ones."""
    edits = (entry for entry in file.entries if entry.what in EDITS and entry.n)
    same = Counter((entry.device, entry.n) for entry in edits)
    widest: dict[str, int] = {}
    for (device, _), count in same.items():
        widest[device] = max(widest.get(device, 0), count)
    return sum(widest.values())


def _standings(file: JobFile, most: int) -> int:
    readings = (entry.body.get("with_") for entry in file.entries if entry.what == "reading")
    return len({json.dumps(stood, sort_keys=True, default=dict) for stood in readings if stood})


def _boxes(file: JobFile, most: int) -> int:
    """Of the plan as it stands; folded only where edits could have made it so many."""
    adds = (entry.body["path"] for entry in file.entries if entry.what == "add")
    added = sum(path[:1] == ("boxes",) for path in adds)
    planned = len(file.plan.boxes)
    if planned > most or planned + added <= most:
        return planned
    return len(fold(file).job.boxes)


COUNTS: tuple[tuple[str, str, str, Callable[[JobFile, int], int]], ...] = (
    ("edits", "the log", "plan edits", _edits),
    ("unseen", "the log", "plan edits that have not seen each other", _unseen),
    ("standings", "the log", "ways of what stood there while reading", _standings),
    ("boxes", "boxes", "boxes", _boxes),
)
"""the limit's name; the place; what there is too much of; its count"""
