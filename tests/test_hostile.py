"""Files that were made to harm: each is one clear line or comes in harmless, and nothing hangs."""

from __future__ import annotations

import io
import json
import stat
import struct
import sys
import time
import tracemalloc
import zipfile
import zlib
from collections.abc import Callable
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from random import Random
from unittest.mock import patch

import flet as ft
import pytest
from hypothesis import given
from hypothesis import strategies as st
from jpegs import made, segment
from test_exchange import NUMBERED, PICTURE, SUM, photo
from test_merge import reading, with_log

from engine import crowds
from engine.__main__ import main
from engine.crowds import MOST, Most
from engine.fields import MOST_PROBLEMS
from engine.jobfile import MOST_VALUES, BadFile, parse_json, read_job, write
from engine.judge import judge
from engine.showable import escaped, showable
from fieldapp.__main__ import main as farend
from fieldapp.exchange import LIMITS, document, unpack
from fieldapp.exchange.leftout import WHY
from fieldapp.exchange.packing import pack
from fieldapp.exchange.records import additions
from fieldapp.jpeg import without_place
from fieldapp.paint import look_for
from fieldapp.parts import text

SECONDS = 10.0
"""longer than any of these takes on a slow machine, and far shorter than a hang"""
JOB = write(NUMBERED).encode()


def zipped(*members, **keys) -> bytes:
    """A zip of (name or ZipInfo, bytes)."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", keys.pop("packing", zipfile.ZIP_DEFLATED)) as archive:
        for name, data in members:
            archive.writestr(name, data)
    return out.getvalue()


def around(*members, **keys) -> bytes:
    """A job's own zip with these in it as well."""
    return zipped(("TRIAL.json", JOB), *members, **keys)


def why(data: bytes) -> list[str]:
    """The codes of what was left out."""
    return [one.why for one in unpack(data).left_out]


def refused(data: bytes) -> str:
    """The lines that a file gets which does not come in at all."""
    before = time.perf_counter()
    with pytest.raises(BadFile) as bad:
        unpack(data)
    assert time.perf_counter() - before < SECONDS
    lines = [problem.line() for problem in bad.value.problems]
    assert 1 <= len(lines) <= MOST_PROBLEMS + LIMITS.told
    assert all(len(line) < 1000 and showable(line) == line for line in lines)
    return "\n".join(lines)


# ---------------------------------------------------------------- zips


def test_a_bomb_is_not_unpacked():
    """128 MB of zeros in 130 kB: neither as the job nor as a picture, and never held in memory."""
    bomb = b"".join(_zeros(1 << 27))
    for name, code in (("TRIAL.json", None), (f"photos/{SUM}.jpg", "large")):
        data = _raw_zip(
            [(b"TRIAL.json", JOB, len(JOB), 0)] * (code is not None)
            + [(name.encode(), bomb, 1 << 27, 8)]
        )
        tracemalloc.start()
        before = time.perf_counter()
        if code is None:
            assert "more than it may be" in refused(data)
        else:
            assert why(data) == [code]
        assert time.perf_counter() - before < SECONDS
        assert tracemalloc.get_traced_memory()[1] < 60_000_000
        tracemalloc.stop()


def _zeros(size: int):
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    block = bytes(1 << 20)
    for _ in range(size >> 20):
        yield packer.compress(block)
    yield packer.flush()


def _raw_zip(rows: list[tuple[bytes, bytes, int, int]], overlap: bool = False) -> bytes:
    """A zip written by hand: (name, packed bytes, size as stated, packing). With ``overlap`` all
    rows of the list point to the first member.
    """
    body, listed = b"", b""
    for name, packed, size, packing in rows:
        crc = zlib.crc32(packed) if packing == 0 else 0
        sizes = struct.pack("<III", crc, len(packed), size)
        place = 0 if overlap else len(body)
        if not overlap or not body:
            head = struct.pack("<4sHHHHH", b"PK\x03\x04", 20, 0, packing, 0, 0x21)
            body += head + sizes + struct.pack("<HH", len(name), 0) + name + packed
        row = struct.pack("<4sHHHHHH", b"PK\x01\x02", 20, 20, 0, packing, 0, 0x21) + sizes
        listed += row + struct.pack("<HHHHHII", len(name), 0, 0, 0, 0, 0, place) + name
    end = struct.pack(
        "<4sHHHHIIH", b"PK\x05\x06", 0, 0, len(rows), len(rows), len(listed), len(body), 0
    )
    return body + listed + end


def test_the_raw_zip_of_these_tests_is_one():
    data = _raw_zip([(b"TRIAL.json", JOB, len(JOB), 0)])
    assert unpack(data).file.plan.id == "TRIAL"


def test_many_rows_for_one_member_come_to_no_more_than_the_zip_may():
    """A zip whose list names the same packed bytes a thousand times."""
    data = _raw_zip([(b"TRIAL.json", JOB, len(JOB), 0)] * 1000, overlap=True)
    assert len(why(data)) == LIMITS.told + 1 and unpack(data).file.plan.id == "TRIAL"


