"""The contest of plan edits in sets against the same rule pair by pair, on histories of three phones.

Long form: ``FAREND_EXAMPLES=4000 pytest tests/test_contest.py``.
"""

from __future__ import annotations

import json
import os
from pathlib import Path
from unittest.mock import patch

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st
from slow_contest import SlowContest
from test_fold_grows import history

from engine.entries import Entry, read_entry
from engine.fold import Work
from engine.jobfile import read_job
from engine.log import State, advance, fold

pytestmark = pytest.mark.pure

SAMPLE = Path(__file__).parent.parent / "sample_jobs" / "reedbed-hide.json"
DOC = {**json.loads(SAMPLE.read_text(encoding="utf-8")), "log": []}
FILE = read_job(DOC)
SPAN = next(span for span in DOC["spans"] if span["id"] == "C3")
LONG = {**SPAN, "length_m": 99}
CAMERA = {"id": "D", "sheet": "my.camera", "stop": "sluice"}
EDITS = (
    {"what": "set", "path": ["spans", "C3", "length_m"], "value": 90},
    {"what": "set", "path": ["spans", "c3", "length_m"], "value": 90.0},
    {"what": "set", "path": ["spans", "C3", "length_m"], "value": 95},
    {"what": "set", "path": ["spans", "C3", "length_m"], "value": "long"},
    {"what": "set", "path": ["spans", "C3"], "value": LONG},
    {"what": "set", "path": ["spans", "C3"], "value": {**LONG, "x_dry": True}},
    {"what": "set", "path": ["spans", "C3", "x_dry"], "value": True},
    {"what": "set", "path": ["spans", "C3", "x_dry"], "value": 1},
    {"what": "set", "path": ["spans", "C3", "x_deep"], "value": {"of": [1, True]}},
    {"what": "set", "path": ["spans", "C3", "x_deep", "of"], "value": [1, 1]},
    {"what": "set", "path": ["spans"], "value": [s for s in DOC["spans"] if s["id"] != "C6"]},
    {"what": "remove", "path": ["spans", "C6"], "as": "change"},
    {"what": "set", "path": ["spans", "C6", "length_m"], "value": 12},
    {"what": "set", "path": ["spans", "C6", "route"], "value": "wall"},
    {"what": "add", "path": ["boxes"], "value": CAMERA},
    {"what": "add", "path": ["boxes", "d"], "value": {**CAMERA, "name": "Second"}},
    {"what": "remove", "path": ["boxes", "D"]},
    {"what": "set", "path": ["stops", "sluice", "name"], "value": "Sluice"},
    {"what": "set", "path": ["stops", "SLUICE", "name"], "value": "Gate"},
    {"what": "set", "path": ["stops", "Sluice"], "value": {"name": "Gate", "at_m": 400}},
)


@st.composite
def histories(draw) -> list[Entry]:
    """Edits and resolves of three phones that meet now and then, as they came to a fourth."""
    held: dict[str, dict[str, dict]] = {device: {} for device in "abc"}
    counts = dict.fromkeys("abc", 0)
    out: list[dict] = []
    few = draw(st.lists(st.sampled_from(EDITS), min_size=1, max_size=6))
    for step in range(draw(st.integers(2, 16))):
        device = draw(st.sampled_from("abc"))
        kind = draw(st.sampled_from(("edit",) * 7 + ("resolve", "resolve", "void", "meet")))
        if kind == "meet":
            other = draw(st.sampled_from("abc"))
            held[device] = held[device] | held[other]
            continue
        there = [one["id"] for one in held[device].values()] or ["nobody"]
        if kind == "edit":
            body = dict(draw(st.sampled_from(few)))
        elif kind == "resolve":
            of = draw(st.tuples(st.sampled_from(there), st.sampled_from(there)))
            body = {"what": "resolve", "of": list(of), "keep": draw(st.sampled_from(of))}
        else:
            body = {"what": "void", "of": draw(st.sampled_from(there))}
        counts[device] += 1
        seen: dict[str, int] = {}
        for one in held[device].values():
            seen[one["device"]] = max(seen.get(one["device"], 0), one["n"])
        head = {"id": f"e{step}", "device": device, "n": counts[device], "seen": seen}
        held[device][f"e{step}"] = {**head, **body}
        out.append({**head, **body})
    return [read_entry(one) for one in draw(st.permutations(out))]


