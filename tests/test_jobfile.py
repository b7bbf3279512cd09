"""Reading job files: every way a file can be broken has its one line, and nothing else ever comes out."""

from __future__ import annotations

import copy
import json
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from engine.fields import Problem
from engine.jobfile import BadFile, JobFile, load, parse_json, read_job, write
from engine.judge import judge
from engine.log import fold

pytestmark = pytest.mark.pure

SAMPLES = sorted((Path(__file__).parent.parent / "sample_jobs").glob("*.json"))
TEXTS = {path.stem: path.read_text(encoding="utf-8") for path in SAMPLES}


def sample(name: str = "reedbed-hide") -> dict:
    """A fresh copy of a sample job's document."""
    return json.loads(TEXTS[name])


def small(**changes) -> dict:
    """The least job that has something in each list: a source, a span and an endpoint."""
    doc = {
        "format": "farend-job/1",
        "id": "PUMP",
        "title": "Pump house",
        "site": {"name": "Dyke", "ambient_c": 10},
        "stops": {"yard": {"at_m": 0, "indoor": True}, "pump": {"at_m": 70}},
        "earths": {"EB": {"stop": "pump", "target_ohms": 10}},
        "meters": [{"id": "m1", "sheet": "generic.meter"}],
        "budgets": {"shelf": {"watts": 120}},
        "boxes": [
            {"id": "S", "sheet": "generic.source-90w", "stop": "yard", "budget": "shelf"},
            {"id": "E", "sheet": "my.lamp", "stop": "pump", "bond": {"to": "EB"}},
        ],
        "spans": [
            {
                "id": "C1",
                "from": "S.out",
                "to": "E.in",
                "cable": "generic.cat6-outdoor",
                "length_m": 70,
            }
        ],
        "sheets": {"my.lamp": {"kind": "endpoint", "watts": 9, "class": 3, "speeds_mbps": [100]}},
    }
    return {**doc, **changes}


def problems(doc_or_text) -> tuple[Problem, ...]:
    """What is wrong with a document or a text."""
    with pytest.raises(BadFile) as caught:
        if isinstance(doc_or_text, dict):
            read_job(doc_or_text)
        else:
            read_job(parse_json(doc_or_text))
    assert caught.value.problems
    for problem in caught.value.problems:
        assert len(problem.line().splitlines()) == 1
        assert problem.at and problem.found and problem.expected
    return caught.value.problems


def only(doc_or_text) -> Problem:
    """The one problem of a document or a text."""
    found = problems(doc_or_text)
    assert len(found) == 1, [problem.line() for problem in found]
    return found[0]


def put(doc: dict, path: str, value) -> dict:
    """The document with one value replaced; ``path`` is written ``boxes.0.sheet``."""
    *way, last = path.split("/")
    spot = doc
    for name in way:
        spot = spot[int(name)] if isinstance(spot, list) else spot[name]
    spot[int(last) if isinstance(spot, list) else last] = value
    return doc


# ---------------------------------------------------------------- the text


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_every_sample_reads(path):
    file = load(path)
    assert isinstance(file, JobFile)
    assert file.plan.id == file.doc["id"]


def test_the_least_job_reads():
    assert list(read_job(small()).plan.boxes) == ["S", "E"]


@pytest.mark.parametrize("text", ["", "   \n\t", b"", b"\xef\xbb\xbf"])
def test_an_empty_file(text):
    problem = only(text)
    assert (problem.at, problem.found) == ("the file", "nothing")
    assert "farend-job/1" in problem.expected


@pytest.mark.parametrize("share", [0.02, 0.3, 0.7, 0.999])
def test_a_truncated_file_names_line_and_letter(share):
    text = TEXTS["reedbed-hide"]
    problem = only(text[: int(len(text.rstrip()) * share)])
    assert problem.at.startswith("line ") and "letter" in problem.at
    assert problem.expected == "a job as JSON"


def test_not_utf8_names_the_byte():
    assert only(b'{"title": "M\xfchle"}').at == "byte 12"
    assert "UTF-8" in only("{}".encode("utf-16")).expected


def test_a_byte_order_mark_is_read():
    assert parse_json(b"\xef\xbb\xbf" + json.dumps(small()).encode()) == small()


