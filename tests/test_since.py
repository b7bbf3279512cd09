"""What has drifted since a site was left: the difference of two readings as a random variable."""

from __future__ import annotations

import json
import re
from math import sqrt
from typing import Any

import pytest
from again_sites import back, left, logged, met_again
from jobs import exact
from samples import planned
from twice_read import (
    ALPHA,
    DIGITS,
    FLOOR,
    LEAVE,
    METRES,
    OHMS_PER_KM,
    PERCENT,
    PLAN_VOLTS,
    STEP,
    VISIT,
    WATTS,
    one,
    plain,
    read,
    told,
)

from engine.__main__ import main
from engine.jobfile import read_job
from engine.judge import judge
from engine.leave import DRIFT
from engine.since import DRIFTED, STEADY, UNSURE, not_alike
from engine.stays import left_at
from engine.unchanged import SWINGS

# ---------------------------------------------------------------- by hand


def still(**more: Any) -> dict[str, Any]:
    """The same with nothing in it that moves from day to day."""
    doc = plain(**more)
    doc["site"]["ambient_c"] = exact(15)
    doc["sheets"]["my.E1"]["watts_swing_percent"] = 0
    return doc


@pytest.mark.parametrize(("meter", "correlated"), [("m1", True), ("m2", False)])
def test_a_difference_of_two_readings_by_hand(meter, correlated):
    """JCGM 100:2008, 5.2.2: u²(d) = u1² + u2² - 2 r u1 u2, with r from the common percent part."""
    value = 50.0
    gain = value * PERCENT / 100 / sqrt(3)
    own = sqrt((DIGITS * STEP) ** 2 + FLOOR**2) / sqrt(3)
    each = sqrt(gain**2 + own**2)
    r = gain**2 / each**2 if correlated else 0.0
    by_hand = sqrt(2 * each**2 - 2 * r * each**2)
    doc = still()
    doc["sheets"]["my.S1"]["volts"] = exact(value)
    rows = [read("S1.out", "volts", value), LEAVE, VISIT, read("S1.out", "volts", value, meter)]
    drift = one(told(doc, *rows), at="S1.out")
    assert drift.s == pytest.approx(by_hand, rel=1e-6)


def test_a_calibration_in_between_makes_two_meters_of_one():
    doc = still()
    rows = [
        read("S1.out", "volts", 54.0) | {"t": "2031-05-04T09:00:00Z"},
        LEAVE,
        VISIT,
        read("S1.out", "volts", 54.0) | {"t": "2032-05-04T09:00:00Z"},
    ]
    assert one(told(doc, *rows), at="S1.out").same_meter
    for day, same in (("2031-12-01", False), ("2031-01-01", True), ("2032-05-05", True)):
        doc["meters"][0]["calibrated"] = day
        assert one(told(doc, *rows), at="S1.out").same_meter is same, day


def test_a_sheet_is_no_meter():
    """Two readings by a meter of some sort: nobody knows that it was one meter."""
    rows = [read("S1.out", "volts", 54.0, "my.meter")]
    drift = one(told(still(), *rows, LEAVE, VISIT, *rows), at="S1.out")
    assert not drift.same_meter


def test_ohms_that_were_added_are_told():
    """By the circuit: so many ohms more of one pair's loop, and of the loop that carries power."""
    more = 4.0
    ohms = OHMS_PER_KM / 1000 * METRES / 2 * (1 + ALPHA * (15 - 20))
    worse = (PLAN_VOLTS + sqrt(PLAN_VOLTS**2 - 4 * (ohms + more) * WATTS)) / 2
    before = (PLAN_VOLTS + sqrt(PLAN_VOLTS**2 - 4 * ohms * WATTS)) / 2
    rows = [
        read("E1.in", "volts", before),
        read("C1", "loop_ohms", 4 * ohms),
        LEAVE,
        VISIT,
        read("E1.in", "volts", worse),
        read("C1", "loop_ohms", 4 * ohms + 3),
    ]
    judged = told(still(), *rows)
    assert one(judged).verdict == DRIFTED
    assert one(judged).ohms == pytest.approx(more, rel=0.05)
    assert one(judged, "loop_ohms", "C1").ohms == pytest.approx(3, rel=0.01)


def test_an_earth_is_allowed_its_season():
    share = SWINGS["earth-season"].value / 100
    own = 3 * 0.01 / sqrt(3)
    for value, word in ((12.0, STEADY), (25.0, DRIFTED)):
        rows = [read("EB", "earth_ohms", 10.0), LEAVE, VISIT, read("EB", "earth_ohms", value)]
        drift = one(told(still(), *rows), "earth_ohms", "EB")
        season = share * (10 + value) / 2 / sqrt(3)
        assert drift.s == pytest.approx(sqrt(2 * (season**2 + own**2)), rel=1e-6)
        assert drift.verdict == word


