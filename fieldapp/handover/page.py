"""The nouns of a record: sections of paragraphs, tables, drawings and photos, as plain values."""

from __future__ import annotations

from collections.abc import Iterator

from attrs import frozen

from fieldapp.drawing.shapes import Picture


@frozen
class Paragraph:
    """A few sentences. The one that ``leads`` is what the page wants to say."""

    text: str
    leads: bool = False


@frozen
class Cell:
    """One field of a table: its words, and the verdict whose sign stands before them."""

    text: str
    mark: str = ""


@frozen
class Row:
    """One line of a table; a struck one stays and no longer counts."""

    cells: tuple[Cell, ...]
    struck: bool = False


@frozen
class Table:
    """Rows under their heads."""

    heads: tuple[str, ...]
    rows: tuple[Row, ...]


@frozen
class Drawing:
    """A picture as plain numbers, and what it says to who cannot see it."""

    picture: Picture
    says: str


@frozen
class Photo:
    """A photo by the sum of its bytes; ``lacking`` is what stands there without them."""

    sha256: str
    caption: str
    lacking: str


@frozen
class Blank:
    """Room for a pen."""

    text: str


Part = Paragraph | Table | Drawing | Photo | Blank
Parts = Iterator[Part | None]
"""as they are made; a None among them is a breath"""


@frozen
class Section:
    """One part of the record under its head; ``id`` names it in every language."""

    id: str
    title: str
    parts: tuple[Part, ...]


@frozen
class Record:
    """A whole record. ``front`` is the first page, ``made_up`` what every page says of no real
    site, empty otherwise; ``made`` the last time that the log tells, None where it tells none."""

    job: str
    title: str
    made_up: str
    front: tuple[Section, ...]
    sections: tuple[Section, ...]
    made: str | None = None
