"""The record of a job as plain values: what is in it, and what it says first."""

from __future__ import annotations

import pytest
from account_jobs import logged
from held_jobs import OUTSIDE, bare, judged, reading, step, waive
from samples import planned
from test_exchange import SUM

from engine.diagnose.account import account
from engine.practice.walk import MADE_UP_KEY
from fieldapp import words
from fieldapp.handover.page import Drawing, Paragraph, Photo, Record, Section, Table
from fieldapp.handover.record import FRONT, SECTIONS, needs_account, record, verdict_sentence, when


def section(made: Record, name: str) -> Section:
    return next(one for one in (*made.front, *made.sections) if one.id == name)


def rows(made: Record, name: str) -> list[tuple[str, ...]]:
    tables = (part for part in section(made, name).parts if isinstance(part, Table))
    return [tuple(cell.text for cell in row.cells) for table in tables for row in table.rows]


def said(made: Record, name: str) -> str:
    texts = (part.text for part in section(made, name).parts if isinstance(part, Paragraph))
    return "\n".join((*texts, *(" ".join(row) for row in rows(made, name))))


def of(doc: dict, *bodies: dict) -> Record:
    return record(judged(doc, *bodies))


def test_every_section_has_a_head_and_nothing_is_left_out_of_a_whole_job():
    made = of(planned(), OUTSIDE, {"what": "note", "text": "Rain."})
    named = [one.id for one in (*made.front, *made.sections)]
    assert set(named) | {"since", "diagnosis", "odd", "heeded"} == set(words.RECORD_HEADS)
    assert named == [one for one in (*FRONT, *SECTIONS) if one in named]
    assert all(one.title and one.parts for one in (*made.front, *made.sections))


@pytest.mark.parametrize("name", ["orchard-gate", "reedbed-hide", "tide-mill"])
def test_a_job_without_readings_is_a_record_all_the_same(name):
    made = of(planned(name))
    assert said(made, "readings") == words.record_nothing("readings")
    assert said(made, "photos") == words.record_nothing("photos")
    assert any(isinstance(part, Drawing) for part in section(made, "line").parts)
    assert len(rows(made, "boxes")) == len(planned(name)["boxes"]) + len(planned(name)["spans"])


def test_a_plan_with_nothing_in_it_has_one_too():
    made = of({**planned(), "boxes": [], "spans": []})
    assert said(made, "line") == words.record_nothing("line")
    assert said(made, "boxes") == words.record_nothing("boxes")


@pytest.mark.parametrize(
    ("bodies", "state", "number"),
    [
        ((), "nothing-read", 1),
        ((OUTSIDE,), "outside", 1),
        ((reading("S.out", "volts", 54.0),), "unclear", 1),
    ],
)
def test_the_first_sentence_is_of_the_gravest_thing(bodies, state, number):
    first = section(of(planned(), *bodies), "built").parts[0]
    assert first == Paragraph(words.record_verdict(state, number), leads=True)


def test_what_was_unclear_and_then_inside_is_not_to_be_taken_again():
    first, again = ({**reading("S.out", "volts", 54.0), "moment": moment} for moment in "ab")
    held = judged({**planned(), "log": []}, first, again)
    assert [one.verdict for one in held.verdicts] == ["unclear", "inside"]
    assert verdict_sentence(held) == words.record_verdict("open", len(held.blockers))


def test_a_plan_that_breaks_a_stop_rule_says_so_until_somebody_answers_for_all():
    stops = {hold.id for hold in judged(bare()).blockers if hold.id.startswith("finding.")}
    assert len(stops) > 1
    assert verdict_sentence(judged(bare())) == words.record_verdict("stop", len(stops))
    answers = [waive(one, role="owner") for one in sorted(stops)]
    assert verdict_sentence(judged(bare(), *answers)) == words.record_verdict("nothing-read", 1)


def test_a_waived_stop_is_on_the_first_page_with_who_answers_and_why():
    answer = waive("finding.bond.A1", role="owner", by="Odile", t="2031-05-04T08:12:00Z")
    made = of(bare(), answer)
    assert [one.id for one in made.front] == ["built", "waived", "line"]
    ((_, answered),) = rows(made, "waived")
    assert answered == ("Odile, owner, 2031-05-04 08:12 UTC: the client's electrician answers")
    assert any(answered in row for row in rows(made, "findings"))
    assert rows(made, "answered") == []


def test_a_waiver_of_something_else_stands_behind():
    made = of(planned(), OUTSIDE, waive("reading.e1", role="owner"))
    assert rows(made, "waived") == []
    assert len(rows(made, "answered")) == 1


def test_a_reading_has_its_band_meter_name_and_time():
    body = reading("S.out", "volts", 53.5, t="2031-05-04T08:12:40+02:00")
    made = of(planned(), body)
    ((time, place, kind, value, band, word, meter, by),) = rows(made, "readings")
    assert (time, place, kind) == ("2031-05-04 08:12 +02:00", "S, OUT side", "volts")
    assert value == words.with_unit(53.5)
    assert band.endswith(f"{words.NBSP}V") and " to " in band
    assert (word, meter, by) == ("inside", "Rafe's meter", "Ida")


