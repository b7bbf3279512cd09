"""What is asked of a phone for comfort: light, pulses of its motor, what it was asked for itself."""

from __future__ import annotations

import contextlib
from collections.abc import Awaitable, Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from fieldapp import messages as m
from fieldapp.comfort import KEPT_INSIDE, KEPT_OTHER, KEY, REFUSED

PULSES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        KEY: ("selection_click",),
        KEPT_INSIDE: ("medium_impact",),
        KEPT_OTHER: ("heavy_impact", "heavy_impact"),
        REFUSED: ("vibrate",),
    }
)
"""by what is to be felt: the motor's own words"""


@dataclass(frozen=True)
class Comforts:
    """What a page can do for comfort: stay lit, give pulses one by one, say what it was asked for."""

    lit: Callable[[bool], Awaitable[None]] | None = None
    pulses: Callable[[tuple[str, ...]], Awaitable[None]] | None = None
    wishes: Callable[[], Awaitable[tuple[bool, bool]]] | None = None


def actions_of(comforts: Comforts) -> dict[type, Callable[[Any, Any], Awaitable[None]]]:
    """The effects of comfort; a phone that will not is no reason to stop."""

    async def stay_awake(effect: m.StayAwake, send: Any) -> None:
        if comforts.lit is not None:
            with contextlib.suppress(Exception):
                await comforts.lit(effect.on)

    async def buzz(effect: m.Buzz, send: Any) -> None:
        if comforts.pulses is not None:
            with contextlib.suppress(Exception):
                await comforts.pulses(PULSES[effect.how])

    async def ask_wishes(effect: m.AskWishes, send: Any) -> None:
        """What cannot be found out stays as it was."""
        if comforts.wishes is None:
            return
        with contextlib.suppress(Exception):
            still, contrast = await comforts.wishes()
            send(m.WishesSeen(still, contrast))

    return {m.StayAwake: stay_awake, m.Buzz: buzz, m.AskWishes: ask_wishes}
