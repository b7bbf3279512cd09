"""What is to be said: a code with named parts. The words are made elsewhere, one function a code."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from attrs import field, frozen


@frozen
class Say:
    """A statement without its words, so that any language and any screen can word it."""

    code: str
    parts: Mapping[str, Any] = field(factory=dict)

    def json(self) -> dict[str, Any]:
        """The code and its parts as one JSON object."""
        return {"code": self.code, **{key: _plain(value) for key, value in self.parts.items()}}


def say(code: str, **parts: Any) -> Say:
    """A statement: ``say("speed-mismatch", at="B2.out", mbps=(1000,), far="E.in")``."""
    return Say(code, parts)


def _plain(value: Any) -> Any:
    if isinstance(value, Say):
        return value.json()
    if isinstance(value, tuple) and hasattr(value, "_fields"):
        return str(value)
    return [_plain(one) for one in value] if isinstance(value, tuple) else value
