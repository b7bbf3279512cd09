"""The German words: the same names, parts and keys as the English ones, whole sentences in German,
figures with a comma, and nothing left that was not put into German."""

from __future__ import annotations

import ast
import inspect
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import fields, is_dataclass
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from fontTools.ttLib import TTFont
from german_told import ENGLISH, POINTED, everything, own, sentences, small
from statements_made import everything_said
from test_phrases import judgements
from words_told import ASSETS, GLUED, PARTED, rendered, small_words

from engine.jobfile import BadFile
from engine.spans_csv import spans_from
from fieldapp import words
from fieldapp.faces import FACES
from fieldapp.words import english, german
from fieldapp.words.english.figures import NBSP

FOLDER, GERMAN = Path(english.__file__).parent, Path(german.__file__).parent
ENGLISH_PARTS = {path.stem for path in FOLDER.glob("*.py")} - {"__init__"}
WRITTEN = {path.stem for path in GERMAN.glob("*.py")} - {"__init__"}
TWINS = sorted(WRITTEN & ENGLISH_PARTS)
MORE = {"figures": {"SIDES", "comma", "decimal", "plain_number", "several"}}
"""names that German alone needs: a comma between digits, an article before a single thing"""
LONGEST, WISHED = 140, 100


def english_part(name: str) -> ModuleType:
    return import_module(f"fieldapp.words.english.{name}")


def german_part(name: str) -> ModuleType:
    return import_module(f"fieldapp.words.german.{name}")


def names_of(path: Path) -> set[str]:
    """Names that a file of words defines and shows."""
    out: set[str] = set()
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        match node:
            case ast.FunctionDef(name=name) | ast.ClassDef(name=name):
                out.add(name)
            case ast.Assign(targets=targets):
                out |= {target.id for target in targets if isinstance(target, ast.Name)}
            case ast.AnnAssign(target=ast.Name(id=name)):
                out.add(name)
    return {name for name in out if not name.startswith("_")}


def codes_of(part: ModuleType, face: ModuleType) -> dict[str, Any]:
    """The codes whose sentence stands in a part of the words, with the function of each."""
    every = {**face.SAYS, **face.STEPS}
    return {code: said for code, said in every.items() if said.__module__ == part.__name__}


# ---------------------------------------------------------------- the same names, parts and keys


def test_every_part_of_the_words_has_its_twin():
    assert WRITTEN == ENGLISH_PARTS


@pytest.mark.parametrize("name", TWINS)
def test_a_part_has_the_names_of_its_twin(name):
    mine, its = german_part(name), names_of(FOLDER / f"{name}.py")
    assert not {one for one in its if not hasattr(mine, one)}
    more = names_of(GERMAN / f"{name}.py") - its
    assert more <= MORE.get(name, set())


@pytest.mark.parametrize("name", TWINS)
def test_its_names_stand_in_the_one_face(name):
    for one in names_of(FOLDER / f"{name}.py"):
        assert getattr(german, one) is getattr(german_part(name), one), one


def test_no_two_parts_share_a_name():
    named = Counter(one for name in TWINS for one in names_of(GERMAN / f"{name}.py"))
    assert not {one for one, times in named.items() if times > 1}


def parts_of(function: Any) -> list[tuple[str, Any, str]]:
    """The parts of a function of words: name, kind, what it takes; not those that carry words."""
    return [
        (part.name, part.kind, str(part.annotation))
        for part in inspect.signature(function).parameters.values()
        if not part.name.startswith("_")
    ]


@pytest.mark.parametrize("name", TWINS)
def test_a_function_takes_what_its_twin_takes(name):
    mine, its = german_part(name), english_part(name)
    for one in names_of(FOLDER / f"{name}.py"):
        twin = getattr(its, one)
        if inspect.isfunction(twin):
            assert parts_of(getattr(mine, one)) == parts_of(twin), one


