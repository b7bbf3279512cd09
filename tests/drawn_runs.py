"""Runs to draw, and what every picture must keep."""

from itertools import pairwise
from math import isfinite
from xml.etree import ElementTree

from fieldapp.drawing.falling import falling_line
from fieldapp.drawing.fallscale import FallPoint
from fieldapp.drawing.letters import label_frame
from fieldapp.drawing.run import (
    RunBox,
    RunLine,
    RunSpan,
    RunStop,
)
from fieldapp.drawing.shapes import Circle, Label, Line, Path, Picture, Rect, parted
from fieldapp.drawing.svg import to_svg
from fieldapp.drawing.tokens import SUN
from fieldapp.faces import FACES

SIDES = {
    "source": ("flat", "jack"),
    "injector": ("jack", "jack"),
    "repeater": ("jack", "jack"),
    "long-span": ("round", "jack"),
    "arrestor": ("teeth", "jack"),
    "joint": ("flat", "flat"),
    "splitter": ("jack", "jack"),
    "endpoint": ("flat", "flat"),
}


def a_box(name: str, kind: str, at_m: float, stop: str, **more: object) -> RunBox:
    left, right = SIDES[kind]
    return RunBox(name, kind, at_m, stop, left, right, **more)


def reedbed(here: str = "hide") -> RunLine:
    """A made-up run: three stops, seven boxes, the second long span suspect."""
    row = (
        a_box("S", "source", 0, "hut"),
        a_box("L1", "long-span", 0, "hut"),
        a_box("A1", "arrestor", 0, "hut"),
        a_box("J1", "joint", 207, "sluice"),
        a_box("A2", "arrestor", 463, "hide"),
        a_box("L2", "long-span", 463, "hide"),
        a_box("C", "endpoint", 463, "hide"),
    )
    lengths = (2, 2, 202, 256, 2, 2)
    states = ("copper", "copper", "copper", "striped", "empty", "empty")
    spans = tuple(
        RunSpan(f"C{i}", a.id, b.id, lengths[i], states[i])
        for i, (a, b) in enumerate(pairwise(row))
    )
    stops = (
        RunStop("hut", "Hut", 0),
        RunStop("sluice", "Sluice", 207),
        RunStop("hide", "Hide", 463),
    )
    return RunLine(row, spans, stops, here)


def evenly(count: int, per_stop: int = 2, apart_m: float = 90.0) -> RunLine:
    """A run of this many boxes, so many at each stop."""
    row = tuple(
        a_box(
            f"B{i}",
            "source" if i == 0 else "endpoint" if i == count - 1 else "repeater",
            apart_m * (i // per_stop),
            f"s{i // per_stop}",
        )
        for i in range(count)
    )
    spans = tuple(
        RunSpan(f"C{i}", a.id, b.id, max(b.at_m - a.at_m, 2))
        for i, (a, b) in enumerate(pairwise(row))
    )
    last = (count - 1) // per_stop
    stops = tuple(RunStop(f"s{i}", f"Stop {i}", apart_m * i) for i in range(last + 1))
    return RunLine(row, spans, stops, f"s{last // 2}")


REED_VOLTS = {
    "S": FallPoint(53.2, 54.0, 54.4, reading=54.1, verdict="inside"),
    "L1": FallPoint(53.1, 53.9, 54.3),
    "A1": FallPoint(52.9, 53.8, 54.2),
    "J1": FallPoint(45.0, 49.6, 52.1, reading=49.7, verdict="inside"),
    "A2": FallPoint(37.8, 44.9, 50.0, 43.7, 46.0, 41.0, "outside", dimension="2.7 V low"),
    "L2": FallPoint(37.7, 44.8, 50.0, 43.6, 46.0),
    "C": FallPoint(37.6, 44.6, 49.9, 43.4, 45.9),
}
FLOOR = (36.0, "36 V below this, L2 stops")


def reed_fall(**more: object) -> Picture:
    options = {"selected": "A2", "width": 390.0, **more}
    return falling_line(reedbed(), REED_VOLTS, *FLOOR, **options)


def frame_of(shape: object) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of a shape's geometry (strokes not counted)."""
    if isinstance(shape, Path):
        xs, ys = zip(*shape.points, strict=True)
        return min(xs), min(ys), max(xs), max(ys)
    if isinstance(shape, Line):
        return (
            min(shape.x1, shape.x2),
            min(shape.y1, shape.y2),
            max(shape.x1, shape.x2),
            max(shape.y1, shape.y2),
        )
    if isinstance(shape, Circle):
        return shape.x - shape.r, shape.y - shape.r, shape.x + shape.r, shape.y + shape.r
    if isinstance(shape, Rect):
        return shape.x, shape.y, shape.x + shape.w, shape.y + shape.h
    assert isinstance(shape, Label)
    return label_frame(shape)


def tokens_of(shape: object) -> set[str]:
    names = {getattr(shape, name, None) for name in ("fill", "stroke", "ink", "halo")}
    return names - {None}


def check(picture: Picture, slack: float = 0.5) -> None:
    """Numbers are finite, tokens and faces known, all of it lies in the picture, touches suffice."""
    assert isfinite(picture.width) and isfinite(picture.height)
    for shape in picture.shapes:
        frame = frame_of(shape)
        assert all(isfinite(v) for v in frame), shape
        assert tokens_of(shape) <= SUN.keys(), shape
        if isinstance(shape, Label) and not shape.text:
            continue
        assert frame[0] >= -slack and frame[1] >= -slack, shape
        assert frame[2] <= picture.width + slack, shape
        assert frame[3] <= picture.height + slack, shape
        if isinstance(shape, Label):
            assert shape.face in FACES
    for touch in picture.touches:
        assert touch.w >= 56 and touch.h >= 56
        assert touch.x >= 0 and touch.y >= 0
        assert touch.x + touch.w <= max(picture.width, 56) + 1e-6
        assert touch.y + touch.h <= max(picture.height, 56) + 1e-6
    ElementTree.fromstring(to_svg(picture, SUN))


def words(picture: Picture) -> list[str]:
    return [shape.text for shape in picture.shapes if isinstance(shape, Label)]


def label(picture: Picture, text: str) -> Label:
    return next(s for s in picture.shapes if isinstance(s, Label) and s.text == text)


def pressed(picture: Picture, x: float, y: float) -> list[str]:
    """The keys of what a press there is given to, as a screen parts the areas."""
    return [
        one.key
        for one in parted(picture.touches)
        if one.x <= x <= one.x + one.w and one.y <= y <= one.y + one.h
    ]
