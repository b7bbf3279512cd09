"""``farend export`` and ``farend import``: a job out of the data folder, files into it."""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import secrets
import sys
from collections.abc import AsyncIterator, Callable
from hashlib import sha256
from pathlib import Path

from engine.jobfile import BadFile, JobFile, read_job
from engine.judge import judge
from engine.merge import NotOneJob
from engine.readings_csv import readings_csv
from fieldapp.exchange.bringing import Brought
from fieldapp.exchange.packing import pack
from fieldapp.exchange.perform import bring_to
from fieldapp.exchange.reading import read_files
from fieldapp.exchange.records import document
from fieldapp.exchange.unpacking import Incoming, photographed
from fieldapp.jpeg import NotAPicture
from fieldapp.services import World
from fieldapp.shelf import Shelf
from fieldapp.store.errors import (
    BadJobId,
    JobUnreadable,
    NoSuchJob,
    StoreBusy,
    StoreError,
    StoreFull,
    StoreReadOnly,
)
from fieldapp.store.files import open_files, read_journal, read_picture
from fieldapp.store.journal import decode, head_of
from fieldapp.troubles import is_newer

LONGEST_NAME = 200
"""letters of a file's name in the log (``engine/entries.py``)"""
ENDINGS = (".zip", ".json", ".csv")
WHY = {
    StoreBusy: "another farend has the folder open",
    StoreFull: "no room is left",
    StoreReadOnly: "nothing can be written there",
    JobUnreadable: "its journal does not begin with a plan",
    NoSuchJob: "no such job is kept here",
    BadJobId: "a job's id has letters, digits and - only",
}
"""why the store could not do it"""


class Trouble(Exception):
    """What stops a command, as its one line."""


def parser(command: str) -> argparse.ArgumentParser:
    """The grammar of one of the two."""
    about = {
        "export": "A job with its log and photos as one file, or its readings as a table.",
        "import": "Job files, or zips of them with photos, into the data folder.",
    }[command]
    top = argparse.ArgumentParser(prog=f"farend {command}", description=about)
    if command == "export":
        top.add_argument("job", metavar="JOB", help="its id")
        top.add_argument(
            "-o",
            dest="out",
            metavar="FILE",
            help=f"ends with {', '.join(ENDINGS)}; JOB.zip, or "
            "JOB.json for a job without photos, when not given",
        )
    else:
        top.add_argument("files", metavar="FILE", nargs="+")
    top.add_argument("--data", metavar="DIR", help="where the jobs are kept")
    return top


def run(command: str, words: list[str], folder_of: Callable[[str | None], Path]) -> int:
    """Run one of the two; 0, or 2 where anything of it could not be done."""
    args = parser(command).parse_args(words)
    folder = folder_of(args.data)
    act = _export if command == "export" else _import
    try:
        return asyncio.run(act(args, folder))
    except Trouble as trouble:
        print(trouble, file=sys.stderr)
    except StoreError as error:
        print(f"{folder}: {_why(error)}.", file=sys.stderr)
    except OSError as error:
        print(f"{error.filename}: {(error.strerror or 'not written').lower()}", file=sys.stderr)
    return 2


def _why(error: StoreError) -> str:
    if is_newer(error):
        return "a newer farend keeps it"
    return WHY.get(type(error), "the store failed")


# ---------------------------------------------------------------- out


async def _export(args: argparse.Namespace, folder: Path) -> int:
    """Write the file; a whole job that was is logged as copied where the folder can be written."""
    out = Path(args.out) if args.out else None
    if out is not None and out.suffix.lower() not in ENDINGS:
        raise Trouble(f"{out}: the name of the file ends with {', '.join(ENDINGS)}.")
    name, data, lacking = _file(args.job, out, folder)
    place = out or _free(name)
    _write(place, data)
    not_logged = "" if name.endswith(".csv") else await _log(args.job, place.name, data, folder)
    if lacking:
        print(f"{name}: without {_many(lacking, 'photo', 'photos')} of its log.", file=sys.stderr)
    print(f"{place}: {args.job.upper()}, {_many(len(data), 'byte', 'bytes')}{not_logged}.")
    return 0


