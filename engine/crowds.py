"""Jobs that can be read and take minutes to work out: refused where a file is named, at every door.

A job that is kept already is judged whatever it holds; only what would make one of it is
refused. What judging the most of each takes, measured on a laptop: 5,000 edits of one length 2 s,
1,000 edits that have not seen each other 0.4 s, 600 boxes 13 s, readings 6 to 27 s.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable
from functools import cached_property

from attrs import frozen

from engine.entries import EDITS, Entry
from engine.fields import Problem
from engine.jobfile import BadFile, JobFile
from engine.log import fold
from engine.weigh import MOST_WEIGHED


@frozen
class Most:
    """How much of each there may be. All ours."""

    edits: int = 5_000
    """of the plan in the log"""
    unseen: int = 1_000
    """plan edits that may not have seen each other"""
    boxes: int = 600
    """of the plan as it stands"""
    weighed: int = 100_000
    """readings that are learned from, times the boxes of the plan and the meters they were taken
    with: about what each of them asks to be worked out"""
    readings: int = 3_000_000
    """all of them, times the boxes of the plan"""


MOST = Most()


def admitted(file: JobFile, most: Most = MOST) -> JobFile:
    """The file, if it can be worked out in time. Raises BadFile with one problem."""
    problem = crowd_of(file, most)
    if problem is not None:
        raise BadFile([problem])
    return file


def crowd_of(file: JobFile, most: Most = MOST) -> Problem | None:
    """The first thing of which there is too much."""
    counted = _Counted(file)
    return next((found for look in LOOKS if (found := look(counted, most))), None)


@frozen(slots=False)
class _Counted:
    """What is counted of a file, each when it is first asked for."""

    file: JobFile

    @cached_property
    def edits(self) -> list[Entry]:
        return [entry for entry in self.file.entries if entry.what in EDITS]

    @cached_property
    def readings(self) -> list[Entry]:
        return [entry for entry in self.file.entries if entry.what == "reading"]

    @cached_property
    def weighed(self) -> int:
        """Of one kind at one place with the same things standing there, only the newest count."""
        same = Counter(
            (body["at"].lower(), body["kind"], body.get("state"), _stood(body.get("with_")))
            for body in (entry.body for entry in self.readings)
        )
        return sum(min(count, MOST_WEIGHED) for count in same.values())

    @cached_property
    def meters(self) -> int:
        return len({entry.body.get("meter") for entry in self.readings} - {None})

    @cached_property
    def most_boxes(self) -> int:
        """No fewer than the plan has as it stands."""
        whole = [len(self.file.plan.boxes)]
        for body in (entry.body for entry in self.edits if entry.body["path"] == ("boxes",)):
            if isinstance(body.get("value"), list):
                whole.append(len(body["value"]))
        added = [e for e in self.edits if e.what == "add" and e.body["path"][:1] == ("boxes",)]
        return max(whole) + len(added)

    @cached_property
    def boxes(self) -> int:
        """Those of the plan as it stands."""
        return len(fold(self.file).job.boxes) if self.edits else len(self.file.plan.boxes)

    def is_more(self, count: Callable[[int], int], most: int) -> bool:
        """Whether what grows with the boxes is too much; folded only where it could be."""
        return count(self.most_boxes) > most and count(self.boxes) > most


def _stood(stood: object) -> str:
    return json.dumps(stood, sort_keys=True, default=dict) if stood else ""


def _edits(counted: _Counted, most: Most) -> Problem | None:
    found = len(counted.edits)
    if found > most.edits:
        return Problem("the log", f"{found} plan edits", f"at most {most.edits}")
    return None


def _unseen(counted: _Counted, most: Most) -> Problem | None:
    """At most so many have not seen each other: each has seen its phone's earlier ones."""
    same = Counter((entry.device, entry.n) for entry in counted.edits if entry.n)
    widest: dict[str, int] = {}
    for (device, _), count in same.items():
        widest[device] = max(widest.get(device, 0), count)
    found = sum(widest.values())
    if found > most.unseen:
        told = f"{found} plan edits that have not seen each other"
        return Problem("the log", told, f"at most {most.unseen}")
    return None


def _boxes(counted: _Counted, most: Most) -> Problem | None:
    if counted.is_more(lambda boxes: boxes, most.boxes):
        return Problem("boxes", f"{counted.boxes} boxes", f"at most {most.boxes}")
    return None


def _weighed(counted: _Counted, most: Most) -> Problem | None:
    if counted.is_more(lambda n: counted.weighed * (n + counted.meters), most.weighed):
        boxes, meters = counted.boxes, counted.meters
        may = f"at most {most.weighed // (boxes + meters)} in a plan of {boxes} boxes"
        with_them = f", taken with {meters} meters" if meters else ""
        return Problem("the log", f"{counted.weighed} different readings", may + with_them)
    return None


def _readings(counted: _Counted, most: Most) -> Problem | None:
    found = len(counted.readings)
    if counted.is_more(lambda boxes: found * boxes, most.readings):
        may = f"at most {most.readings // counted.boxes} in a plan of {counted.boxes} boxes"
        return Problem("the log", f"{found} readings", may)
    return None


LOOKS: tuple[Callable[[_Counted, Most], Problem | None], ...] = (
    _edits,
    _unseen,
    _boxes,
    _weighed,
    _readings,
)
