"""How often this technician meets each cause: the table's rates, moved by what was found.

**The maths.** Of a job one asks: which cause is it, or none? A site of ``e_c`` places of each
cause has cause ``c`` beforehand with

    p_c = e_c o_c / (1 + sum e o),   p_none = 1 / (1 + sum e o),   o = rate / (1 - rate)

which is how a diagnosis weighs its guesses. Over these chances lies a Dirichlet distribution
with ``alpha_c = 50 p_c``: the table is worth 50 jobs, taken at the mean exposure of the jobs
that were counted. Each find is one draw, and each job on which nothing was found is a draw of
none; the distribution after ``k`` draws is Dirichlet again with ``alpha + k``, and its mean is

    m_c = (50 p_c + k_c) / (50 + K),   K the number of all draws, of none too.

A diagnosis takes odds a place with none at 1, so a cause gets those odds that give ``m`` at the
mean exposure, ``m_c / (m_none e_c)``. What does not depend on the others cancels:

    o'_c = (o_c + k_c / (50 p_none e_c)) / (1 + k_none / (50 p_none)),   rate' = o' / (1 + o')

With nothing counted that is the table, exactly. A rate stays below 1; jobs with nothing wrong
let all causes sink, by half after about 50 p_none of them; every find takes its share from all
causes that were not found. All of it depends on sums only, never on the order of jobs.

Source: conjugacy of the Dirichlet with draws by category, textbook (Gelman and others, Bayesian
Data Analysis, 3rd edition, section 3.4). That the table is worth 50 jobs is our choice.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from functools import cached_property

from attrs import define, field

from engine.faults import FAULTS, OTHER, SLIPS, places
from engine.faults.places import Ground
from engine.faults.sizes import RATES, Rates, rate

WORTH = 50.0
"""as many jobs as the table counts for (our choice)"""
FIRST = " first"
WEIGHED = tuple(name.removesuffix(FIRST) for name in RATES if name.endswith(FIRST))
"""every cause that has a rate"""


def exposure(ground: Ground, readings: int) -> dict[str, int]:
    """How many places a job has for each cause that is weighed; ``readings`` were taken on it."""
    counts = {row.id: len(row.places(ground)) for row in FAULTS.values()}
    counts |= dict.fromkeys(SLIPS, readings)
    counts["port.class"] = len(places.probing(ground))
    counts[OTHER] = 1
    return {cause: count for cause, count in counts.items() if count}


@define(frozen=True, slots=False)
class Tally:
    """What was found on so many jobs that were settled; tallies add up.

    ``jobs`` settled, ``clean`` of them with nothing found; ``found`` how often each cause;
    ``places`` how many places the jobs had for each cause, all together.
    """

    jobs: int = 0
    clean: int = 0
    found: Mapping[str, int] = field(factory=dict)
    places: Mapping[str, int] = field(factory=dict)

    @classmethod
    def of(cls, found: tuple[str, ...], places: Mapping[str, int]) -> Tally:
        """One job: what was found, a cause as often as it was there; nothing means clean.

        Where something was found there was a place for it, whatever the plan says.
        """
        counts = Counter(found)
        there = {name: max(places.get(name, 0), count) for name, count in counts.items()}
        return cls(1, 0 if found else 1, counts, {**places, **there})

    @classmethod
    def total(cls, tallies: Iterable[Tally]) -> Tally:
        """All of them together."""
        jobs = clean = 0
        found: dict[str, int] = {}
        places: dict[str, int] = {}
        for one in tallies:
            jobs, clean = jobs + one.jobs, clean + one.clean
            for sums, more in ((found, one.found), (places, one.places)):
                for cause, count in more.items():
                    sums[cause] = sums.get(cause, 0) + count
        return cls(jobs, clean, found, places)

    @cached_property
    def mean_places(self) -> Mapping[str, float]:
        """How many places of each cause a job had."""
        return {cause: count / self.jobs for cause, count in self.places.items()}


def rates(tally: Tally, *, first: bool = True) -> Rates:
    """The rates of whoever found this, on a ``first`` visit or on a return.

    Raises
    ------
    KeyError : from the result, for a cause that has no rate.
    """
    table = {cause: rate(cause, first=first) for cause in WEIGHED}
    if not tally.jobs:
        return table.__getitem__
    mean = tally.mean_places
    none = 1 / (1 + sum(mean.get(cause, 0.0) * _odds(often) for cause, often in table.items()))
    sunk = 1 + tally.clean / (WORTH * none)
    own = {}
    for cause, often in table.items():
        count = tally.found.get(cause, 0)
        odds = (_odds(often) + (count / (WORTH * none * mean[cause]) if count else 0.0)) / sunk
        own[cause] = odds / (1 + odds)
    return own.__getitem__


def _odds(often: float) -> float:
    return often / (1 - often)