def _file(job: str, out: Path | None, folder: Path) -> tuple[str, bytes, int]:
    """The file's name and bytes, and how many photos of the log are not in it."""
    file = _read(job, folder)
    ending = out.suffix.lower() if out else ""
    if out is not None and ending == ".csv":
        return out.name, readings_csv(judge(file)), 0
    names = () if ending == ".json" else sorted(photographed(file))
    found = {name: read_picture(folder, job, name) for name in names}
    pictures = {name: data for name, data in found.items() if data is not None}
    whole = pack(file.doc, pictures if pictures or ending == ".zip" else None)
    return (out.name if out else whole.name), whole.data, len(names) - len(pictures)


def _read(job: str, folder: Path) -> JobFile:
    try:
        decoded = decode(read_journal(folder, job))
        head = head_of(decoded, job)
        return read_job(document((head.plan, *decoded.records[1:])))
    except BadFile as bad:
        raise Trouble(f"{job}: {bad.problems[0].line()}") from None
    except StoreError as error:
        raise Trouble(f"{job}: {_why(error)}.") from None


def _write(path: Path, data: bytes) -> None:
    """Write beside the place and move it there: what stood there is whole until then."""
    part = path.with_name(f"{path.name}.part")
    part.write_bytes(data)
    part.replace(path)


def _free(name: str) -> Path:
    """A name that nobody gave writes over nothing: with a number behind it where it is taken."""
    path, number = Path(name), 1
    while path.exists():
        number += 1
        path = Path(name).with_stem(f"{Path(name).stem}-{number}")
    return path


async def _log(job: str, name: str, data: bytes, folder: Path) -> str:
    """Log the copy; empty, or why it was not: it is a copy all the same."""
    draft = {"what": "export", "sha256": sha256(data).hexdigest(), "to": name[-LONGEST_NAME:]}
    try:
        async with _shelf(folder) as shelf:
            shelf.keep(await shelf.journal(job), (draft,))
    except StoreError as error:
        return f"; not logged, {_why(error)}"
    return ""


@contextlib.asynccontextmanager
async def _shelf(folder: Path) -> AsyncIterator[Shelf]:
    """The jobs of a folder, as long as nobody else has it open."""
    world = World()
    store = await open_files(folder, now=world.stamp, draw=lambda: secrets.token_hex(4))
    try:
        yield Shelf(store, world)
    finally:
        store.close()


# ---------------------------------------------------------------- in


async def _import(args: argparse.Namespace, folder: Path) -> int:
    """Bring each file in, all of it or nothing; one line a file."""
    async with _shelf(folder) as shelf:
        came = [await _import_one(name, shelf) for name in args.files]
    return 0 if all(came) else 2


async def _import_one(name: str, shelf: Shelf) -> bool:
    all_came = True
    for at, incoming in read_files(name).items():
        brought = await bring_in(at, incoming, shelf) if incoming else None
        if brought is not None:
            print(f"{at}: {came(brought)}.")
        all_came = all_came and brought is not None
    return all_came


async def bring_in(name: str, incoming: Incoming, shelf: Shelf) -> Brought | None:
    """Bring one file to the shelf; None where it could not be, which is told, as is what was left
    out of it."""
    try:
        brought = await bring_to(shelf, incoming, Path(name).name)
    except BadFile as bad:
        for problem in bad.problems:
            print(f"{name}: {problem.line()}", file=sys.stderr)
        return None
    except (NotOneJob, NotAPicture) as trouble:
        print(f"{name}: {trouble}; nothing was changed.", file=sys.stderr)
        return None
    except StoreError as error:
        print(f"{name}: {_why(error)}.", file=sys.stderr)
        return None
    for one in incoming.left_out:
        print(f"{name}: left out {one.problem().line()}", file=sys.stderr)
    for ident in brought.twins:
        print(f"{ident} stands for two different entries; both are kept.", file=sys.stderr)
    return brought


def came(brought: Brought) -> str:
    """What of a file was new."""
    job = brought.journal.job
    many = _many(brought.entries, "entry", "entries")
    if brought.pictures:
        many += f" and {_many(brought.pictures, 'photo', 'photos')}"
    if brought.is_new:
        return f"new job {job}, {many}"
    if not brought.entries and not brought.pictures:
        return f"{job} has all of it already"
    return f"{job}, {many} more"


def _many(count: int, one: str, more: str) -> str:
    return f"{count} {one if count == 1 else more}"
