"""Practice on made-up sites: the list of them, the meter, the clock, and how it went."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fieldapp.words.english.figures import (
    NBSP,
    capital,
    count,
    figure,
    metres,
    point,
    typed_with_unit,
)
from fieldapp.words.english.finding import cause_at
from fieldapp.words.english.pictures import minutes

_OPEN_OHMS = 1e6
"""from here on a loop does not close"""
NO_CAUSE = "none"

# ---------------------------------------------------------------- where one begins


def practise() -> str:
    """The way to the made-up sites."""
    return "Try a made-up run"


def practice_title() -> str:
    return "Which made-up site?"


def making_up() -> str:
    """While a site is drawn: it is measured once over, so that it has something to show."""
    return "One moment: the site is made up."


def practice_more() -> str:
    return "Nobody built it. You measure with a made-up meter, find what is wrong, and mend it."


def level_title() -> str:
    return "How much is hidden there?"


PRACTICE_LEVELS: Mapping[str, tuple[str, str]] = {
    "perhaps": ("perhaps nothing", "you do not know"),
    "one-cause": ("one cause", "for sure"),
}
"""how much is hidden, and what that means"""


def site_line(length_m: float, boxes: int, pairs: int, ends: int) -> str:
    """What a site is: ``463 m, 8 boxes, four pairs``."""
    said = f"{metres(length_m)}, {boxes} boxes, {count(pairs)} pairs"
    return f"{said}, {count(ends)} ends" if ends > 1 else said


def made_up_title(title: str) -> str:
    """The title of a job on a made-up site: what is written from it says so too."""
    return f"{title}, made up"


def made_up() -> str:
    """What stands on everything of such a job."""
    return "made up"


# ---------------------------------------------------------------- what is written into the log


def note_begun() -> str:
    return "Made up for practice: nobody measured this."


def note_built() -> str:
    return "it was there already"


def note_on() -> str:
    return "Made up: it has been on for long."


def note_sound() -> str:
    return "Said in practice: nothing is wrong here."


def note_shown() -> str:
    return "What is hidden was shown."


# ---------------------------------------------------------------- the meter


def take_made_up() -> str:
    """The button that fills in what the meter would show."""
    return "Take the made-up meter’s reading"


def take_made_up_short() -> str:
    """The same where letters are large."""
    return "Made-up reading"


def moves_between(low: float, high: float, kind: str) -> str:
    """What comes and goes."""
    return f"It moves between {figure(low, kind)} and {typed_with_unit(figure(high, kind), kind)}."


def pairs_read(pairs: Mapping[str, float]) -> str:
    """Each pair's own ohms: ``Pair 1 24.9, 2 25.1, 3 open``."""
    each = (
        f"{name}{NBSP}{'open' if ohms >= _OPEN_OHMS else figure(ohms, 'loop_ohms')}"
        for name, ohms in pairs.items()
    )
    return f"Pair {', '.join(each)}"


def lights_show(mbps: float) -> str:
    """What the lights of a link say."""
    return f"The lights show **{mbps:.0f}{NBSP}Mb/s**." if mbps else "The lights show **no link**."


# ---------------------------------------------------------------- so far


def band_line(minutes_: float, readings: int) -> str:
    """Beside the mark on every screen: ``made up, 23 min, 7 readings``."""
    return f"{made_up()}, {minutes(minutes_)}, {_readings(readings)}"


def see_practice() -> str:
    """Where the mark leads while it goes on."""
    return "So far"


def how_it_went() -> str:
    return "How it went"


def so_far_title(level: str) -> str:
    """What is known of the site while it goes on."""
    told = {
        "perhaps": "**One thing** may be wrong here, or nothing.",
        "one-cause": "**One thing** is wrong here.",
    }
    return told.get(level, "This job is made up. What is hidden is not told here.")


def so_far_more() -> str:
    return "Measure with the made-up meter. Where you say you mended something, it shows it."


def altered_line(places: Sequence[str]) -> str:
    """What was altered so far, in vain or not: only a meter tells."""
    return f"You altered {', '.join(map(point, places))}."


def took(minutes_: float, work: float, walk_m: float, readings: int) -> str:
    """What it took: work and walks apart."""
    return (
        f"**{minutes(minutes_)}** and {_readings(readings)}: {minutes(work)} of measuring, "
        f"{metres(walk_m)} on foot."
    )


def took_why() -> str:
    return f"Minutes as the next test counts them; you walk {metres(50)} a minute."


def show_me() -> str:
    return "Show me"


def nothing_wrong() -> str:
    return "Nothing is wrong"


def go_on_practising() -> str:
    return "Go on measuring"


# ---------------------------------------------------------------- how it went

_OUTCOMES: Mapping[str, str] = {
    "mended": "**You mended it.**",
    "named": "**You found it.** It is not mended yet.",
    "shown": "**You had it shown.**",
    "sound": "**Nothing was wrong,** and you left it so.",
    "missed": "**It was something else.**",
    "left": "You left, and **it is still there.**",
}


def went(outcome: str) -> str:
    """How it ended."""
    return _OUTCOMES[outcome]


def was_hidden() -> str:
    return "What was hidden"


def you_said() -> str:
    return "What you said"


def truth_line(cause: str, where: str, end: str) -> str:
    """The hidden cause and its place."""
    if cause == NO_CAUSE:
        return "Nothing: every number lies within the plan’s limits."
    said = f"{capital(cause_at(cause, where))}."
    return f"{said} It sits at {point(end)}." if end else said


def said_line(found: Sequence[tuple[str, str]], altered: Sequence[str], said_sound: bool) -> str:
    """What was named as found and what was altered, else that nothing is wrong."""
    said = [f"{capital(cause_at(cause, where))}." for cause, where in found]
    said += [altered_line(altered)] if altered else []
    return " ".join(said) or ("That nothing is wrong." if said_sound else "Nothing.")


def another_one() -> str:
    return "Another one"


def back_to_job() -> str:
    return "Back to the job"


def _readings(number: int) -> str:
    return f"{count(number)} reading" if number == 1 else f"{count(number)} readings"
