"""Hurt files are refused or read, never more. Long forms: ``python tests/bench/fuzz.py SECONDS``,
and ``FAREND_EXAMPLES=20000 python -m pytest tests/test_fuzz.py``."""

from __future__ import annotations

import json
import os
import sys
from collections import Counter
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).parent / "bench"))

import fuzz
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jobs import chain, endpoint, run, source
from mutations import MOST_BYTES, PICTURE, documents, mutated, seeds, zipped

from engine.jobfile import BadFile, parse_json, read_job
from fieldapp.exchange import unpack
from fieldapp.store.journal import decode, encode

EXAMPLES = int(os.environ.get("FAREND_EXAMPLES", "200"))
thorough = settings(
    max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True
)


def tried(data: bytes) -> str:
    with fuzz.limited(fuzz.SECONDS_EACH):
        return fuzz.one_case(data, Random(0))


def test_the_seeds_are_whole():
    """What is hurt can be read before it is."""
    assert len(seeds()) >= 10
    assert {tried(data) for data in seeds()} == {"read"}


def test_hurt_files_are_refused_or_read():
    """Some of each, so that both ways are tried."""
    came: Counter = Counter()
    for number in range(EXAMPLES):
        data = mutated(Random(number))
        assert len(data) <= MOST_BYTES
        came[tried(data)] += 1
    assert came["refused"] > EXAMPLES / 3
    assert came["read"] > EXAMPLES / 50


@pytest.mark.parametrize("port", ["out2x", "outdoor", "out0", "out", "bond"])
def test_a_splitters_sheet_has_only_ports_of_one(port: str):
    """Found: a splitter whose sheet spoke of ``out2x`` could be read, and not be judged."""
    parts = {"sheet": "my.fork", "stop": "post"}
    doc = chain(source(54), run(100), endpoint(12))
    doc["sheets"]["my.fork"] = {"kind": "splitter", "own_watts": 2, "ports": {"out1": {}, port: {}}}
    doc["boxes"].append({"id": "Y1", **parts})
    with pytest.raises(BadFile) as refused:
        read_job(doc)
    (problem,) = [one for one in refused.value.problems if "ports" in one.at]
    assert problem.at == f'sheets["my.fork"].ports.{port}'
    assert problem.expected == "a port of a splitter: in, out1, out2 and so on"


def test_a_find_is_counted_and_noted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """Or the above proves nothing: what breaks is found, with the file that broke it."""

    def breaks(data: bytes):
        raise KeyError("as ordered")

    monkeypatch.setattr(fuzz, "unpack", breaks)
    counts, _ = fuzz.fuzz(0.2, 3, tmp_path)
    (came,) = counts
    assert came.startswith("find: KeyError test_fuzz.py") and came.endswith("breaks")
    assert (tmp_path / "3-0.case").read_bytes() == mutated(Random("3/0"))
    assert "as ordered" in (tmp_path / "3-0.txt").read_text()


def test_a_case_that_hangs_is_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(fuzz, "SECONDS_EACH", 0.05)
    monkeypatch.setattr(fuzz, "one_case", lambda data, rng: _hang())
    counts, longest = fuzz.fuzz(0.1, 3, tmp_path)
    assert all("TooSlow" in came for came in counts) and longest < 5


def _hang() -> str:
    while True:
        pass


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12),
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4)
    ),
    max_leaves=12,
)
KEYS = st.sampled_from(
    ("id", "sheet", "stop", "kind", "watts", "log", "what", "path", "value", "seen", "n", "spans")
)


@thorough
@given(st.data())
def test_a_job_with_anything_anywhere_is_refused_or_read(data: st.DataObject):
    """Any value at any place of a whole job, and any key more."""
    doc = json.loads(data.draw(st.sampled_from(documents())))
    holder = doc
    for _ in range(data.draw(st.integers(0, 4))):
        inner = [one for one in _inside(holder) if isinstance(one, dict | list) and one]
        if not inner:
            break
        holder = data.draw(st.sampled_from(inner))
    if isinstance(holder, list):
        holder[data.draw(st.integers(0, len(holder) - 1))] = data.draw(JSON)
    else:
        key = data.draw(st.sampled_from(list(holder)) | KEYS | st.text(max_size=6))
        holder[key] = data.draw(JSON)
    tried(json.dumps(doc).encode())


def _inside(holder):
    return holder.values() if isinstance(holder, dict) else holder


@thorough
@given(
    st.binary(max_size=300) | st.text(max_size=300).map(lambda text: text.encode("utf-8", "ignore"))
)
def test_any_bytes_are_refused(data: bytes):
    """Nothing of these is a job."""
    with pytest.raises(BadFile):
        read_job(parse_json(data))
    with pytest.raises(BadFile):
        unpack(data)


@thorough
@given(st.sampled_from(seeds()), st.data())
def test_any_file_with_bytes_of_any_kind_in_it(whole: bytes, data: st.DataObject):
    """Replaced, taken out or put in at any place, in a job file or a zip."""
    start = data.draw(st.integers(0, len(whole)))
    end = data.draw(st.integers(start, min(len(whole), start + 40)))
    tried(whole[:start] + data.draw(st.binary(max_size=20)) + whole[end:])


@thorough
@given(st.lists(st.tuples(st.text(max_size=30), st.binary(max_size=60)), max_size=4), st.data())
def test_any_zip(members: list[tuple[str, bytes]], data: st.DataObject):
    """Any names, any bytes, beside a whole job or without one."""
    job = [("job.json", documents()[0].encode()), ("photos/a.jpg", PICTURE)]
    whole = [*members, *job[: data.draw(st.integers(0, 2))]]
    named = {
        name.replace("\0", "-").encode("utf-8", "replace").decode(): one for name, one in whole
    }
    tried(zipped(list(named.items()), Random(0), odd=0.2))


@thorough
@given(st.lists(st.dictionaries(st.text(), JSON, max_size=4), max_size=4), st.data())
def test_a_journal_of_any_bytes_is_read_twice_alike(records: list[dict], data: st.DataObject):
    """What stands behind the last whole record is cut off, and the rest reads the same again."""
    lines = b"".join(encode(one) for one in records if _is_plain(one))
    start = data.draw(st.integers(0, len(lines)))
    end = data.draw(st.integers(start, len(lines)))
    hurt = lines[:start] + data.draw(st.binary(max_size=30)) + lines[end:]
    first = decode(hurt)
    again = decode(hurt[: first.good_bytes])
    assert again.records == first.records
    assert (again.torn, again.damaged) == (0, first.damaged)


def _is_plain(value) -> bool:
    """Whether JSON gives it back: no NaN, no infinity."""
    if isinstance(value, dict | list):
        return all(map(_is_plain, value.values() if isinstance(value, dict) else value))
    return not isinstance(value, float) or value - value == 0
