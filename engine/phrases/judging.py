"""Verdicts and what holds one on site, in words."""

from __future__ import annotations

from engine.phrases.book import READINGS, UNITS, Phrase, english, phrase


@phrase("verdict-inside")
def _inside(at, kind):
    return Phrase(f"{at}: as expected.")


@phrase("verdict-unclear")
def _unclear(at, kind, reach):
    return Phrase(f"{at}: this meter cannot tell; it reaches ± {reach:.2g}.")


@phrase("verdict-outside-low")
def _outside_low(at, kind, by):
    return Phrase(f"{at}: {by:.2g} below the band, even if the meter is out.")


@phrase("verdict-outside-high")
def _outside_high(at, kind, by):
    return Phrase(f"{at}: {by:.2g} above the band, even if the meter is out.")


@phrase("verdict-slow")
def _slow(at, mbps, expected):
    seen = f"{mbps} Mb/s" if mbps else "no link"
    return Phrase(f"{at}: {seen} where {expected} Mb/s was expected.")


@phrase("no-band-unplugged")
def _no_band_unplugged(at):
    return Phrase(
        f"{at}: a standard port gives a bare meter no steady volts. Plug in the box behind it.",
        "The port only probes, in bursts below 30 V, until a box answers.",
    )


@phrase("no-band-collapse")
def _no_band_collapse(at):
    return Phrase(f"{at}: with this load nothing can be held, so nothing steady is predicted.")


@phrase("no-band-tripped")
def _no_band_tripped(at):
    return Phrase(
        f"{at}: the port is asked for more than it gives and lets go again and again, "
        "so nothing steady is predicted."
    )


@phrase("no-band-unpowered")
def _no_band_unpowered(at):
    return Phrase(f"{at}: nothing is predicted here; the plan brings no power to this point.")


@phrase("no-band-not-judged")
def _no_band_not_judged(at, kind):
    return Phrase(f"{at}: {kind.replace('_', ' ')} are kept, not judged.")


@phrase("no-band-no-target")
def _no_band_no_target(at):
    return Phrase(f"{at}: the plan names no earth target to hold this against.")


@phrase("hold-finding")
def _hold_finding(finding):
    return Phrase(english(finding).text)


@phrase("hold-step")
def _hold_step(step):
    return Phrase(f"Not done: {english(step).text}")


@phrase("hold-missing")
def _hold_missing(at, kind):
    return Phrase(f"No {READINGS[kind]} at {at}.")


@phrase("hold-outside")
def _hold_outside(at, kind, value):
    return Phrase(f"{value:g} {UNITS[kind]} at {at} is outside and has no settled cause.")


@phrase("hold-unclear")
def _hold_unclear(at, kind, value):
    return Phrase(f"{value:g} {UNITS[kind]} at {at} is unclear: measure again.")


@phrase("hold-edit")
def _hold_edit(path, problem):
    return Phrase(f"A plan edit at {path} does not fit and was left out: {problem}")
