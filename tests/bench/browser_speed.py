"""Measure what the app does for long, in this Python and in the browser's, in one run.

Each piece of work is timed whole, and between any two of its yields: the longest of these gaps
is how long a tap may wait. Each round takes the work and a plain loop in turn, so that a ratio
says what a busy machine would blur; ``alone`` are milliseconds as they would be if that loop had
always been as quick as it was once in the run. Both Pythons run this very file on the same jobs.
``tests/test_slices.py`` counts the same in steps, and how long a message waits for an answer.
Run: ``python tests/bench/browser_speed.py [--rounds N] [--only WORD] [--here]``.
"""

from __future__ import annotations

import base64
import io
import json
import sys
import zipfile
from collections.abc import Callable, Generator, Mapping
from importlib.metadata import distribution
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Any

import clock
from clock import ROOT, gaps
from promises import BY_NAME, rows_of
from rows import Row as Measured
from rows import told

DATA = ROOT / "tests" / "bench" / "browser_speed_data"
"""in the browser's files: the jobs and pictures that this Python made"""
ITSELF = ("browser_speed", "clock", "promises", "rows")
"""what of this folder is run there"""
LOOP = 100_000
"""rounds of the plain loop"""
ENTRIES = 5000
LONG_MS = 3000.0
"""what takes longer is done once"""
MINUTES = "diagnosis, 40 boxes"
"""is left out unless it is asked for by its name"""
Long = Callable[[], Generator[Any, None, Any]]
Row = dict[str, float]


def plain_loop() -> int:
    """Whole numbers added up: what any Python can do."""
    total = 0
    for i in range(LOOP):
        total += i & 7
    return total


def made() -> tuple[dict[str, Any], dict[str, bytes]]:
    """All jobs by name, and pictures by their sums; for this they need CPython's tests."""
    from advise_jobs import clad
    from find import CAUSES, site
    from handover import whole
    from labels import forty as labelled
    from log import log_of, orchard
    from predict import forty_boxes
    from samples import planned

    from engine.jobfile import read_job
    from engine.practice import FLOWS, document, made_up

    plan, pictures = whole()
    forty = read_job(forty_boxes())
    jobs = {f"site {cause}": site(cause) for cause in CAUSES}
    jobs |= {
        "six": plan,
        "forty": document(made_up(forty, cause="span.high", seed=3), FLOWS),
        "labels": labelled(),
        "long": {**orchard(), "log": log_of(ENTRIES)},
        "clad": clad(),
        "reedbed": planned("reedbed-hide"),
    }
    return jobs, pictures


# ---------------------------------------------------------------- what is measured


