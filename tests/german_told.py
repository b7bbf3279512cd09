"""All that the German words can be made to say, and what gives away that something is not German."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import fields
from functools import cache
from typing import Any

from statements_made import TYPED_BY_SOMEBODY, everything_said
from words_told import examples, public_functions

from engine.job import KINDS
from engine.say import Say
from fieldapp import words
from fieldapp.words import english, german
from fieldapp.words.english.figures import NBSP


def texts_in(thing: Any) -> Iterator[str]:
    """All texts somewhere in a value."""
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, Say):
        yield from texts_in(tuple(thing.parts.values()))
    elif isinstance(thing, Mapping):
        yield from texts_in((*thing.keys(), *thing.values()))
    elif isinstance(thing, Sequence | AbstractSet):
        for one in thing:
            yield from texts_in(one)


def keys_in(thing: Any) -> Iterator[str]:
    """All keys somewhere in a table."""
    if isinstance(thing, Mapping):
        yield from (key for key in thing if isinstance(key, str))
        for value in thing.values():
            yield from keys_in(value)


@cache
def keys() -> frozenset[str]:
    """What the tables of the words are asked for: never a person's own words."""
    tables = (thing for name, thing in vars(english).items() if not name.startswith("_"))
    return frozenset(key for table in tables for key in keys_in(table))


def given(args: Any) -> frozenset[str]:
    """Texts that somebody gave: names of places and people, files; they stay as they are."""
    found = [text for text in texts_in(args) if text not in keys()]
    whole = {text for text in found if re.search(r"[A-Z\d. ]", text)}
    return frozenset(whole | {text.removeprefix("stop:") for text in found if ":" in text})


def given_in(statement: Say) -> frozenset[str]:
    """Those of a statement; what was typed by somebody stays whatever it is."""
    typed: set[str] = set(given(tuple(statement.parts.values())))
    for key, value in statement.parts.items():
        if isinstance(value, Say):
            typed |= given_in(value)
        elif key in TYPED_BY_SOMEBODY:
            typed |= set(texts_in(value))
    return frozenset(typed)


def said_in_german(statement: Say) -> tuple[str, ...]:
    if statement.code in german.STEPS:
        step = german.step(statement)
        return tuple(text for text in vars(step).values() if text)
    return (german.sentence(statement),)


@cache
def sentences() -> tuple[tuple[str, str, frozenset[str]], ...]:
    """All sentences of all codes: (code, text, what was given)."""
    return tuple(
        dict.fromkeys(
            (one.code, text, given_in(one))
            for one in everything_said()
            if one.code in german.SAYS or one.code in german.STEPS
            for text in said_in_german(one)
        )
    )


MINE: Mapping[str, tuple[tuple[Any, ...], ...]] = {
    "read_there": (("L2.in", f"41,0{NBSP}V"), ("C4", f"24,0{NBSP}Ω")),
    # columns of a table have the names of the file in every language
    "table_problem": (
        ("line 3, metres", '"12,5x"', "a length in metres"),
        ("line 3", "4 columns", "5 columns"),
        ("the table", "nothing", "the columns id, metres"),
    ),
    "boxes_kind": tuple((kind,) for kind in KINDS),
    "box_title": tuple(("L2", kind, "Hut") for kind in KINDS),
    "kind_word": tuple((kind,) for kind in KINDS),
    "speak_gauge": (
        (41.0, 0.3, 43.7, 46.0, "volts", "außerhalb", True),
        (41.0, 0.3, 43.7, 46.0, "metres", "", False),
        (None, 0.0, None, None, "volts", "", False),
    ),
    "visit_answered": (("P. Quill", "Wart", "Linse beschlagen"), ("", "", "Regen")),
    "speak_reel_gauge": ((24.0, 0.3, "Kupfer 22 bis 26", "im Band"), (None, 0.3, "Kupfer", "")),
}
"""arguments where those of the English words are no German text, or none that is met"""


def texts_told(function: Any, every: Iterator[tuple[Any, ...]]) -> Iterator[tuple[Any, ...]]:
    """Arguments, where a text is awaited a figure put in German already."""
    kinds = [str(part.annotation) for part in inspect.signature(function).parameters.values()]
    for args in every:
        yield tuple(
            german.comma(str(one)) if kind == "str" else one
            for one, kind in zip(args, kinds, strict=False)
        )


@cache
def small() -> tuple[tuple[str, str, frozenset[str]], ...]:
    """What stands by itself on the screens: (where it comes from, text, what was given)."""
    nothing: frozenset[str] = frozenset()
    out: list[tuple[str, str, frozenset[str]]] = [
        (name, re.sub(r"\{\w+\}", "…", text), nothing)
        for name, thing in vars(german).items()
        if name.isupper()
        and name not in {"NBSP", "SAYS", "STEPS", "FIXED", "LANGUAGE"}
        and hasattr(words, name)
        for text in values(thing)
    ]
    if hasattr(german, "FIXED"):
        fixed = german.FIXED
        out += [(f"FIXED.{one.name}", getattr(fixed, one.name), nothing) for one in fields(fixed)]
    for name, function in public_functions().items():
        if hasattr(german, name) and name != "capital":
            for args in MINE.get(name) or texts_told(function, examples(name, function)):
                text = getattr(german, name)(*args)
                for one in (text,) if isinstance(text, str) else texts_in(text):
                    out.append((f"{name}{args}", one, given(args)))
    return tuple(out)


def values(thing: Any) -> Iterator[str]:
    """The texts of a table, not its keys, and not what is no text for a person."""
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, Mapping):
        for value in thing.values():
            yield from values(value)
    elif isinstance(thing, Sequence):
        for value in thing:
            yield from values(value)


def everything() -> tuple[tuple[str, str, frozenset[str]], ...]:
    return (*sentences(), *small())


def own(text: str, typed: frozenset[str]) -> str:
    """A text without what was given."""
    for part in sorted(typed, key=len, reverse=True):
        text = re.sub(rf"(?<!\w){re.escape(part)}(?!\w)", "…", text, flags=re.IGNORECASE)
    return text


ENGLISH = re.compile(
    r"\b(the|of|and|is|are|was it|not|no|with|from|this|that|these|it|its|has|have|to|at|on|for"
    r"|you|your|or|by|be|been|one|two|first|then|before|after|here|there|where|when|which|what"
    r"|nothing|something|read|measure|measured|run|span|cable|lead|earth|wire|wires|mend|found"
    r"|stop|step|done|open|keep|kept|left|right|leave|look|take|back|power|volts|watts|ohms|amps"
    r"|load|feed|source|box|boxes|reading|readings|frame|frames|likely|hardly|perhaps|side|kit"
    r"|joint|reel|sheet|known|short|by-pass)\b"
)
"""words that German has not; the language's own begin with a capital where they are alike"""


POINTED = re.compile(r"(?<![\d.])\d+\.\d+(?![\d.])")
"""a decimal point; three figures between points are a date or a version"""
