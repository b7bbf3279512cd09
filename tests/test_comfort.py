"""What makes the app bearable in a glove: what is felt, light, letters, the left hand, motion."""

from __future__ import annotations

import asyncio
from typing import Any

import flet as ft
import flet.canvas as cv
import pytest
from headless import Phone, drive, warned
from messages_sent import R, after, kept, model_at, open_job
from samples import sample

from engine.design_band import band_for
from engine.jobfile import read_job
from engine.judge import judge
from engine.network import AS_PLANNED
from engine.say import say
from fieldapp import messages as m
from fieldapp.comfort import MOST, RUN_SECONDS, letters_scale
from fieldapp.drawing.ribbon import cores, ribbon
from fieldapp.drawing.shapes import Path
from fieldapp.drawing.tokens import DARK, SUN
from fieldapp.haptics import PULSES, Comforts
from fieldapp.means import comforts_of
from fieldapp.model import Model
from fieldapp.paint import look_for
from fieldapp.parts import text
from fieldapp.runline import run_line
from fieldapp.services import Services
from fieldapp.settings import CHOICES, Settings
from fieldapp.update import update

READING, STEPS, WIRES = f"{R}/read/L2.in/volts", f"{R}/steps", f"{R}/wires/C3"


def buzzes(effects: Any) -> list[str]:
    return [one.how for one in effects if isinstance(one, m.Buzz)]


def typed(digits: str, model: Model) -> tuple[Model, list[Any]]:
    return after(model, *(m.KeyPressed(key) for key in digits))


def answered(digits: str, **more: Any) -> tuple[Model, tuple[Any, ...]]:
    """A figure of L2 has come back from the journal."""
    model, effects = after(typed(digits, model_at(READING, **more))[0], m.KeepPressed())
    return update(model, kept(effects))


# ---------------------------------------------------------------- what is felt of a press

KEYS = tuple(m.KeyPressed(key) for key in "4.")
FELT = {
    "a digit": (READING, (m.KeyPressed("4"),), ["key"]),
    "a digit rubbed out": (READING, (m.KeyPressed("4"), m.KeyPressed("rub")), ["key"]),
    "nothing to rub out": (READING, (m.KeyPressed("rub"),), ["refused"]),
    "a second point": (READING, (*KEYS, m.KeyPressed(".")), ["refused"]),
    "no pad": (STEPS, (m.KeyPressed("4"),), []),
    "a key of a new run": ("/new", (m.NewKey("4"),), ["key"]),
    "on without a distance": ("/new", (m.NewPicked("asked", "load"),), ["refused"]),
    "not kept": (READING, (*KEYS, m.NotKept(say("told-full"))), ["refused"]),
    "a code that names nothing": ("/", (m.CodeTyped("none"), m.CodePressed()), ["refused"]),
    "a step": (STEPS, (m.StepPressed("meter.site", "done"),), []),
    "news of the world": (STEPS, (m.Told(say("told-torn")),), []),
    "a way": (STEPS, (m.Go("/"),), []),
}
"""where one is, what happens, and what is felt of the last of it"""


@pytest.mark.parametrize("case", FELT)
def test_what_is_felt_of_a_press(case):
    route, messages, felt = FELT[case]
    model, _ = after(model_at(route), *messages[:-1])
    assert buzzes(update(model, messages[-1])[1]) == felt


READINGS = (("S.out", 53.9), ("L1.in", 53.8), ("J1.a", 51.6), ("A2.line", 47.7), ("L2.in", 30.0))
"""of the sample, from the feed outwards"""


def test_what_is_felt_of_a_reading_that_was_kept_goes_by_its_word():
    """And it is seen: the page of the verdict follows."""
    model, met = model_at(READING), {}
    for count, (at, value) in enumerate(READINGS):
        body = {"id": f"r{count}", "what": "reading", "kind": "volts"}
        entry = {**body, "at": at, "value": value, "meter": "M1", "n": 90 + count, "device": "d"}
        model, effects = update(model, m.Kept("REEDBED-HIDE", (entry,), "14:32"))
        found = {one.reading.id: one.verdict for one in model.job.judgement.verdicts}
        met.setdefault(found[f"r{count}"], []).append(buzzes(effects))
        assert model.route.endswith(f"/verdict/r{count}")
    assert met.keys() == {"inside", "unclear", "outside"}
    assert all(
        one == (["inside"] if word == "inside" else ["other"])
        for word, those in met.items()
        for one in those
    )


def test_nothing_is_felt_where_buzz_is_off():
    off = Settings(buzz="off")
    for route, messages, _ in FELT.values():
        assert not buzzes(after(model_at(route, settings=off), *messages)[1])
    assert not buzzes(answered("30.0", settings=off)[1])


