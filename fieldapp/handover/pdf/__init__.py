"""Pages on paper as a PDF: texts in the app's typeface, drawings as plain numbers, JPEG as kept.

Lengths are points (72 to the inch), the origin is a page's top left corner, y grows downwards,
colours are ``#RRGGBB``. ::

    document = Document("Record of a hide", made="2031-05-04T08:12:40Z")
    page = document.page(*A4)
    page.draw(shapes, {"ink": "#000000"}, x, y, scale=72 / 25.4)    # Shape values, here in mm
    page.text(x, y, "A1", face="PB", size=12)                        # y is the baseline
    page.bars(square.bars(), x, y, module, "#000000")                # a square code, no seams
    picture = document.picture(jpeg)                                 # None: cannot be put in
    page.picture(picture, x, y, width, height)                       # unchanged, upright
    document.mark("Readings", page, y)                               # a bookmark; level=1 below it
    document.file()                                                  # bytes, the same every time

``typeface(face).width(size, plain(text))`` measures as the page writes; ``lacking(text)`` tells
which letters stand as boxes. Nothing compiled is used beyond the standard library.
"""

from fieldapp.handover.pdf.ink import A4, LETTER, MM, Document, Page
from fieldapp.handover.pdf.letters import lacking, plain, typeface

__all__ = ["A4", "LETTER", "MM", "Document", "Page", "lacking", "plain", "typeface"]
