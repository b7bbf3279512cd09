"""Every promise that is measured here: of speed, of rates on made-up sites, of what is never lost.

The one place of their figures. A bench takes its limits from here, ``table.py`` prints all of
them. A promise is the design's, or an aim that was set before the part was built; it is not moved
because it was missed. One that is known to be missed says why.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from types import MappingProxyType

from rows import Promise, Row

JUDGING = "design: judging a reading"
FAULT = "design: finding the fault"
CAUSES = "reference: causes, figures to beat"
APP = "design: what the app promises"
SPEED = "aim: speed"
PROOFS = "aim: proofs"
TOLD = "aim: to be measured and told"

HERE = "processor time in this Python"
SITES = "made-up sites, seeds fixed"
TURNS = "in turns in one run"
SITE_RATE = 0.03
"""false alarms a healthy site, at most"""


def _most(bench: str, key: str, what: str, limit: float, unit: str, how: str, where: str, **more):
    return Promise(bench, key, what, "at most", limit, unit, how, where, **more)


def _least(bench: str, key: str, what: str, limit: float, unit: str, how: str, where: str, **more):
    return Promise(bench, key, what, "at least", limit, unit, how, where, **more)


def _seen(bench: str, key: str, what: str, unit: str, how: str, **more):
    return Promise(bench, key, what, "told", None, unit, how, TOLD, **more)


# ---------------------------------------------------------------- prediction, judging, the log


_FLAT = "a long log against a short one, in turns in one run"
_AS_SHORT = 1.2
"""the time of an append to a short log, with a fifth for chance"""

ENGINE = (
    _least(
        "operating",
        "root",
        "operating point of six boxes, to scipy's root",
        *(4, "times", f"the same residual, {TURNS}", SPEED),
    ),
    _most(
        "predict",
        "six",
        "prediction of six boxes",
        *(600, "solves", f"with one solve of its tree, {TURNS}", SPEED),
    ),
    _most("predict", "forty", "prediction of forty boxes", 50, "ms", HERE, SPEED),
    _most(
        "predict",
        "linear",
        "a node of 10,000 solved, to one of 100",
        *(2, "times", f"ladders of loaded nodes, {TURNS}; a square were 100", SPEED),
    ),
    _least(
        "predict",
        "process",
        "start and imports, of a predict command",
        *(0.5, "share", f"fresh processes, {TURNS}", SPEED),
    ),
    _most(
        "judge",
        "solves",
        "a reading judged, of 13 on six ports",
        *(40, "solves", f"with one solve of its tree, {TURNS}", SPEED),
    ),
    _most("judge", "ms", "13 readings judged", 10, "ms", HERE, SPEED),
    *(
        _most(
            "judge",
            sort,
            f"one reading more, 5,000 {sort} to 50",
            *(_AS_SHORT, "times", _FLAT, SPEED),
        )
        for sort in ("remarks", "replaced", "counting")
    ),
    *(
        _most(
            "log",
            kind,
            f"{kind} folded in, 5,000 entries to 50",
            *(_AS_SHORT, "times", _FLAT, SPEED),
        )
        for kind in ("a reading", "a step", "a void of a reading", "a change", "a plan edit")
    ),
    _most(
        "log",
        "contest",
        "a thousand edits that saw nobody, to 250",
        *(10, "times", f"whole folds, {TURNS}; pair by pair it were 16", SPEED),
    ),
    _seen("log", "fold", "a log of 5,000 entries folded, to reading it", "times", TURNS),
)

# ---------------------------------------------------------------- what is kept

STORE = (
    _most(
        "store",
        "append",
        "an entry kept and flushed, to a bare fsync",
        *(10, "times", f"the same bytes, {TURNS}", SPEED),
    ),
    _most(
        "store",
        "flat",
        "an entry behind 50,000, to one behind none",
        *(1.2, "times", f"both flushed, {TURNS}", SPEED),
    ),
    _most(
        "store",
        "replaced",
        "5,000 entries opened and judged, most replaced",
        *(300, "ms", "processor time, least of five", SPEED),
    ),
    _most(
        "store",
        "current",
        "5,000 entries opened and judged, all current",
        *(300, "ms", "processor time, least of five", SPEED),
    ),
    _most(
        "crashes",
        "broken",
        "power cuts, kills, failures after which something lacks",
        *(0, "count", "each call and byte of the store on a disk that forgets", APP),
    ),
    _least(
        "crashes",
        "many",
        "crashes that were simulated",
        *(10_000, "count", "all that there are", PROOFS),
    ),
    _most(
        "kills",
        "lost",
        "of all that was acknowledged, lost or torn",
        *(0, "count", "a process that keeps and says so gets SIGKILL", APP),
    ),
    _least("kills", "many", "processes killed", 500, "count", "the same", PROOFS),
    _most(
        "merge_store",
        "differ",
        "histories of three phones merged otherwise",
        *(0, "count", "through the store in two orders, against the plain union", APP),
    ),
    _most(
        "fuzz",
        "finds",
        "hurt files that do more than be refused or read",
        *(0, "count", "mutated files of at most 4 kB, by every door", PROOFS),
    ),
    _least(
        "fuzz",
        "cases",
        "hurt files that were tried",
        *(1_000_000, "count", "40 minutes on two processes", PROOFS),
        missed="40 minutes gave 851,289; with the 216,684 of a run before it was more",
    ),
)

# ---------------------------------------------------------------- steps, advice, faults

_DIAGNOSIS = "prediction, verdicts, causes, next test; processor time"

WORK = (
    _most(
        "route",
        "one",
        "the order of the work for one, 40 boxes",
        *(200, "ms", "processor time, slowest of the made-up jobs", SPEED),
    ),
    _most(
        "route",
        "two",
        "the order of the work for two, 40 boxes",
        *(200, "ms", "processor time, slowest of the made-up jobs", SPEED),
        missed="half of it is the order for one, then 16,000 tasks are put in anew to share it better",
    ),
    _most(
        "route",
        "worse",
        "minutes for two, to those for one",
        *(1, "times", "the worst of all jobs", SPEED),
    ),
    _seen("route", "again", "the order after one entry more, 40 boxes", "ms", HERE),
    _most(
        "advise",
        "six",
        "advice on a plan of up to seven boxes",
        *(1000, "ms", "processor time, slowest of twelve plans", SPEED),
    ),
    _most(
        "advise",
        "slice",
        "the longest a tap waits for advice",
        *(50, "ms", "between two yields, shortest of the rounds", SPEED),
    ),
    _seen("advise", "times", "advice, to one prediction of its plan", "times", TURNS),
    _most(
        "find",
        "fault",
        "13 readings with a hidden cause, diagnosed",
        *(60, "ms", _DIAGNOSIS, SPEED),
        missed="a small bad end is hardly told from a sound site: most guesses are fitted",
    ),
    _most(
        "find",
        "sound",
        "13 readings of a sound site, diagnosed",
        *(60, "ms", _DIAGNOSIS, SPEED),
        missed="where nothing is clearly wrong no guess is ruled out early",
    ),
    _most(
        "find",
        "slice",
        "the longest a tap waits for a diagnosis",
        *(50, "ms", "between two yields, shortest of the rounds", SPEED),
    ),
    _seen("find", "solves", "a sound site diagnosed, to one solve", "solves", TURNS),
)

# ---------------------------------------------------------------- verdicts on made-up sites

READINGS = (7, 13)
SWINGS = (0, 10, 25)
SICK = (
    ("source.low", "S1"),
    *(("span.high", span) for span in ("C1", "C2", "C3")),
    *(("pairs.lost", span) for span in ("C1", "C2", "C3")),
    ("load.heavy", "E1"),
)

VERDICTS = (
    *(
        _most(
            "sites",
            f"false {readings}, {swing}",
            f"healthy sites with an outside, {readings} readings, ±{swing} %",
            *(SITE_RATE, "share", SITES, JUDGING),
        )
        for readings in READINGS
        for swing in SWINGS
    ),
    *(
        _seen("sites", f"unclear {readings}", f"healthy sites with an unclear, {readings} readings, ±10 %", "share", SITES)
        for readings in READINGS
    ),
    *(
        _seen("sites", f"{cause} {where}", f"{cause} {where}: first outside at its place, 13", "share", SITES)
        for cause, where in SICK
    ),
)  # fmt: skip

# ---------------------------------------------------------------- the diagnosis on made-up sites

_LIGHTS = (0.95, 0.97, 0.98)
_VOLTS = (0.85, 0.95, 0.97)
_TESTS = ("at once", "after 1 test", "after 2 tests")
_HARD = (
    "a tenth carry causes that first readings hardly part: lights alone, a soft source, a bad end"
)
_RIGHT = "cause and place, " + SITES

_NAMED: tuple[tuple[str, tuple[float | None, ...], str, tuple[str, ...]], ...] = (
    ("all", _LIGHTS, FAULT, (_HARD,) * 3),
    ("common causes", _LIGHTS, FAULT, ("within chance of it", "", "")),
    ("volts only", _VOLTS, FAULT, (_HARD,) * 3),
    ("common causes, volts", _VOLTS, FAULT, ("",) * 3),
    ("swing 25, volts", (0.66, 0.81, 0.88), CAUSES, ("", "a load that swings hides a bad end", "the same")),
    ("swing 25, volts and amps", (0.93, 0.95, 0.97), CAUSES, (_HARD, _HARD, "")),
    ("swing 25, known load", (0.92, 0.95, 0.99), CAUSES, (_HARD,) * 3),
    ("two faults", (0.42, 0.60, 0.76), CAUSES, ("", "", "the second cause is often one that lights alone show")),
    *((row, (None,) * 3, TOLD, ("",) * 3) for row in (
        "no lights", "two pairs", "tree", "regenerating", "typed", "wrong place", "wrong unit",
        "rates off by 3",
    )),
)  # fmt: skip
"""rows of ``diagnose.py``, what is promised of them at once and after one and two tests, where"""
_HEALTHY = (
    *("healthy", "healthy, volts only", "healthy, swing 25", "healthy tree"),
    *("healthy regenerating", "healthy, rates off by 3"),
)


def _named(row: str, limits, where: str, missed):
    """At once and after one and two tests; where nothing is promised, at once and after two."""
    for tests, (limit, why) in enumerate(zip(limits, missed, strict=True)):
        what, key = f"{row}: named rightly {_TESTS[tests]}", f"{row}, right {tests}"
        alone = f'--only "{row}"'
        if limit is not None:
            yield _least(
                "diagnose", key, what, limit, "share", _RIGHT, where, missed=why, alone=alone
            )
        elif tests != 1:
            yield _seen("diagnose", key, what, "share", _RIGHT, alone=alone)


DIAGNOSIS = (
    *(one for row in _NAMED for one in _named(*row)),
    *(
        _most("diagnose", row, f"{row}: called sick", SITE_RATE, "share", SITES, JUDGING, alone=f'--only "{row}"')
        for row in _HEALTHY
    ),
    _most(
        "diagnose",
        "calibration, as met",
        "how far odds are off, visits as they are met",
        *(0.05, "share", "ten bins of equal count, weighed by the rates", FAULT),
        alone="--only all --only healthy",
    ),
    _most(
        "diagnose",
        "calibration, all",
        "how far odds are off, sick sites alone",
        *(0.05, "share", "ten bins of equal count", FAULT),
        missed="none and the causes that nothing shows are left out of it",
        alone="--only all",
    ),
    _least(
        "diagnose",
        "thumbs",
        "named rightly at once, to the best rule of thumb",
        *(1.2, "times", "three rules of thumb on the same sites", FAULT),
        alone="--only all",
    ),
    _seen("diagnose", "minutes", "minutes of tests a sick site", "minutes", SITES, alone="--only all"),
)  # fmt: skip

# ---------------------------------------------------------------- documents, screens, the phone

_CHROMIUM = "in Chromium, in turns with Flet's own counter"
_BARE = "against a page of one button, built the same way"
_CLIENT = "the client builds a page anew most of which has changed"

SCREENS = (
    _most(
        "handover",
        "record",
        "record of six boxes with eight photos, as PDF",
        *(2, "s", "a whole command, processor time", SPEED),
    ),
    _seen("handover", "imports", "the same, to its imports alone", "times", TURNS),
    _most(
        "labels",
        "forty",
        "labels of 40 boxes, the slowest paper",
        *(1, "s", "a whole command, processor time", SPEED),
    ),
    _most(
        "sent",
        "scroll",
        "parts of Steps that tell when it is scrolled",
        *(0, "count", "headless, a job of 40 boxes", SPEED),
    ),
    _seen("sent", "shapes", "shapes of Run, 40 boxes", "count", "headless"),
    _seen("sent", "bytes", "bytes that open Run, 40 boxes", "count", "headless, packed as sent"),
    _seen("sent", "key", "a key of the pad, to Flet's own counter", "times", "headless, processor time"),
    _seen("sent", "keep", "Keep to the verdict, to Flet's own counter", "times", "headless, processor time"),
    _most("echo", "pad", "a key of the pad, to Flet's own echo", 1.5, "times", _CHROMIUM, SPEED),
    _most("echo", "keeps", "Keep to the verdict", 2, "times", _CHROMIUM, SPEED, missed=_CLIENT),
    _most("echo", "edits", "an edit in the plan to the moved line", 2, "times", _CHROMIUM, SPEED, missed=_CLIENT),
    _most("echo", "steps", "a step of a what-if", 2, "times", _CHROMIUM, SPEED, missed=_CLIENT),
    _most("echo", "jumps", "a press on the ruler of a what-if", 2, "times", _CHROMIUM, SPEED),
)  # fmt: skip

_PYODIDE = "in the browser's Python, as quick as its plain loop once was"

PHONE = (
    _most("page", "bytes", "what a phone fetches once, without letters", 1.15, "times", f"gzip, {_BARE}", SPEED),
    _seen("page", "letters", "of it letters", "count", "bytes, gzip"),
    _most("page", "start", "start with the host gone to the first screen", 1.3, "times", f"new processes in turns, {_BARE}", SPEED, missed="the app's own library is read and its store opened"),
    _most("page", "tap", "Keep to the verdict, flushed", 2.5, "times", f"a tap there, {_BARE}", SPEED, missed=_CLIENT),
    _most("page_proofs", "kills", "broken promises, the browser killed as it says kept", 0, "count", "SIGKILL, then looked for on the disk and in the app", APP, alone="--only kills"),
    *(
        _most("page_proofs", name, f"broken promises, {what}", 0, "count", "installed page, host gone", APP, alone=f"--only {name}")
        for name, what in (
            ("big", "40 boxes and 5,000 entries"),
            ("requests", "every screen: nobody is asked"),
            ("quota", "a full phone"),
            ("german", "in German"),
            ("double", "letters twice as large"),
            ("two", "two versions on one host"),
        )
    ),
    _most("browser_speed", "predict", "prediction of six boxes on the phone", 60, "ms", _PYODIDE, SPEED),
    _most("browser_speed", "diagnosis", "diagnosis of six boxes on the phone", 300, "ms", f"slowest site, {_PYODIDE}", SPEED),
    _most("browser_speed", "gap", "the longest a tap waits for long work", 50, "ms", f"between two yields, {_PYODIDE}", SPEED),
    _most("browser_speed", "gap 40", "the same, a diagnosis of 40 boxes", 50, "ms", f"between two yields, {_PYODIDE}", SPEED, missed="a fit of 40 boxes is one piece", alone='--only "diagnosis, 40 boxes"'),
)  # fmt: skip

ALL: tuple[Promise, ...] = (
    *(*ENGINE, *VERDICTS, *DIAGNOSIS, *WORK),
    *(*STORE, *SCREENS, *PHONE),
)
BY_NAME: Mapping[str, Promise] = MappingProxyType({one.name: one for one in ALL})


def row(bench: str, key: str, measured: float, beside: str = "", error: float = 0.0) -> Row:
    """What was measured beside what is promised of it."""
    return Row(BY_NAME[f"{bench}: {key}"], float(measured), beside, error)


def rows_of(bench: str):
    """A call that makes rows of one bench."""
    return partial(row, bench)
