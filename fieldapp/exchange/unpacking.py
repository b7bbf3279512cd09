"""A file from elsewhere as a job with its pictures; what was left out is told. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from types import MappingProxyType

from engine.crowds import admitted
from engine.fields import Problem
from engine.jobfile import BadFile, JobFile, parse_json, read_job
from fieldapp.exchange.archive import BEGINS, Archive, Member, opened
from fieldapp.exchange.leftout import LeftOut, Refused
from fieldapp.exchange.limits import LIMITS, Limits
from fieldapp.jpeg import NotAPicture, without_place


@dataclass(frozen=True)
class Incoming:
    """What a file brings: a job that can be read, and pictures by their sums.

    Each picture is one that the job's log names, is just what the log says, and tells nothing
    of where it was taken.
    """

    file: JobFile
    pictures: Mapping[str, bytes] = field(default_factory=lambda: MappingProxyType({}))
    left_out: tuple[LeftOut, ...] = ()
    """what else was in it, and why it was not taken"""


def unpack(data: bytes, limits: Limits = LIMITS) -> Incoming:
    """The job in a file, which is a job file or a zip of one with its pictures.

    Raises
    ------
    BadFile : nothing of it is to be taken.
    """
    if len(data) > limits.zip_bytes:
        found = f"{len(data)} bytes"
        raise BadFile([Problem("the file", found, f"at most {limits.zip_bytes} bytes")])
    if not data.startswith(BEGINS):
        return Incoming(_read(data, limits))
    archive = opened(data, limits)
    file = _job_in(archive, limits)
    pictures = dict(_pictures(archive, photographed(file), limits))
    return Incoming(file, MappingProxyType(pictures), _told(archive.left_out, limits))


def _job_in(archive: Archive, limits: Limits) -> JobFile:
    try:
        data = archive.read(archive.job, limits.job_bytes)
    except Refused as refused:
        raise BadFile([LeftOut(archive.job.name, refused.why).problem()]) from None
    return _read(data, limits)


def _read(data: bytes, limits: Limits) -> JobFile:
    return admitted(read_job(parse_json(data)), limits.crowd)


def photographed(file: JobFile) -> frozenset[str]:
    """The sums of all pictures that a log names, taken back or not."""
    return frozenset(entry.body["sha256"] for entry in file.entries if entry.what == "photo")


def _pictures(
    archive: Archive, named: frozenset[str], limits: Limits
) -> Iterator[tuple[str, bytes]]:
    """The pictures that are what they should be, one at a time."""
    for member in archive.pictures:
        try:
            yield member.sum, _picture(archive, member, named, limits)
        except Refused as refused:
            archive.left_out.append(LeftOut(member.name, refused.why))


def _picture(archive: Archive, member: Member, named: frozenset[str], limits: Limits) -> bytes:
    """A picture just as it was kept. Raises Refused.

    One that tells more than it shows is not made clean here: it would have another sum, and the
    entry that names it would speak of no picture at all.
    """
    if member.sum not in named:
        raise Refused("unnamed")
    if archive.is_spent:
        raise Refused("large")
    data = archive.read(member, limits.picture_bytes)
    if sha256(data).hexdigest() != member.sum:
        raise Refused("changed")
    try:
        clean = without_place(data)
    except NotAPicture:
        raise Refused("no-picture") from None
    if clean != data:
        raise Refused("place")
    return data


def _told(left_out: list[LeftOut], limits: Limits) -> tuple[LeftOut, ...]:
    """The first of them, and that there are more."""
    if len(left_out) <= limits.told:
        return tuple(left_out)
    more = f"{len(left_out) - limits.told} things"
    return (*left_out[: limits.told], LeftOut(more, "more"))
