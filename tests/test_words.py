"""Every sentence of the app: each code has one, it is short, it can be set in the app's letters,
a number never parts from its unit, and some words are never said."""

from __future__ import annotations

import ast
import re
from functools import cache
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont
from statements_made import everything_said
from test_phrases import literals, said, statements
from words_told import ASSETS, GLUED, PARTED, everything, rendered, sentences, small_words

from engine.entries import READING_KINDS
from engine.say import say
from engine.verdict import INSIDE, NO_BAND, OUTSIDE, UNCLEAR
from fieldapp import words
from fieldapp.buttons import slab_room
from fieldapp.faces import FACES, text_width
from fieldapp.paint import look_for
from fieldapp.words import english
from fieldapp.words.english import NBSP, SAYS, STEPS

ROOT = Path(__file__).resolve().parent.parent
SOURCES = [
    path
    for folder in ("engine", "fieldapp")
    for path in sorted((ROOT / folder).rglob("*.py"))
    if not {"words", "phrases"} & set(path.parts)
]
LONGEST, WISHED = 140, 90


# ---------------------------------------------------------------- the face of the words


def test_no_two_parts_of_the_words_share_a_name():
    """They are one face: of two the later would stand for both."""
    named: list[str] = []
    for path in sorted(Path(english.__file__).parent.glob("*.py")):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef | ast.ClassDef):
                named.append(node.name)
            elif isinstance(node, ast.Assign | ast.AnnAssign):
                targets = node.targets if isinstance(node, ast.Assign) else [node.target]
                named += [target.id for target in targets]
    shared = {name for name in named if named.count(name) > 1 and not name.startswith("_")}
    assert not shared


# ---------------------------------------------------------------- every code has its words


@cache
def codes_in_source() -> set[str]:
    trees = [ast.parse(path.read_text(encoding="utf-8")) for path in SOURCES]
    codes = set().union(*map(said, trees))
    families = ("step-", "verdict-", "no-band-", "hold-", "reach-", "told-", "row-", "strip-")
    families += ("odd-", "caution-", "lights-")
    families += ("fault-", "do-", "look-", "sure-", "unseen-", "because-", "code-")
    named = {
        text
        for tree in trees
        for text in literals(tree)
        if text.startswith(families) and re.fullmatch(r"[a-z]+(-[a-z]+)+", text)
    }
    keys = {"step-left", "step-right", "strip-undo", "code-open"}  # of buttons on the screens
    return codes | (named - keys)


def test_every_code_of_engine_and_app_has_its_words():
    codes = codes_in_source()
    assert len(codes) > 50, "the scan must find something"
    assert codes <= STEPS.keys() | SAYS.keys(), codes - STEPS.keys() - SAYS.keys()


def test_no_words_without_a_code():
    assert STEPS.keys() | SAYS.keys() <= codes_in_source()


def test_a_code_is_a_step_or_a_sentence_and_never_both():
    assert not STEPS.keys() & SAYS.keys()


def test_every_code_is_rendered_from_real_parts():
    assert {statement.code for statement in everything_said()} == STEPS.keys() | SAYS.keys()


def test_every_kind_of_step_says_what_to_do_why_and_what_is_then_true():
    for statement in statements():
        if statement.code in STEPS:
            step = words.step(statement)
            assert step.sentence.endswith((".", "?", ".**")) and step.why.endswith(".")
            assert step.after and step.short
            assert not step.after.endswith(".") and not step.short.endswith(".")


def test_every_sentence_is_whole():
    for where, text in everything():
        assert isinstance(text, str), where
        for hole in ("None", "Say(", "Range(", "Point(", "{", "}", "('", "\n", "nan"):
            assert hole not in text, (where, text)
        assert text.count("**") % 2 == 0, (where, text)
        assert text == text.strip(), (where, text)
        assert "  " not in text.replace(f"{NBSP}V  below", ""), (where, text)


def test_every_kind_of_reading_has_a_name_and_a_unit():
    assert set(words.KINDS) == set(words.UNITS) == set(READING_KINDS)
    assert set(words.READINGS) == set(READING_KINDS)
    assert set(words.VERDICTS) == {INSIDE, UNCLEAR, OUTSIDE, NO_BAND}


def test_a_code_without_words_is_not_passed_over():
    for ask in (words.sentence, words.step):
        with pytest.raises(KeyError):
            ask(say("no-such-code"))


def test_a_sentence_begins_with_a_capital_behind_its_mark():
    assert words.capital("**nothing** holds.") == "**Nothing** holds."
    assert words.capital("") == ""


# ---------------------------------------------------------------- length


def lengths() -> list[tuple[int, str, str]]:
    """Letters of every sentence as it is shown, the job's own words among them."""
    said = [(one.code, text) for one in everything_said() for text in rendered(one)]
    shown = {(where, text.replace("**", "")) for where, text in (*said, *small_words())}
    out = {(len(text), where, text) for where, text in shown}
    return sorted(out, reverse=True)


