"""Which drawing belongs to a step: from the plan to pictures. Pure; a table by kind of step."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf

from engine.design_band import band_for
from engine.job import Box, Job, Point, Span
from engine.network import AS_PLANNED, Standing
from engine.say import Say
from engine.step import Step
from engine.study import Range
from fieldapp import words
from fieldapp.drawing.fit import (
    bond_drawing,
    fit_drawing,
    port_drawing,
    reading_drawing,
    speeds_drawing,
    turned_drawing,
    walk_drawing,
)
from fieldapp.drawing.letters import legible
from fieldapp.drawing.shapes import Picture
from fieldapp.meters import offered, with_own
from fieldapp.model import Model
from fieldapp.runline import outline, paths, port_towards, run_line, sides

LARGEST = 1.6
"""how far letters on a canvas grow"""

Drawing = tuple[Picture, str]
"""a picture, and what it says aloud"""


def drawing_of(
    model: Model, step: Step, width: float, height: float, letters: float = 1.0
) -> Drawing | None:
    """The drawing of a step, or None where words say it all; its words grow with ``letters``."""
    kind = step.id.partition(".")[0]
    draw = DRAWINGS.get(kind)
    drawn = draw(model, step, width, height) if draw else None
    return (legible(drawn[0], min(letters, LARGEST)), drawn[1]) if drawn else None


def turned_of(model: Model, step: Step) -> Picture | None:
    """The small drawing of the wrong way round, for boxes that have one."""
    if step.id.partition(".")[0] != "fit" or step.box is None:
        return None
    job = model.open_job.judgement.state.job
    kind = job.boxes[step.box].kind
    before, after = _neighbours(model, step.box)
    way = sides(job, step.box, before, after)
    return turned_drawing(kind, way) if way[0] != way[1] else None


def _neighbours(model: Model, box: str) -> tuple[str | None, str | None]:
    """The boxes on both sides, the source's side first."""
    judgement = model.open_job.judgement
    ways = paths(judgement.prediction)
    chains = [ways.main, *((start, *names) for start, names in ways.branches)]
    for chain in chains:
        if box in chain[1:] or (box in chain and chain is ways.main):
            i = chain.index(box)
            return (
                chain[i - 1] if i else None,
                chain[i + 1] if i + 1 < len(chain) else None,
            )
    return None, None


def _arrival(job: Job, box: str, other: str | None) -> tuple[tuple[str, str], str, str]:
    """What comes to one side: (place, form), the print on the cable, the neighbour's outline."""
    port = port_towards(job, box, other)
    if port is None:
        return ("", ""), "", ""
    span: Span = job.plugged[Point(box, port)]
    far = span.far(Point(box, port))
    other_box = job.boxes[far.box]
    if other_box.stop != job.boxes[box].stop:
        name = words.stop_beside(job.stops[other_box.stop].name)
        return (name, "cable"), words.metres(span.length_m.expected), ""
    return (far.box, "lead"), "", outline(other_box, far.port)


def _its_box(model: Model, step: Step) -> Box:
    """The box of a step that is done at one."""
    assert step.box is not None
    return model.open_job.judgement.state.job.boxes[step.box]


def _fit(model: Model, step: Step, width: float, height: float) -> Drawing:
    job = model.open_job.judgement.state.job
    box = _its_box(model, step)
    before, after = _neighbours(model, box.id)
    left, left_print, left_neighbour = _arrival(job, box.id, before)
    right, right_print, right_neighbour = _arrival(job, box.id, after)
    ports = (port_towards(job, box.id, before), port_towards(job, box.id, after))
    left_name, right_name = (words.port_name(port) if port else "" for port in ports)
    way = sides(job, box.id, before, after)
    telling = step.say.parts["ports"][0][0] if step.say.parts.get("ports") else ""
    picture = fit_drawing(
        box.kind,
        way,
        (left_name, right_name),
        left,
        right,
        width,
        height,
        emphasis="right" if ports[1] == telling else "left",
        prints=(left_print, right_print),
        neighbour=(left_neighbour, right_neighbour),
        bonded=box.bond is not None,
    )
    said = tuple((port, place[0]) for port, place in zip(ports, (left, right), strict=True) if port)
    return picture, words.speak_box(box.id, box.kind, said, wrong=False)


def _box(model: Model, step: Step, width: float, height: float) -> Drawing | None:
    """A box drawn large, with nothing said about its ports."""
    job = model.open_job.judgement.state.job
    box = _its_box(model, step)
    before, after = _neighbours(model, box.id)
    way = sides(job, box.id, before, after)
    left, left_print, _ = _arrival(job, box.id, before)
    picture = fit_drawing(
        box.kind,
        way,
        ("", ""),
        left,
        ("", ""),
        width,
        height,
        prints=(left_print, ""),
    )
    return picture, words.speak_step(words.step(step.say).short)


def _bond(model: Model, step: Step, width: float, height: float) -> Drawing:
    job = model.open_job.judgement.state.job
    box = _its_box(model, step)
    before, after = _neighbours(model, box.id)
    way = sides(job, box.id, before, after)
    lead = words.lead(box.bond.lead_m if box.bond else None)
    bar_name = box.bond.to if box.bond else ""
    picture = bond_drawing(way, lead, bar_name, width, height + 30)
    return picture, words.speak_step(words.step(step.say).short)


def _port(lit: bool) -> Callable[[Model, Step, float, float], Drawing]:
    def draw(model: Model, step: Step, width: float, height: float) -> Drawing:
        job = model.open_job.judgement.state.job
        box = _its_box(model, step)
        _, after = _neighbours(model, box.id)
        right, _, _ = _arrival(job, box.id, after)
        volts = box.sheet.volts
        said = words.with_unit(volts.expected) if lit and volts is not None else ""
        picture = port_drawing(box.id, said, right, width, height, lit=lit)
        return picture, words.speak_step(words.step(step.say).short)

    return draw


