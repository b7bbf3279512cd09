"""A mapping and a row that many states share: one more costs only what was put in lately."""

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

    def __iter__(self) -> Iterator[Key]:
        """All keys, in no order that means anything."""
        return chain(self._lately, (key for key in self._shared if key not in self._lately))

    def copy(self) -> Grown[Key, Value]:
        """One that can go on by itself."""
        if len(self._lately) > LATELY:
            self._shared, self._lately = {**self._shared, **self._lately}, {}
        out = Grown(self._shared)
        out._lately = self._lately.copy()
        return out

    def put_since(self, before: Grown[Key, Value]) -> Iterator[Key]:
        """The keys that may have another value than ``before``, of which this is a later copy."""
        if self._shared is before._shared:
            return chain(self._lately, (key for key in before._lately if key not in self._lately))
        return iter(self)


class Row(Generic[Value]):
    """Like a tuple to which more is added: a longer one shares all but the latest with it."""

    __slots__ = ("_lately", "_shared", "_whole")

    def __init__(self, shared: tuple[Value, ...] = (), lately: tuple[Value, ...] = ()) -> None:
        self._shared, self._lately = shared, lately
        self._whole: tuple[Value, ...] | None = None if lately else shared

    def plus(self, *more: Value) -> Row[Value]:
        """This one with more at its end."""
        lately = self._lately + more
        return Row(self._shared, lately) if len(lately) <= LATELY else Row(self._shared + lately)

    @property
    def whole(self) -> tuple[Value, ...]:
        """All of it."""
        if self._whole is None:
            self._whole = self._shared + self._lately
        return self._whole

    def behind(self, count: int) -> tuple[Value, ...]:
        """What stands behind the first so many."""
        many = len(self._shared)
        return self._lately[count - many :] if count >= many else self.whole[count:]

    def begins(self, values: tuple[Value, ...]) -> bool:
        """Whether some values begin with all of this."""
        many = len(self._shared)
        return values[:many] == self._shared and values[many : len(self)] == self._lately

    def goes_on(self, before: Row[Value]) -> bool:
        """Whether this one begins with all of another."""
        if self._shared is before._shared:
            return self._lately[: len(before._lately)] == before._lately
        return before.begins(self.whole)

    def __len__(self) -> int:
        return len(self._shared) + len(self._lately)

    def __iter__(self) -> Iterator[Value]:
        return chain(self._shared, self._lately)

    def __reversed__(self) -> Iterator[Value]:
        return chain(reversed(self._lately), reversed(self._shared))

    def __getitem__(self, place: int) -> Value:
        """One of them, counted from the first, or with a number below 0 from behind the last."""
        place += len(self) if place < 0 else 0
        behind = place - len(self._shared)
        return self._shared[place] if behind < 0 else self._lately[behind]

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Row) and self.whole == other.whole

    __hash__ = None  # type: ignore[assignment]
