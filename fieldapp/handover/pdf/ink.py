"""A document of pages, and what can be put on a page. See the package for how it is used."""

from __future__ import annotations

from collections.abc import Generator, Iterable, Mapping
from hashlib import sha256
from io import BytesIO
from itertools import pairwise
from math import cos, radians, sin

from attrs import frozen
from pydyf import PDF, Array, Dictionary, Stream, String

from engine.showable import showable
from engine.sliced import finish
from fieldapp.drawing.letters import HALO, label_frame
from fieldapp.drawing.shapes import Label, Line, Shape
from fieldapp.drawing.svg import BASELINE_EM
from fieldapp.handover.pdf.letters import Letters, plain
from fieldapp.handover.pdf.objects import added, date, font, packed, short, xmp
from fieldapp.handover.pdf.photos import Photo, photo
from fieldapp.handover.pdf.strokes import n, paint, painted
from fieldapp.handover.turned import visual

MM = 72 / 25.4
A4 = (210 * MM, 297 * MM)
LETTER = (612.0, 792.0)
"""sizes of paper. [pt]  ISO 216; ANSI/ASME Y14.1"""
MITRE = 4
"""a sharper corner is cut off, as on the screen"""

Window = tuple[float, float, float, float]
"""left, top, width and height of what is shown of a drawing, in its own unit"""


@frozen
class Bookmark:
    """A line of the outline. ``level`` 0 or 1."""

    title: str
    page: int
    y: float
    level: int


class Document:
    """A PDF that is being written.

    Parameters
    ----------
    made : when what it tells was written, as a log has it; the clock is never asked, so that the
        same content is the same bytes.
    """

    def __init__(
        self, title: str, *, language: str = "en-GB", made: str | None = None, about: str = ""
    ) -> None:
        self.title, self.about = showable(title), showable(about)
        self.language, self.made = language, made
        self.pages: list[Page] = []
        self._faces: dict[str, Letters] = {}
        self._photos: dict[str, Photo] = {}
        self._bookmarks: list[Bookmark] = []

    def page(self, width: float, height: float) -> Page:
        """One page more. [pt]"""
        made = Page(self, len(self.pages), width, height)
        self.pages.append(made)
        return made

    def letters(self, face: str) -> Letters:
        """A face as it is used here."""
        if face not in self._faces:
            self._faces[face] = Letters(face)
        return self._faces[face]

    def picture(self, data: bytes) -> Photo | None:
        """A JPEG picture, put in once however often it is drawn; None where it is none."""
        key = sha256(data).hexdigest()
        if key not in self._photos:
            made = photo(data, f"I{len(self._photos) + 1}")
            if made is None:
                return None
            self._photos[key] = made
        return self._photos[key]

    def mark(self, title: str, page: Page, y: float, level: int = 0) -> None:
        """A bookmark at this height of a page; one of level 1 belongs to the last of level 0."""
        self._bookmarks.append(Bookmark(showable(title), page.number, y, level))

    def file(self) -> bytes:
        """The whole document."""
        return finish(self.writing())

    def writing(self) -> Generator[float, None, bytes]:
        """The same in slices; yields the share done, 0 to 1."""
        pdf = PDF()
        total = len(self._faces) + len(self._photos) + len(self.pages) + 1
        fonts, photos = Dictionary(), Dictionary()
        resources = added(pdf, Dictionary({"Font": fonts, "XObject": photos}))
        for face, used in self._faces.items():
            fonts[face] = font(pdf, used)
            yield len(fonts) / total
        for one in self._photos.values():
            photos[one.name] = added(pdf, one.stream())
        for page in self.pages:
            box = Array([0, 0, short(page.width), short(page.height)])
            row = {"Type": "/Page", "Parent": pdf.pages.reference, "MediaBox": box}
            row |= {"Resources": resources, "Contents": added(pdf, page.stream())}
            pdf.add_page(Dictionary(row))
            yield (total - len(self.pages) + page.number) / total
        self._tell(pdf)
        if self._bookmarks:
            pdf.catalog["Outlines"] = self._outline(pdf)
            pdf.catalog["PageMode"] = "/UseOutlines"
        out = BytesIO()
        pdf.write(out)
        return out.getvalue()

    def _tell(self, pdf: PDF) -> None:
        """Title, language and date, for whoever lists or reads out the file."""
        pdf.catalog["Lang"] = String(self.language)
        pdf.catalog["ViewerPreferences"] = Dictionary({"DisplayDocTitle": "true"})
        pdf.info["Title"] = String(self.title)
        pdf.info["Creator"] = String("Farend")
        if self.about:
            pdf.info["Subject"] = String(self.about)
        if day := date(self.made):
            pdf.info["CreationDate"] = pdf.info["ModDate"] = String(day)
        data = xmp(self.title, self.language, self.about).encode("utf-8")
        extra = {"Type": "/Metadata", "Subtype": "/XML"}
        pdf.catalog["Metadata"] = added(pdf, Stream([data], extra))

    def _outline(self, pdf: PDF) -> bytes:
        """The bookmarks as a tree of two levels."""
        places = pdf.page_references
        top = Dictionary({"Type": "/Outlines"})
        pdf.add_object(top)
        below: dict[int, list[tuple[Dictionary, Dictionary]]] = {}
        trunk: list[tuple[Dictionary, Dictionary]] = []
        for mark in self._bookmarks:
            height = self.pages[mark.page].height
            spot = Array([places[mark.page], "/XYZ", "null", short(height - mark.y), "null"])
            one = Dictionary({"Title": String(mark.title), "Dest": spot})
            pdf.add_object(one)
            if mark.level and trunk:
                parent = trunk[-1][0]
                below.setdefault(parent.number, []).append((one, parent))
            else:
                trunk.append((one, top))
        _strung(trunk)
        for branch in below.values():
            _strung(branch, is_open=False)
        reference: bytes = top.reference
        return reference


