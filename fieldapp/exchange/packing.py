"""A job as one file: the same bytes for the same log, whoever packs it, wherever. Pure."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from engine.jobfile import LARGEST_BYTES, writing
from engine.merge import merging
from engine.showable import escaped
from engine.sliced import Steps, finish

_EPOCH = (1980, 1, 1, 0, 0, 0)
"""the first day a zip can write: the day of packing would make other bytes of the same log"""
_PLAIN_FILE = 0o100644 << 16
_UNIX = 3


@dataclass(frozen=True)
class Packed:
    """A job as a file: the name it goes by, and its bytes."""

    name: str
    data: bytes


def pack(doc: Mapping[str, Any], pictures: Mapping[str, bytes] | None = None) -> Packed:
    """The whole job, its log in the log's own order; with ``pictures`` (by sum), if only none, a zip.

    Members of the zip are stored as they are: pictures are packed already, and what a packer
    makes of a text differs from one to the next.
    """
    return finish(packing(doc, pictures))


def packing(doc: Mapping[str, Any], pictures: Mapping[str, bytes] | None = None) -> Steps[Packed]:
    """The same in steps."""
    text = yield from job_texting(doc)
    if pictures is None:
        return Packed(f"{doc['id'].lower()}.json", text)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
        put_into(archive, f"{doc['id']}.json", text)
        for name in sorted(pictures):
            yield
            put_into(archive, f"photos/{name}.jpg", pictures[name])
    return Packed(f"{doc['id'].lower()}.zip", out.getvalue())


def beside(name: str, data: bytes, job: str, others: Mapping[str, bytes]) -> bytes:
    """A packed job as a zip with these files beside it, by name; it can be taken in as a job's zip.

    ``name`` and ``data`` are those of the packed job.
    """
    out = io.BytesIO(data if name.endswith(".zip") else b"")
    with zipfile.ZipFile(out, "a" if name.endswith(".zip") else "w", zipfile.ZIP_STORED) as archive:
        if not name.endswith(".zip"):
            put_into(archive, f"{job}.json", data)
        for other in sorted(others):
            put_into(archive, other, others[other])
    return out.getvalue()


def job_texting(doc: Mapping[str, Any]) -> Steps[bytes]:
    """The job file in steps, in one line where it would else be more than a job file may be."""
    whole = yield from merging((doc,))
    data = (yield from writing(whole)).encode("utf-8")
    if len(data) <= LARGEST_BYTES:
        return data
    return escaped(json.dumps(whole, ensure_ascii=False, separators=(",", ":"))).encode("utf-8")


def put_into(archive: zipfile.ZipFile, name: str, data: bytes) -> None:
    """Store a member: the same bytes whenever and wherever that is done."""
    info = zipfile.ZipInfo(name, _EPOCH)
    info.create_system, info.external_attr = _UNIX, _PLAIN_FILE
    archive.writestr(info, data)
