"""What is to be said of each cause: one table, a row a cause.

A row names the codes of what it is and does, what to do about it, what to look for with eye and
hand, and what would make it sure. Facts behind the words: our table of causes and the trade's
checks of cables (``common practice``).
"""

from __future__ import annotations

from attrs import frozen

from engine.faults import NONE, OTHER, PAIR


@frozen
class Remedy:
    """Codes of one cause. ``size`` is the part of the statement that its size fills."""

    cause: str
    fault: str
    do: str = ""
    look: str = ""
    sure: str = ""
    size: str = ""


REMEDIES: dict[str, Remedy] = {
    row.cause: row
    for row in (
        Remedy(NONE, "fault-none", "do-nothing", "look-unseen"),
        Remedy(OTHER, "fault-other", "do-mend-first"),
        Remedy(PAIR, "fault-pair", "do-mend-first"),
        Remedy(
            "source.dead", "fault-source-dead", "do-source", "look-source", "sure-box-at-source"
        ),
        Remedy(
            "source.low",
            "fault-source-low",
            "do-source-volts",
            "look-source-volts",
            "sure-source-unloaded",
            "volts",
        ),
        Remedy(
            "feed.twice",
            "fault-feed-twice",
            "do-feed-twice",
            "look-feed-twice",
            "sure-feed-twice",
            "volts",
        ),
        Remedy(
            "source.soft",
            "fault-source-soft",
            "do-source-leads",
            "look-source-leads",
            "sure-two-loads",
            "ohms",
        ),
        Remedy("port.off", "fault-port-off", "do-port-on", "look-port-page", "sure-box-at-source"),
        Remedy(
            "port.refused", "fault-port-refused", "do-first-box", "look-first-box", "sure-far-open"
        ),
        Remedy("port.trip", "fault-port-trip", "do-port-trip", "look-port-trip", "sure-far-open"),
        Remedy(
            "budget.shed", "fault-budget-shed", "do-budget", "look-port-page", "sure-other-port-off"
        ),
        Remedy("span.high", "fault-span-high", "do-span", "look-span", "sure-span", "factor"),
        Remedy("span.open", "fault-span-open", "do-span-open", "look-ends", "sure-loop-open"),
        Remedy("span.short", "fault-span-short", "do-span-short", "look-nicks", "sure-cut-off"),
        Remedy("joint.high", "fault-joint-high", "do-ends", "look-ends", "sure-pairs", "ohms"),
        Remedy("joint.wet", "fault-joint-wet", "do-wet", "look-wet", "sure-insulation", "ohms"),
        Remedy(
            "contact.high",
            "fault-contact-high",
            "do-ends",
            "look-contact",
            "sure-unbalance",
            "ohms",
        ),
        Remedy("pairs.lost", "fault-pairs-lost", "do-pairs", "look-ends", "sure-pairs"),
        Remedy("pair.split", "fault-pair-split", "do-wires", "look-wires", "sure-pair-map"),
        Remedy("pair.crossed", "fault-pair-crossed", "do-wires", "look-wires", "sure-pair-map"),
        Remedy("load.heavy", "fault-load-heavy", "do-load", "look-load", "sure-load", "watts"),
        Remedy("load.off", "fault-load-off", "do-load-off", "look-load-off", "sure-amps", "watts"),
        Remedy(
            "load.varies",
            "fault-load-varies",
            "do-load-varies",
            "look-load",
            "sure-load",
            "percent",
        ),
        Remedy("box.reversed", "fault-box-reversed", "do-turn", "look-turned", "sure-photo"),
        Remedy("box.dead", "fault-box-dead", "do-box", "look-box", "sure-swap"),
        Remedy("box.heavy", "fault-box-heavy", "do-box", "look-warm", "sure-behind-off", "watts"),
        Remedy("box.restart", "fault-box-restart", "do-restart", "look-restart", "sure-behind-off"),
        Remedy("box.no-pass", "fault-box-no-pass", "do-no-pass", "look-no-pass", "sure-swap"),
        Remedy(
            "arrestor.open", "fault-arrestor-open", "do-arrestor", "look-arrestor", "sure-through"
        ),
        Remedy(
            "arrestor.short", "fault-arrestor-short", "do-arrestor", "look-arrestor", "sure-round"
        ),
        Remedy("earth.open", "fault-earth-open", "do-earth", "look-earth", "sure-earth"),
        Remedy("earth.high", "fault-earth-high", "do-earth", "look-earth", "sure-earth"),
        Remedy(
            "link.slow-endpoint",
            "fault-link-slow-endpoint",
            "do-slow-endpoint",
            "look-speeds",
            "sure-near-switch",
        ),
        Remedy(
            "link.pair-open", "fault-link-pair-open", "do-ends", "look-contact", "sure-pair-map"
        ),
        Remedy(
            "link.too-long",
            "fault-link-too-long",
            "do-too-long",
            "look-marks",
            "sure-marks",
            "metres",
        ),
        Remedy("link.noise", "fault-link-noise", "do-noise", "look-noise", "sure-count"),
        Remedy(
            "link.port-down",
            "fault-link-port-down",
            "do-data-port",
            "look-port-page",
            "sure-other-box",
        ),
        Remedy("reading.typed", "fault-reading-typed", "do-repeat", "look-digits"),
        Remedy("reading.unit", "fault-reading-unit", "do-repeat", "look-display"),
        Remedy("reading.place", "fault-reading-place", "do-repeat", "look-place"),
        Remedy("reading.ac", "fault-reading-ac", "do-repeat", "look-dial"),
        Remedy("reading.state", "fault-reading-state", "do-ask", "look-load-off", "sure-amps"),
        Remedy("reading.lead", "fault-reading-lead", "do-tips", "look-tips", "", "ohms"),
        Remedy("reading.no-short", "fault-reading-no-short", "do-short", "look-short"),
    )
}
"""what is said of a cause that readings point to"""

AFTER_LOOP = {"sure-span": "sure-wire", "sure-pairs": "sure-wiggle"}
"""what would make it sure where the loop of the span is read already"""

UNSEEN: dict[str, str] = {
    "arrestor.reversed": "unseen-arrestor-reversed",
    "earth.open": "unseen-earth-open",
    "earth.high": "unseen-earth-high",
    "joint.wet": "unseen-joint-wet",
    "port.class": "unseen-port-class",
    "feed.twice": "unseen-feed-twice",
}
"""what is said of a cause that readings do not see: what would"""