def _speeds(model: Model, step: Step, width: float, height: float) -> Drawing:
    parts = step.say.parts
    shared = [one for one in parts["start_mbps"] if one in parts["end_mbps"]]
    names = [parts[key].rpartition(".")[0] for key in ("start", "end")]
    rows = [tuple(str(one) for one in parts[key]) for key in ("start_mbps", "end_mbps")]
    picture = speeds_drawing(
        (names[0], rows[0]),
        (names[1], rows[1]),
        str(max(shared)) if shared else "",
        width,
        height,
        token="ink" if shared else "signal",
    )
    return picture, words.speak_step(words.step(step.say).short)


@dataclass(frozen=True)
class Bands:
    """What a reading would be held against: today's band, the plan's, or why there is neither."""

    today: Range | None = None
    design: Range | None = None
    why: Say | None = None

    @property
    def shown(self) -> Range | None:
        """The narrower one, which the sleeve shows."""
        return self.today or self.design

    @property
    def behind(self) -> tuple[float, float] | None:
        """The design band as the wash behind today's sleeve; an end that nothing holds is far off."""
        return ends(self.design) if self.today and self.design else None


def bands_of(
    model: Model,
    at: str,
    kind: str,
    standing: Standing = AS_PLANNED,
    meter: str = "",
    moment: str = "",
) -> Bands:
    """The bands of a reading still to be taken. Where nothing is planned, nothing is judged."""
    judgement = model.open_job.judgement
    design = band_for(judgement.state, judgement.prediction, at, kind, standing)
    if isinstance(design, Say):
        return Bands(why=design)
    before = judgement.judged.before(at, kind)
    if meter in offered(model, model.open_job):
        before = before.metered(with_own(model, model.open_job))
    today = before.band(at, kind, standing, meter or None, moment)
    return Bands(today if isinstance(today, Range) and sleeve(today) else None, design)


def ends(band: Range) -> tuple[float, float]:
    """Both ends of a band."""
    return (
        -inf if band.low is None else band.low,
        inf if band.high is None else band.high,
    )


def sleeve(band: Range | Say | None) -> tuple[float, float, float] | None:
    """A band as the gauge takes it: only one with both ends is a sleeve."""
    if not isinstance(band, Range) or band.low is None or band.high is None:
        return None
    middle = band.expected if band.expected is not None else (band.low + band.high) / 2
    return band.low, middle, band.high


def _reading(model: Model, step: Step, width: float, height: float) -> Drawing | None:
    asks = step.asks
    if asks is None:
        return None
    kind = asks.kind
    bands = bands_of(model, asks.at, kind)
    band = sleeve(bands.shown)
    if band is None or kind == "mbps":
        return None
    was = step.say.parts.get("was")
    picture = reading_drawing(
        band,
        bands.behind,
        words.unit_of(kind),
        width,
        120,
        lambda value: words.figure(value, kind),
        earlier=was,
        scale=words.scale_of(kind),
    )
    today = bands.today is not None
    speech = words.speak_gauge(None, 0, band[0], band[2], kind, "", today=today)
    if was is not None:
        speech = words.one_after_the_other(speech, words.speak_earlier(was, kind))
    return picture, speech


def _walk(model: Model, step: Step, width: float, height: float) -> Drawing | None:
    judgement = model.open_job.judgement
    job = judgement.state.job
    line = run_line(judgement, step.stop)
    span = job.spans[step.span] if step.span is not None else None
    if span is not None:
        ends = [job.boxes[end.box].stop for end in (span.a, span.b)]
        start = next((stop for stop in ends if stop != step.stop), step.stop)
    else:
        start = line.stops[-1].id if line.stops else step.stop
    if start == step.stop:
        return None
    # of a span what is pulled, which is more than the way between its stops
    apart = abs(job.stops[start].at_m - job.stops[step.stop].at_m)
    metres = span.length_m.expected if span is not None else apart
    picture = walk_drawing(
        line, (start, step.stop), words.metres(metres), width, height, wording=words.WORDING
    )
    return picture, words.speak_step(words.step(step.say).short)


def _route(model: Model, step: Step, width: float, height: float) -> Drawing | None:
    """The way out along the whole run, to its far end."""
    job = model.open_job.judgement.state.job
    line = run_line(model.open_job.judgement, step.stop)
    far = max(line.stops, key=lambda one: job.stops[one.id].at_m, default=None)
    if far is None or far.id == step.stop:
        return None
    metres = words.metres(abs(job.stops[far.id].at_m - job.stops[step.stop].at_m))
    out = (step.stop, far.id)
    picture = walk_drawing(line, out, metres, width, height, wording=words.WORDING)
    return picture, words.speak_step(words.step(step.say).short)


def _photo(model: Model, step: Step, width: float, height: float) -> Drawing | None:
    """What is photographed, as it should look."""
    draw = _bond if step.say.code == "step-photo-bond" else _fit
    return draw(model, step, width, height) if step.box is not None else None


DRAWINGS: dict[str, Callable[[Model, Step, float, float], Drawing | None]] = {
    "fit": _fit,
    "sheet": _box,
    "mount": _box,
    "full": _box,
    "bond": _bond,
    "photo": _photo,
    "feed": _port(lit=True),
    "energise": _port(lit=True),
    "off": _port(lit=False),
    "cold": _port(lit=False),
    "speeds": _speeds,
    "volts": _reading,
    "again": _reading,
    "link": _reading,
    "pairs": _reading,
    "earth": _reading,
    "walk": _route,
    "pull": _walk,
    "terminate": _walk,
    "look": _walk,
}
