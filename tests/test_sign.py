"""Signing in the app without a browser: who signs, the strokes of a finger, what comes of it."""

from __future__ import annotations

import dataclasses
import re
from itertools import pairwise
from random import Random

import flet as ft
import pytest
from headless import Phone, drive, walk, warned
from samples import sample

from engine.jobfile import read_job
from engine.judge import judge
from engine.signed import signatures
from engine.strokes import ACROSS, DOWN, MOST_POINTS, MOST_STROKES
from fieldapp import messages as m
from fieldapp import words
from fieldapp.drawing.shapes import Circle, Path
from fieldapp.drawing.signature import PIECE, signature, signing_field
from fieldapp.halfdone import Signing
from fieldapp.handover.html import html
from fieldapp.handover.page import Blank, Drawing, Paragraph
from fieldapp.handover.record import record
from fieldapp.model import Model, OpenJob
from fieldapp.settings import Settings
from fieldapp.signing import THIN, _off, sign_draft, signing_from, thinned
from fieldapp.update import update

JOB = "/j/REEDBED-HIDE"
WIDTH = 390 - 32


def at(x: float, y: float) -> dict:
    """Where a finger is, as the client says it."""
    return {"l": {"x": x, "y": y}, "g": {"x": x, "y": y}, "k": "touch"}


async def draw(phone: Phone, *points: tuple[float, float], lift: bool = True) -> None:
    """A finger goes over the field."""
    first, *rest = points
    await phone.fire(phone.find("sign-field"), "pan_down", at(*first))
    for point in rest:
        await phone.fire(phone.find("sign-field"), "pan_update", at(*point))
    if lift:
        data = {"l": {"x": 0.0, "y": 0.0}, "g": {"x": 0.0, "y": 0.0}, "v": {"x": 0.0, "y": 0.0}}
        await phone.fire(phone.find("sign-field"), "pan_end", data)


def log_of(phone: Phone) -> list[dict]:
    return list(phone.shelf.journals["REEDBED-HIDE"].records[1:])


def kept_signs(phone: Phone) -> list[dict]:
    return [one for one in log_of(phone) if one["what"] == "sign"]


def state_of(phone: Phone):
    plan, *log = phone.shelf.journals["REEDBED-HIDE"].records
    return judge(read_job({**plan, "log": list(log)})).state


def job(*log: dict, name: str = "") -> Model:
    doc = {**sample("reedbed-hide"), "log": list(log)}
    file = read_job(doc)
    opened = OpenJob("REEDBED-HIDE", file, judge(file))
    return Model(job=opened, route=f"{JOB}/sign", settings=Settings(name=name))


def after(model: Model, *messages) -> Model:
    for message in messages:
        model, _ = update(model, message)
    return model


# ---------------------------------------------------------------- on the page


def test_somebody_signs_with_a_finger_and_it_stands_on_hand_over():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(sample("reedbed-hide")),))
        await phone.go(f"{JOB}/hand")
        assert phone.shows(words.signed_by_nobody())
        await phone.tap("to-sign")
        assert phone.route == f"{JOB}/sign" and not phone.takes("sign-slab")
        assert phone.shows(words.sign_lacks()) and phone.shows(words.sign_caution())
        await phone.type("sign-name", "P. Quill")
        await phone.tap("role-2")
        await draw(phone, (10, 100), (60, 40), (110, 100), (160, 40))
        await draw(phone, (200, 80))
        assert words.speak_sign_field(2) in phone.speech()
        await phone.tap("sign-slab")
        assert phone.route == f"{JOB}/hand"
        (entry,) = kept_signs(phone)
        assert (entry["by"], entry["role"]) == ("P. Quill", "Owner")
        assert entry["strokes"][0][0] == [round(10 / WIDTH * 1000), round(100 / WIDTH * 1000)]
        assert len(entry["strokes"][0]) == 4 and len(entry["strokes"][1]) == 1
        (one,) = signatures(state_of(phone))
        assert one.holds is True and one.since == 0
        assert phone.shows("P. Quill, Owner") and phone.shows("Nothing has come since.")
        assert phone.shows("Signed by P. Quill.")
        phone.stop()

    drive(journey)


