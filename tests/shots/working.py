"""Pictures of work on site: steps, readings, power, and what was read."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from jpegs import made as made_picture

from engine.sheets import STARTER
from fieldapp import words
from shots.shot import FIXED, JOB, SETTLE, Shot, found, on_pad, pressed, scrolled, typed, weighed

if TYPE_CHECKING:
    from browser import Phone


def _load_set(hand: Phone) -> None:
    hand.tap(FIXED.known)
    hand.wait_for(words.load_watts())
    hand.tap(words.watts(25), exact=True)
    hand.wait_for(words.load_slab("C", 25))


def _load_used(hand: Phone) -> None:
    _load_set(hand)
    hand.tap(words.load_slab("C", 25))


def _mended(hand: Phone) -> None:
    hand.tap(words.mended())
    hand.wait_for(words.mended_where())
    hand.tap("C4", role="button")
    hand.tap(words.MENDED[0])


def _photographed(hand: Phone) -> None:
    hand.take_photo(words.take_photo(), made_picture("colours"))
    hand.wait_for(words.one_more_photo())


def _two_orders(hand: Phone) -> None:
    hand.tap(words.end_slab("A1.line", False))
    hand.tap("T568A", exact=True)
    hand.tap(words.end_slab("J1.a", False))
    hand.wait_for(words.ends_differ().split("**")[1])
    hand.tap("T568B", exact=True)


def _own(begin: str, questions: int = 0, digits: str = "") -> Callable[[Phone], object]:
    """A sheet of one's own from a template, so many questions on, with digits typed."""

    def act(hand: Phone) -> None:
        hand.tap(begin, role="button")
        for number in range(questions):
            hand.wait_for(words.own_progress(number + 1, questions + 9).rpartition(" ")[0])
            hand.tap(words.own_keep("").strip(), role="button")
        for key in digits:
            hand.tap(key, exact=True)

    return act


REACHES = words.box_figures(36, 3, 500, None, None).split(", ")[-1]


def _tried(hand: Phone, digits: str, close: bool = True) -> None:
    hand.tap(words.tried_type(""))
    for key in digits:
        hand.tap(key, exact=True)
    if close:
        hand.tap(words.tried_use(""))