def test_a_buzz_is_pulses_of_the_motor_and_a_dead_motor_stops_nothing():
    felt: list[str] = []
    sent: list[Any] = []

    async def pulses(names: tuple[str, ...]) -> None:
        felt.extend(names)

    async def dead(*_: Any) -> Any:
        raise TimeoutError

    async def all_of(comforts: Comforts) -> None:
        services = Services(None, comforts=comforts)
        for effect in (*map(m.Buzz, PULSES), m.StayAwake(True), m.AskWishes()):
            await services.perform(effect, sent.append)

    for comforts in (Comforts(pulses=pulses), Comforts(dead, dead, dead), Comforts()):
        asyncio.run(all_of(comforts))
    assert felt == ["selection_click", "medium_impact", *2 * ["heavy_impact"], "vibrate"]
    assert not sent


def test_a_client_that_never_answers_is_not_waited_for(monkeypatch):
    """The real services are there once a page, and each call ends by itself."""
    monkeypatch.setattr("fieldapp.means.PATIENCE", 0.01)

    async def journey() -> None:
        phone = await Phone.start()
        asked = []

        async def silent(_control: int, name: str, *_: Any) -> None:
            asked.append(name)
            await asyncio.Event().wait()

        phone.session.invoke_method = silent
        before = len(phone.page.services)
        comforts = comforts_of(phone.page)
        assert len(phone.page.services) == before + 3
        for names in PULSES.values():
            with pytest.raises(TimeoutError):
                await comforts.pulses(names)
        with pytest.raises(TimeoutError):
            await comforts.wishes()
        with pytest.raises(TimeoutError):
            await comforts.lit(True)
        assert asked == [
            *(names[0] for names in PULSES.values()),
            "get_accessibility_features",
            "enable",
        ]
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- a lit screen


def test_the_screen_stays_lit_where_it_was_chosen_and_over_the_wires():
    def lit(effects: Any) -> list[bool]:
        return [one.on for one in effects if isinstance(one, m.StayAwake)]

    model, effects = after(model_at(STEPS), m.Go(WIRES), m.Go(STEPS))
    assert lit(effects) == [True, False]
    model, effects = after(model, m.SettingPicked("awake", "on"), m.Go(WIRES), m.Go(STEPS))
    assert lit(effects) == [True]
    assert lit(after(model, m.CameBack())[1]) == [True], "a phone forgets it out of sight"
    assert lit(after(model, m.SettingPicked("awake", "off"))[1]) == [False]
    started = Model(settings=Settings(awake="on"))
    assert lit(after(started, m.LookChanged(False))[1]) == [True], "from the start"
    assert lit(after(model_at(STEPS), m.CameBack())[1]) == []


# ---------------------------------------------------------------- what the phone was asked for


def colours(phone: Phone) -> set[str]:
    """Of letters and outlines, drawings left out."""
    styles = [one.style for one in phone.controls() if getattr(one, "style", None) is not None]
    return {style.color for style in styles if isinstance(style.color, str)}


def test_wishes_are_asked_for_at_the_start_and_when_one_comes_back():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("orchard-gate"),), link="/j/ORCHARD-GATE/now")
        assert SUN["soft"] in colours(phone)
        phone.wishes = (True, True)
        await phone.fire(phone.page, "app_lifecycle_state_change", {"state": "inactive"})
        assert SUN["soft"] in colours(phone), "asked only when it is in sight again"
        await phone.fire(phone.page, "app_lifecycle_state_change", {"state": "resume"})
        assert SUN["soft"] not in colours(phone)
        await phone.wear(dark=True)
        assert DARK["soft"] not in colours(phone) and DARK["ink"] in colours(phone)
        phone.wishes = (False, False)
        await phone.fire(phone.page, "app_lifecycle_state_change", {"state": "resume"})
        assert DARK["soft"] in colours(phone)
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- letters


@pytest.mark.parametrize("phone", [0.85, 1.0, 1.3, 1.7, 2.0, 2.6])
def test_letters_grow_by_choice_and_never_beyond_what_screens_hold(phone):
    as_asked, larger, largest = (letters_scale(phone, one) for one in CHOICES["letters"])
    assert as_asked == phone <= larger <= largest <= max(MOST, phone)
    assert largest == max(phone, min(1.6 * phone, MOST))


@pytest.mark.parametrize("letters", CHOICES["letters"])
@pytest.mark.parametrize("phone", [1.0, 1.4, 2.0])
def test_the_app_does_what_the_phone_does_not_and_caps_hold_for_the_total(phone, letters):
    """What Flet is given, times what it multiplies by itself, is what was meant."""
    total = letters_scale(phone, letters)
    look = look_for(False, 390, 844, total, phone=phone)
    for size, cap in ((18, 2.0), (22, 1.5), (124, 1.0)):
        given = text(look, "Volts", size, cap=cap).style.size
        assert given * phone == pytest.approx(size * min(total, cap))
    strong = text(look, "at **A2**", 18).spans
    for span in strong:
        assert span.style.size * phone == pytest.approx(18 * min(total, 2.0))


