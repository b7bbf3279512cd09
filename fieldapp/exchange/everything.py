"""All jobs as one zip of their own files, and such a zip taken apart again. Pure."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator, Sequence

from engine.fields import Problem
from engine.jobfile import BadFile
from engine.sliced import Steps, finish
from fieldapp.exchange.archive import BEGINS, Archive, Member, plain_files
from fieldapp.exchange.leftout import LeftOut, Refused
from fieldapp.exchange.limits import LIMITS, Limits
from fieldapp.exchange.packing import Packed, put_into

PART = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ()_-]{0,110}\.(?P<kind>json|zip)")
"""a job's own file in it"""
NO_ZIP = (zipfile.BadZipFile, OSError, ValueError, RuntimeError, LookupError)


def everything(files: Sequence[Packed]) -> bytes:
    """The jobs' files in one zip, each under its own name; of two that share one the later has a
    number."""
    return finish(together(files))


def together(files: Sequence[Packed]) -> Steps[bytes]:
    """The same in steps, a file each."""
    out, taken = io.BytesIO(), set[str]()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
        for one in files:
            stem, _, ending = one.name.rpartition(".")
            name, number = one.name, 1
            while name in taken:
                number += 1
                name = f"{stem}-{number}.{ending}"
            taken.add(name)
            put_into(archive, name, one.data)
            yield
    return out.getvalue()


def parts_of(data: bytes, limits: Limits = LIMITS) -> Iterator[tuple[str, bytes]] | None:
    """The jobs' files in such a zip, one at a time; None for what is none of these.

    A zip of one job and its photos is none.

    Raises
    ------
    BadFile, while they come : a part is damaged, or too much.
    """
    if not data.startswith(BEGINS) or len(data) > limits.zip_bytes:
        return None
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
        infos = archive.infolist()
    except NO_ZIP:
        return None
    members = [Member(name, info) for name, info in plain_files(infos, [])]
    found = [PART.fullmatch(one.info.orig_filename) for one in members]
    is_one_job = len(members) == 1 and members[0].name.endswith(".json")
    if not members or None in found or is_one_job or len(members) > limits.jobs:
        return None
    return _read(Archive(members[0], (), [], archive, limits), members, limits)


def _read(archive: Archive, members: list[Member], limits: Limits) -> Iterator[tuple[str, bytes]]:
    for one in members:
        try:
            yield one.name, archive.read(one, limits.zip_bytes)
        except Refused as refused:
            raise BadFile([LeftOut(one.name, refused.why).problem()]) from None
        if archive.is_spent:
            found = f"more than {limits.all_bytes} bytes"
            raise BadFile([Problem("the zip", found, "less, or its files one by one")])
