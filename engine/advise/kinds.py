"""The kinds of small change: each row looks at a plan and offers candidates, each with its effort.

Adding one touches its row here and its words. Nothing here is advice yet: every candidate is
solved anew before it is offered. No candidate lowers watts, cut-offs or lengths, or takes out
a box that does the job.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from engine.advise.ground import Candidate, Ground
from engine.circuit import conductor_ohms
from engine.job import Box, BoxSheet, CableSheet, Point, Span
from engine.links import Link
from engine.planning import (
    BadPlan,
    Edit,
    applied,
    bond_to,
    new_id,
    put_in,
    take_out,
    turn_round,
    with_sheet,
    with_value,
)
from engine.say import Say, say
from engine.sheets import STARTER
from engine.standards.surge import LEAD_LEAST_MM2, LEAD_MOST

EFFORT: Mapping[str, float] = {
    "retype": 1.0,  # a setting, or a pair set that is there and not used
    "turn": 2.0,
    "lead": 2.0,  # a short lead at one stop
    "bond": 3.0,
    "swap": 3.0,  # another box in the same place
    "exchange": 4.0,
    "fit": 5.0,  # one more box at a stop that is there
    "fit-anew": 7.0,  # one more box at a stop that is not there yet
    "pull": 8.0,  # a cable, and more with its length
}
"""how much work a change is, in steps that a fitter would agree to put in this order (a choice)"""
PULL_A_METRE = 0.02
"""what each metre of a cable to be pulled adds (a choice)"""
LEAD_M = 5.0
"""a span up to this length within one stop is a lead [m] (a choice)"""
THINNER = 0.95
"""a cable of more than this share of the ohms is no other cable (a choice)"""
AT_AN_END_M = 0.5
"""how far from the end of a span a box is put that belongs at that end [m] (a choice)"""
MOST_SPANS = 6
"""spans that are looked at, those with the most ohms first"""


def candidates(ground: Ground) -> Iterator[Candidate]:
    """All that might help, kind by kind, each set of edits once."""
    seen: set[str] = set()
    for kind in KINDS:
        for one in _offered(kind, ground):
            if repr(one.edits) not in seen:
                seen.add(repr(one.edits))
                yield one


def _offered(kind: Callable, ground: Ground) -> Iterator[Candidate]:
    """The candidates of a kind; one that the plan cannot take is left out."""
    for make in kind(ground):
        try:
            yield make()
        except BadPlan:
            continue


Offers = Iterator[Callable[[], Candidate]]


# ---------------------------------------------------------------- cables


def _is_lead(ground: Ground, span: Span) -> bool:
    ends = {ground.job.boxes[end.box].stop for end in (span.a, span.b)}
    return len(ends) == 1 and span.length_m.expected <= LEAD_M


def _laying(ground: Ground, span: Span) -> float:
    if _is_lead(ground, span):
        return EFFORT["lead"]
    return EFFORT["pull"] + PULL_A_METRE * span.length_m.expected


def _fits_place(ground: Ground, span: Span, cable: CableSheet) -> bool:
    exposed = ground.job.is_exposed(span)
    return (cable.outdoor or not exposed) and (cable.screened or not span.cable.screened)


def _cables(ground: Ground) -> Offers:
    """A thicker cable, or copper for clad."""
    spans = [span for span in ground.job.spans.values() if span.length_m.expected > 0]
    spans.sort(key=lambda one: -one.length_m.expected * conductor_ohms(one.cable).expected)
    for span in spans[:MOST_SPANS]:
        now = conductor_ohms(span.cable).expected
        for cable in _one_a_gauge(ground, span):
            if cable.material == "copper" and conductor_ohms(cable).expected < THINNER * now:
                yield lambda span=span, cable=cable: _relaid(ground, span, cable)


def _outdoor_cables(ground: Ground) -> Offers:
    for parts in ground.said("cable-place"):
        span = ground.job.spans[parts["span"]]
        for cable in _one_a_gauge(ground, span):
            if conductor_ohms(cable).expected <= conductor_ohms(span.cable).expected / THINNER:
                yield lambda span=span, cable=cable: _relaid(ground, span, cable)


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


def _relaid(ground: Ground, span: Span, cable: CableSheet) -> Candidate:
    what = say("advice-cable", span=span.id, title=cable.title or cable.id)
    return Candidate(what, with_sheet(ground.doc, span.id, cable.id), _laying(ground, span))


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
        yield lambda things=things: Candidate(
            say("advice-pairs", at=tuple(name for _, name in things)),
            tuple(
                edit
                for group, name in things
                for edit in with_value(ground.doc, (group, name, "pairs"), 4)
            ),
            EFFORT["retype"] * len(things),
        )


# ---------------------------------------------------------------- boxes in their place


def _swaps(ground: Ground, box: Box, wanted: Callable[[BoxSheet], bool]) -> Offers:
    """Another sheet for a box: of its kind, fit for its place, that speaks what it spoke."""
    indoor = ground.job.stops[box.stop].indoor
    for sheet in {**STARTER, **ground.job.sheets}.values():
        fits = (
            isinstance(sheet, BoxSheet)
            and sheet.kind == box.kind
            and sheet.id != box.sheet.id
            and (sheet.outdoor or indoor)
            and not (sheet.outdoor and indoor and sheet.id in STARTER and not box.sheet.outdoor)
            and set(box.sheet.speeds_mbps) <= set(sheet.speeds_mbps)
        )
        if fits and wanted(sheet):
            yield lambda sheet=sheet: _swapped(ground, box, sheet)


def _swapped(ground: Ground, box: Box, sheet: BoxSheet) -> Candidate:
    what = say("advice-box", box=box.id, title=sheet.title or sheet.id)
    return Candidate(what, with_sheet(ground.doc, box.id, sheet.id), EFFORT["swap"])


def _sources(ground: Ground) -> Offers:
    """A feed that gives more."""
    for box in ground.job.boxes.values():
        if box.sheet.facts.feeds:
            most = box.sheet.watts_max or 0.0
            yield from _swaps(
                ground,
                box,
                lambda sheet, most=most, box=box: (
                    (sheet.watts_max or 0.0) > most
                    and sheet.volts.expected >= 0.95 * box.sheet.volts.expected
                ),
            )


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
                lambda sheet, now=now: sheet.ohms_per_conductor.expected < THINNER * now,
            )


def _outdoor_boxes(ground: Ground) -> Offers:
    for parts in ground.said("box-place"):
        box = ground.job.boxes[parts["box"]]
        yield from _swaps(ground, box, lambda sheet, box=box: sheet.power == box.sheet.power)


def _turned(ground: Ground) -> Offers:
    for parts in ground.said("orientation", "arrestor-facing"):
        yield lambda box=parts["box"]: Candidate(
            say("advice-turn", box=box), turn_round(ground.doc, box), EFFORT["turn"]
        )


def _exchanged(ground: Ground) -> Offers:
    """Two boxes of one kind change places: the same boxes in another order."""
    boxes = [one for one in ground.job.boxes.values() if one.sheet.facts.passes_power]
    for i, one in enumerate(boxes):
        for other in boxes[i + 1 :]:
            if one.kind == other.kind and one.sheet.id != other.sheet.id and one.sheet.facts.active:
                yield lambda one=one, other=other: Candidate(
                    say("advice-exchange", box=one.id, other=other.id),
                    (
                        *with_sheet(ground.doc, one.id, other.sheet.id),
                        *with_sheet(ground.doc, other.id, one.sheet.id),
                    ),
                    EFFORT["exchange"],
                )


def _fewer(ground: Ground) -> Offers:
    """A repeater that no link needs draws for nothing; one cable takes the place of its two."""
    for box in ground.job.boxes.values():
        if box.kind == "repeater":
            spans = [span for end, span in ground.job.plugged.items() if end.box == box.id]
            metres = sum(span.length_m.expected for span in spans)
            yield lambda box=box, metres=metres: Candidate(
                say("advice-take-out", box=box.id),
                take_out(ground.doc, box.id),
                EFFORT["pull"] + PULL_A_METRE * metres,
            )


# ---------------------------------------------------------------- earth and surge


def _earthed(ground: Ground, box: str, edits: tuple[Edit, ...]) -> tuple[Edit, ...]:
    """These edits, and a bond for a box to the earth of its stop, which is made if there is none."""
    doc = applied(ground.doc, edits)
    stop = next(row["stop"] for row in doc["boxes"] if row["id"] == box)
    earth = next((name for name, one in doc.get("earths", {}).items() if one["stop"] == stop), None)
    if earth is None:
        earth = new_id(doc, "EB")
        bar = {"what": "add", "path": ["earths", earth], "value": {"stop": stop}}
        edits = (*edits, {**bar, "as": "correction"})
        doc = applied(ground.doc, edits)
    return (*edits, *bond_to(doc, box, earth, LEAD_MOST.value, LEAD_LEAST_MM2.value))


def _bonds(ground: Ground) -> Offers:
    for parts in ground.said("bond", "bond-long", "bond-thin"):
        yield lambda box=parts["box"]: Candidate(
            say("advice-bond", box=box), _earthed(ground, box, ()), EFFORT["bond"]
        )


def _arrestors(ground: Ground) -> Offers:
    for parts in ground.said("arrestor-missing"):
        end = Point.parse(parts["at"])
        span = ground.job.plugged.get(end)
        fast = 1000 in ground.job.boxes[end.box].sheet.speeds_mbps
        if span is not None:
            yield lambda end=end, span=span, fast=fast: _arrested(ground, end, span, fast)


def _arrested(ground: Ground, end: Point, span: Span, fast: bool) -> Candidate:
    stop = ground.job.boxes[end.box].stop
    place = "indoor" if ground.job.stops[stop].indoor else "outdoor"
    sheet = f"generic.arrestor-{'1000' if fast else '100'}-{place}"
    edits, box = _beside(ground, span, end, sheet, ground.doc)
    what = say("advice-arrestor", span=span.id, at=str(end), stop=ground.job.stops[stop].name)
    return Candidate(what, _earthed(ground, box, edits), EFFORT["fit"] + EFFORT["bond"])


def _beside(
    ground: Ground, span: Span, end: Point, sheet: str, doc: Mapping
) -> tuple[tuple[Edit, ...], str]:
    """Edits that put a box into a span right beside one of its ends, and the new box's id.

    What is left between them at one stop is a lead, no longer the cable that came in.
    """
    where = ground.prediction.study.network.where
    near = min((span.a, span.b), key=lambda one: where.get(one, (len(where), 0)))
    share = min(AT_AN_END_M / max(span.length_m.expected, 2 * AT_AN_END_M), 0.5)
    first = end == near
    stop = ground.job.boxes[end.box].stop
    edits = put_in(doc, span.id, sheet, stop=stop, share=share if first else 1 - share)
    added = [edit["value"] for edit in edits if edit["what"] == "add"]
    box = next(row["id"] for row in added if "stop" in row and "sheet" in row)
    if not _is_lead(ground, span):
        lead = span.id if first else next(row["id"] for row in added if "cable" in row)
        doc = applied(doc, edits)
        edits += with_sheet(doc, lead, "generic.patch")
        edits += with_value(doc, ("spans", lead, "indoor"), True)
    return edits, box


# ---------------------------------------------------------------- one box more


def _bridges(ground: Ground) -> Offers:
    """Between two ends that share no speed, a box that speaks both."""
    for parts in ground.said("speed-mismatch"):
        ends = [Point.parse(parts["at"]), Point.parse(parts["far"])]
        for end in ends:
            span = ground.job.plugged.get(end)
            if span is not None and 1000 not in ground.job.boxes[end.box].sheet.speeds_mbps:
                yield lambda end=end, span=span: _bridged(ground, end, span)


def _bridged(ground: Ground, end: Point, span: Span) -> Candidate:
    indoor = ground.job.stops[ground.job.boxes[end.box].stop].indoor
    sheet = "generic.repeater-1000" + ("" if indoor else "-outdoor")
    edits, _ = _beside(ground, span, end, sheet, ground.doc)
    return Candidate(say("advice-bridge", at=str(end)), edits, EFFORT["fit"])


REACH = ("reach-stated", "reach-hot", "reach-loss", "reach-ordinary", "reach-category")


def _too_far(ground: Ground) -> list[Link]:
    """Links that are doubted for their length, and those that come up at nothing."""
    told = {f.at for f in ground.prediction.findings if f.say.code in REACH}
    return [
        link
        for link in ground.prediction.links
        if str(link.end) in told or str(link.start) in told or link.expected_mbps == 0
    ]


def _long_spans(ground: Ground) -> Offers:
    """A pair of long-span units at the two ends of a link that is too long."""
    for link in _too_far(ground):
        if 1000 in link.start_speeds and 1000 in link.end_speeds:
            yield lambda link=link: _spanned(ground, link)


def _spanned(ground: Ground, link: Link) -> Candidate:
    here, edits = ground, ()
    for end in (link.start, link.end):
        span = here.job.plugged[end]
        more, _ = _beside(here, span, end, "generic.long-span", here.doc)
        edits = (*edits, *more)
        here = Ground.of(applied(here.doc, more))
    what = say("advice-long-span", start=str(link.start), end=str(link.end))
    return Candidate(what, edits, 2 * EFFORT["fit"])


def _repeaters(ground: Ground) -> Offers:
    """A repeater in the middle of a link that is too long."""
    for link in _too_far(ground):
        spans = [ground.job.spans[name] for name in link.through if name in ground.job.spans]
        longest = max(spans, key=lambda one: one.length_m.expected, default=None)
        if longest is not None:
            yield lambda span=longest: _repeated(ground, span)


def _repeated(ground: Ground, span: Span) -> Candidate:
    exposed = ground.job.is_exposed(span)
    sheet = "generic.repeater-1000" + ("-outdoor" if exposed else "")
    what = say("advice-repeater", span=span.id)
    return Candidate(what, put_in(ground.doc, span.id, sheet), EFFORT["fit-anew"])


def _injectors(ground: Ground) -> Offers:
    """An injector where the plan says that there is power (``x_power`` of a stop)."""
    powered = {
        name for name, row in ground.doc.get("stops", {}).items() if row.get("x_power") is True
    }
    for span in ground.job.spans.values():
        for end in (span.a, span.b):
            stop = ground.job.boxes[end.box].stop
            if stop in powered and not ground.job.boxes[end.box].sheet.facts.feeds:
                for watts in (60, 90):
                    yield lambda span=span, end=end, watts=watts, stop=stop: Candidate(
                        say(
                            "advice-injector",
                            span=span.id,
                            at=str(end),
                            stop=ground.job.stops[stop].name,
                            watts=watts,
                        ),
                        _beside(ground, span, end, f"generic.injector-{watts}w", ground.doc)[0],
                        EFFORT["fit"],
                    )


KINDS: tuple[Callable[[Ground], Offers], ...] = (
    _pairs,
    _turned,
    _bonds,
    _sources,
    _outdoor_boxes,
    _less_in_series,
    _regenerating,
    _exchanged,
    _fewer,
    _bridges,
    _arrestors,
    _injectors,
    _long_spans,
    _repeaters,
    _outdoor_cables,
    _cables,
)
"""the light ones first: the best so far is soon a good one"""


def both(one: Candidate, other: Candidate) -> Candidate:
    """Two changes as one: the second one's edits are read on the plan with the first."""
    parts: tuple[Say, ...] = (one.say, other.say)
    edits = one.edits + tuple(edit for edit in other.edits if edit not in one.edits)
    return Candidate(say("advice-both", parts=parts), edits, one.effort + other.effort)
