"""Site screens in full dress: no word is lost for want of room, letters that grow keep their place,
and places are said as they are printed on boxes."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

import flet as ft
import flet.canvas as cv
import pytest
from fault_jobs import EVERY
from headless import Phone, drive
from left_jobs import left_job, reading, visit
from pictured_jobs import all_done, counted
from plan_jobs import SAMPLES, branched, heavy, weak

from engine.diagnose.account import account
from engine.faults import NONE
from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.say import Say, say
from engine.since import DRIFTED
from fieldapp import words
from fieldapp.buttons import pair, quiet, slab, slab_room
from fieldapp.drawing import knots
from fieldapp.drawing.gauge import gauge
from fieldapp.drawing.letters import label_frame, legible, overlap
from fieldapp.drawing.shapes import Label, Picture
from fieldapp.faces import lines_needed, text_width
from fieldapp.heading import header
from fieldapp.messages import Go
from fieldapp.paint import MARGIN, look_for
from fieldapp.screens.fault_parts import odds_row
from fieldapp.screens.leave import AROUND
from fieldapp.screens.now import _progress
from fieldapp.sending import Send

PHONE = (390, 844)
LANGUAGES = ("en", "de")


def looking(scale: float = 1.0):
    return look_for(False, *PHONE, scale)


def nothing(_: object) -> None:
    """Where presses go."""


def texts(control: object) -> Iterator[ft.Text]:
    if isinstance(control, ft.Text):
        yield control
    for name in ("content", "controls"):
        inside = getattr(control, name, None) or []
        for one in inside if isinstance(inside, list) else [inside]:
            yield from texts(one)


# ---------------------------------------------------------------- slabs and quiets


def test_what_stands_under_a_slab_takes_a_second_line_rather_than_lose_its_end():
    look = looking()
    brief, long = (
        "then volts at its side",
        "then volts at the side that looks to the pumping station",
    )
    for said, rows in ((brief, 1), (long, 2)):
        assert lines_needed("T", 16, said, slab_room(look)) == rows
        one = slab(look, "Walk back", said, Send(nothing, Go("/")))
        (under,) = [each for each in texts(one) if each.value == said]
        assert under.max_lines == rows
        assert (one.height is None) == (rows > 1), "it grows with its lines"


def test_a_sentence_on_a_slab_is_set_smaller_than_a_name():
    def size(title: str) -> float:
        one = slab(looking(), title, "", Send(nothing, Go("/")))
        return next(each.style.size for each in texts(one) if each.value == title)

    assert size("Measure volts") == 22
    assert size("See what it does now: heater, lights, motor. Plan for it, or replace it") < 22


def test_quiets_shorten_to_a_word_and_stack_only_where_even_that_has_no_room():
    def two(look, short: str = "Cannot") -> ft.Control:
        press = Send(nothing, Go("/"))
        first = quiet(look, "Cannot, because", press, key="a", expand=True, short=short)
        return pair(look, first, quiet(look, "All 66 steps", press, key="b", expand=True))

    assert [one.value for one in texts(two(looking()))] == ["Cannot, because", "All 66 steps"]
    grown = two(looking(2.0))
    assert isinstance(grown, ft.Row)
    assert [one.value for one in texts(grown)] == ["Cannot", "All 66 steps"]
    spoken = [one for one in (grown.controls[0].content,) if isinstance(one, ft.Semantics)]
    assert spoken[0].label == "Cannot, because", "a screen reader hears all of it"
    assert isinstance(two(looking(2.0), "Cannot be done just now"), ft.Column)


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_comes_next_is_named_whole_or_not_at_all(language):
    steps = judge(read_job(json.loads((SAMPLES / "reedbed-hide.json").read_text("utf-8")))).steps
    with words.speaking(words.Manner(language)):
        look, named = looking(), 0
        for step in steps:
            short = words.step(step.say).short
            said = _progress(12, 66, short, look)
            assert text_width("T", 16, said) <= slab_room(look), said
            named += said != words.progress(12, 66, "")
        assert 0 < named < len(steps), "where there is room it is named"


def test_a_long_name_in_a_screen_s_head_takes_two_lines_and_keeps_its_end():
    def name_of(title: str) -> ft.Text:
        press, look = Send(nothing, Go("/")), looking()
        left, right = (quiet(look, name, press, key=name) for name in ("Jobs", "Plan"))
        return next(texts(header(look, left, title, "470 m", right).content.controls[1]))

    assert name_of("Reedbed hide").style.size == 24
    long = name_of("Reedbed hide behind the old pumps")
    assert long.value == "Reedbed hide behind the old pumps"
    assert long.max_lines == 2 and long.style.size < 24
    longest = name_of(f"Reedbed hide {'behind the old pumping station ' * 3}by the sluice").value
    assert longest.startswith("Reedbed hide") and longest.endswith("sluice") and "…" in longest


def test_the_surest_odds_stand_beside_their_conductor_ends():
    for language in LANGUAGES:
        with words.speaking(words.Manner(language)):
            row = odds_row(0.99, looking()).content.content
            drawn, said = row.controls
            wide = drawn.width + row.spacing + text_width("TB", 19, said.value)
            assert wide <= PHONE[0] - 2 * MARGIN, said.value


# ---------------------------------------------------------------- letters on canvas


def test_small_letters_grow_within_the_picture_and_off_each_other():
    small = Label(2, 12, "A2", "TMI", 17, "ink", "start")
    near = Label(40, 12, "sluice", "TMI", 17, "ink", "start")
    edge = Label(258, 60, "camera", "TMI", 17, "ink", "end")
    large = Label(100, 60, "IN", "TB", 36, "ink", "middle")
    picture = Picture(260, 90, (small, near, edge, large))
    assert legible(picture, 1.0) is picture
    grown = [one for one in legible(picture, 1.6).shapes if isinstance(one, Label)]
    assert [one.text for one in grown] == ["A2", "sluice", "camera", "IN"]
    assert grown[0].size > 17 and grown[2].size > 17 and grown[3] == large
    frames = [label_frame(one) for one in grown]
    assert all(left >= 0 and right <= 260 for left, _, right, _ in frames)
    assert not any(overlap(a, b) for i, a in enumerate(frames) for b in frames[:i])


@pytest.mark.parametrize("verdict", [None, "outside"])
def test_a_gauge_s_figures_grow_with_the_phone_s_letters(verdict):
    def labels(letters: float) -> tuple[Picture, list[Label]]:
        said = "2.7 V low" if verdict else ""
        band, design = (43.7, 44.8, 46.0), (40.0, 50.0)
        drawn = gauge(band, design, 41.0, 0.3, "V", verdict, said, 390, 104, letters=letters)
        return drawn, [one for one in drawn.shapes if isinstance(one, Label)]

    _, plain = labels(1.0)
    drawn, grown = labels(2.0)
    assert max(one.size for one in grown) == pytest.approx(1.6 * max(one.size for one in plain))
    frames = [label_frame(one) for one in grown]
    assert all(f[0] >= 0 and f[2] <= 390 and f[1] >= 0 and f[3] <= drawn.height for f in frames)
    assert not any(overlap(a, b) for i, a in enumerate(frames) for b in frames[:i])


# ---------------------------------------------------------------- words


def told(one: Judgement) -> Iterator[Say]:
    yield from (finding.say for finding in one.prediction.findings)
    yield from (hold.say for hold in one.holds)
    yield from (verdict.say for verdict in one.verdicts)
    if one.verdicts:
        found = account(one)
        for fault in found.faults[:8]:
            yield from (said for said in (fault.say, fault.do, fault.sure) if said)
            yield from (each.say for each in fault.because)
        yield from found.unseen


def test_no_sentence_names_a_port_as_the_file_does():
    raw = re.compile(r"\b[A-Z]\w*\.(in|out|line|kit|a|b)\d?\b")
    docs = [weak(), heavy(), *(EVERY[name]() for name in ("walk", "dead", "two"))]
    seen = 0
    for one in map(judge, map(read_job, docs)):
        for statement in told(one):
            for language in LANGUAGES:
                with words.speaking(words.Manner(language)):
                    said = words.sentence(statement)
                assert not raw.search(said), (statement.code, said)
                seen += 1
    assert seen > 200


def test_no_difference_has_no_sign():
    assert words.record_difference(0.0, "milliamps") == f"0{words.NBSP}mA"
    assert words.record_difference(-0.004, "volts") == f"0{words.NBSP}V"
    assert words.record_difference(-0.04, "volts").startswith("−")
    with words.speaking(words.Manner("de")):
        assert words.record_difference(0.0, "milliamps") == f"0{words.NBSP}mA"


def test_readings_that_drifted_within_the_plan_are_not_told_as_agreeing():
    for language in LANGUAGES:
        with words.speaking(words.Manner(language)):
            same, one, two = (
                words.sentence(say("fault-none", readings=5, outside=0, drifted=n))
                for n in range(3)
            )
            assert len({same, one, two}) == 3 and "2" in two and "2" not in one


# ---------------------------------------------------------------- whole screens


def test_the_cable_of_a_site_that_nothing_holds_runs_down_to_the_box():
    async def journey() -> None:
        phone = await Phone.start(docs=(counted(all_done()),), link="/j/REEDBED-HIDE/leave")
        await phone.wear(size=PHONE)
        drawn = [one for one in phone.controls() if isinstance(one, cv.Canvas)]
        heights = [one.height for one in drawn if one.width == knots.WIDTH]
        assert heights and sum(heights) > PHONE[1] - AROUND - 1, heights
        phone.stop()

    drive(journey)


def test_at_a_splitter_run_asks_which_way_and_the_one_that_is_walked_is_the_thick_line():
    async def journey() -> None:
        phone = await Phone.start(docs=(branched(),), link="/j/BRANCHED/run?at=R2.in")
        assert not phone.has("way-P") and phone.has("box-P"), "the end of a branch can be pressed"
        await phone.go("/j/BRANCHED/run?at=X.in")
        assert phone.has("way-P") and phone.has("way-G")
        for end, rest in (("P", "G"), ("G", "P")):
            await phone.tap(f"way-{end}")
            assert phone.route == f"/j/BRANCHED/run?at={end}.in"
            assert phone.has("box-J") == (end == "G"), "a box within a thin line is not drawn"
            assert not phone.has(f"way-{end}")
            await phone.tap(f"box-{rest}")
            assert phone.route == f"/j/BRANCHED/run?at={rest}.in"
            await phone.go("/j/BRANCHED/run?at=X.in")
        phone.stop()

    drive(journey)


def test_that_no_fault_is_likely_is_not_said_of_a_site_without_its_drift():
    now = reading("r2-c", "C4", 38.2, "loop_ohms")
    one = judge(read_job(left_job(visit("storm"), now)))
    assert [drift.verdict for drift in one.drifts] == [DRIFTED]
    none = next(fault for fault in account(one).faults if fault.cause == NONE)
    assert none.say.parts["drifted"] == 1
    for language, said in (("en", "not as it was"), ("de", "verändert")):
        with words.speaking(words.Manner(language)):
            assert said in words.sentence(none.say)


@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_a_title_that_a_quiet_button_has_no_room_for_breaks_and_no_other(scale):
    look = looking(scale)
    wide = look.width - 2 * MARGIN
    for title in (words.is_out_again("short", "A2.line"), words.FIXED.not_now):
        button = quiet(look, title, Send(nothing, Go("/")), key="k", width=wide)
        (said,) = texts(button)
        runs_over = text_width("TM", 18 * min(scale, 1.4), title) + 24 > wide
        assert bool(said.expand) == runs_over
    assert not runs_over, "a short one never does"
    long = quiet(look, "Short " * 12, Send(nothing, Go("/")), key="k", width=wide)
    assert next(texts(long)).expand
