"""What a signature stands for: the entries it had seen, their sum, what came since."""

from __future__ import annotations

import json
import struct
from copy import deepcopy
from hashlib import sha256
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jobs import chain, endpoint, run, source
from test_merge import random_history, with_log

from engine.canonical import canonical, number
from engine.entries import read_entry
from engine.jobfile import BadFile, parse_json, read_job, write
from engine.log import State, fold
from engine.merge import merged
from engine.signed import covered, is_signed, seen_now, signatures, sum_now, sum_of
from engine.strokes import MOST_POINTS, MOST_STROKES

pytestmark = pytest.mark.pure

PLAN = chain(source(54), run(100), endpoint(12))
STROKES = [[[0, 0], [500, 399]], [[1000, 400]]]


def state(*log: dict, doc: dict = PLAN) -> State:
    return fold(read_job({**deepcopy(doc), "log": list(deepcopy(log))}))


def entry(device: str, n: int, what: str = "reading", **keys) -> dict:
    """An entry of a phone; a reading where nothing is said."""
    body = {"at": "E1.in", "kind": "volts", "value": 48.7} if what == "reading" else {}
    return {"id": f"{device}{n}", "device": device, "n": n, "what": what, **body, **keys}


def sign(device: str, n: int, over: State, **keys) -> dict:
    """A signature under the log as it is, as the app writes one."""
    body = {"role": "fitter", "sha256": sum_now(over), "strokes": STROKES, "by": "Ida"}
    return entry(device, n, "sign", seen=seen_now(over), **{**body, **keys})


def signed(*log: dict, doc: dict = PLAN, **keys) -> tuple[dict, ...]:
    """The log, and a signature under it."""
    return *log, sign("aa", 90, state(*log, doc=doc), **keys)


def only(*log: dict, doc: dict = PLAN):
    (one,) = signatures(state(*log, doc=doc))
    return one


# ---------------------------------------------------------------- one text of a value


@pytest.mark.parametrize(
    ("bits", "text"),
    [
        ("0000000000000001", "5e-324"),
        ("8000000000000000", "0"),
        ("7fefffffffffffff", "1.7976931348623157e+308"),
        ("4340000000000002", "9007199254740996"),
        ("444b1ae4d6e2ef50", "1e+21"),
        ("44b52d02c7e14af5", "9.999999999999997e+22"),
        ("41b3de4355555553", "333333333.3333332"),
        ("3eb0c6f7a0b5ed8d", "0.000001"),
        ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"),
        ("becbf647612f3696", "-0.0000033333333333333333"),
        ("43143ff3c1cb0959", "1424953923781206.2"),
    ],
)
def test_numbers_are_written_as_the_scheme_prints_them(bits, text):
    """RFC 8785, appendix B (rows from memory; ``test_outside_canonical`` asks Node)."""
    assert number(struct.unpack(">d", bytes.fromhex(bits))[0]) == text


def test_a_value_is_one_text_whatever_its_order_and_its_spelling():
    assert canonical({"b": 1, "a": [1.0, 41, 2**60]}) == canonical({"a": (1, 41.0, 2**60), "b": 1})
    assert canonical('\u2028\x07é"\\') == '"\u2028\\u0007é\\"\\\\"'
    assert canonical({"\ufb33": 1, "\U0001f600": 2}) == '{"\U0001f600":2,"\ufb33":1}', "by UTF-16"
    with pytest.raises(TypeError):
        canonical({"a": object()})


VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**60), 2**60)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=12,
)


@given(VALUES)
def test_the_text_reads_back_as_the_value(value):
    assert json.loads(canonical(value), parse_int=float) == _as_floats(value)


def _as_floats(value):
    if isinstance(value, dict):
        return {key: _as_floats(one) for key, one in value.items()}
    if isinstance(value, list):
        return [_as_floats(one) for one in value]
    return float(value) if isinstance(value, int) and not isinstance(value, bool) else value


