"""The work as text: what to do at each stop in turn, with its reason and what to look out for."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from engine.cautions import called_for
from engine.judge import Judgement
from engine.layout import WIDTH, titled
from engine.phrases import english
from engine.route import Switching, Work
from engine.step import Step
from engine.worked import worked

BESIDE = " " * 10
"""what stands under a step begins below its first word"""
MARKS = {"done": "done", "open": "    ", "not-here": "n/a "}
WHO = {(1,): "first", (2,): "second", (1, 2): "both of you"}
HARD = "\xa0"
"""a space at which no line is broken"""


def steps_text(judgement: Judgement, people: int) -> str:
    """The steps in the order to be done, by stop. A reason that was given is not given again."""
    return _Told(judgement, worked(judgement, people)).text()


class _Told:
    """What was told already, while going down the list."""

    def __init__(self, judgement: Judgement, work: Work) -> None:
        self.judgement, self.work = judgement, work
        self.job = judgement.state.job
        self.reasons: set[str] = set()
        self.cautions: set[tuple[str, str]] = set()
        self.turns: dict[str | None, list[Switching]] = {}
        for turn in work.switchings:
            self.turns.setdefault(turn.before, []).append(turn)

    def text(self) -> str:
        """All of it."""
        lines = [titled(self.job), *_filled(self._sum(), "")]
        here = None
        for number, step in enumerate(self.work.steps, start=1):
            if step.stop != here:
                here = step.stop
                stop = self.job.stops[here]
                lines += ["", *_filled(f"{stop.name}, {stop.at_m:.0f} m", "")]
            lines += self._step(number, step)
        lines += self._switched(None)
        return "\n".join(lines) + "\n"

    def _sum(self) -> str:
        steps, work = self.work.steps, self.work
        done = sum(step.state == "done" for step in steps)
        left = f"{_hours(work.minutes_left)} left" if done else _hours(work.minutes)
        crew = "one person" if work.people == 1 else "two people"
        return (
            f"{done} of {len(steps)} done; about {left}, {work.walk_m + work.besides_m:.0f} m "
            f"to walk in all, for {crew}."
        )

    def _step(self, number: int, step: Step) -> Iterator[str]:
        words = english(step.say)
        lead = f"{number:3} {MARKS[step.state]} ".ljust(len(BESIDE))
        if step.state != "open":
            yield from _filled(words.text, lead)
            return
        yield from self._switched(step.id)
        yield from self._before(step)
        yield from _filled(f"{words.text} [{self._needs(step)}]", lead)
        if words.why not in self.reasons:
            self.reasons.add(words.why)
            yield from _filled(words.why, BESIDE)
        if step.reopened_by:
            yield from _filled(f"Open again: {step.reopened_by} was undone.", BESIDE)

    def _before(self, step: Step) -> Iterator[str]:
        """Cautions, each once a stop."""
        own = english(step.say).caution
        said = [english(one).text for one in called_for(self.judgement.state, step)]
        for text in (*said, own) if own else said:
            if (step.stop, text) not in self.cautions:
                self.cautions.add((step.stop, text))
                yield from _filled(text, f"{BESIDE}! ")

    def _switched(self, before: str | None) -> Iterator[str]:
        for turn in self.turns.get(before, ()):
            state = "on" if turn.on else "off"
            where = self.job.stops[turn.stop].name
            yield from _filled(f"Switch {turn.feed} at {where} {state} first.", f"{BESIDE}! ")

    def _needs(self, step: Step) -> str:
        """Minutes, dead or live, and what to have at hand."""
        parts = [f"{step.minutes:.0f} min"]
        if self.work.people > 1:
            parts.append(WHO.get(tuple(sorted(self.work.shifts[step.id].who)), ""))
        parts += [] if step.power == "any" else [step.power]
        parts += ["both ends"] if step.both_ends else []
        return ", ".join(part for part in (*parts, *step.needs) if part).replace(" ", HARD)


def _hours(minutes: float) -> str:
    hours, rest = divmod(round(minutes), 60)
    return f"{hours} h {rest:02} min" if hours else f"{rest} min"


def _filled(text: str, lead: str) -> list[str]:
    """A sentence within the columns, the next lines hanging under its first word."""
    hang = " " * len(lead)
    lines = textwrap.wrap(
        text, WIDTH, initial_indent=lead, subsequent_indent=hang, break_on_hyphens=False
    )
    return [line.replace(HARD, " ") for line in lines]
