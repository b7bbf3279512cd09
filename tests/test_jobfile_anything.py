"""Any document reads or says why, and what is written reads the same."""

from __future__ import annotations

import copy
import json

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from least_job import small, spots
from samples import NAMES, SAMPLES, sample

from engine.jobfile import BadFile, parse_json, read_job, write
from engine.judge import judge

pytestmark = pytest.mark.pure

TEXTS = {name: (SAMPLES / f"{name}.json").read_text(encoding="utf-8") for name in NAMES}


_LEAF = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-3, 120),
    st.sampled_from([10**30, -(10**400), 0.5, 1e308, float(2**53)]),
    st.floats(allow_nan=False, allow_infinity=False),
    st.text(max_size=8),
    st.sampled_from(["S.out", "S", "my.cable", "off", "E.in", "C1", "*", "x_a", "farend-job/1"]),
)
_VALUE = st.recursive(
    _LEAF,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=6,
)


SPOTS = {name: list(spots(json.loads(text))) for name, text in TEXTS.items()}


@st.composite
def broken(draw) -> dict:
    """A sample with up to four keys dropped, renamed or given another value."""
    name = draw(st.sampled_from(sorted(TEXTS)))
    doc = sample(name)
    for _ in range(draw(st.integers(1, 4))):
        *way, last = draw(st.sampled_from(SPOTS[name]))
        try:
            spot = doc
            for key in way:
                spot = spot[key]
            act = draw(st.sampled_from(["drop", "put", "copy", "rename"]))
            if act == "drop":
                del spot[last]
            elif act == "put":
                spot[last] = draw(_VALUE)
            elif act == "copy":
                spot.append(copy.deepcopy(spot[last]))
            else:
                spot[draw(st.text(max_size=6))] = spot.pop(last)
        except (KeyError, IndexError, TypeError, AttributeError):
            continue  # an earlier change took this place away
    return doc


@pytest.mark.long
@settings(
    max_examples=150,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(broken())
def test_a_broken_document_reads_or_says_why_and_nothing_else(doc):
    text = json.dumps(doc)
    try:
        file = read_job(parse_json(text))
    except BadFile as bad:
        assert bad.problems
        assert all(len(problem.line().splitlines()) == 1 for problem in bad.problems)
    else:
        assert parse_json(write(file.doc)) == doc
        assert judge(file).steps is not None


@settings(max_examples=200, deadline=None, derandomize=True)
@given(
    st.one_of(st.binary(max_size=60), st.text(alphabet='{}[]":,\\ntruefalse019eE.-+ ', max_size=40))
)
def test_any_text_reads_or_says_why(text):
    with pytest.raises(BadFile):
        read_job(parse_json(text))


@settings(max_examples=150, deadline=None, derandomize=True)
@given(st.data())
def test_a_file_cut_or_stained_anywhere(data):
    raw = bytearray(TEXTS["orchard-gate"].encode())
    at = data.draw(st.integers(0, len(raw) - 1))
    if data.draw(st.booleans()):
        del raw[at:]
    else:
        raw[at] = data.draw(st.integers(0, 255))
    try:
        read_job(parse_json(bytes(raw)))
    except BadFile as bad:
        assert bad.problems


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.dictionaries(st.from_regex(r"x_[a-z]{1,6}", fullmatch=True), _VALUE, max_size=5))
def test_what_is_written_reads_the_same(own):
    doc = {**sample("orchard-gate"), **own}
    text = write(doc)
    assert parse_json(text) == json.loads(text) == doc
    assert write(parse_json(text)) == text


@pytest.mark.parametrize("name", sorted(TEXTS))
def test_samples_survive_the_round_trip(name):
    doc = parse_json(TEXTS[name])
    again = parse_json(write(doc))
    assert again == doc
    assert list(again) == list(doc)
    assert read_job(again) == read_job(doc)


def test_words_of_other_languages_are_written_as_they_are():
    doc = small(title="Mühle № 3, 東の門")
    assert "Mühle № 3, 東の門" in write(doc)
    assert read_job(parse_json(write(doc).encode())).plan.title == doc["title"]