def test_what_all_members_come_to_is_limited_too():
    names = [f"{n:064x}" for n in range(8)]
    log = [*NUMBERED["log"], *(photo(f"q{n}", name, n=n + 9) for n, name in enumerate(names))]
    job = write({**NUMBERED, "log": log}).encode()
    size = 100_000
    data = zipped(("TRIAL.json", job), *((f"photos/{name}.jpg", bytes(size)) for name in names))
    few = replace(LIMITS, all_bytes=len(job) + 3 * size)
    found = [one.why for one in unpack(data, few).left_out]
    assert found == ["changed"] * 3 + ["large"] * 5


def test_sizes_that_lie_are_not_believed():
    """Less than there is does not fit its sum; of more there is no more than there is."""
    for stated in (1, len(JOB) - 1):
        assert "damaged" in refused(_raw_zip([(b"TRIAL.json", JOB, stated, 0)]))
    for stated in (len(JOB) + 1, 10**9, 2**32 - 2):
        assert unpack(_raw_zip([(b"TRIAL.json", JOB, stated, 0)])).file.plan.id == "TRIAL"


NAMES = (
    "../../etc/passwd",
    "..\\..\\boot.ini",
    "/etc/passwd",
    "C:/windows/x.json",
    f"photos/../photos/{SUM}.jpg",
    f"/photos/{SUM}.jpg",
    f"photos/{SUM.upper()}.jpg",
    f"photos/{SUM}.jpg.exe",
    f"photos/{SUM}.jpg\u202egpj.exe",
    "photos/\x1b[2J.jpg",
    "nested.zip",
    "deep/er/TRIAL2.json",
    "NUL",
)


