"""Reading and writing a job file: text to document to job; every problem names its place.

``format`` has the tables of keys, ``assemble`` makes things of names.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from math import isfinite
from pathlib import Path
from typing import Any

from attrs import frozen

from engine.assemble import assemble
from engine.entries import Entry
from engine.fields import Enough, Problem, Reader
from engine.format import FORMAT, LOG, PLAN
from engine.job import AnySheet, Job
from engine.sheets import STARTER
from engine.showable import escaped
from engine.sliced import Steps, finish
from engine.whereabouts import show

LARGEST_BYTES = 20 * 1024 * 1024
PIECES = 4000
"""of a text between two yields: quick ones, a value or a comma each"""
DEEPEST = 20
MOST_VALUES = 2_000_000
"""in one file, ours: 100,000 entries have fewer, and each takes some hundred bytes of memory"""


class BadFile(Exception):
    """A job file that cannot be read; ``problems`` has one entry for each thing wrong."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(problem.line() for problem in self.problems))


@frozen
class JobFile:
    """A job file as read: the plan as first agreed, the log, and the text it came from."""

    doc: Mapping[str, Any]
    plan: Job
    entries: tuple[Entry, ...]


# ---------------------------------------------------------------- text to document


def parse_json(text: str | bytes) -> dict[str, Any]:
    """The document in a job file's text.

    Raises
    ------
    BadFile : not UTF-8, not JSON, a key twice in one object, NaN or infinity, more
        than 20 MB, deeper than 20, or not an object.
    """
    size = len(text) if isinstance(text, bytes) else len(text.encode("utf-8", "surrogatepass"))
    if size > LARGEST_BYTES:
        raise BadFile([Problem("the file", f"{size} bytes", "at most 20 MB")])
    if isinstance(text, bytes):
        try:
            text = text.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            where = Problem(f"byte {error.start}", "no UTF-8", "a UTF-8 text")
            raise BadFile([where]) from None
    if not text.strip():
        raise BadFile([Problem("the file", "nothing", f"a job in the format {FORMAT}")])
    _refuse_depth(text)
    try:
        doc = json.loads(
            text,
            object_pairs_hook=_no_twins,
            parse_constant=_no_constant,
            parse_float=_finite,
        )
    except BadFile:
        raise
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, letter {error.colno}"
        raise BadFile([Problem(place, "no JSON", "a job as JSON")]) from None
    except ValueError:  # a number of more digits than Python reads
        raise BadFile([Problem("the file", "an endless number", "ordinary numbers")]) from None
    if not isinstance(doc, dict):
        raise BadFile([Problem("the file", "no object", f"a job in the format {FORMAT}")])
    return doc


def _refuse_depth(text: str) -> None:
    """Nesting and values are counted before parsing, so that no file exhausts the parser."""
    depth, values, inside, behind = 0, 0, False, False
    for letter in text:
        if inside:
            if behind:
                behind = False
            elif letter == "\\":
                behind = True
            elif letter == '"':
                inside = False
        elif letter == '"':
            inside = True
        elif letter in "[{":
            depth += 1
            if depth > DEEPEST:
                raise BadFile([Problem("the file", "deeper nesting", f"at most {DEEPEST} levels")])
        elif letter in "]}":
            depth -= 1
        elif letter == ",":
            values += 1
    if values > MOST_VALUES:
        raise BadFile([Problem("the file", f"{values} values", f"at most {MOST_VALUES}")])


def _no_twins(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    out = dict(pairs)
    if len(out) < len(pairs):
        seen: set[str] = set()
        for name, _ in pairs:
            if name in seen:
                raise BadFile([Problem(show(name), "the key twice", "each key once in an object")])
            seen.add(name)
    return out


def _finite(word: str) -> float:
    """A number too large for a float would be read as an infinity."""
    value = float(word)
    return value if isfinite(value) else _no_constant(word[:24])


def _no_constant(word: str) -> Any:
    raise BadFile([Problem("the file", word, "finite numbers")])


# ---------------------------------------------------------------- document to job


def read_job(doc: Mapping[str, Any], starter: Mapping[str, AnySheet] = STARTER) -> JobFile:
    """A document as a job with its log.

    ``starter`` are the starter sheets that a box may name beside the file's own.

    Raises
    ------
    BadFile : with every problem found, not only the first, up to ``MOST_PROBLEMS``.
    """
    return finish(reading_job(doc, starter))


def reading_job(
    doc: Mapping[str, Any], starter: Mapping[str, AnySheet] = STARTER
) -> Steps[JobFile]:
    """The same in steps: the plan is read in one, of the log a few entries in each."""
    newer = doc.get("format")
    if isinstance(newer, str) and newer.startswith("farend-job/") and newer != FORMAT:
        problem = Problem("format", json.dumps(newer), f"{FORMAT}; a newer Farend made this file")
        raise BadFile([problem])
    reader = Reader()
    job: Job | None = None
    try:
        log = doc.get("log", [])
        plan = PLAN.read(reader, {**doc, "log": []}, "")
        yield
        entries = yield from LOG.reading(reader, log, "log")
        job = None if reader.problems else assemble(reader, doc, plan, starter)
    except Enough:
        pass
    if reader.problems or job is None:
        raise BadFile(reader.problems)
    return JobFile(doc, job, entries)


def load(path: str | Path) -> JobFile:
    """The job in a file.

    Raises
    ------
    BadFile : also when the file cannot be opened.
    """
    path = Path(path)
    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise BadFile([Problem(str(path), "more than 20 MB", "a job file")])
        data = path.read_bytes()
    except OSError as error:
        found = (error.strerror or "nothing readable").lower()
        raise BadFile([Problem(str(path), found, "a job file")]) from None
    return read_job(parse_json(data))


def write(doc: Mapping[str, Any]) -> str:
    """A document as the text of a job file: UTF-8, indented, keys in their order."""
    return finish(writing(doc))


def writing(doc: Mapping[str, Any]) -> Steps[str]:
    """The same in steps."""
    pieces = []
    for piece in json.JSONEncoder(ensure_ascii=False, indent=2).iterencode(doc):
        pieces.append(piece)
        if len(pieces) % PIECES == 0:
            yield
    return escaped("".join(pieces)) + "\n"