@pytest.mark.parametrize("text", ["job", "{'format': 1}", '{"a": 1,}', '{"a" 1}', "<html>", "{}{}"])
def test_no_json(text):
    assert only(text).expected == "a job as JSON"


@pytest.mark.parametrize("text", ["[]", '"farend-job/1"', "7", "null", "true", "[[{}]]"])
def test_no_object_at_the_top(text):
    assert only(text).found == "no object"


def test_a_key_twice_is_refused_by_name():
    text = json.dumps(small())[:-1] + ', "title": "again"}'
    problem = only(text)
    assert (problem.at, problem.found) == ('"title"', "the key twice")
    deep = '{"format": "farend-job/1", "x_a": [{"b": {"c": 1, "c": 1}}]}'
    assert only(deep).at == '"c"'


@pytest.mark.parametrize("word", ["NaN", "Infinity", "-Infinity"])
def test_no_finite_number_is_refused_by_name(word):
    text = json.dumps(small()).replace('"ambient_c": 10', f'"ambient_c": {word}')
    problem = only(text)
    assert problem.found == word
    assert "finite" in problem.expected


@pytest.mark.parametrize("number", ["1e999", "-1e999"])
def test_a_number_beyond_all_floats_is_an_infinity_wherever_it_stands(number):
    problems(json.dumps(small()).replace('"ambient_c": 10', f'"ambient_c": {number}'))
    problems(json.dumps(small())[:-1] + f', "x_mine": {number}}}')


def test_more_than_twenty_megabytes(tmp_path):
    room = " " * (20 * 1024 * 1024)
    assert "20 MB" in only(room + "{}").expected
    big = tmp_path / "big.json"
    big.write_text(room + "{}")
    with pytest.raises(BadFile, match="20 MB"):
        load(big)


def test_twenty_megabytes_are_counted_in_bytes_not_letters():
    text = json.dumps(small(x_pad="€" * (8 * 1024 * 1024)), ensure_ascii=False)
    assert len(text) < 20 * 1024 * 1024 < len(text.encode())
    assert "20 MB" in only(text).expected


def test_depth_twenty_is_read_and_deeper_is_refused():
    def nested(levels: int) -> str:
        return json.dumps(small())[:-1] + ', "x_deep": ' + "[" * levels + "]" * levels + "}"

    read_job(parse_json(nested(19)))
    assert "20" in only(nested(20)).expected
    assert "20" in only("[" * 100_000).expected


def test_brackets_in_words_are_no_depth():
    read_job(small(title="[{" * 40 + '\\"' + "[" * 40))


def test_a_missing_file_and_a_folder(tmp_path):
    for path in (tmp_path / "none.json", tmp_path):
        with pytest.raises(BadFile) as caught:
            load(path)
        assert caught.value.problems[0].at == str(path)


@pytest.mark.parametrize("version", ["farend-job/2", "farend-job/10"])
def test_a_higher_format_is_refused_and_the_file_untouched(tmp_path, version):
    path = tmp_path / "job.json"
    doc = small(format=version, something_new={"later": True}, boxes=[])
    path.write_text(json.dumps(doc))
    before = path.read_bytes()
    with pytest.raises(BadFile) as caught:
        load(path)
    (problem,) = caught.value.problems
    assert problem.at == "format" and version in problem.found
    assert path.read_bytes() == before


# ---------------------------------------------------------------- keys and values


def test_an_unknown_key_names_the_nearest_known_one():
    doc = sample()
    doc["spans"][2]["lenght_m"] = 3
    problem = only(doc)
    assert problem.at == "spans[2].lenght_m"
    assert problem.found == "an unknown key"
    assert problem.near == "length_m"
    assert "Did you mean length_m?" in problem.line()


@pytest.mark.parametrize(
    ("path", "near"),
    [
        ("tittle", "title"),
        ("site/ambient", "ambient_c"),
        ("stops/yard/indor", "indoor"),
        ("earths/EB/target_ohm", "target_ohms"),
        ("meters/0/shet", "sheet"),
        ("budgets/shelf/watt", "watts"),
        ("boxes/0/stopp", "stop"),
        ("boxes/1/bond/lead", "lead_m"),
        ("sheets/my.lamp/cutof_volts", "cutoff_volts"),
    ],
)
def test_unknown_keys_everywhere(path, near):
    problem = only(put(small(), path, 1))
    assert problem.near == near
    assert problem.at.endswith(path.rsplit("/", 1)[-1])