def test_a_reading_more_and_the_log_has_grown_and_the_step_is_open_again():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(sample("reedbed-hide")),))
        await phone.go("/settings")
        await phone.type("name", "Ida Rusk")
        await phone.go(f"{JOB}/sign")
        assert phone.find("sign-name").value == "Ida Rusk", "who holds the phone, most often"
        await phone.tap("sign-slab")
        await phone.go(f"{JOB}/now?step=sign.site")
        assert phone.takes("slab") and phone.shows(words.sign_title())
        await phone.go(f"{JOB}/read/S.out/volts")
        await phone.digits("54")
        await phone.tap("keep")
        await phone.go(f"{JOB}/hand")
        assert phone.shows("The log has grown since: 1 entry.")
        await phone.go(f"{JOB}/now?step=sign.site")
        await phone.tap("slab")
        assert phone.route == f"{JOB}/sign"
        await phone.tap("sign-slab")
        states = [(one.since, one.holds) for one in signatures(state_of(phone))]
        assert states == [(1, True), (0, True)]
        assert "strokes" not in kept_signs(phone)[0], "gloves, a keyboard: none is needed"
        phone.stop()

    drive(journey)


def test_a_signature_is_taken_back_from_the_strip_or_from_its_row():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(sample("reedbed-hide")),))
        for name in ("Ida", "P. Quill"):
            await phone.go(f"{JOB}/sign")
            await phone.type("sign-name", name)
            await phone.tap("sign-slab")
        first = kept_signs(phone)[0]["id"]
        await phone.tap("strip-undo")
        assert [one.by for one in signatures(state_of(phone))] == ["Ida"]
        await phone.tap(f"unsign-{first}")
        assert signatures(state_of(phone)) == () and phone.shows(words.signed_by_nobody())
        assert len(kept_signs(phone)) == 2, "what was taken back stays in the log"
        phone.stop()

    drive(journey)


def test_half_a_name_and_half_a_drawing_outlive_the_battery():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(sample("reedbed-hide")),))
        await phone.go(f"{JOB}/sign")
        await phone.type("sign-name", "P. Qui")
        await phone.type("sign-role", "warden")
        await draw(phone, (10, 100), (60, 40), (110, 100))
        await draw(phone, (200, 80), (230, 20), lift=False)
        phone.kill()
        again = await Phone.start(phone.disk, phone.world)
        await again.go(f"{JOB}/sign")
        assert again.find("sign-name").value == "P. Qui"
        assert again.find("sign-role").value == "warden"
        assert words.speak_sign_field(1) in again.speech(), "the finger had not been lifted"
        await again.tap("sign-again")
        assert words.speak_sign_field(0) in again.speech()
        await again.tap("sign-slab")
        await again.go(f"{JOB}/sign")
        assert again.find("sign-name").value == "", "the next one begins anew"
        again.kill()

    drive(journey)


@pytest.mark.parametrize(
    ("size", "scale"), [((390, 844), 1), ((390, 844), 2), ((844, 390), 1), ((1180, 820), 1)]
)
def test_the_field_scrolls_with_nothing(size, scale):
    """A finger that draws downwards must move no page, in whatever window."""

    async def journey() -> None:
        phone = await Phone.start(
            docs=(warned(sample("reedbed-hide")),), size=size, scale=float(scale)
        )
        await phone.go(f"{JOB}/sign")
        field = phone.find("sign-field")
        scrolled = [c for c in phone.controls() if getattr(c, "scroll", None) is not None]
        scrolled += [c for c in phone.controls() if isinstance(c, ft.ListView)]
        assert scrolled
        for one in scrolled:
            assert all(below is not field for below in walk(one))
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- pure


