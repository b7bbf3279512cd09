"""From an account to what the page of a fault shows: which cause, which others, which test. Pure."""

from __future__ import annotations

from dataclasses import dataclass, replace

from engine.diagnose.account import AGAINST, Account, Fault
from engine.diagnose.asking import BACK, HERE, Test
from engine.diagnose.candidates import REMAKE
from engine.diagnose.nexttest import SURE, Foretold
from engine.entries import POINT_KINDS
from engine.faults import NONE, OTHER, PAIR
from engine.job import Job, Point
from engine.judge import Judgement
from engine.logged import Reading
from engine.network import Standing
from engine.stays import came_back
from engine.walks import between
from fieldapp import words
from fieldapp.drafts import reading_of
from fieldapp.drawing.gauge import Sleeve
from fieldapp.finding import SUSPECT, account_of, told_apart
from fieldapp.model import Model
from fieldapp.routes import ALONE, Place, route_of

LEAST_ROW = 0.05
"""a cause less likely than this has no row of its own (screens: under 1 in 20)"""
ALIKE = 0.1
"""share of its odds by which a cause at another place may differ and still be as likely"""
LEAST_SEEN = 0.01
"""less than this that is left over is not told at all"""
TEN = 10
MOST_ROWS = 4
MOST_SLEEVES = 3
"""sleeves on one gauge; more cannot be read"""
APART = 2.0
"""deviations from the middle of a sleeve to its ends (screens: sleeve = prediction ± 2 s)"""
READING = "reading."

AGREES, MISFIT, SETTLED, PARTED, STUCK = "agrees", "misfit", "settled", "parted", "stuck"
"""what an account comes to: nothing wrong; no cause fits; one is sure; a test parts them; none does"""


def state_of(account: Account) -> str:
    """Which page is shown."""
    best = account.best
    unknown = best.cause == OTHER and reading_of_test(account) is None
    if not account.fits or unknown:
        return MISFIT
    if best.cause == NONE and best.probability >= SUSPECT:
        return AGREES
    if best.probability >= SURE:
        return SETTLED
    return STUCK if reading_of_test(account) is None else PARTED


def reading_of_test(account: Account) -> Test | None:
    """The next test, if something is read for it; a new plug is a mending, not a reading."""
    test = account.next_test
    return None if test is not None and test.kind == REMAKE else test


def shown(model: Model, account: Account) -> Fault:
    """The cause that stands on top: the one picked, else the likeliest; that nothing is wrong
    stands there only where that is likely."""
    return shown_of(account, (model.place.kind, model.place.at))


def shown_of(account: Account, asked: tuple[str, str]) -> Fault:
    """The same for a cause and a place."""
    for one in account.faults:
        if told_apart(one) == asked:
            return one
    if state_of(account) == AGREES:
        return account.best
    return next((one for one in account.faults if one.cause != NONE), account.best)


def alike(account: Account, fault: Fault) -> tuple[Fault, ...]:
    """The same cause at other places, as likely: readings cannot tell them apart. Two at once are
    at two places, and have a row each."""
    return tuple(
        one
        for one in account.faults
        if one.cause == fault.cause != PAIR
        and one is not fault
        and abs(one.probability - fault.probability) < ALIKE * fault.probability
    )


def tenths(probability: float) -> int:
    """So many of ten conductor ends are filled: as many as the odds say in words."""
    return max(round(TEN * probability), 1) if probability >= LEAST_ROW else 0


@dataclass(frozen=True)
class Others:
    """The causes below the one on top, and all the rest in one."""

    rows: tuple[Fault, ...]
    rest: float
    """what is left of 1"""
    named: tuple[str, ...]
    """causes among the rest, the likeliest first"""


def others(account: Account, on_top: Fault) -> Others:
    """The likeliest other causes; what is unknown is always among the rest. Those that are told
    with the one on top, for they are as likely, have no row."""
    told = (on_top, *alike(account, on_top))
    below = [one for one in account.faults if one not in told]
    rows = tuple(one for one in below if one.probability >= LEAST_ROW and one.cause != OTHER)
    rows = rows[:MOST_ROWS]
    left = [one for one in below if one not in rows]
    return Others(
        rows, sum(one.probability for one in left), tuple(one.cause for one in left[:MOST_ROWS])
    )


def tag_of(job: Job, judgement: Judgement, where: str) -> str:
    """What stands in the tag of a cause: its box, span or point; of a slip where it was read."""
    reading = reading_of(judgement.state, where)
    at = reading.at if reading is not None else where
    return words.spot(at) if at else "…"