# ---------------------------------------------------------------- the sum


def strangers_sum(file: str) -> str:
    """The sum of the last signature of a file, by the ten lines that DEVELOPERS.md describes."""
    doc = json.loads(file)
    plain = {"t": None, "device": "", "seen": {}, "by": ""}
    log = [{**plain, "n": place, **one} for place, one in enumerate(doc.pop("log"), 1)]
    name = [one for one in log if one["what"] == "sign"][-1]
    seen = {name["device"]: name["n"] - 1, **name["seen"]}
    under = [e for e in log if not e["device"] or e["n"] <= seen.get(e["device"], 0)]
    own = ("note", "set", "add", "remove")
    log = [
        {k: v for k, v in e.items() if k[:2] != "x_" or (e["what"] in own and k != "x_twins")}
        for e in sorted(under, key=lambda e: e["id"])
        if e["what"] != "sign"
    ]
    text = json.dumps(_whole({"log": log, "plan": doc}), sort_keys=True, separators=(",", ":"), ensure_ascii=False)  # fmt: skip
    return sha256(text.encode()).hexdigest()


def _whole(value):
    """Whole numbers without a point; those of a job are never so small as to want an exponent."""
    if isinstance(value, dict):
        return {key: _whole(one) for key, one in value.items()}
    if isinstance(value, list):
        return [_whole(one) for one in value]
    return int(value) if isinstance(value, float) and value == int(value) else value


WORK = (
    entry("aa", 1, "visit", people=2, by="Ida", t="2031-05-04T08:00:00Z", seen={}),
    entry("aa", 2, value=48, seen={"aa": 1}, **{"with": {"E1": {"watts": 15}}}),
    entry("bb", 7, "set", path=["title"], value="Gâte", **{"as": "correction", "x_together": "k"}),
    entry("bb", 8, "note", text="clad?", x_fitted="short", at="E1", seen={"aa": 2, "bb": 7}),
    entry("bb", 9, "of a later version", deep={"from": [1.5, None]}, x_own=1),
    entry("aa", 3, "waive", of="finding.bond", reason="leased", by="P. Quill", x_mine=[2]),
    entry("aa", 4, unsteady=[47.5, 49.0], x_mine=3),
)


def test_a_stranger_comes_to_the_same_sum():
    log = signed(*WORK)
    one = only(*log)
    assert one.holds is True and one.since == 0 and one.is_tied
    assert strangers_sum(write({**PLAN, "log": list(log)})) == one.sha256
    hand = ({"id": "h1", "what": "note", "text": "by hand"}, *WORK)
    log = signed(*hand)
    assert only(*log).holds is True
    assert strangers_sum(write({**PLAN, "log": list(log)})) == only(*log).sha256


def test_what_was_signed_is_the_same_in_a_file_and_back():
    log = signed(*WORK)
    doc = parse_json(write({**PLAN, "log": list(log)}))
    (one,) = signatures(fold(read_job(doc)))
    assert one.holds is True and one.strokes == ((((0, 0)), (500, 399)), ((1000, 400),))


def _leaves(value, path=()):
    if isinstance(value, dict):
        for key, one in value.items():
            yield from _leaves(one, (*path, key))
    elif isinstance(value, list):
        for key, one in enumerate(value):
            yield from _leaves(one, (*path, key))
    else:
        yield path, value


def _other(value):
    """The same with one letter, or one step, of it changed."""
    if isinstance(value, bool) or value is None:
        return not value
    return value + 1 if isinstance(value, int | float) else f"{value}e"


def _altered(number, path):
    """The work with one value changed, read; None where it is no entry any more."""
    altered = deepcopy(list(WORK))
    spot = altered[number]
    for key in path[:-1]:
        spot = spot[key]
    spot[path[-1]] = _other(spot[path[-1]])
    try:
        return altered, [read_entry(one) for one in altered]
    except ValueError:
        return None


