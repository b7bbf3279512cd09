"""``farend labels FILE -o OUT.pdf``: the labels of a job file, on sheets."""

from __future__ import annotations

import argparse
import datetime
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType

from engine.judge import judge
from fieldapp.exchange.reading import read_file
from fieldapp.handover.label_pdf import LONGEST, sheets_pdf
from fieldapp.handover.label_svg import sheets_svg
from fieldapp.handover.labels import labels_of
from fieldapp.handover.pdf import lacking
from fieldapp.handover.sheets import GRIDS, Sheet, larger_codes, sheets

PDF, SVG = ".pdf", ".svg"
WRITERS: Mapping[str, Callable[[Sequence[Sheet], str], bytes]] = MappingProxyType(
    {PDF: sheets_pdf, SVG: lambda pages, title: sheets_svg(pages).encode("utf-8")}
)
"""by how the name of the file ends"""


def parser() -> argparse.ArgumentParser:
    """The grammar of the command."""
    top = argparse.ArgumentParser(
        prog="farend labels",
        description="Labels for the boxes, bonds and both ends of every span of a job file. "
        "Print at 100 %, not fitted to the page.",
    )
    top.add_argument("file", metavar="FILE", help="a job file, or a zip of one with its photos")
    top.add_argument(
        "-o", dest="out", metavar="OUT", required=True, help="what to write: OUT.pdf or OUT.svg"
    )
    top.add_argument(
        "--size", choices=tuple(GRIDS), default="a4", help="the paper; a4 when not given"
    )
    return top


def labels(words: list[str], today: datetime.date | None = None) -> int:
    """Write the labels; 0, or 2 where the file cannot be read or the labels not written."""
    args = parser().parse_args(words)
    out = Path(args.out)
    kind = out.suffix.lower()
    if kind not in WRITERS:
        print(f"{out}: the name of the file ends with {' or '.join(WRITERS)}.", file=sys.stderr)
        return 2
    incoming = read_file(args.file)
    if incoming is None:
        return 2
    judgement = judge(incoming.file)
    date = (today or datetime.datetime.now().astimezone().date()).isoformat()
    made = labels_of(judgement, date)
    pages = sheets(made, GRIDS[args.size], LONGEST if kind == PDF else float("inf"))
    part = out.with_name(f"{out.name}.part")
    try:
        part.write_bytes(WRITERS[kind](pages, judgement.state.job.title))
        part.replace(out)  # what stood there is whole until then
    except OSError as error:
        print(f"{out}: {(error.strerror or 'not written').lower()}", file=sys.stderr)
        return 2
    for thing in larger_codes(made):
        print(f"{thing}: its square code is finer than the others; the ids are long.",
              file=sys.stderr)  # fmt: skip
    for thing in dict.fromkeys(one.thing for one in made if kind == PDF and lacking(one.name)):
        print(f"{thing}: its name has letters that the typeface lacks; as {SVG} they are the printer’s.",
              file=sys.stderr)  # fmt: skip
    print(f"{out}: {len(made)} labels on {len(pages)} {'page' if len(pages) == 1 else 'pages'}.")
    return 0
