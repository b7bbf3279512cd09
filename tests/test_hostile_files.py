"""Job files that were made to harm, and what of a file may be shown."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from unittest.mock import patch

import flet as ft
import pytest
from harmful_files import JOB, doc, refused
from hypothesis import given
from hypothesis import strategies as st
from test_exchange import NUMBERED
from test_merge import reading, with_log

from engine import crowds
from engine.__main__ import main
from engine.crowds import MOST, Most
from engine.jobfile import MOST_VALUES, BadFile, parse_json, read_job, write
from engine.judge import judge
from engine.showable import escaped, showable
from fieldapp.__main__ import main as farend
from fieldapp.exchange import LIMITS, document, unpack
from fieldapp.exchange.records import additions
from fieldapp.paint import look_for
from fieldapp.parts import text

# ---------------------------------------------------------------- job files

DEEP = b'{"x_a":' * 30_000
FILES: tuple[tuple[str, Callable[[], bytes]], ...] = (
    ("nothing", lambda: b""),
    ("half a letter", lambda: b'{"id": "\xc3"}'),
    ("16 bits a letter", lambda: JOB.decode().encode("utf-16")),
    ("deep lists", lambda: b"[" * 1_000_000),
    ("deep objects", lambda: DEEP),
    ("deep in a value", lambda: doc(x_a=_nested(40))),
    ("a number without end", lambda: b'{"x_a": ' + b"9" * 1_000_000 + b"}"),
    ("a number beyond all", lambda: doc(x_a=1).replace(b'"x_a": 1', b'"x_a": 1e999')),
    ("a huge length", lambda: _length(b"1" + b"0" * 4000)),
    ("a huge exponent", lambda: _length(b"1E+300")),
    ("no number", lambda: _length(b"NaN")),
    ("no end", lambda: _length(b"-Infinity")),
    ("a key twice", lambda: b'{"id": "A", "id": "B"}'),
    ("many keys, one twice", lambda: _keys(100_000, b'"k0":1')),
    ("many unknown keys", lambda: _keys(100_000)),
    ("a key of 10 MB", lambda: b'{"' + b"k" * 10_000_000 + b'": 1}'),
    ("an unknown key that steers", lambda: doc(**{"\x1b]0;x\x07\u202e": 1})),
    ("a text of 10 MB", lambda: doc(title="t" * 10_000_000)),
    ("a title that steers", lambda: doc(title="Hide \x1b[2J\x9b31m")),
    ("a title that turns", lambda: doc(title="Hide \u202egnp.exe")),
    ("half a pair", lambda: doc(title="\ud800")),
    ("millions of values", lambda: doc(x_a=[0] * (MOST_VALUES + 1))),
    ("more than 20 MB", lambda: doc(x_a="x" * 21 * 1024 * 1024)),
    ("many boxes", lambda: doc(boxes=[{"id": "A", "sheet": "nope", "stop": "x"}] * 1000)),
    ("far too many boxes", lambda: doc(boxes=[{}] * 400_000)),
    ("an entry that is none", lambda: doc(log=[None] * 90_000)),
    ("entries of wrong ids", lambda: doc(log=[{"id": "\x1b", "what": "note"}] * 90_000)),
    ("a list", lambda: b"[1]"),
    ("a later format", lambda: doc(format="farend-job/\x1b2")),
)


def _nested(levels: int) -> list:
    out: list = []
    for _ in range(levels):
        out = [out]
    return out


def _length(word: bytes) -> bytes:
    text = json.dumps({**NUMBERED, "log": []})
    at = text.index('"length_m": ') + len('"length_m": ')
    end = min(text.index(mark, at) for mark in ",}" if mark in text[at:])
    return text[:at].encode() + word + text[end:].encode()


def _keys(count: int, last: bytes = b"") -> bytes:
    rows = b",".join(b'"k%d":1' % n for n in range(count))
    return b"{" + rows + (b"," + last if last else b"") + b"}"


@pytest.mark.parametrize("name", [name for name, _ in FILES])
def test_a_file_made_to_harm_is_told_in_a_few_lines_and_in_time(name):
    refused(dict(FILES)[name]())


def test_what_may_be_said_in_any_letters_comes_in():
    """Hebrew, Arabic with its joiners, tatweel, emoji of several letters: none of it is a trick."""
    title = "מגדל הציפורים, برج الطيور می\u200cخواهم 👷🏽\u200d♀️"
    file = unpack(doc(title=title)).file
    assert file.plan.title == title and showable(title) == title


def test_what_steers_is_gone_and_letters_stay():
    steering = [*range(9), *range(11, 32), 127, *range(128, 160)]
    steering += [0x61C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A)]
    for code in steering:
        assert showable(f"a{chr(code)}b") == "ab", hex(code)
    assert showable("a\nb\tc") == "a\nb c" and showable("\ud83d") == "\ufffd"
    assert showable("Ω µ → ≥ é ü ß 東の門") == "Ω µ → ≥ é ü ß 東の門"


@given(st.text(st.characters(exclude_categories=())))
def test_escaping_is_the_same_json_and_shows_nothing_that_steers(content):
    text_ = escaped(json.dumps({content: [content]}, ensure_ascii=False))
    assert json.loads(text_) == {content: [content]}
    assert showable(text_).replace("\n", "") == text_.replace("\t", " ")
    assert text_.encode("utf-8")


def edits(count: int) -> list[dict]:
    """So many edits of one length, all from one phone."""
    same = {"device": "aa", "what": "set", "path": ["spans", "C1", "length_m"]}
    return [{"id": f"k{n}", "n": n + 1, "value": 100 + n % 7, **same} for n in range(count)]


FEW = Most(edits=50, unseen=20, boxes=12, weighed=600, readings=600)


def crowd(name: str, over: int) -> dict:
    """A job with so many more of something than ``FEW`` allows."""
    most, boxes = getattr(FEW, name, 0) + over, len(NUMBERED["boxes"])
    many = range(FEW.weighed // boxes + over)
    rows = [reading(f"r{n}", 50.0, n=n + 1, device="aa") for n in range(400)]
    match name:
        case "edits":
            return with_log(*edits(most))
        case "unseen":
            half = most // 2
            return with_log(
                *({**one, "device": f"d{n}", "n": 1} for n, one in enumerate(edits(half))),
                *({**one, "id": f"z{n}", "n": 7} for n, one in enumerate(edits(most - half))),
            )
        case "weighed":
            return with_log(*({**rows[n], "with": {"E1": {"watts": n / 4}}} for n in many))
        case "meters":
            many = range(next(n for n in range(99) if n * (n + boxes) > FEW.weighed) - 1 + over)
            return with_log(*({**rows[n], "at": f"Q{n}.in", "meter": f"m{n}"} for n in many))
        case "readings":
            return with_log(
                *({**row, "moment": "m"} for row in rows[: FEW.readings // boxes + over])
            )
        case _:
            box = next(one for one in NUMBERED["boxes"] if one["id"] == "E1")
            more = [{**box, "id": f"Q{n}"} for n in range(most - boxes)]
            return {**with_log(), "boxes": [*NUMBERED["boxes"], *more]}


@pytest.mark.parametrize("name", ["edits", "unseen", "weighed", "meters", "readings", "boxes"])
def test_what_would_take_hours_to_work_out_does_not_come_in(name):
    few = replace(LIMITS, crowd=FEW)
    assert unpack(write(crowd(name, 0)).encode(), few)
    with pytest.raises(BadFile, match="at most") as bad:
        unpack(write(crowd(name, 1)).encode(), few)
    assert len(bad.value.problems) == 1


COMMANDS = ("check", "predict", "judge", "steps", "advise", "practice", "merge")


def test_every_door_says_the_same_of_it_and_what_is_kept_opens_all_the_same(tmp_path, capsys):
    name = str(tmp_path / "a.json")
    Path(name).write_text(write(with_log(*edits(MOST.edits + 1))), encoding="utf-8")
    said = "the log: found 5001 plan edits, expected at most 5000."
    for command in COMMANDS:
        assert main([command, name]) == 2
        assert capsys.readouterr() == ("", f"{said}\n")
    data = str(tmp_path / "data")
    for words in (["import", name], [name, "--no-browser"]):
        assert farend([*words, "--data", data]) == 2
        assert capsys.readouterr() == ("", f"{name}: {said}\n")
    doc = with_log(*edits(5), *({**one, "id": f"z{n}"} for n, one in enumerate(edits(60))))
    with patch.object(crowds, "admitted", side_effect=AssertionError):
        plan, *log = ({key: doc[key] for key in doc if key != "log"}, *doc["log"])
        assert judge(read_job(document((plan, *log)))), "a journal is no door"


def test_nor_does_it_come_in_bit_by_bit():
    """Two files that are each small enough; and boxes that were put in by edits."""
    log = edits(MOST.edits)
    plan = {key: value for key, value in NUMBERED.items() if key != "log"}
    more = with_log(*({**one, "id": f"y{n}", "device": "bb"} for n, one in enumerate(log)))
    with pytest.raises(BadFile, match="plan edits"):
        additions([plan, *log], more)
    crowded = [plan, *log, {**log[0], "id": "one-more", "n": 9_000}]
    assert additions(crowded, with_log(reading("r1", 51.0, device="bb", n=1))).records, "as it was"
    box = next(one for one in NUMBERED["boxes"] if one["id"] == "E1")
    adds = [
        {
            "id": f"a{n}",
            "device": "aa",
            "n": n + 1,
            "what": "add",
            "path": ["boxes"],
            "value": value,
        }
        for n in range(40)
        if (value := {**box, "id": f"Q{n}"})
    ]
    few = replace(LIMITS, crowd=Most(boxes=20))
    with pytest.raises(BadFile, match="boxes"):
        unpack(write(with_log(*adds[:30])).encode(), few)


# ---------------------------------------------------------------- what is shown

STEERS = "\x1b]0;pwned\x07\x1b[2J\x9b31m\u202e"
"""sets a window's title, clears the screen, colours what follows, turns what follows"""


