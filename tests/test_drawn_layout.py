"""Where boxes and stops stand on a line, and the ribbon of a run."""

from dataclasses import replace

import pytest
from drawn_runs import FLOOR, a_box, check, evenly, label, pressed, reedbed, words

from fieldapp.drawing.falling import falling_line
from fieldapp.drawing.fallscale import FallPoint
from fieldapp.drawing.letters import label_frame, overlap
from fieldapp.drawing.miniature import overall_line
from fieldapp.drawing.ribbon import ribbon
from fieldapp.drawing.run import (
    RIBBON_PITCH,
    RUN_PITCH,
    Branch,
    RunLine,
    RunSpan,
    RunStop,
    layout,
    reach_m,
    shown_near,
)
from fieldapp.drawing.shapes import Label, Line, Path

# ---- layout ----------------------------------------------------------------------------------


def test_metres_between_stops_are_to_scale():
    """Two long spans are as wide as their stops are far apart: 207 m to 256 m."""
    laid = layout(reedbed(), 390, RUN_PITCH)
    first, second = (s for s in laid.spans if s.long)
    assert (first.x1 - first.x0) / 207 == pytest.approx((second.x1 - second.x0) / 256)
    assert not first.broken and not second.broken
    assert laid.width == 390


def test_boxes_at_one_stop_stand_at_the_pitch():
    """Shoulder to shoulder, 23 dp on the ribbon and 27 dp on Run."""
    for pitch in (RIBBON_PITCH, RUN_PITCH):
        laid = layout(reedbed(), 390, pitch)
        assert laid.boxes[1].x - laid.boxes[0].x == pytest.approx(pitch)
        assert laid.boxes[0].x1 == pytest.approx(laid.boxes[1].x0)


def test_a_span_too_short_keeps_34_dp_and_is_broken():
    """8 m beside 900 m would be invisible: it is drawn stretched and says so."""
    row = tuple(a_box(f"B{i}", "joint", at, f"s{i}") for i, at in enumerate((0, 900, 908)))
    stops = tuple(RunStop(b.stop, b.stop, b.at_m) for b in row)
    laid = layout(RunLine(row, (), stops), 390, RUN_PITCH)
    long, short = laid.spans
    assert short.x1 - short.x0 == pytest.approx(34) and short.broken
    assert not long.broken


def test_up_to_a_dozen_boxes_keep_one_width():
    """Twelve boxes at six stops fit the phone; forty make Run wider than it, at the full pitch."""
    assert layout(evenly(12), 390, RUN_PITCH).width == 390
    wide = layout(evenly(40), 390, RUN_PITCH)
    assert wide.width > 390 and wide.pitch == RUN_PITCH


def test_must_fit_never_grows():
    """Squeezed as far as it takes."""
    assert layout(evenly(40, 1), 390, RIBBON_PITCH, must_fit=True).width == 390


def test_shown_near_counts_what_it_leaves_out():
    """Two stops either side of mine: ten boxes of forty, and the rest is counted."""
    part = shown_near(evenly(40), 2)
    assert len(part.line.boxes) == 10
    assert part.before + part.after + 10 == 40
    assert {s.a for s in part.line.spans} <= {b.id for b in part.line.boxes}


def test_reach_is_the_cable_along_the_run():
    """All spans of the main branch together."""
    assert reach_m(reedbed()) == 202 + 256 + 4 * 2


# ---- ribbon ----------------------------------------------------------------------------------


def test_ribbon_of_a_short_run():
    """104 dp high, title, kept time, printed lengths, your stop on a tag, one touch a stop."""
    picture = ribbon(reedbed(), 390, "Reedbed hide", "kept 14:09")
    check(picture)
    assert picture.height == 104
    assert {"Reedbed hide", "kept 14:09", "202\u00a0m", "256\u00a0m"} <= set(words(picture))
    assert label(picture, "Hide\u00a0\u00a0463\u00a0m").ink == "ground"
    assert label(picture, "Hut\u00a0\u00a00\u00a0m").ink == "soft"
    assert [t.key for t in picture.touches] == ["hut", "sluice", "hide"]
    assert pressed(picture, 183, 60) == ["sluice"]


def test_ribbon_of_forty_boxes_counts_the_rest():
    """What is left out is said at both ends, and adds up."""
    picture = ribbon(evenly(40), 390, "Long", "kept 9:10")
    check(picture)
    counts = [int(w[1:].split("\u00a0")[0]) for w in words(picture) if w.startswith("+")]
    assert len(counts) == 2 and len(picture.touches) * 2 == 40 - sum(counts)


