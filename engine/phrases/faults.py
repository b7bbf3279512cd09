"""What can be wrong, in words: what it is, where from and to, and what it does."""

from __future__ import annotations

from engine.phrases.book import Phrase, Words, phrase
from engine.phrases.causes import about, cause_name, run
from engine.phrases.judging import figure

# ---------------------------------------------------------------- nothing, something, two


@phrase("fault-none")
def _none(readings: int, outside: int, drifted: int) -> Phrase:
    if not readings:
        return Phrase("Nothing is read yet; what is said here is how often things are met.")
    if drifted:
        what = "one reading is" if drifted == 1 else f"{drifted} readings are"
        return Phrase(
            f"No fault is likely, yet {what} not as when the site was left.",
            "Something was altered or is giving way: look where it starts.",
        )
    if outside:
        what = "one reading is" if outside == 1 else f"{outside} readings are"
        return Phrase(f"No fault is likely: {what} outside, as chance has it.", "That does happen.")
    return Phrase(
        "The readings agree with the plan.", "Readings do not see everything: look all the same."
    )


@phrase("fault-other")
def _other(first: str | None) -> Phrase:
    begins = f"From {first} on, something" if first else "Something"
    return Phrase(f"{begins} that none of the causes here explains.")


@phrase("fault-pair")
def _pair(both: tuple[tuple[str, str], tuple[str, str]]) -> Phrase:
    first, second = (cause_name(*part) for part in both)
    return Phrase(f"Two at once: {first}, and {second}.", "Neither alone explains what is read.")


# ---------------------------------------------------------------- sources and ports


@phrase("fault-source-dead")
def _source_dead(at: str, stop: str) -> Phrase:
    return Phrase(f"{at}, {stop}, gives no volts.", "Nothing behind it runs.")


@phrase("fault-source-low")
def _source_low(at: str, stop: str, volts: float | None) -> Phrase:
    return Phrase(
        f"{at}, {stop}, gives too few volts{about(volts, ', about ', ' V', 3)}.",
        "All boxes behind it see that much less.",
    )


@phrase("fault-feed-twice")
def _feed_twice(at: str, stop: str, volts: float | None) -> Phrase:
    return Phrase(
        f"Another supply feeds the run of {at}, {stop}{about(volts, ': about ', ' V', 3)}.",
        "Its volts lie above the setting of the source.",
    )


@phrase("fault-source-soft")
def _source_soft(at: str, stop: str, ohms: float | None) -> Phrase:
    return Phrase(
        f"{at}, {stop}, sags under load{about(ohms, ': about ', ' ohm lie in series with it')}.",
        "Its volts look right as long as little is drawn.",
    )


@phrase("fault-port-off")
def _port_off(at: str, stop: str) -> Phrase:
    return Phrase(f"The port of {at}, {stop}, gives no power.", "Its link may be up all the same.")


@phrase("fault-port-refused")
def _port_refused(at: str, stop: str) -> Phrase:
    return Phrase(
        f"{at}, {stop}, finds no box that it would feed, and keeps looking.",
        "Water, a wrong first box or a leaking arrestor hides the box from it.",
    )


@phrase("fault-port-trip")
def _port_trip(at: str, stop: str) -> Phrase:
    return Phrase(
        f"{at}, {stop}, lets go again and again.",
        "More is drawn than it grants, or something behind it is shorted.",
    )


@phrase("fault-budget-shed")
def _budget_shed(at: str, stop: str) -> Phrase:
    return Phrase(
        f"The supply of {at}, {stop}, has no watts left for this port.",
        "Others on the same supply take them.",
    )


# ---------------------------------------------------------------- spans


@phrase("fault-span-high")
def _span_high(at: str, near: str, far: str, factor: float | None) -> Phrase:
    more = about(factor, ": about ", " times its plan's ohms", 3)
    return Phrase(
        f"{run(at, near, far)} resists too much along its whole length{more}.",
        "Clad or thin wire, more metres than planned, or heat: volts alone do not tell which.",
    )


@phrase("fault-span-open")
def _span_open(at: str, near: str, far: str) -> Phrase:
    return Phrase(f"{run(at, near, far)} is open.", "Nothing goes on behind it.")


