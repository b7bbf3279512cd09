"""Spans from a table: what is written is added; each bad line is named, and nothing applied."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.jobfile import BadFile, read_job
from engine.planning import applied
from engine.spans_csv import LARGEST_BYTES, MOST_LINES, spans_from

pytestmark = pytest.mark.pure
HEAD = "id,from,to,cable,metres\n"
FIRST = "C1,S.out,J.a,generic.cat6-outdoor,40.5\n"
SECOND = "C2,J.b,E.in,generic.cat6-outdoor,60\n"
DOC = {
    "format": "farend-job/1",
    "id": "T",
    "title": "Trial",
    "site": {"name": "Weir", "ambient_c": 15},
    "stops": {"hut": {"at_m": 0, "indoor": True}},
    "boxes": [
        {"id": "S", "sheet": "generic.source-60w", "stop": "hut"},
        {"id": "J", "sheet": "generic.joint-gel", "stop": "hut"},
        {"id": "E", "sheet": "generic.camera-small", "stop": "hut"},
    ],
    "spans": [],
    "log": [],
}


@pytest.mark.parametrize(
    "text",
    [
        HEAD + FIRST + SECOND,
        "\ufeff" + (HEAD + FIRST + SECOND).replace("\n", "\r\n"),
        "ID;From;To;Cable;Metres\nC1;S.out;J.a;generic.cat6-outdoor;40,5\n"
        "C2;J.b;E.in;generic.cat6-outdoor;60\n",
        'metres,id,"from",to,cable\n40.5,"C1",S.out,J.a,generic.cat6-outdoor\n\n'
        "60,C2,J.b,E.in,generic.cat6-outdoor",
    ],
)
def test_every_way_of_writing_it_gives_the_same_spans(text):
    doc = applied(DOC, spans_from(DOC, text))
    spans = read_job(doc).plan.spans
    lengths = {n: (str(s.a), str(s.b), s.length_m.expected) for n, s in spans.items()}
    assert lengths == {"C1": ("S.out", "J.a", 40.5), "C2": ("J.b", "E.in", 60)}
    assert list(doc["sheets"]) == ["generic.cat6-outdoor"]


@pytest.mark.parametrize(
    ("line", "at", "found"),
    [
        ("C2,J.b,Q.in,generic.cat6-outdoor,6", "line 3, to", "Q.in"),
        ("C2,Q.b,E.in,generic.cat6-outdoor,6", "line 3, from", "Q.b"),
        ("C2,J.b,E.out,generic.cat6-outdoor,6", "line 3, to", "E.out"),
        ("C2,J.a,E.in,generic.cat6-outdoor,6", "line 3, from", "J.a"),
        ("C2,J.b,E.in,generic.string,6", "line 3, cable", "generic.string"),
        ("c1,J.b,E.in,generic.cat6-outdoor,6", "line 3, id", "c1"),
        ("C2,J.b,E.in,generic.cat6-outdoor,nan", "line 3, metres", "nan"),
        ("C2,J.b,E.in,generic.cat6-outdoor,-1", "line 3, metres", "-1"),
        ("C2,J.b,E.in,generic.cat6-outdoor,", "line 3, metres", "nothing"),
        ('C2,J.b,E.in,generic.cat6-outdoor,"6,5"', "line 3, metres", "6,5"),
        ("C2,J.b,E.in", "line 3", "3 columns"),
    ],
)
def test_a_bad_line_is_named(line, at, found):
    with pytest.raises(BadFile) as refused:
        spans_from(DOC, HEAD + FIRST + line)
    (problem,) = refused.value.problems
    assert (problem.at, problem.found.strip('"')) == (at, found)
    assert problem.expected


def test_each_bad_line_has_one_problem():
    bad = "C7,X.a,Y.b,generic.string,6\nC8,X.a,Y.b,generic.string,-6\n"
    with pytest.raises(BadFile) as refused:
        spans_from(DOC, HEAD + FIRST + bad)
    assert [p.at.split(",")[0] for p in refused.value.problems] == ["line 3", "line 4"]


@pytest.mark.parametrize(
    "text",
    ["", "id,from\n", HEAD + '"C1', "x" * (LARGEST_BYTES + 1), HEAD + FIRST * (MOST_LINES + 1)],
)
def test_what_is_no_such_table_is_refused(text):
    with pytest.raises(BadFile):
        spans_from(DOC, text)


@given(st.text(alphabet='idC1,;"\n.S out\r\ufeff5', max_size=60), st.booleans())
def test_any_text_is_read_or_refused(text, headed):
    try:
        read_job(applied(DOC, spans_from(DOC, HEAD + text if headed else text)))
    except BadFile as bad:
        assert bad.problems
