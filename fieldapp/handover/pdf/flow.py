"""Blocks set onto pages one below the other: what belongs together stays together."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from attrs import frozen

from fieldapp.handover.pdf.ink import Document, Page

Draw = Callable[[Page, float], None]
"""onto a page, from this height down"""


@frozen
class Block:
    """What is never parted: its height, and how it is drawn.

    ``before`` is the room above it, which falls away at the head of a page. One that ``keeps``
    stands on the page of the next one. ``again`` is drawn first where a page begins with this one.
    """

    height: float
    draw: Draw
    before: float = 0.0
    keeps: bool = False
    again: Block | None = None


@frozen
class Paper:
    """A page's size and the room that its margins leave. [pt]"""

    width: float
    height: float
    side: float
    top: float
    foot: float

    @property
    def inner(self) -> float:
        """The width of the text."""
        return self.width - 2 * self.side

    @property
    def tall(self) -> float:
        """The height of the text."""
        return self.height - self.top - self.foot


class Flow:
    """Where the next block goes."""

    def __init__(self, document: Document, paper: Paper) -> None:
        self.document, self.paper = document, paper
        self.next_page()

    def next_page(self) -> None:
        """Go on at the head of another page."""
        self.page = self.document.page(self.paper.width, self.paper.height)
        self.y = self.paper.top

    @property
    def is_at_top(self) -> bool:
        """Whether nothing stands on this page yet."""
        return self.y <= self.paper.top

    def set(self, blocks: Iterable[Block | None]) -> Iterator[None]:
        """Set blocks in turn, with a breath after each; a None among them is a breath too."""
        chain: list[Block] = []
        for block in blocks:
            if block is not None:
                chain.append(block)
                if not block.keeps:
                    self._place(chain)
                    chain = []
            yield None
        self._place(chain)

    def _place(self, chain: list[Block]) -> None:
        """Blocks that stay together, if a page can hold them at all."""
        if not chain:
            return
        if not self._fits(sum(one.before + one.height for one in chain)) and not self.is_at_top:
            self.next_page()
        for one in chain:
            if not self.is_at_top and not self._fits(one.before + one.height):
                self.next_page()
            if self.is_at_top and one.again:
                self._put(one.again)
            self._put(one)

    def _fits(self, height: float) -> bool:
        return self.y + height <= self.paper.height - self.paper.foot + 0.01

    def _put(self, one: Block) -> None:
        if not self.is_at_top:
            self.y += one.before
        one.draw(self.page, self.y)
        self.y += one.height
