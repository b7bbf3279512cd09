"""Readings as a table: RFC 4180, numbers that stay numbers, and no cell that a spreadsheet runs."""

from __future__ import annotations

import csv
import io
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jobs import chain, endpoint, run, source

from engine.entries import READING_KINDS
from engine.jobfile import read_job
from engine.judge import judge
from engine.readings_csv import COLUMNS, MADE_UP, NO_LONGER, cell, readings_csv

pytestmark = pytest.mark.pure

PLAN = chain(source(54), run(100), endpoint(12))
FORMULA = tuple("=+-@\uff1d\uff0b\uff0d\uff20")


def table(*log: dict) -> list[dict[str, str]]:
    """The table of a log, as another program reads it."""
    data = readings_csv(judge(read_job({**PLAN, "log": list(log)})))
    text = data.decode("utf-8")
    assert text.startswith("\ufeff") and text.endswith("\r\n")
    assert "\n" not in text.replace("\r\n", "")
    rows = list(csv.reader(io.StringIO(text[1:], newline=""), strict=True))
    assert tuple(rows[0]) == COLUMNS and all(len(row) == len(COLUMNS) for row in rows)
    return [dict(zip(COLUMNS, row, strict=True)) for row in rows[1:]]


def reading(ident: str, value: float = 53.2, **keys) -> dict:
    body = {"what": "reading", "at": "E1.in", "kind": "volts", "value": value}
    return {"id": ident, "t": "2031-06-03T08:00:00Z", "by": "Ida", **body, **keys}


def test_no_readings_is_a_head_alone():
    assert table() == []


def test_a_row_says_what_was_read_and_what_it_was_to_be():
    log = (
        reading("r1", 53.2),
        reading("r2", 51.0, by="Orla", t="2031-06-03T09:00:00Z"),
        reading("r3", 20.0, t="2031-06-03T10:00:00Z"),
        {"id": "v1", "what": "void", "of": "r3"},
        reading("r4", 54.0, t="2031-06-03T11:00:00Z", **{"with": {"*": "off"}}),
        {"id": "c1", "what": "change", "where": "C1", "did": "remade"},
        reading("r5", 53.1, t="2031-06-03T12:00:00Z"),
    )
    rows = table(*log)
    assert [row["id"] for row in rows] == ["r1", "r2", "r3", "r4", "r5"]
    assert [row["verdict"] for row in rows[:2]] == [NO_LONGER] * 2
    assert rows[2]["taken back"] == "yes" and rows[2]["verdict"] == ""
    assert rows[3]["standing"] == "nothing plugged in beyond"
    last = rows[4]
    judged = judge(read_job({**PLAN, "log": list(log)})).verdicts
    verdict = next(one for one in judged if one.id == "r5")
    assert last["verdict"] == verdict.verdict and last["taken back"] == ""
    for column in ("expected", "low", "high"):
        assert float(last[column]) == pytest.approx(getattr(verdict.band, column))
    assert (last["time"], last["place"], last["kind"]) == ("2031-06-03T12:00:00Z", "E1.in", "volts")
    assert (last["value"], last["unit"], last["by"]) == ("53.1", "V", "Ida")
    assert last["standing"] == "as planned"


def test_every_kind_has_its_unit_and_a_value_below_zero_stays_a_number():
    places = dict.fromkeys(READING_KINDS, "E1.in")
    places |= dict.fromkeys(("loop_ohms", "unbalance_ohms", "metres"), "C1")
    places |= {"celsius": PLAN["boxes"][0]["stop"], "earth_ohms": "EB1"}
    rows = table(
        *(
            reading(f"k{n}", -4.5 if kind == "celsius" else 1.0, kind=kind, at=places[kind])
            for n, kind in enumerate(READING_KINDS)
        )
    )
    assert all(row["unit"] for row in rows) and len(rows) == len(READING_KINDS)
    (cold,) = (row for row in rows if row["kind"] == "celsius")
    assert cold["value"] == "-4.5", "no apostrophe: it is a number, not a text"


def test_a_name_that_would_run_is_text():
    evil = '=HYPERLINK("http://x","y")'
    (row,) = table(reading("r1", by=evil))
    assert row["by"] == f"'{evil}"


def test_odd_names_come_back_as_they_were():
    for name in ('Ida "Flash" Fenn', "Fenn, Ida", "Mühle № 3 東", " Ida ", "well-known"):
        (row,) = table(reading("r1", by=name))
        assert row["by"] == name


@given(
    st.text(max_size=20) | st.text(st.sampled_from("=+-@;,|'\"\t\r\n ab\uff1d\u200e"), max_size=12)
)
def test_no_text_begins_a_cell_that_runs_however_a_spreadsheet_parts_them(content):
    """At commas as the RFC has it, at semicolons, tabs or bars as some spreadsheets do."""
    written = cell(content)
    (row,) = csv.reader(io.StringIO(written + "\r\n", newline=""), strict=True)
    (back,) = row or [""]
    assert not back.strip().startswith(FORMULA)
    for part in re.split(r"[,;|\t\r\n]", written):
        assert not part.strip().strip('"').strip().startswith(FORMULA), part


@given(st.floats(-1e9, 1e9))
def test_numbers_are_numbers(value):
    assert float(cell(value)) == pytest.approx(value, rel=1e-11, abs=1e-300)
    assert not cell(value).startswith("'")


def test_a_table_of_a_made_up_site_says_so_in_every_row():
    doc = {**PLAN, "x_made_up": {"seed": 1}, "log": [reading("r1"), reading("r2", 52.0)]}
    text = readings_csv(judge(read_job(doc))).decode("utf-8")
    rows = list(csv.reader(io.StringIO(text[1:], newline=""), strict=True))
    assert rows[0] == [*COLUMNS, MADE_UP]
    assert [row[-1] for row in rows[1:]] == ["yes", "yes"]
