"""A job copied: its plan as it stands, under a title of its own. What was logged stays behind."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING, Any

from engine.log import folding
from fieldapp.breath import in_slices
from fieldapp.effects import CopyJob

if TYPE_CHECKING:
    from fieldapp.shelf import Shelf


async def copied(shelf: Shelf, effect: CopyJob) -> dict[str, Any]:
    """The document of a copy.

    Raises
    ------
    BadFile, StoreError
    """
    file = await shelf.read(effect.job)
    taken = [card.title for card in await shelf.store.list_jobs()]
    state = await in_slices(folding(file))
    return {**state.doc, "title": own_title(effect.title, taken)}


def own_title(title: str, taken: Collection[str]) -> str:
    """A title that no other job has: with a number behind it where this one is taken.

    >>> own_title("Weir, copy", ["Weir", "Weir, copy", "Weir, copy 2"])
    'Weir, copy 3'
    """
    have = {one.casefold() for one in taken}
    number, own = 1, title
    while own.casefold() in have:
        number += 1
        own = f"{title} {number}"
    return own
