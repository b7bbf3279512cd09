"""Everything that the words can be made to say: each code, and each function with each of its parts."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterator
from dataclasses import fields
from functools import cache
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from statements_made import everything_said, own_words
from word_parts import EMPTIABLE, INNER, POOL, SPECIAL

import fieldapp.faces
from engine.say import Say
from fieldapp import words
from fieldapp.words import english
from fieldapp.words.english import FIXED, STEPS

ASSETS = Path(fieldapp.faces.__file__).parent / "assets"


def rendered(statement: Say) -> tuple[str, ...]:
    """The sentences of one statement."""
    if statement.code in STEPS:
        step = words.step(statement)
        return tuple(text for text in vars(step).values() if text)
    return (words.sentence(statement),)


def public_functions() -> dict[str, Any]:
    return {
        name: thing
        for name, thing in vars(english).items()
        if inspect.isfunction(thing)
        and thing.__module__.startswith(f"{words.__name__}.")
        and not name.startswith("_")
        and name not in INNER
    }


def examples(name: str, function: Any) -> Iterator[tuple[Any, ...]]:
    """Arguments for a function of words, by the names and kinds of its parts."""
    if name in SPECIAL:
        yield from SPECIAL[name]
        return
    pools = []
    for part in inspect.signature(function, eval_str=False).parameters.values():
        kind = str(part.annotation)
        if part.name in POOL:
            maybe = "None" in kind
            pools.append(tuple(one for one in POOL[part.name] if one is not None or maybe))
        elif kind.startswith("bool"):
            pools.append((True, False))
        elif kind.startswith("int"):
            pools.append((0, 1, 3))
        elif kind.startswith("float"):
            pools.append((2.7, 470.0))
        elif kind.startswith("str"):
            pools.append(("L2", "") if part.name in EMPTIABLE else ("L2",))
        else:
            pytest.fail(f"{name}: no example for {part}; add one to SPECIAL in word_parts")
    yield from product(*pools)


@cache
def small_words() -> tuple[tuple[str, str], ...]:
    """What stands by itself on the screens: (where it comes from, text)."""
    out = [(f"FIXED.{one.name}", getattr(FIXED, one.name)) for one in fields(FIXED)]
    tables = ("UNITS", "KINDS", "VERDICTS", "OUTLINES", "TURNED", "WANTS", "LACKS", "EXCEEDS")
    for table in (*tables, "TRIED", "NEEDS", "COLOURS"):
        out += [(f"{table}[{key}]", text) for key, text in getattr(words, table).items()]
    out += [("CANNOT", text) for text in words.CANNOT]
    out += [("WAIVERS", text) for text in words.WAIVERS]
    out += [("MENDED", text) for text in words.MENDED]
    for name, function in public_functions().items():
        out += [(f"{name}{args}", function(*args)) for args in examples(name, function)]
    return tuple(out)


@cache
def sentences() -> tuple[tuple[str, str], ...]:
    """All sentences with the job's own words taken out: (code, text)."""
    found = {
        (statement.code, own_words(statement, text))
        for statement in everything_said()
        for text in rendered(statement)
    }
    return tuple(sorted(found))


def everything() -> tuple[tuple[str, str], ...]:
    return (*sentences(), *small_words())


UNIT = r"(?:V|mA|W|kW|Ω|m|km|mm²|mm|Mb/s|°C|min|%)"
PARTED = re.compile(rf"\d (?={UNIT}(?![\w/]))")
GLUED = re.compile(rf"\d(?={UNIT}(?![\w/]))(?!%)")
