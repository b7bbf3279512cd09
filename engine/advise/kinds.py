"""The kinds of small change: each row looks at a plan and offers candidates, each with its effort.

Adding one touches its row here and its words. Nothing here is advice yet: every candidate is
solved anew before it is offered. No candidate lowers watts, cut-offs or lengths, or takes out
a box that does the job.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Set
from functools import partial

from engine.advise.added import (
    arrestors,
    bonds,
    bridges,
    fed_anew,
    injectors,
    long_spans,
    repeaters,
)
from engine.advise.effort import EFFORT, PULL_A_METRE, Offers, laying, most_ohms
from engine.advise.ground import Candidate, Ground, Offer
from engine.circuit import conductor_ohms, feed_volts
from engine.inspan import take_out, turn_round
from engine.job import Box, BoxSheet, CableSheet, Point, Span
from engine.planning import Edit, with_sheet, with_value
from engine.say import say
from engine.sheets import STARTER

THINNER = 0.95
"""a cable of more than this share of the ohms is no other cable (a choice)"""
MOST_SPANS = 6
"""spans that are looked at, those with the most ohms first"""


def candidates(ground: Ground) -> Iterator[Candidate]:
    """All that might help, kind by kind, each set of edits once."""
    seen: set[str] = set()
    for kind in KINDS:
        for offer in kind(ground):
            one = offer.made(kind)
            if one is not None and repr(one.edits) not in seen:
                seen.add(repr(one.edits))
                yield one


# ---------------- cables


def _fits_place(ground: Ground, span: Span, cable: CableSheet) -> bool:
    exposed = ground.job.is_exposed(span)
    return (cable.outdoor or not exposed) and (cable.screened or not span.cable.screened)


def _cables(ground: Ground) -> Offers:
    """A thicker cable, or copper for clad."""
    for span in most_ohms(ground)[:MOST_SPANS]:
        now = conductor_ohms(span.cable).expected
        for cable in _one_a_gauge(ground, span):
            if cable.material == "copper" and conductor_ohms(cable).expected < THINNER * now:
                yield _relaid(ground, span, cable)


def _outdoor_cables(ground: Ground) -> Offers:
    for parts in ground.said("cable-place"):
        span = ground.job.spans[parts["span"]]
        for cable in _one_a_gauge(ground, span):
            if conductor_ohms(cable).expected <= conductor_ohms(span.cable).expected / THINNER:
                yield _relaid(ground, span, cable)


def _one_a_gauge(ground: Ground, span: Span) -> Iterator[CableSheet]:
    """Cables that fit where a span runs, one of each gauge: the job's own first, then the plainest."""
    exposed, met = ground.job.is_exposed(span), set()
    known = {**ground.job.sheets, **STARTER}.values()
    cables = [one for one in known if isinstance(one, CableSheet) and not one.stranded]
    own = set(ground.job.sheets)
    cables.sort(key=lambda one: (one.id not in own, one.outdoor != exposed, one.screened))
    for cable in cables:
        kind = (cable.awg, cable.material)
        if cable != span.cable and kind not in met and _fits_place(ground, span, cable):
            met.add(kind)
            yield cable


def _relaid(ground: Ground, span: Span, cable: CableSheet) -> Offer:
    what = say("advice-cable", span=span.id, title=cable.title or cable.id)
    return Offer(what, laying(ground, span), lambda: with_sheet(ground.doc, span.id, cable.id))


def _pairs(ground: Ground) -> Offers:
    """Four pairs where the plan says fewer of spans and boxes that have four: one, and all."""
    job = ground.job
    most = {
        **{("spans", one.id): one.cable.pairs for one in job.spans.values()},
        **{("boxes", one.id): one.sheet.pairs for one in job.boxes.values()},
    }
    fewer = [
        (group, row["id"])
        for group in ("spans", "boxes")
        for row in ground.doc.get(group, ())
        if row.get("pairs", 4) < min(most[group, row["id"]], 4)
    ]
    sets = [(one,) for one in fewer] + ([tuple(fewer)] if len(fewer) > 1 else [])
    for things in sets:
        yield _with_pairs(ground, things)


def _with_pairs(ground: Ground, things: tuple[tuple[str, str], ...]) -> Offer:
    def lighter() -> Iterator[Offer]:
        if len(things) > 1:
            for one in things:
                yield _with_pairs(ground, tuple(other for other in things if other != one))

    paths = [(group, name, "pairs") for group, name in things]
    return Offer(
        say("advice-pairs", at=tuple(name for _, name in things)),
        EFFORT["retype"] * len(things),
        lambda: tuple(edit for path in paths for edit in with_value(ground.doc, path, 4)),
        lighter,
    )


# ---------------- boxes in their place