@pytest.mark.parametrize("name", TWINS)
def test_a_code_is_said_where_its_twin_says_it(name):
    mine, its = codes_of(german_part(name), german), codes_of(english_part(name), words)
    assert mine.keys() == its.keys()
    for code, said in mine.items():
        assert parts_of(said) == parts_of(its[code]), code


def test_every_code_is_said_in_german():
    assert german.SAYS.keys() == words.SAYS.keys()
    assert german.STEPS.keys() == words.STEPS.keys()


def shape(thing: Any) -> Any:
    """What of a table is the same in every language: its keys, how many, what is no text."""
    if isinstance(thing, str):
        return "text"
    if isinstance(thing, Mapping):
        return {key: shape(value) for key, value in thing.items()}
    if isinstance(thing, AbstractSet):
        return thing
    if isinstance(thing, Sequence):
        return [shape(value) for value in thing]
    if is_dataclass(thing) and not isinstance(thing, type):
        return {one.name: shape(getattr(thing, one.name)) for one in fields(thing)}
    return None if callable(thing) else thing


@pytest.mark.parametrize("name", TWINS)
def test_a_table_has_the_keys_of_its_twin(name):
    mine, its = german_part(name), english_part(name)
    for one in names_of(FOLDER / f"{name}.py") - {"SAYS", "STEPS"}:
        assert shape(getattr(mine, one)) == shape(getattr(its, one)), one


def test_a_table_without_a_key_would_be_seen():
    assert shape({"a": ("x", 1), "b": "y"}) == shape({"a": ("z", 1), "b": "w"})
    for other in ({"a": ("x", 1)}, {"a": ("x", 2), "b": "y"}, {"a": ("x",), "b": "y"}):
        assert shape({"a": ("x", 1), "b": "y"}) != shape(other)


# ---------------------------------------------------------------- all there is to say


def test_every_code_is_rendered_from_real_parts():
    assert {code for code, *_ in sentences()} == german.SAYS.keys() | german.STEPS.keys()
    assert len(small()) > 50


HOLES = re.compile(r"\bNone\b|(Say|Range|Point)\(|[{}\n]|\('|\bnan\b|  (?!darunter)| [.,]|\.\.")


def broken(text: str) -> bool:
    """Whether a text has holes, stray blanks or a mark of stress that nothing closes."""
    return bool(HOLES.search(text)) or text.count("**") % 2 == 1 or text != text.strip()


def test_the_reader_of_holes_sees_what_it_should():
    for text in ("None V", "an {at}", "**Halt", "zwei  Boxen", "Ende .", " Ende", "Ende.."):
        assert broken(text), text
    assert not broken("**An C4**: Kupferspannung 4,5, danach aus.")


def test_every_sentence_is_whole():
    assert [one for one in everything() if broken(own(*one[1:]))] == []


def test_the_same_point_is_stressed_or_none():
    """Where the English has a point that is set heavier, so has the German."""
    for one in everything_said():
        if one.code in german.SAYS:
            mine, its = german.sentence(one), words.sentence(one)
            assert ("**" in mine) == ("**" in its), (one.code, mine, its)


# ---------------------------------------------------------------- nothing left in English


def test_the_reader_of_english_sees_what_it_should():
    for text in ("then the link", "A1 kit", "no volts", "known load"):
        assert ENGLISH.search(text), text
    for text in ("Box", "im Band", "an der Boxseite", "Noch nicht", "Frames", "zu hoch"):
        assert not ENGLISH.search(text), text


def test_no_english_is_left():
    assert [one[:2] for one in everything() if ENGLISH.search(own(*one[1:]))] == []


def several_words(text: str) -> bool:
    """Whether a text is more than one word and figures."""
    return len(re.findall(r"[^\W\d_]{3,}", text)) > 1


def test_a_sentence_of_several_words_is_never_the_english_one():
    said = {text for _, text in small_words()}
    said |= {text for one in everything_said() for text in rendered(one)}
    assert [
        one[:2] for one in everything() if several_words(own(*one[1:])) and one[1] in said
    ] == []


