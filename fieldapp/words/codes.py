"""How words are found by their code: a language keeps tables, a function of words enters itself."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

Spoken = TypeVar("Spoken")


def entered_in(
    table: dict[str, Callable[..., Spoken]],
) -> Callable[[str], Callable[[Callable[..., Spoken]], Callable[..., Spoken]]]:
    """The decorator that enters a function of words in this table, under the code it is given."""

    def under(code: str) -> Callable[[Callable[..., Spoken]], Callable[..., Spoken]]:
        def keep(function: Callable[..., Spoken]) -> Callable[..., Spoken]:
            table[code] = function
            return function

        return keep

    return under
