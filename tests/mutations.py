"""Small job files and zips of them, hurt in every way that comes to mind. Chance is the caller's.

``seeds`` are whole and can be read; ``mutated`` hurts one of them as text, as a tree of values or
as a zip. Nothing made here is larger than ``MOST_BYTES``.
"""

from __future__ import annotations

import io
import json
import re
import stat
import zipfile
from collections.abc import Callable, Iterator
from copy import deepcopy
from functools import cache
from hashlib import sha256
from pathlib import Path
from random import Random
from typing import Any

from jobs import chain, endpoint, run, source
from jpegs import JFIF, made
from random_jobs import random_job

MOST_BYTES = 4096
SAMPLES = Path(__file__).resolve().parents[1] / "sample_jobs"
PICTURE = made("baseline", JFIF)
PICTURE_SUM = sha256(PICTURE).hexdigest()


def entry(number: int, what: str, device: str = "aa", **keys: Any) -> dict[str, Any]:
    """An entry of the log as the app writes it."""
    head = {"id": f"e{number}", "t": f"2031-05-04T10:{number:02}:00Z", "device": device}
    return {**head, "n": number, "seen": {"aa": number - 1}, "by": "Ida", "what": what, **keys}


LOG = (
    entry(1, "visit", people=2),
    entry(2, "step", step="meter.site", state="done"),
    entry(3, "reading", at="E1.in", kind="volts", value=51.2, moment="m", **{"with": {"*": "off"}}),
    entry(4, "reading", at="C1", kind="loop_ohms", pairs={"1": 13.4, "2": 13.5}),
    entry(5, "set", path=["spans", "C1", "length_m"], value=120, was=100, **{"as": "correction"}),
    entry(6, "set", "bb", path=["spans", "C1", "length_m"], value=130),
    entry(7, "add", path=["earths", "EB7"], value={"stop": "post", "target_ohms": 10}),
    entry(8, "remove", path=["earths", "EB7"]),
    entry(9, "resolve", of=["e5", "e6"], keep="e5"),
    entry(10, "change", where="C1", did="new plug"),
    entry(11, "found", where="C1", cause="span.high", sure=0.8, text="two joints, ✓ wet"),
    entry(12, "void", of="e3", why="other port"),
    entry(13, "waive", of="bond.A1", reason="owner asks", role="owner"),
    entry(14, "photo", of="E1", sha256=PICTURE_SUM, bytes=len(PICTURE), width=37, height=21),
    entry(15, "note", at="E1", text="water =1+1 <b>in</b> the box", x_together="p1"),
    entry(16, "sign", role="owner", strokes=[[[0, 0], [1, 1]]]),
    entry(17, "export", sha256="0" * 64, to="a.zip"),
    entry(18, "leave", open=["photo.E1"]),
    entry(19, "weather", wind={"from": "NW"}),
)


@cache
def documents() -> tuple[str, ...]:
    """Whole job files, as short texts."""
    plan = chain(source(54), run(100), endpoint(12))
    docs = [json.loads(path.read_text(encoding="utf-8")) for path in sorted(SAMPLES.glob("*.json"))]
    docs += [random_job(seed, boxes) for seed, boxes in ((1, 2), (2, 3), (3, 4), (4, 5))]
    docs += [{**plan, "log": list(part)} for part in (LOG[:7], LOG[4:11], LOG[10:])]
    texts = (json.dumps(doc, ensure_ascii=False, separators=(",", ":")) for doc in docs)
    return tuple(text for text in texts if len(text.encode()) <= MOST_BYTES)


@cache
def seeds() -> tuple[bytes, ...]:
    """Whole files of both kinds: the job files, and zips of the shorter of them."""
    bare = [text.encode() for text in documents()]
    zips = [zipped([(f"{number}.json", data)], Random(0)) for number, data in enumerate(bare)]
    photos = [(f"photos/{PICTURE_SUM}.jpg", PICTURE)]
    zips.append(zipped([("job.json", bare[-1]), *photos], Random(0)))
    return tuple(data for data in (*bare, *zips) if len(data) <= MOST_BYTES)


