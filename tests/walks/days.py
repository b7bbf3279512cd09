"""The three days: a new run that is sound, a clad span found before leaving, a return after a storm."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import practice_jobs
from browser import phone
from real_app import FIXED, nothing_went_wrong
from test_journey_hand import into_a_file

from engine.fitted import SHORT
from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.practice import sound
from engine.practice.after import ONE_CAUSE, hidden
from engine.practice.clock import clock
from engine.since import DRIFTED
from engine.step import AGAIN, PHOTO
from engine.verdict import OUTSIDE
from engine.worked import worked
from fieldapp import words
from walks.diary import Diary
from walks.walker import PATIENT, Walker, app_on

if TYPE_CHECKING:
    from browser import Phone
    from playwright.sync_api import Playwright

METRES = "280"
CLAD_SEED, STORM_SEED = 30, 264
"""what is hidden in the reedbed by these: clad wire in C4; a bad joint at A2's end of C4"""
MOST_TESTS = 8
"""so many tests asked for, and the cause should have been named long since"""
TALL, WIDE = 70.0, 300.0
"""the least size of the one main button of a screen [px]"""


@dataclass(frozen=True)
class Told:
    """What came of a day: its minutes by the engine's own clocks, and what was found."""

    minutes: float
    lines: tuple[str, ...] = ()


class Day:
    """A phone, the app on a folder of its own, and what is noted of both."""

    def __init__(self, hand: Phone, data: Path, diary: Diary) -> None:
        self.hand, self.data, self.diary = hand, data, diary

    def walker(self, job: str, *, has_lead: bool = True) -> Walker:
        return Walker(self.hand, self.data, job, self.diary, has_lead=has_lead)


@contextmanager
def begun(
    playwright: Playwright, executable: str, folder: Path, day: str, *files: Path, seed: int = 0
) -> Iterator[Day]:
    """A day from the first look at the phone."""
    data = folder / f"{day}-data"
    with app_on(data, *files, seed=seed) as app, phone(playwright, executable) as hand:
        diary = Diary(hand, folder, day)
        hand.open(app.url)
        yield Day(hand, data, diary)
        nothing_went_wrong(hand)


def is_open(one: Judgement) -> bool:
    return any(step.state == "open" for step in one.steps)


# ---------------------------------------------------------------- what every day ends with


def leaves(day: Day, me: Walker) -> None:
    """From wherever one is: Leave, and the site is left."""
    holds = me.now().blockers
    assert holds == (), [hold.id for hold in holds]
    day.hand.tap(words.leave_bar(0), exact=True)
    day.hand.wait_for(FIXED.leave_site)
    day.hand.tap(FIXED.leave_site, role="button")
    day.hand.wait_until(lambda: me.held().records[-1]["what"] == "leave", 10, "the leave")


def hands_over(day: Day) -> dict[str, bytes]:
    """Record, labels and job file, each into a file; the record as a page too."""
    hand = day.hand
    hand.wait_for(words.document("report"))
    day.diary.here()
    out: dict[str, bytes] = {}
    for what in ("report", "labels", "whole"):
        name, data = into_a_file(hand, words.speak_hand(words.document(what), words.to_a_file()))
        out[what], suffix = data, Path(name).suffix
        (day.diary.folder / f"{day.diary.day}-{what}{suffix}").write_bytes(data)
    assert out["report"].startswith(b"%PDF-") and out["labels"].startswith(b"%PDF-")
    day.diary.picture("handed-over")
    as_page = words.speak_setting(words.report_as(), words.kind_of_file("html"), False)
    hand.tap(as_page, exact=True, role="button")
    _, out["page"] = into_a_file(
        hand, words.speak_hand(words.document("report"), words.to_a_file())
    )
    (day.diary.folder / f"{day.diary.day}-report.html").write_bytes(out["page"])
    return out


# ---------------------------------------------------------------- the fault


def slabs(hand: Phone) -> list[str]:
    """The first lines of the main buttons that can be pressed: as wide as the page, and tall."""
    return [
        node.first_line
        for node in hand.nodes()
        if node.role == "button"
        and node.enabled
        and node.box.height >= TALL
        and node.box.width >= WIDE
    ]


def slab_of(hand: Phone) -> str:
    """The one main button."""
    found = slabs(hand)
    assert len(found) == 1, f"{len(found)} main buttons: {found}\n{hand.texts()}"
    return found[0]


def to_the_fault(day: Day) -> None:
    """What the readings point to: from a verdict, or by way of what comes next."""
    hand = day.hand

    def there() -> bool:
        return hand.route.endswith("/fault")

    if not there() and not hand.has(words.find_fault()):
        hand.tap(slab_of(hand), role="button")
        hand.wait_until(lambda: there() or hand.has(words.find_fault()), 10, "the way there")
    if not there():
        hand.tap(words.find_fault(), role="button")
        hand.wait_until(there, 10, "the fault")
    hand.wait_until(lambda: slabs(hand), PATIENT, "the causes")
    day.diary.here()


