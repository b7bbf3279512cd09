"""Reading job files: every way a file can be broken has its one line, and nothing else ever comes out."""

from __future__ import annotations

import json

import pytest
from least_job import only, problems, put, small
from samples import NAMES, SAMPLES, sample

from engine.jobfile import BadFile, JobFile, load, parse_json, read_job, write

pytestmark = pytest.mark.pure


# ---------------------------------------------------------------- the text


@pytest.mark.parametrize("path", [SAMPLES / f"{name}.json" for name in NAMES], ids=NAMES)
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
    text = (SAMPLES / "reedbed-hide.json").read_text(encoding="utf-8")
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
    doc = sample("reedbed-hide")
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


@pytest.mark.parametrize("day", ["2031-13-04", "4 May 2031", "2031-05-32", 20310504])
def test_the_day_a_meter_was_calibrated_is_a_day(day):
    doc = small()
    doc["meters"][0]["calibrated"] = day
    (problem,) = problems(doc)
    assert problem.at == "meters[0].calibrated" and "2031-05-04" in problem.expected
