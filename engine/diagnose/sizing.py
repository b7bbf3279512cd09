"""How large a fault is by its own fit, what it may be at heart, and at which end it sits."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from math import exp, hypot, sqrt
from typing import TYPE_CHECKING

from attrs import frozen

from engine import kinds_of_span as wires
from engine.circuit import conductor_ohms
from engine.diagnose import Guess
from engine.diagnose.fit import Fit
from engine.diagnose.scene import OPEN_OHMS, Scene
from engine.diagnose.trial import Trial
from engine.faults.places import powered
from engine.faults.sizes import SIZES
from engine.job import Point, Span
from engine.knowing import sumprod
from engine.log import Reading
from engine.standards import Sourced, table
from engine.unknowns import RECTANGULAR, Key, Unknown

if TYPE_CHECKING:
    from engine.judge import Judgement

_OURS = "our estimate: nothing was measured"
SHARES = table(
    Sourced("end", 0.5, "1", "readings cannot tell the ends of a span apart", "computed"),
    Sourced("end remade", 0.15, "1", f"{_OURS}: an end that was just made anew", "from memory"),
    Sourced("end outdoors", 0.8, "1", f"{_OURS}: of a wet joint, the end outdoors", "from memory"),
    Sourced("hot as read", 0.1, "1", f"{_OURS}: hotter than it was read to be", "from memory"),
)
"""how likely it is that a fault sits there, by what else is known"""
AT_AN_END = frozenset(
    [
        "span.open",
        "joint.high",
        "joint.wet",
        "contact.high",
        "pairs.lost",
        "pair.split",
        "pair.crossed",
        "link.pair-open",
    ]
)
"""causes that sit in one end of a span, or most often do (common practice)"""
CLAD, THIN, LONG, HOT = "clad", "thin", "long", "hot"
KINDS = {CLAD: wires.CLAD, THIN: wires.THIN, LONG: wires.LONGER, HOT: wires.HOT}
"""what a span with too many ohms may be at heart, and its row among the wires"""
STEPS = 24
"""points of a triangle at which a fitted factor is weighed"""


# ---------------------------------------------------------------- how large


@frozen
class _Settled:
    """One unknown after the readings: what it was before, and what it is now."""

    planned: float
    value: float
    told: float
    """deviations that all readings moved it by"""
    left: float
    """share of its own deviation that is left"""
    sd: float


def size_of(guess: Guess, trial: Trial) -> dict[str, float]:
    """How large a fault is by all readings, a number with its unit in the key."""
    bend = guess.bend
    out: dict[str, float] = {}
    for (name, *_place), settled in _settled(guess, trial):
        # of a span that resists too much more metres are so many times the ohms
        name = "ohms" if guess.cause == "span.high" else name
        key, of = _UNITS.get(name, ("", None))
        if of is not None:
            out[key] = max(out.get(key, 0.0), of(settled), key=abs)
    if bend.lead is not None and guess.fit is not None:
        out["ohms"] = _of_probes(trial.scene, guess.fit, bend.lead)
    if bend.uneven.get(guess.where) == "contact.high":
        out |= _of_contact(trial.scene, guess.where)
    return out


def _of_probes(scene: Scene, found: Fit, lead: Unknown) -> float:
    """What the probes of a meter add to every loop, by all loops that were read. [ohm]"""
    over = [
        off * noise
        for off, noise, ident in zip(found.off, found.noise, found.ids, strict=True)
        if _kind(scene, ident) == "loop_ohms"
    ]
    return lead.mean + (sum(over) / len(over) if over else 0.0)


def _of_contact(scene: Scene, where: str) -> dict[str, float]:
    """By how much the worst pair of a span is above the others; unknown where none was read."""
    for seen in scene.seen:
        closed = sorted(ohms for ohms in seen.pairs if ohms < OPEN_OHMS)
        if seen.asked.at == where and len(closed) > 1:
            *others, worst = closed
            return {"ohms": worst - sum(others) / len(others)}
    return {}


_UNITS: Mapping[str, tuple[str, Callable[[_Settled], float]]] = {
    "ohms": ("factor", lambda it: it.value / it.planned if it.planned else 1.0),
    "ends": ("ohms", lambda it: it.value - it.planned),
    "droop": ("ohms", lambda it: it.value - it.planned),
    "watts": ("watts", lambda it: it.value),
    "volts": ("volts", lambda it: it.value),
    "swing": ("percent", lambda it: 100 * abs(it.value)),
    "length": ("metres", lambda it: it.value),
}
"""by the quantity that a fault changes: the unit of its size, and how it follows"""


def _kind(scene: Scene, ident: str) -> str:
    return next((one.asked.kind for one in scene.seen if one.id == ident), "")


def _settled(guess: Guess, trial: Trial) -> Iterator[tuple[Key, _Settled]]:
    """Each unknown that a guess bends, as the readings leave it; one a moment where it moves."""
    if guess.fit is None:
        return
    columns = trial.columns
    for key in guess.bend.quantities:
        unknown = trial.site.unknowns[key]
        planned = trial.scene.figures.site.unknowns.get(key)
        for full, place in columns.place.items():
            if full[: len(key)] != key or place >= len(guess.fit.mean):
                continue
            row = [0.0] * len(guess.fit.mean)
            row[place] = 1.0
            told = sumprod(row, guess.fit.mean)
            yield (
                key,
                _Settled(
                    planned.mean if planned else 0.0,
                    unknown.mean + unknown.sd * told,
                    told,
                    guess.fit.spread(row),
                    unknown.sd,
                ),
            )


# ---------------------------------------------------------------- what it is at heart


def kinds_of(guess: Guess, trial: Trial) -> tuple[tuple[str, float], ...]:
    """What a span with too many ohms may be: clad, thin, long or hot, the likeliest first."""
    settled = (one for key, one in _settled(guess, trial) if key[0] in ("ohms", "length"))
    found = next(settled, None)
    span = trial.scene.job.spans.get(guess.where)
    if found is None or span is None or not found.planned:
        return ()
    factor, spread = _as_told(found)
    weights = {
        kind: wires.RATES[row].value
        * _likely(_factors(kind, span), factor, spread)
        * _by_others(trial.scene, span, kind, factor)
        for kind, row in KINDS.items()
    }
    total = sum(weights.values())
    if total <= 0:
        return ()
    shares = ((kind, weight / total) for kind, weight in weights.items())
    return tuple(sorted(shares, key=lambda one: -one[1]))


def _as_told(found: _Settled) -> tuple[float, float]:
    """The factor that readings alone tell of, the guess's own size taken out again.

    Of two normal quantities multiplied, the precisions add up (textbook).
    """
    precision = 1 / max(found.left**2, 1e-9) - 1
    if precision < 1e-6:
        return 1.5, 1e3
    before = found.value - found.sd * found.told
    told = before + found.sd * found.told * (precision + 1) / precision
    return told / found.planned, found.sd / sqrt(precision) / found.planned


def _factors(kind: str, span: Span) -> Iterator[tuple[float, float]]:
    """Factors of the plan's ohms that a kind gives, each with its share."""
    if kind in (CLAD, THIN):
        planned = conductor_ohms(span.cable).expected
        for wire in wires.wires_of(KINDS[kind], span.cable):
            band = wire.ohms_per_km
            for at, share in _triangle(band.low, band.expected, band.high):
                yield at / planned, wire.share * share
        return
    band = (wires.SIZES[wires.LONGER] if kind == LONG else SIZES["span.high hot"]).band
    yield from _triangle(band.low, band.expected, band.high)


