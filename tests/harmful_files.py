"""Files made to harm, and the door of the app that they knock at."""

from __future__ import annotations

import io
import json
import time
import zipfile

import pytest
from test_exchange import NUMBERED

from engine.fields import MOST_PROBLEMS
from engine.jobfile import BadFile, write
from engine.showable import showable
from fieldapp.exchange import LIMITS, unpack

SECONDS = 10.0
"""longer than any of these takes on a slow machine, and far shorter than a hang"""
JOB = write(NUMBERED).encode()


def zipped(*members, **keys) -> bytes:
    """A zip of (name or ZipInfo, bytes)."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", keys.pop("packing", zipfile.ZIP_DEFLATED)) as archive:
        for name, data in members:
            archive.writestr(name, data)
    return out.getvalue()


def around(*members, **keys) -> bytes:
    """A job's own zip with these in it as well."""
    return zipped(("TRIAL.json", JOB), *members, **keys)


def why(data: bytes) -> list[str]:
    """The codes of what was left out."""
    return [one.why for one in unpack(data).left_out]


def refused(data: bytes) -> str:
    """The lines that a file gets which does not come in at all."""
    before = time.perf_counter()
    with pytest.raises(BadFile) as bad:
        unpack(data)
    assert time.perf_counter() - before < SECONDS
    lines = [problem.line() for problem in bad.value.problems]
    assert 1 <= len(lines) <= MOST_PROBLEMS + LIMITS.told
    assert all(len(line) < 1000 and showable(line) == line for line in lines)
    return "\n".join(lines)


def doc(**keys) -> bytes:
    return json.dumps({**NUMBERED, **keys}).encode()