def test_own_keys_are_kept_everywhere():
    doc = small(x_crew={"names": ["Ada"]}, log=[])
    for spot in (
        doc["site"],
        doc["stops"]["yard"],
        doc["earths"]["EB"],
        doc["meters"][0],
        doc["boxes"][0],
        doc["boxes"][1]["bond"],
        doc["spans"][0],
        doc["sheets"]["my.lamp"],
    ):
        spot["x_own"] = [1, {"two": None}]
    doc["spans"][0]["length_m"] = {"low": 69, "expected": 70, "high": 71, "x_from": "jacket"}
    doc["log"].append({"id": "e1", "what": "note", "text": "dry", "x_mood": "good"})
    file = read_job(parse_json(write(doc)))
    assert file.doc == doc
    assert parse_json(write(file.doc)) == doc


@pytest.mark.parametrize(
    ("path", "value", "at"),
    [
        ("format", 1, "format"),
        ("id", "PUMP HOUSE", "id"),
        ("id", "", "id"),
        ("title", None, "title"),
        ("title", "a\x1b[31mred", "title"),
        ("title", "a\u202eb", "title"),
        ("title", "x" * 201, "title"),
        ("site", [], "site"),
        ("site/ambient_c", "warm", "site.ambient_c"),
        ("site/ambient_c", True, "site.ambient_c"),
        ("site/ambient_c", 1000, "site.ambient_c"),
        ("stops", [], "stops"),
        ("stops/yard", "Yard", "stops.yard"),
        ("stops/yard/at_m", "0", "stops.yard.at_m"),
        ("stops/yard/at_m", -1, "stops.yard.at_m"),
        ("stops/yard/indoor", 1, "stops.yard.indoor"),
        ("stops/yard/needs", "ladder", "stops.yard.needs"),
        ("earths/EB/target_ohms", -2, "earths.EB.target_ohms"),
        ("budgets/shelf/watts", None, "budgets.shelf.watts"),
        ("boxes", {}, "boxes"),
        ("boxes/0", None, "boxes[0]"),
        ("boxes/0/id", 7, "boxes[0].id"),
        ("boxes/0/pairs", 3, "boxes[0].pairs"),
        ("boxes/0/pairs", True, "boxes[0].pairs"),
        ("boxes/1/bond/mm2", "6", "boxes[1].bond.mm2"),
        ("spans/0/from", "S", "spans[0].from"),
        ("spans/0/from", "S.out.in", "spans[0].from"),
        ("spans/0/length_m", -1, "spans[0].length_m"),
        ("spans/0/length_m", 10**400, "spans[0].length_m"),
        ("spans/0/length_m", [70], "spans[0].length_m"),
        ("spans/0/route", "sea", "spans[0].route"),
        ("spans/0/bundle", 1.5, "spans[0].bundle"),
        ("spans/0/bundle", 0, "spans[0].bundle"),
        ("spans/0/sun", "yes", "spans[0].sun"),
        ("sheets/my.lamp/kind", "lamp", 'sheets["my.lamp"].kind'),
        ("sheets/my.lamp/watts", 201, 'sheets["my.lamp"].watts'),
        ("sheets/my.lamp/class", 9, 'sheets["my.lamp"].class'),
        ("sheets/my.lamp/class", 4.5, 'sheets["my.lamp"].class'),
        ("sheets/my.lamp/speeds_mbps", [100, 54], 'sheets["my.lamp"].speeds_mbps[1]'),
        ("sheets/my.lamp/speeds_mbps", 100, 'sheets["my.lamp"].speeds_mbps'),
        ("sheets/my.lamp/ports", {"in": {"faces": "north"}}, 'sheets["my.lamp"].ports.in.faces'),
    ],
)
def test_a_wrong_value_names_its_place(path, value, at):
    assert only(put(small(), path, value)).at == at


