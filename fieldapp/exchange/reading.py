"""A job file of the disk, a zip of one with its photos, or one of all jobs, as the commands take it."""

from __future__ import annotations

import sys
from pathlib import Path

from engine.fields import Problem
from engine.jobfile import BadFile
from fieldapp.exchange.everything import parts_of
from fieldapp.exchange.limits import LIMITS
from fieldapp.exchange.unpacking import Incoming, unpack


def read_file(name: str) -> Incoming | None:
    """What a job file or a zip of one brings; None where it cannot be read, which is told."""
    try:
        return unpack(_bytes_of(Path(name)))
    except BadFile as bad:
        _tell(name, bad)
        return None


def read_files(name: str) -> dict[str, Incoming | None]:
    """What a job file, a zip of one or a zip of all brings: by the name it is told under, None
    where it cannot be read, which is told.
    """
    found: dict[str, Incoming | None] = {}
    at = name
    try:
        data = _bytes_of(Path(name))
        parts = parts_of(data)
        for part, inside in ((name, data),) if parts is None else parts:
            at = name if parts is None else f"{name}, {part}"
            found[at] = _read(at, inside)
    except BadFile as bad:
        _tell(at, bad)
        found[at] = None
    return found


def _read(at: str, data: bytes) -> Incoming | None:
    try:
        return unpack(data)
    except BadFile as bad:
        _tell(at, bad)
        return None


def _tell(at: str, bad: BadFile) -> None:
    for problem in bad.problems:
        print(f"{at}: {problem.line()}", file=sys.stderr)


def _bytes_of(path: Path) -> bytes:
    """A file's bytes; of one that is larger than any that is read, one byte more than that."""
    try:
        with path.open("rb") as stream:
            return stream.read(LIMITS.zip_bytes + 1)
    except OSError as error:
        found = (error.strerror or "nothing readable").lower()
        raise BadFile([Problem("the file", found, "a job file, or a zip of one")]) from None
