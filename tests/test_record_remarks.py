"""What a client reads in the record: remarks apart from what the app wrote by itself, places by name."""

from __future__ import annotations

from left_jobs import left_job
from samples import planned
from test_leave import bare, reading
from test_record import of, rows, said

from engine.jobfile import read_job
from engine.judge import judge
from fieldapp import words
from fieldapp.handover.record import record
from fieldapp.handover.remarks import place_of
from fieldapp.words import units


def caution(ident: str, at: str, clock: str, by: str = "Ida") -> dict:
    body = {"what": "note", "at": at, "text": "Tie off.", "x_caution": "caution-ladder"}
    return {"id": ident, "t": f"2031-06-03T{clock}:00Z", "by": by, **body}


def test_a_caution_is_told_once_with_every_place_and_time_and_is_no_remark():
    remark = {"id": "r", "what": "note", "at": "A2.line", "text": "Wasps.", "by": "Ida"}
    clock = {"id": "c", "what": "note", "at": "wait.L1", "text": "timer started", "x_timer": 60}
    made = of(
        planned("reedbed-hide"),
        caution("a", "hide", "09:10"),
        remark,
        clock,
        caution("b", "hut", "11:40"),
    )
    assert [row[1:3] for row in rows(made, "notes")] == [("A2 line", "Wasps.")]
    tied, timed = rows(made, "heeded")
    assert tied[0] == "Tie off."
    assert tied[1] == "Hide, Ida, 2031-06-03 09:10 UTC; Hut, Ida, 2031-06-03 11:40 UTC"
    assert timed[0] == "timer started" and timed[1].startswith("L1")


def test_a_caution_that_was_taken_back_is_not_told():
    made = of(planned(), caution("a", "hide", "09:10"), {"what": "void", "of": "a"})
    assert "heeded" not in [one.id for one in made.sections]


def test_places_are_called_by_what_people_call_them():
    job = judge(read_job(planned("reedbed-hide"))).state.job
    told = [place_of(job, at) for at in ("hut", "A2.line", "C4", "bond.A1", "wait.S", "")]
    assert told == ["Hut", "A2 line", "C4", "A1", "S", ""]


def test_what_was_found_is_named_once():
    told = words.record_found("wet joint", "wet joint, C4")
    assert told.lower().count("wet joint") == 1 and "C4" in told
    assert words.record_found("wet joint", "behind the lid") == "Found: wet joint. behind the lid"


def test_a_narrow_band_reads_apart_and_a_wide_one_has_no_digit_more():
    assert words.record_band(53.18, 53.2, 53.23, "volts") == f"53.18 to 53.23{words.NBSP}V"
    assert words.record_band(43.7, 44.0, 46.0, "volts") == f"43.7 to 46.0{words.NBSP}V"
    assert units.apart(1.0, 1.0, "volts", 1) == ("1.0", "1.0"), "nothing would part them"


def test_a_visit_that_left_what_somebody_answers_for_does_not_say_that_it_is_open():
    made = record(judge(read_job(left_job(open_=("photo.L1", "photo.L2")))))
    assert words.record_left(2, True) in said(made, "visits")
    assert "open" not in words.record_left(2, True) and "open" in words.record_left(2, False)


def test_a_step_that_an_earlier_reading_does_has_its_time():
    """Ohms of a span by itself stay what they were when something else on its run is altered."""
    doc = bare()
    ohms = {**reading("C4", "loop_ohms", 33.0), "t": "2031-06-03T09:10:00Z", "by": "Ida"}
    cut = {"what": "change", "where": "C3", "did": "cut back", "t": "2031-06-03T10:00:00Z"}
    made = of(doc, ohms, cut)
    (row,) = [row for row in rows(made, "steps") if row[1] == "Loop ohms of C4"]
    assert row[2:] == (words.record_step_state("done"), "Ida", "2031-06-03 09:10 UTC")
    struck = [row for row in rows(made, "readings") if row[1] == "C4"]
    assert struck[0][5] == words.record_word("inside", False, False), "and it no longer counts"


def test_of_several_readings_that_count_the_last_is_the_one_that_did_the_step():
    first = {**reading("C4", "loop_ohms", 33.0), "t": "2031-06-03T09:10:00Z", "by": "Ida"}
    last = {**reading("C4", "loop_ohms", 33.1), "t": "2031-06-03T09:20:00Z", "by": "Rafe"}
    made = of(bare(), first, last)
    (row,) = [row for row in rows(made, "steps") if row[1] == "Loop ohms of C4"]
    assert row[3:] == ("Rafe", "2031-06-03 09:20 UTC")
