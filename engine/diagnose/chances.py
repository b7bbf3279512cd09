"""What is seen as a yes or no, or as a spread: lights, damaged frames, pairs that do not close.

Each gives the logarithm of how readily a guess shows what was noted; together with the fit of
the figures that is the evidence for it.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import exp, hypot, lgamma, log, sqrt

from engine.bands import PAIR_LAY
from engine.diagnose.scene import OPEN_OHMS, Scene
from engine.diagnose.trial import Trial
from engine.faults.bends import Bend
from engine.faults.sizes import CHANCES, CONTACT_OHMS, SIZES, UNEVEN, Light
from engine.links import Link
from engine.log import Reading
from engine.network import AS_PLANNED
from engine.unknowns import RECTANGULAR
from engine.verdict import LIMITED_KINDS

LEAST = 1e-12


def log_chance(trial: Trial) -> float:
    """How readily a guess shows all lights, frames and pairs, as a logarithm."""
    return sum(by for _, by in each_chance(trial))


def each_chance(trial: Trial) -> Iterator[tuple[Reading, float]]:
    """How readily a guess shows each of these readings, as a logarithm."""
    scene, bend = trial.scene, trial.bend
    for reading in scene.counted:
        link = scene.link_at(reading.at)
        if link is None:
            continue
        if reading.kind == "mbps":
            yield reading, log(max(_light(trial, link, reading), LEAST))
        else:
            yield reading, log(max(_frames(scene, bend, link, reading), LEAST))
    for reading in scene.readings:
        if reading.kind == "loop_ohms" and reading.pairs:
            yield reading, pairs_chance(scene, bend, reading)
        elif reading.kind in LIMITED_KINDS:
            yield reading, log(_most(scene, bend, reading))


SOUND = Light(CHANCES["light sound"].value, CHANCES["slower sound"].value)
UNKNOWN = Light(CHANCES["light other"].value, CHANCES["slower other"].value)
"""where something is wrong that no cause tells"""


def full_speed(trial: Trial, link: Link) -> float:
    """How likely it is that a link shows its full speed."""
    return light_of(trial, link).full


def light_of(trial: Trial, link: Link) -> Light:
    """What a link shows."""
    dark = Light(CHANCES["light dark"].value, 0.0)
    bend = trial.bend
    things = {str(link.start), str(link.end), *link.through}
    if things & bend.dark:
        return dark
    met = [by for thing, by in bend.lights.items() if thing in things]
    light = min(met, key=lambda one: one.full, default=SOUND)
    if not bend.wired_as_planned or _comes_and_goes(trial):
        now = trial.happening(AS_PLANNED)
        boxes = {link.start.box, link.end.box}
        if boxes & now.asleep:
            return dark
        if boxes & now.unsteady:
            full = min(light.full, CHANCES["light flapping"].value)
            return Light(full, CHANCES["slower flapping"].value)
    return Light(max(light.full, dark.full), light.slower)


def _comes_and_goes(trial: Trial) -> bool:
    """Whether some box cannot be held with the unknowns at their means."""
    bent = trial.bend.quantities or trial.bend.halved
    return bool(bent and trial.happening(AS_PLANNED).unsteady)


def _light(trial: Trial, link: Link, reading: Reading) -> float:
    """How readily these lights are seen; of slower ones each is as likely."""
    light = light_of(trial, link)
    if reading.figure >= link.expected_mbps:
        return light.full
    lower = [speed for speed in link.shared if speed < link.expected_mbps]
    if not lower:
        return 1 - light.full
    share = light.slower / len(lower) if reading.figure else 1 - light.slower
    return (1 - light.full) * share


def _frames(scene: Scene, bend: Bend, link: Link, reading: Reading) -> float:
    """How readily so many damaged frames are counted: too many, or not."""
    bad = bool(bend.frames & set(link.through))
    over = CHANCES["frames bad" if bad else "frames sound"].value
    return over if scene.over(reading) else 1 - over


def _most(scene: Scene, bend: Bend, reading: Reading) -> float:
    """How readily something that has a most is over it: wires of a pair, an earth."""
    bad = reading.at in (bend.earths if reading.kind == "earth_ohms" else _contacts(bend))
    over = CHANCES["over most bad" if bad else "over most sound"].value
    return over if scene.over(reading) else 1 - over


def _contacts(bend: Bend) -> frozenset[str]:
    return frozenset(span for span, cause in bend.uneven.items() if cause == "contact.high")


# ---------------------------------------------------------------- pairs of a span


def pairs_chance(scene: Scene, bend: Bend, reading: Reading) -> float:
    """How readily the pairs of a span close, and how they differ."""
    ohms = tuple((reading.pairs or {}).values())
    closed = [one for one in ohms if one < OPEN_OHMS]
    total = log(_open(bend.lost.get(reading.at), len(ohms), len(closed)))
    if len(closed) < 2:
        return total
    mean = sum(closed) / len(closed)
    spread = sqrt(sum((one - mean) ** 2 for one in closed) / (len(closed) - 1))
    lay = max(PAIR_LAY * mean, _digits(scene, reading))
    return total + log(_spread(bend.uneven.get(reading.at), spread, lay, len(closed)))


def _open(lost: str | None, count: int, closed: int) -> float:
    """How readily so many pairs of ``count`` close."""
    few, many = CHANCES["pair open sound"].value, CHANCES["pair open bad"].value
    if closed == count:
        return 1 - (many if lost else few)
    if closed == 0:
        return many if lost == "all" else few / 2
    return (1 - many) / 2 if lost == "all" else many if lost else few / 2


def _digits(scene: Scene, reading: Reading) -> float:
    accuracy = scene.job.accuracy(reading.meter, "loop_ohms")
    return max(accuracy.digits, 0.5) * accuracy.resolution / RECTANGULAR if accuracy else 0.0


def _spread(uneven: str | None, spread: float, lay: float, count: int) -> float:
    """How readily pairs show this standard deviation. [1/ohm]"""
    if uneven == "joint.high":
        # its loop ohms are those of all pairs side by side: in each pair so many times as many
        sizes = SIZES["joint.high"].band
        extras = [count * size for size in (sizes.low, sizes.expected, sizes.high)]
        widths = [hypot(lay, share * extra) for share in UNEVEN for extra in extras]
    elif uneven == "contact.high":
        # one of so many is high by the whole of it: deviation / sqrt(count)
        widths = [hypot(lay, ohms / sqrt(count)) for ohms in CONTACT_OHMS]
    else:
        widths = [lay]
    return max(sum(_chi(spread, width, count - 1) for width in widths) / len(widths), LEAST)


def _chi(spread: float, sd: float, freedom: int) -> float:
    """Density of a sample's deviation about ``sd`` (chi distribution, textbook). [1/ohm]"""
    x = max(spread / sd, 1e-6) * sqrt(freedom)
    power = (1 - freedom / 2) * log(2) + (freedom - 1) * log(x) - x * x / 2 - lgamma(freedom / 2)
    return exp(power) * sqrt(freedom) / sd
