"""The parts of a record as blocks for paper. Sizes are points."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import groupby, zip_longest

from attrs import evolve

from fieldapp import words
from fieldapp.drawing.marks import MARK_H, MARK_W, mark
from fieldapp.drawing.shapes import Label, Rect, Shape
from fieldapp.handover import page as parts
from fieldapp.handover.pdf import MM, Document, Page, lacking
from fieldapp.handover.pdf.flow import Block, Paper
from fieldapp.handover.pdf.ink import Window
from fieldapp.handover.pdf.lines import broken
from fieldapp.handover.pdf.photos import Photo as Picture
from fieldapp.handover.pdf.strokes import painted
from fieldapp.handover.pdf.tables import BREATH, HALF_CAPITAL, Field, Line, Sign, Style, table
from fieldapp.handover.svg import INKS, frames

PIXEL = 0.75
"""a pixel of a drawing or a photo: 96 to the inch, as browsers have it"""
TITLE, LEAD, HEAD, TEXT, SMALL = 22.0, 14.5, 13.0, 9.5, 8.0
"""sizes of letters"""
LEADING = 1.34
"""from line to line. [size of the letters]"""
TABLE = Style("P", "PM", 9.0, 11.6, 2.4, 8.0)
BETWEEN = 6 * MM
"""two photos"""
PHOTO_HIGH = 100 * MM
SIGN = 9 * MM
SIGN_GAP = 3.0
AFTER_TABLE = 9.0
ENDING = 100.0
"""height of what is kept from standing alone at the head of a page"""
PAINTED = 100
"""shapes of a drawing painted between two breaths"""
PEN = 12 * MM
"""room above a line for a pen"""

Blocks = Iterator[Block | None]


class Setter:
    """Makes blocks of a record for one document."""

    def __init__(self, document: Document, paper: Paper, pictures: Mapping[str, bytes]) -> None:
        self.document, self.paper, self.pictures = document, paper, pictures

    def title(self, record: parts.Record) -> Blocks:
        """The head of the first page; what is to be known of its letters."""
        yield from self.lines(record.title, "TB", TITLE, after=2.0)
        if lacking(all_text(record)):
            yield from self.lines(words.record_boxes(), "TI", TEXT, after=2.0)

    def section(self, section: parts.Section, level: int) -> Blocks:
        """A head, which stays with what follows, and its parts."""
        yield from ending_whole(self._section(section, level))

    def _section(self, section: parts.Section, level: int) -> Blocks:
        yield self._head(section.title, level)
        was_table = False
        for _, some in groupby(section.parts, lambda one: isinstance(one, parts.Photo)):
            rest = tuple(some)
            photos = [one for one in rest if isinstance(one, parts.Photo)]
            if photos:
                yield from self._photos(photos)
                continue
            for one, after in zip_longest(rest, rest[1:]):
                blocks = self._part(one)
                if isinstance(one, parts.Drawing) and isinstance(after, parts.Paragraph):
                    blocks = kept(blocks)  # what is said of it stands below it
                yield from below(blocks, AFTER_TABLE if was_table else 0.0)
                was_table = isinstance(one, parts.Table)

    def _head(self, title: str, level: int) -> Block:
        lines = broken(title, "TB", HEAD, self.paper.inner)
        tall = HEAD * LEADING
        height = tall * len(lines) + 7.0

        def draw(page: Page, y: float) -> None:
            self.document.mark(title, page, y - 6.0, level)
            for i, line in enumerate(lines):
                self._write(page, y + i * tall, line, "TB", HEAD)
            foot = y + height - 4.0
            page.line(self.paper.side, foot, self.paper.width - self.paper.side, foot, 1.2)

        return Block(height, draw, before=16.0, keeps=True)

    def _part(self, one: parts.Part) -> Blocks:
        match one:
            case parts.Paragraph(text, leads):
                face, size = ("TB", LEAD) if leads else ("T", TEXT)
                yield from self.lines(text, face, size, after=6.0 if leads else 3.0)
            case parts.Table(heads, rows):
                paper = self.paper
                lines = []
                for row in rows:
                    lines.append(Line(tuple(map(_field, row.cells)), row.struck))
                    if len(lines) % BREATH == 0:
                        yield None
                yield from table(heads, lines, paper.side, paper.inner, paper.tall, TABLE)
            case parts.Drawing():
                yield from self._drawing(one)
            case parts.Photo():
                yield from self._photos((one,))
            case parts.Blank(text):
                yield from self._blank(text)

    # ------------------------------------------------------------ text

    def lines(self, text: str, face: str, size: float, after: float) -> Blocks:
        """A paragraph, a block a line; neither its first line nor its last stands alone."""
        made = broken(text, face, size, self.paper.inner)
        tall, last = size * LEADING, len(made) - 1
        for i, line in enumerate(made):
            yield Block(
                tall + (after if i == last else 0.0),
                self._writer(line, face, size),
                keeps=i in (0, last - 1) and last > 0,
            )

    def _writer(self, line: str, face: str, size: float) -> Callable[[Page, float], None]:
        return lambda page, y: self._write(page, y, line, face, size)

    def _write(
        self,
        page: Page,
        y: float,
        line: str,
        face: str,
        size: float,
        x: float | None = None,
    ) -> None:
        """One line, the middle of its capitals in the middle of its height."""
        base = y + size * LEADING / 2 + HALF_CAPITAL * size
        page.text(self.paper.side if x is None else x, base, line, face, size)

    def _blank(self, text: str) -> Blocks:
        lines = broken(text, "T", TEXT, self.paper.inner)
        tall = TEXT * LEADING

        def draw(page: Page, y: float) -> None:
            top = y + PEN
            page.line(self.paper.side, top, self.paper.width - self.paper.side, top, 0.5)
            for i, line in enumerate(lines):
                self._write(page, top + 2.0 + i * tall, line, "T", TEXT)

        yield Block(PEN + 4.0 + tall * len(lines), draw)

    # ------------------------------------------------------------ drawings and photos

    def _drawing(self, one: parts.Drawing) -> Blocks:
        """A drawing at its own size or as wide as the text; a wide one in slices."""
        picture = one.picture
        shapes: list[Shape | str] = []
        for shape in picture.shapes:
            shapes.append(shape if isinstance(shape, Label) else painted(shape, INKS))
            if len(shapes) % PAINTED == 0:
                yield None
        for left, width in frames(picture.width):
            scale = min(PIXEL, self.paper.inner / width, self.paper.tall / picture.height)
            window = (left, 0.0, width, picture.height)

            def draw(page: Page, y: float, scale: float = scale, window: Window = window) -> None:
                page.draw(shapes, INKS, self.paper.side, y, scale, window)

            yield Block(picture.height * scale, draw, before=4.0)

    def _photos(self, photos: Sequence[parts.Photo]) -> Blocks:
        """Two in a row, each with its caption beneath."""
        width = (self.paper.inner - BETWEEN) / 2
        for first in range(0, len(photos), 2):
            made = [self._photo(one, width) for one in photos[first : first + 2]]

            def draw(page: Page, y: float, made: list[_Framed] = made) -> None:
                for i, one in enumerate(made):
                    one.draw(page, self.paper.side + i * (width + BETWEEN), y)

            yield Block(max(one.height for one in made) + 10.0, draw, before=4.0)
            yield None

    def _photo(self, one: parts.Photo, width: float) -> _Framed:
        data = self.pictures.get(one.sha256)
        picture = self.document.picture(data) if data is not None else None
        caption = broken(one.caption, "P", TABLE.size, width)
        if picture is not None:
            scale = min(PIXEL, width / picture.width, PHOTO_HIGH / picture.height)
            size = picture.width * scale, picture.height * scale
            return _Framed(size, caption, picture, [])
        lacking_ = broken(one.lacking, "T", TEXT, width - 20.0)
        return _Framed((width, 40.0 + len(lacking_) * TEXT * LEADING), caption, None, lacking_)


def below(blocks: Blocks, room: float) -> Blocks:
    """The same blocks, with this room above the first of them."""
    for block in blocks:
        yield evolve(block, before=max(room, block.before)) if block else None
        if block:
            break
    yield from blocks


def kept(blocks: Blocks) -> Blocks:
    """The same blocks, all on the page of what follows them."""
    return (evolve(one, keeps=True) if one else None for one in blocks)


def ending_whole(blocks: Blocks) -> Blocks:
    """The same blocks, the last two on one page unless they take much of one."""
    held: list[Block] = []
    for block in blocks:
        if block is None:
            yield None
            continue
        held.append(block)
        if len(held) > 2:
            yield held.pop(0)
    if len(held) == 2 and held[0].height + held[1].height < ENDING:
        yield evolve(held.pop(0), keeps=True)
    yield from held


class _Framed:
    """A photo as placed, or the room of one that is not there, with the words beneath."""

    def __init__(
        self,
        size: tuple[float, float],
        caption: list[str],
        picture: Picture | None,
        instead: list[str],
    ) -> None:
        self.size, self.caption, self.picture, self.instead = size, caption, picture, instead
        self.height = size[1] + 3.0 + len(caption) * TABLE.leading

    def draw(self, page: Page, x: float, y: float) -> None:
        """With its top left corner here."""
        width, height = self.size
        if self.picture:
            page.picture(self.picture, x, y, width, height)
        else:
            rim = Rect(x + 0.5, y + 0.5, width - 1, height - 1, None, "ink", 0.6, (4.0, 3.0))
            page.draw((rim,), INKS)
        for i, line in enumerate(self.instead):
            base = y + 20.0 + (i + 0.5) * TEXT * LEADING + HALF_CAPITAL * TEXT
            page.text(x + 10.0, base, line, "T", TEXT)
        for i, line in enumerate(self.caption):
            base = y + height + 3.0 + (i + 0.5) * TABLE.leading + HALF_CAPITAL * TABLE.size
            page.text(x, base, line, "P", TABLE.size)


def _field(cell: parts.Cell) -> Field:
    return Field(cell.text, _sign(cell.mark) if cell.mark else None)


def _sign(verdict: str) -> Sign:
    scale = SIGN / MARK_W
    shapes = mark(verdict, 0.0, 0.0)

    def draw(page: Page, x: float, middle: float) -> None:
        page.draw(shapes, INKS, x, middle - MARK_H * scale / 2, scale)

    return Sign(SIGN + SIGN_GAP, draw)


def all_text(record: parts.Record) -> str:
    """Every letter that a record writes."""
    return (
        "".join(
            text
            for section in (*record.front, *record.sections)
            for one in section.parts
            for text in (section.title, *_texts(one))
        )
        + record.title
    )


def _texts(one: parts.Part) -> Iterator[str]:
    match one:
        case parts.Paragraph(text) | parts.Blank(text):
            yield text
        case parts.Table(heads, rows):
            yield from heads
            yield from (cell.text for row in rows for cell in row.cells)
        case parts.Photo(_, caption, instead):
            yield from (caption, instead)
        case parts.Drawing(picture):
            yield from (shape.text for shape in picture.shapes if isinstance(shape, Label))
