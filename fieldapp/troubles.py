"""What is to be said of a failure: from the store's and the reader's errors to codes. Pure."""

from __future__ import annotations

from engine.jobfile import BadFile
from engine.layout import shortened
from engine.merge import NotOneJob
from engine.say import Say, say
from fieldapp.store.errors import (
    JobExists,
    JobUnreadable,
    NoSuchJob,
    StoreBusy,
    StoreError,
    StoreFull,
    StoreReadOnly,
)

STORE_SAYS: tuple[tuple[type[StoreError], str], ...] = (
    (StoreFull, "told-full"),
    (StoreReadOnly, "told-read-only"),
    (StoreBusy, "told-busy"),
)
NAMED: tuple[tuple[type[Exception], str], ...] = (
    (JobExists, "told-here-already"),
    (NotOneJob, "told-other-plan"),
    (NoSuchJob, "told-no-name"),
    (JobUnreadable, "told-no-start"),
)
"""those that are told with the name of the file or job"""
LONGEST_PLACE = 44
"""letters of a place in a file, in a sentence"""


def is_newer(trouble: Exception) -> bool:
    """Whether a later version wrote it, so that nothing of it is touched."""
    return isinstance(trouble, JobUnreadable) and trouble.why == "newer"


def row_say(trouble: Exception) -> Say:
    """What is said on the list, in the place of a job that cannot be read."""
    return say("row-newer" if is_newer(trouble) else "row-unreadable")


def trouble_say(trouble: Exception, name: str) -> Say:
    """What is to be said of a failure."""
    if is_newer(trouble):
        return say("told-newer", name=name)
    if isinstance(trouble, BadFile):
        more = len(trouble.problems) - 1
        at = shortened(trouble.problems[0].at, LONGEST_PLACE)
        return say("told-unreadable", name=name, at=at, more=more)
    for kind, code in NAMED:
        if isinstance(trouble, kind):
            return say(code, name=name)
    for kind, code in STORE_SAYS:
        if isinstance(trouble, kind):
            return say(code)
    return say("told-failed")
