"""Labels: what they carry, how they lie on their sheets, and that the written file can be read."""

from __future__ import annotations

import datetime
import json
import re
import shutil
import subprocess
from functools import cache
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import pytest
from attrs import evolve
from test_codes import raster

from engine.jobfile import load, read_job, write
from engine.judge import Judgement, judge
from engine.practice import MADE_UP_KEY
from fieldapp import words
from fieldapp.__main__ import main
from fieldapp.drawing.letters import label_frame, overlap
from fieldapp.drawing.shapes import Circle, Label, Line, Rect
from fieldapp.drawing.shapes import Path as Chain
from fieldapp.handover.codes import QUIET, Code, read_code, square_of
from fieldapp.handover.label_command import labels as run_labels
from fieldapp.handover.label_svg import sheets_svg
from fieldapp.handover.labelface import CAPITAL_EM, face
from fieldapp.handover.labels import BOND, BOX, END, LabelFacts, labels_of
from fieldapp.handover.sheets import GRIDS, larger_codes, sheets

SAMPLES = Path(__file__).resolve().parent.parent / "sample_jobs"
DATE = "2031-05-04"


@cache
def sample(name: str = "reedbed-hide") -> Judgement:
    return judge(load(SAMPLES / f"{name}.json"))


def altered(
    name: str = "reedbed-hide", text: tuple[tuple[str, str], ...] = (), **keys
) -> Judgement:
    """A sample without its log, with words of its file or keys replaced."""
    doc = {**load(SAMPLES / f"{name}.json").doc, "log": []}
    raw = write(doc)
    for old, new in text:
        assert old in raw
        raw = raw.replace(old, new)
    return judge(read_job({**json.loads(raw), **keys}))


def made(judgement: Judgement | None = None) -> tuple[LabelFacts, ...]:
    return labels_of(judgement or sample(), DATE)


def one(sort: str, thing: str, at: str = "") -> LabelFacts:
    (found,) = [x for x in made() if (x.sort, x.thing) == (sort, thing) and at in ("", x.at)]
    return found


# ---------------------------------------------------------------- what a label carries


@pytest.mark.parametrize("name", ["reedbed-hide", "orchard-gate", "tide-mill"])
def test_every_box_every_bond_and_both_ends_of_every_span_have_one(name):
    job = sample(name).state.job
    labels = made(sample(name))

    assert [x.thing for x in labels if x.sort == BOND] == [
        b.id for b in job.boxes.values() if b.bond
    ]
    assert {x.thing for x in labels if x.sort == BOX} == set(job.boxes)
    ends = sorted((x.thing, x.at) for x in labels if x.sort == END)
    assert ends == sorted((s.id, str(at)) for s in job.spans.values() for at in (s.a, s.b))
    assert all(read_code(x.code) == Code(job.id, x.thing) for x in labels)
    assert all(x.date == DATE and not x.made_up for x in labels)


def test_a_box_says_where_its_ports_look_and_how_far_out_it_is():
    """The near unit stands the other way round than its port names suggest; 2 + 1 + 202 m to J1."""
    unit, joint = one(BOX, "L1"), one(BOX, "J1")

    assert {port.name: port.way for port in unit.ports} == {"in": "end", "out": "source"}
    assert {port.name: port.outline for port in unit.ports} == {"in": "round", "out": "jack"}
    assert joint.metres == 205


def test_an_end_names_the_far_one_and_its_own_volts():
    near, far = one(END, "C4", "J1.b"), one(END, "C4", "A2.line")

    assert [port.to for port in (*near.ports, *far.ports)] == ["A2.line", "J1.b"]
    assert [port.way for port in (*near.ports, *far.ports)] == ["end", "source"]
    points = sample().prediction.points
    assert {str(at): points[at].volts for at in points}["J1.b"] == near.volts
    assert near.volts.expected > far.volts.expected
    assert (near.metres, far.metres) == (205, 461)