def tags_of(job: Job, judgement: Judgement, fault: Fault) -> str:
    """The same of a fault; of two at once that of each."""
    places = [place for _, place in fault.parts] or [fault.where]
    return ", ".join(dict.fromkeys(tag_of(job, judgement, place) for place in places))


def where_of(judgement: Judgement, fault: Fault) -> str:
    """The place of a cause in words: its stops, or which reading it is of."""
    job, where = judgement.state.job, fault.where
    if fault.parts:
        return words.also(tuple(words.cause_at(*part) for part in fault.parts))
    if where in job.spans:
        ends = (job.spans[where].a, job.spans[where].b)
        stops = dict.fromkeys(job.stops[job.boxes[end.box].stop].name for end in ends)
        return words.along(tuple(stops))
    reading = reading_of(judgement.state, where)
    if reading is not None:
        return words.of_reading(reading.at, reading.kind)
    box = job.boxes.get(where) or job.boxes.get(Point.parse(where).box)
    return words.at_stop(job.stops[box.stop].name) if box is not None else ""


def find_more(model: Model) -> str:
    """Under a slab that leads to the page: how many causes fit, and whether a test parts them."""
    account = account_of(model)
    if account is None:
        return words.still_weighing()
    likely = [one for one in account.faults if one.probability >= LEAST_ROW]
    likely = [one for one in likely if one.cause not in (NONE, OTHER)]
    if not account.fits:
        return words.none_fits()
    if not likely:
        return words.none_stands_out()
    test = reading_of_test(account)
    sure = state_of(account) == SETTLED
    return words.find_more(len(likely), test is not None and len(test.parts) > 1, sure)


def suspect_of(model: Model, reading: str) -> str:
    """What a reading that is outside points to, for its hold; nothing while that is unclear."""
    account = account_of(model)
    if account is None or not account.fits:
        return ""
    best = account.best
    speaks = {one.reading: one.speaks for one in best.because}
    if best.cause in (NONE, OTHER) or speaks.get(reading) == AGAINST:
        return ""
    if best.parts:
        what = words.also(tuple(words.cause_at(*part) for part in best.parts))
    else:
        tag = tag_of(model.open_job.judgement.state.job, model.open_job.judgement, best.where)
        what = words.cause_at(best.cause, tag)
    return words.suspect_line(what, best.probability)


# ---------------------------------------------------------------- the next test


def load_of(standing: Standing) -> str:
    """What the pad is to have in place of a box, as its route says it."""
    if standing.beyond is not None:
        return ALONE
    for box, watts in standing.known.items():
        return f"{box}:{watts:g}"
    return "".join(f"{box}:0" for box in sorted(standing.off)[:1])


def route_to(model: Model, test: Test) -> str:
    """Where a test is taken: on the pad; one that wants more first, where that is seen to."""
    if test.dead:
        place = Place("test", model.open_job.id, at=test.at, kind=test.kind)
        return route_of(replace(place, load=load_of(test.standing)))
    first = _repeated(model, test)
    if first is not None and _amps_first(model, test, first):
        place = Place("read", model.open_job.id, at=test.at, kind="milliamps", beside=first.id)
    else:
        again = first.id if first is not None else ""
        place = Place("read", model.open_job.id, at=test.at, kind=test.kind, again=again)
    return route_of(replace(place, load=load_of(test.standing)))


def _repeated(model: Model, test: Test) -> Reading | None:
    """The reading that a test asks for once more: it stays beside the new one, or a test would
    tell no more however often it is taken."""
    return next(iter(_alike(model, test, test.kind)), None)


def _amps_first(model: Model, test: Test, first: Reading) -> bool:
    """Whether a test of volts that stand there already wants the amps of that moment: they are
    read in one go, and tell the load from the cable."""
    if test.kind != "volts" or test.way != HERE:
        return False
    return not any(one.moment == first.moment for one in _alike(model, test, "milliamps"))


def _alike(model: Model, test: Test, kind: str) -> list[Reading]:
    """Current readings of the present stay where a test is taken, of a kind, with the same things
    standing there."""
    judgement = model.open_job.judgement
    back = came_back(judgement.state)
    began = back.place if back is not None else -1
    return [
        one
        for one in (verdict.reading for verdict in judgement.verdicts if verdict.current)
        if one.place > began
        and (one.at, one.kind) == (test.at, kind)
        and one.standing.key == test.standing.key
        and kind in POINT_KINDS
    ]


