"""What the wire on a reel may be of: weighed by Bayes over ``kinds_of_span``, by ohms and weight."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import exp, log, log2, pi, sqrt
from typing import TYPE_CHECKING

from attrs import frozen

from engine import kinds_of_span as kinds
from engine.band import Band
from engine.bands import REACH
from engine.circuit import alpha_per_k
from engine.job import BY_EYE, CableSheet, Job
from engine.kinds_of_span import CLAD, LONGER, OTHER, THIN, Wire
from engine.standards import conductors
from engine.standards.meters import METERS
from engine.study import Range
from engine.unknowns import RECTANGULAR, Unknown, moments
from engine.verdict import INSIDE, OUTSIDE, UNCLEAR, z_out

if TYPE_CHECKING:
    from engine.reel import ReelReading

AIR_OFF_K = 3.0
"""how far a reel can be from the temperature told of it (from memory: a drum follows slowly) [K]"""
WEIGHED_WITHIN = 0.03
"""limits of a metre cut off and weighed: its length and the scale (from memory) [1]"""
CONTACTS = 4
"""two wires, each with a clip at one end and a short at the other"""
SURE = 0.95
"""from this probability on nothing more is asked for, as with the next test (design, section 6)"""
LEAST_BITS = 0.02
LEAST_METRES = 1.0
"""marks nearer than this to each other leave nothing to measure [m]"""
LONG_STEPS, GRAM_STEPS = 60, 120
MOST_GRAMS = 150.0

SETTLES: tuple[tuple[str, frozenset[str], float], ...] = (
    ("scrape", frozenset({CLAD}), 2),
    ("again", frozenset({OTHER}), 4),
    ("tape", frozenset({LONGER}), 15),
)
"""a look or a measurement, the kinds that it tells from all others, its minutes (our estimate)"""
WEIGH, WEIGH_MINUTES = "weigh", 5


@frozen
class Settle:
    """One thing that would tell more: which, the bits it is worth, its minutes."""

    id: str
    bits: float
    minutes: float


class Reel:
    """A reel with these marks, at this temperature: what its wire may be, and would show."""

    def __init__(self, job: Job, cable: CableSheet, reading: ReelReading) -> None:
        self.job, self.cable, self.reading = job, cable, reading
        length = max(reading.length_m or 0.0, LEAST_METRES)
        off = BY_EYE["metres"].reach(length)
        self.length = Unknown(length, off / RECTANGULAR)
        self.celsius = self._temperature()
        self.planned = kinds.as_planned(cable)
        self.metal = kinds.wrong_metal(cable)
        self.others = tuple(
            wire for kind in (self.metal, THIN) for wire in kinds.wires_of(kind, cable)
        )
        rates = {self.metal: kinds.RATES[CLAD].value}
        rates |= {kind: kinds.RATES[kind].value for kind in (THIN, LONGER, OTHER)}
        self.rates = {self.planned.kind: 1 - sum(rates.values()), **rates}
        """how often each kind is met, before anything is measured"""

    def _temperature(self) -> Unknown:
        """That of the wire: as told, else as the site's air may be."""
        told, off = self.reading.celsius, AIR_OFF_K / RECTANGULAR
        if told is not None:
            return Unknown(told, off)
        air = moments(self.job.site.ambient_c)
        return Unknown(air.mean, sqrt(air.sd**2 + off**2))

    def reach(self, ohms: float) -> float:
        """Half-width of the meter's limits. [ohm]"""
        accuracy = self.job.accuracy(self.reading.meter, "loop_ohms")
        return accuracy.reach(ohms) if accuracy else 0.0

    def _alpha(self, wire: Wire) -> float:
        if wire.material == self.cable.material:
            return alpha_per_k(self.cable)
        return conductors.alpha20(wire.material)

    def loop(self, wire: Wire, times: float = 1.0) -> Unknown:
        """Loop ohms of a pair of this wire with its far end shorted, and what is open about them.

        ``times`` is how much more cable there is than the marks say.
        """
        per_km, alpha = moments(wire.ohms_per_km), self._alpha(wire)
        cold = 2 * per_km.mean / 1000 * self.length.mean * times
        ohms = cold * (1 + alpha * (self.celsius.mean - 20))
        shares = (
            per_km.sd / per_km.mean if per_km.mean else 0.0,
            self.length.sd / self.length.mean,
            cold * alpha * self.celsius.sd / ohms if ohms else 0.0,
        )
        contacts = METERS["plug-floor-ohms"].value / RECTANGULAR * sqrt(CONTACTS)
        return Unknown(ohms, sqrt(sum((ohms * one) ** 2 for one in shares) + contacts**2))

    def band(self, *wires: Wire) -> Range:
        """Where loop ohms of these wires lie, two deviations wide as every sleeve is. [ohm]"""
        loops = [self.loop(wire) for wire in wires]
        low = min(loop.mean - REACH * loop.sd for loop in loops)
        expected = sum(w.share * one.mean for w, one in zip(wires, loops, strict=True))
        return Range(max(low, 0.0), expected, max(one.mean + REACH * one.sd for one in loops))

    def z(self, wire: Wire, ohms: float) -> float:
        """How many deviations a reading lies from what a wire would show."""
        return (ohms - self.loop(wire).mean) / self._total(self.loop(wire), ohms)

    def _total(self, loop: Unknown, ohms: float) -> float:
        return sqrt(loop.sd**2 + (self.reach(ohms) / RECTANGULAR) ** 2)

    def word(self, ohms: float, likely: Mapping[str, float]) -> str:
        """The word on the sheet's wire: for one reading, as ``verdict`` has it for many.

        It is unclear too where another wire would show the same, or where the sheet's is far off
        and yet the likeliest: no reel is turned away that is probably sound.
        """
        off, top = abs(self.z(self.planned, ohms)), next(iter(likely))
        if off > z_out(1) and top != self.planned.kind:
            return OUTSIDE
        alike = any(abs(self.z(wire, ohms)) <= REACH for wire in self.others)
        doubtful = off > REACH or alike or likely[self.planned.kind] < SURE
        return UNCLEAR if doubtful else INSIDE

    # ------------------------------------------------------------ Bayes

    def likely(self, ohms: float | None) -> dict[str, float]:
        """How likely each kind is after what was measured, most likely first."""
        grams = self.reading.grams_per_m
        weights = {
            kind: rate
            * (1.0 if ohms is None else self._shown(kind, ohms))
            * (1.0 if grams is None else self._weighed(kind, ohms)(grams))
            for kind, rate in self.rates.items()
        }
        total = sum(weights.values())
        return {
            kind: weight / total
            for kind, weight in sorted(weights.items(), key=lambda row: (-row[1], row[0]))
        }

    def _wires(self, kind: str) -> tuple[Wire, ...]:
        if kind in (self.planned.kind, LONGER):
            return (self.planned,)
        return kinds.wires_of(kind, self.cable)

    def _shown(self, kind: str, ohms: float) -> float:
        """How readily a kind shows these ohms. [1/ohm]"""
        if kind == OTHER:
            middle, size = self.loop(self.planned).mean, kinds.SIZES[OTHER].band
            share = ohms / middle if middle else 0.0
            if not size.low < share < size.high:
                return 1e-6  # not even this is out of the question
            return 1 / (ohms * log(size.high / size.low))
        if kind == LONGER:
            return sum(
                share * _bell(ohms, loop.mean, self._total(loop, ohms))
                for share, loop in (
                    (share, self.loop(self.planned, times)) for times, share in _longer()
                )
            )
        return sum(self._one(wire, ohms) for wire in self._wires(kind))

    def _one(self, wire: Wire, ohms: float) -> float:
        loop = self.loop(wire)
        return wire.share * _bell(ohms, loop.mean, self._total(loop, ohms))

    def _weighed(self, kind: str, ohms: float | None) -> Callable[[float], float]:
        """How readily a metre of a kind weighs so much. [m/g]

        Of a kind with several wires those count that the ohms already speak for.
        """
        if kind == OTHER:
            return lambda grams: 1 / MOST_GRAMS
        wires = self._wires(kind)
        shares = [wire.share if ohms is None else self._one(wire, ohms) for wire in wires]
        total = sum(shares)
        if total <= 0:
            shares, total = [wire.share for wire in wires], 1.0
        plastic = moments(kinds.plastic_of(self.cable))
        heaps = []
        for share, wire in zip(shares, wires, strict=True):
            grams = wire.metal_g_per_m + plastic.mean
            off = sqrt(plastic.sd**2 + (grams * WEIGHED_WITHIN / RECTANGULAR) ** 2)
            heaps.append((share / total, grams, off))
        return lambda grams: sum(share * _bell(grams, mean, sd) for share, mean, sd in heaps)

    # ------------------------------------------------------------ what would settle it

    def settle(self, likely: Mapping[str, float]) -> tuple[Settle, ...]:
        """What would tell more, the most bits a minute first; nothing once one kind is sure."""
        if next(iter(likely.values())) >= SURE:
            return ()
        found = [
            Settle(ident, _two_ways(sum(likely.get(kind, 0.0) for kind in told)), minutes)
            for ident, told, minutes in SETTLES
        ]
        if self.reading.grams_per_m is None:
            found.append(Settle(WEIGH, self._bits_of_weight(likely), WEIGH_MINUTES))
        found = [one for one in found if one.bits >= LEAST_BITS]
        return tuple(sorted(found, key=lambda one: -one.bits / one.minutes))

    def _bits_of_weight(self, likely: Mapping[str, float]) -> float:
        """What the weight of a metre would tell of the kind, expected over all it may weigh."""
        ohms, step = self.reading.loop_ohms, MOST_GRAMS / GRAM_STEPS
        shapes = {kind: self._weighed(kind, ohms) for kind in likely}
        bits = 0.0
        for i in range(GRAM_STEPS):
            heights = {kind: shapes[kind]((i + 0.5) * step) for kind in likely}
            mean = sum(likely[kind] * height for kind, height in heights.items())
            bits += step * sum(
                likely[kind] * height * log2(height / mean)
                for kind, height in heights.items()
                if height > 0
            )
        return bits

    # ------------------------------------------------------------ a sheet of its own

    def per_km(self, ohms: float, material: str) -> Band:
        """One conductor at 20 °C as measured, all limits together. [ohm/km]"""
        if material == self.cable.material:
            alpha = alpha_per_k(self.cable)
        else:
            alpha = conductors.alpha20(material)
        warmth = 1 + alpha * (self.celsius.mean - 20)
        value = ohms / 2 / self.length.mean * 1000 / warmth
        off = REACH * sqrt(
            (self.length.sd / self.length.mean) ** 2
            + (alpha * self.celsius.sd / warmth) ** 2
            + (self.reach(ohms) / RECTANGULAR / ohms) ** 2
        )
        return Band(value * max(1 - off, 0.0), value, value * (1 + off))


def _bell(x: float, mean: float, sd: float) -> float:
    return exp(-(((x - mean) / sd) ** 2) / 2) / (sd * sqrt(2 * pi))


def _two_ways(chance: float) -> float:
    """What an answer yes or no is worth. [bits]"""
    return -sum(p * log2(p) for p in (chance, 1 - chance) if p > 0)


def _longer() -> list[tuple[float, float]]:
    """How much more cable there may be than marks that were misread say, each with its share."""
    size = kinds.SIZES[LONGER].band
    step = (size.high - size.low) / LONG_STEPS
    rows = []
    for i in range(LONG_STEPS):
        times = size.low + (i + 0.5) * step
        rising = (times - size.low) / (size.expected - size.low)
        falling = (size.high - times) / (size.high - size.expected)
        rows.append((times, max(min(rising, falling), 0.0)))
    total = sum(share for _, share in rows)
    return [(times, share / total) for times, share in rows]