def zipped(members: list[tuple[str, bytes]], rng: Random, odd: float = 0) -> bytes:
    """A zip; each member is odd in its kind or packing with this chance."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, data in members:
            info = zipfile.ZipInfo(name)
            info.compress_type = zipfile.ZIP_DEFLATED
            info.external_attr = 0o100644 << 16
            if rng.random() < odd:
                kind = rng.choice((stat.S_IFLNK, stat.S_IFIFO, stat.S_IFDIR, stat.S_IFCHR))
                info.external_attr = (kind | 0o777) << 16
            if rng.random() < odd:
                info.compress_type = rng.choice((zipfile.ZIP_STORED, zipfile.ZIP_BZIP2))
            archive.writestr(info, data)
    return out.getvalue()


def mutated(rng: Random) -> bytes:
    """One hurt file of at most ``MOST_BYTES``."""
    kind = rng.random()
    if kind < 0.6:
        data = _hurt_tree(rng)
    elif kind < 0.8:
        data = _hurt_bytes(rng, rng.choice(seeds()), TOKENS)
    else:
        data = _hurt_zip(rng)
    return data[:MOST_BYTES]


# ---------------------------------------------------------------- as a tree

DEEP: Any = "x"
for _ in range(30):
    DEEP = [DEEP]
NASTY: tuple[Any, ...] = (
    *(0, -0.0, 1, -1, 2, 0.5, 1e-9, 5e-324, 1e9, 1e15, 1e308, -1e308, 2**31, 2**63, 10**40),
    *(True, False, None, "", " ", "x", "*", "E1.in", "E1", "C1", "e3", "aa", "post", "S1.out"),
    *("\0", "\ud800", "\udc00\ud800", "\u202eabc", "\u200b", "a\nb", "\x1b[2J", "=1+1", "\ufeff"),
    *("A" * 90, "ß" * 2100, "0" * 64, "1e999", "nan", "2031-02-30T25:61:00Z", "x_a", "../x"),
    *([], {}, [[]], {"": {}}, [1] * 300, DEEP, {"low": 3, "expected": 2, "high": 1}),
    *({"low": 0, "expected": 0, "high": 0}, {"watts": 5}, {"*": "off"}, {"E1": {"watts": 1e9}}),
    *({"low": 1, "expected": 1e300, "high": 1e308}, "source", "repeater", "endpoint", "by-class"),
)


def _places(value: Any, path: tuple = ()) -> Iterator[tuple]:
    """All places below a value."""
    items = value.items() if isinstance(value, dict) else enumerate(value)
    for key, inner in items:
        yield (*path, key)
        if isinstance(inner, dict | list):
            yield from _places(inner, (*path, key))


def _at(doc: Any, path: tuple) -> Any:
    for key in path:
        doc = doc[key]
    return doc


def _hurt_tree(rng: Random) -> bytes:
    doc = json.loads(rng.choice(documents()))
    for _ in range(rng.choice((1, 1, 1, 2, 4))):
        path = rng.choice(list(_places(doc)) or [()])
        if path:
            rng.choice(TREE)(rng, doc, _at(doc, path[:-1]), path[-1])
    text = json.dumps(doc, ensure_ascii=rng.random() < 0.5)
    return text.encode("utf-8", "surrogatepass" if rng.random() < 0.1 else "backslashreplace")


def _put_nasty(rng: Random, doc: Any, holder: Any, key: Any) -> None:
    holder[key] = deepcopy(rng.choice(NASTY))


def _scale(rng: Random, doc: Any, holder: Any, key: Any) -> None:
    old = holder[key]
    if isinstance(old, int | float):
        holder[key] = old * rng.choice((-1, 0, 0.001, 0.5, 1.01, 10, 1000, 1e6))
    else:
        _put_nasty(rng, doc, holder, key)


def _take_out(rng: Random, doc: Any, holder: Any, key: Any) -> None:
    del holder[key]


def _rename(rng: Random, doc: Any, holder: Any, key: Any) -> None:
    if isinstance(holder, dict):
        holder[rng.choice((f"{key}x", f"x_{key}", "id", "what", "low", "", "\ud800"))] = holder.pop(
            key
        )


def _twice(rng: Random, doc: Any, holder: Any, key: Any) -> None:
    if isinstance(holder, list):
        holder.insert(rng.randrange(len(holder) + 1), holder[key])
    else:
        holder[f"{key}2"] = holder[key]


def _swap(rng: Random, doc: Any, holder: Any, key: Any) -> None:
    """What stands at another place, here; a copy, for a tree has no circles."""
    other = _at(doc, rng.choice(list(_places(doc))))
    holder[key] = json.loads(json.dumps(other))


TREE: tuple[Callable[[Random, Any, Any, Any], None], ...] = (
    *(_put_nasty, _put_nasty, _scale, _scale, _scale, _scale),
    *(_take_out, _rename, _twice, _swap, _swap),
)

# ---------------------------------------------------------------- as bytes

TOKENS: tuple[bytes, ...] = (
    *(b"NaN", b"-Infinity", b"1e999", b"-1e-999", b"9" * 500, b"-0", b"1e5", b"0.1", b"null"),
    *(b'"', b"\\", b"{", b"}", b"[", b"]", b",", b":", b"[" * 40, b'{"a":' * 25, b'"id":"E1",'),
    *(b"\\ud800", b"\\u0000", b"\xff", b"\xc0\x80", b"\xed\xa0\x80", b"\xef\xbb\xbf", b"\r\n"),
)
ZIP_TOKENS: tuple[bytes, ...] = (
    *(b"PK\x01\x02", b"PK\x03\x04", b"PK\x05\x06", b"PK\x06\x06", b"\xff\xff\xff\xff", b"\0" * 4),
    *(b"\xff\xff", b"../", b"\0", b"\x01\0\x18\0", b"photos/"),
)
_NUMBER = re.compile(rb"-?[0-9]+(\.[0-9]+)?")


def _hurt_bytes(rng: Random, data: bytes, tokens: tuple[bytes, ...]) -> bytes:
    for _ in range(rng.choice((1, 1, 2, 5))):
        data = rng.choice(BYTES)(rng, data, tokens)
    return data


def _span(rng: Random, data: bytes, longest: int = 60) -> tuple[int, int]:
    start = rng.randrange(len(data) + 1)
    return start, min(len(data), start + rng.randint(0, longest))


def _flip(rng: Random, data: bytes, tokens: tuple[bytes, ...]) -> bytes:
    hurt = bytearray(data)
    if hurt:
        hurt[rng.randrange(len(hurt))] ^= 1 << rng.randrange(8)
    return bytes(hurt)


def _cut(rng: Random, data: bytes, tokens: tuple[bytes, ...]) -> bytes:
    start, end = _span(rng, data)
    return data[:start] + data[end:]


def _stop(rng: Random, data: bytes, tokens: tuple[bytes, ...]) -> bytes:
    return data[: rng.randrange(len(data) + 1)]


def _insert(rng: Random, data: bytes, tokens: tuple[bytes, ...]) -> bytes:
    start, end = _span(rng, data, 4)
    return data[:start] + rng.choice(tokens) + data[end:]


def _number(rng: Random, data: bytes, tokens: tuple[bytes, ...]) -> bytes:
    """Another number where one stands."""
    found = list(_NUMBER.finditer(data))
    if not found:
        return data
    one = rng.choice(found)
    return data[: one.start()] + rng.choice(tokens) + data[one.end() :]


def _splice(rng: Random, data: bytes, tokens: tuple[bytes, ...]) -> bytes:
    start, end = _span(rng, data, 400)
    return data[:start] + data[start:end] * 2 + data[end:]


BYTES = (_flip, _flip, _cut, _stop, _insert, _number, _number, _splice)

# ---------------------------------------------------------------- as a zip

NAMES = (
    *("job.json", "a/job.json", "../job.json", "/job.json", "C:\\job.json", "job.JSON", "j.json/"),
    *(f"photos/{PICTURE_SUM}.jpg", f"a/photos/{PICTURE_SUM}.jpg", "photos/../job.json", "x" * 200),
    *(
        f"photos/{'0' * 64}.jpg",
        "\u202egpj.json",
        "a\nb.json",
        "photos/",
        "con.json",
        "job (1).json",
    ),
)


def _hurt_zip(rng: Random) -> bytes:
    job = rng.choice(documents()).encode() if rng.random() < 0.7 else _hurt_tree(rng)
    picture = _hurt_bytes(rng, PICTURE, ZIP_TOKENS) if rng.random() < 0.5 else PICTURE
    members = [("job.json", job)]
    members += [(name, rng.choice((picture, job, b""))) for name in rng.sample(NAMES, 2)]
    members = rng.sample(members, rng.randint(1, 3))
    data = zipped(list(dict(members).items()), rng, odd=0.1)
    return _hurt_bytes(rng, data, ZIP_TOKENS) if rng.random() < 0.5 else data
