"""How a job file is read: tables of keys, interpreted once, for the parser and the JSON Schema.

A ``Kind`` reads one JSON value and says what it expected. A ``Record`` is a table of
keys and kinds. Nothing outside this module looks at raw JSON types, and the schema
that other programs validate against is derived from the same tables.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from attrs import field, frozen

from engine.band import CORNERS, Band
from engine.defaults import DEFAULTS, Default
from engine.sliced import Steps, finish
from engine.whereabouts import MISSING, At, join, nearest, place, show

ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9-]*")
SHEET_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9.-]*")
POINT = re.compile(r"[A-Za-z0-9][A-Za-z0-9-]*\.[a-z]+[0-9]*")
MOST_PROBLEMS = 100
"""of one file; a hostile one can have a million"""
A_SLICE = 100
"""things of a list that are read between two yields"""
SLIP_LEAST = 3
"""how many times out of range a number must be before another unit is thought of"""
_CONTROL = re.compile(
    r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\u202a-\u202e\u2066-\u2069]"
)
_LINES = re.compile(r"[\t\n]")


@frozen
class Problem:
    """One thing wrong in a file: the place, what stands there, what was expected."""

    at: str
    found: str
    expected: str
    near: str | None = None

    def line(self) -> str:
        """The problem as one line for a person."""
        hint = f" Did you mean {self.near}?" if self.near else ""
        return f"{self.at}: found {self.found}, expected {self.expected}.{hint}"


@frozen
class Assumption:
    """A default that was taken: which quantity of which thing, and the default's row."""

    at: str
    quantity: str
    of: str
    default: Default


class _Bad:
    """Marks a value that could not be read; its problem is already noted."""

    def __bool__(self) -> bool:
        return False


BAD: Any = _Bad()


class Enough(ValueError):
    """So much is wrong that nobody is helped by more; its text is the first problem."""


@frozen
class Reader:
    """Collects what is wrong, up to ``MOST_PROBLEMS``, and what was assumed while a file is read."""

    problems: list[Problem] = field(factory=list)
    assumed: list[Assumption] = field(factory=list)

    def bad(self, at: At, found: Any, expected: str, near: str | None = None) -> Any:
        """Note a problem; the result marks the place as unread."""
        return self.note(Problem(place(at) or "the file", show(found), expected, near))

    def note(self, problem: Problem) -> Any:
        """The same with a problem as it stands. Raises Enough with the last that is taken."""
        self.problems.append(problem)
        if len(self.problems) >= MOST_PROBLEMS:
            raise Enough(self.problems[0].line())
        return BAD


Schema = dict[str, Any]
"""a JSON Schema, or a part of one"""


class Kind:
    """A kind of JSON value: reads it, or notes one problem; knows its JSON Schema."""

    def read(self, reader: Reader, value: Any, at: At) -> Any:
        raise NotImplementedError

    def schema(self) -> Schema:
        raise NotImplementedError


@frozen
class Text(Kind):
    """Words of a person: one line unless ``lines``, no control characters, at most ``most`` letters."""

    most: int = 200
    lines: bool = False

    def read(self, reader: Reader, value: Any, at: At) -> Any:
        if not isinstance(value, str):
            return reader.bad(at, value, "a text")
        if len(value) > self.most:
            return reader.bad(at, value, f"at most {self.most} letters")
        if value.isprintable():
            return value
        if not self.lines and _LINES.search(value):
            return reader.bad(at, value, "a text of one line")
        if _CONTROL.search(value):
            return reader.bad(at, value, "a text without control characters")
        return value

    def schema(self) -> Schema:
        return {"type": "string", "maxLength": self.most}


@frozen
class Word(Kind):
    """A text of a fixed form, such as an id."""

    pattern: re.Pattern[str]
    says: str

    def read(self, reader: Reader, value: Any, at: At) -> Any:
        if isinstance(value, str) and len(value) <= 80 and self.pattern.fullmatch(value):
            return value
        return reader.bad(at, value, self.says)

    def schema(self) -> Schema:
        return {"type": "string", "maxLength": 80, "pattern": f"^(?:{self.pattern.pattern})$"}


