"""``farend report``: the record of a job file, or of a zip of one with its photos."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable
from pathlib import Path

from engine.diagnose.account import Account, accounting
from engine.judge import Judgement, judge
from fieldapp import words
from fieldapp.exchange.command import read_file
from fieldapp.exchange.unpacking import Incoming
from fieldapp.handover.html import PAPERS, html
from fieldapp.handover.record import needs_account, record

HTML, PDF = ".html", ".pdf"
LONGEST_S = 20.0
"""that causes are sought for; hundreds of readings outside take minutes, and the record says then
that they were not worked out. [s]"""


def parser() -> argparse.ArgumentParser:
    """The grammar of the command."""
    top = argparse.ArgumentParser(
        prog="farend report",
        description="The record of a job for whoever comes back: one HTML file that prints.",
    )
    top.add_argument("file", metavar="FILE", help="a job file, or a zip of one with its photos")
    top.add_argument("-o", dest="out", metavar="OUT.html", required=True, help="what to write")
    top.add_argument("--size", choices=tuple(PAPERS), default="a4", help="of the paper; a4")
    return top


def report(arguments: list[str]) -> int:
    """Write the record; 0, or 2 where something cannot be read, written or is not built."""
    args = parser().parse_args(arguments)
    out = Path(args.out)
    if out.suffix.lower() == PDF:
        return _told(words.record_pdf_later())
    if out.suffix.lower() != HTML:
        return _told(f"{out}: the name of the file ends with {HTML}.")
    incoming = read_file(args.file)
    if incoming is None:
        return 2
    for one in incoming.left_out:
        print(f"{args.file}: left out {one.problem().line()}", file=sys.stderr)
    part = out.with_name(f"{out.name}.part")
    try:
        part.write_text(made(incoming, args.size), encoding="utf-8")
        part.replace(out)
    except OSError as error:
        return _told(f"{out}: {(error.strerror or 'not written').lower()}")
    return 0


def made(incoming: Incoming, paper: str) -> str:
    """The record of a file as the text of an HTML file."""
    judgement = judge(incoming.file)
    found = sought(judgement) if needs_account(judgement) else None
    return html(record(judgement, found), incoming.pictures, paper)


def sought(judgement: Judgement, now: Callable[[], float] = time.monotonic) -> Account | None:
    """The account of the causes; None where it was not there in time."""
    work, until = accounting(judgement), now() + LONGEST_S
    while now() < until:
        try:
            next(work)
        except StopIteration as end:
            return end.value
    return None


def _told(line: str) -> int:
    print(line, file=sys.stderr)
    return 2
