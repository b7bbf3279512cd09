"""The record of a return: what was no longer as it had been, and why each visit was made."""

from __future__ import annotations

from left_jobs import DRIFTED, STEADY, came_back, left_job, reading, visit
from test_record import rows, said, section

from engine.jobfile import read_job
from engine.judge import judge
from fieldapp import words
from fieldapp.handover.html import html
from fieldapp.handover.page import Record
from fieldapp.handover.record import record


def made(doc) -> Record:
    return record(judge(read_job(doc)))


def ids(one: Record) -> list[str]:
    return [part.id for part in (*one.front, *one.sections)]


def test_a_first_stay_has_no_such_section_nor_has_one_that_is_over():
    assert "since" not in ids(made({**left_job(), "log": []}))
    assert "since" not in ids(made(left_job()))


def test_nor_has_a_return_on_which_nothing_was_read_again():
    assert "since" not in ids(made(left_job(visit())))


def test_what_drifted_stands_first_and_before_the_readings():
    one = made(came_back(DRIFTED))
    named = ids(one)
    assert named.index("since") == named.index("readings") - 1
    table = rows(one, "since")
    assert len(table) == 4
    at, kind, before, now, by, sure, meter = table[0]
    assert (at, kind) == ("L2, IN side", "volts")
    assert (before, now, by) == (f"48.1{words.NBSP}V", f"45.9{words.NBSP}V", f"−2.2{words.NBSP}V")
    assert (sure, meter) == (words.record_sure("drifted"), words.record_same_meter(True))
    assert {row[5] for row in table[1:]} == {words.record_sure("steady")}
    assert "2031-06-03 16:20 UTC" in said(one, "since"), "since when"


def test_a_light_has_no_difference_and_no_meter():
    slow = reading("l", "C.in", 10, "mbps")
    slow.pop("meter")
    (row,) = rows(made(left_job(visit(), slow)), "since")
    assert row[2:] == (words.speed(1000), words.speed(10), "", words.record_sure("drifted"), "")


def test_another_meter_is_told():
    other = reading("l", "L2.in", 45.9, meter="generic.none")
    (row,) = rows(made(left_job(visit(), other)), "since")
    assert row[6] == words.record_same_meter(False)


def test_visits_tell_why_and_how_many_came():
    table = rows(made(came_back(STEADY, "yearly")), "visits")
    assert len(table) == 2
    first, second = table
    assert first[1:3] == ("", "")
    assert second[1:4] == (words.record_reason("yearly"), "1", "Orla")
    assert second[1] == "the yearly look"


def test_the_html_holds_it():
    text = html(made(came_back(DRIFTED)), {})
    head = words.record_head("since")
    assert f">{head}<" in text
    part = text[text.index(f">{head}<") :]
    part = part[: part.index("</table>")]
    assert "−2.2" in part and words.record_sure("drifted") in part
    assert section(made(came_back(DRIFTED)), "since").title == head