def slab_words(model: Model, test: Test) -> tuple[str, str]:
    """What the slab of a test says, and the line under it."""
    job = model.open_job.judgement.state.job
    more = [words.with_stand_in(*one) for one in stands_in(test.standing)]
    if test.dead:
        more.append(words.first_off())
    first = _repeated(model, test)
    if not test.dead and first is not None:
        if _amps_first(model, test, first):
            return words.measure_at(test.at, "milliamps"), words.amps_why()
        more.append(words.both_used())
    if test.way == HERE:
        return words.measure_at(test.at, test.kind), ", ".join(more)
    metres = between(job, test.here, test.stop)
    title = words.walk_to(box_at(job, test), metres, test.way == BACK)
    return title, ", ".join([words.then_measure(test.kind, test.at), *more])


def stands_in(standing: Standing) -> tuple[tuple[str, float], ...]:
    """Boxes that something stands in for during a test, with its watts; none: unplugged."""
    off = ((box, 0.0) for box in sorted(standing.off))
    return (*standing.known.items(), *off)


def box_at(job: Job, test: Test) -> str:
    """The box that a test is walked to."""
    span = job.spans.get(test.at)
    if span is None:
        return Point.parse(test.at).box
    ends = [end.box for end in (span.a, span.b) if job.boxes[end.box].stop == test.stop]
    return (ends or [span.a.box])[0]


@dataclass(frozen=True)
class Told:
    """What a test would show under causes that foretell the same: their names, and what."""

    name: str
    low: float
    high: float
    text: str

    @property
    def sleeve(self) -> Sleeve:
        """As it is drawn."""
        return Sleeve(self.low, self.high, self.name, self.text)


def foretold(judgement: Judgement, account: Account, on_top: Fault) -> tuple[Told, ...]:
    """What the next test would show, the cause on top first; what is unknown foretells nothing."""
    test = account.next_test
    if test is None:
        return ()
    odds = {(one.cause, one.where): one.probability for one in account.faults}
    top = (on_top.cause, on_top.where)
    likely = [
        one
        for one in test.foretold
        if one.cause != OTHER and odds.get((one.cause, one.where), 0.0) >= LEAST_ROW
    ]
    likely.sort(key=lambda one: (one.cause, one.where) != top)
    alike: dict[tuple[float, float, str], list[Foretold]] = {}
    for one in likely:
        alike.setdefault(_ends(one, test.kind), []).append(one)
    tags = [tag_of(judgement.state.job, judgement, one.where) for one in likely]
    return tuple(
        Told(_name(judgement, group, tags), *ends)
        for ends, group in list(alike.items())[:MOST_SLEEVES]
    )


def _ends(one: Foretold, kind: str) -> tuple[float, float, str]:
    """The ends of a sleeve, and what is written under it; of a light how likely it is."""
    if kind == "mbps":
        return one.mean, one.mean, words.light_foretold(one.mean)
    low, high = max(one.mean - APART * one.sd, 0.0), one.mean + APART * one.sd
    return round(low, 3), round(high, 3), words.range_of(low, high, kind)


def _name(judgement: Judgement, group: list[Foretold], tags: list[str]) -> str:
    """By the place; where two causes share it, by the cause."""
    names = []
    for one in group:
        tag = tag_of(judgement.state.job, judgement, one.where)
        names.append(tag if one.where and tags.count(tag) == 1 else words.cause_name(one.cause))
    named = list(dict.fromkeys(names))
    return named[0] if len(named) == 1 else words.and_more(named[0], len(named) - 1)


# ---------------------------------------------------------------- measuring again


def again_route(model: Model, ident: str) -> str:
    """The pad for a reading once more; both are then used."""
    reading = reading_of(model.open_job.judgement.state, ident)
    if reading is None:
        return route_of(Place("now", model.open_job.id))
    again = ident if reading.kind in POINT_KINDS else ""
    return route_of(Place("read", model.open_job.id, reading.at, reading.kind, again=again))


def misread(fault: Fault) -> bool:
    """Whether a figure is wrong, and not the site: nothing is to be mended then."""
    return fault.cause.startswith(READING)


def read_again(account: Account, fault: Fault) -> str:
    """The reading to take once more for a slip: its own, else the one that speaks for it most."""
    ids = {one.reading for one in fault.because}
    if fault.where in ids:
        return fault.where
    telling = [one.reading for one in fault.because if one.speaks == "for"]
    return (telling or [account.doubtful or ""])[0]
