"""A job file of the disk, or a zip of one with its photos, as the commands take it."""

from __future__ import annotations

import sys
from pathlib import Path

from engine.fields import Problem
from engine.jobfile import BadFile
from fieldapp.exchange.limits import LIMITS
from fieldapp.exchange.unpacking import Incoming, unpack


def read_file(name: str) -> Incoming | None:
    """What a job file or a zip of one brings; None where it cannot be read, which is told."""
    try:
        return unpack(_bytes_of(Path(name)))
    except BadFile as bad:
        for problem in bad.problems:
            print(f"{name}: {problem.line()}", file=sys.stderr)
        return None


def _bytes_of(path: Path) -> bytes:
    """A file's bytes; of one that is larger than any that is read, one byte more than that."""
    try:
        with path.open("rb") as stream:
            return stream.read(LIMITS.zip_bytes + 1)
    except OSError as error:
        found = (error.strerror or "nothing readable").lower()
        raise BadFile([Problem("the file", found, "a job file, or a zip of one")]) from None
