"""A record as one HTML file: prints on A4 or Letter, no script, nothing fetched from anywhere.

Every text is made showable and escaped, and letters that are written from right to left stand in
an isolate of their own, so that a name cannot reorder what stands beside it. Signs of verdicts
have a shape and a word; black ink alone says everything.
"""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Mapping
from html import escape

from engine.showable import showable
from fieldapp import words
from fieldapp.drawing.marks import VERDICTS
from fieldapp.handover.page import (
    Blank,
    Drawing,
    Paragraph,
    Part,
    Photo,
    Record,
    Row,
    Section,
    Table,
)
from fieldapp.handover.svg import MARK_BOX, mark_symbols, slices
from fieldapp.handover.turned import runs

PAPERS = {"a4": "A4", "letter": "letter"}
"""sizes of paper, as print styles name them"""

STYLE = """
:root{color:#000;background:#fff;font:10.5pt/1.35 "Farend Text","Fira Sans",sans-serif}
body{max-width:182mm;margin:0 auto;padding:6mm;overflow-wrap:anywhere}
h1{font-size:20pt;line-height:1.15;margin:0 0 3mm}
h2{font-size:13pt;margin:7mm 0 2mm;border-bottom:1.5pt solid #000;break-after:avoid}
p{margin:0 0 1.5mm}.leads{font-size:15pt;font-weight:600;margin-bottom:3mm}
table{border-collapse:collapse;width:100%;font-size:9pt;margin-bottom:3mm}
th,td{text-align:left;vertical-align:top;padding:1mm 2mm 1mm 0;border-bottom:.5pt solid #777}
thead{display:table-header-group}tr{break-inside:avoid}th{font-weight:600}
td{overflow-wrap:anywhere;min-width:8mm}
tr.struck td{text-decoration:line-through}
svg.line{display:block;width:100%;height:auto;break-inside:avoid}
svg.mark{width:9mm;height:3.1mm;vertical-align:-.3mm;margin-right:1mm}
figure{display:inline-block;width:85mm;margin:0 3mm 4mm 0;vertical-align:top;break-inside:avoid}
figure img{max-width:100%;max-height:110mm}figcaption{font-size:9pt}
.lacking{border:.5pt dashed #000;padding:8mm 4mm}
.pen{margin:12mm 0 0;border-top:.5pt solid #000;padding-top:1mm;break-inside:avoid}
.made-up{position:fixed;right:0;top:0;bottom:0;width:7mm;writing-mode:vertical-rl;
text-align:center;font-weight:600;font-size:12pt;border-left:1.5pt dashed #000}
body.has-made-up{padding-right:12mm}
section.rest{break-before:page}
@media print{body{max-width:none;padding:0}}
"""


def html(record: Record, pictures: Mapping[str, bytes], paper: str = "a4") -> str:
    """The record as the text of one file.

    Parameters
    ----------
    pictures : JPEG bytes by their sha256, as kept; they are put in unchanged.
    paper : a key of ``PAPERS``.
    """
    made_up = f'<div class="made-up">{shown(record.made_up)}</div>' if record.made_up else ""
    front = "".join(_section(one, pictures) for one in record.front)
    rest = "".join(_section(one, pictures) for one in record.sections)
    return (
        f'<!DOCTYPE html>\n<html lang="{words.LANGUAGE}">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width,initial-scale=1">\n'
        f"<title>{escape(showable(record.title))}</title>\n"
        f"<style>{STYLE}{_page_style(record, paper)}</style>\n</head>\n"
        f"<body{_class('has-made-up', record.made_up)}>\n"
        f"{mark_symbols(VERDICTS)}\n{made_up}\n"
        f'<section class="front">\n<h1>{shown(record.title)}</h1>\n{front}</section>\n'
        f'<section class="rest">\n{rest}</section>\n</body>\n</html>\n'
    )