@pytest.mark.parametrize("key", ["format", "id", "title", "site", "boxes", "spans"])
def test_a_missing_key_is_named(key):
    doc = small()
    del doc[key]
    problem = only(doc)
    assert (problem.at, problem.found) == (key, "nothing")


@pytest.mark.parametrize("letter", ["\x00", "\x07", "\x1b", "\x7f", "\x9b", "\u2066", "\ud800"])
def test_letters_that_could_steer_a_terminal_are_refused(letter):
    assert only(small(title=f"Pump{letter}house")).at == "title"


def test_quantities_low_above_expected():
    for wrong in ((71, 70, 72), (69, 73, 72), (3, 2, 1)):
        band = dict(zip(("low", "expected", "high"), wrong, strict=True))
        problem = only(put(small(), "spans/0/length_m", band))
        assert problem.at == "spans[0].length_m"
        assert "low" in problem.expected and "high" in problem.expected


def test_a_quantity_without_one_of_its_three():
    problem = only(put(small(), "spans/0/length_m", {"low": 1, "high": 2}))
    assert (problem.at, problem.found) == ("spans[0].length_m.expected", "nothing")


def test_three_equal_numbers_are_exact_and_a_bare_one_takes_its_tolerance():
    exact = put(small(), "spans/0/length_m", {"low": 70, "expected": 70, "high": 70})
    band = read_job(exact).plan.spans["C1"].length_m
    assert band.low == band.high == 70
    band = read_job(small()).plan.spans["C1"].length_m
    assert (band.low, band.high) == (pytest.approx(68.6), pytest.approx(71.4))
    watts = read_job(small()).plan.boxes["E"].sheet.watts
    assert (watts.low, watts.expected, watts.high) == pytest.approx((4.5, 7.2, 9.0))


def test_endless_numbers_are_no_traceback():
    text = json.dumps(small()).replace('"at_m": 70', '"at_m": ' + "9" * 6000)
    problems(text)
    problems(json.dumps(small()).replace('"at_m": 70', '"at_m": ' + "9" * 4000))


# ---------------------------------------------------------------- names that lead nowhere


@pytest.mark.parametrize(
    ("path", "value", "at", "near"),
    [
        ("boxes/1/sheet", "my.lmap", "boxes[1].sheet", "my.lamp"),
        ("boxes/0/sheet", "generic.sorce-90w", "boxes[0].sheet", "generic.source-90w"),
        ("boxes/0/sheet", "generic.meter", "boxes[0].sheet", None),
        ("boxes/0/stop", "yrad", "boxes[0].stop", "yard"),
        ("boxes/0/budget", "shelv", "boxes[0].budget", "shelf"),
        ("boxes/1/bond/to", "EB9", "boxes[1].bond.to", "EB"),
        ("earths/EB/stop", "pomp", "earths.EB.stop", "pump"),
        ("meters/0/sheet", "generic.metre", "meters[0].sheet", "generic.meter"),
        ("meters/0/sheet", "generic.patch", "meters[0].sheet", None),
        ("spans/0/cable", "generic.cat6-outdor", "spans[0].cable", "generic.cat6-outdoor"),
        ("spans/0/cable", "my.lamp", "spans[0].cable", None),
        ("spans/0/to", "EE.in", "spans[0].to", "E"),
        ("spans/0/to", "E.out", "spans[0].to", None),
        ("spans/0/from", "S.in", "spans[0].from", None),
        ("walks", [["yard", "pomp", 90]], "walks[0][1]", "pump"),
    ],
)
def test_an_unknown_name_is_refused_with_the_nearest(path, value, at, near):
    problem = only(put(small(), path, value))
    assert problem.at == at
    if near:
        assert problem.near == near


@pytest.mark.parametrize(
    "rows", [[["yard"]], [["yard", "pump", 1, 2]], [7], [["yard", "pump", "far"]]]
)
def test_walks_of_another_form(rows):
    assert only(small(walks=rows)).at.startswith("walks[0]")


def test_a_stop_that_is_not_listed_takes_its_place_from_the_box():
    doc = put(small(), "boxes/0/stop", "loft")
    doc["boxes"][0] |= {"at_m": 12, "indoor": True}
    stop = read_job(doc).plan.stops["loft"]
    assert (stop.at_m, stop.indoor) == (12, True)