@frozen
class Number(Kind):
    """A finite JSON number between two limits."""

    least: float = -1e6
    most: float = 1e6
    whole: bool = False

    def read(self, reader: Reader, value: Any, at: At) -> Any:
        if not isinstance(value, int | float) or isinstance(value, bool):
            return reader.bad(at, value, self._says)
        if not self.least <= value <= self.most:
            return reader.bad(at, value, self._says, self._in_another_unit(value))
        if not self.whole:
            return float(value)
        return int(value) if value == int(value) else reader.bad(at, value, self._says)

    @property
    def _says(self) -> str:
        return f"a {'whole ' if self.whole else ''}number {self.least:g} to {self.most:g}"

    def _in_another_unit(self, value: float) -> str | None:
        """The fitting number, if this one looks typed in thousands, thousandths or percent.

        A count has no unit, what is only a little out of range is another mistake, and 300 °C
        were not meant as 0.3.
        """
        largest, size = max(abs(self.least), abs(self.most)), abs(value)
        near = self.least / SLIP_LEAST < size < largest * SLIP_LEAST
        if self.whole or near or size > 1000 * largest or (self.least < 0 and size < 1000):
            return None
        scaled = [value / 1000, value * 1000]
        if self.most <= 1:
            scaled.insert(0, value / 100)
        return next((f"{one:.10g}" for one in scaled if self.least <= one <= self.most), None)

    def schema(self) -> Schema:
        kind = "integer" if self.whole else "number"
        return {"type": kind, "minimum": self.least, "maximum": self.most}


@frozen
class Flag(Kind):
    """true or false."""

    def read(self, reader: Reader, value: Any, at: At) -> Any:
        return value if isinstance(value, bool) else reader.bad(at, value, "true or false")

    def schema(self) -> Schema:
        return {"type": "boolean"}


@frozen
class Choice(Kind):
    """One of a few known words or numbers."""

    options: tuple[str | int, ...]

    def read(self, reader: Reader, value: Any, at: At) -> Any:
        if not isinstance(value, bool) and isinstance(value, str | int) and value in self.options:
            return value
        words = ", ".join(map(str, self.options))
        return reader.bad(at, value, f"one of {words}", nearest(value, self.options))

    def schema(self) -> Schema:
        return {"enum": list(self.options)}


@frozen
class Quantity(Kind):
    """A number, to which a default tolerance applies, or low / expected / high."""

    default: str
    least: float = 0.0
    most: float = 1e6

    @property
    def _parts(self) -> Number:
        return Number(self.least, self.most)

    @property
    def _band(self) -> Record:
        return Record({name: required(self._parts) for name in CORNERS})

    def read(self, reader: Reader, value: Any, at: At) -> Any:
        if not isinstance(value, dict):
            expected = f"a number {self.least:g} to {self.most:g}, or low, expected and high"
            if isinstance(value, bool) or not isinstance(value, int | float):
                return reader.bad(at, value, expected)
            number = self._parts.read(reader, value, at)
            return number if number is BAD else DEFAULTS[self.default].spread(number)
        parts = self._band.read(reader, value, at)
        if parts is BAD:
            return BAD
        numbers = [parts[key] for key in CORNERS]
        if not numbers[0] <= numbers[1] <= numbers[2]:
            return reader.bad(at, " / ".join(f"{n:g}" for n in numbers), "low ≤ expected ≤ high")
        return Band(*numbers)

    def schema(self) -> Schema:
        return {"anyOf": [self._parts.schema(), self._band.schema()]}


@frozen
class ListOf(Kind):
    """A list of one kind."""

    item: Kind
    most: int = 1000

    def read(self, reader: Reader, value: Any, at: At) -> Any:
        return finish(self.reading(reader, value, at))

    def reading(self, reader: Reader, value: Any, at: At) -> Steps[Any]:
        """The same in steps, for a long one."""
        if not isinstance(value, list):
            return reader.bad(at, value, "a list")
        if len(value) > self.most:
            return reader.bad(at, value, f"at most {self.most} of them")
        items = []
        for i, item in enumerate(value):
            items.append(self.item.read(reader, item, (at, i)))
            if len(items) % A_SLICE == 0:
                yield
        return BAD if any(item is BAD for item in items) else tuple(items)

    def schema(self) -> Schema:
        return {"type": "array", "maxItems": self.most, "items": self.item.schema()}


