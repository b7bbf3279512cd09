"""A line wider than its column is moved until what is chosen on it is seen, and not further."""

from __future__ import annotations

import flet as ft
import pytest
from headless import Phone, drive
from plan_jobs import of_boxes

from fieldapp.longline import KEY
from fieldapp.sideways import SEEN, wanted

JOB = "/j/BOXES-40"
SEEN_WIDE = 390.0


@pytest.mark.parametrize(
    ("target", "moved", "to"),
    [
        (None, 120, 120),  # nothing chosen: it stays
        (300, 120, 120),  # seen where it is
        (120 + SEEN - 1, 120, 0),  # at the very edge is not seen
        (1000, 120, 1000 - SEEN_WIDE / 2),
        (5, 900, 0),  # never before its beginning
        (2195, 0, 2200 - SEEN_WIDE),  # nor past its end
        (None, 5000, 2200 - SEEN_WIDE),  # what it was moved to on a narrower column
    ],
)
def test_a_line_is_moved_only_as_far_as_it_takes(target, moved, to):
    assert wanted(target, moved, 2200, SEEN_WIDE) == to


def offsets(phone: Phone) -> list[float]:
    """How far the line was moved, one time after the other."""
    return [args["offset"] for name, args in phone.calls if name == "scroll_to"]


def middle_of(phone: Phone, key: str) -> float:
    """Where a part of the line that can be pressed is. [dp]"""
    area = next(
        one
        for one in phone.controls()
        if isinstance(one, ft.Container) and getattr(one.content, "key", None) == key
    )
    return area.left + area.content.width / 2


@pytest.mark.parametrize(
    ("page", "key"),
    [("plan/C30", "plan-+C30"), ("plan/J30", "plan-J30"), ("run?at=J30.a", "box-J30")],
)
@pytest.mark.parametrize("size", [(390, 844), (844, 390), (1180, 820)])
def test_what_is_chosen_on_a_long_line_is_brought_into_sight(page, key, size):
    async def act() -> None:
        phone = await Phone.start(docs=(of_boxes(40),), size=size, link=f"{JOB}/{page}")
        row = phone.find(KEY)
        at, width = middle_of(phone, key), row.data[1]
        assert offsets(phone)[-1] == width > 0
        seen = at - offsets(phone)[-1]
        assert SEEN <= seen <= size[0] - SEEN
        await phone.go(f"{JOB}/{page.replace('30', '2')}")
        assert offsets(phone)[-1] == 0

    drive(act)


def test_a_line_that_a_finger_moved_stays_while_what_is_chosen_is_in_sight():
    async def act() -> None:
        phone = await Phone.start(docs=(of_boxes(40),), link=f"{JOB}/plan")
        assert offsets(phone)[-1] == 0
        for kind in ("start", "update", "end"):
            moved = {"event_type": kind, "pixels": 700.0, "min_scroll_extent": 0.0}
            moved |= {"max_scroll_extent": 1800.0, "viewport_dimension": 390.0}
            await phone.fire(phone.find(KEY), "scroll", moved)
        boxes = [key for key in phone.keys if key.startswith("plan-J")]
        await phone.tap(min(boxes, key=lambda key: abs(middle_of(phone, key) - 900)))
        assert offsets(phone)[-1] == 700
        await phone.go(f"{JOB}/run?at=J2.a")  # another screen has a line of its own
        assert offsets(phone)[-1] == 0

    drive(act)


def test_a_line_that_has_room_does_not_scroll():
    async def act() -> None:
        phone = await Phone.start(docs=(of_boxes(2),), link="/j/BOXES-2/plan")
        assert not offsets(phone)
        assert not phone.has(KEY)

    drive(act)
