"""Measure what is handed over: the record of a job of six boxes with eight photos, as whole commands.

The job has volts and amps read at every port; a photo is a JPEG of about 400 kB, made here. The
record as PDF and as HTML, and `python -m engine judge` of the same job, each as a process of its
own, in turns in one run; so is a Python that only starts and imports what the command does.
Run: ``python tests/bench/handover.py [--rounds N]``.
"""

from __future__ import annotations

import json
import random
import subprocess
import sys
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory

import clock
from clock import ROOT, Turns
from jobs import active, band, chain, endpoint, run, source
from jpegs import EOI, JFIF, SOI, TABLES, packed, scan, segment, signed
from promises import rows_of
from rows import Row, told

from engine.jobfile import read_job
from engine.predict import predict
from fieldapp.exchange import pack

RECORD, IMPORTS = "record as PDF", "imports alone"
PHOTOS = 8
WIDE, HIGH = 3200, 2400


def plan() -> dict:
    """Six boxes: a feed, four that let the power through, an endpoint."""
    unit = active(band(1.5, 2, 2.5), "long-span", ohms_per_conductor=0.05)
    feed = source(band(54.5, 55, 55.5), watts_max=90, grants="always")
    parts = [feed]
    for metres in (60, 80, 75, 90):
        parts += [run(metres), unit]
    return chain(*parts, run(70), endpoint(band(6, 9, 13)), ambient_c=band(-5, 15, 35))


def walked(doc: dict) -> list[dict]:
    """Volts and amps that agree with the plan, at every port."""
    log: list[dict] = []
    for at, seen in predict(read_job(doc).plan).points.items():
        for kind, value in (
            ("volts", seen.volts.expected),
            ("milliamps", 1e3 * seen.amps.expected),
        ):
            number = len(log)
            head = {"id": f"r{number:03}", "device": "d", "n": number + 1, "by": "Ida"}
            body = {"at": str(at), "kind": kind, "value": round(value, 2), "moment": str(at)}
            t = f"2031-05-04T{8 + number // 60:02}:{number % 60:02}:00Z"
            log.append({**head, "what": "reading", "t": t, **body})
    return log


def photo(seed: int) -> bytes:
    """Blocks of one chance grey each, with a ripple on them."""
    chance, last, codes = random.Random(seed), 0, []
    for _ in range(WIDE // 8 * (HIGH // 8)):
        value = chance.randint(-127, 127)
        size, bits = signed(value - last)
        codes.append(f"{size:04b}{bits}" + "101" * 6 + "0")
        last = value
    head = b"\x08" + HIGH.to_bytes(2, "big") + WIDE.to_bytes(2, "big") + b"\x01\x01\x11\0"
    frame = segment(0xC0, head)
    return b"".join((SOI, JFIF, *TABLES, frame, scan(1, 0, 63, 0, packed("".join(codes))), EOI))


def whole() -> tuple[dict, dict[str, bytes]]:
    """The job with its log, and its pictures by their sums."""
    doc = plan()
    boxes = [box["id"] for box in doc["boxes"]]
    pictures = {sha256(data).hexdigest(): data for data in map(photo, range(PHOTOS))}
    log = walked(doc)
    for i, (sums, data) in enumerate(pictures.items()):
        head = {"id": f"p{i}", "device": "d", "n": len(log) + 1, "by": "Ida"}
        of = boxes[i % len(boxes)]
        log.append({**head, "what": "photo", "of": of, "sha256": sums, "bytes": len(data)})
    return {**doc, "log": log}, pictures


def timed(rounds: int, commands: Mapping[str, tuple[str, ...]]) -> Turns:
    """What each command has of the processor, from its start to its end."""

    def run_it(command: tuple[str, ...]) -> None:
        python = [sys.executable, *command]
        subprocess.run(python, cwd=ROOT, check=True, stdout=subprocess.DEVNULL)

    calls = {name: lambda command=command: run_it(command) for name, command in commands.items()}
    return clock.in_turns(rounds, calls, clock=clock.commands)


def rows(rounds: int = 7, show: bool = False) -> list[Row]:
    """The promised figures; with ``show`` each command is printed."""
    doc, pictures = whole()
    with TemporaryDirectory() as folder:
        job, file = Path(folder, "job.json"), Path(folder, "job.zip")
        job.write_text(json.dumps(doc), encoding="utf-8")
        file.write_bytes(pack(doc, pictures).data)
        pdf, page = str(Path(folder, "o.pdf")), str(Path(folder, "o.html"))
        commands = {
            RECORD: ("-m", "fieldapp", "report", str(file), "-o", pdf),
            IMPORTS: ("-c", "import fieldapp.__main__, fieldapp.handover.report"),
        }
        if show:
            commands["record as HTML"] = ("-m", "fieldapp", "report", str(file), "-o", page)
            commands["judge, the same job"] = ("-m", "engine", "judge", str(job))
        turns = timed(rounds, commands)
        megabytes = Path(pdf).stat().st_size / 1e6
    each = sum(map(len, pictures.values())) / len(pictures) / 1000
    beside = f"{len(doc['log'])} entries, photos of {each:.0f} kB, a PDF of {megabytes:.2f} MB"
    for name in commands if show else ():
        print(f"{name:24}{turns.middle(name):7.2f} s; PDF to it {turns.times(RECORD, name):6.2f}")
    row = rows_of("handover")
    return [
        row("record", turns.middle(RECORD), beside),
        row("imports", turns.times(RECORD, IMPORTS), f"{turns.middle(IMPORTS):.2f} s"),
    ]


def main() -> int:
    """Print the table; 1 where the PDF takes longer than it may."""
    return told(rows(clock.options(__doc__, rounds=7).parse_args().rounds, show=True))


if __name__ == "__main__":
    sys.exit(main())
