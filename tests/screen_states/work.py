"""States of jobs, settings and work: now, the way of the power, wires, steps."""

from __future__ import annotations

from headless import warned
from screen_jobs import (
    LOW,
    MILL,
    ORCHARD,
    REEDBED,
    bare,
    collapsing,
    dark,
    done,
    forty,
    left_site,
    mill,
    mismatch,
    orchard,
    photo,
    powered,
    reading,
    reedbed,
    timer,
    turned,
    unbonded,
    unfed,
    worked,
)

from screen_states.state import (
    BAR,
    CODE,
    State,
    filling,
    one,
    one_end_then_steps,
    tapping,
    types_refused,
)

AT_WORK = [
    State("jobs-empty", tuple, "/", sees=("new", "settings", "slab", "open-file")),
    State("jobs-one", one(orchard), "/", sees=("job-ORCHARD-GATE", "slab")),
    State(
        "jobs-several",
        lambda: (reedbed(), orchard(LOW), mill(), forty()),
        "/",
        sees=("job-REEDBED-HIDE", "job-ORCHARD-GATE", "job-TIDE-MILL", "job-TRIAL"),
    ),
    State(
        "jobs-code",
        one(orchard),
        "/",
        filling(code=CODE),
        sees=("code", "code-open", "job-ORCHARD-GATE", "slab"),
    ),
    State(
        "jobs-code-refused",
        lambda: (orchard(), mill()),
        "/",
        types_refused,
        sees=("code", "open-file"),
        lacks=("code-open",),
    ),
    State("jobs-code-no-job", tuple, "/", types_refused, sees=("code",), lacks=("code-open",)),
    State("run-gone", one(reedbed), f"{REEDBED}/run?at=Q9", sees=("slab", "step-left", *BAR)),
    State("jobs-odd", lambda: (unfed(),), "/", sees=("job-ORCHARD-GATE",)),
    State("jobs-bare", lambda: (bare(),), "/", sees=("job-ORCHARD-GATE",)),
    State("jobs-collapse", lambda: (collapsing(),), "/", sees=("job-ORCHARD-GATE",)),
    State(
        "samples", tuple, "/samples", sees=("sample-orchard-gate", "sample-reedbed-hide", "back")
    ),
    State("new", tuple, "/new", sees=("new-1", "new-rub", "samples", "back")),
    State("settings", tuple, "/settings", sees=("look-sun", "look-dark", "look-phone", "name")),
    State("found", tuple, "/settings/found", sees=("cause-span.high", "cause-other", "back")),
    State("unknown-route", one(orchard), "/nowhere/at/all", sees=("job-ORCHARD-GATE",)),
    State("unknown-job", one(orchard), "/j/NOT-HERE/now", sees=("job-ORCHARD-GATE",)),
    # now
    State(
        "now",
        lambda: (warned(reedbed()),),
        f"{REEDBED}/now",
        sees=("slab", "cannot", "all-steps", *BAR),
        lacks=("understood",),
    ),
    State(
        "now-caution",
        one(reedbed),
        f"{REEDBED}/now",
        sees=("understood", *BAR),
        lacks=("slab", "cannot"),
    ),
    State(
        "now-cautions-many",
        lambda: (reedbed(done("a", "off.S", by="Rafe")),),
        f"{REEDBED}/now?step=bond.A2",
        sees=("understood",),
        lacks=("slab",),
    ),
    State(
        "now-photo",
        lambda: (warned(reedbed()),),
        f"{REEDBED}/now?step=photo.L1",
        sees=("slab", "cannot"),
    ),
    State(
        "now-photo-not-here",
        lambda: (warned(reedbed(photo("p", "L1"), photo("q", "L1", "ab" * 32))),),
        f"{REEDBED}/now?step=photo.L1",
        sees=("slab",),
    ),
    State(
        "now-bond-photo",
        lambda: (warned(reedbed(photo("p", "bond.A1"))),),
        f"{REEDBED}/now?step=bond.A1",
        sees=("slab", "photo-bond.A1"),
    ),
    State(
        "now-wires",
        lambda: (warned(reedbed()),),
        f"{REEDBED}/now?step=terminate.C4",
        sees=("slab",),
    ),
    State(
        "now-copy", lambda: (warned(reedbed()),), f"{REEDBED}/now?step=copy.site", sees=("slab",)
    ),
    State(
        "now-full",
        lambda: (warned(reedbed()),),
        f"{REEDBED}/now?step=full.C",
        sees=("slab",),
        lacks=("waiting",),
    ),
    State(
        "now-full-runs",
        lambda: (warned(reedbed(timer("t", "full.C", 900, "07:58:00"))),),
        f"{REEDBED}/now?step=full.C",
        sees=("waiting", "cannot"),
        lacks=("slab",),
    ),
    State(
        "now-full-over",
        lambda: (warned(reedbed(timer("t", "full.C", 900, "07:00:00"))),),
        f"{REEDBED}/now?step=full.C",
        sees=("slab",),
        lacks=("waiting",),
    ),
    State("now-cold", lambda: (warned(reedbed()),), f"{REEDBED}/now?step=cold.S", sees=("slab",)),
    State(
        "now-cold-once",
        lambda: (warned(reedbed(timer("t", "cold.S", 10, "07:00:00", x_round=1))),),
        f"{REEDBED}/now?step=cold.S",
        sees=("slab",),
    ),
    State(
        "now-cold-twice",
        lambda: (warned(reedbed(timer("t", "cold.S", 10, "07:00:00", x_round=2))),),
        f"{REEDBED}/now?step=cold.S",
        sees=("slab",),
    ),
    # a visit is over
    State(
        "visit",
        lambda: (reedbed(done("a", "off.S"), left_site()),),
        f"{REEDBED}/now",
        sees=("people-1", "people-2", "only-look", *BAR),
        lacks=("slab", "understood"),
    ),
    State(
        "visit-pad",
        lambda: (reedbed(done("a", "off.S"), left_site()),),
        f"{REEDBED}/read/L2.in/volts",
        sees=("people-1",),
        lacks=("keep",),
    ),
    State(
        "visit-run",
        lambda: (reedbed(done("a", "off.S"), left_site()),),
        f"{REEDBED}/run",
        sees=("slab",),
        lacks=("people-1",),
    ),
    # the power-up walk
    State(
        "power-first", lambda: (powered(),), f"{REEDBED}/now", sees=("slab", "dark", "all-steps")
    ),
    State(
        "power-waits",
        lambda: (powered(timer("t", "wait.S", 600, "08:00:00")),),
        f"{REEDBED}/now",
        sees=("waiting", "lit", "dark"),
        lacks=("slab",),
    ),
    State(
        "power-waited",
        lambda: (powered(timer("t", "wait.S", 3, "07:00:00")),),
        f"{REEDBED}/power",
        sees=("slab", "dark"),
        lacks=("waiting",),
    ),
    State(
        "power-second", lambda: (powered(read=("S",)),), f"{REEDBED}/power", sees=("slab", "dark")
    ),
    State(
        "power-outside",
        lambda: (powered(reading("o", "L2.in", "volts", 41.0), read=("S", "L1")),),
        f"{REEDBED}/now",
        sees=("slab", "again", "mended"),
        lacks=("dark", "lit"),
    ),
    State(
        "power-dark",
        lambda: (powered(dark("d", "L1"), read=("S",)),),
        f"{REEDBED}/now",
        sees=("slab", "again", "mended", "lit"),
        lacks=("dark",),
    ),
    State(
        "power-mended",
        lambda: (powered(dark("d", "L1"), read=("S",)),),
        f"{REEDBED}/power",
        tapping("mended"),
        sees=("where-L1", "keep-mended"),
    ),
    State(
        "power-proven",
        lambda: (powered(read=("S", "L1", "L2", "C")),),
        f"{REEDBED}/power",
        sees=("slab",),
        lacks=("dark",),
    ),
    State("power-bare", one(bare), f"{ORCHARD}/power", sees=BAR),
    State("power-unfed", one(unfed), f"{ORCHARD}/power", sees=BAR),
    State("power-splitter", lambda: (warned(mill()),), f"{MILL}/power", sees=("slab",)),
    State("power-forty", lambda: (warned(forty()),), "/j/TRIAL/power", sees=("slab",)),
    # the eight wires
    State(
        "wires",
        one(reedbed),
        f"{REEDBED}/wires/C4",
        sees=("pinout-T568A", "pinout-T568B", "end-J1.b", "end-A2.line", "back"),
    ),
    State("wires-a", one(reedbed), f"{REEDBED}/wires/C4", tapping("pinout-T568A")),
    State(
        "wires-one", one(reedbed), f"{REEDBED}/wires/C4", tapping("end-J1.b"), sees=("end-J1.b",)
    ),
    State(
        "wires-differ",
        one(reedbed),
        f"{REEDBED}/wires/C4",
        tapping("end-J1.b", "pinout-T568A", "end-A2.line"),
        sees=("end-J1.b", "end-A2.line", "slab"),
    ),
    State("wires-patch", one(reedbed), f"{REEDBED}/wires/C1", sees=("back",), lacks=("end-S.out",)),
    State("wires-unknown", one(reedbed), f"{REEDBED}/wires/Q9", sees=("back",)),
    State(
        "now-finding", one(mismatch), f"{REEDBED}/now", sees=("slab", "to-waive"), lacks=("cannot",)
    ),
    State("now-turned", one(turned), f"{REEDBED}/now", sees=("to-waive",)),
    State("now-unbonded", one(unbonded), f"{REEDBED}/now", sees=("to-waive",)),
    State("now-collapse", one(collapsing), f"{ORCHARD}/now", sees=("to-waive",)),
    State("now-unfed", one(unfed), f"{ORCHARD}/now", sees=("to-waive",)),
    State(
        "now-nothing",
        lambda: (worked(orchard()),),
        f"{ORCHARD}/now",
        sees=("slab",),
        lacks=("cannot",),
    ),
    State(
        "now-cannot",
        lambda: (warned(reedbed()),),
        f"{REEDBED}/now",
        tapping("cannot"),
        sees=("sheet-close",),
    ),
    State(
        "now-strip",
        lambda: (warned(reedbed()),),
        f"{REEDBED}/now",
        tapping("slab"),
        sees=("strip-undo", "slab"),
    ),
    State(
        "now-reopened",
        lambda: (
            warned(reedbed(done("a", "feed.S"), done("b", "off.S"), done("c", "feed.S", "undone"))),
        ),
        f"{REEDBED}/now?step=off.S",
        sees=("slab",),
    ),
    State(
        "now-done",
        lambda: (reedbed(done("a", "off.S")),),
        f"{REEDBED}/now?step=off.S",
        sees=("slab",),
    ),
    State(
        "now-unknown-step",
        lambda: (warned(reedbed()),),
        f"{REEDBED}/now?step=no.such",
        sees=("slab", "cannot"),
    ),
    # steps
    State("steps", one(reedbed), f"{REEDBED}/steps", sees=("tick-off.S", "step-off.S")),
    State(
        "steps-mixed",
        lambda: (
            reedbed(
                done("a", "announce.site", by="Orla"),
                done("b", "feed.S"),
                done("c", "off.S"),
                done("d", "feed.S", "undone"),
                done("e", "mount.C", "not-here", why="no part"),
                done("f", "look.site", "not-here"),
            ),
        ),
        f"{REEDBED}/steps",
        sees=("tick-off.S",),
    ),
    State("steps-all-done", lambda: (worked(orchard()),), f"{ORCHARD}/steps", sees=("tick-off.S",)),
    State(
        "steps-two-people",
        lambda: (reedbed({"id": "v", "what": "visit", "people": 2}),),
        f"{REEDBED}/steps",
        sees=("tick-off.S", "shown-here"),
    ),
    State("steps-forty", lambda: (forty(),), "/j/TRIAL/steps", sees=("shown-open",)),
    State(
        "steps-one-end",
        one(reedbed),
        f"{REEDBED}/wires/C4",
        one_end_then_steps,
        sees=("tick-terminate.C4",),
        lacks=("tick-photo.L1", "tick-copy.site"),
    ),
    State("steps-splitter", one(mill), f"{MILL}/steps", sees=("tick-fit.X",)),
]