def _swaps(ground: Ground, box: Box, wanted: Callable[[BoxSheet], bool]) -> Offers:
    """Another sheet for a box: of its kind, fit for its place, that speaks what it spoke.

    An endpoint is what the run is for, and stays what it is.
    """
    if box.kind == "endpoint":
        return
    indoor = ground.job.stops[box.stop].indoor
    for sheet in {**STARTER, **ground.job.sheets}.values():
        if not isinstance(sheet, BoxSheet):
            continue
        fits = (
            sheet.kind == box.kind
            and sheet.id != box.sheet.id
            and (sheet.outdoor or indoor)
            and not (sheet.outdoor and indoor and sheet.id in STARTER and not box.sheet.outdoor)
            and set(box.sheet.speeds_mbps) <= set(sheet.speeds_mbps)
        )
        if fits and wanted(sheet):
            yield _swapped(ground, box, sheet)


def _gives_more(watts: float, volts: float, sheet: BoxSheet) -> bool:
    return (sheet.watts_max or 0.0) > watts and feed_volts(sheet).expected >= volts


def _speaks(mbps: Set[int], sheet: BoxSheet) -> bool:
    return not mbps.isdisjoint(sheet.speeds_mbps)


def _resists_less(ohms: float, sheet: BoxSheet) -> bool:
    return sheet.ohms_per_conductor.expected < ohms


def _powers_alike(stands: BoxSheet, sheet: BoxSheet) -> bool:
    return sheet.power == stands.power


def _changed_over(ground: Ground, one: Box, other: Box) -> tuple[Edit, ...]:
    return (
        *with_sheet(ground.doc, one.id, other.sheet.id),
        *with_sheet(ground.doc, other.id, one.sheet.id),
    )


def _swapped(ground: Ground, box: Box, sheet: BoxSheet) -> Offer:
    what = say("advice-box", box=box.id, title=sheet.title or sheet.id)
    return Offer(what, EFFORT["swap"], lambda: with_sheet(ground.doc, box.id, sheet.id))


def _sources(ground: Ground) -> Offers:
    """A feed that gives more."""
    for box in ground.job.boxes.values():
        if box.sheet.facts.feeds:
            most = box.sheet.watts_max or 0.0
            yield from _swaps(
                ground,
                box,
                partial(_gives_more, most, 0.95 * feed_volts(box.sheet).expected),
            )


def _speakers(ground: Ground) -> Offers:
    """At a link whose ends share no speed, a box that speaks with both its neighbours."""
    for parts in ground.said("speed-mismatch"):
        ends = [ground.job.boxes[Point.parse(parts[key]).box] for key in ("at", "far")]
        for box, other in (ends, ends[::-1]):
            met = set(other.sheet.speeds_mbps)
            yield from _swaps(ground, box, partial(_speaks, met))


def _regenerating(ground: Ground) -> Offers:
    """A box that feeds anew for one that lets the power run through."""
    for box in ground.job.boxes.values():
        if box.kind in ("repeater", "splitter") and not box.sheet.regenerates:
            yield from _swaps(ground, box, lambda sheet: sheet.regenerates)


def _less_in_series(ground: Ground) -> Offers:
    for box in ground.job.boxes.values():
        now = box.sheet.ohms_per_conductor.expected
        if box.kind in ("arrestor", "joint"):
            yield from _swaps(
                ground,
                box,
                partial(_resists_less, THINNER * now),
            )


def _outdoor_boxes(ground: Ground) -> Offers:
    for parts in ground.said("box-place"):
        box = ground.job.boxes[parts["box"]]
        yield from _swaps(ground, box, partial(_powers_alike, box.sheet))


def _turned(ground: Ground) -> Offers:
    for parts in ground.said("orientation", "arrestor-facing"):
        what = say("advice-turn", box=parts["box"])
        yield Offer(what, EFFORT["turn"], partial(turn_round, ground.doc, parts["box"]))


def _exchanged(ground: Ground) -> Offers:
    """Two boxes of one kind change places: the same boxes in another order."""
    boxes = [one for one in ground.job.boxes.values() if one.sheet.facts.passes_power]
    for i, one in enumerate(boxes):
        for other in boxes[i + 1 :]:
            if one.kind == other.kind and one.sheet.id != other.sheet.id and one.sheet.facts.active:
                yield Offer(
                    say("advice-exchange", box=one.id, other=other.id),
                    EFFORT["exchange"],
                    partial(_changed_over, ground, one, other),
                )


def _fewer(ground: Ground) -> Offers:
    """A repeater that no link needs draws for nothing; one cable takes the place of its two."""
    for box in ground.job.boxes.values():
        if box.kind == "repeater" and box.id not in ground.prediction.study.network.unfed:
            spans = [span for end, span in ground.job.plugged.items() if end.box == box.id]
            metres = sum(span.length_m.expected for span in spans)
            yield Offer(
                say("advice-take-out", box=box.id),
                EFFORT["pull"] + PULL_A_METRE * metres,
                partial(take_out, ground.doc, box.id),
            )


KINDS: tuple[Callable[[Ground], Offers], ...] = (
    _pairs,
    _turned,
    bonds,
    _sources,
    _speakers,
    _outdoor_boxes,
    _less_in_series,
    _regenerating,
    _exchanged,
    _fewer,
    bridges,
    arrestors,
    injectors,
    long_spans,
    repeaters,
    fed_anew,
    _outdoor_cables,
    _cables,
)
"""the light ones first: the best so far is soon a good one"""
