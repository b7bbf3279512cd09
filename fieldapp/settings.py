"""What the technician chose for this phone: one table says which choices there are."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from types import MappingProxyType
from typing import Any

from fieldapp.handover.documents import HTML, PDF
from fieldapp.handover.html import PAPERS
from fieldapp.handover.sheets import GRIDS
from fieldapp.words.manner import LANGUAGES, Manner

CHOICES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "look": ("sun", "dark", "phone"),
        "letters": ("phone", "larger", "largest"),
        "hand": ("right", "left"),
        "buzz": ("on", "off"),
        "awake": ("on", "off"),
        "lengths": ("metres", "feet"),
        "wire": ("mm2", "awg"),
        "language": tuple(LANGUAGES),
        "paper": tuple(PAPERS),
        "kind": (PDF, HTML),
        "labels": tuple(GRIDS),
    }
)
"""by setting: what it can be"""


@dataclass(frozen=True)
class Settings:
    """What the technician chose; ``CHOICES`` says what each can be."""

    look: str = "phone"
    letters: str = "phone"
    """how large: as the phone has them, or more"""
    hand: str = "right"
    """which thumb presses: what stands at the edge changes sides"""
    buzz: str = "on"
    awake: str = "off"
    """whether the screen stays lit all the time; a page of wires always does"""
    lengths: str = "metres"
    wire: str = "mm2"
    language: str = "en"
    name: str = ""
    found_from: int = 0
    """what was found counts from behind this entry of this phone"""
    paper: str = "a4"
    """of the report"""
    kind: str = "pdf"
    """as what the report is written"""
    labels: str = "a4"
    """the labels' sheets"""
    asked_to_stay: bool = False
    """of an installed page: the browser was asked to keep what is here"""
    told_offline: bool = False
    """it was said on the list of jobs that it works without signal"""
    reminded: str = ""
    """the day on which no more was wanted to be heard of copies"""

    @property
    def manner(self) -> Manner:
        """How words are said."""
        return Manner(self.language, self.lengths, self.wire)


def settings_kept(setting: Callable[[str, Any], Any]) -> Settings:
    """The settings as they were kept; of another version's choices only those known here.

    ``setting`` gives what was kept under a name, or what is said beside it.
    """
    out: dict[str, Any] = {}
    for one in fields(Settings):
        kept = setting(one.name, one.default)
        is_known = kept in CHOICES[one.name] if one.name in CHOICES else True
        out[one.name] = kept if is_known and type(kept) is type(one.default) else one.default
    return Settings(**out)
