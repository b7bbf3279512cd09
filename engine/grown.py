"""A mapping that many values share: a copy costs only what was put in lately."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from typing import Generic, TypeVar

Key = TypeVar("Key")
Value = TypeVar("Value")

LATELY = 128
"""entries beside the shared ones, before both are joined"""


class Grown(Generic[Key, Value]):
    """Like a dictionary that nothing is taken from; ``copy`` shares all but the latest entries.

    The shared part is never altered once it is shared.
    """

    __slots__ = ("_lately", "_shared")

    def __init__(self, shared: dict[Key, Value] | None = None) -> None:
        self._shared: dict[Key, Value] = shared or {}
        self._lately: dict[Key, Value] = {}

    def get(self, key: Key) -> Value | None:
        return self._lately[key] if key in self._lately else self._shared.get(key)

    def __getitem__(self, key: Key) -> Value:
        return self._lately[key] if key in self._lately else self._shared[key]

    def __setitem__(self, key: Key, value: Value) -> None:
        self._lately[key] = value

    def __contains__(self, key: Key) -> bool:
        return key in self._lately or key in self._shared

    def items(self) -> Iterator[tuple[Key, Value]]:
        """All pairs, in no order that means anything."""
        old = ((k, v) for k, v in self._shared.items() if k not in self._lately)
        return chain(self._lately.items(), old)

    def copy(self) -> Grown[Key, Value]:
        """One that can go on by itself."""
        if len(self._lately) > LATELY:
            self._shared, self._lately = {**self._shared, **self._lately}, {}
        out = Grown(self._shared)
        out._lately = self._lately.copy()
        return out