def works(jobs: Mapping[str, Any], pictures: Mapping[str, bytes]) -> dict[str, Long]:
    """Each piece of work by its name: a call that gives its generator."""
    from engine.advise import advising
    from engine.advise.limits import still_working
    from engine.diagnose.account import accounting
    from engine.entries import read_entry
    from engine.jobfile import read_job, reading_job
    from engine.judge import judge, judging
    from engine.log import folding
    from engine.predict import predicting
    from fieldapp.exchange.everything import together
    from fieldapp.exchange.packing import pack
    from fieldapp.exchange.unpacking import unpack
    from fieldapp.handover.documents import (
        DOCUMENTS,
        LABELS,
        READINGS,
        REPORT,
        WHOLE,
        Wish,
        pictured,
    )

    files = {name: read_job(doc) for name, doc in jobs.items()}
    judged = {name: judge(file) for name, file in files.items() if name != "clad"}

    def once(call: Callable[[], Any]) -> Long:
        def work() -> Generator[Any, None, Any]:
            return call()
            yield

        return work

    def document(what: str, job: str, seek: bool = True) -> Long:
        shown = {one: pictures[one] for one in pictured(judged[job].state)}
        wish = Wish(judged[job], day="2031-05-04", doc=jobs[job], pictures=shown, seek=seek)
        return lambda: DOCUMENTS[what].make(wish)

    def one_more(job: str) -> Long:
        """A reading more at the first place, before all that was read so far."""
        known = judged[job]
        entry = {"id": "zz-more", "device": "zz", "n": 99999, "by": "Ida", "what": "reading"}
        entry |= {"at": str(next(iter(known.prediction.points))), "kind": "volts", "value": 50.0}
        more = (read_entry({**entry, "moment": "more"}),)
        return lambda: judging(files[job], more, known)

    zipped = pack(jobs["six"], pictures).data
    parts = [pack(jobs[name], pictures if name == "six" else None) for name in jobs]
    out: dict[str, Long] = {
        "predict, 6 boxes": lambda: predicting(files["six"].plan),
        "predict, 40 boxes": lambda: predicting(files["forty"].plan),
        "judge, 6 boxes": lambda: judging(files["site none"]),
        "judge, 40 boxes": lambda: judging(files["forty"]),
        f"judge, {ENTRIES} entries": lambda: judging(files["long"]),
        f"fold, {ENTRIES} entries": lambda: folding(files["long"]),
        f"read, {ENTRIES} entries": lambda: reading_job(jobs["long"]),
        "one reading more, 6 boxes": one_more("site none"),
        "one reading more, 40 boxes": one_more("forty"),
        f"one reading more, {ENTRIES} entries": one_more("long"),
    }
    out |= {
        f"diagnosis, 6 boxes, {name[5:]}": lambda name=name: accounting(judged[name])
        for name in jobs
        if name.startswith("site ")
    }
    return out | {
        "diagnosis, 40 boxes": lambda: accounting(judged["forty"]),
        "advice, a plan that breaks": lambda: advising(jobs["clad"]),
        "advice, how far it stretches": lambda: still_working(jobs["reedbed"]),
        "record as PDF, 8 photos": document(REPORT, "six"),
        "record as PDF, 40 boxes": document(REPORT, "forty", seek=False),
        f"record as PDF, {ENTRIES} entries": document(REPORT, "long", seek=False),
        "labels, 6 boxes": document(LABELS, "six"),
        "labels, 40 boxes": document(LABELS, "labels"),
        "job as zip, 8 photos": document(WHOLE, "six"),
        f"job as file, {ENTRIES} entries": document(WHOLE, "long"),
        f"table of readings, {ENTRIES}": document(READINGS, "long"),
        "everything in one zip": lambda: together(parts),
        "taking a zip apart": once(lambda: unpack(zipped)),
    }


def measured(
    jobs: Mapping[str, Any], pictures: Mapping[str, bytes], rounds: int, only: str = ""
) -> dict[str, Row]:
    """Of each work: ms, the same in plain loops, the longest gap, how many there are; what both
    would be if no loop had taken longer than the quickest of the run.

    A gap is the shortest that it was in any round: what is always the same piece of work is
    held up by the machine in one round, and not in another.
    """
    out = {}
    for name, begin in works(jobs, pictures).items():
        if only not in name or (name == MINUTES) != (only == MINUTES):
            continue
        wholes, ratios, loops, each = [], [], [], []
        for number in range(rounds + 1):
            start = perf_counter()
            plain_loop()
            loop = 1000 * (perf_counter() - start)
            pieces = gaps(begin(), perf_counter)
            is_long = sum(pieces) > LONG_MS
            if number or is_long:  # the first is not counted
                each.append(pieces)
                wholes.append(sum(pieces))
                ratios.append(wholes[-1] / loop)
                loops.append(loop)
            if is_long:
                break
        pieces = [min(piece) for piece in zip(*each, strict=False)]
        out[name] = {
            "ms": median(wholes),
            "loops": median(ratios),
            "loop": min(loops),
            "gap": max(pieces),
            "at": pieces.index(max(pieces)),
            "gaps": len(pieces),
        }
    least = min((row["loop"] for row in out.values()), default=0.0)
    for row in out.values():
        row["alone"] = row["loops"] * least
        row["gap alone"] = row["gap"] * least / row["loop"]
    return out


def kept_there() -> tuple[dict[str, Any], dict[str, bytes]]:
    """In the browser: what was made outside."""
    jobs = json.loads((DATA / "jobs.json").read_text(encoding="utf-8"))
    return jobs, {path.name: path.read_bytes() for path in (DATA / "pictures").iterdir()}


# ---------------------------------------------------------------- the browser's Python