OF_WORK = [
    (number, path)
    for number, one in enumerate(WORK)
    for path, _ in _leaves(dict(one))
    if _altered(number, path) is not None
]


@pytest.mark.parametrize(("number", "path"), OF_WORK, ids=str)
def test_each_changed_value_of_what_was_covered_changes_the_sum(number, path):
    """Keys of somebody's own in entries of other kinds are no part of it: nobody reads them."""
    assert len(OF_WORK) > 50
    whole = sum_of(PLAN, map(read_entry, WORK))
    altered, entries = _altered(number, path)
    is_own = str(path[0]).startswith("x_") and altered[number]["what"] not in ("note", "set")
    assert (sum_of(PLAN, entries) == whole) is is_own


def test_the_plan_as_first_agreed_is_in_it_and_an_entry_more_or_less():
    whole = sum_of(PLAN, map(read_entry, WORK))
    assert sum_of({**PLAN, "log": [1]}, map(read_entry, WORK)) == whole
    assert sum_of({**PLAN, "title": "x"}, map(read_entry, WORK)) != whole
    assert sum_of(PLAN, map(read_entry, WORK[1:])) != whole
    assert sum_of(PLAN, map(read_entry, WORK[::-1])) == whole


@pytest.mark.parametrize("seed", range(40))
def test_merged_in_any_order_the_signatures_say_the_same(seed):
    """Three phones, one of which signs; whoever meets whom first."""
    dice, docs = Random(seed), random_history(seed)
    docs = [merged([one]) for one in docs]
    mine = fold(read_job(docs[0]))
    docs[0]["log"].append(sign("aa", 500, mine, id="signed"))
    ways = []
    for _ in range(3):
        dice.shuffle(docs)
        first, second, third = docs
        ways.append(merged([merged([first, second]), third]))
        ways.append(merged([first, merged([second, third])]))
    told = {signatures(fold(read_job(one))) for one in ways}
    assert len(told) == 1
    ((one,),) = told
    news = {e["id"] for doc in docs for e in doc["log"]} - {e.id for e in mine.entries}
    if one.holds and news == {"signed"}:
        assert one.since == 0
    assert signatures(fold(read_job(with_log(*docs[0]["log"], *docs[1]["log"])))) is not None


# ---------------------------------------------------------------- what came since


def test_what_matters_and_was_not_seen_is_growth():
    log = signed(*WORK)
    assert only(*log, entry("aa", 91)).since == 1
    assert only(*log, entry("bb", 10)).since == 1, "from another phone, by a merge"
    assert only(*log, entry("aa", 91), entry("bb", 10), entry("cc", 1, "note", text="x")).since == 3
    assert only(*log, entry("aa", 91)).holds is True, "what was signed is still what was signed"


@pytest.mark.parametrize(
    "passing",
    [
        entry("aa", 91, "export", to="x"),
        entry("aa", 91, "leave", open=[]),
        entry("aa", 91, "visit", people=1),
        entry("aa", 91, "note", text="read", x_caution="caution-off"),
        entry("aa", 91, "step", step="sign.site", state="done"),
        entry("aa", 91, "sign", role="client"),
    ],
)
def test_sharing_leaving_and_signing_are_no_growth(passing):
    found = signatures(state(*signed(*WORK), passing))
    assert found[0].since == 0 and found[0].holds is True
    assert is_signed(state(*signed(*WORK), passing))


def test_what_came_and_was_taken_back_again_is_nothing():
    log = signed(*WORK)
    back = entry("aa", 92, "void", of="aa91")
    assert only(*log, entry("aa", 91), back).since == 0
    assert only(*log, entry("aa", 91, "void", of="aa2")).since == 1, "that had been signed"
    again = entry("aa", 93, "void", of="aa92")
    assert only(*log, entry("aa", 91), back, again).since == 1, "it stands after all"


