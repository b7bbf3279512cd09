"""What ``judge`` prints: what a tired person must be able to find in it, and where."""

from __future__ import annotations

import json
import re

import pytest
from attrs import evolve
from hypothesis import given, settings
from samples import sample
from strategies import any_job

from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.judgement_text import MADE_UP
from engine.report_json import judgement_json
from engine.report_text import judgement_text
from engine.study import Range

pytestmark = pytest.mark.pure


def reading(at: str, kind: str, value: float | None, **more) -> dict:
    body = {"what": "reading", "at": at, "kind": kind, "meter": "M1", **more}
    return body if value is None else {**body, "value": value}


def judged(name: str, *bodies: dict) -> Judgement:
    """A sample with a log of one's own."""
    log = [{"id": f"e{n}", "device": "d", "n": n, **b} for n, b in enumerate(bodies, start=1)]
    return judge(read_job({**sample(name), "log": log}))


def text_of(name: str, *bodies: dict) -> str:
    return judgement_text(judged(name, *bodies))


def row(text: str, *begins: str) -> str:
    """The one line of the tables that begins with these cells."""
    pattern = re.compile(r"^  " + r"\s+".join(map(re.escape, begins)) + r"\s.*$", re.MULTILINE)
    (found,) = pattern.findall(text)
    return found


def section(text: str, title: str) -> str:
    """What stands under a title, up to the next one."""
    _, _, rest = text.partition(f"\n{title}")
    assert rest, title
    return re.split(r"\n(?=\S)", rest, maxsplit=1)[0]


def with_band(judgement: Judgement, ident: str, **parts) -> Judgement:
    """The same judgement with one verdict told otherwise."""
    verdicts = tuple(
        evolve(verdict, **parts) if verdict.id == ident else verdict
        for verdict in judgement.verdicts
    )
    return evolve(judgement, judged=evolve(judgement.judged, verdicts=verdicts))


# ---------------------------------------------------------------- the table


def test_the_sample_says_first_how_many_came_out_how():
    text = judgement_text(judge(read_job(sample())))
    assert text.splitlines()[2] == "7 readings: 2 outside, 5 inside."
    far = row(text, "E.in", "volts")
    assert re.search(r"47\.35 ± 0\.26  \d\d\.\d\d to \d\d\.\d\d  \w+ +outside  +-\d+\.\d$", far)
    assert "E.in" in section(text, "To look at") and "C2" in section(text, "To look at")
    assert "R1.in" not in section(text, "To look at"), "what is inside needs no words"


def test_columns_are_aligned():
    lines = judgement_text(judge(read_job(sample()))).splitlines()
    start = next(i for i, line in enumerate(lines) if line.startswith("  at "))
    rows = lines[start : lines.index("", start)]
    for head in ("kind", "read", "should be", "by", "verdict"):
        edge = rows[0].index(head)
        assert all(line[edge - 1] == " " and line[edge] != " " for line in rows), head


def test_the_short_words_are_explained_where_they_stand():
    none = text_of("orchard-gate")
    assert "No readings yet." in none and "z:" not in none and "today:" not in none
    only_speed = text_of("orchard-gate", reading("R1.in", "mbps", 100))
    assert "design:" in only_speed and "z:" not in only_speed and "today:" not in only_speed
    change = {"what": "change", "where": "C2", "did": "new plug"}
    volts = reading("S.out", "volts", 53.5)
    assert text_of("orchard-gate", volts, change, volts).count("z: how far") == 1


CELLS = [
    ("reedbed-hide", ("EB1", "earth_ohms", 14), ("14.00 ± 0.31", "up to 10.00", "outside")),
    ("reedbed-hide", ("L2.in", "mbps", 0), ("no link", "1000", "outside")),
    ("reedbed-hide", ("C5", "unbalance_ohms", 0.1), ("0.10", "up to 0.2", "inside")),
    ("orchard-gate", ("R1.in", "mbps", 100), ("100", "100", "inside")),
    ("orchard-gate", ("E.in", "error_count", 3), ("3", "-", "no-band")),
    ("orchard-gate", ("Z.in", "volts", 48), ("48.00 ± 0.26", "-", "no-band")),
]