def finds_and_mends(day: Day, me: Walker) -> list[str]:
    """The tests that are asked for until a cause is named, then what it was and that it is mended."""
    hand, tests = day.hand, []
    for number in range(MOST_TESTS):
        to_the_fault(day)
        day.diary.picture(f"fault-{number + 1}")
        main = slab_of(hand)
        hand.tap(main, role="button")
        hand.wait_until(
            lambda: (
                any(p in hand.route for p in ("/test/", "/read/")) or hand.has(words.mended_slab())
            ),
            PATIENT,
            "the test or the mending",
        )
        if hand.has(words.mended_slab()):
            break
        tests.append(main)
        if "/test/" in hand.route:
            gets_ready(day, me)
        me.reads()
        me.settles()
    else:
        raise AssertionError(f"no cause after {tests}")
    day.diary.picture("mending")
    hand.tap(words.it_was_that(), role="button")
    hand.wait_until(lambda: hand.find(words.mended_slab()).enabled, 10, words.mended_slab())
    hand.tap(words.mended_slab(), role="button")
    hand.wait_until(lambda: me.held().records[-1]["what"] == "change", 10, "what was mended")
    return tests


def gets_ready(day: Day, me: Walker) -> None:
    """On the page before a test on a dead run: who switched off, what is put in."""
    hand = day.hand
    day.diary.picture("before-a-test")
    for _ in range(4):
        known = {words.is_off(box) for box in me.now().state.job.boxes}
        put_in = words.is_in_at(SHORT, "").strip()
        waits = [one for one in me.offered() if one in known or one.startswith(put_in)]
        if not waits:
            break
        hand.tap(waits[0], role="button")
        hand.wait_until(lambda name=waits[0]: name not in me.offered(), 10, f"{waits[0]} to go")
    at, kind = hand.route.partition("/test/")[2].split("?")[0].split("/")
    hand.tap(words.measure_at(at, kind), role="button")


# ---------------------------------------------------------------- a new run that is sound


def new_install(day: Day) -> Told:
    """From an empty list to a record that somebody signed, everything as it should be."""
    hand = day.hand
    day.diary.here()
    hand.tap(FIXED.plan_a_run)
    for key in METRES:
        hand.tap(key, exact=True)
    hand.wait_for(words.far_metres(METRES))
    hand.tap(words.next_button())
    hand.tap(words.lay_button())
    job = f"RUN-{METRES}"
    hand.wait_route(f"/j/{job}/plan")
    day.diary.here()
    hand.tap(words.done_button(), exact=True)
    me = day.walker(job, has_lead=False)
    planned = worked(me.now(), 1).minutes
    me.works(lambda one: not is_open(one))
    assert all(one.verdict != OUTSIDE for one in me.now().verdicts)
    day.diary.about = "nothing left"
    day.diary.here()
    leaves(day, me)
    hand.wait_route(f"/j/{job}/hand")
    hands_over(day)
    done = sum(step.state == "done" for step in me.now().steps)
    return Told(planned, (f"{done} steps, {len(me.now().verdicts)} readings, none outside",))


# ---------------------------------------------------------------- a clad span


def clad_span(day: Day) -> Told:
    """A practice run from the list of jobs; the cause is found by the tests that are asked for."""
    hand = day.hand
    day.diary.here()
    hand.tap(words.practise(), role="button")
    hand.tap(words.PRACTICE_LEVELS[ONE_CAUSE][0], role="button")
    hand.tap("Reedbed hide", role="button")
    hand.wait_for(words.capital(words.band_line(0, 0)), timeout=PATIENT)
    me = day.walker(practice_jobs.IDENT)
    truth = hidden(me.file())
    assert (truth.cause, truth.kind, truth.where) == ("span.high", "clad", "C4"), truth

    def outside(one: Judgement) -> bool:
        return any(verdict.verdict == OUTSIDE for verdict in one.verdicts)

    while not outside(me.now()):
        me.goes_on_measuring()
    before = hand.taps
    to_the_fault(day)
    assert hand.taps - before == 1
    tests = finds_and_mends(day, me)
    day.diary.here()
    hand.tap(words.back_to_job(), role="button")
    me.works(lambda one: not is_open(one))
    leaves(day, me)
    day.diary.here()
    to_hand(day)
    hands_over(day)
    minutes = clock(me.now().state).minutes
    return Told(minutes, (f"hidden: {truth.where}, {truth.kind}", f"tests: {tests}"))


