"""For each design rule a plan that breaks it and the nearest that does not."""

from __future__ import annotations

from jobs import (
    Part,
    active,
    arrestor,
    band,
    chain,
    endpoint,
    exact,
    joint,
    regenerating,
    run,
    source,
    turned,
    with_keys,
)

from engine.jobfile import read_job
from engine.predict import predict

STATED = {"cutoff_volts": 36, "on_volts": 42}
INDOOR_CABLE = {"kind": "cable", "category": "6", "ohms_per_km": exact(66.6)}
CABLE = {**INDOOR_CABLE, "outdoor": True}
DUCT = {"indoor": False, "route": "duct"}
OUTDOORS = {**DUCT, "cable": CABLE}


def findings_of(doc) -> dict[str, object]:
    """The findings of a document by their id.

    That ordinary ports reach 100 m is noted in every job; it has a test of its own.
    """
    found = predict(read_job(doc).plan).findings
    return {finding.id: finding for finding in found if not finding.id.endswith(".reach_m")}


def long_span_pair(near_turned=True, far_turned=False):
    """Two long-span units: their ``in`` faces the long cable, their ``out`` equipment."""
    ports = {
        "in": {"faces": "long-span", "reach_m": {"1000": 500}},
        "out": {"faces": "equipment", "reach_m": {"1000": 100}},
    }
    unit = active(2.5, "long-span", ports=ports, speeds_mbps=[1000], class_=6, **STATED)
    near = turned(unit) if near_turned else unit
    return near, turned(unit) if far_turned else unit


def hide(
    *,
    near_turned=True,
    far_turned=False,
    first=None,
    last=None,
    end=None,
    length_m=300,
    feed=None,
    ports=OUTDOORS,
):
    """A sound job: port, long-span unit, arrestor, joint, arrestor, long-span unit, radio."""
    near, far = long_span_pair(near_turned, far_turned)
    return chain(
        feed or source(54, watts_max=90),
        run(2),
        near,
        run(1),
        first or turned(arrestor()),
        run(length_m / 2, **ports),
        joint(),
        run(length_m / 2, **ports),
        last or arrestor(),
        run(1),
        far,
        run(8),
        end or endpoint(12, watts_swing_percent=10, class_=4, **STATED),
    )


RADIO = {"watts_swing_percent": 10, **STATED}
FAR = {"100": 1000, "1000": 1000}
FAR_PORTS = {"out": {"reach_m": FAR}, "in": {"reach_m": FAR}}
"""ports whose own sheets reach farther than any span here: data is not what is looked at"""
UNBONDED = Part(arrestor().sheet)


def splitter_fed_from_behind():
    """A splitter whose first out is plugged towards the feed and whose in is not."""
    radio = endpoint(5, **RADIO)
    doc = chain(source(), run(10), active(2, "splitter", **STATED), [[run(10), radio]])
    doc["spans"][0]["to"], doc["spans"][1]["from"] = "Y1.out1", "Y1.in"
    return doc


def lone(watts, length_m=300, *, volts=54, feed=(), load=(), **keys):
    """One radio behind one span: 54 V and 9.99 ohm unless said otherwise.

    No root above 72.97 W then, under 36 V above 64.86 W.
    """
    return chain(
        source(volts, ports=FAR_PORTS, **dict(feed)),
        run(length_m, **keys),
        endpoint(watts, ports=FAR_PORTS, **{**RADIO, **dict(load)}),
    )


def plain(length_m, *, ambient_c=20, speeds=(100, 1000), cable=None, **keys):
    """Ordinary ports at both ends of one span, 5 W."""
    ends = source(speeds_mbps=list(speeds)), endpoint(5, speeds_mbps=list(speeds), **RADIO)
    return chain(ends[0], run(length_m, cable=cable, **keys), ends[1], ambient_c=ambient_c)


def cat(category):
    """Copper cable of a category."""
    return {**INDOOR_CABLE, "category": category}


