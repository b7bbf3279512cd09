"""How a cause changes a site: numbers, wiring, lights or what is written down, and by how much."""

from __future__ import annotations

from collections.abc import Callable
from math import inf

from attrs import evolve, frozen

from engine.circuit import draw, feed_volts
from engine.faults.places import ends_of, fed, powered
from engine.faults.sizes import SIZES, light
from engine.job import Job, Point
from engine.practice.draw import on_triangle
from engine.practice.site import MADE_UP, SETS, Data, Misread, Site


@frozen
class Drawn:
    """One cause with what was drawn of it."""

    cause: str
    where: str
    kind: str
    size: float


BOTH_SETS = 4
"""pairs"""
Act = Callable[[Site, Drawn], Site]


def _valued(site: Site, key: tuple[str, ...], value: float) -> Site:
    return evolve(site, values={**site.values, key: value})


def times(quantity: str) -> Act:
    """A quantity of the place, so many times what was drawn of it."""

    def act(site: Site, one: Drawn) -> Site:
        key = (quantity, one.where)
        return _valued(site, key, site.values[key] * one.size)

    return act


def source_low(site: Site, one: Drawn) -> Site:
    low = feed_volts(site.job.boxes[one.where].sheet).low
    return _valued(site, ("volts", one.where), one.size * low)


def fed_twice(site: Site, one: Drawn) -> Site:
    high = feed_volts(site.job.boxes[one.where].sheet).high
    return _valued(site, ("volts", one.where), high + one.size)


def source_soft(site: Site, one: Drawn) -> Site:
    key = ("droop", one.where)
    return _valued(site, key, site.values[key] + one.size)


def watts(corner: str) -> Act:
    """Watts of a box, so many times what its sheet says at one corner."""

    def act(site: Site, one: Drawn) -> Site:
        band = draw(site.job.boxes[one.where])
        return _valued(site, ("watts", one.where), one.size * getattr(band, corner))

    return act


def span_high(site: Site, one: Drawn) -> Site:
    return times("length" if one.kind == "long" else "ohms")(site, one)


def load_off(site: Site, one: Drawn) -> Site:
    return _dead(watts("expected")(site, one), ends_of(site, one.where))


def load_varies(site: Site, one: Drawn) -> Site:
    return evolve(site, swings={**site.swings, one.where: one.size})


def _dead(site: Site, places: frozenset[str]) -> Site:
    return evolve(site, data=evolve(site.data, dead=site.data.dead | places))


def _doubt(site: Site, span: str, cause: str, frames: bool = True) -> Site:
    """Links through a span do not surely show their full speed; frames are damaged on them."""
    starts = [str(link.start) for link in site.planned_links if span in link.through]
    row = SIZES["frames"]
    count = on_triangle(row.band, site.share("frames of", span))
    data = Data(
        site.data.dead,
        {**site.data.lights, **dict.fromkeys(starts, light(cause))},
        {**site.data.frames, **dict.fromkeys(starts if frames else (), count)},
    )
    return evolve(site, data=data)


def feed_off(site: Site, one: Drawn) -> Site:
    """Every feed of a box gives nothing."""
    feeds = frozenset({fed(site)[one.where]})
    return evolve(site, trouble=evolve(site.trouble, cut=site.trouble.cut | feeds))


def refused(site: Site, one: Drawn) -> Site:
    return evolve(site, trouble=evolve(site.trouble, refusing=frozenset({fed(site)[one.where]})))


def trips(site: Site, one: Drawn) -> Site:
    return evolve(site, trouble=evolve(site.trouble, tripping=frozenset({fed(site)[one.where]})))


def shorted(site: Site, one: Drawn) -> Site:
    """What feeds the place gives nothing: its port or supply folds back at once."""
    point = powered(site).get(one.where) or site.network.upstream_port(one.where)
    shorts = site.trouble.shorted | ({point} if point else set())
    return _dead(evolve(site, trouble=evolve(site.trouble, shorted=shorts)), frozenset({one.where}))


def _broken(site: Site, points: frozenset[Point]) -> Site:
    return evolve(site, trouble=evolve(site.trouble, broken=site.trouble.broken | points))


def span_open(site: Site, one: Drawn) -> Site:
    site = _broken(site, frozenset({powered(site)[one.where]}))
    site = _dead(site, frozenset({one.where}))
    names = SETS[site.job.spans[one.where].pairs_carried]
    return evolve(site, lost={**site.lost, one.where: names})


def _outs(site: Site, box: str) -> frozenset[Point]:
    """The points of a box behind the one that power reaches first."""
    entry = site.network.upstream_port(box)
    return frozenset(p for p in site.network.where if p.box == box and p != entry)


