"""Zips and pictures that were made to harm: each is one clear line or comes in harmless, and nothing hangs."""

from __future__ import annotations

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

import pytest
from harmful_files import JOB, SECONDS, around, refused, why, zipped
from jpegs import made, segment
from test_exchange import NUMBERED, PICTURE, SUM, photo

from engine.jobfile import BadFile, read_job, write
from engine.showable import showable
from fieldapp.exchange import LIMITS, unpack
from fieldapp.exchange.leftout import WHY
from fieldapp.exchange.packing import pack
from fieldapp.jpeg import without_place

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