def test_ids_are_compared_without_case_across_all_things():
    for path, value, at in (
        ("boxes/1/id", "s", "boxes[1].id"),
        ("spans/0/id", "eb", "spans[0].id"),
        ("spans/0/id", "S", "spans[0].id"),
        ("meters/0/id", "YARD", "meters[0].id"),
    ):
        doc = put(small(), path, value)
        if path.startswith("boxes"):
            doc["spans"] = []
        problem = only(doc)
        assert problem.at == at
        assert "once" in problem.expected


def test_a_budget_is_a_thing_with_an_id_too():
    doc = small(budgets={"s": {"watts": 120}})
    doc["boxes"][0]["budget"] = "s"
    assert "once" in only(doc).expected


def test_two_entries_under_one_id_are_read_both():
    """As a restored backup writes them: the log's fold tells of it, the file stays readable."""
    note = {"id": "e1", "what": "note", "text": "dry"}
    other = {"id": "e1", "what": "note", "text": "wet"}
    file = read_job(small(log=[note, other]))
    assert [entry.body["text"] for entry in file.entries] == ["dry", "wet"]
    assert [one.say.code for one in fold(file).oddities] == ["odd-twin"]


def test_two_spans_in_one_port():
    doc = small()
    doc["boxes"].append({"id": "F", "sheet": "my.lamp", "stop": "pump"})
    doc["spans"].append({**doc["spans"][0], "id": "C2", "to": "F.in"})
    problem = only(doc)
    assert problem.at == "spans[1].from"
    assert "free port" in problem.expected


def test_a_span_from_a_box_to_itself_and_a_ring():
    doc = sample("tide-mill")
    doc["spans"].append(
        {"id": "C9", "from": "X.out3", "to": "X.out4", "cable": "generic.patch", "length_m": 1}
    )
    assert only(doc).at == "spans[5]"
    ring = small()
    for name in ("J1", "J2", "J3"):
        ring["boxes"].append({"id": name, "sheet": "my.joint", "stop": "pump"})
    ring["sheets"]["my.joint"] = {"kind": "joint"}
    for count, (a, b) in enumerate((("J1.a", "J2.a"), ("J2.b", "J3.a"), ("J3.b", "J1.b"))):
        span = {**ring["spans"][0], "id": f"L{count}", "from": a, "to": b}
        ring["spans"].append(span)
    problem = only(ring)
    assert problem.at == "spans[3]" and "loop" in problem.expected


def test_splitter_ports_are_out_and_a_number():
    doc = sample("tide-mill")
    doc["spans"][4]["from"] = "X.out17"
    read_job(doc)
    for port in ("X.out0", "X.out", "X.port1"):
        doc["spans"][4]["from"] = port
        assert only(doc).at == "spans[4].from"


def test_a_box_that_makes_its_own_volts_must_say_which():
    doc = sample("tide-mill")
    del doc["sheets"]["my.repeater"]["out_volts"]
    assert only(doc).at == 'sheets["my.repeater"].out_volts'


# ---------------------------------------------------------------- the log's keys


def logged(**entry) -> dict:
    """The least job with one entry."""
    return small(log=[{"id": "e1", **entry}])


def test_an_unknown_what_is_kept():
    entry = {"id": "e1", "what": "weather", "sky": {"grey": 0.9}, "at": 3, "n": 4}
    file = read_job(small(log=[entry]))
    assert file.entries[0].what == "weather"
    assert not file.entries[0].known
    assert file.doc["log"] == [entry]