def test_an_earth_has_its_method_and_a_meter_its_number_and_the_day_it_was_calibrated():
    doc = planned()
    doc["meters"][0] |= {"serial": "QX-0417", "calibrated": "2031-02-01"}
    bodies = [reading("EB1", "earth_ohms", 6.1, method=how) for how in ("clamp", "by the well")]
    made = of(doc, *bodies)
    assert [row[2] for row in rows(made, "readings")] == [
        "earth ohms, clamp",
        "earth ohms, by the well",
    ]
    name, _, serial, day, reach = rows(made, "meters")[0]
    assert (name, serial, day) == ("Rafe's meter", "QX-0417", "2031-02-01")
    assert "volts ±" in reach
    assert rows(of(planned()), "meters")[0][2:4] == ("", "")


def test_a_cable_with_power_tells_its_wire_bundle_most_amps_and_warmth():
    doc = planned()
    doc["spans"][0]["bundle"] = 6
    made, job = of(doc), judged(doc)
    for span, row in zip(doc["spans"], rows(made, "remote-power"), strict=True):
        predicted = job.prediction.spans[span["id"]]
        assert row[0] == span["id"]
        assert f"{predicted.conductor_amps * 1000:.0f}" in row[3]
    assert rows(made, "remote-power")[0][2] == "six cables"
    assert rows(made, "remote-power")[1][2] == "not told"


def test_what_no_longer_counts_stays_struck_through_and_says_why():
    made = of(
        planned(),
        reading("S.out", "volts", 53.5, moment="noon"),
        reading("S.out", "volts", 53.4, moment="noon"),
        reading("R1.in", "volts", 51.0),
        {"what": "void", "of": "e3"},
    )
    (table,) = section(made, "readings").parts
    assert [row.struck for row in table.rows] == [True, False, True]
    assert [row.cells[5].text for row in table.rows] == ["no longer counts", "inside", "taken back"]
    assert [row.cells[5].mark for row in table.rows] == ["", "inside", ""]


def test_a_step_that_asks_for_a_reading_was_done_by_who_read():
    made = of(planned(), reading("S.out", "volts", 53.5, by="Odile"), step("announce.site"))
    done = {row[1]: row[2:4] for row in rows(made, "steps") if row[2] == "done"}
    assert done["Volts at S, OUT side"] == ("done", "Odile")
    assert ("done", "Ida") in done.values()


def test_what_was_found_and_what_was_done_stand_together():
    found = {"what": "found", "where": "C2", "cause": "joint.high", "text": "Green with age."}
    before = of(planned(), found)
    after = of(planned(), found, {"what": "change", "where": "C2", "did": "New end."})
    (open_row,) = rows(before, "faults")
    assert open_row[2:4] == ("Found: bad end of a span. Green with age.", "not mended")
    assert [row[2:4] for row in rows(after, "faults")] == [
        ("Found: bad end of a span. Green with age.", "altered since"),
        ("Done: New end.", ""),
    ]


def test_a_photo_stands_with_its_sum_and_what_it_shows():
    made = of(planned(), {"what": "photo", "of": "R1", "sha256": SUM})
    assert section(made, "photos").parts == (
        Photo(SUM, words.record_photo("R1", "", "Ida"), words.record_no_photo()),
    )


def test_causes_are_told_only_where_a_reading_is_outside():
    whole = judged(planned(), reading("S.out", "volts", 53.5))
    assert not needs_account(whole)
    assert "diagnosis" not in {one.id for one in record(whole, account(whole)).sections}
    bad = judged(planned(), OUTSIDE)
    told = rows(record(bad, account(bad)), "diagnosis")
    assert needs_account(bad) and told
    assert all(row[0].endswith(words.in_ten(0.5)[1:]) for row in told)


def test_causes_that_nobody_worked_out_are_not_passed_over():
    assert said(of(planned(), OUTSIDE), "diagnosis") == words.plain(words.gave_up())


def test_every_assumption_has_its_source():
    judgement = judged(planned())
    made = said(record(judgement), "assumed")
    for one in judgement.state.job.assumed:
        assert one.default.source[1:] in made


def test_no_site_of_practice_passes_for_a_real_one():
    assert of({**planned(), MADE_UP_KEY: {"seed": 3}}).made_up == words.made_up()
    assert of(planned()).made_up == ""


def test_times_stand_as_the_log_has_them():
    assert when("2031-05-04T23:59:59.5-03:30") == "2031-05-04 23:59 -03:30"


def test_the_same_job_makes_the_same_record():
    doc = logged("orchard-gate", {"at": "S.out", "kind": "volts", "value": 53.5})
    assert of({**doc, "log": []}, OUTSIDE) == of({**doc, "log": []}, OUTSIDE)