@pytest.mark.parametrize(
    ("before", "now", "word"),
    [(1000, 100, DRIFTED), (100, 0, DRIFTED), (1000, 1000, STEADY), (100, 1000, UNSURE)],
)
def test_a_light_is_counted(before, now, word):
    rows = [read("E1.in", "mbps", before), LEAVE, VISIT, read("E1.in", "mbps", now)]
    drift = one(told(still(), *rows), "mbps")
    assert (drift.verdict, drift.s, drift.z) == (word, 0.0, 0.0)


@pytest.mark.parametrize(
    ("before", "now", "word"), [(0, 5000, DRIFTED), (5000, 5000, STEADY), (5000, 0, STEADY)]
)
def test_damaged_frames_are_counted(before, now, word):
    rows = [
        read("E1.in", "error_count", before, seconds=900),
        LEAVE,
        VISIT,
        read("E1.in", "error_count", now, seconds=900),
    ]
    assert one(told(still(), *rows), "error_count").verdict == word


# ---------------------------------------------------------------- which two


def test_nothing_on_a_first_stay():
    rows = [read("E1.in", "volts", 51.0), read("E1.in", "volts", 50.0)]
    for more in ([], [LEAVE], [VISIT], [LEAVE, read("E1.in", "volts", 49.0)]):
        judged = told(still(), *rows, *more)
        assert judged.drifts == () and left_at(judged.state) is None


def test_the_last_of_each_stay_counts():
    judged = told(
        still(),
        read("E1.in", "volts", 50.0),
        read("E1.in", "volts", 51.0),
        LEAVE,
        VISIT,
        read("E1.in", "volts", 48.0),
        read("E1.in", "volts", 50.5),
    )
    drift = one(judged)
    assert (drift.before, drift.now) == (51.0, 50.5)
    assert left_at(judged.state).what == "leave"


def test_of_two_returns_the_last_is_the_present_one():
    rows = [read("E1.in", "volts", value) for value in (51.0, 50.0, 49.0)]
    judged = told(still(), rows[0], LEAVE, VISIT, rows[1], LEAVE, VISIT, rows[2])
    assert (one(judged).before, one(judged).now) == (50.0, 49.0)
    judged = told(still(), rows[0], LEAVE, VISIT, LEAVE, VISIT, rows[2])
    assert (one(judged).before, one(judged).now) == (51.0, 49.0)


def test_what_was_taken_back_never_counts():
    rows = [
        read("E1.in", "volts", 51.0),
        read("E1.in", "volts", 40.0) | {"id": "x"},
        LEAVE | {"id": "l"},
        VISIT,
        read("E1.in", "volts", 39.0) | {"id": "y"},
        {"what": "void", "of": "x"},
    ]
    assert one(told(still(), *rows)).before == 51.0
    assert told(still(), *rows, {"what": "void", "of": "y"}).drifts == ()
    assert told(still(), *rows, {"what": "void", "of": "l"}).drifts == ()


CHANGE = {"what": "change", "where": "C1", "did": "new plug"}


def test_what_was_altered_in_between_is_not_the_same_run():
    before, now = read("E1.in", "volts", 51.0), read("E1.in", "volts", 51.0)
    for rows in ([before, LEAVE, VISIT, CHANGE, now], [before, LEAVE, CHANGE, VISIT, now]):
        judged = told(still(), *rows)
        assert judged.drifts == ()
        assert not_alike(judged.state) == (("E1.in", "volts"),)
    judged = told(still(), before, CHANGE, LEAVE, VISIT, now)
    assert judged.drifts == () == not_alike(judged.state)
    taken_back = {"what": "void", "of": "c"}
    judged = told(still(), before, LEAVE, VISIT, CHANGE | {"id": "c"}, now, taken_back)
    assert one(judged).verdict == STEADY


def test_a_plan_that_was_changed_in_between_is_another_run_and_one_put_right_is_not():
    before, now = read("E1.in", "volts", 51.0), read("E1.in", "volts", 50.9)
    edit = {"what": "set", "path": ["spans", "C1", "length_m"], "value": exact(220)}
    assert told(still(), before, LEAVE, VISIT, {**edit, "as": "change"}, now).drifts == ()
    judged = told(still(), before, LEAVE, VISIT, {**edit, "as": "correction"}, now)
    assert one(judged).expected == pytest.approx(0, abs=1e-9)


def test_what_was_seen_before_it_was_mended_stays_told():
    before, worse, well = (read("E1.in", "volts", value) for value in (51.0, 47.0, 51.0))
    judged = told(still(), before, LEAVE, VISIT, worse, CHANGE, well)
    drift = one(judged)
    assert (drift.now, drift.verdict, drift.altered) == (47.0, DRIFTED, True)
    assert not any(hold.id.startswith(DRIFT) for hold in judged.holds)


