"""The sentences of planning: why a plan cannot be changed so."""

from __future__ import annotations

from fieldapp.words.english.figures import tied
from fieldapp.words.english.said import says


@says("plan-path")
def _path(problem: str) -> str:
    return f"That change leads nowhere: {problem}."


@says("plan-unread")
def _unread(problem: str) -> str:
    return f"The plan would not hold together so. {problem}"


@says("plan-absent")
def _absent(thing: str) -> str:
    return f"There is no **{thing}** in this plan."


@says("plan-sheet")
def _sheet(sheet: str) -> str:
    return f"No sheet **{sheet}** fits here."


@says("plan-no-way-through")
def _no_way_through(sheet: str, kind: str) -> str:
    return f"No span can run on through {sheet}: it is of the kind {kind}."


@says("plan-share")
def _share(share: str) -> str:
    return f"A box stands between the two ends of a span; {share} of it is not between."


@says("plan-many-spans")
def _many_spans(box: str, spans: int) -> str:
    return f"{spans} spans meet in **{box}**. Take out all but two of them first."


@says("plan-no-turning")
def _no_turning(box: str) -> str:
    return f"**{box}** has no two sides that could change places."


@says("plan-id-used")
def _id_used(thing: str) -> str:
    return f"The id {thing} was used before in this plan. Choose another."


@says("plan-distance")
def _distance(metres: str, most: int) -> str:
    return f"No run can be laid out over {tied(f'{metres} m')}. Type 1 to {tied(f'{most} m')}."


@says("plan-load")
def _load(watts: str, mbps: str) -> str:
    asked = f"{tied(f'{watts} W')} at {tied(f'{mbps} Mb/s')}"
    return f"A far end of {asked} cannot be planned for."


@says("plan-no-length")
def _no_length() -> str:
    return "Type how far it is first."