BOTH = {
    "Farend",
    "Hand",
    "Plan",
    "Name",
    "IN",
    "OUT",
    "Switch",
    "Repeater",
    "Sensor",
    "Port",
    "orange",
    "mA",
    "Mb",
    "min",
    "mm",
    "mm²",
    "km",
    "dB",
    "AWG",
    "Cat",
    "Aluminium",
    "Code",
    "HTML",
    "Letter",
    "MB",
    "PDF",
    "kB",
}
"""words by themselves that the trade has in both languages"""


def test_a_word_by_itself_is_german_or_one_of_both_languages():
    its = dict(small_words())
    for where, text, typed in small():
        if its.get(where) == text:
            alike = set(re.findall(r"[^\W\d_]{2,}", own(text, typed))) - BOTH
            assert not alike, (where, text)


# ---------------------------------------------------------------- length and letters


def test_no_sentence_is_too_long():
    longest = max((len(text.replace("**", "")), where, text) for where, text, _ in everything())
    assert longest[0] <= LONGEST, longest


def test_most_sentences_are_short():
    found = {(where, text) for where, text, _ in everything()}
    long = [one for one in found if len(one[1].replace("**", "")) > WISHED]
    assert len(long) <= len(found) / 10, long[:10]


@pytest.mark.parametrize("face", sorted(FACES))
def test_every_letter_is_in_the_font(face):
    known = set(TTFont(ASSETS / FACES[face].file).getBestCmap())
    assert {ord(letter) for letter in "äöüÄÖÜß„“–…±Ω"} <= known
    for where, text, _ in everything():
        lacking = {letter for letter in text if ord(letter) not in known}
        assert not lacking, (where, text, lacking)


# ---------------------------------------------------------------- figures


def test_the_reader_of_points_sees_what_it_should():
    for text in ("48.2", "0.4 m", "von 1.5 bis"):
        assert POINTED.search(text)
    for text in ("48,2", "4. Mai", "C4.", "04.05.2031", "L2.in"):
        assert not POINTED.search(text)


def test_a_figure_has_a_comma():
    assert [one[:2] for one in everything() if POINTED.search(own(*one[1:]))] == []


def test_a_number_and_its_unit_never_part():
    for reader in (PARTED, GLUED):
        assert [one[:2] for one in everything() if reader.search(own(*one[1:]))] == []


@pytest.mark.parametrize(
    ("told", "text"),
    [
        (german.figure(41.04), "41,0"),
        (german.with_unit(297.4, "milliamps"), f"297{NBSP}mA"),
        (german.with_unit(0, "mbps"), "keine Verbindung"),
        (german.reach_of(0.04, "volts"), f"0,04{NBSP}V"),
        (german.reach_of(12, "metres"), f"12{NBSP}m"),
        (german.typed_with_unit("41.", "volts"), f"41,{NBSP}V"),
        (german.tied("4.6 MB"), f"4,6{NBSP}MB"),
        (german.decimal(-0.25, 2), "-0,25"),
        (german.plain_number(16.0), "16"),
        (german.plain_number(0.4), "0,4"),
        (german.comma("C4. 1.5, 2.25 und A1.line"), "C4. 1,5, 2,25 und A1.line"),
        (german.several(1, "eine Box", "Boxen"), "eine Box"),
        (german.several(2, "eine Box", "Boxen"), "zwei Boxen"),
        (german.several(0, "eine Box", "Boxen"), "keine Boxen"),
        (german.several(12, "eine Box", "Boxen"), "12 Boxen"),
        (german.speeds((1000,)), "nur Gigabit"),
        (german.speeds((10, 100)), "10/100"),
    ],
)
def test_how_a_figure_is_told(told, text):
    assert told == text