def _page_style(record: Record, paper: str) -> str:
    """Paper, margins, and what a printer that knows margin boxes puts on every page."""
    made_up = f" {record.made_up}" if record.made_up else ""
    return (
        f"@page{{size:{PAPERS[paper]};margin:16mm 14mm 18mm;"
        f'@bottom-left{{content:"{_css(record.job + made_up)}";font-size:9pt}}'
        f"@bottom-right{{content:{_counted()};font-size:9pt}}}}\n"
    )


COUNTERS = {"\x01": "counter(page)", "\x02": "counter(pages)"}
"""what a style sheet counts itself, by the signs that stand for it while the words are put together"""


def _counted() -> str:
    """Which page of how many, as a style sheet puts it together: texts and counters."""
    pieces = re.split(f"([{''.join(COUNTERS)}])", words.record_page(*COUNTERS))
    return " ".join(COUNTERS.get(one) or f'"{_css(one)}"' for one in pieces if one)


def _css(text: str) -> str:
    """A text within quotes of a style sheet: all but letters and digits as escapes."""
    return re.sub(r"[^A-Za-z0-9]", lambda found: f"\\{ord(found[0]):06x}", showable(text))


# ---------------------------------------------------------------- text


def shown(text: str) -> str:
    """A text as HTML, its letters from right to left isolated.

    >>> shown("<b> & 41")
    '&lt;b&gt; &amp; 41'
    """
    pieces = runs(showable(text))
    return "".join(f"<bdi>{escape(t)}</bdi>" if turned else escape(t) for t, turned in pieces)


# ---------------------------------------------------------------- parts


def _section(section: Section, pictures: Mapping[str, bytes]) -> str:
    inside = "\n".join(_part(part, pictures) for part in section.parts)
    return f'<section id="{section.id}">\n<h2>{shown(section.title)}</h2>\n{inside}\n</section>\n'


def _part(part: Part, pictures: Mapping[str, bytes]) -> str:
    match part:
        case Paragraph(text, leads):
            return f"<p{_class('leads', leads)}>{shown(text)}</p>"
        case Table(heads, rows):
            return _table(heads, rows)
        case Drawing(picture, says):
            return "\n".join(slices(picture, showable(says)))
        case Photo(sha256, caption, lacking):
            return _photo(pictures.get(sha256), caption, lacking)
        case Blank(text):
            return f'<p class="pen">{shown(text)}</p>'


def _table(heads: tuple[str, ...], rows: tuple[Row, ...]) -> str:
    top = "".join(f'<th scope="col">{shown(head)}</th>' for head in heads)
    return (
        f"<table>\n<thead><tr>{top}</tr></thead>\n<tbody>\n"
        + "\n".join(map(_row, rows))
        + "\n</tbody>\n</table>"
    )


def _row(row: Row) -> str:
    cells = "".join(f"<td>{_mark(c.mark)}{_struck(c.text, row.struck)}</td>" for c in row.cells)
    return f"<tr{_class('struck', row.struck)}>{cells}</tr>"


def _class(name: str, is_so: object) -> str:
    return f' class="{name}"' if is_so else ""


def _struck(text: str, struck: bool) -> str:
    return f"<s>{shown(text)}</s>" if struck and text else shown(text)


def _mark(verdict: str) -> str:
    if not verdict:
        return ""
    box = f'viewBox="{MARK_BOX}"'
    return f'<svg class="mark" {box} aria-hidden="true"><use href="#mark-{verdict}"/></svg>'


def _photo(data: bytes | None, caption: str, lacking: str) -> str:
    said = f"<figcaption>{shown(caption)}</figcaption>"
    if data is None:
        return f'<figure><p class="lacking">{shown(lacking)}</p>{said}</figure>'
    address = f"data:image/jpeg;base64,{b64encode(data).decode('ascii')}"
    alt = escape(showable(caption))
    return f'<figure><img src="{address}" alt="{alt}">{said}</figure>'
