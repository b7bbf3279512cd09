"""The steps before one goes, and what holds one that is not in the plan, in words."""

from __future__ import annotations

from engine.phrases.book import Phrase, phrase


@phrase("step-close")
def _close(stop: str, boxes: tuple[str, ...]) -> Phrase:
    return Phrase(
        f"Close and seal {', '.join(boxes)} at {stop}; blank unused ports.",
        "Water finds the one gland that was forgotten.",
    )


@phrase("step-after-close")
def _after_close(stop: str, at: str) -> Phrase:
    return Phrase(
        f"Once all is closed at {stop}: volts and lights at {at} again, lids shut.",
        "A lid can pinch what no hand feels.",
    )


@phrase("step-labels")
def _labels(stop: str) -> Phrase:
    return Phrase(
        f"Label both ends of every span and every box at {stop}.",
        "Whoever comes next has only these.",
    )


@phrase("step-take-back")
def _take_back() -> Phrase:
    return Phrase(
        "Take back in-line lead, known load, shorts and tags; count the tools.",
        "What was fitted for a test is a fault once you are gone.",
    )


@phrase("step-tell")
def _tell() -> Phrase:
    return Phrase(
        "Show the client what is normal, what to look at after a storm, where the spares are.",
        "They are the first to see that something is not as it was.",
    )


@phrase("step-copy")
def _copy() -> Phrase:
    return Phrase(
        "Copy the record to a second place before you drive off.",
        "A phone that falls into the water takes the record with it.",
    )


@phrase("step-sign")
def _sign() -> Phrase:
    return Phrase(
        "Sign the record; gate shut, site told.",
        "It says who stands by what is written.",
    )


@phrase("hold-photo")
def _no_photo(at: str) -> Phrase:
    lead = at.startswith("bond.")
    what = f"the earth lead of {at.removeprefix('bond.')}" if lead else at
    return Phrase(f"No photo of {what}.")


@phrase("hold-copied")
def _not_copied(count: int) -> Phrase:
    many = f"{count} entries are" if count > 1 else "One entry is"
    return Phrase(f"{many} on this phone only. Copy the record to a second place.")


@phrase("hold-fitted")
def _fitted(what: str, at: str, by: str) -> Phrase:
    named = f", put in by {by}" if by else ""
    return Phrase(f"The {what} at {at} is still in{named}.")


@phrase("hold-found")
def _found(at: str, cause: str) -> Phrase:
    return Phrase(f"Found at {at}, not mended: {cause}.")
