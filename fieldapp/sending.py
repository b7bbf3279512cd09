"""Handlers that send a message: the same message is the same handler, so nothing is drawn anew."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any


class Send:
    """A handler that can be compared: the same message, the same handler."""

    def __init__(self, send: Callable[[Any], None], message: Any) -> None:
        self._send, self.message = send, message

    def __call__(self) -> None:
        self._send(self.message)

    def __eq__(self, other: object) -> bool:
        return type(other) is type(self) and self.message == other.message

    def __hash__(self) -> int:
        return hash(self.message)


class SendText:
    """The same for a field: ``make`` turns the text into a message."""

    def __init__(self, send: Callable[[Any], None], make: type, *first: Any) -> None:
        self._send, self.make, self.first = send, make, first

    def __call__(self, event: Any) -> None:
        self._send(self.make(*self.first, event.control.value))

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, SendText)
            and type(other) is type(self)
            and (self.make, self.first) == (other.make, other.first)
        )

    def __hash__(self) -> int:
        return hash((self.make, self.first))
