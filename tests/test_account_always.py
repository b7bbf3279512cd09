"""Whatever is logged, on whatever plan, there is an account of it, and it can be told."""

from __future__ import annotations

import json

import pytest
from account_jobs import account_of, at, logged, said_of, sample
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.diagnose_json import diagnosis_json
from engine.diagnose_text import diagnosis_text
from engine.phrases import english

FLOWS = ("volts", "milliamps", "watts", "mbps", "error_count")
LOOPS = ("loop_ohms", "metres", "unbalance_ohms")
LOOKS = (
    *((point, kind) for point in ("S.out", "R1.in", "R1.out", "E.in", "Z.in") for kind in FLOWS),
    *((span, kind) for span in ("C1", "C2", "C9") for kind in LOOPS),
    ("store", "celsius"),
)
ENTRIES = st.lists(
    st.tuples(
        st.sampled_from(LOOKS),
        st.one_of(st.floats(0, 60), st.floats(-1e6, 1e6), st.sampled_from([0, 1000, 100])),
        st.sampled_from(
            [
                {},
                {"with": {"E": "off"}},
                {"with": {"*": "off"}},
                {"with": {"E": {"watts": 15}}},
                {"unsteady": [1, 50]},
                {"moment": "one"},
                {"celsius": 70.0},
            ]
        ),
    ),
    max_size=9,
)


@settings(max_examples=25, deadline=None)
@given(ENTRIES)
def test_whatever_is_logged_there_is_an_answer(entries):
    one = account_of(logged("orchard-gate", *(at(*row[0], row[1], **row[2]) for row in entries)))
    assert sum(fault.probability for fault in one.faults) == pytest.approx(1, abs=1e-9)
    json.dumps(diagnosis_json(one), allow_nan=False)
    text = "\n".join(diagnosis_text(one))
    assert all(len(line) <= 80 for line in text.splitlines())
    for said in said_of(one):
        assert english(said).text


def test_readings_of_which_none_is_steady_get_an_answer_too():
    """Lights, earths and wires of a pair alone: no straight line is there to begin with."""
    for bodies in (
        [at("R1.in", "mbps", 0), at("C1", "unbalance_ohms", 9.0)],
        [at("C1", "loop_ohms", None, pairs={"1": 1e6, "2": 1e6})],
        [at("E.in", "volts", 30.0, unsteady=[2, 50]), at("E.in", "mbps", 0)],
    ):
        one = account_of(logged("orchard-gate", *bodies))
        assert sum(fault.probability for fault in one.faults) == pytest.approx(1, abs=1e-9)


def test_a_plan_without_a_feed_or_a_span_gets_an_answer_too():
    bare = {**sample("orchard-gate"), "spans": [], "log": []}
    for doc in (bare, {**bare, "log": logged("orchard-gate", at("E.in", "volts", 48))["log"]}):
        one = account_of(doc)
        assert one.faults and diagnosis_text(one)