def test_nothing_is_signed_without_a_name_and_a_name_is_what_a_log_can_hold():
    assert sign_draft(job()) is None and sign_draft(after(job(), m.SignTyped("name", "  "))) is None
    assert sign_draft(job(name="Ida"))["by"] == "Ida"
    typed = after(job(), m.SignTyped("name", "x" * 200 + "\n"), m.SignTyped("role", "a\u202eb\n"))
    draft = sign_draft(typed)
    assert draft["by"] == "x" * 80 and draft["role"] == "ab"
    pressed, effects = update(typed, m.SignPressed())
    assert pressed.keeping and effects[0].drafts[0]["sha256"] == draft["sha256"]
    assert update(pressed, m.SignPressed())[1] == (), "a second press in one breath"


def test_a_finger_off_the_field_draws_along_its_edge_and_one_that_rests_draws_nothing():
    model = after(job(), m.StrokeDrawn(5, 5))
    assert model.signing is None, "it was never put down"
    model = after(job(), m.StrokeBegun(-9, 50), m.StrokeDrawn(0, 50), m.StrokeDrawn(4000, 900))
    assert model.signing.strokes == (((0, 50), (ACROSS, DOWN)),)
    assert (
        after(model, m.StrokeEnded(), m.StrokeDrawn(3, 3)).signing.strokes == model.signing.strokes
    )


def test_while_a_finger_moves_nothing_is_stored():
    model, effects = update(job(), m.StrokeBegun(5, 5))
    assert effects == ()
    model, effects = update(model, m.StrokeDrawn(50, 5))
    assert effects == ()
    _, effects = update(model, m.StrokeEnded())
    assert [type(one) for one in effects] == [m.SavePlace]
    assert effects[0].place["signing"]["strokes"] == (((5, 5), (50, 5)),)


def test_a_scribble_ends_where_a_file_would_refuse_more():
    dice = Random(3)
    model = job(name="Ida")
    for _ in range(MOST_STROKES + 5):
        model = after(model, m.StrokeBegun(1, 1), m.StrokeEnded())
    assert len(model.signing.strokes) == MOST_STROKES
    model = after(job(name="Ida"), m.StrokeBegun(1, 1))
    signing = dataclasses.replace(
        model.signing,
        strokes=(tuple((dice.randint(0, 999), dice.randint(0, 400)) for _ in range(MOST_POINTS)),),
    )
    full = dataclasses.replace(model, signing=signing)
    assert after(full, m.StrokeDrawn(7, 7)).signing == signing
    draft = sign_draft(full)
    entry = {"id": "s1", "device": "d", "n": 1, **draft}
    read_job({**sample("reedbed-hide"), "log": [entry]})


@pytest.mark.parametrize("seed", range(30))
def test_a_thinned_stroke_keeps_its_ends_and_strays_nowhere(seed):
    dice = Random(seed)
    x = y = 200.0
    stroke = []
    for _ in range(dice.randint(1, 300)):
        x, y = x + dice.gauss(2, 4), y + dice.gauss(0, 4)
        stroke.append((round(x), round(y)))
    thin = thinned(tuple(stroke))
    assert (thin[0], thin[-1]) == (stroke[0], stroke[-1]) and set(thin) <= set(stroke)
    for point in stroke:
        pieces = list(pairwise(thin)) or [(thin[0], thin[0])]
        assert min(_off(point, a, b) for a, b in pieces) <= THIN + 1e-9


def test_a_straight_stroke_is_two_points_and_a_corner_stays():
    assert thinned(tuple((x, 10) for x in range(100))) == ((0, 10), (99, 10))
    assert thinned(((0, 0), (50, 0), (50, 50))) == ((0, 0), (50, 0), (50, 50))
    assert thinned(((3, 3),)) == ((3, 3),)


@pytest.mark.parametrize(
    "kept",
    [None, 3, {}, {"job": 3}, [], {"strokes": [[[0, 0]]]}],
)
def test_what_was_never_kept_so_comes_back_as_nothing(kept):
    assert signing_from(kept) is None


def test_what_was_kept_comes_back_as_it_was_and_rubbish_without_its_strokes():
    signing = Signing("A", "Ida", "warden", (((1, 2), (3, 4)), ((5, 6),)))
    assert signing_from(dataclasses.asdict(signing)) == signing
    assert signing_from({"job": "A", "name": None, "strokes": [[["x"]]]}) == Signing("A")
    assert signing_from({"job": "A", "strokes": [[[5000, -1]]]}).strokes == (((ACROSS, 0),),)


