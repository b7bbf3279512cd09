"""The few words that stand inside drawings. The words module gives its own, in its language.

Everything else a drawing prints (names, ids, dimensions) comes in ready-made.
"""

from collections.abc import Callable
from dataclasses import dataclass

NBSP = "\u00a0"


def _metres(value: float) -> str:
    return f"{value:.0f}{NBSP}m"


def _volts(value: float) -> str:
    return f"{value:.1f}{NBSP}V"


def _grid_volts(value: float) -> str:
    return f"{value:g}{NBSP}V"


def _more(count: int) -> str:
    return f"+{count}{NBSP}{'box' if count == 1 else 'boxes'}"


def _stop(name: str, place: str) -> str:
    return f"{name}{NBSP}{NBSP}{place}"


def _minutes(value: float) -> str:
    return f"{value:.0f}{NBSP}min"


@dataclass(frozen=True)
class Wording:
    """Words and figures printed by drawings; each is a whole phrase with named parts."""

    metres: Callable[[float], str] = _metres
    volts: Callable[[float], str] = _volts
    grid_volts: Callable[[float], str] = _grid_volts
    more: Callable[[int], str] = _more
    stop: Callable[[str, str], str] = _stop
    minutes: Callable[[float], str] = _minutes
    design: str = "design"
    today: str = "today"
    no_data: str = "power, no data"


ENGLISH = Wording()