def test_a_signature_taken_back_is_gone_and_leaves_the_others_as_they_are():
    log = signed(*WORK)
    other = sign("bb", 95, state(*log), by="P. Quill", role="owner")
    back = entry("aa", 96, "void", of="aa90")
    assert [one.by for one in signatures(state(*log, other))] == ["Ida", "P. Quill"]
    assert [(one.by, one.since, one.holds) for one in signatures(state(*log, other, back))] == [
        ("P. Quill", 0, True)
    ]
    assert not is_signed(state(*log, back)) and is_signed(state(*log, other, back))


def test_one_of_no_sum_is_tied_to_nothing_and_a_strange_sum_does_not_hold():
    assert only(*WORK, entry("aa", 90, "sign")).holds is None
    assert not only(*WORK, entry("aa", 90, "sign")).is_tied
    assert only(*signed(*WORK, sha256="ab" * 32)).holds is False
    assert only(*signed(*WORK, sha256="hello")).holds is False
    assert only(*signed(*WORK, sha256=sum_now(state(*WORK)).upper())).holds is True


def test_entries_that_are_lacking_leave_it_open_and_altered_ones_do_not():
    *log, name = signed(*WORK)
    assert only(*log[:-1], name).holds is None, "the last of this phone is not here"
    altered = {**log[1], "value": 47.9}
    assert only(log[0], altered, *log[2:], name).holds is False
    assert only(*(one for one in log if one["id"] != "bb7"), name).holds is None


def test_what_was_kept_elsewhere_while_somebody_signed_is_not_signed():
    """Two windows of one phone: what the other kept is not what was on this screen."""
    name = sign("aa", 90, state(*WORK))
    between = entry("aa", 89)
    found = only(*WORK, between, name)
    assert found.holds is True and found.since == 1
    assert "aa89" not in {one.id for one in covered(state(*WORK, between, name), read_entry(name))}
    silent = {key: value for key, value in name.items() if key != "seen"}
    assert "aa89" in {one.id for one in covered(state(*WORK, between), read_entry(silent))}


@pytest.mark.long
def test_five_thousand_entries_are_summed_once_for_all_who_sign():
    log = tuple(entry("aa", n) for n in range(1, 5001))
    here = state(*log)
    names = [sign("aa", 6000 + n, here, by=f"N. {n}") for n in range(20)]
    found = signatures(state(*log, *names))
    assert len(found) == 20 and all(one.holds and not one.since for one in found)


# ---------------------------------------------------------------- the drawing


@pytest.mark.parametrize(
    ("strokes", "at"),
    [
        ("scribble", "log[0].strokes"),
        ([[0, 0, 1, 1]], "log[0].strokes[0][0]"),
        ([[[0]]], "log[0].strokes[0][0]"),
        ([[[0, 0], [0, 401]]], "log[0].strokes[0][1]"),
        ([[[1001, 0]]], "log[0].strokes[0][0]"),
        ([[[0.5, 0]]], "log[0].strokes[0][0]"),
        ([[[True, 0]]], "log[0].strokes[0][0]"),
        ([[[None, 0]]], "log[0].strokes[0][0]"),
        ({"a": 1}, "log[0].strokes"),
        ([[]] * (MOST_STROKES + 1), "log[0].strokes"),
        ([[[0, 0]] * (MOST_POINTS + 1)], "log[0].strokes"),
    ],
)
def test_what_is_no_drawing_is_refused_in_one_line(strokes, at):
    with pytest.raises(BadFile) as refused:
        state(entry("aa", 1, "sign", strokes=strokes))
    (problem,) = refused.value.problems
    assert problem.at == at


@pytest.mark.parametrize("strokes", [[], [[]], [[[0, 0]]], [[[5.0, 400.0], [1000, 0]]]])
def test_a_drawing_may_be_as_little_as_nothing(strokes):
    assert only(entry("aa", 1, "sign", strokes=strokes)).strokes == tuple(
        tuple((int(x), int(y)) for x, y in one) for one in strokes
    )