def test_a_bond_says_that_it_is_one():
    shown = [s.text for s in face(one(BOND, "A1"), GRIDS["a4"].size).shapes if isinstance(s, Label)]

    assert words.label_bonded() in shown and words.label_bond("EB1") in shown
    assert not any("expect" in text for text in shown)


def test_the_stripe_falls_along_the_way_and_its_ends_are_those_of_the_run():
    stripe = one(BOX, "J1").stripe

    assert stripe[0][0] == 0 and stripe[-1][0] == 470
    assert [m for m, _ in stripe] == sorted(m for m, _ in stripe)
    assert [v for _, v in stripe] == sorted((v for _, v in stripe), reverse=True)


def test_on_a_branch_the_stripe_is_the_way_that_leads_there():
    """The gate's access point is 6 m behind the splitter, the gauge 9 m."""
    ends = {x.thing: x.stripe[-1][0] for x in made(sample("tide-mill")) if x.sort == BOX}

    assert (ends["P"], ends["G"]) == (242, 245)


def test_a_made_up_job_says_so_on_every_label():
    labels = made(altered(**{MADE_UP_KEY: {"seed": 7, "level": "perhaps"}}))

    assert labels and all(x.made_up for x in labels)
    for grid in GRIDS.values():
        for facts in labels:
            shown = [s.text for s in face(facts, grid.size).shapes if isinstance(s, Label)]
            assert words.made_up() in shown


def test_a_plan_that_does_not_hold_still_has_labels():
    """No volts are told where there are none, and what no source is joined to looks nowhere."""
    doc = {**load(SAMPLES / "reedbed-hide.json").doc, "log": []}
    spans = [span for span in doc["spans"] if span["id"] != "C4"]
    labels = made(judge(read_job({**doc, "spans": spans})))
    far = next(x for x in labels if (x.sort, x.thing) == (BOX, "L2"))

    assert far.metres is None and {port.way for port in far.ports} == {""}
    shown = [s.text for s in face(far, GRIDS["a4"].size).shapes if isinstance(s, Label)]
    assert words.label_volts(None, None, None) in shown


# ---------------------------------------------------------------- one label drawn

LONG = (
    (
        '"Arrestor at the hut wall"',
        '"Arrestor at the far side of the western wall of the long hut"',
    ),
    ('"REEDBED-HIDE"', '"REEDBED-HIDE-BEHIND-THE-WESTERN-DYKE"'),
)


def frame(shape) -> tuple[float, float, float, float]:
    """What a shape covers. [mm]"""
    if isinstance(shape, Label):
        x0, _, x1, _ = label_frame(shape)
        half = CAPITAL_EM * shape.size / 2
        return x0, shape.y - half, x1, shape.y + half
    if isinstance(shape, Circle):
        r = shape.r + shape.width / 2
        return shape.x - r, shape.y - r, shape.x + r, shape.y + r
    if isinstance(shape, Rect):
        return shape.x, shape.y, shape.x + shape.w, shape.y + shape.h
    half = shape.width / 2
    if isinstance(shape, Line):  # level or upright, its ends cut off
        x, y = sorted((shape.x1, shape.x2)), sorted((shape.y1, shape.y2))
        across, down = (0.0, half) if y[0] == y[1] else (half, 0.0)
        return x[0] - across, y[0] - down, x[1] + across, y[1] + down
    xs, ys = [x for x, _ in shape.points], [y for _, y in shape.points]
    return min(xs) - half, min(ys) - half, max(xs) + half, max(ys) + half


