"""Methods that attrs and dataclasses write at every start, compiled once, when the page is built.

Both write each class's methods as a text and have it compiled: nearly half of what importing the
app takes on a phone. The build imports the app once and keeps what came of each text; the phone
looks a text up by its sum, and compiles only what is not there. Imports nothing of the app, so that
it can be first.

Source: read in attrs 26.1 (``attr._make``) and in ``dataclasses`` of Python 3.14; both call
``compile`` or ``exec`` by a name that a module may define for itself.
"""

from __future__ import annotations

import builtins
import dataclasses
import marshal
import re
from collections.abc import Callable, Mapping
from hashlib import sha256
from importlib.resources import files
from importlib.util import MAGIC_NUMBER
from types import CodeType
from typing import Any
from zlib import crc32

import attr._make as attrs_make

NAME = "methods.bin"
"""where they are kept, beside this module"""

SALT = re.compile(r"(hash\(\(\s*)-?\d+,")
"""where attrs writes the hash of a class's name into its text, another number at every start; any
number does that stays the same while the app runs"""

Compile = Callable[[str, str], CodeType]


def use() -> int:
    """Look texts up from now on, where the page was built with some; how many there are."""
    place = files(__package__) / NAME
    data = place.read_bytes() if place.is_file() else b""
    if not data.startswith(MAGIC_NUMBER):
        return 0  # none, or another Python's
    held: Mapping[bytes, bytes] = marshal.loads(data[len(MAGIC_NUMBER) :])

    def looked_up(text: str, name: str) -> CodeType:
        code = held.get(key(text, name))
        return _compiled(text, name) if code is None else marshal.loads(code)

    _serve(looked_up)
    return len(held)


def record() -> Callable[[], bytes]:
    """Keep what comes of each text from now on; the function returned says it, and ends it."""
    found: dict[bytes, bytes] = {}

    def noted(text: str, name: str) -> CodeType:
        code = _compiled(text, name)
        found[key(text, name)] = marshal.dumps(code)
        return code

    def said() -> bytes:
        _serve(_compiled)
        return MAGIC_NUMBER + marshal.dumps(dict(sorted(found.items())))

    _serve(noted)
    return said


def key(text: str, name: str) -> bytes:
    """What a text is known by: it and the name of its file, which is in the code too."""
    return sha256(f"{name}\0{text}".encode()).digest()[:16]


def _compiled(text: str, name: str) -> CodeType:
    return builtins.compile(text, name, "exec", dont_inherit=True)


def _serve(how: Compile) -> None:
    """Have both compile in this way."""

    def compile_(source: Any, filename: str, mode: str, *more: Any, **named: Any) -> Any:
        if isinstance(source, str) and mode == "exec" and not more and not named:
            return how(SALT.sub(rf"\g<1>{crc32(filename.encode())},", source), filename)
        return builtins.compile(source, filename, mode, *more, **named)

    def exec_(source: Any, *more: Any, **named: Any) -> None:
        code = how(source, "<string>") if isinstance(source, str) else source
        builtins.exec(code, *more, **named)

    attrs_make.compile = compile_  # type: ignore[attr-defined]
    dataclasses.exec = exec_  # type: ignore[attr-defined]
