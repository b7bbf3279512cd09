"""A zip from elsewhere taken apart: only what a job's zip holds is read, and never by its own word.

Sizes are counted while they come out. No member is ever written anywhere by its name, so a name
that climbs out of a folder leads nowhere; it is told all the same, as is all else that does not
belong in a job's zip.
"""

from __future__ import annotations

import io
import re
import stat
import struct
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass

from engine.fields import Problem
from engine.jobfile import BadFile
from engine.showable import showable
from fieldapp.exchange.leftout import LeftOut, Refused
from fieldapp.exchange.limits import LIMITS, Limits

BEGINS = (b"PK\x03\x04", b"PK\x05\x06")
"""a zip, and an empty one (PKWARE's APPNOTE, 4.3.7 and 4.3.16, ``from memory``)"""
_LISTED = b"PK\x01\x02"
"""what each row of a zip's list begins with (4.3.12, ``from memory``)"""
_SLICE = 65_536
_FOLDER = r"(?P<folder>[^/\\:\x00-\x1f]{1,100}/)?"
_JOB = re.compile(_FOLDER + r"[A-Za-z0-9][A-Za-z0-9 ()_-]{0,110}\.json")
"""with one folder round all, as file managers pack it; names as browsers number them"""
_PICTURE = re.compile(_FOLDER + r"photos/(?P<sum>[0-9a-f]{64})\.jpg")
_PAPER = re.compile(
    _FOLDER + r"[A-Za-z0-9][A-Za-z0-9 ()_-]{0,110}-(record\.(pdf|html)|labels\.pdf)"
)
"""what was made of a job and lies beside it: it is there for people, and is not read"""
_PACKINGS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_BROKEN = (
    zipfile.BadZipFile,
    zlib.error,
    struct.error,
    EOFError,
    OSError,
    OverflowError,
    ValueError,
    RuntimeError,
    LookupError,
)
"""what the library raises for zips that are none"""


@dataclass(frozen=True)
class Member:
    """One thing in a zip, not yet unpacked: its name as shown, and what it is taken for."""

    name: str
    info: zipfile.ZipInfo
    sum: str = ""
    """of a picture, by its name"""


@dataclass
class Archive:
    """An opened zip; ``left_out`` grows as it is read."""

    job: Member
    pictures: tuple[Member, ...]
    left_out: list[LeftOut]
    _zip: zipfile.ZipFile
    _limits: Limits
    _came: int = 0
    """bytes unpacked so far"""

    @property
    def is_spent(self) -> bool:
        """Whether so much came out of it that nothing more is read."""
        return self._came > self._limits.all_bytes

    def read(self, member: Member, most: int) -> bytes:
        """A member unpacked, counted while it comes out.

        Raises
        ------
        Refused : it is more than it may be, or damaged.
        """
        out, size = [], 0
        try:
            with self._zip.open(member.info) as stream:
                while piece := stream.read(_SLICE):
                    size += len(piece)
                    self._came += len(piece)
                    if self._is_too_much(member, size, most):
                        raise Refused("large")
                    out.append(piece)
        except _BROKEN:
            raise Refused("damaged") from None
        return b"".join(out)

    def _is_too_much(self, member: Member, size: int, most: int) -> bool:
        limits, packed = self._limits, max(member.info.compress_size, 1)
        is_bomb = size > limits.ratio_from and size > limits.ratio * packed
        return size > most or is_bomb or self.is_spent


def opened(data: bytes, limits: Limits = LIMITS) -> Archive:
    """The members of a zip that a job's zip has.

    Raises
    ------
    BadFile : no zip, too many members, no job file in it or several.
    """
    if data.count(_LISTED) > limits.members:
        raise _bad("the zip", f"more than {limits.members} members", f"at most {limits.members}")
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
        infos = archive.infolist()
    except _BROKEN:
        raise _bad("the zip", "damaged bytes", "a whole zip") from None
    left_out: list[LeftOut] = []
    files = tuple(plain_files(infos, left_out))
    jobs = [
        (Member(name, info), of["folder"])
        for name, info in files
        if (of := _JOB.fullmatch(info.orig_filename)) is not None
    ]
    if len(jobs) != 1:
        found = f"{len(jobs)} job files" if jobs else "no job file"
        told = [one.problem() for one in left_out[: limits.told]]
        raise BadFile([Problem("the zip", found, "one, beside its photos"), *told])
    ((job, folder),) = jobs
    pictures: list[Member] = []
    for name, info in files:
        picture = _PICTURE.fullmatch(info.orig_filename)
        if picture and picture["folder"] == folder and len(pictures) < limits.pictures:
            pictures.append(Member(name, info, picture["sum"]))
        elif picture and picture["folder"] == folder:
            left_out.append(LeftOut(name, "many"))
        elif info is not job.info and not _PAPER.fullmatch(info.orig_filename):
            left_out.append(LeftOut(name, "foreign"))
    return Archive(job, tuple(pictures), left_out, archive, limits)


def plain_files(
    infos: list[zipfile.ZipInfo], left_out: list[LeftOut]
) -> Iterator[tuple[str, zipfile.ZipInfo]]:
    """The members that are plain files, each name once; why the others are not."""
    known: set[str] = set()
    for info in infos:
        name = shown_name(info.orig_filename)
        kind = stat.S_IFMT(info.external_attr >> 16)
        if info.orig_filename.endswith("/"):
            continue
        if why := _why_not(info, kind, info.orig_filename in known):
            left_out.append(LeftOut(name, why))
            continue
        known.add(info.orig_filename)
        yield name, info


def _why_not(info: zipfile.ZipInfo, kind: int, is_known: bool) -> str:
    """The code of why a member is not read; empty where it is."""
    if kind == stat.S_IFLNK:
        return "link"
    if kind not in (0, stat.S_IFREG):
        return "no-file"
    if info.flag_bits & 0x1:
        return "locked"
    if info.compress_type not in _PACKINGS:
        return "packing"
    return "twice" if is_known else ""


def shown_name(name: str) -> str:
    """A file's name as it may be shown: one line, not long, and nothing that turns it about."""
    plain = showable(name).replace("\n", " ").strip()
    return plain if len(plain) <= 80 else f"{plain[:50]}…{plain[-25:]}"


def _bad(at: str, found: str, expected: str) -> BadFile:
    return BadFile([Problem(at, found, expected)])