def to_hand(day: Day) -> None:
    """From how a practice run went to what is handed over."""
    hand = day.hand
    hand.wait_for(words.back_to_job())
    hand.tap(words.leave_bar(0), exact=True)
    hand.tap(words.hand_over(), role="button")


# ---------------------------------------------------------------- a return after a storm


def left_last_year() -> dict[str, Any]:
    """The reedbed as it was left a year ago, sound; what the storm did is hidden in it."""
    year = datetime.now(UTC).year - 1
    doc = practice_jobs.job(seed=STORM_SEED, level=ONE_CAUSE)
    file = read_job(doc)
    then = sound(file, STORM_SEED)
    log = [dict(entry) for entry in doc["log"]]
    for step in judge(file).steps:
        stamp = {"by": "Orla", "id": f"was-{step.id}"}
        if step.state != "open":
            continue
        if step.asks is None:
            log.append({**stamp, "what": "step", "step": step.id, "state": "done"})
        elif step.asks.kind != PHOTO:
            at, kind = step.asks.at, step.asks.kind
            value = then.shown(at, kind, moment=f"then-{at}").value
            read = {"what": "reading", "at": at, "kind": kind, "value": round(value, 2)}
            meter = {"meter": name} if (name := then.meter_for(kind)) else {}
            log.append({**stamp, **read, **meter, "moment": f"then-{at}"})
    log.append({"by": "Orla", "id": "copied", "what": "export", "to": "reedbed-hide.json"})
    log.append({"by": "Orla", "id": "left", "what": "leave", "open": []})
    for n, entry in enumerate(log, 1):
        entry |= {"t": f"{year}-06-03T{9 + n // 60:02d}:{n % 60:02d}:00Z", "device": "aaaa", "n": n}
    return {**doc, "title": "Reedbed hide, made up", "log": log}


def after_a_storm(day: Day) -> Told:
    """Why one came, the few readings that show most, what drifted, its mending, then and now."""
    hand = day.hand
    me = day.walker(practice_jobs.IDENT)
    began = clock(me.now().state).minutes
    day.diary.here()
    if hand.route == "/":
        hand.tap("Reedbed hide", role="button")
    storm = words.visit_reason("storm")
    hand.wait_for(storm)
    day.diary.about = "visit"
    day.diary.here()
    hand.tap(storm, role="button")
    hand.wait_gone(words.visit_why())
    asked = [step.asks for step in me.now().steps if step.kind == AGAIN]
    assert asked, "nothing to begin with"
    day.diary.here()

    def drifted(one: Judgement) -> bool:
        return any(drift.verdict == DRIFTED for drift in one.drifts)

    while not drifted(me.now()):
        me.goes_on_measuring()
    hand.tap(words.leave_bar(len(me.now().blockers)), exact=True)
    hand.wait_route(f"/j/{me.job}/leave")
    hand.wait_for(words.find_fault())
    day.diary.picture("since-then")
    tests = finds_and_mends(day, me)
    hand.tap(words.back_to_job(), role="button")
    me.works(lambda one: not is_open(one))
    leaves(day, me)
    to_hand(day)
    page = hands_over(day)["page"].decode()
    assert words.RECORD_SURE[DRIFTED] in page, "the record does not say that it drifted"
    minutes = clock(me.now().state).minutes - began
    truth = hidden(me.file())
    told = f"hidden: {truth.where}, {truth.cause}", f"asked first: {len(asked)}", f"tests: {tests}"
    return Told(minutes, told)


@dataclass(frozen=True)
class Walk:
    """One of the days: what is done, the jobs that are there, what is drawn."""

    does: Callable[[Day], Told]
    jobs: Callable[[], tuple[dict[str, Any], ...]] = tuple
    seed: int = 0


WALKS: Mapping[str, Walk] = {
    "new": Walk(new_install),
    "clad": Walk(clad_span, seed=CLAD_SEED),
    "storm": Walk(after_a_storm, lambda: (left_last_year(),)),
}
"""by name"""


def walk(playwright: Playwright, executable: str, folder: Path, name: str) -> tuple[Diary, Told]:
    """One whole day, its pictures and its page written to a folder."""
    one = WALKS[name]
    folder.mkdir(parents=True, exist_ok=True)
    files = []
    for number, doc in enumerate(one.jobs()):
        files.append(folder / f"{name}-{number}.json")
        files[-1].write_text(json.dumps(doc), encoding="utf-8")
    with begun(playwright, executable, folder, name, *files, seed=one.seed) as day:
        try:
            told = one.does(day)
        except Exception:
            day.diary.write(["not done"])
            day.diary.picture("where-it-ended")
            raise
    minutes = f"{told.minutes:.0f} min of the day, {day.diary.seconds:.0f} s here"
    presses = f"{day.diary.taps} taps, {day.diary.digits} digits"
    day.diary.write([f"{minutes}; {presses}", *told.lines])
    return day.diary, told