def shared_drop(own_watts, on_volts):
    """50 V, 9.99 ohm, a box that draws, and a radio of 1 W right behind it.

    At 20 W the box holds (50 + sqrt(2500 - 4 x 9.99 x 20))/2 = 45.62 V without the radio.
    """
    return chain(
        source(50, ports=FAR_PORTS),
        run(300),
        active(own_watts, ports=FAR_PORTS, **STATED),
        run(1),
        endpoint(1, ports=FAR_PORTS, **{**RADIO, "on_volts": on_volts}),
    )


def budgeted(watts, *, most, others=0):
    """A radio on a port that shares a budget."""
    doc = lone(watts, 10)
    doc["budgets"] = {"rack": {"watts": most, "other_watts": others}}
    doc["boxes"][0]["budget"] = "rack"
    return doc


def bonded(**lead):
    """The sound job with another earth lead on its second arrestor."""
    return hide(last=with_keys(arrestor(), bond={"to": "EB", **lead}))


def outdoors(box, **sheet):
    """A radio on a stop outdoors, its cable indoors."""
    doc = lone(5, 10, load=sheet)
    doc["stops"]["mast"] = {"at_m": 10, "indoor": False}
    next(row for row in doc["boxes"] if row["id"] == box)["stop"] = "mast"
    return doc


def across(near, far):
    """The sound job from one building to another."""
    doc = hide()
    doc["stops"]["post"]["building"] = near
    doc["stops"]["shed"] = {"at_m": 300, "indoor": True, "building": far}
    for row in doc["boxes"]:
        if row["id"] in ("A2", "L2", "E1"):
            row["stop"] = "shed"
    return doc


def loose(kind):
    """A sound run, and one more box that is plugged into nothing."""
    doc = lone(5, 10)
    doc["sheets"]["my.spare"] = dict(kind.sheet)
    doc["boxes"].append({"id": "SPARE", "sheet": "my.spare", "stop": "post", **kind.keys})
    return doc


def chained(own_watts, watts, *, class_, last=None):
    """A repeater that shows its class, and a radio behind it that may show another."""
    shows = {} if last is None else {"class_": last}
    return chain(
        source(54),
        run(10),
        active(own_watts, class_=class_, **STATED),
        run(10),
        endpoint(watts, **{**RADIO, **shows}),
    )


STARVED = {"collapse.E1.in": "stop", "start-up.E1.in": "stop"}
"""a lone box that cannot be held comes on as long as it draws nothing: it restarts for ever"""

