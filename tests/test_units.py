"""Lengths and wires in the technician's manner: turned in one place, typed as they are shown, and
nowhere shown otherwise."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
from german_told import sentences as german_sentences
from german_told import small as german_small
from headless import readable, spoken, walk
from hypothesis import given
from hypothesis import strategies as st
from samples import sample
from test_report_pdf import texts_of
from words_told import sentences, small_words

import fieldapp.viewstack as viewstack
from engine.diagnose.account import account
from engine.jobfile import JobFile, read_job
from engine.judge import judge
from engine.standards.conductors import awg_area_mm2, awg_diameter_mm
from fieldapp import words
from fieldapp.drafts import as_shown
from fieldapp.drawing.gaugeparts import ticks, window_for
from fieldapp.drawing.shapes import Label
from fieldapp.halfdone import Pad, Taken
from fieldapp.handover.labels import labels_of
from fieldapp.handover.record import record
from fieldapp.handover.sheets import GRIDS, sheets
from fieldapp.messages import (
    JobLoaded,
    Keep,
    KeepPressed,
    KeyPressed,
    NewKey,
    PlanPadKept,
    PutSetting,
    ReelKept,
    RouteChanged,
    SettingPicked,
    TrialKey,
    TrialMoved,
    TrialPad,
    TrialStepped,
)
from fieldapp.model import Model, OpenJob
from fieldapp.pad import place_record
from fieldapp.planmoves import run_metres
from fieldapp.settings import Settings
from fieldapp.update import update
from fieldapp.words import units
from fieldapp.words.manner import LANGUAGES, Manner, speaking

Doc = dict[str, Any]
FEET = {language: Manner(language, "feet", "awg") for language in LANGUAGES}
METRIC = {language: Manner(language) for language in LANGUAGES}

# ---------------------------------------------------------------- against numbers from outside


@pytest.mark.parametrize(
    ("gauge", "mm", "mm2"),
    # wire tables of ASTM B258's sizes, to three digits as they print them
    [(22, 0.644, 0.326), (23, 0.573, 0.258), (24, 0.511, 0.205), (6, 4.115, 13.30)],
)
def test_gauges_are_those_of_the_wire_tables(gauge, mm, mm2):
    assert awg_diameter_mm(gauge) == pytest.approx(mm, abs=0.0005)
    assert awg_area_mm2(gauge) == pytest.approx(mm2, abs=0.5 * 10 ** -(3 if mm2 < 1 else 2))
    assert units.gauge_of(mm2) == gauge


def test_a_foot_is_a_third_of_a_yard_of_1959():
    """0.9144 m a yard, exactly; a mile of 5280 feet is 1609.344 m."""
    with speaking(FEET["en"]):
        assert units.kept(3, units.LENGTH) == 0.9144
        assert units.kept(5280, units.LENGTH) == 1609.344
        assert words.metres(1609.344) == f"5280{words.NBSP}ft"


@pytest.mark.parametrize(
    ("gauge", "said"), [(-3, "4/0"), (-1, "2/0"), (0, "1/0"), (1, "1"), (23, "23")]
)
def test_gauges_past_nought_are_said_as_the_trade_says_them(gauge, said):
    assert units.gauge_text(gauge) == said
    digits = "0" * (1 - gauge) if gauge < 1 else str(gauge)
    assert units.gauge_typed(digits) == gauge


# ---------------------------------------------------------------- to and fro

RUNS = st.floats(0.01, 100_000, allow_nan=False)
LEADS = st.floats(0.01, 500, allow_nan=False)


@given(RUNS, st.sampled_from(sorted(FEET)))
def test_typing_the_length_that_is_shown_keeps_the_plans_own(metres, language):
    with speaking(FEET[language]):
        digits = units.exact_text(metres)
        assert units.kept_figure(digits, units.LENGTH, metres) == metres
        afresh = units.kept_figure(digits, units.LENGTH)
        assert abs(afresh - metres) <= 0.05 * units.FOOT_M + 1e-4
        assert words.length(metres).startswith(digits.replace(".", words.decimal_mark()))


@given(LEADS)
def test_typing_the_gauge_that_is_shown_keeps_the_plans_own(mm2):
    with speaking(FEET["en"]):
        gauge = units.shown(mm2, units.WIRE)
        digits = "0" * int(1 - gauge) if gauge < 1 else f"{gauge:.0f}"
        assert units.kept_figure(digits, units.WIRE, mm2) == mm2
        afresh = units.kept_figure(digits, units.WIRE)
        assert units.shown(afresh, units.WIRE) == gauge


@given(RUNS)
def test_what_is_typed_in_metres_is_kept_to_the_last_digit(metres):
    assert units.kept_figure(f"{metres:.3f}", units.LENGTH) == round(metres, 3)


def test_another_figure_than_the_one_shown_is_a_change():
    with speaking(FEET["en"]):
        assert units.kept_figure("1542", units.LENGTH, 470.0) == 470.0
        assert units.kept_figure("1543", units.LENGTH, 470.0) == pytest.approx(470.3064)
        assert units.kept_figure("5", units.WIRE, 13.3) == pytest.approx(16.77, abs=0.005)


@pytest.mark.parametrize(
    ("mm2", "said"),
    [(13.3, "6"), (1.5, "≈15"), (16.0, "≈5"), (107.2, "4/0"), (300.0, ">4/0"), (0.0, "≈40")],
)
def test_a_conductor_that_is_no_gauge_says_so(mm2, said):
    with speaking(FEET["en"]):
        assert words.wire(mm2) == f"{said}{words.NBSP}AWG"


def test_a_cable_has_both_where_areas_are_chosen():
    nbsp = words.NBSP
    assert words.cable_wire(23) == f"0.26{nbsp}mm²{nbsp}(23{nbsp}AWG)"
    with speaking(METRIC["de"]):
        assert words.cable_wire(24, short=True) == f"0,20{nbsp}mm²"
    with speaking(FEET["de"]):
        assert words.cable_wire(24) == f"24{nbsp}AWG"


# ---------------------------------------------------------------- nothing is shown otherwise

IN_METRES = {
    language: re.compile(rf"[\d?][ \u00a0]m\b(?![²³/])|{word}|mm²|mm2")
    for language, word in (("en", r"\b[Mm]etres?\b"), ("de", r"\bMetern?\b"))
}
IN_AREAS_AND_METRES = re.compile(r"\bft\b|\bfeet\b|\bFuß\b")


def test_the_reader_of_metres_sees_what_it_should():
    for text in ("470 m", "0.5\u00a0m long", "?\u00a0m", "470 metres", "1.5\u00a0mm²"):
        assert IN_METRES["en"].search(text), text
    assert IN_METRES["de"].search("die Meter")
    for text in ("1542\u00a0ft", "297\u00a0mA", "6\u00a0min", "15\u00a0MB", "Even if the meter is"):
        assert not IN_METRES["en"].search(text), text


METRIC_BY_NAME = ("spans_columns(", "table_problem(", "CHOICES_SAID", "setting_choice(")
"""a table of spans has a column that is called so, and the settings name both units"""
NO_KIND_OF_BOX = ("kind_word(", "box_title(", "boxes_kind(")
"""their samples are kinds of reading: they say as it is what they do not know"""


def everything(language: str) -> Iterator[tuple[str, str]]:
    """Every sentence and small word of a language, said in the manner at hand."""
    if language == "en":
        every = (*sentences.__wrapped__(), *small_words.__wrapped__())
    else:
        told = (*german_sentences.__wrapped__(), *german_small.__wrapped__())
        every = tuple((where, text) for where, text, _ in told)
    yield from (one for one in every if not one[0].startswith((*METRIC_BY_NAME, *NO_KIND_OF_BOX)))


@pytest.mark.parametrize("language", sorted(LANGUAGES))
def test_no_word_is_left_in_metres(language):
    with speaking(FEET[language]):
        left = [one for one in everything(language) if IN_METRES[language].search(one[1])]
    assert left == []


@pytest.mark.parametrize("language", sorted(LANGUAGES))
def test_no_word_is_in_feet_unless_it_was_chosen(language):
    with speaking(METRIC[language]):
        left = [one for one in everything(language) if IN_AREAS_AND_METRES.search(one[1])]
    assert left == []


# ---------------------------------------------------------------- every screen

READ_THERE = (
    ("L1.in", "volts", 53.4),
    ("L2.in", "volts", 41.0),
    ("C3", "metres", 205.0),
    ("C4", "metres", 300.0),
    ("C4", "loop_ohms", 60.0),
)
"""in a log of the marsh: one is as planned, one far below, a cable is much too long"""


def read_there(doc: Doc) -> Doc:
    """The marsh with readings, a reel with both marks and two plans of a length."""
    body = {"t": "2031-06-03T07:10:00Z", "by": "Orla"}
    log = [
        {
            "id": f"r{n}",
            "what": "reading",
            "at": at,
            "kind": kind,
            "value": value,
            "meter": "M1",
            **body,
        }
        for n, (at, kind, value) in enumerate(READ_THERE)
    ]
    marks = {"first": 12.0, "second": 300.0, "ohms": 30.0, "grams": 39.0}
    log.append({"id": "reel", "what": "note", "at": "C4", "text": "", "x_reel": marks, **body})
    for n, (value, who) in enumerate(((262, "d1"), (249.5, "d2"))):
        path = ["spans", "C3", "length_m"]
        edit = {"what": "set", "path": path, "value": value, "was": 202, "as": "correction"}
        log.append({"id": f"e{n}", "device": who, "seen": {who: 0}, "n": 1, **edit, **body})
    return {**doc, "log": [*doc["log"], *log]}


def places_in(file: JobFile) -> Iterator[str]:
    """A route to each page that this job has, and to each pad with a length or a wire on it."""
    job = judge(file).state.job
    here = f"/j/{job.id}"
    yield from (f"{here}/{page}" for page in PAGES)
    for box in job.boxes.values():
        yield from (f"{here}/{page}/{box.id}" for page in ("plan", "sheets", "whatif"))
        yield from (f"{here}/plan/{box.id}/{what}" for what in ("lead", "mm2", "stop") if box.bond)
    for span in job.spans:
        yield f"{here}/run?at={job.spans[span].b}"
        yield from (f"{here}/{page}/{span}" for page in ("plan", "sheets", "reel", "wires"))
        yield f"{here}/plan/{span}/length"
        yield f"{here}/read/{span}/metres"
    longest = max(job.spans, key=lambda one: job.spans[one].length_m.expected)
    yield f"{here}/whatif/{longest}"
    yield from (f"{here}/reel/{longest}/{what}" for what in ("first", "second", "grams"))
    readings = [entry.id for entry in file.entries if entry.what == "reading"]
    yield from (f"{here}/verdict/{one}" for one in readings)


PAGES = (
    "now",
    "steps",
    "run",
    "power",
    "fault",
    "leave",
    "hand",
    "plan",
    "compare",
    "spans",
    "sign",
)
ANYWHERE = ("/new", "/samples", "/practice", "/shapes", "/settings/found", "/")


def on_page(model: Model) -> tuple[str, ...]:
    """All that can be read or heard where the model is."""
    every = [*walk(viewstack.views(model, lambda message: None))]
    told = [text for one in every for text in (*readable(one), *spoken(one)) if text]
    with words.speaking(model.settings.manner):
        assert words.FIXED.went_wrong not in told, model.route
    return tuple(told)


def visited(doc: Doc, settings: Settings) -> Iterator[tuple[Model, tuple[str, ...]]]:
    """A job gone through page by page: the model there, and what can be read."""
    file = read_job(doc)
    job = OpenJob(file.plan.id, file, judge(file), "07:10")
    model = Model(settings=settings, samples=(), now="2031-06-03T08:00:00Z")
    model, _ = update(model, JobLoaded(job, f"/j/{job.id}/now", None))
    for route in (*places_in(file), *ANYWHERE):
        model, _ = update(model, RouteChanged(route))
        if "/plan/" in route or "/reel/" in route or "/read/" in route:
            for key in "12.5":
                model, _ = update(model, KeyPressed(key))
        yield model, on_page(model)
        if "/whatif/" in route:
            for press in (TrialPad(True), TrialKey("9"), TrialKey("."), TrialPad(False)):
                model, _ = update(model, press)
                yield model, on_page(model)


TYPED = re.compile(r"columns|Spalten|Erste Zeile|First line|metres$|,generic\.")
POINTED = re.compile(r"(?<![\d.])\d+\.\d+(?![\d.])")


@pytest.mark.parametrize("language", sorted(LANGUAGES))
@pytest.mark.parametrize("name", ["reedbed-hide", "orchard-gate"])
def test_no_page_shows_metres_where_feet_are_chosen(name, language):
    doc = sample(name)
    doc = read_there(doc) if name == "reedbed-hide" else doc
    chosen = Settings(language=language, lengths="feet", wire="awg")
    left, feet = {}, 0
    for model, told in visited(doc, chosen):
        feet += sum(f"{words.NBSP}ft" in text for text in told)
        for text in told:
            if IN_METRES[language].search(text) and not TYPED.search(text):
                left.setdefault(text, model.route)
            if language == "de" and POINTED.search(text):
                left.setdefault(text, model.route)
    assert left == {} and feet > 100


@pytest.mark.parametrize("language", sorted(LANGUAGES))
def test_a_record_and_its_labels_are_in_feet_too(language):
    judgement = judge(read_job(read_there(sample("reedbed-hide"))))
    with speaking(FEET[language]):
        texts = texts_of(record(judgement, account(judgement)))
        pages = sheets(labels_of(judgement, "2031-05-04"), GRIDS["a4"])
        texts += [one.text for page in pages for one in page.shapes if isinstance(one, Label)]
    left = [one for one in texts if IN_METRES[language].search(one)]
    assert all("TIA-568" in one for one in left), "a source is quoted as it was read"
    assert sum(f"{words.NBSP}ft" in one for one in texts) > 20
    assert any(f"{words.NBSP}AWG" in one for one in texts)


# ---------------------------------------------------------------- what is typed

HERE = "/j/REEDBED-HIDE"
A_FOOT = Settings(lengths="feet", wire="awg")


def typing(route: str, digits: str, key: type = KeyPressed) -> Model:
    """The marsh in feet, with digits typed on the pad of a route."""
    file = read_job(sample("reedbed-hide"))
    model = Model(settings=A_FOOT, now="2031-06-03T08:00:00Z")
    job = OpenJob("REEDBED-HIDE", file, judge(file), "07:10")
    model, _ = update(model, JobLoaded(job, f"{HERE}/now", None))
    model, _ = update(model, RouteChanged(route))
    for one in digits:
        model, _ = update(model, key(one))
    return model


def drafts(model: Model, message: Any) -> list[Doc]:
    """What a press would keep."""
    _, effects = update(model, message)
    return [draft for one in effects if isinstance(one, Keep) for draft in one.drafts]


@pytest.mark.parametrize(
    ("route", "digits", "press", "where", "value"),
    [
        ("plan/C4/length", "900", PlanPadKept(), ("value",), 900 * 0.3048),
        ("plan/A1/lead", "1.5", PlanPadKept(), ("value", "lead_m"), 1.5 * 0.3048),
        ("plan/A1/mm2", "6", PlanPadKept(), ("value", "mm2"), 13.302),
        ("plan/A1/mm2", "00", PlanPadKept(), ("value", "mm2"), 67.431),
        ("read/C2/metres", "3,5", KeepPressed(), ("value",), 3.5 * 0.3048),
        ("reel/C4/first", "1575", ReelKept(), ("x_reel", "first"), 1575 * 0.3048),
        ("reel/C4/grams", "36", ReelKept(), ("x_reel", "grams"), 36 / 0.9144),
    ],
)
def test_what_is_typed_in_feet_is_kept_in_metres(route, digits, press, where, value):
    (draft,) = drafts(typing(f"{HERE}/{route}", digits), press)
    for name in where:
        draft = draft[name]
    assert draft == pytest.approx(value, abs=1e-3)


@pytest.mark.parametrize(
    ("thing", "digits"), [("C4/length", "839.9"), ("A1/lead", "1.3"), ("A1/mm2", "9")]
)
def test_typing_what_the_plan_shows_changes_nothing(thing, digits):
    model = typing(f"{HERE}/plan/{thing}", digits)
    assert any(digits in one and "in the plan" in one for one in on_page(model)) or "mm2" in thing
    assert drafts(model, PlanPadKept()) == []


def test_a_new_run_is_as_long_as_it_is_typed():
    model = typing("/new", "1542", NewKey)
    with speaking(model.settings.manner):
        assert run_metres(model.new) == pytest.approx(470.0016)
    assert f"1542{words.NBSP}ft" in on_page(model)


def test_a_trial_moves_by_feet_and_ends_at_the_plans_own_again():
    model = typing(f"{HERE}/whatif/C4", "")
    for by, shown in ((1, "840"), (1, "841"), (-1, "840"), (-1, "839")):
        model, _ = update(model, TrialStepped(by))
        assert f"{shown}{words.NBSP}ft" in on_page(model)
    model, _ = update(model, TrialMoved(839.9 * 0.3048))
    assert model.trial.value == 256.0 and words.tried_is_plan() in on_page(model)


def test_digits_live_through_a_kill_as_they_were_typed():
    kept_place = place_record(typing(f"{HERE}/plan/C4/length", "12,5"))
    assert kept_place["pad"]["digits"] == "12.5"


@pytest.mark.parametrize(("key", "value"), [("lengths", "metres"), ("wire", "mm2")])
def test_what_is_half_typed_goes_with_its_unit(key, value):
    model, effects = update(typing(f"{HERE}/plan/C4/length", "12"), SettingPicked(key, value))
    assert model.pad is None and place_record(model)["pad"] is None
    assert PutSetting(key, value) in effects and len(effects) > 1, "the place is written down anew"
    model, _ = update(typing(f"{HERE}/read/L1.in/volts", "41."), SettingPicked(key, value))
    assert model.pad.digits == "41.", "volts are volts everywhere"


def test_a_made_up_meter_shows_what_the_pad_would_take():
    """Its figure is in feet, and what is kept of it is what stood there."""
    for pad, digits in (("metres", "840"), ("volts", "41.0")):
        taken = Taken((), digits, {})
        with speaking(A_FOOT.manner):
            value = units.kept_figure(digits, pad)
            there = Pad("C4", pad, digits, taken=taken)
            there = replace(there, taken=replace(taken, of=there.asks, keys={"moment": "m1"}))
            assert as_shown(there, {"value": value}) == {"value": value, "moment": "m1"}


@pytest.mark.parametrize("top", [0.3, 12.0, 470.0])
def test_a_gauge_in_feet_is_ticked_at_round_feet(top):
    window = window_for([0.0, top], 390)
    with speaking(FEET["de"]):
        shapes = ticks(window, 50, None, words.scale_of("metres"), 1.0, [])
    numbers = {float(one.text.replace(",", ".")): one.x for one in shapes if isinstance(one, Label)}
    apart = {round(b - a, 6) for a, b in pairwise(sorted(numbers))}
    assert len(numbers) > 1 and len(apart) == 1 and f"{apart.pop():.0e}"[0] in "125"
    for feet, x in numbers.items():
        assert window.x(feet * units.FOOT_M) == pytest.approx(x)
