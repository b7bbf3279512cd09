"""Words of the door in German: the page that asks for the code, and what the terminal says of it."""

from __future__ import annotations

from fieldapp.words.german.figures import NBSP


def door_title() -> str:
    """The head of the page that asks for the code."""
    return "Code eintippen"


def door_ask() -> str:
    """Where the code stands."""
    return "Er steht im Terminal des Rechners, auf dem Farend läuft, und lässt ein Handy herein."


def door_label() -> str:
    """The field for the code."""
    return "Code"


def door_slab() -> str:
    """The button under it."""
    return "Farend öffnen"


def door_plain() -> str:
    """What anyone on the network can do."""
    return (
        "Diese Verbindung ist unverschlüsseltes HTTP: Wer im selben Netz ist, kann alles mitlesen und "
        "ändern. Nur in einem Netz, dem du traust."
    )


def door_wrong(wait_s: int) -> str:
    """What the page says after a wrong code."""
    return f"Das ist nicht der Code. Der nächste Versuch zählt in {wait_s}{NBSP}s."


def door_too_soon(wait_s: int) -> str:
    """What the page says to a code that came too soon: it was not looked at."""
    return f"Zu früh nach einem falschen Code. In {wait_s}{NBSP}s noch einmal."


def door_open_for(code: str) -> str:
    """The line of the terminal with the code of the moment."""
    return f"Code für das nächste Handy: {code}"


def door_came_in(address: str) -> str:
    """Somebody typed the code."""
    return f"{address} hat den Code getippt und ist drin."


def door_was_wrong(address: str, count: int) -> str:
    """Somebody typed a wrong one."""
    return f"{address} hat einen falschen Code getippt; falsche bisher: {count}."


def door_no_address() -> str:
    """No network to be reached by."""
    return "dieser Rechner hat keine Adresse in einem lokalen Netz; mit --address eine nennen"


def door_bad_address(address: str) -> str:
    """An address that is none of a local network."""
    return f"{address} ist keine IPv4-Adresse eines lokalen Netzes wie etwa 192.168.1.20"
