"""What can be handed over of a job: a row a document, each made in slices, so that a page lives on
while it is made. Pure: whoever makes one brings pictures, day and clock.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Generator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from engine.copied import Counts, is_recorded, moves_plan
from engine.diagnose.account import Account, accounting
from engine.judge import Judgement
from engine.log import State
from engine.readings_csv import tabling
from engine.sliced import at, part
from fieldapp import words
from fieldapp.effects import ALL, LABELS, READINGS, REPORT, WHOLE
from fieldapp.exchange.packing import packing
from fieldapp.handover.labels import BOX, END, LabelFacts, labelling
from fieldapp.handover.record import needs_account, recording
from fieldapp.handover.sheets import GRIDS, sheets
from fieldapp.words.manner import Manner

PDF_MEDIA = "application/pdf"
PDF, HTML = "pdf", "html"
"""as what a report is written"""
LONGEST_S = 20.0
"""that causes are sought for a report; hundreds of readings outside take minutes, and the record
says then that they were not worked out. [s]"""
SOUGHT, WRITTEN = 0.5, 0.6
"""shares of the work on a report: when causes are known, when the record stands (ours)"""
LAID = 0.4
"""share of the work on labels: when all their codes are known (ours)"""
LONGEST_STEM = 60
TAKEN = frozenset({"con", "prn", "aux", "nul"}) | {f"{p}{n}" for p in ("com", "lpt") for n in range(10)}  # fmt: skip
"""names that one system keeps for itself (Windows, from memory)"""


@dataclass(frozen=True)
class Papers:
    """How documents are written: the report's paper, as ``PDF`` or ``HTML``; the labels' sheets;
    in which words."""

    report: str = "a4"
    kind: str = PDF
    labels: str = "a4"
    manner: words.Manner = field(default_factory=words.Manner)


@dataclass(frozen=True)
class Wish:
    """From what a document is made.

    ``doc`` and all ``pictures`` of the log are for the job file, ``lacking`` counts those that are
    not here; ``account`` is that of the causes where it is known, ``seek`` says to look for it.
    """

    judgement: Judgement
    papers: Papers = field(default_factory=Papers)
    day: str = ""
    doc: Mapping[str, Any] = field(default_factory=lambda: MappingProxyType({}))
    pictures: Mapping[str, bytes] = field(default_factory=lambda: MappingProxyType({}))
    lacking: int = 0
    account: Account | None = None
    seek: bool = True
    rates: Any = None
    now: Callable[[], float] = lambda: 0.0
    """seconds since some moment; by it a search for causes ends"""


@dataclass(frozen=True)
class Made:
    """A document as a file; ``pages`` is None where it has none."""

    name: str
    data: bytes
    media: str
    pages: int | None = None
    lacking: int = 0


Making = Generator[float, None, Made]


@dataclass(frozen=True)
class Document:
    """How one is made; which entries make an older one stale; which choices it follows."""

    make: Callable[[Wish], Making]
    counts: Callable[[State], Counts]
    pictured: bool = False
    choices: Callable[[Papers], tuple[str | Manner, ...]] = lambda papers: ()


# ---------------------------------------------------------------- names


def stem_of(job: str) -> str:
    """How the names of a job's files begin: small letters, digits and hyphens, and no more.

    >>> stem_of("REEDBED-HIDE"), stem_of("../Con"), stem_of("")
    ('reedbed-hide', 'job-con', 'job')
    """
    plain = re.sub(r"[^a-z0-9]+", "-", job.lower())[:LONGEST_STEM].strip("-")
    return f"job-{plain}" if plain in TAKEN else plain or "job"


def pictured(state: State) -> tuple[str, ...]:
    """The pictures that a record shows, by their sums, each once."""
    shown = (e for e in state.entries if e.what == "photo" and e.id not in state.voided)
    return tuple(dict.fromkeys(entry.body["sha256"] for entry in shown))


# ---------------------------------------------------------------- making


def seeking(
    judgement: Judgement, now: Callable[[], float], rates: Any = None
) -> Generator[float, None, Account | None]:
    """The account of the causes; None where it was not there in time."""
    slices, until = accounting(judgement, rates=rates), now() + LONGEST_S
    while now() < until:
        try:
            share = next(slices)
        except StopIteration as end:
            found: Account | None = end.value
            return found
        yield share
    return None


def _report(wish: Wish) -> Making:
    judgement, account = wish.judgement, wish.account
    if account is None and wish.seek and needs_account(judgement):
        account = yield from part(seeking(judgement, wish.now, wish.rates), 0.0, SOUGHT)
    yield SOUGHT
    made = yield from part(recording(judgement, account), SOUGHT, WRITTEN)
    name = f"{stem_of(made.job)}-record.{wish.papers.kind}"
    yield WRITTEN
    if wish.papers.kind == HTML:
        from fieldapp.handover.html import html

        data = html(made, wish.pictures, wish.papers.report).encode("utf-8")
        return Made(name, data, "text/html", None, wish.lacking)
    from fieldapp.handover.report_pdf import making

    data = yield from part(making(made, wish.pictures, wish.papers.report), WRITTEN, 1.0)
    return Made(name, data, PDF_MEDIA, pages_in(data), wish.lacking)


def _labels(wish: Wish) -> Making:
    # what writes PDF comes only where one is made
    from fieldapp.handover.label_pdf import LONGEST, making

    state, facts = wish.judgement.state, []
    many = label_count(state)
    for one in labelling(wish.judgement, wish.day):
        facts.append(one)
        yield LAID * len(facts) / many
    pages = sheets(facts, GRIDS[wish.papers.labels], LONGEST)
    yield LAID
    data = yield from part(making(pages, state.job.title), LAID, 1.0)
    return Made(f"{stem_of(state.job.id)}-labels.pdf", data, PDF_MEDIA, len(pages))


def label_count(state: State) -> int:
    """How many labels a job has: one a box and a bond, two a span."""
    boxes = state.job.boxes.values()
    return len(boxes) + sum(box.bond is not None for box in boxes) + 2 * len(state.job.spans)


def sample_label(judgement: Judgement) -> LabelFacts | None:
    """A label to look at, undated: of the first box that has two sides, else of the first."""
    boxes = []
    for one in labelling(judgement, ""):
        if one.sort == END:
            break
        if len(one.ports) > 1 and one.sort == BOX:
            return one
        boxes.append(one)
    return boxes[0] if boxes else None


def pages_in(data: bytes) -> int:
    """How many pages a PDF has that packs none of its objects."""
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", data))


def _whole(wish: Wish) -> Making:
    yield 0.0
    packed = yield from at(packing(wish.doc, wish.pictures or None), 0.0)
    media = "application/zip" if packed.name.endswith(".zip") else "application/json"
    return Made(packed.name, packed.data, media, None, wish.lacking)


def _readings(wish: Wish) -> Making:
    yield 0.0
    name = f"{wish.judgement.state.job.id.lower()}-readings.csv"
    return Made(name, (yield from tabling(wish.judgement)), "text/csv")


def _recorded(state: State) -> Counts:
    return is_recorded


DOCUMENTS: Mapping[str, Document] = MappingProxyType(
    {
        REPORT: Document(
            _report, _recorded, True, lambda papers: (papers.report, papers.kind, papers.manner)
        ),
        LABELS: Document(
            _labels, moves_plan, choices=lambda papers: (papers.labels, papers.manner)
        ),
        WHOLE: Document(_whole, _recorded, True),
        READINGS: Document(_readings, _recorded),
    }
)


def parts_of(what: str, state: State) -> tuple[str, ...]:
    """The documents of a wish: all, or the one. Without a box in the plan there are no labels."""
    if what != ALL:
        return (what,)
    return tuple(one for one in (REPORT, LABELS, WHOLE) if one != LABELS or label_count(state))


def stamp_of(what: str, state: State, papers: Papers) -> tuple[Any, ...]:
    """What a document was made of: while this is the same, the document would be, but for the day."""
    document = DOCUMENTS[what]
    counts = document.counts(state)
    return (state.job.id, what, sum(map(counts, state.entries)), *document.choices(papers))