def test_ribbon_labels_never_lie_on_each_other():
    """Names that have no room drop to metres or go."""
    for count, per in ((7, 2), (12, 2), (12, 1), (40, 3)):
        picture = ribbon(
            evenly(count, per), 390, "A long name of a job at a far place", "kept 14:09"
        )
        frames = [label_frame(s) for s in picture.shapes if isinstance(s, Label) and s.text]
        for i, one in enumerate(frames):
            assert not any(overlap(one, other) > 1 for other in frames[i + 1 :])


def test_ribbon_at_large_letters_names_only_your_stop():
    """At 1.6 times only the tag is left of the stop names."""
    picture = ribbon(reedbed("sluice"), 390, "Reedbed hide", "kept 14:09", letters=2.0)
    check(picture)
    assert "Sluice\u00a0\u00a0207\u00a0m" in words(picture)
    assert not any("Hut" in w or "Hide" in w for w in words(picture) if w != "Reedbed hide")


def test_a_walk_is_dotted_above_the_ribbon():
    """From the hide to the sluice; to a stop that is not there nothing is drawn."""
    plain = ribbon(reedbed(), 390, "R", "k")
    walk = ribbon(reedbed(), 390, "R", "k", walk=("hide", "sluice"))
    lost = ribbon(reedbed(), 390, "R", "k", walk=("hide", "moon"))
    assert len(walk.shapes) == len(plain.shapes) + 2
    assert lost.shapes == plain.shapes


def test_a_box_turned_round_is_drawn_wrong():
    """Signal outline and a break, not only a colour."""
    line = reedbed()
    row = tuple(replace(b, wrong=b.id == "A2") for b in line.boxes)
    plain, wrong = (
        [s for s in ribbon(x, 390, "R", "k").shapes if isinstance(s, Line) and s.stroke == "signal"]
        for x in (line, replace(line, boxes=row))
    )
    assert len(plain) == 0 and len(wrong) == 2


def test_a_side_branch_ends_in_its_endpoints_name():
    """One thin line from the fork, the name at its end."""
    row = (
        a_box("S", "source", 0, "a"),
        a_box("F", "splitter", 100, "b"),
        a_box("E", "endpoint", 300, "c"),
    )
    side = Branch("F", (a_box("G", "endpoint", 150, "d"),), (RunSpan("X", "F", "G", 50),), "Gate")
    stops = tuple(RunStop(b.stop, b.stop, b.at_m) for b in row)
    line = RunLine(row, (), stops, "a", (side,))
    picture = ribbon(line, 390, "R", "k")
    check(picture)
    assert "Gate" in words(picture)
    assert sum(isinstance(s, Path) and s.width == 4 for s in picture.shapes) == 1
    fall = falling_line(line, {"G": FallPoint(expected=44.0)}, *FLOOR, "F", 390)
    check(fall)
    assert "Gate" in words(fall)


@pytest.mark.parametrize("letters", [1.0, 1.1, 1.2, 1.4, 1.6])
def test_a_branchs_name_keeps_clear_of_the_heading(letters):
    """4 dp from the lowest of the heading's letters to the highest of the name's."""
    row = (a_box("S", "source", 0, "a"), a_box("F", "splitter", 236, "b"))
    row += (a_box("E", "endpoint", 236, "b"),)
    side = Branch("F", (a_box("P", "endpoint", 236, "b"),), (), "Access point over the gate")
    stops = (RunStop("a", "Office", 0), RunStop("b", "Gate", 236))
    line = RunLine(row, (), stops, "a", (side,))
    picture = ribbon(line, 390, "Tide mill", "nothing kept yet", letters=letters)
    check(picture)
    name = label(picture, "Access point over the gate")
    # From the fonts' outlines: ascenders end 0.404 em above the middle of a capital, descenders
    # 0.565 em below it.
    for text in ("Tide mill", "nothing kept yet"):
        over = label(picture, text)
        assert name.y - 0.404 * name.size - (over.y + 0.565 * over.size) >= 4


# ---- the whole line, small -------------------------------------------------------------------


def test_the_overall_line_frames_what_is_on_the_screen():
    """20 dp high, the frame as wide as the screen's share of the run."""
    laid = layout(evenly(40), 390, RUN_PITCH)
    picture = overall_line(laid.width, (0.0, 390.0), laid, 390.0)
    check(picture)
    frame = picture.shapes[-1]
    assert isinstance(frame, Path) and picture.height == 20
    wide = max(x for x, _ in frame.points) - min(x for x, _ in frame.points)
    assert wide == pytest.approx(390 * 390 / laid.width - 2)
