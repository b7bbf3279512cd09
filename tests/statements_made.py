"""Every code of the engine and the app, said with parts that it can have."""

from __future__ import annotations

from functools import cache

from test_phrases import judgements, statements

from engine.say import Say, say
from fieldapp import words
from fieldapp.words.english import SAYS

TYPED_BY_SOMEBODY = ("title", "name", "near", "far", "stop", "reason", "boxes", "problem")
"""parts whose words are the job's own: whatever stands in them was typed by somebody"""

TOLD = (
    say("told-unreadable", name="hide.json", at="boxes[12].sheet", more=2),
    say("told-copied", name="hide.json"),
    say("told-here-already", name="hide.json"),
    say("told-full"),
    say("told-read-only"),
    say("told-failed"),
    say("told-busy"),
    say("told-torn"),
    say("told-stays"),
    say("told-may-clear"),
    say("told-not-renewed"),
    say("told-other-plan", name="hide.json"),
    say("code-foreign"),
    say("code-newer"),
    say("code-parts"),
    say("code-mistyped"),
    say("code-no-job", job="REEDBED-HIDE"),
    say("told-nothing-new", name="hide.json"),
    *(say("told-twins", count=count) for count in (1, 3)),
    *(
        say("told-left-out", name="hide.zip", at=f"photos/{'3f' * 32}.jpg", why=why, more=more)
        for why in words.LEFT_OUT
        for more in (0, 1, 4)
    ),
    say("told-table-out", name="reedbed-hide-readings.csv"),
    *(say("told-photos-lacking", count=count) for count in (1, 3)),
    say("told-share-unknown"),
    say("told-made-now"),
    *(say("told-not-made", what=what) for what in words.DOCUMENTS),
    say("told-not-out", name="reedbed-hide.zip"),
    say("told-no-start", name="hide.json"),
    say("told-no-name", name="REEDBED-HIDE"),
    say("row-unreadable"),
    say("row-newer"),
    say("told-newer", name="HERON-HIDE"),
    say("told-photo-kind", found="a PNG picture"),
    say("told-photo-kind", found=""),
    say("told-photo-full"),
    say("told-photo-large", found="4.6 MB"),
    say("told-photo-large", found="108 million pixels"),
    say("told-photo-broken", found=""),
    say("told-photo-full-size", found="3.2 MB"),
    say("told-meter-kept", name="Ida's"),
    say("told-meter-serial", most=60),
    *(say("told-everything-out", name="farend-2031-06-03.zip", jobs=jobs) for jobs in (1, 12)),
    *(
        say("told-everything-in", name="farend-2031-06-03.zip", new=new, more=more)
        for new in (0, 1, 12)
        for more in (0, 1, 3)
    ),
    say("plan-path", problem="there is no Q9"),
    say("plan-unread", problem="spans[3].length_m: found -1, expected a number 0 to 100000."),
    say("plan-absent", thing="Q9"),
    say("plan-sheet", sheet="my.camera"),
    say("plan-no-way-through", sheet="my.camera", kind="endpoint"),
    say("plan-share", share="1.5"),
    say("plan-many-spans", box="P1", spans=4),
    say("plan-no-turning", box="S"),
    say("plan-id-used", thing="hide"),
    say("plan-distance", metres="9000", most=3000),
    say("plan-load", watts="900", mbps="1000"),
    say("plan-no-length"),
    say("table-large", name="spans.csv"),
    say("table-no-text", name="spans.xlsx"),
    say("own-limits", key="volts", part="low", least=1, most=75),
    say("own-limits", key="efficiency", part="", least=5, most=100),
    say("own-limits", key="ports/in/reach_m/1000", part="", least=0, most=100000),
    say("own-limits", key="watts", part="resolution", least=0, most=1000),
    say("own-order", key="volts"),
    say("own-unread", key="volts"),
    say("own-name", most=200),
    say("strip-photo", of="L1"),
    say("strip-photo", of="bond.A1"),
    say("strip-photo", of="stop:hide"),
    say("strip-export"),
    say("strip-signed", by="Orla"),
    *(
        say("strip-visit", reason=reason, people=people)
        for reason in (*words.VISIT_REASONS, "")
        for people in (1, 2)
    ),
    *(say("strip-handed", what=what) for what in (("report",), ("labels",), ("report", "labels"))),
    *(
        say(code, what=what, at=at)
        for code in ("strip-in", "strip-out")
        for what, at in (("short", "A2.line"), ("by-pass", "J1"), ("known load", "C"))
    ),
)

