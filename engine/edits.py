"""Plan edits: ``set``, ``add`` and ``remove`` carried out on a document.

A path names its way by keys; things in a list are named by their id. The document given is
left alone; what an edit does not touch is shared with the new one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from engine.entries import Entry

Path = tuple[str, ...]
LISTS = frozenset({"boxes", "spans", "meters", "walks"})
"""parts of a plan that are lists; their things are named by their id"""
NAMED = frozenset({"stops", "earths", "budgets"})
"""parts of a plan whose keys are ids"""
KEPT = frozenset({"log", "format", "id"})
"""keys of a job that are not part of its plan"""


class _Gone:
    """What stands at a path where there is nothing."""

    def __repr__(self) -> str:
        return "GONE"


GONE: Any = _Gone()


class BadEdit(Exception):
    """A plan edit whose path does not lead anywhere."""


def edited(doc: Mapping[str, Any], entry: Entry) -> dict[str, Any]:
    """The document with one plan edit carried out.

    Raises
    ------
    BadEdit : the path leads nowhere.
    """
    *way, last = _spelled(doc, _path(entry))
    value = entry.body.get("value")
    acts = {
        "set": lambda spot: _put(spot, last, value),
        "add": lambda spot: _add(spot, last, value),
        "remove": lambda spot: _drop(spot, last),
    }
    start = dict(doc)
    if entry.what == "add" and way and way[0] not in start:
        start[way[0]] = [] if way[0] in LISTS else {}
    return _along(start, tuple(way), acts[entry.what])


def put(doc: Mapping[str, Any], path: Path, value: Any) -> dict[str, Any]:
    """The document with this value at this path, whatever stood there; ``GONE`` takes it out.

    Raises
    ------
    BadEdit : the path leads nowhere.
    """
    *way, last = _spelled(doc, path)

    def act(spot: Any) -> None:
        stands = _found(spot, last) is not GONE
        if value is GONE:
            if stands:
                _drop(spot, last)
        elif stands:
            _put(spot, last, value)
        else:
            _add(spot, last, value)

    return _along(dict(doc), tuple(way), act)


def value_at(doc: Mapping[str, Any], path: Path) -> Any:
    """What stands at a path of a document, ``GONE`` where there is nothing."""
    return within(doc, _spelled(doc, path))


def within(value: Any, path: Path) -> Any:
    """What stands at a path inside a part of a document."""
    for name in path:
        value = _found(value, name)
    return value


def spot_of(entry: Entry) -> Path:
    """The path of the thing that an edit is about: one added to a list is named by its id.

    What has no name there, as a walk, is by itself.
    """
    path = _path(entry)
    if entry.what != "add" or path[-1] not in LISTS or len(path) > 1:
        return path
    value = entry.body.get("value")
    ident = value.get("id") if isinstance(value, dict) else None
    return (*path, ident if isinstance(ident, str) else f"*{entry.id}")


def compared(path: Path) -> Path:
    """A path as it is compared: ids without case; the names of sheets are to the letter."""
    return path if path[0] == "sheets" else tuple(name.lower() for name in path)


def ids_of(doc: Mapping[str, Any]) -> frozenset[str]:
    """Every id of a plan, as it is compared."""
    listed = [thing["id"] for group in ("boxes", "spans", "meters") for thing in doc.get(group, ())]
    return frozenset(
        name.lower() for name in [*listed, *(n for g in NAMED for n in doc.get(g, ()))]
    )


def _path(entry: Entry) -> Path:
    path = tuple(entry.body["path"]) or ("",)
    if path[0] in KEPT and len(path) == 1:
        raise BadEdit(f"{path[0]} is not part of the plan")
    return path


def _spelled(doc: Mapping[str, Any], path: Path) -> Path:
    """A path with the name of a stop, earth or budget as the document spells it."""
    if len(path) < 2 or path[0] not in NAMED:
        return path
    group, name, *rest = path
    same = (one for one in doc.get(group, ()) if one.lower() == name.lower())
    return (group, next(same, name), *rest)


def _along(doc: dict[str, Any], way: Path, act: Callable[[Any], None]) -> dict[str, Any]:
    """A copy of what leads along a way, altered at its end."""
    spot: Any = doc
    for name in way:
        child = _child(spot, name)
        copied = child.copy() if isinstance(child, dict | list) else child
        _put(spot, name, copied)
        spot = copied
    act(spot)
    return doc


def _add(spot: Any, name: str, value: Any) -> None:
    """Put a new thing under its own name, or at the end of the list that is named."""
    if isinstance(spot, list):
        if _found(spot, name) is not GONE:
            raise BadEdit(f"{name} is there already")
        if isinstance(value, dict) and "id" in value and not _is_named(value, name):
            raise BadEdit(f"what is to be {name} has another id")
        spot.append(value)
    elif isinstance(spot, dict) and isinstance(spot.get(name), list):
        spot[name] = [*spot[name], value]
    elif isinstance(spot, dict) and name not in spot:
        spot[name] = [value] if name in LISTS else value
    else:
        raise BadEdit(f"{name} is there already")


def _is_named(thing: Any, name: str) -> bool:
    return isinstance(thing, dict) and str(thing.get("id", "")).lower() == name.lower()


def _found(spot: Any, name: str) -> Any:
    if isinstance(spot, dict):
        return spot.get(name, GONE)
    if isinstance(spot, list):
        return next((thing for thing in spot if _is_named(thing, name)), GONE)
    return GONE


def _child(spot: Any, name: str) -> Any:
    """What ``name`` leads to; things in a list are named by their id."""
    found = _found(spot, name)
    if found is GONE:
        raise BadEdit(f"there is no {name}")
    return found


def _put(spot: Any, name: str, value: Any) -> None:
    if isinstance(spot, dict):
        spot[name] = value
    elif isinstance(spot, list):
        spot[_place(spot, name)] = value
    else:
        raise BadEdit(f"nothing can be set at {name}")


def _drop(spot: Any, name: str) -> None:
    _child(spot, name)
    del spot[name if isinstance(spot, dict) else _place(spot, name)]


def _place(spot: list[Any], name: str) -> int:
    for place, thing in enumerate(spot):
        if _is_named(thing, name):
            return place
    raise BadEdit(f"there is no {name}")