@pytest.mark.parametrize("size", GRIDS)
@pytest.mark.parametrize("which", ["plain", "long", "made up", "branches"])
def test_nothing_leaves_its_label_and_no_words_lie_on_words_or_on_the_code(size, which):
    room = GRIDS[size].size
    key = {MADE_UP_KEY: {"seed": 7, "level": "perhaps"}} if which == "made up" else {}
    judgement = altered(text=LONG if which == "long" else (), **key)
    judgement = sample("tide-mill") if which == "branches" else judgement
    for facts in made(judgement):
        drawn = face(facts, room)
        for shape in drawn.shapes:
            x0, y0, x1, y1 = frame(shape)
            edge = room.margin - 1e-6
            assert min(x0, y0) >= edge, shape
            assert x1 <= room.width - edge and y1 <= room.height - edge, shape
        texts = [s for s in drawn.shapes if isinstance(s, Label) and s.text]
        for a, b in combinations(texts, 2):
            assert overlap(frame(a), frame(b)) == 0, (a, b)
        side = drawn.code.square.side * drawn.code.module
        rim = (drawn.code.x, drawn.code.y, drawn.code.x + side, drawn.code.y + side)
        for shape in drawn.shapes:
            assert overlap(frame(shape), rim) < 1e-6, shape
        lines = [s for s in drawn.shapes if isinstance(s, Line | Chain | Circle)]
        for text in texts:
            for shape in lines:
                assert overlap(frame(text), frame(shape)) < 1e-6, (text, shape)


@pytest.mark.parametrize("size", GRIDS)
def test_the_id_stands_in_capitals_of_three_millimetres_and_the_code_is_half_a_millimetre_a_module(
    size,
):
    for facts in made():
        drawn = face(facts, GRIDS[size].size)
        ident = next(s for s in drawn.shapes if isinstance(s, Label) and s.text == facts.thing)
        assert ident.size * CAPITAL_EM >= 3.0
        assert drawn.code.square.version == 3 and drawn.code.module >= 0.5
        whole = [s.text for s in drawn.shapes if isinstance(s, Label)]
        assert facts.code in whole


def test_long_names_are_shortened_in_the_middle_and_the_code_never_is():
    judgement = altered(text=LONG)
    facts = next(x for x in made(judgement) if (x.sort, x.thing) == (BOX, "A1"))
    shown = [s.text for s in face(facts, GRIDS["a4"].size).shapes if isinstance(s, Label)]

    assert any(t.startswith("Arr") and "…" in t and t.endswith("hut") for t in shown)
    assert facts.code in shown
    assert larger_codes(made(judgement))[0] == "S" and larger_codes(made()) == ()


def test_a_splitter_names_all_its_ways_out():
    splitter = next(x for x in made(sample("tide-mill")) if (x.sort, x.thing) == (BOX, "X"))
    shown = [s.text for s in face(splitter, GRIDS["letter"].size).shapes if isinstance(s, Label)]

    assert "in towards source, out1, out2 towards end" in shown
    assert [text for text in shown if text in ("in", "out1", "out2")] == ["in", "out1", "out2"]


def test_ids_that_no_code_holds_leave_the_room_empty_and_say_so():
    facts = evolve(one(BOX, "A1"), square=None)
    drawn = face(facts, GRIDS["strip"].size)

    assert drawn.code is None
    assert any("code" in s.text for s in drawn.shapes if isinstance(s, Label))


# ---------------------------------------------------------------- sheets


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_a_grid_lies_on_its_paper(size):
    grid = GRIDS[size]
    right = grid.left + (grid.across - 1) * grid.step_x + grid.size.width
    foot = grid.top + (grid.down - 1) * grid.step_y + grid.size.height

    assert grid.source and right <= grid.width and foot <= grid.height
    assert grid.step_x >= grid.size.width and grid.step_y >= grid.size.height
    assert right + grid.left == pytest.approx(grid.width, abs=0.3)
    assert foot + grid.top == pytest.approx(grid.height, abs=0.1)


@pytest.mark.parametrize(("count", "pages"), [(0, 0), (1, 1), (24, 1), (25, 2), (49, 3)])
def test_a_full_page_begins_the_next(count, pages):
    laid = sheets((made() * 3)[:count], GRIDS["a4"])

    assert len(laid) == pages
    assert sum(len(page.codes) for page in laid) == count


def test_a_strip_is_one_page_as_long_as_its_labels():
    (strip,) = sheets(made(), GRIDS["strip"])

    assert (strip.width, strip.height) == (70 * len(made()), 24)


# ---------------------------------------------------------------- the written file