@phrase("fault-span-short")
def _span_short(at: str, near: str, far: str) -> Phrase:
    return Phrase(f"{run(at, near, far)} is shorted.", "What feeds it lets go at once.")


@phrase("fault-joint-high")
def _joint_high(at: str, near: str, far: str, ohms: float | None) -> Phrase:
    return Phrase(
        f"{run(at, near, far)} has a bad end{about(ohms, ', about ', ' ohm in its loop')}.",
        "Most contacts of one plug or joint resist; volts step down there.",
    )


@phrase("fault-joint-wet")
def _joint_wet(at: str, near: str, far: str, ohms: float | None) -> Phrase:
    return Phrase(
        f"{run(at, near, far)} has a wet end{about(ohms, ', about ', ' ohm in its loop')}.",
        "It is worse after rain, and damages frames.",
    )


@phrase("fault-contact-high")
def _contact_high(at: str, near: str, far: str, ohms: float | None) -> Phrase:
    return Phrase(
        f"{run(at, near, far)} has one bad contact of eight{about(ohms, ', about ', ' ohm')}.",
        "Power hardly feels it; the link falls to 100 Mb/s or counts damaged frames.",
    )


@phrase("fault-pairs-lost")
def _pairs_lost(at: str, near: str, far: str) -> Phrase:
    return Phrase(
        f"In {run(at, near, far)} one set of pairs leads nowhere.",
        "The other carries everything: each span between the two joining boxes loses double.",
    )


@phrase("fault-pair-split")
def _pair_split(at: str, near: str, far: str) -> Phrase:
    return Phrase(
        f"In {run(at, near, far)} wires of two pairs are mixed up alike at both ends.",
        "Ohms are right, the wires belong together wrongly: data suffers, power does not.",
    )


@phrase("fault-pair-crossed")
def _pair_crossed(at: str, near: str, far: str) -> Phrase:
    return Phrase(f"In {run(at, near, far)} two pairs are crossed.", "The link stays dark or slow.")


# ---------------------------------------------------------------- endpoints and boxes


@phrase("fault-load-heavy")
def _load_heavy(at: str, stop: str, watts: float | None) -> Phrase:
    return Phrase(
        f"{at}, {stop}, draws too much{about(watts, ', about ', ' W')}.",
        "Every span before it loses more volts.",
    )


@phrase("fault-load-off")
def _load_off(at: str, stop: str, watts: float | None) -> Phrase:
    return Phrase(
        f"{at}, {stop}, hardly draws anything{about(watts, ', about ', ' W')}.",
        "So the volts are higher than planned all along.",
    )


@phrase("fault-load-varies")
def _load_varies(at: str, stop: str, percent: float | None) -> Phrase:
    return Phrase(
        f"{at}, {stop}, draws now more, now less{about(percent, ', by up to ', ' %')}.",
        "Readings of different moments disagree.",
    )


@phrase("fault-box-reversed")
def _box_reversed(at: str, stop: str) -> Phrase:
    return Phrase(
        f"{at}, {stop}, is the wrong way round.",
        "Its links stay dark; power may go through all the same.",
    )


@phrase("fault-box-dead")
def _box_dead(at: str, stop: str) -> Phrase:
    return Phrase(f"{at}, {stop}, does nothing.", "Neither power nor data goes on behind it.")


@phrase("fault-box-heavy")
def _box_heavy(at: str, stop: str, watts: float | None) -> Phrase:
    return Phrase(
        f"{at}, {stop}, draws too much for itself{about(watts, ', about ', ' W')}.",
        "All volts up to it are lower.",
    )


@phrase("fault-box-restart")
def _box_restart(at: str, stop: str) -> Phrase:
    return Phrase(
        f"{at}, {stop}, starts anew again and again.",
        "What is behind it comes and goes; the source's volts stay.",
    )


@phrase("fault-box-no-pass")
def _box_no_pass(at: str, stop: str) -> Phrase:
    return Phrase(f"{at}, {stop}, hands data on, but no power.", "It may be set so.")