@pytest.mark.parametrize("command", ["check", "predict", "judge", "steps", "advise"])
def test_no_command_hands_a_file_s_control_characters_to_the_terminal(command, tmp_path, capsys):
    """Refused where they stand in a name; where they are kept in an own key they are not shown."""
    for number, keys in enumerate(
        ({"title": f"Hide {STEERS}"}, {"title": "Hide\u200f", "x_own": STEERS})
    ):
        path = tmp_path / f"{number}{STEERS[:-1].replace('/', '')}.json"
        path.write_bytes(doc(**keys))
        for more in ([], ["--json"]):
            status = main([command, str(path), *more])
            out, err = capsys.readouterr()
            assert status in (0, 2) and out + err
            assert showable(out + err) == out + err
    assert main(["check", f"/nowhere/{STEERS}"]) == 2
    assert "\x1b" not in capsys.readouterr().err


def test_merge_writes_what_steers_as_escapes(tmp_path, capsys):
    path = tmp_path / "a.json"
    path.write_bytes(doc(x_own=STEERS))
    assert main(["merge", str(path)]) == 0
    out = capsys.readouterr().out
    assert showable(out) == out and json.loads(out)["x_own"] == STEERS


def test_the_screen_shows_letters_and_nothing_else():
    """HTML is text like any other; what steers is gone; a lone half would end the session."""
    look = look_for(False, 390, 844, 1.0)
    shown = text(look, f"<b>Hide</b> &amp; {STEERS}\ud800").value
    assert shown == "<b>Hide</b> &amp; ]0;pwned[2J31m\ufffd"
    marked = text(look, "**a\u202e** b")
    assert [span.text for span in marked.spans] == ["a", " b"]
    assert isinstance(marked, ft.Text), "which knows no markup"


def test_a_reading_that_is_no_number_of_a_meter_is_refused():
    for value in (1e300, -1e300, 10**400, True, "48.7", None):
        log = [{**reading("r1", 1.0), "value": value}]
        with pytest.raises(BadFile):
            read_job(parse_json(json.dumps(with_log(*log))))