def codes_in(svg: str) -> list[tuple[float, float, float, set[tuple[int, int]]]]:
    """The square codes of an SVG as they are painted: place, module, and the black modules."""
    out = []
    for path in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}path"):
        if not (place := path.get("transform")):
            continue
        x, y, module = map(float, re.findall(r"[\d.]+", place))
        bars = re.findall(r"M(\d+) (\d+)h(\d+)v1h-\3z", path.get("d"))
        black = {(int(a) + i, int(b)) for a, b, n in bars for i in range(int(n))}
        out.append((x, y, module, black))
    return out


@pytest.mark.parametrize("size", GRIDS)
def test_the_file_is_to_scale_and_its_codes_are_those_of_the_labels(size):
    labels = made()
    svg = sheets_svg(sheets(labels, GRIDS[size]))
    root = ElementTree.fromstring(svg)

    assert root.get("width").endswith("mm")
    assert root.get("viewBox") == f"0 0 {root.get('width')[:-2]} {root.get('height')[:-2]}"
    want = [
        {(x + i, y) for x, y, n in square_of(facts.code).bars() for i in range(n)}
        for facts in labels
    ]
    assert [black for *_, black in codes_in(svg)] == want
    assert set(re.findall(r'(?:fill|stroke)="(.*?)"', svg)) == {"#000000", "#FFFFFF", "none"}


@pytest.mark.skipif(not shutil.which("zbarimg"), reason="zbarimg (zbar-tools) is not installed")
@pytest.mark.parametrize("size", GRIDS)
def test_a_general_reader_reads_a_label_at_its_printed_size(size, tmp_path):
    """At 110 dots an inch, the module as large as this paper's."""
    facts = one(BOX, "J1")
    code = face(facts, GRIDS[size].size).code
    (tmp_path / "code.pgm").write_bytes(raster(code.square, code.module, 110))
    ran = subprocess.run(
        ["zbarimg", "--raw", "-q", str(tmp_path / "code.pgm")],
        capture_output=True,
        text=True,
        check=True,
    )

    assert ran.stdout == f"{facts.code}\n"
    assert QUIET * code.module >= 2


# ---------------------------------------------------------------- the command


def test_the_command_writes_the_sheets_and_says_how_many(tmp_path, capsys):
    out = tmp_path / "labels.svg"

    assert main(["labels", str(SAMPLES / "reedbed-hide.json"), "-o", str(out)]) == 0
    assert capsys.readouterr().out == f"{out}: 21 labels on 1 page.\n"
    assert len(codes_in(out.read_text("utf-8"))) == 21


def test_the_day_on_the_labels_is_today(tmp_path):
    out = tmp_path / "labels.svg"
    day = datetime.date(2031, 5, 4)

    assert (
        run_labels([str(SAMPLES / "tide-mill.json"), "-o", str(out), "--size", "strip"], day) == 0
    )
    assert out.read_text("utf-8").count(DATE) == 16


def test_long_ids_are_said_on_standard_error(tmp_path, capsys):
    job, out = tmp_path / "long.json", tmp_path / "labels.svg"
    job.write_text(write(altered(text=LONG).state.doc), encoding="utf-8")

    assert main(["labels", str(job), "-o", str(out)]) == 0
    lines = capsys.readouterr().err.splitlines()
    assert lines[0] == "S: its square code is finer than the others; the ids are long."
    assert len(lines) == 13  # seven boxes, six spans


@pytest.mark.parametrize(
    ("name", "out", "says"),
    [
        ("reedbed-hide.json", "labels.png", "the name of the file ends with .pdf or .svg"),
        ("not-there.json", "labels.svg", "expected a job file"),
        ("reedbed-hide.json", "no/folder/labels.svg", "no such file or directory"),
    ],
)
def test_what_cannot_be_done_is_one_line_and_status_2(name, out, says, tmp_path, capsys):
    assert main(["labels", str(SAMPLES / name), "-o", str(tmp_path / out)]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert says in line
    assert not (tmp_path / out).exists()