# ---------------------------------------------------------------- in the record


def signed_log(**keys) -> list[dict]:
    """A reading, a signature under it, another reading."""
    took = {"what": "reading", "at": "S.out", "kind": "volts", "value": 54.0, "by": "Ida"}
    log = [{"id": "e1", "device": "d", "n": 1, **took}]
    draft = sign_draft(
        after(job(*log), m.SignTyped("name", "P. Quill"), m.SignTyped("role", "owner"))
    )
    log.append({"id": "e2", "device": "d", "n": 2, "t": "2031-06-03T10:00:00Z", **draft, **keys})
    return [*log, {"id": "e3", "device": "d", "n": 3, **took}]


STROKES = [[[0, 0], [500, 399], [1000, 0]], [[500, 200]]]


def test_the_record_has_name_role_time_sum_drawing_and_whether_the_log_has_grown():
    log = signed_log(strokes=STROKES)
    made = record(job(*log).job.judgement)
    (section,) = (one for one in made.sections if one.id == "signatures")
    table, drawing, total, *said = section.parts
    assert [cell.text for cell in table.rows[0].cells] == [
        "P. Quill",
        "owner",
        "2031-06-03 10:00 UTC",
        "The log has grown since: 1 entry.",
    ]
    assert isinstance(drawing, Drawing) and round(drawing.picture.width / 96 * 25.4) == 60
    digits = total.text.removeprefix("SHA-256 of what P. Quill signed: ").split()
    assert "".join(digits) == log[1]["sha256"] and {len(one) for one in digits} == {8}
    assert Paragraph(words.sign_caution()) in said and isinstance(said[-1], Blank)


def test_the_page_shows_the_drawn_name_as_a_path_no_larger_than_it_is():
    page = html(record(job(*signed_log(strokes=STROKES)).job.judgement), {})
    (drawn,) = re.findall(r'<svg[^>]*aria-label="Name as drawn by P. Quill".*?</svg>', page, re.S)
    width = re.search(r"max-width:([0-9.]+)px", drawn)
    assert width is not None and round(float(width[1]) / 96 * 25.4) == 60
    assert "<path" in drawn and "<circle" in drawn


def test_one_without_strokes_or_sum_stands_there_all_the_same_and_one_taken_back_does_not():
    log = signed_log()
    del log[1]["sha256"]
    text = html(record(job(*log).job.judgement), {})
    assert "P. Quill" in text and words.signed_state(False, None, 0) in text
    assert "as drawn by" not in text and "SHA-256" not in text
    log.append({"id": "e4", "device": "d", "n": 4, "what": "void", "of": "e2"})
    assert words.record_nothing("signatures") in html(record(job(*log).job.judgement), {})


# ---------------------------------------------------------------- the drawing


def test_a_drawn_name_keeps_its_shape_at_every_width():
    strokes = (((0, 0), (1000, 400)), ((500, 200),))
    for width in (60.0, 358.0):
        line, dot = signature(strokes, width).shapes
        assert isinstance(line, Path) and line.points[0] == (0, 0)
        assert line.points[1] == pytest.approx((width, width * 0.4))
        assert isinstance(dot, Circle)
        assert (dot.x, dot.y) == pytest.approx((width / 2, width * 0.2))


def test_a_long_stroke_goes_in_pieces_that_meet_and_only_the_last_grows():
    points = tuple((i, i % 7) for i in range(3 * PIECE + 5))
    whole, longer = (signature((points[:n],), 1000.0).shapes for n in (-1, len(points)))
    assert whole[:-1] == longer[:-1]
    assert all(a.points[-1] == b.points[0] for a, b in pairwise(longer))
    assert sum(len(one.points) - 1 for one in longer) == len(points) - 1


def test_the_hint_goes_with_the_first_stroke():
    with_hint, without = signing_field((), 358.0, "x"), signing_field((((1, 1),),), 358.0, "x")
    assert len(with_hint.shapes) == len(without.shapes) and with_hint.shapes != without.shapes
