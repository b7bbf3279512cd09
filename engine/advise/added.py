"""Kinds of change that put something in: earth and surge, one box more, a feed on the way."""

from __future__ import annotations

from functools import partial

from engine.advise.effort import EFFORT, Offers, is_lead, most_ohms
from engine.advise.ground import LACKS_VOLTS, Ground, Offer
from engine.inspan import put_in
from engine.job import Point, Span
from engine.links import Link
from engine.planning import Edit, applied, bond_to, new_id, with_sheet, with_value
from engine.say import say
from engine.sheets import STARTER
from engine.standards.surge import LEAD_LEAST_MM2, LEAD_MOST

LACKS_POWER = LACKS_VOLTS | {"class", "budget", "port-power", "port-trip", "feed", "current"}
"""rules that another feed on the way may mend"""
AT_AN_END_M = 0.5
"""how far from the end of a span a box is put that belongs at that end [m] (a choice)"""
MOST_CUT, CUT_AT = 2, (0.25, 0.5, 0.75)
"""spans that may be cut for a box that feeds anew, and where along them"""


# ---------------- earth and surge


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


def bonds(ground: Ground) -> Offers:
    """A bond where one is missing, too long or too thin."""
    for parts in ground.said("bond", "bond-long", "bond-thin"):
        what = say("advice-bond", box=parts["box"])
        yield Offer(what, EFFORT["bond"], partial(_earthed, ground, parts["box"], ()))


def arrestors(ground: Ground) -> Offers:
    """An arrestor where a span has none, and its bond."""
    for parts in ground.said("arrestor-missing"):
        end = Point.parse(parts["at"])
        span = ground.job.plugged.get(end)
        fast = 1000 in ground.job.boxes[end.box].sheet.speeds_mbps
        if span is not None:
            yield _arrested(ground, end, span, fast)


def _arrested(ground: Ground, end: Point, span: Span, fast: bool) -> Offer:
    stop = ground.job.boxes[end.box].stop
    place = "indoor" if ground.job.stops[stop].indoor else "outdoor"
    sheet = f"generic.arrestor-{'1000' if fast else '100'}-{place}"
    what = say("advice-arrestor", span=span.id, at=str(end), stop=ground.job.stops[stop].name)

    def make() -> tuple[Edit, ...]:
        edits, box = _beside(ground, span, end, sheet)
        return _earthed(ground, box, edits)

    return Offer(what, EFFORT["fit"] + EFFORT["bond"], make)


def _beside(ground: Ground, span: Span, end: Point, sheet: str) -> tuple[tuple[Edit, ...], str]:
    """Edits that put a box into a span right beside one of its ends, and the new box's id.

    What is left between them at one stop is a lead, no longer the cable that came in.
    """
    where = ground.prediction.study.network.where
    near = min((span.a, span.b), key=lambda one: where.get(one, (len(where), 0)))
    share = min(AT_AN_END_M / max(span.length_m.expected, 2 * AT_AN_END_M), 0.5)
    first = end == near
    stop = ground.job.boxes[end.box].stop
    doc = ground.doc
    edits = put_in(doc, span.id, sheet, stop=stop, share=share if first else 1 - share)
    added = [edit["value"] for edit in edits if edit["what"] == "add"]
    box = next(row["id"] for row in added if "stop" in row and "sheet" in row)
    if not is_lead(ground, span):
        lead = span.id if first else next(row["id"] for row in added if "cable" in row)
        doc = applied(doc, edits)
        edits += with_sheet(doc, lead, "generic.patch")
        edits += with_value(doc, ("spans", lead, "indoor"), True)
    return edits, box


# ---------------- one box more


def bridges(ground: Ground) -> Offers:
    """Between two ends that share no speed, a box that speaks both."""
    for parts in ground.said("speed-mismatch"):
        ends = [Point.parse(parts["at"]), Point.parse(parts["far"])]
        for end in ends:
            span = ground.job.plugged.get(end)
            if span is not None and 1000 not in ground.job.boxes[end.box].sheet.speeds_mbps:
                yield _bridged(ground, end, span)


