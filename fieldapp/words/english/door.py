"""Words of the door: the page that asks for the code, and what the terminal says of it."""

from __future__ import annotations

from fieldapp.words.english.figures import NBSP


def door_title() -> str:
    """The head of the page that asks for the code."""
    return "Type the code"


def door_ask() -> str:
    """Where the code stands."""
    return "It stands in the terminal of the computer that runs Farend, and lets one phone in."


def door_label() -> str:
    """The field for the code."""
    return "Code"


def door_slab() -> str:
    """The button under it."""
    return "Open Farend"


def door_plain() -> str:
    """What anyone on the network can do."""
    return (
        "This connection is plain HTTP: whoever shares the network can read what goes over it, "
        "and change it. Use it only on a network you trust."
    )


def door_wrong(wait_s: int) -> str:
    """What the page says after a wrong code."""
    return f"That is not the code. The next try counts in {wait_s}{NBSP}s."


def door_too_soon(wait_s: int) -> str:
    """What the page says to a code that came too soon: it was not looked at."""
    return f"Too soon after a wrong code. Try again in {wait_s}{NBSP}s."


def door_open_for(code: str) -> str:
    """The line of the terminal with the code of the moment."""
    return f"Code for the next phone: {code}"


def door_came_in(address: str) -> str:
    """Somebody typed the code."""
    return f"{address} typed the code and is in."


def door_was_wrong(address: str, count: int) -> str:
    """Somebody typed a wrong one."""
    return f"{address} typed a wrong code; {count} wrong in all."


def door_no_address() -> str:
    """No network to be reached by."""
    return "this computer has no address on a local network; name one with --address"


def door_bad_address(address: str) -> str:
    """An address that is none of a local network."""
    return f"{address} is no IPv4 address of a local network, such as 192.168.1.20"