CHECKLIST = (
    say("caution-thunder"),
    say("caution-ladder", stop="Hide"),
    say("caution-live"),
    say("caution-off", said=()),
    say("caution-off", said=(("S", "Rafe", "2031-05-04T08:40:00Z"),)),
    say("caution-off", said=(("S", "", None), ("I1", "Orla", "2031-05-04T08:40:00Z"))),
    say("caution-earth"),
    say("caution-mains"),
    say("caution-dig"),
    say("caution-metal"),
    say("caution-eyes"),
    say("caution-two-earths"),
    say("caution-unplug"),
    say("caution-known-load"),
    say("caution-insulation"),
    say("lights-feed", box="S", within_s=3),
    say("lights-box", box="L1", power_s=8, link_s=4),
    say("lights-endpoint", box="C", from_s=30, to_s=120),
    *(say("hold-photo", at=at) for at in ("L1", "bond.A1", "stop:hide")),
    *(say("hold-copied", count=count) for count in (1, 5)),
    *(
        say("hold-fitted", what=what, at="C4", by=by)
        for what in ("short", "by-pass", "known load")
        for by in ("", "Orla")
    ),
    *(say("hold-found", at="C4", cause=cause) for cause in (*words.CAUSES, "span.damp")),
    say("step-walk", stops=("Hut", "Sluice", "Hide"), far="Hide", metres=463.0),
    *(say("step-reel", span="C3", length_m=202.0, title="Cat 6", ohms=one) for one in (13.4, None)),
    say("step-rehearse", boxes=("S", "L1", "L2", "C")),
    say("step-marks", span="C3", length_m=202.0),
    say("step-screens", span="C4", here="Hut", there="Hide"),
    say("step-photo", box="L1", kind="long-span"),
    *(say("step-photo-bond", box="A1", earth=earth) for earth in ("EB1", None)),
    say("step-clear"),
    say("step-load", box="C", watts=16.0),
    say("step-settings", box="S", name="Hut switch"),
    say("step-after-close", stop="Hide", at="L2.out"),
    say("step-tell"),
    say("step-copy"),
    say("step-sign"),
)
"""every form of what is said while the work goes on"""

LOGGED = (
    *(
        say("hold-conflict", path=path, values=values, by=("Orla", "Ivo"), shown="orla")
        for path, values in (
            ("spans/C4/length_m", (262, 249.5)),
            ("spans/C4/length_m", ({"low": 250, "expected": 256, "high": 260}, None)),
            ("title", ("Reed hide", "Hide in the reeds")),
            ("boxes/L2/name", ("Far unit", "Hide unit")),
            ("boxes/L9", ({"id": "L9"}, {"id": "L9", "stop": "hide"})),
            ("x_pinout", ("T568A", "T568B")),
            ("site/ambient_c", ({"low": -5, "expected": 12, "high": 32}, 14)),
        )
    ),
    say("odd-twin", entry="a"),
    say("odd-void", entry="a", of="b"),
    say("odd-change", entry="a", where="Q9"),
    say("odd-reading", entry="a", at="Q9.in"),
    say("odd-count", entry="a", device="d0d0", n=12),
    say("odd-resolve", entry="a", of=("x", "y")),
    say("odd-seen", entry="a"),
    *(say("odd-cause", entry="a", cause="span.hihg", near=near) for near in ("span.high", None)),
)
"""what two phones and hand-written logs bring: no sample has it"""
JUDGED = (
    *(
        say(f"verdict-outside-{way}", at="L2.in", kind=kind, by=2.7, reach=reach, spoke=spoke)
        for way in ("low", "high")
        for kind in ("volts", "milliamps", "watts", "loop_ohms", "metres", "celsius")
        for reach in (0.0, 0.04, 0.3, 12.0)
        for spoke in ("today", "design")
    ),
    *(
        say("verdict-unclear", at="L2.in", kind=kind, by=by, low=low)
        for kind in ("volts", "milliamps")
        for by in (0.0, 0.6)
        for low in (True, False)
    ),
    say("verdict-errors", at="L2.in", count=14.0, most=2.0),
    say("verdict-over", at="EB1", kind="earth_ohms", value=40.0, most=25.0),
    say("verdict-over", at="C4", kind="unbalance_ohms", value=1.2, most=0.75),
    say("no-band-no-seconds", at="L2.in"),
    say("no-band-no-such-box", at="S.out", box="Z"),
    say("no-band-unplugged", at="S.out", box="L1"),
    say("no-band-unplugged", at="S.out", box=None),
    say("pairs-apart", at="C4", pairs=("3",), ohms=(26.0,), others=24.1),
)
"""every form that a verdict's sentence can take"""


@cache
def strips() -> tuple[Say, ...]:
    steps = {step.say.code: step for one in judgements() for step in one.steps}
    return (
        *(
            say("strip-step", state=state, step=step.say)
            for step in steps.values()
            for state in ("done", "undone", "not-here")
        ),
        *(
            say("strip-change", where="C4", did=words.MENDED[0], struck=struck)
            for struck in (0, 1, 3)
        ),
    )


@cache
def everything_said() -> tuple[Say, ...]:
    """What the engine says of the samples and their variants, and what the app adds."""
    told = tuple(one for one in TOLD if one.code in SAYS)
    return (*statements(), *JUDGED, *LOGGED, *CHECKLIST, *strips(), *told)


def own_words(statement: Say, text: str) -> str:
    """A sentence without what somebody typed."""
    typed: list[str] = []
    _collect_typed(statement, typed)
    for part in sorted(typed, key=len, reverse=True):
        text = text.replace(part, "…")
    return text


def _collect_typed(statement: Say, out: list[str]) -> None:
    for key, value in statement.parts.items():
        if isinstance(value, Say):
            _collect_typed(value, out)
        elif key in TYPED_BY_SOMEBODY:
            out.extend(value if isinstance(value, tuple) else [value])
    out[:] = [part for part in out if isinstance(part, str) and part]