def no_way_on(site: Site, one: Drawn) -> Site:
    return _broken(site, _outs(site, one.where))


def box_dead(site: Site, one: Drawn) -> Site:
    site = no_way_on(site, one)
    idle = site.trouble.idle | {one.where}
    return evolve(site, trouble=evolve(site.trouble, idle=idle))


def box_reversed(site: Site, one: Drawn) -> Site:
    """Power does not mind which way a plain box is turned; its transceivers do."""
    if site.job.boxes[one.where].sheet.regenerates:
        return box_dead(site, one)
    return _dead(site, ends_of(site, one.where))


def box_restarts(site: Site, one: Drawn) -> Site:
    return evolve(site, trouble=evolve(site.trouble, restless=frozenset({one.where})))


def joint_high(site: Site, one: Drawn) -> Site:
    key = ("ends", one.where)
    site = _valued(site, key, site.values[key] + one.size)
    site = evolve(site, uneven={**site.uneven, one.where: one.size})
    return _doubt(site, one.where, "joint.high")


def contact_high(site: Site, one: Drawn) -> Site:
    site = evolve(site, contacts={**site.contacts, one.where: one.size})
    return _doubt(site, one.where, "contact.high")


def pair_open(site: Site, one: Drawn) -> Site:
    """One wire of a pair: the other still carries power, but no data."""
    site = evolve(site, contacts={**site.contacts, one.where: inf})
    return _doubt(site, one.where, "link.pair-open", frames=False)


def _without_set(site: Site, place: str, job: Job) -> Site:
    """One set of pairs leads nowhere: half the wires for power, two pairs for data."""
    return evolve(site, job=job, halved=site.halved | {place})


def pairs_lost(site: Site, one: Drawn) -> Site:
    """One set of pairs leads nowhere: of its two pairs one is open, or both."""
    span = site.job.spans[one.where]
    gone: tuple[str, ...] = ("1", "4") if site.share("which set", span.id) < 0.5 else ("2", "3")
    gone = gone if site.share("how many", span.id) < 0.5 else gone[:1]
    spans = {**site.job.spans, span.id: evolve(span, pairs=2)}
    site = _without_set(site, span.id, evolve(site.job, spans=spans))
    return _doubt(
        evolve(site, lost={**site.lost, span.id: gone}), span.id, "pairs.lost", frames=False
    )


def arrestor_open(site: Site, one: Drawn) -> Site:
    node = site.network.node(site.network.upstream_port(one.where))
    if one.kind == "whole" or node is None or node.loop_pairs < BOTH_SETS:
        site = evolve(site, truth=evolve(site.truth, kind="whole"))
        return _dead(no_way_on(site, one), frozenset({one.where}))
    box = site.job.boxes[one.where]
    boxes = {**site.job.boxes, box.id: evolve(box, pairs=2)}
    return _without_set(site, box.id, evolve(site.job, boxes=boxes))


def slow_endpoint(site: Site, one: Drawn) -> Site:
    box = site.job.boxes[one.where]
    slow = evolve(box, sheet=evolve(box.sheet, speeds_mbps=(10, 100)))
    return evolve(site, job=evolve(site.job, boxes={**site.job.boxes, box.id: slow}))


def too_long(site: Site, one: Drawn) -> Site:
    return _doubt(times("length")(site, one), one.where, "link.too-long")


def link_dead(site: Site, one: Drawn) -> Site:
    return _dead(site, frozenset({one.where}))


def link_bad(site: Site, one: Drawn) -> Site:
    return _doubt(site, one.where, one.cause)


def link_noise(site: Site, one: Drawn) -> Site:
    before = site.data.lights
    site = _doubt(site, one.where, "link.too-long")
    return evolve(site, data=evolve(site.data, lights=before))


def earth(site: Site, one: Drawn) -> Site:
    """Its ohms become the target's, so many times, or those of a rod that hangs on nothing."""
    target = site.job.earths[one.where].target_ohms or MADE_UP["earth-ohms"].value
    ohms = one.size if one.cause == "earth.open" else one.size * target
    now = site.true_figure(one.where, "earth_ohms")
    return evolve(site, earths={**site.earths, one.where: ohms / now})


def nothing_seen(site: Site, one: Drawn) -> Site:
    return site


def misread(how: str) -> Act:
    return lambda site, one: evolve(site, misread=Misread(how, one.where, one.kind))


def lead(site: Site, one: Drawn) -> Site:
    return evolve(site, leads=one.size)