@pytest.mark.parametrize(
    ("at", "point", "spot", "side"),
    [
        ("A2.line", "A2, Leitungsseite", "A2 Leitungsseite", "Leitungsseite von A2"),
        ("A2.kit", "A2, Boxseite", "A2 Boxseite", "Boxseite von A2"),
        ("L1.out", "L1, OUT", "L1 OUT", "OUT von L1"),
        ("X.out2", "X, OUT2", "X OUT2", "OUT2 von X"),
        ("J1.b", "J1, Seite b", "J1 b", "Seite b von J1"),
    ],
)
def test_how_a_point_is_told(at, point, spot, side):
    assert (german.point(at), german.spot(at), german.side_of(at)) == (point, spot, side)


# ---------------------------------------------------------------- words never said

NEVER = re.compile(
    r"\b(fehlgeschlagen|ok|okay|ungültig\w*|erfolg\w*|warnung\w*|kritisch\w*|abschicken|abgeschickt"
    r"|speicher[ent]\w*|gespeichert|(de)?synchronisier\w*|zertifi\w*|gerät(e|en|es|s)?|knoten"
    r"|(be)?nutzer\w*|anwender\w*|bestanden|durchgefallen|(?<!fast )sicher|sicherheitshalber"
    r"|fehlschlag\w*|gescheitert|fehlerfrei|fehlermeldung\w*|bitte|sicherstell\w*|fortfahren"
    r"|abbrech\w*|abgebrochen|lösch\w*|gelöscht|klick\w*|anklick\w*|erforderlich\w*"
    r"|unerwartet\w*|aufgetreten|gefährlich\w*|ihnen)\b",
    re.IGNORECASE,
)
"""``fast sicher`` is a word of odds; by itself it would be a promise"""


def test_the_reader_of_words_never_said_sees_what_it_should():
    for text in (
        "Es ist sicher.",
        "OK",
        "Speichern",
        "ein Gerät",
        "der Benutzer",
        "Erfolgreich",
        "Bitte warten",
    ):
        assert NEVER.search(text), text
    for text in ("fast sicher, 10 von 10", "Sicherung", "Messgerät", "Speisung", "Einspeisung"):
        assert not NEVER.search(text), text


def test_words_that_are_never_said():
    assert [one[:2] for one in everything() if NEVER.search(own(*one[1:]))] == []


def test_nobody_shouts():
    assert [one[:2] for one in everything() if "!" in one[1]] == []


def test_quotes_are_german():
    texts = [(where, own(text, typed)) for where, text, typed in everything()]
    assert [one for one in texts if re.search(r"[\"'”’‘]", one[1])] == []
    assert [one for one in texts if one[1].count("„") != one[1].count("“")] == []


# ---------------------------------------------------------------- what the engine says in words

HEAD = "id,from,to,cable,metres\n"
REFUSED = (
    "",
    "id,from\n",
    '"a\n',
    f"{HEAD}a,b",
    HEAD + "x,y,z,a,1\n" * 301,
    f"{HEAD}Z9,Q.in,C.in,generic.cat6-outdoor,12",
    f"{HEAD}Z9,foo,C.in,generic.cat6-outdoor,12",
    f"{HEAD}Z9,S.zz,C.in,generic.cat6-outdoor,12",
    f"{HEAD}Z9,S.out,C.in,nix,12",
    f"{HEAD}Z9,S.out,C.in,generic.cat6-outdoor,abc",
    f"{HEAD}Z9,S.out,C.in,generic.cat6-outdoor,-3",
    f"{HEAD}C1,S.out,C.in,generic.cat6-outdoor,3",
    f"{HEAD}Z!,S.out,C.in,generic.cat6-outdoor,3",
)


@pytest.mark.parametrize("text", REFUSED)
def test_why_a_table_is_refused_is_told_in_german(text):
    doc = {**judgements()[0].state.doc, "log": []}
    with pytest.raises(BadFile) as refused:
        spans_from(doc, text)
    for one in refused.value.problems:
        told = german.table_problem(one.at, one.found, one.expected)
        assert "Nötig: " in told, told
        assert not re.search(r"\b(a|an|the|of|line|nothing|columns)\b", told), told


def test_what_the_engine_says_otherwise_is_left_out():
    assert german.table_problem("line 3", "x", "something new") == "**Zeile 3**: x."