@pytest.mark.parametrize(
    ("entry", "at", "near"),
    [
        ({"what": "note", "txt": "dry", "text": "dry"}, "log[0].txt", "text"),
        ({"what": "note", "text": "dry", "devise": "a"}, "log[0].devise", "device"),
        ({"what": "note"}, "log[0].text", None),
        ({"text": "dry"}, "log[0].what", None),
        ({"what": "note", "text": "dry", "t": "yesterday"}, "log[0].t", None),
        ({"what": "note", "text": "dry", "n": -1}, "log[0].n", None),
        ({"what": "note", "text": "dry", "seen": {"a": "2"}}, "log[0].seen.a", None),
        ({"what": "reading", "at": "E.in", "kind": "volt", "value": 1}, "log[0].kind", "volts"),
        ({"what": "reading", "at": "E", "kind": "volts", "value": 1}, "log[0].at", None),
        ({"what": "reading", "at": "E.in", "kind": "volts"}, "log[0].value", None),
        ({"what": "reading", "at": "E.in", "kind": "volts", "value": "50"}, "log[0].value", None),
        ({"what": "step", "step": "fit.E", "state": "maybe"}, "log[0].state", None),
        ({"what": "set", "path": "spans", "value": 1}, "log[0].path", None),
        ({"what": "set", "path": ["title"]}, "log[0].value", None),
        ({"what": "photo", "of": "E", "sha256": "abc"}, "log[0].sha256", None),
    ],
)
def test_a_broken_entry_names_its_place(entry, at, near):
    problem = only(logged(**entry))
    assert problem.at == at
    if near:
        assert problem.near == near


def test_a_reading_of_no_pairs_is_refused():
    doc = logged(what="reading", at="C1", kind="loop_ohms", pairs={})
    assert only(doc).at.startswith("log[0]")


def test_a_reading_with_value_and_pairs_says_what_was_found():
    both = logged(what="reading", at="C1", kind="loop_ohms", value=2, pairs={"1": 2})
    neither = logged(what="reading", at="C1", kind="loop_ohms")
    assert only(both).found != "null"
    assert only(neither).found == "nothing"


# ---------------------------------------------------------------- all at once


def test_several_problems_are_all_named():
    doc = small(tittle="x")
    doc["site"]["ambient_c"] = "cold"
    doc["boxes"][0]["pairs"] = 3
    doc["boxes"][1]["stpo"] = 1
    doc["spans"][0]["length_m"] = {"low": 9, "expected": 1, "high": 2}
    doc["sheets"]["my.lamp"]["watts"] = -1
    doc["log"] = [{"id": "e1", "what": "note"}, {"id": "e 2", "what": "note", "text": "dry"}]
    assert {problem.at for problem in problems(doc)} == {
        "tittle",
        "site.ambient_c",
        "boxes[0].pairs",
        "boxes[1].stpo",
        "spans[0].length_m",
        'sheets["my.lamp"].watts',
        "log[0].text",
        "log[1].id",
    }


def test_several_names_that_lead_nowhere_are_all_named():
    doc = small()
    doc["boxes"][0]["budget"] = "nix"
    doc["boxes"][1]["bond"]["to"] = "nix"
    doc["spans"][0]["to"] = "Q.in"
    doc["earths"]["EB"]["stop"] = "nix"
    doc["meters"][0]["sheet"] = "nix"
    assert {problem.at for problem in problems(doc)} == {
        "boxes[0].budget",
        "boxes[1].bond.to",
        "spans[0].to",
        "earths.EB.stop",
        "meters[0].sheet",
    }


def test_one_box_without_its_sheet_does_not_blame_its_spans():
    doc = put(small(), "boxes/1/sheet", "nix")
    assert only(doc).at == "boxes[1].sheet"


def test_an_entry_with_two_problems_names_both():
    doc = logged(what="reading", at="E.in", kind="volts", value="x", metre="m1")
    assert {problem.at for problem in problems(doc)} == {"log[0].value", "log[0].metre"}


# ---------------------------------------------------------------- anything at all

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


def _spots(value, way=()):
    """Every place in a document."""
    if way:
        yield way
    items = (
        value.items()
        if isinstance(value, dict)
        else enumerate(value)
        if isinstance(value, list)
        else ()
    )
    for key, item in items:
        yield from _spots(item, (*way, key))


SPOTS = {name: list(_spots(json.loads(text))) for name, text in TEXTS.items()}


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


@pytest.mark.parametrize("day", ["2031-13-04", "4 May 2031", "2031-05-32", 20310504])
def test_the_day_a_meter_was_calibrated_is_a_day(day):
    doc = small()
    doc["meters"][0]["calibrated"] = day
    (problem,) = problems(doc)
    assert problem.at == "meters[0].calibrated" and "2031-05-04" in problem.expected
