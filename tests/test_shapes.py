"""What the shapes say: every sign of the kit once, drawn by the kit, named and spoken in each language."""

from __future__ import annotations

import ast
from pathlib import Path as File

import pytest
from headless import Phone, drive
from samples import sample

import fieldapp.drawing.legend as legend
from engine.job import KINDS
from engine.jobfile import read_job
from engine.judge import judge
from fieldapp import words
from fieldapp.drawing.boxes import OUTLINES, box_shapes
from fieldapp.drawing.jacket import STATES, jacket
from fieldapp.drawing.knots import STATES as KNOTS
from fieldapp.drawing.legend import SIGNS, Said, sign
from fieldapp.drawing.marks import VERDICTS, conductor_ends, mark
from fieldapp.drawing.shapes import Circle, Label, Line, Path, Rect
from fieldapp.faces import text_width
from fieldapp.runline import run_line
from fieldapp.screens.shapes import GROUPS, LEFT, sides
from fieldapp.words.manner import LANGUAGES, Manner

SAID = Said(stop="sluice", at_m=207.0, figure=lambda value: f"{value:.1f}")
WIDTHS = (LEFT, 155.0, 280.0)


def test_every_sign_stands_on_the_page_once() -> None:
    shown = [key for group in GROUPS for key in group.signs]
    assert sorted(shown) == sorted(SIGNS)


def test_what_the_kit_can_say_is_all_there() -> None:
    """A kind, state, outline or verdict that comes to the kit comes to this page."""
    named = {*KINDS, *VERDICTS, *STATES, *(one for one in OUTLINES if one != "flat")}
    assert named <= SIGNS.keys()
    assert set(KNOTS) - {"free"} <= {"open": 1, "waived": 1, "plug": 1}.keys()


def test_the_page_has_no_shape_of_its_own() -> None:
    """Signs are put together from what the screens are drawn with; nothing is drawn here anew."""
    tree = ast.parse(File(legend.__file__).read_text(encoding="utf-8"))
    calls = {node.func.id for node in ast.walk(tree) if isinstance(node, ast.Call) and
             isinstance(node.func, ast.Name)}  # fmt: skip
    assert "box_shapes" in calls
    assert not calls & {"Line", "Path", "Rect", "Circle", "Label"}


def test_a_sign_is_the_very_one_of_the_screens() -> None:
    seen = sides()
    kit = {
        "inside": mark("inside", (LEFT - 78) / 2, 2, 1.5),
        "striped": jacket(((0, 12), (LEFT, 12)), "striped", 18),
        "odds": conductor_ends(7, 10, 0, 12, 5.0, 11.4),
        "joint": box_shapes("joint", ("flat", "flat"), LEFT / 2 - 25, 2, 50, 50),
    }
    for key, shapes in kit.items():
        assert set(shapes) <= set(sign(key, LEFT, seen, SAID).shapes), key


def test_sides_are_those_of_a_real_run() -> None:
    line = run_line(judge(read_job(sample("reedbed-hide"))))
    right_way = [box for box in line.boxes if not box.wrong and box.kind in sides()]
    assert {box.kind for box in right_way} >= {"source", "long-span", "arrestor"}
    for box in right_way:
        ours = sides()[box.kind]
        assert (box.left, box.right) in (ours, ours[::-1]), box.id


def frame(shape: object) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of a shape with its stroke."""
    match shape:
        case Path(points=points, width=width):
            xs, ys = zip(*points, strict=True)
            half = width / 2 if shape.cap == "round" or not shape.stroke else 0.0
            return min(xs) - half, min(ys) - half, max(xs) + half, max(ys) + half
        case Line():
            xs, ys = (shape.x1, shape.x2), (shape.y1, shape.y2)
            return min(xs), min(ys), max(xs), max(ys)
        case Circle(x=x, y=y, r=r, width=width):
            reach = r + width / 2
            return x - reach, y - reach, x + reach, y + reach
        case Rect():
            return shape.x, shape.y, shape.x + shape.w, shape.y + shape.h
        case Label():
            wide = text_width(shape.face, shape.size, shape.text)
            left = shape.x - {"start": 0.0, "middle": wide / 2, "end": wide}[shape.anchor]
            return left, shape.y - shape.size * 0.4, left + wide, shape.y + shape.size * 0.4
    raise AssertionError(shape)


@pytest.mark.parametrize("width", WIDTHS)
def test_no_sign_is_clipped_by_its_own_picture(width: float) -> None:
    """A canvas clips to its box. Cables may run off its edges, one dp on."""
    for key in SIGNS:
        picture = sign(key, width, sides(), SAID)
        for shape in picture.shapes:
            left, top, right, bottom = frame(shape)
            where = (key, shape)
            assert left >= -1.5 and right <= picture.width + 1.5, where
            assert top >= -1.5 and bottom <= picture.height + 1.5, where


@pytest.mark.parametrize("language", LANGUAGES)
def test_each_is_named_and_spoken(language: str) -> None:
    """One thing to a screen reader, not a picture and two texts; wide, and at 200 %."""

    async def journey() -> None:
        phone = await Phone.start()
        await phone.go("/settings")
        await phone.tap(f"language-{language}")
        await phone.tap("shapes")
        with words.speaking(Manner(language)):
            for size, scale, dark in (((1180, 820), 1, True), ((390, 844), 2, False)):
                await phone.wear(size=size, scale=scale, dark=dark)
                assert phone.route == "/shapes" and phone.shows(words.shapes_title())
                for key in SIGNS:
                    assert words.sign_name(key) in phone.texts(phone.find(f"sign-{key}"))
                    assert words.speak_sign(key) in phone.speech()
                assert len(phone.speech()) == len(SIGNS)
        await phone.tap("back")
        assert phone.route == "/settings"
        await phone.go("/shapes")
        await phone.back()
        assert phone.route == "/settings"
        phone.stop()

    drive(journey)
