"""``advance`` gives just what a fold of all entries gives, wherever a history is cut.

Long form, for as many random histories as you like: ``python tests/test_fold_grows.py 2000``.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from random import Random

import pytest

from engine import log as log_room
from engine.entries import Entry, read_entry
from engine.jobfile import JobFile, read_job
from engine.log import State, advance, fold

pytestmark = [pytest.mark.pure, pytest.mark.long]

SAMPLE = Path(__file__).parent.parent / "sample_jobs" / "reedbed-hide.json"
DOC = {**json.loads(SAMPLE.read_text(encoding="utf-8")), "log": []}
FILE = read_job(DOC)
DEVICES = ("aa", "bb", "cc")
PLACES = (
    "S.out",
    "L1.in",
    "l1.out",
    "C3",
    "C1",
    "E.in",
    "EB1",
    "lodge",
    "NIX.in",
    "D.in",
    "C9",
    "C6",
)
CAMERA = {"id": "D", "sheet": "my.camera", "stop": "sluice"}
EDITS = (
    {"what": "set", "path": ["spans", "C3", "length_m"], "value": 90},
    {"what": "set", "path": ["spans", "c3", "length_m"], "value": 95, "as": "change"},
    {"what": "set", "path": ["spans", "C3", "length_m"], "value": "long"},
    {"what": "set", "path": ["sheets", "my.cable", "ohms_per_km"], "value": 70, "as": "change"},
    {"what": "set", "path": ["earths", "eb1", "target_ohms"], "value": 8},
    {"what": "set", "path": ["stops", "sluice", "name"], "value": "Sluice"},
    {"what": "add", "path": ["boxes"], "value": CAMERA, "as": "change"},
    {"what": "add", "path": ["boxes", "d"], "value": {**CAMERA, "name": "Second"}},
    {"what": "remove", "path": ["boxes", "D"]},
    {"what": "remove", "path": ["spans", "C6"], "as": "change"},
    {"what": "set", "path": ["spans", "C6", "length_m"], "value": 12},
    {"what": "remove", "path": ["boxes", "NIX"]},
    {"what": "set", "path": ["id"], "value": "OTHER"},
)


def body(rng: Random, held: list[dict]) -> dict:
    """What one entry says; many speak of others."""
    kind = rng.choice(
        ("reading",) * 5
        + ("void",) * 3
        + ("edit",) * 7
        + ("step", "step", "change", "resolve")
        + ("waive", "note", "visit", "found", "weather", "photo", "leave")
    )
    some = [one["id"] for one in held] or ["nobody"]
    edits = [
        one["id"] for one in held if one["what"] in ("set", "add", "remove", "resolve")
    ] or some
    if kind == "reading":
        at = rng.choice(PLACES)
        out = {"what": kind, "at": at, "kind": "volts" if "." in at else "celsius", "value": 50}
        out |= rng.choice(({}, {"moment": rng.choice("xy")}, {"with": {"e": {"watts": 9}}}))
        if rng.random() < 0.6:
            out["t"] = f"20{rng.choice((31, 31, 31, 41))}-05-04T08:{rng.randint(0, 9):02}:00Z"
        return out
    if kind == "void":
        return {"what": kind, "of": rng.choice([*some[-4:], *some[-2:], rng.choice(some), "later"])}
    if kind == "edit":
        return dict(rng.choice((*EDITS, *EDITS[:3], *EDITS[9:11])))
    if kind == "resolve":
        of = [rng.choice(edits[-3:]) for _ in range(2)]
        return {"what": kind, "of": of, "keep": rng.choice([*of, *of, rng.choice(some)])}
    rows = {
        "step": {"step": rng.choice(("fit.L1", "meter.site")), "state": rng.choice(STATES)},
        "change": {"where": rng.choice(("C3", "S", "L1.out", "nowhere")), "did": "x"},
        "waive": {"of": rng.choice(("step.cold.S", "step.fit.L1")), "reason": "r"},
        "note": {"text": "wet"},
        "found": {"where": "C3", "cause": "span.high"},
        "photo": {"of": rng.choice(("L1", "l1")), "sha256": f"{rng.randint(0, 9):064}"},
        "leave": {"open": ["step.cold.S"]},
    }
    return {"what": kind, **rows.get(kind, {})}


STATES = ("done", "done", "undone", "not-here")


def history(seed: int) -> list[Entry]:
    """Entries of up to three phones that meet now and then, in some order of arrival.

    Some are set back to a backup, some write one id twice, some see what cannot be; a hand
    writes between them without counts.
    """
    rng = Random(seed)
    devices = DEVICES[: rng.choice((1, 2, 2, 3))]
    held: dict[str, list[dict]] = {device: [] for device in devices}
    counts = dict.fromkeys(devices, 0)
    out: list[dict] = []
    wild = rng.random() < 0.3
    for step in range(rng.randint(4, 30)):
        device = rng.choice(devices)
        if rng.random() < 0.2:
            held[device] = list({e["id"]: e for d in devices for e in held[d]}.values())
            continue
        counts[device] += not (wild and rng.random() < 0.1)
        entry = {"id": f"e{step}", **body(rng, held[device]), "by": device}
        seen: dict[str, int] = {}
        for other in held[device]:
            if "device" in other:
                seen[other["device"]] = max(seen.get(other["device"], 0), other["n"])
        if wild and rng.random() < 0.1:
            seen[rng.choice(devices)] = rng.randint(1, 9)
        if not (wild and rng.random() < 0.1):
            entry |= {"device": device, "n": max(counts[device], 1), "seen": seen}
        if wild and held[device] and rng.random() < 0.08:
            entry["id"] = rng.choice(held[device])["id"]
        if wild and rng.random() < 0.05:
            entry["id"] = "later"
        held[device] = [*held[device], entry]
        out.append(entry)
    if rng.random() < 0.4:
        rng.shuffle(out)
    if wild and out:
        out.append(rng.choice(out))
    return [read_entry(entry) for entry in out]


def grown(entries: list[Entry], rng: Random) -> tuple[State, int]:
    """A state that took the entries in random handfuls; how many of them went the short way."""
    cut = rng.randint(0, len(entries))
    state, rest, short = fold(FILE, entries[:cut]), entries[cut:], 0
    while rest:
        some, rest = rest[: (size := rng.choice((1, 1, 1, 2, 5)))], rest[size:]
        before = seen(state)
        after = advance(state, some)
        assert seen(state) == before, "the earlier state has moved"
        short += after.readings[: len(state.readings)] == state.readings and any(
            a is b for a, b in zip(after.readings, state.readings, strict=False)
        )
        state = after
    return state, short


def seen(state: State) -> str:
    """A state as it can be compared later, whatever becomes of its parts."""
    return repr(
        (
            state.doc,
            state.readings,
            sorted(state.current),
            state.notes,
            state.steps,
            state.undone,
            state.waivers,
            state.left_out,
            state.conflicts,
            state.oddities,
            state.fitted,
        )
    )


def holds(seed: int) -> int:
    """The law on one history, from one state on along two ways."""
    entries = history(seed)
    state, short = grown(entries, Random(seed))
    at_once = fold(FILE, entries)
    assert state == at_once, seed
    assert seen(state) == seen(at_once), seed
    current = {one.id for one in state.readings if state.is_current(one)}
    assert state.current == current, seed
    again, _ = grown(entries, Random(seed + 1))
    assert again == state
    half = fold(FILE, entries[: len(entries) // 2])
    advance(half, entries[len(entries) // 2 :])
    other = history(seed + 1)
    fork = [e for e in other if all(e.id != one.id for one in entries)]
    both = (*entries[: len(entries) // 2], *fork)
    assert advance(half, fork) == fold(FILE, both), "a state can be gone on from twice"
    return short


@pytest.mark.parametrize("chunk", range(8))
def test_to_go_on_gives_what_folding_all_gives(chunk):
    """On 240 random histories, cut at random places."""
    for seed in range(30 * chunk, 30 * chunk + 30):
        holds(seed)


def test_the_histories_have_what_is_hard():
    """The short way, the long way, conflicts, oddities of every kind and left-out edits."""
    states = [fold(FILE, history(seed)) for seed in range(240)]
    assert sum(bool(one.conflicts) for one in states) > 10
    assert sum(bool(one.left_out) for one in states) > 30
    codes = {odd.say.code for one in states for odd in one.oddities}
    assert codes == {
        "odd-twin",
        "odd-void",
        "odd-change",
        "odd-reading",
        "odd-count",
        "odd-resolve",
        "odd-seen",
    }
    assert sum(holds(seed) > 0 for seed in range(60)) > 20


def entry(n: int, **what) -> Entry:
    return read_entry({"id": f"e{n}", "device": "d", "n": n, "by": "Ida", **what})


def reading(n: int, at: str = "S.out", **more) -> Entry:
    return entry(n, what="reading", at=at, kind="volts", value=50, moment=f"m{n}", **more)


@pytest.fixture
def folds(monkeypatch) -> list[int]:
    """How many entries each whole fold took."""
    counted: list[int] = []

    def counting(origin, came):
        counted.append(len(came))
        return WHOLE(origin, came)

    monkeypatch.setattr(log_room, "whole", counting)
    return counted


WHOLE = log_room.whole


@pytest.mark.parametrize(
    ("last", "again"),
    [
        (reading(4), 0),
        (entry(4, what="void", of="e1"), 0),
        (entry(4, what="void", of="nobody"), 0),
        (entry(4, what="step", step="fit.L1", state="done"), 0),
        (entry(4, what="change", where="C1", did="x"), 0),
        (entry(4, what="set", path=["title"], value="North"), 0),
        (entry(4, what="void", of="e3"), 1),
        (read_entry({"id": "x", "what": "note", "text": "t", "device": "a", "n": 1}), 1),
    ],
)
def test_only_what_alters_the_meaning_of_earlier_entries_folds_all_again(folds, last, again):
    before = [reading(1), reading(2), entry(3, what="set", path=["title"], value="South")]
    state = fold(FILE, before)
    folds.clear()
    assert advance(state, [last]) == fold(FILE, [*before, last])
    assert len(folds) == 1 + again


def seen_by(ident: str, device: str, n: int, **seen: int) -> Entry:
    row = {"id": ident, "device": device, "n": n, "seen": seen, "what": "note", "text": ident}
    return read_entry(row)


def step_by_step(*entries: Entry) -> State:
    """A state that took these one by one; each time it is what a fold gives."""
    state = fold(FILE)
    for count, one in enumerate(entries, start=1):
        state = advance(state, [one])
        assert state == fold(FILE, entries[:count]), one.id
    return state


def test_what_was_seen_before_it_came_goes_to_its_place():
    late = seen_by("a5", "a", 5, b=1)
    state = step_by_step(seen_by("b1", "b", 1), seen_by("b2", "b", 2, a=5), late)
    assert [one.id for one in state.entries] == ["b1", "a5", "b2"]


def test_after_a_circle_all_is_folded_again():
    circle = seen_by("a1", "a", 1, b=2), seen_by("b2", "b", 2, a=1)
    state = step_by_step(*circle, seen_by("c9", "c", 9), seen_by("d4", "d", 4, a=1, b=2, c=9))
    assert [one.id for one in state.entries] == ["c9", "a1", "b2", "d4"]


def test_a_void_that_was_taken_back_before_it_came_does_nothing():
    state = step_by_step(reading(1), entry(2, what="void", of="e3"), entry(3, what="void", of="e1"))
    assert state.current == {"e1"}


def test_a_change_that_stands_again_ends_readings_again():
    change = entry(2, what="change", where="S", did="x")
    voids = [entry(n, what="void", of=f"e{n - 1}") for n in (3, 4, 5)]
    ends = [step_by_step(reading(1), change, *voids[:n]).current for n in range(4)]
    assert ends == [set(), {"e1"}, set(), {"e1"}]


def test_where_nothing_is_any_more_readings_end_and_are_told():
    loop = entry(1, what="reading", at="C6", kind="loop_ohms", value=3)
    gone = entry(2, what="remove", path=["spans", "C6"])
    state = step_by_step(loop, gone, entry(3, what="void", of="e2"))
    assert state.current == {"e1"} and not state.oddities
    assert step_by_step(loop, gone).current == set()


def test_a_copy_changes_nothing_and_is_counted():
    """A hand-written entry takes its place in the file as its count, copies before it included."""
    first = read_entry({"id": "a", "what": "note", "text": "a"})
    second = read_entry({"id": "b", "what": "note", "text": "b"})
    state = advance(fold(FILE, [first]), [first, first])
    assert state == fold(FILE, [first])
    assert [one.n for one in advance(state, [second]).entries] == [1, 4]
    assert advance(state, [second]) == fold(FILE, [first, first, first, second])


def test_a_copy_of_what_lies_beside_is_no_third():
    twin, note = ({"id": "a", "what": "note", "text": text} for text in "ba")
    first = read_entry({**note, "device": "d", "n": 1})
    log = [first, read_entry(twin), read_entry(twin)]
    state = step_by_step(*log)
    assert (len(state.entries), len(state.beside)) == (1, 1)


def test_going_on_from_a_file_is_going_on_from_its_log():
    entries = history(3)
    half = JobFile(DOC, FILE.plan, tuple(entries[:3]))
    assert advance(fold(half), entries[3:]) == fold(FILE, entries)


if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
    many = int(sys.argv[1])
    taken = sum(holds(number) for number in range(many))
    print(f"{many} histories: gone on from as folded whole; {taken} handfuls the short way")
