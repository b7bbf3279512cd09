"""Two plans beside each other on the page: which are offered, the rows, the one drawing of both."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from headless import Phone, drive
from hypothesis import given, settings
from hypothesis import strategies as st
from random_jobs import random_job
from samples import sample

from engine.compare import compare
from engine.jobfile import read_job
from engine.judge import Judgement, judge
from fieldapp import words
from fieldapp.comparing import course_of, end_volts
from fieldapp.drawing.beside import Course, Spot, two_lines
from fieldapp.drawing.letters import label_frame
from fieldapp.drawing.shapes import Circle, Label, Line, Path, Picture, Rect
from fieldapp.drawing.tokens import SUN

Doc = dict[str, Any]
ID, OTHER = "REEDBED-HIDE", "REEDBED-FAR"
LIST, PAGE = f"/j/{ID}/compare", f"/j/{ID}/compare/{OTHER}"


def farther(metres: float = 100) -> Doc:
    """The reedbed job, its hide so much farther out."""
    doc = sample("reedbed-hide")
    doc.update(id=OTHER, title="Reedbed hide, copy")
    doc["spans"][3]["length_m"] += metres
    return doc


def judged(doc: Doc) -> Judgement:
    return judge(read_job(doc))


async def shown(phone: Phone) -> dict[str, tuple[str, str]]:
    """The rows of the table by their names: the figures of this plan and of the other."""
    out = {}
    for text in phone.speech():
        name, here, rest = text.partition(": here ")
        if here:
            this, _, other = rest.removesuffix(".").partition(", there ")
            out[name] = (this, other)
    return out


# ---------------------------------------------------------------- which jobs there are


def test_every_other_job_that_can_be_read_is_offered():
    async def journey() -> None:
        docs = (sample("reedbed-hide"), farther(), sample("tide-mill"))
        phone = await Phone.start(docs=docs, link=LIST)
        offered = {key for key in phone.keys if key.startswith("beside-")}
        assert offered == {f"beside-{OTHER}", "beside-TIDE-MILL"}
        await phone.tap(f"beside-{OTHER}")
        assert phone.route == PAGE
        await phone.tap("another")
        assert phone.route == LIST
        await phone.tap("back")
        assert phone.route == f"/j/{ID}/plan"
        phone.stop()

    drive(journey)


def test_a_job_whose_file_cannot_be_read_is_not_offered():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"), farther()))
        journal = await phone.shelf.journal(OTHER)
        journal.records[0]["boxes"] = "gone"  # what cannot be read any more
        await phone.go(LIST)
        assert not phone.has(f"beside-{OTHER}") and phone.shows(words.nothing_beside())
        await phone.go(PAGE)
        assert phone.shows(words.gone_beside())
        phone.stop()

    drive(journey)


def test_alone_it_is_offered_to_be_copied_and_the_copy_then_stands_beside_it():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),), link=LIST)
        await phone.tap("duplicate")
        copy = phone.route.split("/")[2]
        await phone.go(LIST)
        await phone.tap(f"beside-{copy}")
        rows = await shown(phone)
        assert rows and all(this == other for this, other in rows.values())
        assert sum(text == words.needs_nothing() for text in phone.texts()) == 2
        assert not phone.has("another"), "there is no third one"
        phone.stop()

    drive(journey)


@pytest.mark.parametrize("other", [ID, ID.lower(), "NOWHERE"])
def test_itself_and_a_job_that_is_not_there_cannot_stand_beside_it(other):
    async def journey() -> None:
        docs = (sample("reedbed-hide"), farther())
        phone = await Phone.start(docs=docs, link=f"/j/{ID}/compare/{other}")
        assert phone.shows(words.gone_beside())
        await phone.tap("another")
        assert phone.route == LIST
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- the page of two


def test_the_rows_show_what_the_engine_compares():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"), farther()), link=PAGE)
        rows = await shown(phone)
        found = compare(judged(sample("reedbed-hide")), judged(farther()))
        for row in found.rows:
            name = words.compared(row.code, row.of or words.far_ends(*found.ends))
            figures = [words.compared_value(row.code, one) for one in (row.this, row.other)]
            assert rows[name] == tuple(figures)
        assert len(rows) == len(found.rows)
        need = words.need_line("Cat 6 outdoor, 23 AWG", 100, True)
        assert phone.shows(need) and phone.shows(words.needs_nothing())
        phone.stop()

    drive(journey)


def test_the_better_figure_is_set_stronger_and_in_no_other_colour():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"), farther()), link=PAGE)
        row = words.compared("end-volts", words.far_ends("C", "C"))
        rows = [c for c in phone.controls() if getattr(c, "label", None) and row in str(c.label)]
        figures = [c for c in phone_texts(rows[0]) if "\u00a0V" in (c.value or "")]
        faces = [figure.style.font_family for figure in figures]
        assert len(set(faces)) == 2 and {figure.style.color for figure in figures} == {SUN["ink"]}
        even = words.compared("works", "")
        rows = [c for c in phone.controls() if str(getattr(c, "label", "")).startswith(even)]
        faces = [c.style.font_family for c in phone_texts(rows[0]) if c.value == "yes"]
        assert len(faces) == 2 and len(set(faces)) == 1
        phone.stop()

    drive(journey)


def phone_texts(under: Any) -> list[Any]:
    import flet as ft
    from headless import walk

    return [control for control in walk(under) if isinstance(control, ft.Text)]


def test_the_other_is_read_anew_each_time_and_can_be_opened():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"), farther()), link=PAGE)
        before = await shown(phone)
        edit = {"what": "set", "path": ["spans", "C4", "length_m"], "was": 356, "value": 256}
        phone.shelf.keep(await phone.shelf.journal(OTHER), ({**edit, "as": "correction"},))
        await phone.go(f"/j/{ID}/now")
        await phone.go(PAGE)
        after = await shown(phone)
        assert before != after and all(this == other for this, other in after.values())
        await phone.tap("open-other")
        assert phone.route == f"/j/{OTHER}/plan"
        phone.stop()

    drive(journey)


@pytest.mark.parametrize(
    ("size", "scale"), [((390, 844), 1.0), ((360, 640), 2.0), ((1180, 820), 1.0)]
)
def test_it_can_be_drawn_in_every_size_and_look(size, scale):
    async def journey() -> None:
        docs = (sample("reedbed-hide"), farther(1500), sample("tide-mill"), sample("orchard-gate"))
        phone = await Phone.start(docs=docs, link=PAGE, size=size, scale=scale)
        for other in (OTHER, "TIDE-MILL", "ORCHARD-GATE"):
            await phone.go(f"/j/{ID}/compare/{other}")
            assert await shown(phone)
            await phone.wear(dark=True)
            assert phone.has("open-other")
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- one drawing of both


def far_end_of(judgement: Judgement) -> str:
    return compare(judgement, judgement).ends[0]


def course(doc: Doc) -> Course:
    judgement = judged(doc)
    return course_of(judgement, judgement.state.job.title, far_end_of(judgement))


def test_a_course_goes_to_the_far_end_over_all_its_cable():
    for name in ("reedbed-hide", "tide-mill", "orchard-gate"):
        doc = sample(name)
        judgement = judged(doc)
        end = far_end_of(judgement)
        line = course(doc)
        way = {spot.box for spot in line.spots} - {""}
        lengths = [
            s["length_m"]["expected"] if isinstance(s["length_m"], dict) else s["length_m"]
            for s in doc["spans"]
            if {s["from"].split(".")[0], s["to"].split(".")[0]} <= way
        ]
        assert line.spots[-1].box == end and line.metres == pytest.approx(sum(lengths))
        metres = [spot.at_m for spot in line.spots]
        assert metres == sorted(metres)
        volts = compare(judgement, judgement).rows[2]
        assert volts.code == "end-volts" and end_volts(line) == pytest.approx(volts.this)


def ends_of_lines(picture: Picture) -> list[tuple[float, float]]:
    """Where this line and the thin one end: the ring of the endpoint, and the small ring."""
    rounds = [s for s in picture.shapes if isinstance(s, Path) and s.closed and len(s.points) > 24]
    rings = [s for s in picture.shapes if isinstance(s, Circle) and s.r == 5.5]
    ends = []
    for xs, ys in (zip(*one.points, strict=True) for one in rounds[:1]):
        ends.append(((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2))
    return [*ends, *((ring.x, ring.y) for ring in rings)]


def straight(metres: float, end: float, name: str = "one", floor: float | None = 36.0) -> Course:
    return Course((Spot(0, 54, 53, 55, "S"), Spot(metres, end, end - 2, end + 1, "E")), name, floor)


def test_both_lines_have_one_scale_across_and_one_down():
    """Twice as far is twice as far across; equal losses are equally deep, whichever is which."""
    side = 22.0
    for this, other in ((200, 400), (400, 200)):
        picture = two_lines(straight(this, 48), straight(other, 42, "two"), 390)
        (this_x, this_y), (other_x, other_y) = ends_of_lines(picture)
        assert (this_x - side) / (other_x - side) == pytest.approx(this / other)
        assert other_y > this_y
        top = next(s for s in picture.shapes if isinstance(s, Path) and s.stroke == "soft").points[
            0
        ]
        assert (other_y - top[1]) / (this_y - top[1]) == pytest.approx((54 - 42) / (54 - 48))


def labels(picture: Picture) -> list[Label]:
    return [shape for shape in picture.shapes if isinstance(shape, Label)]


def test_each_line_has_its_name_at_its_end():
    picture = two_lines(straight(200, 48, "this plan 48 V"), straight(400, 42, "Weir 42 V"), 390)
    named = (("this plan 48 V", "ink"), ("Weir 42 V", "soft"))
    for (x, y), (name, ink) in zip(ends_of_lines(picture), named, strict=True):
        (label,) = [one for one in labels(picture) if one.text == name]
        left, _, right, _ = label_frame(label)
        assert label.ink == ink and left - 20 <= x <= right + 20 and abs(label.y - y) < 60


def test_floors_that_differ_are_both_told_and_the_same_only_once():
    one = replace(straight(200, 48), floor_text="36 V below this, E stops")
    same = replace(straight(300, 44, "two"), floor_text="36 V below this, E stops")
    lower = replace(same, floor=30.0, floor_text="30 V below this, E stops")
    for other, told in ((same, 1), (lower, 2)):
        texts = [
            label.text for label in labels(two_lines(one, other, 390)) if "stops" in label.text
        ]
        assert len(texts) == told


def test_a_run_that_cannot_be_held_falls_to_the_floor():
    fallen = Course((Spot(0, 54, None, 55, "S"), Spot(900, box="E")), "two", 36.0)
    picture = two_lines(straight(200, 48), fallen, 390)
    assert len(ends_of_lines(picture)) == 1, "only what is held has its far end"
    line = next(s for s in picture.shapes if isinstance(s, Path) and s.stroke == "soft")
    assert line.points[1][1] > max(y for _, y in ends_of_lines(picture))


def points_of(shape: Any) -> list[tuple[float, float]]:
    match shape:
        case Path():
            return list(shape.points)
        case Line():
            return [(shape.x1, shape.y1), (shape.x2, shape.y2)]
        case Circle():
            return [(shape.x - shape.r, shape.y - shape.r), (shape.x + shape.r, shape.y + shape.r)]
        case Rect():
            return [(shape.x, shape.y), (shape.x + shape.w, shape.y + shape.h)]
        case Label():
            left, top, right, foot = label_frame(shape)
            return [(left, top), (right, foot)]
    raise AssertionError(shape)


@given(
    st.integers(0, 5_000),
    st.integers(0, 5_000),
    st.sampled_from([320.0, 390.0, 640.0]),
    st.sampled_from([1.0, 2.0]),
)
@settings(max_examples=20, deadline=None)
def test_any_two_plans_can_be_drawn_and_nothing_leaves_the_picture(one, two, width, letters):
    courses = [course(random_job(seed)) for seed in (one, two)]
    picture = two_lines(*courses, width, letters=letters)
    assert {type(shape) for shape in picture.shapes} <= {Path, Line, Circle, Rect, Label}
    for shape in picture.shapes:
        for x, y in points_of(shape):
            assert -1 <= x <= width + 1 and -1 <= y <= picture.height + 1, shape


def test_nothing_at_all_can_be_drawn():
    picture = two_lines(Course((), ""), Course((), ""), 390)
    assert picture.width == 390
