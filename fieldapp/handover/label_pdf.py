"""Sheets of labels written as PDF, to scale: one sheet a page, black on white, letters embedded."""

from __future__ import annotations

from collections.abc import Generator, Sequence

from engine.sliced import finish, part
from fieldapp import words
from fieldapp.handover.label_svg import PRINT
from fieldapp.handover.pdf import MM, Document
from fieldapp.handover.sheets import Sheet

LONGEST = 14400 / MM
"""no reader need show a longer page: 5.08 m (ISO 32000-1, annex C, from memory). [mm]"""
DRAWN = 0.8
"""the share of the work that is done once all is drawn"""

Making = Generator[float, None, bytes]


def sheets_pdf(pages: Sequence[Sheet], title: str) -> bytes:
    """The pages as the bytes of one file; the same pages give the same bytes.

    Parameters
    ----------
    pages : one at least, none longer than ``LONGEST``.
    title : of the job.
    """
    return finish(making(pages, title))


def making(pages: Sequence[Sheet], title: str) -> Making:
    """The same in slices; yields the share done, 0 to 1."""
    document = Document(words.labels_title(title), language=words.LANGUAGE)
    for i, sheet in enumerate(pages, 1):
        page = document.page(sheet.width * MM, sheet.height * MM)
        page.draw(sheet.shapes, PRINT, scale=MM)
        for code in sheet.codes:
            x, y, module = (one * MM for one in (code.x, code.y, code.module))
            page.bars(code.square.bars(), x, y, module, PRINT["ink"])
        document.mark(words.labels_page(sheet.things[0], sheet.things[-1]), page, 0.0)
        yield DRAWN * i / len(pages)
    return (yield from part(document.writing(), DRAWN, 1.0))
