"""Pictures of plans: edited, compared, poor, long, split, and the reels for them."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from fieldapp import words
from shots.shot import JOB, SETTLE, Shot, found, on_pad, scrolled, weighed

if TYPE_CHECKING:
    from browser import Phone

LETS_GO = (
    Shot("plan-lets-go", f"{JOB}/plan"),
    Shot("run-lets-go", f"{JOB}/run"),
    Shot("leave-lets-go", f"{JOB}/leave"),
)
POOR = (Shot("plan-poor", f"{JOB}/plan"), Shot("run-poor", f"{JOB}/run"))


REELS_GOOD = (
    Shot("reel-sound", f"{JOB}/reel/C4"),
    Shot("reel-clad", f"{JOB}/reel/C3"),
    Shot("reel-why", f"{JOB}/reel/C3", found(words.reel_use())),
    Shot("reel-ohms", f"{JOB}/reel/C3/ohms", on_pad("57")),
)
REELS_ODD = (Shot("reel-short", f"{JOB}/reel/C4"), Shot("reel-longer", f"{JOB}/reel/C3"))
REELS_OPEN = (
    Shot("reel-one-mark", f"{JOB}/reel/C4"),
    Shot("reel-second", f"{JOB}/reel/C4/second", on_pad("57")),
    Shot("reel-unclear", f"{JOB}/reel/C3"),
)
TABLE = """id,from,to,cable,metres
C6,C.out,B1.in,generic.cat6-outdoor,120
C7,A1.line,B2.in,generic.cat6-outdoor,far
"""
FITS = "id;from;to;cable;metres\nC8;N1.b;N2.a;generic.cat6-outdoor;40,5\n"


def _pasted(table: str) -> Callable[[Phone], object]:
    def paste(hand: Phone) -> None:
        hand.tap(words.table_label(), role="textbox")
        hand.page.keyboard.insert_text(table)
        hand.pause(SETTLE)

    return paste


COMPARED = (
    Shot("jobs-more", "/", found(words.speak_more("Tide mill"))),
    Shot("compare-list", f"{JOB}/compare"),
    Shot("compare-copy", f"{JOB}/compare/REEDBED-FAR"),
    Shot("compare-tide", f"{JOB}/compare/TIDE-MILL"),
    Shot(
        "compare-needs",
        f"{JOB}/compare/TIDE-MILL",
        lambda hand: hand.scroll_to(words.needs_title("Tide mill").replace("**", "")),
    ),
    Shot("compare-gone", f"{JOB}/compare/NOWHERE"),
    Shot("spans-empty", f"{JOB}/spans"),
    Shot("spans-refused", f"{JOB}/spans", _pasted(TABLE)),
)
LOOSE = (
    Shot("spans-read", f"{JOB}/spans", _pasted(FITS)),
    Shot("compare-alone", f"{JOB}/compare"),
)


def _new_stop(hand: Phone) -> None:
    hand.tap(words.outdoors(True))
    on_pad("230")(hand)


EDITED = (
    Shot("plan-turned", "/j/TURNED/plan"),
    Shot("plan-weak", "/j/WEAK/plan"),
    Shot("plan-ways", "/j/WEAK/plan", found(words.other_ways())),
    Shot("plan-heavy", "/j/HEAVY/plan"),
    Shot("plan-names", "/j/NAMES/plan"),
    Shot("plan-names-span", "/j/NAMES/plan/C4"),
    Shot("plan-names-box", "/j/NAMES/plan/A2"),
    Shot("plan-names-stops", "/j/NAMES/plan/J1", found(words.move_button())),
    Shot("sheets-names", "/j/NAMES/sheets/A2"),
    Shot("newsheet-names", "/j/NAMES/newsheet/L2"),
    Shot("whatif-names", "/j/NAMES/whatif/C4"),
    Shot("reel-names", "/j/NAMES/reel/C4"),
    Shot("spans-names", "/j/NAMES/spans"),
    Shot("compare-names", "/j/NAMES/compare/WEAK"),
    Shot("compare-names-list", "/j/WEAK/compare"),
    Shot("plan-right", "/j/FROM-RIGHT/plan"),
    Shot("plan-right-box", "/j/FROM-RIGHT/plan/A2"),
    Shot("plan-right-stops", "/j/FROM-RIGHT/plan/A2", found(words.move_button())),
    Shot("sheets-right", "/j/FROM-RIGHT/sheets/A2"),
    Shot("whatif-forty", "/j/BOXES-40/whatif/C30"),
    Shot("plan-unfed", "/j/UNFED/plan"),
    Shot("plan-branched", "/j/BRANCHED/plan"),
    Shot("plan-branch", "/j/BRANCHED/plan/C6"),
    Shot("plan-two", "/j/BOXES-2/plan"),
    Shot("plan-forty", "/j/BOXES-40/plan/C20"),
)
EDITING = (
    Shot("plan-length", f"{JOB}/plan/C4/length", on_pad("26")),
    Shot("plan-stop", f"{JOB}/plan/J1/stop", _new_stop),
    Shot("plan-stop-first", f"{JOB}/plan/J1/stop"),
    Shot("plan-lead", f"{JOB}/plan/A2/lead"),
    Shot("plan-moving", f"{JOB}/plan/J1", found(words.move_button())),
    Shot("plan-bonding", f"{JOB}/plan/A2", found(words.bond_button(True))),
    Shot("plan-all", f"{JOB}/plan", scrolled(words.nothing_chosen())),
    Shot("plan-box-foot", f"{JOB}/plan/A2", scrolled(words.bond_button(True))),
)
FORTY = (
    Shot("run-forty", "/j/POSTS-40/run"),
    Shot("run-forty-end", "/j/POSTS-40/run?at=E1.in"),
    Shot("now-forty", "/j/POSTS-40/now"),
    Shot("steps-forty", "/j/POSTS-40/steps"),
    Shot("leave-forty", "/j/POSTS-40/leave"),
    Shot("verdict-forty", "/j/POSTS-40/verdict/r5"),
    Shot("power-forty", "/j/POSTS-40/power"),
    Shot("hand-forty", "/j/POSTS-40/hand"),
)
LONG_NAMES = (
    Shot("jobs-names", "/"),
    Shot("now-names", "/j/NAMES/now?step=fit.L2"),
    Shot("now-names-walk", "/j/NAMES/now?step=walk.site"),
    Shot("now-names-pull", "/j/NAMES/now?step=pull.C4"),
    Shot("run-names", "/j/NAMES/run?at=L2.in"),
    Shot("read-names", "/j/NAMES/read/L2.in/volts"),
    Shot("verdict-names", "/j/NAMES/verdict/outside"),
    Shot("leave-names", "/j/NAMES/leave"),
    Shot("steps-names", "/j/NAMES/steps"),
    Shot("fault-names", "/j/NAMES/fault", weighed),
    Shot("hand-names", "/j/NAMES/hand"),
)
SPLIT = (
    Shot("run-split", "/j/BRANCHED/run"),
    Shot("run-split-fork", "/j/BRANCHED/run?at=X.in"),
    Shot("run-split-branch", "/j/BRANCHED/run?at=G.in"),
    Shot("now-split", "/j/BRANCHED/now?step=fit.X"),
    Shot("now-split-pull", "/j/BRANCHED/now?step=pull.C5"),
    Shot("steps-split", "/j/BRANCHED/steps"),
    Shot("leave-split", "/j/BRANCHED/leave"),
    Shot("verdict-split", "/j/BRANCHED/verdict/r3"),
    Shot("fault-split", "/j/BRANCHED/fault", weighed),
)
COLLAPSED = (
    Shot("run-collapse", "/j/COLLAPSE/run"),
    Shot("now-collapse", "/j/COLLAPSE/now"),
    Shot("leave-collapse", "/j/COLLAPSE/leave"),
    Shot("jobs-collapse", "/"),
)
TWO_BOXES = (Shot("run-two-boxes", "/j/BOXES-2/run"), Shot("now-two-boxes", "/j/BOXES-2/now"))
