"""The sentences of the work: cautions, what it takes, timers, the power-up walk."""

from __future__ import annotations

from fieldapp.words.english.figures import KINDS, NBSP, count, spot
from fieldapp.words.english.said import says
from fieldapp.words.english.screens import _lowered
from fieldapp.worldclock import clock_of

# ---------------------------------------------------------------- cautions


@says("caution-thunder")
def _thunder() -> str:
    return "**Thunder, heard or seen?** Cable down, off the mast, for 30 minutes after the last."


@says("caution-ladder")
def _ladder(stop: str) -> str:
    return f"**Before you climb at {stop}**: wind, ice, dark? Tie off. Does somebody know where you are?"


@says("caution-live")
def _live() -> str:
    return f"**Up to 57{NBSP}V on the pairs.** In the wet, or bare contacts in reach: off first, always."


@says("caution-off")
def _off(said: tuple[tuple[str, str, str | None], ...]) -> str:
    prove = "**Prove it**: known live, this, known live."
    if not said:
        return f"**Nobody has said that it is off.** Have it switched off. {prove}"
    told = ", ".join(
        " ".join(word for word in (box, by, clock_of(t)) if word) for box, by, t in said
    )
    return f"**Said to be off**: {told}. That is a word, not a wire. {prove}"


@says("caution-earth")
def _earth() -> str:
    return "**Local code and a licensed person** decide about earthing. Never part an earth."


@says("caution-mains")
def _mains() -> str:
    return "**The mains side of a supply** is for licensed people. Do not open it."


@says("caution-dig")
def _dig() -> str:
    return "**Before you dig**: ask who has pipes or cables there, then scan. Local rules decide."


@says("caution-metal")
def _metal() -> str:
    return "**Metal you do not know**, lamp posts too: test for volts before you touch it."


@says("caution-eyes")
def _eyes() -> str:
    return "**Glasses on**: cut ends, glue, dust. No flame near gas, insulation or dry grass."


@says("caution-two-earths")
def _two_earths() -> str:
    return f"**Meter first, hand after.** More than 1{NBSP}V: do not join, ask a licensed person."


@says("caution-unplug")
def _unplug() -> str:
    return "**Port off, then pull.** A plug drawn under load arcs and pits."


@says("caution-known-load")
def _known_load() -> str:
    return "**A load gets hot**: rated for twice, off the ground, nothing near it."


@says("caution-insulation")
def _insulation() -> str:
    return (
        "**Nothing connected**, no arrestors. Never ohms on a live pair. "
        "Insulation tests: qualified people only."
    )


def before_step(short: str) -> str:
    """Over the cautions: what they come before."""
    return f"Before you go on: {_lowered(short)}"


def understood() -> str:
    """The one slab of the cautions."""
    return "Understood"


def asked_once() -> str:
    """Under it."""
    return "asked once a stop and a day"


# ---------------------------------------------------------------- needs and minutes

NEEDS = {
    "ladder": "a ladder",
    "break-out lead": "the break-out lead",
    "known load": "a known load",
    "partner": "a partner",
    "far-end short": "the far-end short",
    "camera": "a camera",
}


def takes(minutes: float, needs: tuple[str, ...]) -> str:
    """``6 min, with a ladder, a partner``"""
    named = [NEEDS.get(one, one) for one in needs]
    last = f"{', '.join(named[:-1])} and {named[-1]}" if len(named) > 1 else "".join(named)
    time = f"{minutes:.0f}{NBSP}min"
    return f"{time}, with {last}" if last else time


def by_whom(takes_: str, who: tuple[int, ...]) -> str:
    """The same with which of two people does it."""
    return f"{' and '.join(map(str, who))}: {takes_}" if who else takes_


# ---------------------------------------------------------------- timers


def clock_left(seconds: float) -> str:
    """``14:05``: minutes and seconds still to go, whole ones."""
    whole = max(round(seconds + 0.499), 0)
    return f"{whole // 60}:{whole % 60:02d}"


def speak_left(seconds: float) -> str:
    """The same for a screen reader."""
    whole = max(round(seconds + 0.499), 0)
    minutes, rest = divmod(whole, 60)
    parts = []
    if minutes:
        parts.append("1 minute" if minutes == 1 else f"{minutes} minutes")
    if rest or not minutes:
        parts.append("1 second" if rest == 1 else f"{rest} seconds")
    return f"{' '.join(parts)} to go"


def time_of(seconds: float) -> str:
    """``15 min`` or ``10 s``"""
    return f"{seconds / 60:.0f}{NBSP}min" if seconds >= 120 else f"{seconds:.0f}{NBSP}s"


