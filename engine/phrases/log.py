"""What is odd about the order of a log and what was settled in it, in words."""

from __future__ import annotations

from engine.phrases.book import Phrase, phrase


@phrase("odd-resolve")
def _odd_resolve(entry: str, of: tuple[str, ...]) -> Phrase:
    return Phrase(
        f"Entry {entry} settles {' and '.join(of)}, which are not two plan edits that meet. "
        "It settles nothing."
    )


@phrase("odd-seen")
def _odd_seen(entry: str) -> Phrase:
    return Phrase(
        f"Entry {entry} and others claim each to have seen the other first. "
        "They are taken in the order of their counts."
    )


@phrase("odd-cause")
def _odd_cause(entry: str, cause: str, near: str) -> Phrase:
    meant = f"; {near} is the nearest" if near else ""
    return Phrase(f"Entry {entry} found {cause}, a cause that is not known here{meant}.")