class Page:
    """One page: what is drawn later lies above."""

    def __init__(self, document: Document, number: int, width: float, height: float) -> None:
        self.document, self.number = document, number
        self.width, self.height = width, height
        self._marks = [f"1 0 0 -1 0 {n(height)} cm {MITRE} M"]

    def text(
        self,
        x: float,
        y: float,
        text: str,
        face: str = "T",
        size: float = 10.0,
        colour: str = "#000000",
    ) -> None:
        """One line of text from x on; ``y`` is its baseline."""
        if text:
            letters = self.document.letters(face).written(visual(plain(text)))
            place = f"1 0 0 -1 {n(x)} {n(y)} Tm"
            self._marks.append(
                f"BT {paint(colour)} rg 0 Tr /{face} {n(size)} Tf {place} {letters} Tj ET"
            )

    def line(
        self,
        x1: float,
        y1: float,
        x2: float,
        y2: float,
        width: float,
        colour: str = "#000000",
        dash: tuple[float, ...] | None = None,
    ) -> None:
        """One straight stroke."""
        self.draw((Line(x1, y1, x2, y2, "ink", width, dash),), {"ink": colour})

    def bars(
        self,
        bars: Iterable[tuple[float, float, float]],
        x: float,
        y: float,
        module: float,
        colour: str = "#000000",
    ) -> None:
        """Bars one module high, each its left, top and length in modules: one path, so that bars
        that touch leave no seam."""
        rows = " ".join(f"{n(left)} {n(top)} {n(long)} 1 re" for left, top, long in bars)
        place = f"{module:.5f} 0 0 {module:.5f} {n(x)} {n(y)} cm"
        self._marks.append(f"q {place} {paint(colour)} rg {rows} f Q")

    def picture(self, picture: Photo, x: float, y: float, width: float, height: float) -> None:
        """A picture of this document, upright, filling the frame."""
        placed = " ".join(map(n, picture.matrix(x, y, width, height)))
        self._marks.append(f"q {placed} cm /{picture.name} Do Q")

    def draw(
        self,
        shapes: Iterable[Shape | str],
        colours: Mapping[str, str],
        x: float = 0.0,
        y: float = 0.0,
        scale: float = 1.0,
        window: Window | None = None,
    ) -> None:
        """Shapes in the colours of a table, their origin at (x, y); with a ``window`` only what
        lies in it, its top left corner at (x, y). A text among them is one that was painted before.

        Raises
        ------
        KeyError : a shape names a token that the table lacks.
        """
        left, top, wide, high = window or (0.0, 0.0, 0.0, 0.0)
        place = f"{n(x - left * scale)} {n(y - top * scale)}"
        self._marks.append(f"q {scale:.5f} 0 0 {scale:.5f} {place} cm")
        if window:
            self._marks.append(f"{n(left)} {n(top)} {n(wide)} {n(high)} re W n")
        for shape in shapes:
            if isinstance(shape, Label):
                if not window or _is_seen(shape, window):
                    self._label(shape, colours)
            elif done := shape if isinstance(shape, str) else painted(shape, colours):
                self._marks.append(done)
        self._marks.append("Q")

    def stream(self) -> Stream:
        """What is drawn, as its object."""
        return packed("\n".join(self._marks).encode("ascii"))

    def _label(self, label: Label, colours: Mapping[str, str]) -> None:
        """A label of a drawing; its halo is stroked first, so that letters lie on it whole, and is
        no text to copy (ISO 32000-1, 14.9.4)."""
        letters = self.document.letters(label.face)
        text = visual(plain(label.text))
        width = letters.face.width(label.size, text)
        left = {"start": 0.0, "middle": -width / 2, "end": -width}[label.anchor]
        turn = radians(label.rotate)
        along, across = cos(turn), sin(turn)
        down = BASELINE_EM * label.size
        x = label.x + left * along - down * across
        y = label.y + left * across + down * along
        place = " ".join(map(_n4, (along, across, across, -along))) + f" {n(x)} {n(y)} Tm"
        font, shown = f"/{label.face} {n(label.size)} Tf", letters.written(text)
        if label.halo:
            rim = f"{paint(colours[label.halo])} RG {n(HALO)} w 1 J 1 j [] 0 d"
            self._marks.append(
                f"/Span <</ActualText ()>> BDC BT {rim} {font} {place} 1 Tr {shown} Tj ET EMC"
            )
        ink = paint(colours[label.ink])
        self._marks.append(f"BT {ink} rg 0 Tr {font} {place} {shown} Tj ET")


def _n4(value: float) -> str:
    return f"{value:.5f}"


def _is_seen(label: Label, window: Window) -> bool:
    """Whether anything of a label may lie in this window: what is cut off would still be copied."""
    left, top, right, foot = label_frame(label)
    return bool(label.rotate) or (
        left < window[0] + window[2]
        and right > window[0]
        and top < window[1] + window[3]
        and foot > window[1]
    )


def _strung(row: list[tuple[Dictionary, Dictionary]], is_open: bool = True) -> None:
    """Bookmarks side by side, each told of its neighbours, all of the one above."""
    parent = row[0][1]
    parent["First"], parent["Last"] = row[0][0].reference, row[-1][0].reference
    parent["Count"] = len(row) if is_open else -len(row)
    for one, _ in row:
        one["Parent"] = parent.reference
    for (one, _), (other, _) in pairwise(row):
        one["Next"], other["Prev"] = other.reference, one.reference
