"""The usual cautions, in words. ``common practice``; local codes and licensed people rule."""

from __future__ import annotations

from engine.phrases.book import Phrase, phrase


@phrase("caution-thunder")
def _thunder() -> Phrase:
    return Phrase(
        "Thunder heard or seen: put the cable down, come off the mast. "
        "Half an hour after the last, go on."
    )


@phrase("caution-ladder")
def _ladder(stop: str) -> Phrase:
    return Phrase(
        f"Before you climb at {stop}: wind, ice, dark? Does somebody know where you are? "
        "Tied off, tools on lanyards."
    )


@phrase("caution-live")
def _live() -> Phrase:
    return Phrase(
        "Up to 57 V on the pairs. Alone, dry, lids shut, a closed plug may be made live, never "
        "broken. In the wet, or with bare contacts in reach: off first, always."
    )


@phrase("caution-off")
def _off(said: tuple[tuple[str, str, str | None], ...]) -> Phrase:
    prove = "Prove it: a known live, this, the known live again."
    if not said:
        return Phrase(f"Off is what somebody said, not what a wire is. {prove}")
    told = "; ".join(f"{box} is off, said {_who(by, t)}" for box, by, t in said)
    return Phrase(f"{told}. That is what was said, not what a wire is. {prove}")


def _who(by: str, t: str | None) -> str:
    when = f"{t[:10]} {t[11:16]}" if t else "at no time that was kept"
    return f"by {by or 'nobody named'}, {when}"


@phrase("caution-earth")
def _earth() -> Phrase:
    return Phrase(
        "Local code and a licensed person decide about earthing. Never part an earth: "
        "current may be flowing in it."
    )


@phrase("caution-mains")
def _mains() -> Phrase:
    return Phrase("The mains side of a supply is for licensed people. Do not open it.")


@phrase("caution-dig")
def _dig() -> Phrase:
    return Phrase(
        "Before you dig: ask for the plans of what lies there already, then scan for it. Its owners "
        "and local rules decide."
    )


@phrase("caution-metal")
def _metal() -> Phrase:
    return Phrase(
        "Metal you do not know, a lamp post, somebody else's bond: test for voltage before you "
        "touch it."
    )


@phrase("caution-eyes")
def _eyes() -> Phrase:
    return Phrase(
        "Glasses on for cut ends, glue and drilling dust. No flame near gas, insulation or dry grass."
    )


@phrase("caution-two-earths")
def _two_earths() -> Phrase:
    return Phrase(
        "Two buildings can stand at two voltages: meter first, hand after. More than 1 V: do not "
        "join them, ask a licensed person."
    )


@phrase("caution-unplug")
def _unplug() -> Phrase:
    return Phrase("Port off, then pull: a plug drawn under load arcs and pits its contacts.")


@phrase("caution-known-load")
def _known_load() -> Phrase:
    return Phrase(
        "It gets hot: rated for twice the watts, off the ground, nothing near it. "
        "A bare resistor on a port that asks first is refused."
    )


@phrase("caution-insulation")
def _insulation() -> Phrase:
    return Phrase(
        "Nothing connected, no arrestors, never ohms on a live pair. "
        "Insulation tests are for qualified people."
    )
