"""``farend labels FILE -o OUT.svg``: the labels of a job file, on sheets."""

from __future__ import annotations

import argparse
import datetime
import sys
from pathlib import Path

from engine.judge import judge
from fieldapp.exchange.command import read_file
from fieldapp.handover.label_svg import sheets_svg
from fieldapp.handover.labels import labels_of
from fieldapp.handover.sheets import GRIDS, larger_codes, sheets


def parser() -> argparse.ArgumentParser:
    """The grammar of the command."""
    top = argparse.ArgumentParser(
        prog="farend labels",
        description="Labels for the boxes, bonds and both ends of every span of a job file. "
        "Print at 100 %, not fitted to the page.",
    )
    top.add_argument("file", metavar="FILE", help="a job file, or a zip of one with its photos")
    top.add_argument("-o", dest="out", metavar="OUT.svg", required=True)
    top.add_argument(
        "--size", choices=tuple(GRIDS), default="a4", help="the paper; a4 when not given"
    )
    return top


def labels(words: list[str], today: datetime.date | None = None) -> int:
    """Write the labels; 0, or 2 where the file cannot be read or the labels not written."""
    args = parser().parse_args(words)
    out = Path(args.out)
    if out.suffix.lower() != ".svg":
        why = "labels as PDF are not built in this version" if out.suffix.lower() == ".pdf" else ""
        print(f"{out}: {why or 'the name of the file ends with .svg'}.", file=sys.stderr)
        return 2
    incoming = read_file(args.file)
    if incoming is None:
        return 2
    judgement = judge(incoming.file)
    date = (today or datetime.datetime.now().astimezone().date()).isoformat()
    made = labels_of(judgement, date)
    pages = sheets(made, GRIDS[args.size])
    part = out.with_name(f"{out.name}.part")
    try:
        part.write_text(sheets_svg(pages), encoding="utf-8")
        part.replace(out)  # what stood there is whole until then
    except OSError as error:
        print(f"{out}: {(error.strerror or 'not written').lower()}", file=sys.stderr)
        return 2
    for thing in larger_codes(made):
        print(f"{thing}: its square code is finer than the others; the ids are long.",
              file=sys.stderr)  # fmt: skip
    print(f"{out}: {len(made)} labels on {len(pages)} {'page' if len(pages) == 1 else 'pages'}.")
    return 0