def test_chosen_letters_reach_words_and_drawings():
    """Words and canvas letters are as on a phone that asks for as much by itself."""

    async def sizes(phone_scale: float, letters: str) -> tuple[Any, ...]:
        phone = await Phone.start(
            docs=(warned(sample("reedbed-hide")),),
            link=f"{R}/now",
            settings={"letters": letters},
            scale=phone_scale,
        )
        phone.stop()
        words = {
            (one.value, round(one.style.size * phone_scale, 3))
            for one in phone.controls()
            if isinstance(one, ft.Text) and one.value
        }
        drawn = {
            (one.value, round(one.style.size, 3))
            for one in phone.controls()
            if isinstance(one, cv.Text)
        }
        return words, drawn

    async def journey() -> None:
        plain = await sizes(1.6, "phone")
        assert plain[0] and plain[1]
        assert await sizes(1.0, "largest") == plain
        assert await sizes(1.0, "phone") != plain

    drive(journey)


# ---------------------------------------------------------------- the hand


def test_the_left_hand_has_its_buttons_at_its_side():
    def order(phone: Phone, *keys: str) -> list[str]:
        return [key for key in phone.keys if key in keys]

    async def journey() -> None:
        docs = (warned(sample("reedbed-hide")),)
        seen: dict[str, list[list[str]]] = {}
        for hand in CHOICES["hand"]:
            phone = await Phone.start(docs=docs, settings={"hand": hand})
            seen[hand] = [order(phone, "new", "settings")]
            await phone.go(f"{R}/run")
            seen[hand].append(order(phone, "to-jobs", "to-plan", "bar-now", "bar-run"))
            await phone.go(READING)
            seen[hand].append(order(phone, "key-7", "key-9", "key-.", "key-0", "key-rub"))
            phone.stop()
        assert seen["right"] == [
            ["new", "settings"],
            ["to-jobs", "to-plan", "bar-now", "bar-run"],
            ["key-7", "key-9", "key-.", "key-0", "key-rub"],
        ]
        assert seen["left"] == [
            ["settings", "new"],
            ["to-plan", "to-jobs", "bar-now", "bar-run"],
            ["key-7", "key-9", "key-rub", "key-0", "key-."],
        ]

    drive(journey)


# ---------------------------------------------------------------- the one thing that moves


def covers(phone: Phone) -> list[ft.Container]:
    return [one for one in phone.controls() if isinstance(one, ft.Container) and one.animate]


def moves(phone: Phone) -> list[Any]:
    """All that Flet would move by itself."""
    return [
        (type(one).__name__, name)
        for one in phone.controls()
        for name in vars(one).keys() | one._values.keys()
        if name.startswith("animate") and (vars(one) | one._values)[name]
    ]


@pytest.mark.parametrize("still", [False, True])
def test_copper_runs_into_what_was_proven_unless_less_motion_is_asked_for(still):
    async def journey() -> None:
        job = "/j/ORCHARD-GATE"
        doc = warned({**sample("orchard-gate"), "log": []})
        phone = await Phone.start(docs=(doc,), link=f"{job}/now")
        phone.wishes = (still, False)
        await phone.fire(phone.page, "app_lifecycle_state_change", {"state": "resume"})
        judged = judge(read_job(doc))
        volts = {
            at: band_for(judged.state, judged.prediction, at, "volts", AS_PLANNED)
            for at in ("S.out", "R1.in")
        }
        assert not moves(phone)
        for at, band in volts.items():
            await phone.go(f"{job}/read/{at}/volts")
            await phone.digits(f"{band.expected:.1f}")
            await phone.tap("keep")
            assert "/verdict/" in phone.route
        if still:
            assert not moves(phone)
            phone.world.let_go()
            await phone.settle()
            assert not moves(phone)
            phone.stop()
            return
        (cover,) = covers(phone)
        whole = cover.width
        assert whole > 40 and cover.bgcolor == SUN["ground"], "still empty"
        assert moves(phone) == [("Container", "animate")]
        assert cover.animate.duration == 1000 * RUN_SECONDS == 400
        phone.world.let_go()
        await phone.settle()
        (cover,) = covers(phone)
        assert cover.width == 0, "and now it is drawn back"
        phone.world.let_go()
        await phone.settle()
        assert not moves(phone), "nothing is left over the copper"
        phone.stop()

    drive(journey)


def test_the_cover_is_the_inside_of_the_jacket():
    """In the ribbon the empty inside lies where the cover will: same place, same height."""
    job = open_job()
    line = run_line(job.judgement)
    for letters in (1.0, 2.0):
        picture = ribbon(line, 390, "a", "b", letters=letters)
        for core in cores(line, 390, {span.id for span in line.spans}, letters=letters):
            y = core.y + core.h / 2
            assert any(
                isinstance(one, Path)
                and one.stroke == "ground"
                and one.width == core.h
                and {round(v, 6) for _, v in one.points} == {round(y, 6)}
                and min(x for x, _ in one.points) <= core.x
                and max(x for x, _ in one.points) >= core.x + core.w
                for one in picture.shapes
            )
