"""Windows other than a phone's: what stands where, how wide it is; and a keyboard beside the glass."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import flet as ft
import flet.canvas as cv
import pytest
from headless import Phone, drive, walk, warned
from left_jobs import left_job
from samples import sample

from engine.entries import VISIT_REASONS
from engine.jobfile import read_job
from engine.judge import judge
from fieldapp import words
from fieldapp.keyboard import ALIKE, MAIN, on_pad, pressed
from fieldapp.model import Model, OpenJob, Sheet
from fieldapp.paint import look_for
from fieldapp.routes import BAR
from fieldapp.screens.keypad import KEYS
from fieldapp.wide import LEFT, spoken_of
from fieldapp.window import COLUMN, TURNED, UPRIGHT, WIDE, has_list, shape_of

JOB = "/j/REEDBED-HIDE"
TABLET, LAPTOP, LYING = (1180, 820), (1240, 900), (844, 390)
LOW = {
    "id": "low",
    "t": "2031-06-03T07:10:00Z",
    "what": "reading",
    "at": "L2.in",
    "kind": "volts",
    "value": 41.0,
    "meter": "M1",
    "by": "Orla",
}
BESIDE = ("now", "now?step=fit.L2", "run", "run?at=A2.line", "leave", "steps", "power", "hand")
BESIDE += ("read/L2.in/volts", "read/C.in/mbps", "reel/C4", "reel/C4/ohms", "wires/C4")
BESIDE += (
    "verdict/low",
    "fault",
    "test/C5/loop_ohms",
    "sheets/A2",
    "newsheet/L2",
    "whatif/C4",
    "spans",
)
"""pages of a job with the line at the left"""
RIBBON = {"stop-hut", "stop-sluice", "stop-hide"}
ALONE = ("/", "/new", "/settings", "/samples", f"{JOB}/compare")


def reedbed(*log: dict) -> dict[str, Any]:
    return warned({**sample("reedbed-hide"), "log": list(log)})


async def opened(size: tuple[float, float], *log: dict, link: str = "") -> Phone:
    return await Phone.start(docs=(reedbed(*log),), size=size, link=link)


def wide_things(phone: Phone, most: float) -> list[tuple[Any, float]]:
    """What is wider than its column, but for lines that scroll sideways."""
    rows = [c for c in phone.controls() if isinstance(c, ft.Row) and c.scroll]
    scrolled = {id(one) for row in rows for one in walk(row)}
    return [
        (c.key, c.width)
        for c in phone.controls()
        if isinstance(getattr(c, "width", None), int | float)
        and c.width > most + 0.01
        and id(c) not in scrolled
    ]


def canvases(phone: Phone) -> list[cv.Canvas]:
    return [control for control in phone.controls() if isinstance(control, cv.Canvas)]


# ---------------------------------------------------------------- the shape of a window


@pytest.mark.parametrize(
    ("width", "height", "shape"),
    [
        (390, 844, UPRIGHT),
        (390, 380, UPRIGHT),  # the phone's own keys are up
        (768, 1024, UPRIGHT),
        (839, 820, UPRIGHT),
        (840, 820, WIDE),
        (840, 480, WIDE),
        (844, 390, TURNED),
        (568, 320, TURNED),
        (1240, 479, TURNED),
    ],
)
def test_the_size_of_a_window_alone_says_its_shape(width, height, shape):
    look = look_for(False, width, height, 1.0)

    assert shape_of(width, height) == look.shape == shape
    assert look.whole == width
    assert look.width <= (width if shape == UPRIGHT else width / 2 if shape == TURNED else COLUMN)


def test_the_plan_has_its_third_column_from_1240():
    assert [has_list(w, 900) for w in (840, 1239, 1240, 2000)] == [False, False, True, True]
    assert not has_list(1300, 400)


# ---------------------------------------------------------------- two columns


def test_beside_each_page_of_a_job_stand_the_line_and_one_bar():
    async def journey() -> None:
        phone = await opened(TABLET, LOW)
        for page in BESIDE:
            for size in ((840, 600), (1920, 1080)):
                await phone.wear(size=size)
                await phone.go(f"{JOB}/{page}")
                keys, most = list(phone.keys), min(COLUMN, max(size[0] - LEFT - 2.5, LEFT))
                assert {"to-jobs", "to-plan", "box-S", "box-L2"} <= set(keys), (page, keys)
                assert [keys.count(f"bar-{place}") for place in BAR] == [1, 1, 1], page
                assert not RIBBON & set(keys), f"{page}: the ribbon shows the same again"
                assert len(keys) == len(set(keys)), (page, sorted(keys))
                assert not wide_things(phone, most), (page, size)
        phone.stop()

    drive(journey)


def test_a_page_without_a_line_is_one_column_that_is_not_stretched():
    async def journey() -> None:
        phone = await opened((1920, 1080), link=f"{JOB}/now")
        for route in ALONE:
            await phone.go(route)
            assert phone.route == route
            assert not phone.has("box-S"), route
            assert not wide_things(phone, COLUMN), route
        phone.stop()

    drive(journey)


def test_a_press_on_the_line_leads_to_run_there_and_the_line_stays():
    async def journey() -> None:
        phone = await opened(TABLET, LOW, link=f"{JOB}/leave")
        before = canvases(phone)[0].height
        await phone.tap("box-J1")

        assert phone.route == f"{JOB}/run?at=J1.a"
        assert canvases(phone)[0].height == before
        rows = [key for key in phone.keys if key.startswith("at-")]
        assert rows[0] == "at-S.out" and rows[-1] == "at-C.in" and "at-L2.in" in rows
        await phone.tap("at-L2.in")
        assert phone.route == f"{JOB}/run?at=L2.in"
        assert phone.shows(words.VERDICTS["outside"])
        phone.stop()

    drive(journey)


@pytest.mark.parametrize(
    ("page", "box"),
    [
        ("verdict/low", "L2"),
        ("read/A2.line/volts", "A2"),
        ("read/EB1/ohms", None),
        ("now?step=fit.L1", "L1"),
        ("now?step=pull.C4", "A2"),  # a cable is marked at its far end
        ("wires/C3", "J1"),
        ("run", "L2"),
        ("sheets/A1", "A1"),
        ("leave", None),
        ("spans", None),
    ],
)
def test_what_a_page_speaks_of_is_marked_on_the_line(page, box):
    assert spoken_of(at(page)) == box


def test_a_hold_that_is_asked_about_is_marked_on_the_line():
    hold = next(one for one in at("leave").job.judgement.holds if one.at == "A2")

    assert spoken_of(replace(at("leave"), sheet=Sheet("waive", hold.id))) == "A2"
    assert spoken_of(replace(at("leave"), sheet=Sheet("odd", ""))) is None


@cache
def job() -> OpenJob:
    file = read_job(reedbed(LOW))
    return OpenJob(file.plan.id, file, judge(file))


def at(page: str) -> Model:
    """The model on a page of the job."""
    return Model(route=f"{JOB}/{page}", job=job())


def test_the_keys_of_a_pad_keep_their_size_at_the_lower_right():
    async def journey() -> None:
        phone = await opened(LAPTOP, link=f"{JOB}/read/L2.in/volts")
        pads = [c for c in phone.controls() if isinstance(c, ft.Container) and c.width == 390]

        assert len(pads) == 1
        on_it = [c for c in walk(pads[0]) if isinstance(c, ft.Button)]
        assert [c.height for c in on_it] == [72.0] * 12
        assert not [c for c in walk(pads[0]) if str(getattr(c, "key", "")).startswith("standing")]
        assert phone.has("standing-open") and phone.has("meter")
        phone.stop()

    drive(journey)


def row_with(phone: Phone, *keys: str) -> ft.Row | None:
    """A row that holds all of these."""
    every = (c for c in phone.controls() if isinstance(c, ft.Row))
    within = ((row, {getattr(one, "key", None) for one in walk(row)}) for row in every)
    return next((row for row, there in within if set(keys) <= there and "keep" not in there), None)


def test_beside_the_keys_stands_what_else_is_chosen_there():
    """Above them it would be pushed out of the window."""

    async def journey() -> None:
        phone = await opened(TABLET, link=f"{JOB}/reel/C4/ohms")
        assert row_with(phone, "meter", "key-1")
        await phone.wear(size=(390, 844))
        assert phone.has("meter") and not row_with(phone, "meter", "key-1")
        phone.stop()

    drive(journey)


def test_the_plan_goes_across_and_its_third_column_tries_the_sheets():
    async def journey() -> None:
        phone = await opened(TABLET, link=f"{JOB}/plan/A2")
        assert phone.has("plan-A2") and not phone.has("box-S")
        assert not [key for key in phone.keys if key.startswith("sheet-")]
        assert TABLET[0] in [drawn.width for drawn in canvases(phone)]

        await phone.wear(size=LAPTOP)
        await phone.go(f"{JOB}/plan/C4")
        rows = [key for key in phone.keys if key.startswith("sheet-")]
        assert len(rows) > 3
        for _ in range(10):
            await phone.settle()
        assert not phone.shows(words.sheet_trying()), "a sheet was not tried"
        column = (LAPTOP[0] - 5) / 3
        assert not [one for one in wide_things(phone, column) if one[1] not in (LAPTOP[0],)]
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- a phone on its side


def test_a_phone_on_its_side_has_two_halves_and_no_ribbon():
    async def journey() -> None:
        phone = await opened(LYING, LOW)
        for page in (*BESIDE, "plan", "plan/A2"):
            await phone.go(f"{JOB}/{page}")
            await phone.wear(scale=2.0)
            assert not wide_things(phone, LYING[0] / 2), f"{page} in large letters"
            await phone.wear(scale=1.0)
            assert not RIBBON & set(phone.keys), page
            assert not wide_things(phone, LYING[0] / 2), page
            if phone.has("bar-now"):
                bar = [phone.find(f"bar-{place}") for place in BAR]
                assert [button.height for button in bar] == [56.0] * 3, page
                assert [button.expand for button in bar] == [None] * 3, "rows, not columns"
        await phone.go(f"{JOB}/run")
        assert phone.has("bar-now") and phone.has("box-S")
        phone.stop()

    drive(journey)


def test_on_a_phone_on_its_side_all_that_answers_is_beside_the_words():
    """Reasons for coming back two by two, over the three rows of the bar; speeds at the thumb."""

    async def journey() -> None:
        phone = await Phone.start(docs=(warned(left_job()),), size=LYING, link=f"{JOB}/now")
        reasons = [f"visit-{reason}" for reason in VISIT_REASONS]
        for pair in zip(reasons[::2], reasons[1::2], strict=True):
            row = next(
                c
                for c in phone.controls()
                if isinstance(c, ft.Row)
                and [getattr(one, "key", "") for one in c.controls] == [*pair]
            )
            assert all(button.height == 60 and button.expand for button in row.controls)
        phone.stop()
        phone = await opened(LYING, link=f"{JOB}/read/C.in/mbps")
        assert row_with(phone, "back", "speed-0")
        phone.stop()

    drive(journey)


def test_for_the_left_hand_keys_and_bar_lie_at_the_left():
    async def journey() -> None:
        for size, key in ((LYING, "bar-now"), (TABLET, "key-1")):
            phone = await opened(size, link=f"{JOB}/read/L2.in/volts")
            sides = {}
            for hand in ("right", "left"):
                await phone.go("/settings")
                await phone.tap(f"hand-{hand}")
                await phone.go(f"{JOB}/now" if key == "bar-now" else f"{JOB}/read/L2.in/volts")
                row = next(
                    c
                    for c in phone.controls()
                    if isinstance(c, ft.Row)
                    and len(c.controls) == 2
                    and any(getattr(one, "key", None) == key for one in walk(c))
                    and sum(phone.find(key) in [*walk(one)] for one in c.controls) == 1
                )
                sides[hand] = [phone.find(key) in [*walk(one)] for one in row.controls]
            assert sides == {"right": [False, True], "left": [True, False]}, key
            phone.stop()

    drive(journey)


# ---------------------------------------------------------------- a keyboard


async def key(phone: Phone, *names: str, **held: bool) -> None:
    """Keys of a keyboard, by the names that the client gives them."""
    for name in names:
        data = {"key": name, "shift": False, "ctrl": False, "alt": False, "meta": False, **held}
        await phone.fire(phone.page, "keyboard_event", data)


def test_a_keyboard_types_on_the_pad_and_enter_keeps():
    async def journey() -> None:
        phone = await opened(TABLET, link=f"{JOB}/read/L2.in/volts")
        await key(phone, "4", "Numpad 8", ",", "3", "Backspace", "5")
        assert phone.shows("48.5")
        await key(phone, "9", ctrl=True)
        assert not phone.shows("48.59"), "the browser's own key"
        await key(phone, "Enter")

        assert phone.route.startswith(f"{JOB}/verdict/")
        assert phone.shows(words.with_unit(48.5))
        phone.stop()

    drive(journey)


def test_each_key_is_kept_before_the_next():
    async def journey() -> None:
        phone = await opened(TABLET, link=f"{JOB}/read/L2.in/volts")
        for name, shown in (("4", "4"), ("7", "47"), ("Numpad Decimal", "47."), ("2", "47.2")):
            await key(phone, name)
            disk, world = phone.disk, phone.world
            phone.kill()
            phone = await Phone.start(disk, world, size=TABLET)
            assert phone.route == f"{JOB}/read/L2.in/volts"
            assert phone.shows(f"typing {shown}{words.NBSP}") or phone.shows(f"typing {shown} ")
        await key(phone, "Enter")
        assert phone.shows(words.with_unit(47.2))
        phone.stop()

    drive(journey)


@pytest.mark.parametrize(
    ("link", "typed", "shown", "then"),
    [
        ("/new", "240", "240", "/new"),
        (f"{JOB}/reel/C4/ohms", "36.9", "36.9", f"{JOB}/reel/C4/first"),
        (f"{JOB}/reel/C4/first", "391", "391", f"{JOB}/reel/C4/second"),
    ],
)
def test_every_pad_takes_a_keyboard(link, typed, shown, then):
    async def journey() -> None:
        phone = await opened(TABLET, link=f"{JOB}/now")
        await phone.go(link)
        await key(phone, *typed)
        assert phone.shows(shown)
        await key(phone, "Enter")

        assert phone.route == then
        phone.stop()

    drive(journey)


def test_enter_is_the_other_button_s_once_one_has_gone_there():
    async def journey() -> None:
        phone = await opened(TABLET, link=f"{JOB}/read/L2.in/volts")
        await key(phone, "4", "8", "Tab", "Enter")
        assert phone.route == f"{JOB}/read/L2.in/volts", "Enter was that of the other button"
        await phone.tap("keep")  # as Enter on it does
        assert "/verdict/" in phone.route

        await phone.go(f"{JOB}/read/L2.in/volts")
        await key(phone, "4", "8", "Enter")
        assert "/verdict/" in phone.route, "on a new page Enter keeps again"
        phone.stop()

    drive(journey)


def test_a_keyboard_leaves_fields_and_sheets_alone():
    async def journey() -> None:
        phone = await opened(TABLET, link=f"{JOB}/leave")
        await phone.tap("waive-step.fit.L2")
        await key(phone, "4", "Backspace", "Enter")
        assert phone.has("waive-it") and phone.route == f"{JOB}/leave"

        await phone.go(f"{JOB}/read/L2.in/volts")
        await key(phone, "4")
        await phone.tap("point")
        await key(phone, "7", "Enter")
        assert phone.has("point-A2.line")
        await key(phone, "Escape")
        assert phone.shows(words.typed_with_unit("4", "volts")), "the digits stayed as they were"
        phone.stop()

    drive(journey)


def test_escape_is_back():
    async def journey() -> None:
        phone = await opened(TABLET, link=f"{JOB}/plan/A2")
        places = [phone.route]
        for _ in range(4):
            await key(phone, "Escape")
            places.append(phone.route)

        assert places[1:] == [f"{JOB}/run", "/", "/", "/"]
        phone.stop()

    drive(journey)


def test_of_a_pad_only_what_can_be_pressed_answers():
    def button(mark: str, press: Any = None, **more: Any) -> ft.Button:
        return ft.Button("", data=mark, on_click=press, disabled=press is None, **more)

    hits: list[str] = []
    pad = [
        button(on_pad(name), lambda name=name: hits.append(name)) for row in KEYS for name in row
    ]
    waits = ft.Column([*pad, button(MAIN)])
    ready = ft.Column([*pad, button(MAIN, lambda: hits.append("main"))])

    assert pressed([waits], "Enter") is None
    assert pressed([ready], "Enter", moved=True) is None
    for name in (*"0123456789.", *ALIKE, "Numpad Enter", "Enter"):
        pressed([ready], name)()
    assert hits == [*"0123456789.", *ALIKE.values(), "main", "main"]
    assert pressed([ready], "F5") is None
    assert pressed([ft.Column([button(MAIN, lambda: None)])], "Enter") is None, "no pad, no keys"
    assert pressed([ready, ft.TextField()], "4") is None, "a field has the keys"
    assert pressed([ft.Container(ready, visible=False)], "4") is None
