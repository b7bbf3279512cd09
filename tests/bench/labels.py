"""Measure labels: 40 boxes with both ends of 39 spans and ten bonds, as whole commands; and how bad a
picture of one may be until its code is not read.

Each command is a process of its own, in turns in one run. The pictures need poppler, zbarimg and
ImageMagick; one thing is made worse at a time, each on nine labels of each paper.
Run: ``python tests/bench/labels.py [--rounds N] [--pictures]``.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from tempfile import TemporaryDirectory
from types import MappingProxyType

import clock
from attrs import evolve
from clock import SAMPLES
from handover import timed
from jobs import active, band, chain, endpoint, run, source
from label_pictures import DPI, HANDHELD, Harm, codes_in, frame, harmed, page
from promises import rows_of
from rows import Row, told

from engine.jobfile import load, read_job
from engine.judge import judge
from fieldapp.handover.label_pdf import sheets_pdf
from fieldapp.handover.labels import labels_of
from fieldapp.handover.sheets import GRIDS, sheets

BONDS = 10
SEEN = 9
WORSE: Mapping[str, tuple[float, ...]] = MappingProxyType(
    {
        "blur": (1.0, 1.25, 1.5, 1.75, 2.0, 2.5, 3.0),
        "turn": (7, 15, 30, 45),
        "lean": (0.1, 0.2, 0.3, 0.4, 0.5),
        "noise": (0.3, 0.5, 1.0, 1.5, 2.0),
        "dim": (0.6, 0.4, 0.2, 0.1),
        "dpi": (150, 110, 90, 80, 70, 60, 50),
    }
)
"""what is made worse and how far, from what a hand does on"""


def forty() -> dict:
    """Forty boxes in a row, ten of them with a bond."""
    parts = [source(band(54.5, 55, 55.5), watts_max=90, grants="always")]
    for _ in range(38):
        parts += [run(10), active(0.1)]
    doc = chain(*parts, run(10), endpoint(band(6, 9, 13)))
    doc["earths"] = {"EB1": {"stop": next(iter(doc["stops"])), "name": "Earth bar"}}
    for box in doc["boxes"][:BONDS]:
        box["bond"] = {"to": "EB1", "lead_m": 0.4, "mm2": 4}
    return doc


def outside(name: str, *arguments: object, fine: tuple[int, ...] = (0,)) -> bytes:
    """A program of the system."""
    done = subprocess.run([name, *map(str, arguments)], capture_output=True, check=False)
    if done.returncode not in fine:
        sys.exit(done.stderr.decode())
    return done.stdout


def pictures(folder: Path) -> None:
    """How many of nine codes are read, row by row."""
    labels = labels_of(judge(load(SAMPLES / "reedbed-hide.json")), "2031-05-04")
    names = ", ".join(GRIDS)
    print(f"\ncodes read of {SEEN}, {names}; the rest as a hand takes them: {HANDHELD}")
    wholes = {}
    for size, grid in GRIDS.items():
        file = folder / f"{size}.pdf"
        file.write_bytes(sheets_pdf(sheets(labels, grid), "Reedbed hide"))
        wholes[size] = page(outside, file, DPI)

    def read(size: str, harm: Harm) -> int:
        cuts = (
            harmed(outside, wholes[size], frame(GRIDS[size], i), harm, seed=i) for i in range(SEEN)
        )
        return sum(codes_in(outside, cut) == [labels[i].code] for i, cut in enumerate(cuts))

    for what, values in WORSE.items():
        for value in values:
            harm = evolve(HANDHELD, **{what: value})
            row = "".join(f"{read(size, harm):4}" for size in GRIDS)
            print(f"{what:6}{value:7g}{row}")


def rows(rounds: int = 7, show: bool = False) -> list[Row]:
    """The promised figure; with ``show`` each command is printed, and drawings and what a command
    costs anyhow are timed too."""
    doc = forty()
    many = len(labels_of(judge(read_job(doc)), "2031-05-04"))
    with TemporaryDirectory() as folder:
        job = Path(folder, "job.json")
        job.write_text(json.dumps(doc), encoding="utf-8")
        commands: dict[str, tuple[str, ...]] = {
            f"labels as {kind.upper()}, {size}": (
                *("-m", "fieldapp", "labels", str(job), "--size", size),
                *("-o", str(Path(folder, f"{size}.{kind}"))),
            )
            for kind in (("pdf", "svg") if show else ("pdf",))
            for size in GRIDS
        }
        papers = tuple(commands)
        if show:
            commands["judge, the same job"] = ("-m", "engine", "judge", str(job))
            imports = "import fieldapp.__main__, fieldapp.handover.label_command"
            commands["imports alone"] = ("-c", imports)
        turns = timed(rounds, commands)
    for name in commands if show else ():
        print(f"{name:24}{turns.middle(name):7.2f} s")
    slowest = max(papers, key=turns.middle)
    return [rows_of("labels")("forty", turns.middle(slowest), f"{many} labels; {slowest}")]


def main() -> int:
    """Print the tables; 1 where a command takes longer than it may."""
    options = clock.options(__doc__, rounds=7)
    options.add_argument("--pictures", action="store_true")
    given = options.parse_args()
    out = told(rows(given.rounds, show=True))
    if given.pictures:
        with TemporaryDirectory() as folder:
            pictures(Path(folder))
    return out


if __name__ == "__main__":
    sys.exit(main())