def test_only_the_same_things_standing_there_compare():
    before = read("E1.in", "volts", 51.0, **{"with": {"E1": {"watts": 10}}})
    for now, count in (
        (read("E1.in", "volts", 51.0), 0),
        (read("E1.in", "volts", 51.0, **{"with": {"E1": {"watts": 12}}}), 0),
        (before, 1),
    ):
        assert len(told(still(), before, LEAVE, VISIT, now).drifts) == count


def test_a_known_load_does_not_swing():
    with_load = {"with": {"E1": {"watts": 12}}}
    rows = [read("E1.in", "volts", 51.0, **with_load)]
    known = one(told(plain(), *rows, LEAVE, VISIT, *rows)).s
    rows = [read("E1.in", "volts", 51.0)]
    assert known < one(told(plain(), *rows, LEAVE, VISIT, *rows)).s


def test_lengths_and_the_weather_do_not_drift():
    rows = [read("C1", "metres", 200.0), read("post", "celsius", 5.0)]
    later = [read("C1", "metres", 150.0), read("post", "celsius", 25.0)]
    assert told(still(), *rows, LEAVE, VISIT, *later).drifts == ()


# ---------------------------------------------------------------- leaving


def test_a_drift_that_nothing_was_done_about_is_told_before_one_goes():
    """Within the plan's band, and yet not as it was."""
    before, now = read("E1.in", "volts", 51.6), read("E1.in", "volts", 51.0)
    judged = told(still(), before, LEAVE, VISIT, now)
    assert one(judged).verdict == DRIFTED
    (hold,) = (hold for hold in judged.holds if hold.id.startswith((DRIFT, "reading.")))
    assert hold.can_waive == ("self" if hold.id.startswith(DRIFT) else "responsible")
    again = told(still(), before, LEAVE, VISIT, now, before)
    assert not any(hold.id.startswith(DRIFT) for hold in again.holds)


# ---------------------------------------------------------------- a log that goes on


def test_going_on_from_a_judgement_gives_the_same():
    site, doc = left(planned("reedbed-hide"), 4)
    doc = met_again(doc, site, 40, grown=("joint.high", "C4"))
    file = read_job(doc)
    known = None
    for end in range(len(doc["log"]) - 14, len(doc["log"]) + 1):
        part = read_job({**doc, "log": doc["log"][:end]})
        known = judge(part, known=known)
    assert known.drifts == judge(file).drifts and known.drifts


def test_a_stay_begins_with_a_visit_after_the_leave():
    _, doc = left(planned("reedbed-hide"), 4)
    assert left_at(judge(read_job(doc)).state) is None
    assert left_at(judge(read_job(back(doc, reason="storm"))).state) is not None


# ---------------------------------------------------------------- the command line


def printed(capsys, doc: dict[str, Any], tmp_path, *options: str) -> str:
    path = tmp_path / "job.json"
    path.write_text(json.dumps(doc), encoding="utf-8")
    assert main(["judge", str(path), *options]) == 0
    return capsys.readouterr().out


def test_the_command_line_tells_what_drifted(capsys, tmp_path):
    site, doc = left(planned("reedbed-hide"), 5)
    assert "Since" not in printed(capsys, doc, tmp_path)
    assert json.loads(printed(capsys, doc, tmp_path, "--json"))["since"] == []
    doc = met_again(doc, site, 77, grown=("joint.high", "C4"))
    text = printed(capsys, doc, tmp_path)
    (row,) = re.findall(r"  L2\.in +volts, V +(.*)", text)
    assert row.split()[-1] == DRIFTED and "Since 2031-05-04" in text
    assert "L2.in: 3.5 ohm more in front of it would explain it." in text
    assert max(map(len, text.splitlines())) <= 80
    rows = json.loads(printed(capsys, doc, tmp_path, "--json"))["since"]
    judged = judge(read_job(doc))
    assert [(one["at"], one["verdict"]) for one in rows] == [
        (one.at, one.verdict) for one in judged.drifts
    ]
    assert {one["before_t"][:10] for one in rows} == {"2031-05-04"}


def test_a_visit_alone_says_that_nothing_was_read_again(capsys, tmp_path):
    _, doc = left(planned("orchard-gate"), 5)
    assert "Nothing was read again" in printed(capsys, back(doc), tmp_path)


def test_the_text_says_what_could_not_be_set_beside_each_other(capsys, tmp_path):
    earth = [read("EB", "earth_ohms", 10.0), read("E1.in", "volts", 51.0)]
    doc = logged(still(), *earth, LEAVE, VISIT, CHANGE, *earth)
    text = printed(capsys, doc, tmp_path)
    assert "E1.in: volts not set beside each other" in text
    assert "An earth moves with the season, ± 30 % (from memory)" in " ".join(text.split())