def _triangle(low: float, top: float, high: float) -> Iterator[tuple[float, float]]:
    """Points of a triangle, each with the share of it that it stands for."""
    if high <= low:
        yield top, 1.0
        return
    points = [low + (high - low) * (i + 0.5) / STEPS for i in range(STEPS)]
    weights = [
        (x - low) / (top - low) if x < top else (high - x) / (high - top) if high > top else 1.0
        for x in points
    ]
    total = sum(weights)
    yield from ((x, weight / total) for x, weight in zip(points, weights, strict=True))


def _likely(factors: Iterator[tuple[float, float]], told: float, spread: float) -> float:
    """How readily a factor is told to be so where these are its own."""
    out = 0.0
    for at, share in factors:
        z = (told - at) / spread
        out += share * exp(-z * z / 2) / spread
    return out


def _by_others(scene: Scene, span: Span, kind: str, factor: float) -> float:
    """What metres and temperatures of a span say of a kind: metres decide of longer, and what was
    read to be warm no longer counts as hotter than known."""
    by = 1.0
    for seen in scene.seen:
        reading = seen.reading
        if reading.kind == "metres" and reading.at == span.id:
            by *= _metres(scene, span, reading, factor if kind == LONG else 1.0)
        if kind == HOT and _tells_warmth(span, reading, scene):
            by *= SHARES["hot as read"].value
    return by


def _metres(scene: Scene, span: Span, reading: Reading, factor: float) -> float:
    """How readily so many metres are read of a span that is so many times as long."""
    planned = span.length_m
    accuracy = scene.job.accuracy(reading.meter, "metres")
    reach = accuracy.reach(reading.figure) if accuracy else 0.0
    sd = max(hypot((planned.high - planned.low) / 2, reach) / RECTANGULAR, 1e-3)
    z = (reading.figure - factor * planned.expected) / sd
    return exp(-min(z * z / 2, 30.0))


def _tells_warmth(span: Span, reading: Reading, scene: Scene) -> bool:
    if reading.kind == "loop_ohms" and reading.at == span.id:
        return reading.celsius is not None
    stops = {scene.job.boxes[end.box].stop for end in (span.a, span.b)}
    return reading.kind == "celsius" and reading.at in stops


# ---------------------------------------------------------------- where it sits


def ends_of_span(scene: Scene, span: Span) -> tuple[Point, Point]:
    """The ends of a span, the one nearer to the feed first."""
    behind = powered(scene).get(span.id)
    return (span.b, span.a) if behind == span.a else (span.a, span.b)


def ends_of(
    judgement: Judgement, scene: Scene, cause: str, where: str
) -> tuple[tuple[str, float], ...]:
    """At which end of a span a fault sits: its points, each with its share of 1."""
    span = scene.job.spans.get(where)
    if span is None or cause not in AT_AN_END:
        return ()
    near, far = ends_of_span(scene, span)
    odds = [_end(judgement, cause, near), _end(judgement, cause, far)]
    total = sum(odds)
    return ((str(near), odds[0] / total), (str(far), odds[1] / total))


def _end(judgement: Judgement, cause: str, point: Point) -> float:
    """How likely a fault is at this end, as odds: readings tell the ends apart no more than a coin."""
    share = SHARES["end"].value
    odds = share / (1 - share)
    job = judgement.state.job
    if cause == "joint.wet" and not job.stops[job.boxes[point.box].stop].indoor:
        outdoors = SHARES["end outdoors"].value
        odds *= outdoors / (1 - outdoors)
    if str(point) in _remade(judgement):
        remade = SHARES["end remade"].value
        odds *= remade / (1 - remade)
    return odds


def _remade(judgement: Judgement) -> frozenset[str]:
    """Points at which something was altered, by an entry that stands."""
    state = judgement.state
    return frozenset(
        state.job.named(entry.body.get("where") or "") for _, entry in state.of_kind("change")
    )