CASES: dict[str, tuple[dict, dict[str, str], dict]] = {
    # what is wrong: the plan, its findings with their severities, the nearest plan without
    # ---- feeding and the way round
    "a repeater fed from behind": (
        chain(
            source(),
            run(10),
            turned(active(2, ports={"in": {"faces": "source"}}, **STATED)),
            run(10),
            endpoint(5, **RADIO),
        ),
        {"orientation.R1": "stop"},
        chain(
            source(),
            run(10),
            active(2, ports={"in": {"faces": "source"}}, **STATED),
            run(10),
            endpoint(5, **RADIO),
        ),
    ),
    "a regenerating box fed from behind": (
        chain(source(), run(10), turned(regenerating(**STATED)), run(10), endpoint(5, **RADIO)),
        {"orientation.R1": "stop", "feed.R1": "stop", "feed.E1": "stop"},
        chain(source(), run(10), regenerating(**STATED), run(10), endpoint(5, **RADIO)),
    ),
    "a splitter fed through an out": (
        splitter_fed_from_behind(),
        {"orientation.Y1": "stop"},
        chain(
            source(), run(10), active(2, "splitter", **STATED), [[run(10), endpoint(5, **RADIO)]]
        ),
    ),
    "both long-span units the wrong way round": (
        hide(near_turned=False, far_turned=True),
        {"orientation.L1": "stop", "orientation.L2": "stop", "reach.L1.out": "stop"},
        hide(),
    ),
    "a box that is plugged into nothing": (
        loose(active(2, **STATED)),
        {"feed.SPARE": "stop"},
        loose(source()),
    ),
    # ---- data
    "gigabit only meets 10/100": (
        hide(end=endpoint(12, speeds_mbps=[10, 100], **RADIO)),
        {"speed-mismatch.L2.out": "stop"},
        hide(end=endpoint(12, speeds_mbps=[10, 100, 1000], **RADIO)),
    ),
    "gigabit only over two pairs": (
        plain(50, speeds=[1000], pairs=2),
        {"speed-mismatch.S1.out": "stop"},
        plain(50, speeds=[100], pairs=2),
    ),
    "longer than the sheet's reach": (
        hide(length_m=500),
        {"reach.L1.in": "stop"},
        hide(length_m=498),
    ),
    "longer than ordinary ports are assured": (
        plain(100.1),
        {"reach.S1.out": "warn"},
        plain(100),
    ),
    "too much loss within a hundred metres": (
        plain(92, cable=cat("5e"), ambient_c=60),
        {"reach.S1.out": "warn"},
        plain(90, cable=cat("5e"), ambient_c=60),
    ),
    "too much loss on the hottest day": (
        plain(92, cable=cat("5e"), ambient_c=band(20, 20, 60)),
        {"reach.S1.out": "warn"},
        plain(90, cable=cat("5e"), ambient_c=band(20, 20, 60)),
    ),
    "a category that ends below what a speed needs": (
        plain(30, cable=cat("5e"), speeds=[1000, 5000]),
        {"reach.S1.out": "warn"},
        plain(30, cable=cat("6"), speeds=[1000, 5000]),
    ),
    # ---- volts
    "no operating point at all": (lone(73), STARVED, lone(64)),
    "a root, but under the cut-off": (
        lone(65),
        {**STARVED, "volts-low.E1.in": "stop"},
        lone(64.8),
    ),
    "under the cut-off at worst only": (
        lone(band(5, 12, 65)),
        {"collapse-worst.E1.in": "warn", "volts-low.E1.in": "warn"},
        lone(band(5, 12, 64.8)),
    ),
    "no operating point at worst only": (
        lone(band(5, 12, 73)),
        {"collapse-worst.E1.in": "warn"},
        lone(band(5, 12, 64)),
    ),
    "too few volts to start beside the others": (
        shared_drop(20, 46),
        {"start-up.E1.in": "stop"},
        shared_drop(20, 45.5),
    ),
    "too few volts to start at worst only": (
        shared_drop(band(5, 10, 20), 46),
        {"start-up.E1.in": "warn"},
        shared_drop(band(5, 10, 18), 46),
    ),
    # ---- what ports grant and bear
    "more than the first box is granted": (
        chained(2.5, 13.5, class_=3),
        {"port-trip.S1.out": "stop"},
        chained(2.5, 9.5, class_=3),
    ),
    "a grant that only the worst case exceeds": (
        lone(band(5, 15, 25), pairs=2, load={"class_": 4}),
        {"class.S1.out": "warn"},
        lone(band(5, 15, 23.5), pairs=2, load={"class_": 4}),
    ),
    "a port that grants less than is asked": (
        lone(20, 10, feed={"class_": 4}, load={"class_": 6}),
        {"class.S1.out": "warn"},
        lone(20, 10, feed={"class_": 6}, load={"class_": 6}),
    ),
    "a box that draws above its class": (
        lone(13.2, 10, load={"class_": 3}),
        {"class.E1.in": "stop"},
        lone(12.9, 10, load={"class_": 3}),
    ),
    "a box that draws above its class at worst": (
        lone(band(2, 10, 13.2), 10, load={"class_": 3}),
        {"class.E1.in": "warn"},
        lone(band(2, 10, 12.9), 10, load={"class_": 3}),
    ),
    "a class over too long a pair": (
        lone(12, 341, load={"class_": 4}),
        {"class-far.S1.out": "warn"},
        lone(12, 340, load={"class_": 4}),
    ),
    "more than the port's sheet gives": (
        lone(12, 10, feed={"watts_max": 11.9}),
        {"port-power.S1.out": "stop"},
        lone(12, 10, feed={"watts_max": 12.1}),
    ),
    "more than the port's sheet gives at worst": (
        lone(band(5, 8, 12), 10, feed={"watts_max": 11.9}),
        {"port-power.S1.out": "warn"},
        lone(band(5, 8, 12), 10, feed={"watts_max": 12.1}),
    ),
    "too little current to stay on": (
        lone(band(0.5, 5, 8), 10),
        {"keep-alive.S1.out": "warn"},
        lone(band(0.6, 5, 8), 10),
    ),
    "too little current for a high class": (
        lone(band(0.85, 5, 8), 10, load={"class_": 5}),
        {"keep-alive.S1.out": "warn"},
        lone(band(0.9, 5, 8), 10, load={"class_": 5}),
    ),
    "a supply with too few watts": (
        budgeted(12, most=20, others=8),
        {"budget.rack": "stop"},
        budgeted(12, most=20, others=7.9),
    ),
    "a supply with too few watts at worst": (
        budgeted(band(2, 8, 13), most=13),
        {"budget.rack": "warn"},
        budgeted(band(2, 8, 12.9), most=13),
    ),
    # ---- current and heat
    "a conductor beyond its current": (
        lone(81, 5, pairs=2),
        {"current.C1": "warn"},
        lone(78, 5, pairs=2),
    ),
    "uneven sets on four pairs": (lone(90, 5), {"current.C1": "warn"}, lone(90, 20)),
    "a cable hotter than its rating": (
        lone(5, 10, ambient_c=exact(60.5)),
        {"heat.C1": "warn"},
        lone(5, 10, ambient_c=exact(59.5)),
    ),
    "a bundle that warms too much": (
        lone(60, 50, bundle=400),
        {"heat.C1": "warn"},
        lone(60, 50, bundle=100),
    ),
    # ---- surge, earth, places, materials
    "no arrestor at the ends of outdoor cable": (
        lone(5, 50, **OUTDOORS),
        {"arrestor-missing.S1.out": "stop", "arrestor-missing.E1.in": "stop"},
        lone(5, 50, cable=CABLE),
    ),
    "the line side of an arrestor indoors": (
        hide(first=arrestor()),
        {"arrestor-facing.A1": "stop"},
        hide(first=turned(arrestor())),
    ),
    "an arrestor without an earth lead": (hide(last=UNBONDED), {"bond.A2": "stop"}, hide()),
    "an earth lead too long": (bonded(lead_m=0.6), {"bond.A2": "stop"}, bonded(lead_m=0.5)),
    "an earth lead too thin": (bonded(mm2=1), {"bond.A2": "stop"}, bonded(mm2=1.5)),
    "two buildings joined by a run": (
        across("lodge", "barn"),
        {"separate-buildings.C3": "warn"},
        across("lodge", "lodge"),
    ),
    "an indoor box outdoors": (
        outdoors("E1"),
        {"box-place.E1": "warn"},
        outdoors("E1", outdoor=True),
    ),
    "indoor cable outdoors": (
        hide(ports={**DUCT, "cable": INDOOR_CABLE}),
        {"cable-place.C3": "warn", "cable-place.C4": "warn"},
        hide(ports=OUTDOORS),
    ),
    "cable that is not copper": (
        lone(5, 10, cable={**INDOOR_CABLE, "material": "clad", "awg": 23, "copper_percent": 15}),
        {"cable-material.C1": "warn"},
        lone(5, 10, cable={**INDOOR_CABLE, "material": "copper", "awg": 23}),
    ),
}