def start_timer(seconds: float) -> str:
    """The slab that starts a timer: all is on."""
    return f"All is on: start {time_of(seconds)}"


def start_off(box: str, seconds: float) -> str:
    """The slab of a cold start."""
    return f"{box} is off: {time_of(seconds)}"


def off_again(seconds: float) -> str:
    """The slab that goes on with the second time."""
    return f"All back. Off again: {time_of(seconds)}"


def first_time_back() -> str:
    """Under it."""
    return "that was once, twice is asked"


def runs_on() -> str:
    """Under a slab that waits: the phone may sleep."""
    return "it runs on, closed or dead"


def wait_still(seconds: float) -> str:
    """The slab while a timer runs."""
    return f"Wait {clock_left(seconds)}"


def back_by_itself(box: str) -> str:
    """After the seconds of a cold start: what to look for."""
    return f"Switch **{box}** on. Did all come back **by itself**?"


# ---------------------------------------------------------------- the power-up walk


@says("lights-feed")
def _lights_feed(box: str, within_s: int) -> str:
    return (
        f"{box}’s port light comes on within {within_s}{NBSP}s. Slow blinking: it searches. "
        "Dark: it granted nothing."
    )


@says("lights-box")
def _lights_box(box: str, power_s: int, link_s: int) -> str:
    return (
        f"{box}: power light within {power_s}{NBSP}s, link light {link_s}{NBSP}s later. "
        "Each proves its own side only."
    )


@says("lights-endpoint")
def _lights_endpoint(box: str, from_s: int, to_s: int) -> str:
    return f"{box} needs {from_s} to {to_s}{NBSP}s to come up by itself."


def power_title(box: str, number: int, total: int) -> str:
    """The sentence of the power-up walk at one box."""
    return f"Power up **{box}**, {number} of {total}."


def power_halted(box: str, state: str) -> str:
    """The walk stops here."""
    return {
        "dark": f"**{box} is dark.** Plug in nothing beyond it.",
        "outside": f"**{box} reads outside.** Plug in nothing beyond it.",
    }.get(state, f"**{box} holds the walk.** Plug in nothing beyond it.")


def power_halted_why() -> str:
    """Why it stops."""
    return "One box at a time: the first wrong one is the newest. It, or its cable."


def power_all_proven(total: int) -> str:
    """The walk is over."""
    return f"**All {count(total)} boxes** are up, each proven."


def power_none() -> str:
    """A plan without a box that power reaches."""
    return "**Nothing to power up** in this plan."


def is_dark() -> str:
    """The press that says that no light came on."""
    return "It is dark"


def is_lit() -> str:
    """The press that takes it back."""
    return "It is lit now"


def note_dark(box: str) -> str:
    """The text of the entry."""
    return f"{box}: all lights off"


def note_lit(box: str) -> str:
    """The text of the entry that ends it."""
    return f"{box}: lit"


def note_timer(seconds: float) -> str:
    """The text of the entry that starts a timer."""
    return f"timer started, {time_of(seconds)}"


def plug_in(box: str, at: str) -> str:
    """The slab that starts the wait at a box."""
    return f"{spot(at)} is plugged in" if at else f"{box} is on"


def wait_starts(seconds: float) -> str:
    """Under it."""
    return f"then wait {time_of(seconds)} for its lights"


def lights_are_up() -> str:
    """The quiet way past the rest of the wait."""
    return "Lights are up"


def stage_state(state: str) -> str:
    """A box of the walk, in a word or two."""
    return {
        "open": "next",
        "proven": "proven",
        "outside": "outside",
        "dark": "dark",
        "unclear": "unclear",
    }[state]


def stage_waits() -> str:
    """A box behind the one that halts the walk, or behind the next."""
    return "waits"


def listed(figures: list[str]) -> str:
    """Figures of one box, one after another."""
    return ", ".join(figures)


def its(kind: str) -> str:
    """The quiet that reads what a box lacks: ``Its link speed``."""
    return f"Its {KINDS[kind]}"


def see_readings(box: str) -> str:
    """The slab when the walk is halted."""
    return f"{box}'s readings"


def measure_again_at(box: str) -> str:
    """The quiet beside it."""
    return f"Measure {box} again"


def power_halted_more() -> str:
    """Under the slab of the halted walk."""
    return "what it reads, and what it should"


def on_to_now() -> str:
    """The slab when the walk, or a page of one step, is over."""
    return "Go on with the steps"
