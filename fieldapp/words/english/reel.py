"""The sentences of the reel check: what is typed, what the reel is found to be, what to do."""

from __future__ import annotations

from fieldapp.words import units
from fieldapp.words.english.figures import (
    NBSP,
    capital,
    metres,
    reach_of,
    typed_with_unit,
    with_unit,
)

METALS = {"copper": "copper", "clad": "clad aluminium", "aluminium": "aluminium"}
REEL_FIELDS = {
    "first": ("Mark at the free end", "the mark printed nearest the end that hangs out"),
    "second": ("Mark at the inner end", "the mark printed nearest the end on the drum"),
    "ohms": ("One pair, as a loop", "its two wires joined at the far end"),
    "celsius": ("How warm it is", "the air where the reel has lain"),
    "grams": ("{piece}, weighed", "cut off and put on a scale, jacket and all"),
}
"""what is typed: its title, what is meant"""
REEL_UNITS = {"ohms": "Ω", "celsius": "°C", "grams": "g"}
"""of what is typed; the marks are lengths"""
REEL_REASONS = ("No other reel here", "For a test only", "The owner wants it so")
ODDS = ((0.95, "almost surely"), (0.7, "likely"), (0.4, "perhaps"), (0.15, "less likely"))


def reel_title(name: str) -> str:
    """Over the pad: what is typed of a reel."""
    title, _ = REEL_FIELDS[name]
    return title.format(piece=capital(_piece()))


def reel_meant(name: str) -> str:
    """Under it: what is meant."""
    return REEL_FIELDS[name][1]


def reel_unit(name: str) -> str:
    """The unit it is typed in; of a mark that of lengths."""
    return REEL_UNITS.get(name) or units.length_unit()


def _piece() -> str:
    """What is cut off a reel to be weighed."""
    return "three feet" if units.in_feet() else "a metre"


# ---------------------------------------------------------------- what it is found to be


def odds(chance: float) -> str:
    """``likely, 8 in 10``"""
    word = next((name for least, name in ODDS if chance >= least), "hardly")
    if chance < 0.05:
        return f"{word}, under 1{NBSP}in{NBSP}20"
    return f"{word}, {min(max(round(10 * chance), 1), 10)}{NBSP}in{NBSP}10"


# ---------------------------------------------------------------- the page


def reel_slab(span: str) -> str:
    """The slab of the step: it opens the check."""
    return f"Check the reel for {span}"


def reel_mark(value: float) -> str:
    """A mark as it is printed on a jacket."""
    return f"{_mark(value)}{NBSP}{units.length_unit()}"


def _mark(value: float) -> str:
    return f"{units.shown(value, units.LENGTH):04.0f}"


def reel_no_mark() -> str:
    """Where a mark is not known yet."""
    return f"?{NBSP}{units.length_unit()}"


def reel_amount(known: bool) -> str:
    """Under the metres between the marks."""
    return "on the reel" if known else "not known yet"


def reel_wanted(span: str) -> str:
    """Under the metres that are wanted."""
    return f"wanted for {span},"


def reel_slack(slack_m: float) -> str:
    """The line below: what of them is slack."""
    return f"{metres(slack_m)} of it spare"


def reel_too_short(span: str) -> str:
    """Under the metres that are missing."""
    return f"short of {span}"


def reel_again_why() -> str:
    """Under the slab where a reading told too little."""
    return "join the pair well, both ends"


def reel_marks_why() -> str:
    """Under the slab that asks for the marks once more."""
    return "or lay it out along a tape"


def reel_short_of(by_m: float, span: str) -> str:
    """``11 m short of C4``"""
    return f"{metres(max(by_m, 1))} short of {span}"


def reel_over(length_m: float, over_m: float) -> str:
    """What two marks give, while the second is typed."""
    return f"{metres(length_m)} on the reel, {metres(over_m)} over"


def reel_how(celsius: float | None, low: float, high: float) -> str:
    """How the ohms were taken, in italics beside them."""
    if celsius is None:
        return f"loop, one pair, {_whole(low)} to {_whole(high)}{NBSP}°C"
    return f"loop, one pair, {_whole(celsius)}{NBSP}°C"


def _whole(value: float) -> str:
    """A whole figure with its own minus."""
    return f"{value:.0f}".replace("-", "−")


def reel_sleeve(low: float, high: float) -> str:
    """Under a sleeve: ``34.4 to 38.6 Ω``"""
    return f"{low:.1f} to {with_unit(high, 'loop_ohms')}"


def reel_sleeve_name(metal: str) -> str:
    """Over a sleeve."""
    return {"clad": "clad"}.get(metal, metal)


def reel_pull() -> str:
    """The slab for a reel that is right."""
    return "Pull this reel"


def reel_keep_low(mark: float, stop: str) -> str:
    """Which mark goes where: metres then read upwards, away from the feed."""
    where = f", at {stop}" if stop else ""
    return f"keep the low mark, {_mark(mark)}{where}"


def reel_keep_off() -> str:
    """The slab for a reel that is not."""
    return "Keep it off this run"