@pytest.mark.parametrize(("name", "body", "cells"), CELLS)
def test_values_and_bands_in_the_words_of_their_kind(name, body, cells):
    found = row(text_of(name, reading(*body)), body[0])
    for cell in cells:
        assert re.search(rf"  {re.escape(cell)}(  |\d|$)", found), (cell, found)


def test_an_end_that_is_not_there_is_said_in_words():
    plain = judged("orchard-gate", reading("E.in", "volts", 48.7))
    for band, cell, said in (
        (Range(None, 48.0, 49.5), "up to 49.50", "no lower end"),
        (Range(47.0, 48.0, None), "from 47.00", "no upper end"),
        (Range(None, 48.0, None), "anything", "no lower end"),
    ):
        text = judgement_text(with_band(plain, "e1", band=band))
        assert f"  {cell}  " in row(text, "E.in", "volts")
        assert said in section(text, "To look at"), band
    whole = judgement_text(with_band(plain, "e1", band=Range(47.0, 48.0, 49.5)))
    assert "47.00 to 49.50" in whole and " end for" not in whole


def test_a_band_from_nothing_on_is_told_whole_where_nothing_is_a_value():
    """0 °C is a temperature; 0 of what has only a most is none."""
    cold = judged("tide-mill", reading("office", "celsius", 14))
    text = judgement_text(with_band(cold, "e1", band=Range(0.0, 14.0, 30.0)))
    assert "  0 to 30  " in row(text, "office")


def test_who_spoke_stands_in_the_row():
    plain = judged("orchard-gate", reading("E.in", "volts", 48.7))
    for by in ("today", "design"):
        assert f"  {by}  " in row(judgement_text(with_band(plain, "e1", by=by)), "E.in") + "  "


def test_what_stood_there_and_what_a_figure_is_the_mean_of():
    text = text_of(
        "reedbed-hide",
        reading("S.out", "volts", 3, **{"with": {"*": "off"}}),
        reading("A2.kit", "volts", 50, **{"with": {"L2": {"watts": 15}, "C": "off"}}),
        reading("C3", "loop_ohms", None, pairs={"1": 26.9, "2": 27.1, "3": 36, "4": 27}),
    )
    assert "S.out, volts 3: read with nothing plugged in beyond." in text
    assert "A2.kit, volts 50: read with 15 W in place of L2, C off." in text
    assert "C3, loop ohms 29.25: the mean of its pairs, 1 26.9, 2 27.1, 3 36, 4 27." in text
    assert "C3: pair 3 reads 36 ohm" in section(text, "To look at")
    assert "Plug in L1" in section(text, "To look at")


def test_the_smallest_extra_ohms_of_each_volts_reading():
    plain = judged("orchard-gate", reading("S.out", "volts", 53.5), reading("E.in", "volts", 48.7))
    one = with_band(with_band(plain, "e1", smallest_ohms=None), "e2", smallest_ohms=1.234)
    assert "at the least: E.in 1.2." in " ".join(judgement_text(one).split())
    none = with_band(one, "e2", smallest_ohms=None)
    assert "at the least" not in judgement_text(none)


# ---------------------------------------------------------------- what no longer counts


def test_older_values_stand_apart_and_struck_ones_last_with_why():
    text = text_of(
        "orchard-gate",
        reading("E.in", "volts", 40),
        reading("R1.in", "volts", 12.5),
        {"what": "void", "of": "e2", "why": "leads in the wrong jacks"},
        reading("R1.in", "volts", 13.5),
        {"what": "void", "of": "e4"},
        {"what": "change", "where": "C2", "did": "new plug"},
        reading("E.in", "volts", 48.7),
    )
    assert text.splitlines()[2] == "1 reading: 1 inside. Further down: 1 older and 2 taken back."
    old, struck = (section(text, title) for title in ("Older readings", "Taken back"))
    assert "40.00" in old and "48.70" not in old and "12.5" not in old
    assert "R1.in, volts 12.5: leads in the wrong jacks" in struck
    assert "R1.in, volts 13.5; no reason was given." in struck
    assert text.index("Readings,") < text.index("Older readings") < text.index("Taken back")
    assert "40" not in section(text, "Readings, from the source"), "each value stands once"


