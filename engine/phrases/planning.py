"""Why a plan cannot be edited so, in words."""

from __future__ import annotations

from engine.phrases.book import Phrase, phrase


@phrase("plan-path")
def _path(problem: str) -> Phrase:
    return Phrase(f"That change leads nowhere: {problem}.")


@phrase("plan-unread")
def _unread(problem: str) -> Phrase:
    return Phrase(f"The plan would not hold together. {problem}")


@phrase("plan-absent")
def _absent(thing: str) -> Phrase:
    return Phrase(f"There is no {thing} in this plan.")


@phrase("plan-sheet")
def _sheet(sheet: str) -> Phrase:
    return Phrase(f"There is no sheet {sheet} of the sort that is needed here.")


@phrase("plan-no-way-through")
def _no_way_through(sheet: str, kind: str) -> Phrase:
    return Phrase(f"A span cannot run on through {sheet}, which is of the kind {kind}.")


@phrase("plan-share")
def _share(share: str) -> Phrase:
    return Phrase(f"A box stands between the two ends of a span; {share} of it is not between.")


@phrase("plan-many-spans")
def _many_spans(box: str, spans: int) -> Phrase:
    return Phrase(f"{spans} spans meet in {box}. Take out all but two of them first.")


@phrase("plan-no-turning")
def _no_turning(box: str) -> Phrase:
    return Phrase(f"{box} has no two sides that could change places.")


@phrase("plan-id-used")
def _id_used(thing: str) -> Phrase:
    return Phrase(f"The id {thing} has been used in this plan: choose another.")


@phrase("plan-distance")
def _distance(metres: str, most: float) -> Phrase:
    return Phrase(f"A run cannot be laid out over {metres} m; above 1 m and up to {most} m.")


@phrase("plan-load")
def _load(watts: str, mbps: str) -> Phrase:
    return Phrase(f"A far end of {watts} W at {mbps} Mb/s cannot be planned for.")