@pytest.mark.parametrize("name", NAMES, ids=range(len(NAMES)))
def test_names_that_lead_elsewhere_lead_nowhere_and_are_told(name, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    incoming = unpack(around((name, PICTURE)))
    (left,) = incoming.left_out
    assert left.why == "foreign" and showable(left.at) == left.at and len(left.at) <= 80
    assert not incoming.pictures and not list(tmp_path.rglob("*"))


def test_a_name_that_ends_at_a_zero_byte_is_not_cut_there():
    name = f"photos/{SUM}.jpg".encode() + b"\0.exe"
    data = _raw_zip([(b"TRIAL.json", JOB, len(JOB), 0), (name, PICTURE, len(PICTURE), 0)])
    assert why(data) == ["foreign"]


def test_links_and_devices_are_no_files():
    for kind, code in (
        (stat.S_IFLNK, "link"),
        (stat.S_IFIFO, "no-file"),
        (stat.S_IFCHR, "no-file"),
    ):
        info = zipfile.ZipInfo(f"photos/{SUM}.jpg")
        info.create_system, info.external_attr = 3, (kind | 0o777) << 16
        assert why(around((info, PICTURE))) == [code]
    info = zipfile.ZipInfo("TRIAL.json")
    info.create_system, info.external_attr = 3, (stat.S_IFLNK | 0o777) << 16
    assert "no job file" in refused(zipped((info, b"/etc/passwd")))


def test_two_of_one_name_and_two_jobs():
    name = f"photos/{SUM}.jpg"
    with pytest.warns(UserWarning, match="Duplicate name"):
        data = around((name, PICTURE), (name, b"another"))
    assert why(data) == ["twice"] and dict(unpack(data).pictures) == {SUM: PICTURE}
    assert "2 job files" in refused(around(("OTHER.json", JOB)))
    assert "no job file" in refused(zipped((name, PICTURE)))


def test_locked_and_strangely_packed_members_are_told():
    locked = bytearray(around((f"photos/{SUM}.jpg", PICTURE)))
    place = bytes(locked).rindex(b"PK\x01\x02")
    locked[place + 8] |= 1
    assert why(bytes(locked)) == ["locked"]
    for packing in (zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA):
        info = zipfile.ZipInfo(f"photos/{SUM}.jpg")
        info.compress_type = packing
        assert why(around((info, PICTURE))) == ["packing"], "they unpack a million times"


def test_too_many_members_are_not_even_listed():
    rows = [(b"%d" % n, b"", 0, 0) for n in range(LIMITS.members + 1)]
    assert f"more than {LIMITS.members} members" in refused(_raw_zip(rows))


def test_more_pictures_than_are_taken():
    few = replace(LIMITS, pictures=0)
    data = around((f"photos/{SUM}.jpg", PICTURE))
    assert [one.why for one in unpack(data, few).left_out] == ["many"]


def test_a_zip_that_is_longer_than_any_is_not_opened():
    few = replace(LIMITS, zip_bytes=len(JOB) - 1)
    with pytest.raises(BadFile, match="at most"):
        unpack(JOB, few)


def test_a_zip_in_a_zip_is_no_job():
    inner = around()
    assert refused(zipped(("TRIAL.json", inner)))


@pytest.mark.parametrize("cut", range(0, 1500, 37))
def test_a_zip_that_breaks_off_is_one_line(cut):
    whole = around((f"photos/{SUM}.jpg", PICTURE))
    data = whole[: min(cut, len(whole) - 1)]
    assert refused(data)


def mutated(rng: Random, whole: bytes) -> bytes:
    """These bytes with some places altered, cut out, or with some put in."""
    data = bytearray(whole)
    for _ in range(rng.choice((1, 1, 2, 6))):
        place = rng.randrange(len(data) + 1)
        match rng.randrange(5):
            case 0 | 1:
                data[place : place + 1] = bytes([rng.randrange(256)])
            case 2:
                del data[place : place + rng.randint(1, 40)]
            case 3:
                data[place:place] = rng.randbytes(rng.randint(1, 40))
            case _:
                size = rng.choice((1, 2, 4))
                data[place : place + size] = rng.choice((0, 1, 255, 256**size - 1)).to_bytes(
                    4, "little"
                )[:size]
    return bytes(data)


def survives(data: bytes) -> bool:
    """Whether it comes in: then as a job that can be read, with pictures that are what they say.

    Else it must be refused; anything else raised is a failure.
    """
    try:
        incoming = unpack(data)
    except BadFile:
        return False
    assert all(sha256(one).hexdigest() == name for name, one in incoming.pictures.items())
    assert all(left.why in WHY for left in incoming.left_out)
    assert pack(incoming.file.doc, incoming.pictures) and read_job(incoming.file.doc)
    return True


WHOLES = (
    around((f"photos/{SUM}.jpg", PICTURE)),
    pack(NUMBERED, {SUM: PICTURE}).data,
    JOB,
)


@pytest.mark.parametrize("seed", range(3))
def test_a_file_with_any_bytes_altered_comes_in_or_is_refused(seed):
    """Packed zip, stored zip, bare job file. Long form: ``python tests/test_hostile.py 100000 1``."""
    rng = Random(seed)
    came = sum(survives(mutated(rng, WHOLES[seed])) for _ in range(120))
    assert 0 < came < 120, "some of both, or the test says nothing"


# ---------------------------------------------------------------- pictures


def with_picture(data: bytes) -> bytes:
    """A zip whose log names just this picture."""
    name = sha256(data).hexdigest()
    job = {**NUMBERED, "log": [photo("p9", name, n=1)]}
    return pack(job, {name: data}).data


PICTURES: tuple[tuple[Callable[[], bytes], str], ...] = (
    (lambda: made("baseline", segment(0xE1, b"Exif\0\0" + b"54.1N")), "place"),
    (lambda: PICTURE + zipped(("x", b"y")), "place"),
    (lambda: b"<script>alert(1)</script>", "no-picture"),
    (lambda: b"\x89PNG\r\n\x1a\n" + bytes(40), "no-picture"),
    (lambda: PICTURE[:-2], "no-picture"),
    (lambda: b"", "no-picture"),
    (lambda: bytes(LIMITS.picture_bytes + 1), "large"),
)


@pytest.mark.parametrize("row", PICTURES, ids=range(len(PICTURES)))
def test_a_picture_that_is_more_or_less_than_one_is_left_out(row):
    """One that tells where it was taken is not cleaned: it would have a sum that no entry names."""
    picture, code = row
    incoming = unpack(with_picture(picture()))
    assert [one.why for one in incoming.left_out] == [code] and not incoming.pictures


def test_an_untouched_picture_keeps_its_sum():
    for kind in ("baseline", "colours", "progressive", "restarts"):
        clean = without_place(made(kind))
        assert list(unpack(with_picture(clean)).pictures) == [sha256(clean).hexdigest()]


def test_a_picture_of_other_bytes_and_one_that_nobody_named():
    assert why(around((f"photos/{SUM}.jpg", PICTURE[:-2] + b"\xff\xd9 "))) == ["changed"]
    clean = without_place(made("colours"))
    assert why(around((f"photos/{sha256(clean).hexdigest()}.jpg", clean))) == ["unnamed"]


def test_every_reason_has_its_words():
    from fieldapp.words import LEFT_OUT

    assert set(WHY) == set(LEFT_OUT)


# ---------------------------------------------------------------- job files


def doc(**keys) -> bytes:
    return json.dumps({**NUMBERED, **keys}).encode()


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


if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
    many, dice, came_in, began = int(sys.argv[1]), Random(int(sys.argv[2])), 0, time.perf_counter()
    slowest = 0.0
    for count in range(many):
        start = time.perf_counter()
        came_in += survives(mutated(dice, WHOLES[count % len(WHOLES)]))
        slowest = max(slowest, time.perf_counter() - start)
    took = time.perf_counter() - began
    print(
        f"{many} files: {came_in} came in, the others refused; slowest {slowest:.2f} s, {took:.0f} s"
    )
