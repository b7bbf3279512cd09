"""Measure what is handed over: the record of a job of six boxes with eight photos, as whole commands.

The job has volts and amps read at every port; a photo is a JPEG of about 400 kB, made here. The
record as PDF and as HTML, and `python -m engine judge` of the same job, each as a process of its
own, in turns in one run; so is a Python that only starts and imports what the command does.
Run: ``python tests/bench/handover.py [--rounds N]``.
"""

from __future__ import annotations

import argparse
import json
import random
import subprocess
import sys
from hashlib import sha256
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from jobs import active, band, chain, endpoint, run, source
from jpegs import EOI, JFIF, SOI, TABLES, packed, scan, segment, signed

from engine.jobfile import read_job
from engine.predict import predict
from fieldapp.exchange import pack

ROOT = Path(__file__).resolve().parents[2]
LONGEST_S = 2.0
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


def seconds(*command: str) -> tuple[float, float]:
    """How long a command takes from its start to its end, and of the processor. [s]"""
    begin, before = perf_counter(), getrusage(RUSAGE_CHILDREN)
    subprocess.run([sys.executable, *command], cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
    took, after = perf_counter() - begin, getrusage(RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return took, used


def main() -> None:
    """Print the table; 1 where the PDF takes longer than it may."""
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    options.add_argument("--rounds", type=int, default=7)
    given = options.parse_args()
    doc, pictures = whole()
    with TemporaryDirectory() as folder:
        job, file = Path(folder, "job.json"), Path(folder, "job.zip")
        job.write_text(json.dumps(doc), encoding="utf-8")
        file.write_bytes(pack(doc, pictures).data)
        pdf, page = str(Path(folder, "o.pdf")), str(Path(folder, "o.html"))
        rows = {
            "record as PDF": ("-m", "fieldapp", "report", str(file), "-o", pdf),
            "record as HTML": ("-m", "fieldapp", "report", str(file), "-o", page),
            "judge, the same job": ("-m", "engine", "judge", str(job)),
            "imports alone": ("-c", "import fieldapp.__main__, fieldapp.handover.report"),
        }
        times: dict[str, list[tuple[float, float]]] = {name: [] for name in rows}
        for _ in range(given.rounds):
            for name, command in rows.items():
                times[name].append(seconds(*command))
        size = Path(pdf).stat().st_size
    kilobytes = sum(map(len, pictures.values())) / len(pictures) / 1000
    print(
        f"{len(doc['boxes'])} boxes, {len(doc['log'])} entries, {PHOTOS} photos of {kilobytes:.0f} kB"
    )
    print(f"{'median of each':24}{'s':>7}{'s of the processor':>21}")
    for name, each in times.items():
        print(f"{name:24}{median(a for a, _ in each):7.2f}{median(b for _, b in each):21.2f}")
    for name in list(rows)[1:]:
        pairs = zip(times["record as PDF"], times[name], strict=True)
        print(f"PDF to {name:22}{median(a[1] / b[1] for a, b in pairs):28.2f}")
    took = median(a for a, _ in times["record as PDF"])
    print(f"PDF of {size / 1e6:.2f} MB in {took:.2f} s (aim: under {LONGEST_S:g} s)")
    raise SystemExit(took >= LONGEST_S)


if __name__ == "__main__":
    main()