@frozen
class MapOf(Kind):
    """An object whose keys are names of one form and whose values are of one kind."""

    key: Word
    item: Kind
    least: int = 0

    def read(self, reader: Reader, value: Any, at: At) -> Any:
        if not isinstance(value, dict):
            return reader.bad(at, value, "an object")
        if len(value) < self.least:
            return reader.bad(at, value, f"at least {self.least} of them")
        out = {}
        for name, item in value.items():
            here = (at, name)
            if self.key.read(reader, name, here) is not BAD:
                out[name] = self.item.read(reader, item, here)
        return BAD if len(out) < len(value) or BAD in out.values() else out

    def schema(self) -> Schema:
        pattern = self.key.schema()["pattern"]
        return {
            "type": "object",
            "minProperties": self.least,
            "patternProperties": {pattern: self.item.schema()},
            "additionalProperties": False,
        }


@frozen
class OneOf(Kind):
    """The kind whose test the value meets."""

    rows: tuple[tuple[Callable[[Any], bool], Kind], ...]
    says: str

    def read(self, reader: Reader, value: Any, at: At) -> Any:
        for fits, kind in self.rows:
            if fits(value):
                return kind.read(reader, value, at)
        return reader.bad(at, value, self.says)

    def schema(self) -> Schema:
        return {"anyOf": [kind.schema() for _, kind in self.rows]}


@frozen
class Anything(Kind):
    """A value that is kept and passed on without being looked at."""

    def read(self, reader: Reader, value: Any, at: At) -> Any:
        return value

    def schema(self) -> Schema:
        return {}


@frozen
class Key:
    """One key of a record: its kind, and whether it must be there."""

    kind: Kind
    required: bool = False


@frozen
class Record(Kind):
    """An object with known keys; ``build`` turns the read keys into a value.

    Keys that begin with ``x_`` are somebody's own and are left alone. Any other
    unknown key is a problem that names the nearest known one.
    """

    keys: Mapping[str, Key]
    build: Callable[..., Any] = dict

    def read(self, reader: Reader, value: Any, at: At) -> Any:
        if not isinstance(value, dict):
            return reader.bad(at, value, "an object")
        whole = True
        for name in value:
            if name not in self.keys and not name.startswith("x_"):
                near, known = nearest(name, self.keys), "a known key, or one that begins with x_"
                reader.note(Problem(join(at, name), "an unknown key", known, near))
                whole = False
        out = {}
        for name, key in self.keys.items():
            if name in value:
                out[name] = read = key.kind.read(reader, value[name], (at, name))
                whole = whole and read is not BAD
            elif key.required:
                reader.bad((at, name), MISSING, expected_of(key.kind))
                whole = False
        return self.build(**_identifiers(out)) if whole else BAD

    def schema(self) -> Schema:
        return {
            "type": "object",
            "required": [name for name, key in self.keys.items() if key.required],
            "properties": {name: key.kind.schema() for name, key in self.keys.items()},
            "patternProperties": {"^x_": {}},
            "additionalProperties": False,
        }


def expected_of(kind: Kind) -> str:
    """What a kind expects, in the words it uses for a wrong value."""
    probe = Reader()
    kind.read(probe, MISSING, "")
    return probe.problems[0].expected if probe.problems else "a value"


def _identifiers(keys: dict[str, Any]) -> dict[str, Any]:
    """Keys that are words of Python get a trailing underscore (``from``, ``class``, ``with``)."""
    if _RESERVED.isdisjoint(keys):
        return keys
    return {name + "_" if name in _RESERVED else name: value for name, value in keys.items()}


_RESERVED = frozenset({"from", "class", "with", "as"})


def required(kind: Kind) -> Key:
    """A key that must be there."""
    return Key(kind, required=True)


def optional(kind: Kind) -> Key:
    """A key that may be missing."""
    return Key(kind)


Ident = Word(ID, "letters, digits and -")
SheetIdent = Word(SHEET_ID, "letters, digits, - and .")
PointIdent = Word(POINT, "a point, BOX.port")
