"""What one's own log says a job came to: what was found, that nothing was, or nothing either way."""

from __future__ import annotations

import pytest
from held_jobs import altered, found, judged, reading
from samples import planned

from engine.causes import COUNTS_AS, KNOWN
from engine.diagnose.remedies import UNSEEN
from engine.faults import FAULTS, SLIPS
from engine.faults.priors import WEIGHED, Tally
from engine.practice import MADE_UP_KEY
from engine.settled import Stay, stays, weighed_as

pytestmark = pytest.mark.pure

FINE = reading("S.out", "volts", 53.5)
LEAVE = {"what": "leave", "open": []}
VISIT = {"what": "visit"}


def stays_of(*bodies: dict, doc: dict | None = None) -> tuple[Stay, ...]:
    return stays(judged(doc or planned(), *bodies), "d")


def come_to(*bodies: dict, since: int = 0, doc: dict | None = None) -> list[Tally]:
    return [stay.since(since) for stay in stays_of(*bodies, doc=doc)]


def counted(tally: Tally) -> tuple[int, int, dict[str, int]]:
    return tally.jobs, tally.clean, dict(tally.found)


def test_a_find_settles_a_job_at_once():
    assert [counted(one) for one in come_to(FINE, found("C1"))] == [(1, 0, {"joint.high": 1})]


def test_several_finds_count_each_and_one_found_again_counts_once():
    (one,) = come_to(found("C1"), found("c1"), found("C2"), found("C1", "span.high"))
    assert counted(one) == (1, 0, {"joint.high": 2, "span.high": 1})


def test_what_was_taken_back_or_is_not_sure_does_not_count():
    assert come_to(found("C1"), {"what": "void", "of": "e1"}) == [Tally()]
    for sure, counts in ((True, 1), (0.7, 1), (0.3, 0), (False, 0)):
        (one,) = come_to({**found("C1"), "sure": sure})
        assert one.jobs == counts, sure


def test_left_with_readings_inside_nothing_was_wrong():
    assert [counted(one) for one in come_to(FINE, LEAVE)] == [(1, 1, {})]
    assert [counted(one) for one in come_to(found("site", "none"))] == [(1, 1, {})]


@pytest.mark.parametrize(
    "bodies",
    [
        (FINE,),
        (LEAVE,),
        (reading("S.out", "volts", 40.0), LEAVE),
        (FINE, altered("C1"), LEAVE),
        (FINE, {**LEAVE, "open": ["reading.e1"]}),
        (FINE, {**LEAVE, "open": ["found.e9"]}),
        (FINE, LEAVE, {"what": "void", "of": "e2"}),
    ],
    ids=["not left", "nothing read", "outside", "altered", "unclear", "unmended", "taken back"],
)
def test_otherwise_it_says_nothing(bodies: tuple[dict, ...]):
    assert come_to(*bodies) == [Tally()]


def test_a_reading_that_was_asked_for_and_never_taken_leaves_it_open():
    one = judged(planned(), FINE)
    asked = next(hold.id for hold in one.blockers if hold.say.code == "hold-missing")
    labels = next(hold.id for hold in one.blockers if hold.id.startswith("step.labels"))
    assert come_to(FINE, {**LEAVE, "open": [asked]}) == [Tally()]
    assert come_to(FINE, {**LEAVE, "open": [labels]})[0].clean == 1


def test_a_return_counts_by_itself():
    first, back = stays_of(VISIT, FINE, LEAVE, VISIT, found("C1", "joint.wet"), FINE, LEAVE)
    assert (first.first, back.first) == (True, False)
    assert counted(first.since(0)) == (1, 1, {})
    assert counted(back.since(0)) == (1, 0, {"joint.wet": 1})
    assert len(stays_of(VISIT, FINE, VISIT, FINE)) == 1, "the second day of one stay"


def test_only_entries_of_this_phone_count():
    there = judged(planned(), FINE, found("C1"), LEAVE)
    assert [stay.since(0) for stay in stays(there, "another")] == [Tally()]


def test_a_job_for_practice_never_counts():
    doc = {**planned(), MADE_UP_KEY: {"seed": 4}}
    assert stays_of(FINE, found("C1"), LEAVE, doc=doc) == ()


def test_counting_anew_begins_behind_an_entry():
    bodies = (found("C1"), FINE, found("C2", "span.high"), LEAVE)
    assert counted(come_to(*bodies, since=1)[0]) == (1, 0, {"span.high": 1})
    assert come_to(*bodies, since=3) == [Tally()], "something was wrong, so it was not clean"
    assert come_to(FINE, LEAVE, since=1)[0].clean == 1
    assert come_to(FINE, LEAVE, since=2) == [Tally()]


def test_the_places_are_those_of_the_plan_and_the_readings_those_of_the_stay():
    first, back = stays_of(FINE, FINE, LEAVE, VISIT, FINE)
    assert first.places["reading.typed"] == 2
    assert back.places["reading.typed"] == 1
    assert first.places["span.high"] == back.places["span.high"] == len(planned()["spans"])


def test_every_cause_counts_for_one_with_a_rate_or_is_silent():
    assert {*FAULTS, *SLIPS, *UNSEEN} <= set(KNOWN)
    assert set(COUNTS_AS) | {"none"} | set(WEIGHED) | set(UNSEEN) == set(KNOWN)
    assert set(COUNTS_AS.values()) <= set(WEIGHED)
    assert weighed_as("cable.clad") == "span.high"
    assert weighed_as("moths in the box") == "other"
    assert {cause for cause in KNOWN if not weighed_as(cause)} == {"none", *UNSEEN} - set(WEIGHED)


def test_what_no_reading_shows_neither_counts_nor_settles():
    assert come_to(FINE, found("S1", "arrestor.reversed")) == [Tally()]
    assert come_to(FINE, found("S1", "arrestor.reversed"), LEAVE)[0].clean == 1