@phrase("fault-arrestor-open")
def _arrestor_open(at: str, stop: str) -> Phrase:
    return Phrase(
        f"{at}, {stop}, is open.", "Nothing goes through it, or only one of its two sets of pairs."
    )


@phrase("fault-arrestor-short")
def _arrestor_short(at: str, stop: str) -> Phrase:
    return Phrase(f"{at}, {stop}, is shorted.", "It did its work once; what feeds it lets go.")


@phrase("fault-earth-open")
def _earth_open(at: str, stop: str) -> Phrase:
    return Phrase(f"{at}, {stop}, is bonded to nothing.", "A surge has nowhere to go.")


@phrase("fault-earth-high")
def _earth_high(at: str, stop: str) -> Phrase:
    return Phrase(f"{at}, {stop}, resists more than its target.", "A surge finds other ways.")


# ---------------------------------------------------------------- links


@phrase("fault-link-slow-endpoint")
def _slow_endpoint(at: str, stop: str) -> Phrase:
    return Phrase(
        f"{at}, {stop}, has no gigabit, and the box before it has nothing else.",
        "Power is fine and lights may be on; no data goes.",
    )


@phrase("fault-link-pair-open")
def _pair_open(at: str, near: str, far: str) -> Phrase:
    return Phrase(
        f"In {run(at, near, far)} a wire is open.",
        "Power goes by the others; the link falls to 100 Mb/s or stays dark.",
    )


@phrase("fault-link-too-long")
def _too_long(at: str, near: str, far: str, metres: float | None) -> Phrase:
    more = about(metres, ": about ", " m", 3)
    return Phrase(
        f"{run(at, near, far)} is longer than planned, too long for its link{more}.",
        "Power is fine; the link is slow or dark.",
    )


@phrase("fault-link-noise")
def _noise(at: str, near: str, far: str) -> Phrase:
    return Phrase(
        f"Something beside {run(at, near, far)} damages frames.", "Mains cables and lamps do so."
    )


@phrase("fault-link-port-down")
def _port_down(at: str, to: str, stop: str) -> Phrase:
    return Phrase(
        f"At {at}, {stop}, the data side is switched off.",
        f"Power is fine; no lights between it and {to}.",
    )


# ---------------------------------------------------------------- between meter and log


def _misread(what: str) -> Words:
    def words(at: str, kind: str, value: float, beside: str | None) -> Phrase:
        return Phrase(f"{figure(value, kind)} at {at} {what}.", "The rest agrees without it.")

    return words


for _code, _what in (
    ("fault-reading-typed", "is mistyped: digits swapped, or the point slipped"),
    ("fault-reading-unit", "is in another unit"),
    ("fault-reading-ac", "was read with the dial on alternating volts"),
):
    phrase(_code)(_misread(_what))


@phrase("fault-reading-place")
def _place(at: str, kind: str, value: float, beside: str | None) -> Phrase:
    what = f"belongs to {beside}, whose figure stands here" if beside else "is another box's"
    return Phrase(f"{figure(value, kind)} at {at} {what}.", "The rest agrees without it.")


@phrase("fault-reading-state")
def _state(at: str, stop: str) -> Phrase:
    return Phrase(
        f"{at}, {stop}, was off while it was read, and nobody noted that.",
        "All volts are high together, and little is drawn.",
    )


@phrase("fault-reading-lead")
def _lead(at: str, ohms: float | None) -> Phrase:
    return Phrase(
        f"The probes' own ohms are in every loop read by {at}{about(ohms, ', about ', ' ohm')}.",
        "Every loop is high by the same.",
    )


@phrase("fault-reading-no-short")
def _no_short(at: str, near: str, far: str) -> Phrase:
    return Phrase(
        f"{run(at, near, far)} was not shorted at its far end while its loop was read.",
        "It carries power, so it is not open.",
    )


@phrase("no-cause-fits")
def _no_cause_fits(at: str, kind: str, value: float) -> Phrase:
    doubtful = f" The most doubtful reading is {figure(value, kind)} at {at}." if at else ""
    return Phrase(
        f"No single cause explains these readings.{doubtful}",
        "Mend the first thing and measure again.",
    )
