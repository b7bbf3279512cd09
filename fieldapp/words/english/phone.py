"""Words of the app as an installed page: what it keeps, whether it needs signal, a newer version."""

from __future__ import annotations

from fieldapp.words.english.said import says


@says("told-stays")
def _stays() -> str:
    return "This browser **promised to keep** what is on this phone."


@says("told-may-clear")
def _may_clear() -> str:
    return "This browser **made no promise** to keep your jobs. Copy them off each evening."


@says("told-not-renewed")
def _not_renewed() -> str:
    return "The new version could not be taken. This one goes on as it is."


# ---------------------------------------------------------------- on the list of jobs


def newer_line() -> str:
    """A newer version lies ready."""
    return "A new version is ready."


def newer_take() -> str:
    """The button beside it."""
    return "Take it"


def copies_line(jobs: int) -> str:
    """Jobs that have something that no copy holds, where the browser promised nothing."""
    few, them = ("1 job", "it") if jobs == 1 else (f"{jobs} jobs", "them")
    return f"**Copy off {few}.** This browser may clear {them}."


def copies_away() -> str:
    """The button beside it: no more of it today."""
    return "Not today"


def offline_line() -> str:
    """Said once."""
    return "From now on it works without signal."


# ---------------------------------------------------------------- on Leave


def copied_matters(said: str) -> str:
    """Why it matters here that a log is on this phone only."""
    return f"{said} This browser may clear it."


# ---------------------------------------------------------------- in Settings


def phone_title() -> str:
    """The page, and the row that leads there."""
    return "This phone"


def phone_row(newer: bool, offline: bool, stays: bool | None) -> str:
    """Under that row."""
    works = "works without signal" if offline else "is being kept for use without signal"
    return f"{'a new version is ready' if newer else works}; {PROMISES[stays]}"


PROMISES = {
    True: "the browser promised to keep your jobs",
    False: "the browser may clear your jobs",
    None: "the browser was not asked to keep your jobs",
}
"""by what it promised"""


def offline_title() -> str:
    """What it needs a network for."""
    return "Without signal"


def offline_is(offline: bool) -> str:
    """Whether it would start without."""
    if offline:
        return "**It works without signal.** All of it is on this phone."
    return "**It is being kept for use without signal.** Stay here with signal until it says so."


def stays_title() -> str:
    """What happens to the jobs."""
    return "What is kept on this phone"


def stays_is(stays: bool | None) -> str:
    """What the browser promised."""
    if stays:
        return "**The browser promised to keep it,** even when the phone runs short of room."
    if stays is None:
        return "**The browser was not asked yet** to keep it. It is, once there is a job."
    return "**The browser may clear it** when the phone runs short of room."


def stays_asking() -> str:
    """While it is being asked."""
    return "The browser is being asked."


def stays_ask(again: bool) -> str:
    """The button below it."""
    return "Ask it again" if again else "Ask it now"


def stays_evening() -> str:
    """Whatever it promised."""
    return "A phone can be lost. Copy your jobs off it each evening."


def home_title() -> str:
    """How it is opened."""
    return "Home screen"


def home_is(on_home: bool) -> str:
    """Whether it is in a tab."""
    if on_home:
        return "**It opens from the home screen,** in a window of its own."
    return "**It is open in a tab of the browser.**"


def home_how() -> str:
    """How it is put there: in the words of the two systems (``from memory``)."""
    return "To put it there: “Share”, then “Add to Home Screen”. Or the menu, then “Install”."


def home_week() -> str:
    """What becomes of a tab (``from memory``)."""
    return "Some phones clear a tab’s jobs after seven days without a visit."


def phone_version(number: str) -> str:
    """Which build this is."""
    return f"Version {number}"


def renew() -> str:
    """The slab that takes a newer one."""
    return "Take the new version"


def renew_more() -> str:
    """Under it."""
    return "What you typed stays."
