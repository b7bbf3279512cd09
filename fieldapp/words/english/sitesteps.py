"""More of what is to be done, in words: before the cable is pulled, photos, and before one goes."""

from __future__ import annotations

from fieldapp.words.english.figures import NBSP, _hundred, metres, point, spot, with_unit
from fieldapp.words.english.steps import StepWords, step_words

_metres = metres
"""where a part has the same name"""


@step_words("step-walk")
def _walk(stops: tuple[str, ...], far: str, metres: float) -> StepWords:
    return StepWords(
        f"Walk the route with the plan to **{far}**, {_metres(metres)}. Photograph what is there.",
        "Plans lie. What is put right now costs a minute, later a day.",
        "Walked, the plan is right",
        f"Walk the route to {far}, with a photo",
    )


@step_words("step-reel")
def _reel(span: str, length_m: float, title: str, ohms: float | None) -> StepWords:
    long, its = _hundred(ohms or 0.0)
    pair = f" **{long} of a pair: about {its:.1f}{NBSP}Ω**, far end shorted." if ohms else ""
    return StepWords(
        f"Look at the reel for **{span}**: its print, {metres(length_m)} and slack.{pair}",
        "A clad reel is cheap to refuse and dear to pull out.",
        f"The reel for {span} is right",
        f"Reel for {span}, {metres(length_m)}",
    )


@step_words("step-rehearse")
def _rehearse(boxes: tuple[str, ...]) -> StepWords:
    return StepWords(
        "Rehearse on the bench with **short leads**: all up, all linked.",
        "A dead or reversed box costs a minute at the table, an hour on the mast.",
        "All came up on the bench",
        "Rehearse on the bench",
    )


@step_words("step-marks")
def _marks(span: str, length_m: float) -> StepWords:
    return StepWords(
        f"Read the length marks on **{span}** at both ends. The plan says {metres(length_m)}.",
        "The real length; later it tells how far off a fault is.",
        f"Type the length of {span}",
        f"Length marks of {span}",
    )


@step_words("step-screens")
def _screens(span: str, here: str, there: str) -> StepWords:
    return StepWords(
        f"Volts between the screen of **{span}** and the bar. More than 1{NBSP}V: **do not join**.",
        f"{here} and {there} can stand at two voltages; the screen would carry the difference.",
        f"{span}: 1{NBSP}V or less, measured",
        f"Screen of {span} to the bar",
    )


@step_words("step-photo")
def _photo(box: str, kind: str) -> StepWords:
    return StepWords(
        f"Photograph **{box}**: both sides, and their leads.",
        "The way round shows in no reading.",
        f"{box} is photographed",
        f"Photo of {box}",
    )


@step_words("step-photo-bond")
def _photo_bond(box: str, earth: str | None) -> StepWords:
    return StepWords(
        f"Photograph the earth lead of **{box}**, both its ends.",
        "Whoever comes back sees whether it is still as it was.",
        f"Earth of {box} photographed",
        f"Photo of {box}'s earth lead",
    )


@step_words("step-clear")
def _clear() -> StepWords:
    return StepWords(
        "Nobody has a hand on copper: **all clear**, said by voice, by all.",
        "Nobody can see the other end of the run.",
        "All clear, said by all",
        "All clear, by voice",
    )


@step_words("step-load")
def _load(box: str, watts: float) -> StepWords:
    return StepWords(
        f"A known load of about **{watts:.0f}{NBSP}W** for {box}: volts, amps at each box. Then plug {box} in.",
        "It draws the same all the time: no bad joint hides behind a moving load.",
        f"{box} is plugged in again",
        f"Known load in place of {box}",
    )


@step_words("step-settings")
def _settings(box: str, name: str) -> StepWords:
    return StepWords(
        f"Store the settings of **{box}** for good: priority and limit of the port too.",
        "A switch that forgets them is dark after the first power cut.",
        f"{box} will remember",
        f"Settings of {box} stored",
    )


@step_words("step-after-close")
def _after_close(stop: str, at: str) -> StepWords:
    return StepWords(
        f"{stop} is closed: volts and lights **once more** at {spot(at)}.",
        "A lid can pinch what a glove cannot feel.",
        f"{spot(at)} is as before",
        f"Once more after closing, {stop}",
    )


@step_words("step-tell")
def _tell() -> StepWords:
    return StepWords(
        "Show the client what is **normal**, what to look at after a storm, where spares are.",
        "They are the first to see it go wrong.",
        "The client knows",
        "Tell the client what is normal",
    )


@step_words("step-copy")
def _copy() -> StepWords:
    return StepWords(
        "Copy the record **off this phone**.",
        "A phone in the water takes the record with it.",
        "Copy the record",
        "Copy the record off this phone",
    )


@step_words("step-sign")
def _sign() -> StepWords:
    return StepWords(
        "Sign the record. **Site told, gate shut.**",
        "It says who stands by it.",
        "Signed, site told",
        "Sign the record",
    )


AGAIN = {
    "volts": "volts",
    "milliamps": "milliamps",
    "watts": "watts",
    "mbps": "the link speed",
    "loop_ohms": "loop ohms",
    "earth_ohms": "the earth",
    "error_count": "the bad frames",
}


@step_words("step-again")
def _again(at: str, kind: str, was: float | None) -> StepWords:
    then = f" It was {with_unit(was, kind)}." if was is not None else ""
    return StepWords(
        f"Read {AGAIN[kind]} again at **{point(at)}**.{then}",
        "What has drifted shows in the difference, long before it is outside."
        if was is not None
        else "It was never read here. It tells what has drifted in front of it.",
        f"Read {AGAIN[kind]} at {spot(at)}",
        f"Again: {AGAIN[kind]} at {point(at)}",
    )


@step_words("step-look-over")
def _look_over(
    stop: str, boxes: tuple[str, ...], earthed: tuple[str, ...], reason: str
) -> StepWords:
    shows = "Water, seals, labels?" if reason == "yearly" else "Scorched, tripped, wet?"
    leads = " Earth leads tight?" if earthed else ""
    return StepWords(
        f"Look over **{', '.join(boxes)}**. {shows}{leads}",
        "A spent arrestor or an open lead shows in no reading.",
        f"{stop} is looked over",
        f"Look over {stop}",
    )