def test_no_sentence_is_too_long():
    longest = lengths()[0]
    assert longest[0] <= LONGEST, longest


def test_most_sentences_are_short():
    """Of the samples' sentences, nine in ten keep to what a screen likes."""
    found = lengths()
    long = [one for one in found if one[0] > WISHED]
    assert len(long) <= len(found) / 10, long[:10]


READ = {"step-volts", "step-link", "step-pairs", "step-earth", "step-again", "step-screens"}
"""steps that ask for a reading: their slab says so in words of its own"""


def test_every_step_fits_its_slab():
    """What is true when a step is done is the slab of Now: one line, in every language."""
    room, wrong = slab_room(look_for(False, 390.0, 844.0, 1.0)), set()
    for language in words.LANGUAGES:
        with words.speaking(words.Manner(language)):
            for one in everything_said():
                if one.code in STEPS and one.code not in READ:
                    after = words.step(one).after
                    if text_width("TB", 22, after) > room:
                        wrong.add((language, one.code, after))
    assert wrong == set()


# ---------------------------------------------------------------- letters


@pytest.fixture(scope="module")
def letters() -> dict[str, set[int]]:
    return {face: set(TTFont(ASSETS / FACES[face].file).getBestCmap()) for face in FACES}


@pytest.mark.parametrize("face", sorted(FACES))
def test_every_letter_is_in_the_font(face, letters):
    assert len(FACES) == 8
    for where, text in everything():
        lacking = {letter for letter in text if ord(letter) not in letters[face]}
        assert not lacking, (where, text, lacking)


def test_a_letter_that_no_font_has_would_be_seen(letters):
    assert all(ord("漢") not in known for known in letters.values())


# ---------------------------------------------------------------- numbers and units


def test_the_reader_of_units_sees_what_it_should():
    for text in ("41.0 V", "256 m.", "1000 Mb/s", "4 Ω or", "30 W", "297 mA,", "6 mm²"):
        assert PARTED.search(text), text
    for text in (f"41.0{NBSP}V", "15 minutes", "9 metres", "6 A2", "2 Victor", "470 metres"):
        assert not PARTED.search(text), text
    assert GLUED.search("41.0V") and not GLUED.search(f"41{NBSP}V")


@pytest.mark.parametrize("code", sorted(STEPS.keys() | SAYS.keys()))
def test_a_number_and_its_unit_never_part(code):
    for its, text in sentences():
        if its == code:
            assert not PARTED.search(text), text
            assert not GLUED.search(text), text


def test_nor_do_they_in_small_words():
    for where, text in small_words():
        assert not PARTED.search(text), (where, text)
        assert not GLUED.search(text), (where, text)


@pytest.mark.parametrize("kind", READING_KINDS)
def test_a_figure_has_its_unit_behind_a_space_that_does_not_break(kind):
    text = words.with_unit(41.0, kind)
    number, _, unit = text.partition(NBSP)
    assert unit == words.UNITS[kind] and float(number) == 41.0
    assert words.typed_with_unit("41.", kind) == f"41.{NBSP}{words.UNITS[kind]}"


def test_no_link_is_not_a_speed():
    assert words.with_unit(0, "mbps") == words.speed(0)
    assert not re.search(r"\d", words.speed(0))


# ---------------------------------------------------------------- words never said

NEVER = re.compile(
    r"\b(pass(es|ed|ing)?|fail(s|ed|ing|ures?)?|ok|okay|errors?|invalid|success\w*|warn(s|ed|ings?)?"
    r"|critical\w*|submit\w*|sav(e|es|ed|ing)|sync\w*|safe(r|st)?|devices?|nodes?|users?"
    r"|please|ensure|proceed|mandatory|hazardous|unreachable|unexpected|occur\w*|deviat\w*|nominal"
    r"|abort\w*|cancel\w*|delete\w*|click\w*)\b",
    re.IGNORECASE,
)
ALSO_NEVER = re.compile(r"\b(safely|safety|certified|certif\w+|(is|are|now) dead)\b", re.IGNORECASE)


def test_the_reader_of_words_sees_what_it_should():
    for text in ("It is safe.", "OK", "Save it", "an error", "no pass", "it failed", "all saved"):
        assert NEVER.search(text)
    for text in ("bypass", "terror", "passive", "usual", "compass", "nod", "saw"):
        assert not NEVER.search(text)
    assert ALSO_NEVER.search("the wire is dead") and not ALSO_NEVER.search("deadline")


@pytest.mark.parametrize("code", sorted(STEPS.keys() | SAYS.keys()))
def test_words_that_are_never_said(code):
    for its, text in sentences():
        if its == code:
            found = NEVER.search(text) or ALSO_NEVER.search(text)
            assert not found, f"{found.group()!r} in {text!r}"


def test_nor_are_they_among_the_small_words():
    for where, text in small_words():
        found = NEVER.search(text) or ALSO_NEVER.search(text)
        assert not found, f"{found.group()!r} in {where}: {text!r}"


def test_nobody_shouts():
    for where, text in everything():
        assert "!" not in text, (where, text)
