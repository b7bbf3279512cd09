"""``farend report``: the record of a job file, or of a zip of one with its photos."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType

from engine.diagnose.account import Account
from engine.judge import Judgement, judge
from engine.sliced import finish
from fieldapp.exchange.reading import read_file
from fieldapp.exchange.unpacking import Incoming
from fieldapp.handover.documents import seeking
from fieldapp.handover.html import PAPERS, html
from fieldapp.handover.page import Record
from fieldapp.handover.record import needs_account, record
from fieldapp.handover.report_pdf import record_pdf

HTML, PDF = ".html", ".pdf"
WRITERS: Mapping[str, Callable[[Record, Mapping[str, bytes], str], bytes]] = MappingProxyType(
    {HTML: lambda *of: html(*of).encode("utf-8"), PDF: record_pdf}
)
"""by how the name of the file ends"""


def parser() -> argparse.ArgumentParser:
    """The grammar of the command."""
    top = argparse.ArgumentParser(
        prog="farend report",
        description="The record of a job for whoever comes back: a PDF, or one HTML file that prints.",
    )
    top.add_argument("file", metavar="FILE", help="a job file, or a zip of one with its photos")
    top.add_argument(
        "-o", dest="out", metavar="OUT", required=True, help="OUT.pdf or OUT.html, what to write"
    )
    top.add_argument("--size", choices=tuple(PAPERS), default="a4", help="of the paper; a4")
    return top


def report(arguments: list[str]) -> int:
    """Write the record; 0, or 2 where something cannot be read or written."""
    args = parser().parse_args(arguments)
    out = Path(args.out)
    kind = out.suffix.lower()
    if kind not in WRITERS:
        return _told(f"{out}: the name of the file ends with {' or '.join(WRITERS)}.")
    incoming = read_file(args.file)
    if incoming is None:
        return 2
    for one in incoming.left_out:
        print(f"{args.file}: left out {one.problem().line()}", file=sys.stderr)
    part = out.with_name(f"{out.name}.part")
    try:
        part.write_bytes(made(incoming, args.size, kind))
        part.replace(out)
    except OSError as error:
        return _told(f"{out}: {(error.strerror or 'not written').lower()}")
    return 0


def made(incoming: Incoming, paper: str, kind: str) -> bytes:
    """The record of a file, ``kind`` a key of ``WRITERS``."""
    judgement = judge(incoming.file)
    found = sought(judgement) if needs_account(judgement) else None
    return WRITERS[kind](record(judgement, found), incoming.pictures, paper)


def sought(judgement: Judgement, now: Callable[[], float] = time.monotonic) -> Account | None:
    """The account of the causes; None where it was not there in time."""
    return finish(seeking(judgement, now))


def _told(line: str) -> int:
    print(line, file=sys.stderr)
    return 2
