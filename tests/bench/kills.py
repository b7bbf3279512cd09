"""Kill a program that keeps and acknowledges, as often as is asked; nothing it said may be lost.

Run: ``python tests/bench/kills.py N [SEED] [--folder DIR]``. Each run is a process of the store
alone: it keeps single entries, several together, photos and its place, and says so on its output
when the call has returned. After a random number of lines it gets SIGKILL. Then its journal is read and
compared with all that was said since the first run, and the next run goes on in the same folder.
"""

from __future__ import annotations

import asyncio
import signal
import subprocess
import sys
import tempfile
from hashlib import sha256
from pathlib import Path
from random import Random
from time import perf_counter, sleep

import clock
from clock import ROOT
from promises import BY_NAME, rows_of
from rows import Row, told

from fieldapp.store.files import open_files, read_journal, read_picture
from fieldapp.store.journal import decode

PROMISED = BY_NAME["kills: many"].limit
WRITER = """
import asyncio, itertools, sys
from pathlib import Path
sys.path.insert(0, "tests")
from jpegs import made, JFIF, segment
from fieldapp.store import NoSuchJob
from fieldapp.store.files import open_files

async def main(folder, run):
    store = await open_files(Path(folder), now=lambda: "2031-05-04T10:00:00Z", draw=lambda: "a7f3")
    try:
        journal = await store.open("KILLED")
    except NoSuchJob:
        journal = await store.create("KILLED", {"title": "Killed"})
    for number in itertools.count():
        several = 1 + (number % 5 == 4) * 2
        rows = []
        for part in range(several):
            n = store.next_n()
            rows.append({"id": f"{run}-{number}-{part}", "device": store.device, "n": n,
                         "of": several, "text": "x" * (n * 37 % 700)})
        journal.append_all(tuple(rows))
        for row in rows:
            print("entry", row["id"], row["n"], flush=True)
        if number % 7 == 3:
            photo = await store.keep_photo("KILLED", made("baseline", JFIF, behind=b"%d" % number))
            print("photo", photo.sha256, photo.bytes, flush=True)
        store.save_place({"typed": rows[-1]["n"]})
        print("place", rows[-1]["n"], 0, flush=True)

asyncio.run(main(*sys.argv[1:]))
"""


def killed_run(folder: Path, run: int, rng: Random) -> list[list[str]]:
    """Let one process live for a while; what it said, a line that was cut off left out."""
    command = [sys.executable, "-c", WRITER, str(folder), str(run)]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as writer:
        lines = [writer.stdout.readline() for _ in range(rng.randint(1, 60))]
        sleep(rng.random() * 0.01)
        writer.send_signal(signal.SIGKILL)
        lines += writer.stdout.readlines()
    return [line.split() for line in lines if line.endswith("\n")]


def missing(folder: Path, said: list[list[str]]) -> list[str]:
    """Of all that was said, what is not there; and whatever else does not hold."""
    records = decode(read_journal(folder, "killed")).records[1:]
    kept = [(record["id"], str(record["n"])) for record in records]
    entries = [(name, n) for what, name, n in said if what == "entry"]
    sure = set(entries)
    wrong = [f"lost {one}" for one in sure - set(kept)]
    if [one for one in kept if one in sure] != entries:
        wrong.append("another order than was said")
    if len({n for _, n in kept}) < len(kept):
        wrong.append("a count twice")
    groups: dict[str, list[int]] = {}
    for record in records:
        groups.setdefault(record["id"].rsplit("-", 1)[0], []).append(record["of"])
    wrong += [f"half of {name}" for name, of in groups.items() if len(of) != of[0]]
    photos = {name for what, name, _ in said if what == "photo"}
    for name in photos:
        data = read_picture(folder, "killed", name)
        if data is None or sha256(data).hexdigest() != name:
            wrong.append(f"lost photo {name}")
    return wrong


def place_of(folder: Path) -> tuple[int, int]:
    """Where the technician was, and the next count, as a start finds them."""
    store = asyncio.run(open_files(folder, now=lambda: "", draw=lambda: "never"))
    try:
        assert store.device == "a7f3"
        place = asyncio.run(store.load_place()) or {"typed": 0}
        return place["typed"], store.next_n()
    finally:
        store.close()


def rows(kills: int = 500, seed: int = 0, within: Path | None = None) -> list[Row]:
    """What is lost of what was acknowledged; the first kill that loses something is the last."""
    row, rng, start = rows_of("kills"), Random(seed), perf_counter()
    said: list[list[str]] = []
    with tempfile.TemporaryDirectory(dir=within) as made:
        folder = Path(made)
        for run in range(kills):
            said += killed_run(folder, run, rng)
            wrong = missing(folder, said)
            placed = max((int(n) for what, n, _ in said if what == "place"), default=0)
            if run % 20 == 0 or run == kills - 1:
                typed, n = place_of(folder)
                wrong += [] if typed >= placed else [f"lost place {placed}: {typed}"]
                wrong += [] if n > max(int(m) for w, _, m in said if w == "entry") else ["count"]
            if wrong:
                beside = f"after kill {run + 1} of seed {seed}: " + ", ".join(wrong)
                return [row("lost", len(wrong), beside)]
    counts = {what: sum(one[0] == what for one in said) for what in ("entry", "photo", "place")}
    each = ", ".join(f"{count} {what}" for what, count in counts.items())
    beside = f"{kills} kills in {perf_counter() - start:.0f} s; acknowledged: {each}"
    out = [row("lost", 0, beside)]
    return out if kills < PROMISED else [*out, row("many", kills)]


def main() -> int:
    """Count the kills and what was said; 1 where something of it is not there."""
    parser = clock.options(__doc__)
    parser.add_argument("kills", type=int)
    parser.add_argument("seed", type=int, nargs="?", default=0)
    parser.add_argument("--folder", type=Path, help="where to write; default: a temporary folder")
    given = parser.parse_args()
    return told(rows(given.kills, given.seed, given.folder))


if __name__ == "__main__":
    sys.exit(main())
