"""A record as PDF: the same values as the page that a browser shows, set onto A4 or Letter.

Black ink alone says everything: verdicts have a sign and a word, struck rows a stroke.
"""

from __future__ import annotations

from collections.abc import Generator, Mapping
from dataclasses import replace
from types import MappingProxyType

from engine.sliced import finish, part
from fieldapp import words
from fieldapp.drawing.letters import shorten
from fieldapp.drawing.shapes import Label
from fieldapp.handover.page import Part, Record, Table
from fieldapp.handover.pdf import A4, LETTER, MM, Document, Page, typeface
from fieldapp.handover.pdf.flow import Flow, Paper
from fieldapp.handover.report_blocks import SMALL, Blocks, Setter
from fieldapp.handover.svg import INKS

PAPERS: Mapping[str, Paper] = MappingProxyType(
    {
        name: Paper(*size, side=16 * MM, top=16 * MM, foot=20 * MM)
        for name, size in (("a4", A4), ("letter", LETTER))
    }
)
"""by the word that asks for it"""
FOOT_LINE, FOOT_WORDS = 15 * MM, 11 * MM
"""above the edge of the paper"""
STRIP, STRIP_WORDS = 11 * MM, 7 * MM
"""from the right edge: the line beside what says that a job is made up, and its middle"""
TITLE_SHARE = 0.5
"""of the foot, for the title"""
LAID = 0.85
"""the share of the work that is done once all is set"""

Making = Generator[float, None, bytes]


def record_pdf(record: Record, pictures: Mapping[str, bytes], paper: str = "a4") -> bytes:
    """The record as the bytes of one file; the same record gives the same bytes.

    Parameters
    ----------
    pictures : JPEG bytes by their sha256, as kept; they are put in unchanged.
    paper : a key of ``PAPERS``.
    """
    return finish(making(record, pictures, paper))


def making(record: Record, pictures: Mapping[str, bytes], paper: str = "a4") -> Making:
    """The same in slices; yields the share done, 0 to 1."""
    document = Document(record.title, language=words.LANGUAGE, made=record.made, about=record.job)
    flow = Flow(document, PAPERS[paper])
    yield from part(_laid(record, flow, Setter(document, flow.paper, pictures)), 0.0, LAID)
    for page in document.pages:
        _furnish(page, record, flow.paper, len(document.pages))
    return (yield from part(document.writing(), LAID, 1.0))


def _laid(record: Record, flow: Flow, setter: Setter) -> Generator[float, None, None]:
    """Everything onto its page."""
    sections = (*record.front, *record.sections)
    total = 1 + sum(_weight(one) for section in sections for one in section.parts)
    flow.document.mark(record.title, flow.page, 0.0)
    done = 1
    yield from _set(flow, setter.title(record), 0, 1, total)
    for i, section in enumerate(sections):
        if i == len(record.front) > 0:
            flow.next_page()
        weight = sum(map(_weight, section.parts))
        level = int(i < len(record.front))
        yield from _set(flow, setter.section(section, level), done, weight, total)
        done += weight


def _weight(one: Part) -> int:
    return 1 + len(one.rows) if isinstance(one, Table) else 1


def _set(
    flow: Flow, blocks: Blocks, done: int, weight: int, total: int
) -> Generator[float, None, None]:
    for i, _ in enumerate(flow.set(blocks)):
        yield (done + min(i, weight)) / total


def _furnish(page: Page, record: Record, paper: Paper, count: int) -> None:
    """What stands on every page: whose it is, which page of how many, whether it is made up."""
    left, right = paper.side, paper.width - paper.side
    base = paper.height - FOOT_WORDS
    page.line(left, paper.height - FOOT_LINE, right, paper.height - FOOT_LINE, 0.4, "#777777")
    title = shorten(record.title, "P", SMALL, paper.inner * TITLE_SHARE)
    page.text(left, base, f"{record.job}  {title}", "P", SMALL)
    number = words.record_page(page.number + 1, count)
    page.text(right - typeface("P").width(SMALL, number), base, number, "P", SMALL)
    if record.made_up:
        middle = paper.width - STRIP_WORDS
        edge = paper.width - STRIP
        page.line(edge, paper.top, edge, paper.height - paper.foot, 1.2, dash=(5.0, 3.0))
        said = Label(middle, paper.height / 2, record.made_up, "TB", 11.0, "ink", "middle")
        page.draw((replace(said, rotate=90.0),), INKS)