def reel_then(way: str) -> str:
    """Under a slab that keeps a reel off: what would still tell more, else what follows."""
    return {
        "scrape": "first scrape a cut end: silver is clad",
        "weigh": f"{_piece()} weighed would tell more",
        "tape": "a tape along it would tell more",
        "again": "a second reading would tell more",
    }.get(way, "then check another one")


def reel_below() -> str:
    """Degrees of frost."""
    return "below 0"


def reel_above() -> str:
    """Degrees above."""
    return "above 0"


def reel_use() -> str:
    """The quiet for somebody who has reasons."""
    return "Use it all the same"


def reel_other_one() -> str:
    """Another reel is taken up."""
    return "Other reel"


def reel_type(name: str) -> str:
    """The slab while something is missing: the two marks, then the pair."""
    return {"ohms": "Measure one pair", "first": "Type the free end's mark"}.get(
        name, "Type the inner end's mark"
    )


def reel_marks_again() -> str:
    """Type the marks anew."""
    return "Marks again"


def reel_keep(digits: str, unit: str) -> str:
    """The pad's slab."""
    return f"Keep {digits.rstrip('.')}{NBSP}{unit}"


def reel_typed(digits: str, unit: str) -> str:
    """What stands on the pad."""
    return f"{digits}{NBSP}{unit}"


def reel_type_it(mark: bool) -> str:
    """The pad's slab while there is no figure."""
    return "Type what is printed" if mark else "Type what it shows"


def reel_for(span: str, wanted_m: float) -> str:
    """Under the pad's title."""
    return f"reel for {span}, {metres(wanted_m)} wanted"


def reel_warmth(celsius: float | None) -> str:
    """The temperature's own row."""
    return "How warm?" if celsius is None else f"{_whole(celsius)}{NBSP}°C"


def reel_weight(grams: float | None) -> str:
    """The weight's own row."""
    return f"Weigh {_piece()}" if grams is None else f"{_grams(grams)} in {_piece()}"


def _grams(per_m: float) -> str:
    return f"{units.shown(per_m, units.WEIGHT):.0f}{NBSP}g"


def reel_second_opinion() -> str:
    """Under the weight."""
    return "a second opinion"


def reel_warmth_why(known: bool) -> str:
    """Under the temperature."""
    return "of the reel" if known else "narrows the bands"


def reel_settle(way: str) -> str:
    """What would tell more."""
    return {
        "scrape": "**Scrape the cut end** of a wire: silver under the copper is clad.",
        "weigh": f"**Weigh {_piece()}** of it: clad is a third lighter.",
        "tape": "**Lay it out along a tape**, or read both marks once more.",
        "again": "**Join the pair anew** at its far end and measure again.",
    }.get(way, "")


def reel_taken(span: str, at: str) -> str:
    """A reel that was taken already."""
    when = f" at {at}" if at else ""
    return f"This reel was taken for **{span}**{when}."


def reel_go_on() -> str:
    """The slab then."""
    return "Go on"


def reel_why_use() -> str:
    """The title of the sheet that asks for a reason."""
    return "Why is it used all the same?"


def reel_use_then(measured: bool) -> str:
    """What will come of it."""
    if measured:
        return "The plan counts with its ohms."
    return "The reason goes into the record."


def reel_own_reason() -> str:
    """The field for own words."""
    return "Another reason"


def reel_use_it() -> str:
    """The slab of that sheet."""
    return "Use it"


def reel_needs_reason() -> str:
    """Under it while there is none."""
    return "choose or type a reason"


# ---------------------------------------------------------------- spoken, and for the record


def speak_reel(first: str, second: str, length: str, wanted: str) -> str:
    """The drawn reel in words."""
    return f"Reel. Free end {first}, inner end {second}. {length}. {wanted}."


def speak_reel_gauge(ohms: float | None, reach: float, sleeves: str, word: str) -> str:
    """The two sleeves in words."""
    if ohms is None:
        return f"Loop ohms. {sleeves}."
    shown = with_unit(ohms, "loop_ohms")
    return f"{shown}, plus or minus {reach_of(reach, 'loop_ohms')}. {sleeves}. {word}."


def reel_typing_line(digits: str, unit: str, since: str) -> str:
    """After a kill: what was on the pad."""
    when = f", {since}" if since else ""
    return f"You were typing {digits}{NBSP}{unit}{when}"


def note_reel(number: int, span: str, ohms: float | None) -> str:
    """In the record: a reel with what is known of it."""
    measured = f", {typed_with_unit(f'{ohms:g}', 'loop_ohms')}" if ohms is not None else ""
    return f"Reel {number} for {span}{measured}"


def note_reel_taken(number: int, span: str) -> str:
    """In the record: it goes into the run."""
    return f"Reel {number} is taken for {span}"


def note_reel_refused(number: int, span: str) -> str:
    """In the record: it does not."""
    return f"Reel {number} is kept off {span}"


def reel_sheet_title(span: str) -> str:
    """The name of the sheet that a span gets of its own."""
    return f"Wire of {span}, as measured"