def test_a_void_that_was_taken_back_strikes_nothing():
    text = text_of(
        "orchard-gate",
        reading("R1.in", "volts", 51),
        {"what": "void", "of": "e1"},
        {"what": "void", "of": "e2"},
    )
    assert "Taken back" not in text and "1 reading: 1 inside." in text


def test_what_is_odd_in_a_log_and_what_clashes_is_told():
    length = {"what": "set", "path": ["spans", "C1", "length_m"]}
    judgement = judged(
        "orchard-gate",
        {**length, "value": 90, "by": "Ida"},
        {"what": "void", "of": "nothing-there"},
        {**length, "value": 95, "by": "Ottar", "device": "c210", "n": 1},
    )
    text = judgement_text(judgement)
    assert "Entry e2 takes back nothing-there" in section(text, "Odd in the log")
    flat = " ".join(text.split())
    assert "90 by Ida and 95 by Ottar" in flat or "95 by Ottar and 90 by Ida" in flat
    out = judgement_json(judgement)
    (odd,) = out["oddities"]
    assert (odd["entry"], odd["say"]["code"]) == ("e2", "odd-void") and odd["text"]
    (clash,) = [one for one in out["blockers"] if one["id"] == "conflict.spans/C1/length_m"]
    assert clash["can_waive"] == "no" and sorted(clash["say"]["values"]) == [90, 95]
    assert (
        "Odd in the log" not in text_of("orchard-gate")
        and not judgement_json(judged("orchard-gate"))["oddities"]
    )


# ---------------------------------------------------------------- what holds one here


def test_holds_stand_by_stop_and_say_who_may_wave_them_through():
    text = text_of("reedbed-hide", reading("EB1", "earth_ohms", 14))
    assert re.search(r"^\d+ things hold you here:$", text, re.MULTILINE)
    hut, sluice, hide = (text.index(f"\n  {name}\n") for name in ("Hut", "Sluice", "Hide"))
    assert hut < text.index("14 ohm at EB1: outside") < sluice < hide
    flat = " ".join(text.split())
    assert "14 ohm at EB1: outside, with no settled cause. [needs another's name]" in flat
    assert "[cannot be waived]" not in flat
    edit = {"what": "set", "path": ["spans", "C99", "length_m"], "value": 3}
    assert "[cannot be waived]" in text_of("reedbed-hide", edit)


def test_who_answers_for_what_was_waived():
    waive = {"what": "waive", "of": "step.fit.J1", "reason": "the joint is on order", "by": "Ida"}
    text = text_of("reedbed-hide", waive)
    found = " ".join(section(text, "Waived, and who answers").split())
    assert found.startswith("Ida: Not done: Fit J1") and found.endswith("the joint is on order")
    assert "Fit J1" not in section(text, "34 things hold you here")
    assert "Waived, and who answers" not in text_of("reedbed-hide")


# ---------------------------------------------------------------- for programs


def test_json_carries_what_the_text_tells():
    judgement = judged(
        "reedbed-hide",
        reading("S.out", "volts", 54, moment="noon"),
        reading("C3", "loop_ohms", None, pairs={"1": 26.9, "2": 27.1, "3": 36, "4": 27}),
    )
    volts, ohms = judgement_json(judgement)["verdicts"]
    assert (volts["moment"], volts["apart"]) == ("noon", None)
    assert ohms["apart"]["say"]["code"] == "pairs-apart"
    assert ohms["apart"]["say"]["pairs"] == ["3"] and "pair 3" in ohms["apart"]["text"]
    for name, ident in (("smallest_ohms", 0.7), ("z", -1.5), ("by", "today")):
        told = judgement_json(with_band(judgement, "e1", **{name: ident}))["verdicts"][0]
        assert told[name] == ident


