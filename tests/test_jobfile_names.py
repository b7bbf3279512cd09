"""Names in a job file that lead nowhere, keys of its log, and several problems at once."""

from __future__ import annotations

import pytest
from least_job import only, problems, put, small
from samples import sample

from engine.jobfile import read_job
from engine.log import fold

pytestmark = pytest.mark.pure


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