def packed(jobs: Mapping[str, Any], pictures: Mapping[str, bytes]) -> str:
    """The app, this file and the jobs, for the browser; in base 64."""
    rows = {f"{DATA.relative_to(ROOT)}/jobs.json": json.dumps(jobs).encode()}
    rows |= {f"{DATA.relative_to(ROOT)}/pictures/{name}": data for name, data in pictures.items()}
    own = [Path(__file__).with_name(f"{name}.py").resolve() for name in ITSELF]
    paths = [*(ROOT / "fieldapp").rglob("*"), *own]
    for path in paths:
        if path.is_file() and "__pycache__" not in path.parts:
            rows[str(path.relative_to(ROOT))] = path.read_bytes()
    for name in ("qrcode", "pydyf"):
        for file in distribution(name).files or ():
            if file.suffix == ".py" and ".." not in file.parts:
                rows[str(file)] = Path(str(file.locate())).read_bytes()
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in rows.items():
            archive.writestr(name, data)
    return base64.b64encode(out.getvalue()).decode()


UNPACK = """
import base64, io, sys, zipfile
zipfile.ZipFile(io.BytesIO(base64.b64decode({!r}))).extractall({!r})
sys.path.insert(0, {!r} + "/tests/bench")
"""
MEASURE = "import browser_speed as b; b.measured(*b.kept_there(), {}, {!r})"


def in_browser(
    jobs: Mapping[str, Any], pictures: Mapping[str, bytes], rounds: int, only: str
) -> dict[str, Row]:
    """The same there."""
    from browser import chromium_path
    from pyodide.harness import THERE, open_session

    with open_session(chromium_path()) as session:
        session.run(UNPACK.format(packed(jobs, pictures), THERE, THERE))
        return session.run(MEASURE.format(rounds, only), seconds=900)


def key_of(name: str) -> tuple[str, str]:
    """Which promise a work is held to, and by which of its figures."""
    if name == "predict, 6 boxes":
        return "predict", "alone"
    if name.startswith("diagnosis, 6"):
        return "diagnosis", "alone"
    return ("gap 40" if name == MINUTES else "gap"), "gap alone"


def most(key: str) -> float:
    """What is promised."""
    return BY_NAME[f"browser_speed: {key}"].limit


def promised(there: Mapping[str, Row]) -> list[Measured]:
    """The rows of the table of promises: of each the worst of the works that are held to it."""
    worst: dict[str, tuple[float, str]] = {}
    for name, of in there.items():
        key, figure = key_of(name)
        gap = "gap 40" if name == MINUTES else "gap"
        for which, value in ((key, of[figure]), (gap, of["gap alone"])):
            worst[which] = max(worst.get(which, (0.0, "")), (value, name))
    return [rows_of("browser_speed")(key, *worst[key]) for key in worst]


def rows(rounds: int = 5) -> list[Measured]:
    """The promised figures of the browser's Python, and of its longest work."""
    jobs, pictures = made()
    there = in_browser(jobs, pictures, rounds, "")
    return promised(there | in_browser(jobs, pictures, 1, MINUTES))


def main() -> int:
    """Print the table."""
    options = clock.options(__doc__, rounds=5)
    options.add_argument("--only", default="", help="works with this in their names")
    options.add_argument("--here", action="store_true", help="not in the browser")
    given = options.parse_args()
    jobs, pictures = made()
    here = measured(jobs, pictures, given.rounds, given.only)
    there = {} if given.here else in_browser(jobs, pictures, given.rounds, given.only)
    print(f"{'':32}{'CPython':^40}{'browser' if there else '':^40}")
    heads = f"{'ms':>9}{'loops':>8}{'alone':>8}{'gap':>7}{'alone':>8}"
    print(f"{'':32}{heads}{heads if there else ''}{'pieces':>8}  longest")
    for name, row in here.items():
        line = f"{name:32}"
        for one in (row, there.get(name)):
            if one:
                line += f"{one['ms']:9.1f}{one['loops']:8.2f}{one['alone']:8.1f}"
                line += f"{one['gap']:7.1f}{one['gap alone']:8.1f}"
        last = there.get(name, row)
        key, which = key_of(name)
        over = there and (last[which] > most(key) or last["gap alone"] > most("gap"))
        print(f"{line}{last['gaps']:8.0f}{last['at'] + 1:8.0f}{'  over' if over else ''}")
    return told(promised(there))


if __name__ == "__main__":
    sys.exit(main())