@pytest.mark.long
@settings(max_examples=15, deadline=None)
@given(any_job)
def test_of_any_job_the_text_fits_and_the_json_is_json(doc):
    points = [f"{box['id']}.in" for box in doc["boxes"]][:3]
    log = [
        {"id": f"e{n}", "what": "reading", "at": at, "kind": kind, "value": value}
        for n, (at, kind, value) in enumerate(
            (at, kind, value)
            for at in points
            for kind, value in (("volts", 40), ("milliamps", 1e6), ("mbps", 100))
        )
    ]
    judgement = judge(read_job({**doc, "log": log}))
    assert all(len(line) <= 80 for line in judgement_text(judgement).splitlines())
    json.dumps(judgement_json(judgement), allow_nan=False)


# ---------------------------------------------------------------- what they point to


def test_what_the_readings_point_to_stands_last():
    text = judgement_text(judge(read_job(sample())))
    titles = [line for line in text.splitlines() if line and not line.startswith(" ")]
    last = titles[titles.index("What the readings point to") + 1 :]
    assert last[0] == "It could also be"
    assert re.match(r"The next test: \d+ min", last[1]) and len(last) == 2
    told = section(text, "What the readings point to")
    assert told.split("\n")[2].startswith("  C2, Cold shed to Apple store, resists too much")
    assert re.search(r"^    Likely, \d in 10\. ", told, re.MULTILINE)
    assert re.search(r"^  for +E\.in: 47\.35 V\. With this fault 47\.", told, re.MULTILINE)
    assert re.search(r"^  do       Lay C2 anew", told, re.MULTILINE)
    assert re.search(r"^  - a bad end of C2: [a-z ]+, \d in 10\.$", text, re.MULTILINE)
    assert re.search(r"^  (Here|Walk on to|Walk back to) ", section(text, "The next test"), re.M)


def test_where_all_agrees_it_is_said_and_what_no_reading_sees():
    text = text_of("reedbed-hide", reading("S.out", "volts", 54.0))
    assert "The readings agree with the plan." in section(text, "What the readings point to")
    assert "As they should be: S.out volts." in text
    unseen = section(text, "What no reading sees here")
    assert "A1 and A2" in unseen and "EB1 and EB2" in unseen


def test_without_readings_nothing_is_accused():
    assert text_of("orchard-gate").endswith("Nothing is read yet, so nothing points to a fault.\n")


def test_where_nothing_fits_it_says_so_first_and_which_reading_is_doubtful():
    text = text_of(
        "orchard-gate",
        reading("S.out", "volts", 53.5),
        reading("R1.in", "volts", 20.0),
        reading("E.in", "volts", 52.0),
    )
    told = section(text, "What the readings point to")
    assert told.split("\n")[2].startswith("  No single cause explains these readings.")
    assert "From R1.in on" in told and "20 V at R1.in" in " ".join(told.split())


def test_readings_that_say_the_same_are_named_together():
    """Of many no more than six are told one by one."""
    body = [reading(at, "volts", value) for at, value in (("S.out", 53.5), ("R1.in", 51.0))]
    body += [reading("E.in", "volts", 43.0, moment=f"m{n}") for n in range(9)]
    told = section(text_of("orchard-gate", *body), "What the readings point to")
    assert told.count("\n  for ") <= 6
    assert all(len(line) <= 80 for line in told.splitlines())


def test_a_made_up_site_says_so_under_its_title():
    doc = {**sample(), "x_made_up": {"seed": 1}}
    lines = judgement_text(judge(read_job(doc))).splitlines()
    assert lines[1] == MADE_UP
    assert MADE_UP not in judgement_text(judge(read_job(sample())))
