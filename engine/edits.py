"""Plan edits: ``set``, ``add`` and ``remove`` carried out on a document.

A path names its way by keys; things in a list are named by their id.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Any

from engine.entries import Entry


class BadEdit(Exception):
    """A plan edit whose path does not lead anywhere."""


def edited(doc: Mapping[str, Any], entry: Entry) -> dict[str, Any]:
    """The document with one plan edit carried out; the one given is left alone.

    Raises
    ------
    BadEdit : the path leads nowhere.
    """
    out = copy.deepcopy({key: value for key, value in doc.items() if key != "log"})
    *way, last = entry.body["path"] or ("",)
    if last in ("log", "format", "id") and not way:
        raise BadEdit(f"{last} is not part of the plan")
    spot: Any = out
    for depth, name in enumerate(way):
        if entry.what == "add" and depth == 0 and isinstance(out, dict) and name not in out:
            out[name] = [] if name in LISTS else {}
        spot = _child(spot, name)
    value = entry.body.get("value")
    if entry.what == "set":
        _put(spot, last, value)
    elif entry.what == "add":
        _add(spot, last, value)
    else:
        _drop(spot, last)
    return out


LISTS = frozenset({"boxes", "spans", "meters", "walks"})
"""parts of a plan that are lists; their things are named by their id"""


def _add(spot: Any, name: str, value: Any) -> None:
    """Put a new thing under its own name, or at the end of the list that is named."""
    if isinstance(spot, list):
        if any(isinstance(thing, dict) and _is_named(thing, name) for thing in spot):
            raise BadEdit(f"{name} is there already")
        spot.append(value)
    elif isinstance(spot, dict) and isinstance(spot.get(name), list):
        spot[name].append(value)
    elif isinstance(spot, dict) and name not in spot:
        spot[name] = [value] if name in LISTS else value
    else:
        raise BadEdit(f"{name} is there already")


def _is_named(thing: Mapping[str, Any], name: str) -> bool:
    return str(thing.get("id", "")).lower() == name.lower()


def _child(spot: Any, name: str) -> Any:
    """What ``name`` leads to; things in a list are named by their id."""
    if isinstance(spot, dict) and name in spot:
        return spot[name]
    if isinstance(spot, list):
        for thing in spot:
            if isinstance(thing, dict) and _is_named(thing, name):
                return thing
    raise BadEdit(f"there is no {name}")


def _put(spot: Any, name: str, value: Any) -> None:
    if isinstance(spot, dict):
        spot[name] = value
    elif isinstance(spot, list):
        spot[spot.index(_child(spot, name))] = value
    else:
        raise BadEdit(f"nothing can be set at {name}")


def _drop(spot: Any, name: str) -> None:
    thing = _child(spot, name)
    if isinstance(spot, dict):
        del spot[name]
    else:
        spot.remove(thing)