def _bridged(ground: Ground, end: Point, span: Span) -> Offer:
    indoor = ground.job.stops[ground.job.boxes[end.box].stop].indoor
    sheet = "generic.repeater-1000" + ("" if indoor else "-outdoor")
    what = say("advice-bridge", at=str(end))
    return Offer(what, EFFORT["fit"], lambda: _beside(ground, span, end, sheet)[0])


REACH = ("reach-stated", "reach-hot", "reach-loss", "reach-ordinary", "reach-category")


def _too_far(ground: Ground) -> list[Link]:
    """Links that are doubted for their length, and those that come up at nothing."""
    told = {f.at for f in ground.prediction.findings if f.say.code in REACH}
    return [
        link
        for link in ground.prediction.links
        if str(link.end) in told or str(link.start) in told or link.expected_mbps == 0
    ]


def long_spans(ground: Ground) -> Offers:
    """A pair of long-span units at the two ends of a link that is too long."""
    for link in _too_far(ground):
        if 1000 in link.start_speeds and 1000 in link.end_speeds:
            what = say("advice-long-span", start=str(link.start), end=str(link.end))
            yield Offer(what, 2 * EFFORT["fit"], partial(_spanned, ground, link))


def _spanned(ground: Ground, link: Link) -> tuple[Edit, ...]:
    here = ground
    edits: tuple[Edit, ...] = ()
    for end in (link.start, link.end):
        more, _ = _beside(here, here.job.plugged[end], end, "generic.long-span")
        edits = (*edits, *more)
        here = Ground.of(applied(here.doc, more))
    return edits


def repeaters(ground: Ground) -> Offers:
    """A repeater in the middle of a link that is too long."""
    for link in _too_far(ground):
        spans = [ground.job.spans[name] for name in link.through if name in ground.job.spans]
        longest = max(spans, key=lambda one: one.length_m.expected, default=None)
        if longest is not None:
            yield _repeated(ground, longest)


def _repeated(ground: Ground, span: Span) -> Offer:
    exposed = ground.job.is_exposed(span)
    sheet = "generic.repeater-1000" + ("-outdoor" if exposed else "")
    what = say("advice-repeater", span=span.id)
    return Offer(what, EFFORT["fit-anew"], lambda: put_in(ground.doc, span.id, sheet))


def fed_anew(ground: Ground) -> Offers:
    """Where volts lack, a box on the way that feeds anew: what is behind it draws less current."""
    if not LACKS_VOLTS & set(ground.broken):
        return
    for span in most_ohms(ground)[:MOST_CUT]:
        if is_lead(ground, span):
            continue
        exposed = ground.job.is_exposed(span)
        for name in ("30w-outdoor",) if exposed else ("30w", "60w"):
            for share in CUT_AT:
                yield _anew(ground, span, name, share)


def _anew(ground: Ground, span: Span, name: str, share: float) -> Offer:
    sheet = f"generic.repeater-{name}"
    metres = share * span.length_m.expected
    what = say("advice-fed-anew", span=span.id, title=STARTER[sheet].title, metres=metres)
    cut = partial(put_in, ground.doc, span.id, sheet, share=share)
    return Offer(what, EFFORT["fit-anew"], cut)


def _powered(ground: Ground) -> set[str]:
    """Stops where there is power: the plan says so (``x_power``), or a feed stands there."""
    said = {name for name, row in ground.doc.get("stops", {}).items() if row.get("x_power") is True}
    return said | {box.stop for box in ground.job.boxes.values() if box.sheet.facts.feeds}


def injectors(ground: Ground) -> Offers:
    """An injector where there is power."""
    if not LACKS_POWER & set(ground.broken):
        return
    powered = _powered(ground)
    for span in ground.job.spans.values():
        for end in (span.a, span.b):
            stop = ground.job.boxes[end.box].stop
            if stop in powered and not ground.job.boxes[end.box].sheet.facts.feeds:
                for watts in (60, 90):
                    yield _injected(ground, span, end, watts)


def _injected(ground: Ground, span: Span, end: Point, watts: int) -> Offer:
    stop = ground.job.stops[ground.job.boxes[end.box].stop].name
    what = say("advice-injector", span=span.id, at=str(end), stop=stop, watts=watts)
    sheet = f"generic.injector-{watts}w"
    return Offer(what, EFFORT["fit"], lambda: _beside(ground, span, end, sheet)[0])
