"""A mapping that many values share: a copy costs only what was put in lately."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from typing import Any

LATELY = 128
"""entries beside the shared ones, before both are joined"""


class Grown:
    """Like a dictionary that nothing is taken from; ``copy`` shares all but the latest entries.

    The shared part is never altered once it is shared.
    """

    __slots__ = ("_lately", "_shared")

    def __init__(self, shared: dict[Any, Any] | None = None) -> None:
        self._shared: dict[Any, Any] = shared or {}
        self._lately: dict[Any, Any] = {}

    def get(self, key: Any, otherwise: Any = None) -> Any:
        found = self._lately.get(key, self)
        return self._shared.get(key, otherwise) if found is self else found

    def __getitem__(self, key: Any) -> Any:
        return self._lately[key] if key in self._lately else self._shared[key]

    def __setitem__(self, key: Any, value: Any) -> None:
        self._lately[key] = value

    def __contains__(self, key: Any) -> bool:
        return key in self._lately or key in self._shared

    def items(self) -> Iterator[tuple[Any, Any]]:
        """All pairs, in no order that means anything."""
        old = ((k, v) for k, v in self._shared.items() if k not in self._lately)
        return chain(self._lately.items(), old)

    def copy(self) -> Grown:
        """One that can go on by itself."""
        if len(self._lately) > LATELY:
            self._shared, self._lately = {**self._shared, **self._lately}, {}
        out = Grown(self._shared)
        out._lately = self._lately.copy()
        return out
