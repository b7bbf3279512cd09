"""How two readings of one site differ that was not altered between them.

What is the site's own moves both alike and cancels through the same slopes; what is drawn anew
does not.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot, sqrt

from attrs import field, frozen

from engine.bands import JUDGED_TODAY, PAIR_LAY, Today
from engine.figures import Asked, Figure
from engine.knowing import Known
from engine.say import Say
from engine.standards import Sourced, table
from engine.unknowns import PLUG_OHMS, RECTANGULAR, Key, scoped
from engine.verdict import LIMITED_KINDS

SWINGS = table(
    Sourced(
        "earth-season",
        30,
        "%",
        "our estimate: ground that is wet, dry or frozen, either way of its middle",
        "from memory",
        "most",
    ),
)


@frozen
class Difference:
    """How far apart two readings should lie on an unchanged run, and how that scatters.

    ``row`` is by how much it moves for one deviation of each unknown that they do not share;
    ``noise`` the deviation of what is the two readings' own.
    """

    expected: float
    row: Mapping[Key, float]
    noise: float
    per_ohm: float | None = None


@frozen
class Unchanged:
    """A site that stays as it is between two visits: how readings of it differ.

    Slopes are taken where all readings so far put what is the site's own; what is drawn anew
    stands at its mean.
    """

    today: Today
    values: Mapping[Key, float] = field(init=False)

    @values.default
    def _values(self) -> dict[Key, float]:
        columns, mean = self.today.columns, self.today.known.mean
        out = dict(columns.figures.site.means)
        for key, place in columns.place.items():
            if key in columns.unsure:
                out[key] += columns.unsure[key].sd * mean[place]
        return out

    def shown(self, asked: Asked, meter: Key) -> tuple[Figure, dict[Key, float]] | None:
        """What a reading shows there, and how it moves with each unknown, its meter's by name."""
        columns = self.today.columns
        if asked.kind in JUDGED_TODAY:
            figure = columns.figures.at(self.values, asked)
        else:
            figure = Figure(0.0, {})
        if isinstance(figure, Say):
            return None
        row: dict[Key, float] = {}
        for key, by in figure.slope.items():
            if key in columns.unsure:
                full = scoped(key, asked.visit, asked.moment)
                row[full] = row.get(full, 0.0) + by * columns.unsure[key].sd
        _, gain = columns.gain(asked)
        if gain.sd:
            row[meter] = figure.value * gain.sd
        return figure, row

    def between(
        self, before: Asked, now: Asked, *, same_meter: bool, about: float = 0.0
    ) -> Difference | None:
        """The difference now - before; None where nothing steady is to be seen.

        ``about`` is what kinds show that do not follow from the plan: an earth, an unbalance.
        """
        names = [meter_key(now), meter_key(now) if same_meter else meter_key(before, "before")]
        seen, then = self.shown(now, names[0]), self.shown(before, names[1])
        if seen is None or then is None:
            return None
        (new, row), (old, less) = seen, then
        row = dict(row)
        for key, by in less.items():
            row[key] = row.get(key, 0.0) - by
        noise = hypot(self.noise(before, old, about), self.noise(now, new, about))
        if now.kind in LIMITED_KINDS and not same_meter:
            gains = [self.today.columns.gain(one)[1].sd * about for one in (before, now)]
            noise = hypot(noise, *gains)
        return Difference(new.value - old.value, row, noise, new.per_ohm)

    def noise(self, asked: Asked, figure: Figure, about: float) -> float:
        """Deviation of what is one reading's own, contacts that are made anew for it too."""
        limits = [self.today.columns.noise(asked)]
        if asked.kind in ("loop_ohms", "unbalance_ohms"):
            # two conductors of one plug; how it sits the next time nobody knows
            limits.append(2 * PLUG_OHMS / RECTANGULAR)
        if asked.one_pair:  # which pair it was is not said
            limits.append(PAIR_LAY * figure.value)
        if asked.kind == "earth_ohms":
            limits.append(SWINGS["earth-season"].value / 100 * about / RECTANGULAR)
        return hypot(*limits)


def meter_key(asked: Asked, when: str = "now") -> Key:
    return ("gain", asked.meter or "", asked.kind, when)


class Learned:
    """What differences tell of the unknowns that two readings do not share, by their names."""

    def __init__(self) -> None:
        self.place: dict[Key, int] = {}
        self.known = Known.nothing(0)

    def row(self, slopes: Mapping[Key, float]) -> list[float]:
        """A row of all names so far, with those of these slopes among them."""
        for key in slopes:
            self.place.setdefault(key, len(self.place))
        self.known = self.known.wider(len(self.place))
        out = [0.0] * len(self.place)
        for key, by in slopes.items():
            out[self.place[key]] = by
        return out

    def foretell(self, one: Difference) -> tuple[float, float]:
        """What the difference should be by what was learned, and its deviation."""
        row = self.row(one.row)
        mean = sum(by * m for by, m in zip(row, self.known.mean, strict=True))
        return one.expected + mean, sqrt(self.known.variance(row) + one.noise**2)

    def learn(self, one: Difference, value: float) -> None:
        """A difference that was seen."""
        expected, _ = self.foretell(one)
        self.known = self.known.told(self.row(one.row), value - expected, one.noise)