PLANNED = (
    Shot("now-first", f"{JOB}/now"),
    Shot("now-walk", f"{JOB}/now?step=walk.site"),
    Shot("now-reel", f"{JOB}/now?step=reel.C4"),
    Shot("reel-none", f"{JOB}/reel/C4"),
    Shot("now-photo", f"{JOB}/now?step=photo.L1"),
    Shot("now-photo-taken", f"{JOB}/now?step=photo.bond.A1", _photographed),
    Shot("now-terminate", f"{JOB}/now?step=terminate.C4"),
    Shot("wires-fresh", f"{JOB}/wires/C4"),
    Shot("wires-one", f"{JOB}/wires/C4", found(words.end_slab("J1.b", False))),
    Shot("wires-differ", f"{JOB}/wires/C3", _two_orders),
    Shot("now-pairs", f"{JOB}/now?step=pairs.C4"),
    Shot("now-pairs-short", f"{JOB}/now?step=pairs.C4", found(words.is_in_at("short", "A2.line"))),
    Shot("now-energise-short", f"{JOB}/now?step=energise.S"),
    Shot("put-in", f"{JOB}/run?at=L2.in", found(words.put_in())),
    Shot("now-full", f"{JOB}/now?step=full.C"),
    Shot("now-full-runs", f"{JOB}/now?step=full.C", found(words.start_timer(900))),
    Shot("now-cold", f"{JOB}/now?step=cold.S"),
    Shot("now-copy", f"{JOB}/now?step=copy.site"),
    Shot("now-load", f"{JOB}/now?step=load.C"),
    Shot("now-fit", f"{JOB}/now?step=fit.L2"),
    Shot("now-bond", f"{JOB}/now?step=bond.A2"),
    Shot("now-volts", f"{JOB}/now?step=volts.L2.in"),
    Shot("now-speeds", f"{JOB}/now?step=speeds.L1.out"),
    Shot("now-pull", f"{JOB}/now?step=pull.C4"),
    Shot("now-cannot", f"{JOB}/now?step=fit.L2", pressed(FIXED.cannot)),
    Shot("steps-fresh", f"{JOB}/steps"),
    Shot("run-planned", f"{JOB}/run"),
    Shot("read-empty", f"{JOB}/read/L2.in/volts"),
    Shot("read-typed", f"{JOB}/read/A2.line/volts", typed),
    Shot("read-speed", f"{JOB}/read/C.in/mbps"),
    Shot("read-earth", f"{JOB}/read/EB2/earth_ohms", typed),
    Shot("leave-held", f"{JOB}/leave"),
    Shot("plan", f"{JOB}/plan"),
    Shot("plan-span", f"{JOB}/plan/C4"),
    Shot("plan-box", f"{JOB}/plan/A2"),
    Shot("whatif-length", f"{JOB}/whatif/C4"),
    Shot("whatif-longer", f"{JOB}/whatif/C4", lambda hand: _tried(hand, "310")),
    Shot("whatif-drops", f"{JOB}/whatif/C4", lambda hand: _tried(hand, "640")),
    Shot("whatif-typing", f"{JOB}/whatif/C4", lambda hand: _tried(hand, "310", close=False)),
    Shot("whatif-gauge", f"{JOB}/whatif/C4", found(words.TRIED["gauge"])),
    Shot("whatif-load", f"{JOB}/whatif/C", lambda hand: _tried(hand, "30")),
    Shot("whatif-volts", f"{JOB}/whatif/S", lambda hand: _tried(hand, "47")),
    Shot("whatif-site", f"{JOB}/whatif/site"),
    Shot("sheets-span", f"{JOB}/sheets/C4"),
    Shot("sheets-box", f"{JOB}/sheets/A2"),
    Shot("sheets-other", f"{JOB}/sheets/A2", scrolled(words.sheets_instead("repeater"))),
    Shot("sheets-meter", f"{JOB}/sheets/M1"),
    Shot("newsheet-begin", f"{JOB}/newsheet/L2"),
    Shot("newsheet-band", f"{JOB}/newsheet/L2", _own(REACHES, 1, "3")),
    Shot(
        "newsheet-speeds",
        f"{JOB}/newsheet/L1",
        _own(words.sheet_name(STARTER["generic.long-span"]), 7),
    ),
    Shot("newsheet-gauge", f"{JOB}/newsheet/C4", _own("Cat 6 outdoor, 23 AWG", 2)),
    Shot("newsheet-metal", f"{JOB}/newsheet/C3", _own("Cat 6 outdoor, 23 AWG", 1)),
    Shot("newsheet-meter", f"{JOB}/newsheet/M1", _own(words.meter_figures({"watts": 2}), 0, "5")),
    Shot("newsheet-last", f"{JOB}/newsheet/C1", _own(words.own_change("Patch lead"))),
)
WORKED = (
    Shot("steps-worked", f"{JOB}/steps"),
    Shot("run-readings", f"{JOB}/run?at=L2.in"),
    Shot("run-unclear", f"{JOB}/run?at=A2.line"),
    Shot("verdict-inside", f"{JOB}/verdict/near"),
    Shot("verdict-outside", f"{JOB}/verdict/outside"),
    Shot("fault-outside", f"{JOB}/fault", weighed),
    Shot("verdict-unclear", f"{JOB}/verdict/unclear"),
    Shot("verdict-speed", f"{JOB}/verdict/dead"),
    Shot("leave-worked", f"{JOB}/leave"),
    Shot("leave-outside", f"{JOB}/leave", lambda hand: hand.scroll_to(words.mended())),
    Shot("change-empty", f"{JOB}/verdict/outside", found(words.mended())),
    Shot("change-ready", f"{JOB}/verdict/outside", _mended),
    Shot("taken-back", f"{JOB}/verdict/outside", found(FIXED.take_back)),
    Shot("hand-new", f"{JOB}/hand"),
    Shot(
        "hand-sent",
        f"{JOB}/hand",
        found(words.speak_hand(words.document("whole"), words.to_a_file())),
    ),
    Shot("leave-waive", f"{JOB}/leave", pressed(FIXED.waive)),
    Shot("leave-answers", f"{JOB}/leave", pressed(FIXED.who_answers)),
)
ACCEPTED = (
    Shot("run-today", f"{JOB}/run?at=A2.line"),
    Shot("read-today", f"{JOB}/read/A2.line/volts", typed),
    Shot("read-today-empty", f"{JOB}/read/L2.in/volts"),
    Shot("now-today", f"{JOB}/now?step=volts.A2.line"),
    Shot("load-ask", f"{JOB}/read/L2.out/volts", lambda hand: hand.tap(FIXED.known)),
    Shot("load-set", f"{JOB}/read/L2.in/volts", _load_set),
    Shot("load-used", f"{JOB}/read/L2.in/volts", _load_used),
    Shot("read-bare", f"{JOB}/read/S.out/volts", lambda hand: hand.tap(FIXED.open_means)),
    Shot("verdict-today", f"{JOB}/verdict/joint"),
)
HALF_WAY = (
    Shot("power-next", f"{JOB}/now"),
    Shot("power-waits", f"{JOB}/now", found(words.plug_in("L2", "L2.in"))),
    Shot("power-read", f"{JOB}/now?step=volts.L2.in"),
    Shot("run-photo", f"{JOB}/run?at=L2.in"),
    Shot("leave-photos", f"{JOB}/leave"),
)
GONE_DARK = (Shot("power-dark", f"{JOB}/now"),)
READS_LOW = (Shot("power-outside", f"{JOB}/now"),)
ALL_DONE = (
    Shot("now-nothing-left", f"{JOB}/now"),
    Shot("leave-free", f"{JOB}/leave"),
    Shot("run-all-copper", f"{JOB}/run"),
    Shot("steps-done", f"{JOB}/steps"),
)


def _opened_again(hand: Phone) -> None:
    """Typed, then the page is gone and opened again."""
    typed(hand)
    hand.pause(SETTLE)
    hand.page.reload()
    hand.wait_for("You were typing")


READ_TWICE = (
    Shot("run-twice", f"{JOB}/run?at=J1.a"),
    Shot("run-twice-far", f"{JOB}/run?at=L2.in"),
    Shot("verdict-no-band", f"{JOB}/verdict/bare"),
    Shot("read-over", f"{JOB}/read/L2.in/volts", on_pad("410")),
    Shot("read-points", f"{JOB}/read/L2.in/volts", found(FIXED.point)),
    Shot("read-restored", f"{JOB}/read/A2.line/volts", _opened_again),
)
SET_ASIDE = (
    Shot("steps-aside", f"{JOB}/steps"),
    Shot("steps-here", f"{JOB}/steps", found(FIXED.here)),
    Shot("now-reopened", f"{JOB}/now?step=announce.site"),
    Shot("now-done", f"{JOB}/now?step=reel.C4"),
)
