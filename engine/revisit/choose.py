"""The smallest set of looks that shows enough, for its minutes: greedy, then pruned.

What a set shows is the odds of all causes, each by the look that shows it most readily; so a
cause that two looks show is not counted twice (the sum of such maxima is submodular: one look
more never adds more to a larger set; Nemhauser, Wolsey and Fisher 1978, from memory). A look is
taken by what it adds for the minutes that it adds, walk and all, until the share wanted is seen
or nothing more is worth its minutes; then whatever is no longer needed goes, the dearest first.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from attrs import frozen

Set = tuple[int, ...]
ROUNDING = 1e-9


@frozen
class Wish:
    """What is wanted of a set.

    ``enough``: the share from 0 to 1 of all that the looks together would show. ``worth``: the
    least share of it that a look must add for a minute. [1/min]
    """

    enough: float
    worth: float


@frozen
class Choice:
    """Looks to choose from: ``shows`` is by look and cause how readily it shows that cause, from
    0 to 1; ``odds`` how likely each cause is beforehand; ``minutes`` what a set takes."""

    shows: Sequence[Sequence[float]]
    odds: Sequence[float]
    minutes: Callable[[Set], float]

    @property
    def all(self) -> Set:
        """Every look."""
        return tuple(range(len(self.shows)))

    def seen(self, chosen: Set) -> float:
        """The share of all that can be shown that this set shows, from 0 to 1."""
        most = self._odds(self.all)
        return self._odds(chosen) / most if most > 0 else 1.0

    def _odds(self, chosen: Set) -> float:
        rows = [self.shows[i] for i in chosen]
        return sum(
            odds * max((row[c] for row in rows), default=0.0) for c, odds in enumerate(self.odds)
        )


def chosen(choice: Choice, wish: Wish) -> Set:
    """The looks to take, in the order of their numbers."""
    return pruned(choice, grown(choice, wish))


def grown(choice: Choice, wish: Wish) -> Set:
    """One look after the other, the one that adds most for its minutes first."""
    taken: Set = ()
    while choice.seen(taken) < wish.enough - ROUNDING:
        best, most = None, wish.worth
        before, so_far = choice.minutes(taken), choice.seen(taken)
        for i in choice.all:
            if i in taken:
                continue
            adds = choice.seen((*taken, i)) - so_far
            rate = adds / max(choice.minutes((*taken, i)) - before, ROUNDING)
            if adds > ROUNDING and rate > most:
                best, most = i, rate
        if best is None:
            break
        taken = (*taken, best)
    return tuple(sorted(taken))


def pruned(choice: Choice, taken: Set) -> Set:
    """Without what the others show as well: nothing that is left can go without a loss.

    A loss is what adds less than a thousandth of all that can be shown.
    """
    least = choice.seen(taken) - 1e-3
    while True:
        spare = [
            (choice.minutes(rest), rest)
            for rest in (tuple(i for i in taken if i != gone) for gone in taken)
            if choice.seen(rest) >= least
        ]
        if not spare:
            return taken
        taken = min(spare)[1]
