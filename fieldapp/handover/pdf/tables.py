"""Tables as blocks: columns as wide as what is in them, heads again on every page."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from attrs import frozen

from fieldapp.handover.pdf.flow import Block
from fieldapp.handover.pdf.ink import Page
from fieldapp.handover.pdf.letters import typeface
from fieldapp.handover.pdf.lines import broken, longest_word, whole

HALF_CAPITAL = 0.345
"""from the middle of a capital to the baseline. [em]"""
STRIKE = 0.26
"""height of the stroke through a line above its baseline. [em]"""
MOST_WORD = 0.25
"""of the room: a word that is wider is broken"""
BREATH = 25
"""rows measured between two breaths"""


@frozen
class Style:
    """How a table is written. [pt]"""

    face: str
    head: str
    size: float
    leading: float
    pad: float
    gap: float


@frozen
class Sign:
    """A drawing that stands before the words of a cell: the room it takes, how it is drawn from
    its left edge and the middle of the line."""

    width: float
    draw: Callable[[Page, float, float], None]


@frozen
class Field:
    """One cell."""

    text: str
    sign: Sign | None = None

    @property
    def indent(self) -> float:
        """Where its first word begins."""
        return self.sign.width if self.sign else 0.0


@frozen
class Line:
    """One row; a struck one has a stroke through each line of its text."""

    fields: tuple[Field, ...]
    is_struck: bool = False


def table(
    heads: Sequence[str], rows: Sequence[Line], x: float, width: float, tall: float, style: Style
) -> Iterator[Block | None]:
    """The blocks of a table in this width; a row higher than ``tall`` is parted between lines."""
    needs = [
        (longest_word(head, style.head, style.size), whole(head, style.head, style.size))
        for head in heads
    ]
    for i, row in enumerate(rows):
        needs = [_wider(need, field, style) for need, field in zip(needs, row.fields, strict=True)]
        if i % BREATH == BREATH - 1:
            yield None
    columns = shares(needs, width - style.gap * (len(heads) - 1))
    places, at = [], x
    for one in columns:
        places.append((at, one))
        at += one + style.gap
    top = tuple(map(Field, heads))
    head = _Set(style, style.head, x, width, tuple(places), Line(top), is_head=True)
    again = head.whole()
    yield Block(again.height, again.draw, keeps=True)
    last = len(rows) - 1
    for i, row in enumerate(rows):
        done = _Set(style, style.face, x, width, tuple(places), row)
        # neither the first row nor the last stands alone on a page
        holds = i in (0, last - 1) and last > 0
        yield from done.blocks(tall - again.height, holds, again)


def _wider(need: tuple[float, float], field: Field, style: Style) -> tuple[float, float]:
    least, most = need
    word = longest_word(field.text, style.face, style.size)
    text = whole(field.text, style.face, style.size)
    return max(least, word + field.indent), max(most, text + field.indent)


def shares(needs: Sequence[tuple[float, float]], room: float) -> list[float]:
    """The widths of columns that need at least and at most so much.

    Each has its longest word, if that takes no undue share of the room. What is left is dealt out
    evenly until a column's texts stand in one line each; then the others share the rest.
    """
    limit = max(room * MOST_WORD, room / len(needs))
    widths = [min(low, limit) for low, _ in needs]
    if sum(widths) > room:
        return [one * room / sum(widths) for one in widths]
    whole_ = [max(low, high) for low, (_, high) in zip(widths, needs, strict=True)]
    if sum(whole_) <= room:
        return [one * room / max(sum(whole_), 1.0) for one in whole_]
    spare = room - sum(widths)
    lack = [high - low for low, high in zip(widths, whole_, strict=True)]
    for rank, i in enumerate(sorted(range(len(lack)), key=lack.__getitem__)):
        more = min(lack[i], spare / (len(lack) - rank))
        widths[i] += more
        spare -= more
    return widths


@frozen
class _Set:
    """A row with its columns: left edge and width of each."""

    style: Style
    face: str
    x: float
    width: float
    places: tuple[tuple[float, float], ...]
    row: Line
    is_head: bool = False

    def lines(self) -> list[list[str]]:
        """The lines of each field."""
        return [
            broken(field.text, self.face, self.style.size, width, field.indent)
            for field, (_, width) in zip(self.row.fields, self.places, strict=True)
        ]

    def whole(self) -> Block:
        """The row as one block."""
        lines = self.lines()
        return self._slice(lines, 0, max(map(len, lines)), True)

    def blocks(self, tall: float, keeps: bool, again: Block) -> Iterator[Block]:
        """The row as one block, or as many as it takes."""
        lines = self.lines()
        count = max(map(len, lines))
        step = max(1, int((tall - 2 * self.style.pad) / self.style.leading))
        for first in range(0, count, step):
            end = min(first + step, count)
            made = self._slice(lines, first, end, end == count)
            holds = keeps and count <= step
            yield Block(made.height, made.draw, keeps=holds, again=again)

    def _slice(self, lines: list[list[str]], first: int, end: int, is_end: bool) -> Block:
        style = self.style
        height = 2 * style.pad + (end - first) * style.leading

        def draw(page: Page, y: float) -> None:
            for field, cell, (x, _) in zip(self.row.fields, lines, self.places, strict=True):
                self._cell(page, field, cell[first:end], x, y + style.pad, first == 0)
            if is_end:
                foot = y + height
                weight, colour = (0.8, "#000000") if self.is_head else (0.4, "#777777")
                page.line(self.x, foot, self.x + self.width, foot, weight, colour)

        return Block(height, draw)

    def _cell(
        self, page: Page, field: Field, lines: list[str], x: float, y: float, is_first: bool
    ) -> None:
        style, letters = self.style, typeface(self.face)
        for i, line in enumerate(lines):
            middle = y + (i + 0.5) * style.leading
            left = x
            if is_first and i == 0 and field.sign:
                field.sign.draw(page, x, middle)
                left += field.sign.width
            base = middle + HALF_CAPITAL * style.size
            page.text(left, base, line, self.face, style.size)
            if self.row.is_struck and line:
                stroke = base - STRIKE * style.size
                right = left + letters.width(style.size, line)
                page.line(left, stroke, right, stroke, 0.7)