def slowly(entries: list[Entry]) -> State:
    """The fold with every pair of edits written down."""

    def work(*parts) -> Work:
        return Work(*parts, contest=SlowContest())

    with patch("engine.log.Work", work):
        return fold(FILE, entries)


def is_alike(entries: list[Entry]) -> State:
    """The two ways to the state hold the same, at once and grown; the state."""
    quick, slow = fold(FILE, entries), slowly(entries)
    grown = fold(FILE, entries[: len(entries) // 2])
    grown = advance(grown, entries[len(entries) // 2 :])
    for one in (quick, grown):
        assert one.conflicts == slow.conflicts
        assert (one.doc, one.left_out, one.oddities) == (slow.doc, slow.left_out, slow.oddities)
        assert one.work.contest.contested == slow.work.contest.contested
    return quick


@pytest.mark.long
@settings(max_examples=int(os.environ.get("FAREND_EXAMPLES", "150")), deadline=None)
@given(histories())
def test_sets_come_to_what_pairs_come_to(entries):
    is_alike(entries)


@pytest.mark.long
def test_histories_that_cannot_be_come_to_the_same():
    """Phones set back to a backup, ids written twice, entries that say they saw what came later."""
    states = [is_alike(history(seed)) for seed in range(150)]
    assert sum(bool(one.conflicts) for one in states) > 4
    assert sum(one.work.frontier.circled for one in states) > 3


def crowd(count: int) -> list[Entry]:
    """So many phones' edits of one length, none of which saw another."""
    head = {"what": "set", "path": ["spans", "C3", "length_m"], "n": 1}
    raw = (
        {**head, "id": f"e{i:05}", "device": f"d{i}", "value": 50 + i / 64} for i in range(count)
    )
    return [read_entry(one) for one in raw]


@pytest.mark.long
def test_a_thousand_that_saw_nobody_are_all_told():
    """What they cost is a ratio of ``tests/bench/log.py``."""
    entries = crowd(1000)
    (one,) = fold(FILE, entries).conflicts
    assert sorted(one.entries) == [entry.id for entry in entries]


@pytest.mark.long
def test_one_that_saw_a_thousand_stands_for_them_all():
    last = {"id": "z", "what": "set", "path": ["spans", "C3", "length_m"], "value": 80}
    seen = {f"d{i}": 1 for i in range(1000)}
    state = fold(FILE, [*crowd(1000), read_entry({**last, "device": "z", "n": 1, "seen": seen})])
    assert not state.conflicts and state.job.spans["C3"].length_m.expected == 80


def test_what_was_seen_through_others_is_seen():
    """A chain of phones, each of which saw the one before: the last stands alone."""
    row = [evolve(one, seen={f"d{i - 1}": 1} if i else {}) for i, one in enumerate(crowd(40))]
    state = fold(FILE, row)
    assert not state.conflicts and state.job.spans["C3"].length_m.expected == 50 + 39 / 64


def test_an_edit_that_clashes_on_its_path_and_inside_it_is_told_apart():
    """Two phones replaced a span, a third changed its length: the length is not told twice."""
    inner = {"what": "set", "path": ["spans", "C3", "length_m"], "value": 90}
    outer = [
        {"what": "set", "path": ["spans", "C3"], "value": {**SPAN, "length_m": m}} for m in (95, 99)
    ]
    heads = ({"id": f"e{i}", "device": f"d{i}", "n": 1} for i in range(3))
    rows = [{**head, **body} for head, body in zip(heads, (inner, *outer), strict=True)]
    state = is_alike([read_entry(one) for one in rows])
    told = {one.path: one.entries for one in state.conflicts}
    assert told == {"spans/C3": ("e1", "e2"), "spans/C3/length_m": ("e0", "e1", "e2")}
