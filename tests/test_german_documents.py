"""Documents in German: where the words are German, a record and its labels are, in HTML and in PDF,
and say in which language they are."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from german_told import ENGLISH, POINTED, own, values
from test_phrases import judgements
from test_report_pdf import texts_of

from engine.defaults import DEFAULTS
from engine.diagnose.account import account
from engine.judge import Judgement
from fieldapp import words
from fieldapp.drawing.shapes import Label
from fieldapp.handover.html import html
from fieldapp.handover.label_pdf import sheets_pdf
from fieldapp.handover.labels import labels_of
from fieldapp.handover.page import Record
from fieldapp.handover.record import needs_account, record
from fieldapp.handover.report_pdf import record_pdf
from fieldapp.handover.sheets import GRIDS, Sheet, sheets
from fieldapp.words import german

AS_WRITTEN = ("farend sources", "standards.conductors", "IEEE 802.3")
"""what is typed or looked up as it is written, in every language"""


DATE = "2031-05-04"


@pytest.fixture
def in_german() -> Iterator[None]:
    """Whoever asks for the app's words gets German ones for a while."""
    with words.speaking(words.Manner("de")):
        yield


def made(judgement: Judgement) -> Record:
    return record(judgement, account(judgement) if needs_account(judgement) else None)


def labels(judgement: Judgement) -> tuple[Sheet, ...]:
    return tuple(sheets(labels_of(judgement, DATE), GRIDS["a4"]))


def given(judgement: Judgement) -> Iterator[str]:
    """What a job brings itself: its own texts, and names and remarks of the sheets it uses."""
    state = judgement.state
    yield from values(state.doc)
    yield from values([[one.by, one.body] for one in state.entries])
    job = state.job
    used = [box.sheet for box in job.boxes.values()] + [one.cable for one in job.spans.values()]
    used += [meter.sheet for meter in job.meters.values()]
    for sheet in used:
        yield from (sheet.id, sheet.title or "", getattr(sheet, "note", None) or "")


def left_english(judgement: Judgement, texts: list[str]) -> list[str]:
    """Texts with an English word or a decimal point, but for what was given."""
    whole = frozenset(given(judgement))
    mine = frozenset(one for one in whole if re.search(r"[A-Z\d. ]", one))
    out = []
    for text in (one for one in texts if one not in whole):
        rest = own(text, mine)
        for one in AS_WRITTEN:
            rest = rest.replace(one, "…")
        if ENGLISH.search(rest) or POINTED.search(rest):
            out.append(text)
    return out


@pytest.mark.parametrize("number", range(len(judgements())))
def test_a_record_is_german_through_and_through(number, in_german):
    judgement = judgements()[number]
    texts = texts_of(made(judgement))
    assert any(text.startswith("Bericht zu ") for text in texts)
    assert left_english(judgement, texts) == []


def test_an_english_record_would_be_seen():
    judgement = judgements()[0]
    assert len(left_english(judgement, texts_of(made(judgement)))) > 20


def test_the_page_says_that_it_is_german(in_german):
    text = html(made(judgements()[0]), {})
    assert '<html lang="de">' in text
    assert r'content:"Seite\000020" counter(page) "\000020von\000020" counter(pages);' in text


def test_so_do_the_pdfs(in_german):
    judgement = judgements()[0]
    assert b"/Lang (de)" in record_pdf(made(judgement), {})
    assert b"/Lang (de)" in sheets_pdf(labels(judgement), "Hütte")


def said_on(shapes: Any) -> list[str]:
    return [shape.text for shape in shapes if isinstance(shape, Label)]


def test_a_label_is_german(in_german):
    judgement = judgements()[0]
    said = [text for page in labels(judgement) for text in said_on(page.shapes)]
    assert any("von der Quelle" in text for text in said)
    for whole in ("Box zur Quelle, Leitung zum Ende", "Ltg", "an A2 Leitung"):
        assert whole in said, "not shortened, however little room there is"
    assert left_english(judgement, said) == []


@pytest.mark.parametrize("default", DEFAULTS.values(), ids=DEFAULTS)
def test_why_something_is_taken_is_told_in_german(default):
    told = german.record_source("L2.", default.source)
    assert default.source not in told
    assert not ENGLISH.search(told.replace("standards.conductors", "…")), told
