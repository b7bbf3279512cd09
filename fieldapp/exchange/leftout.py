"""Why a thing in a zip was not taken: codes, with the terminal's English of each.

The app has its own words for each code (``fieldapp/words/exchange.py``).
"""

from __future__ import annotations

from dataclasses import dataclass

from engine.fields import Problem

WHY = {
    "link": ("a link", "a plain file"),
    "no-file": ("no plain file", "a plain file"),
    "locked": ("a file locked with a password", "one that is not"),
    "packing": ("a packing that is not read here", "one stored or deflated"),
    "twice": ("a name that is in it twice", "each name once"),
    "foreign": ("no part of a job", "the job file, or photos/SUM.jpg"),
    "many": ("one picture too many", "as many as are read"),
    "unnamed": ("a picture that no entry names", "pictures of the log"),
    "changed": ("other bytes than its name says", "the picture that was kept"),
    "place": ("a picture that may tell where it was taken", "one that does not"),
    "no-picture": ("no JPEG picture", "the picture that was kept"),
    "large": ("more than it may be", "an ordinary size"),
    "damaged": ("damaged bytes", "a whole file"),
    "more": ("more that was left out", "the job file, or photos/SUM.jpg"),
}
"""code -> what was found, what was expected"""


@dataclass(frozen=True)
class LeftOut:
    """One thing that was not taken: its name as it may be shown, and the code of why."""

    at: str
    why: str

    def problem(self) -> Problem:
        """The same as a line for the terminal."""
        return Problem(self.at, *WHY[self.why])


class Refused(Exception):
    """A member is not read on: the code of why."""

    def __init__(self, why: str) -> None:
        self.why = why
        super().__init__(WHY[why][0])
