"""Which row of the published numbers is used where, read out of the package's own sources."""

from __future__ import annotations

import ast
import pkgutil
import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from attrs import field, frozen

import engine
from engine.standards.families import FAMILIES

_HERE = "engine.standards"
Place = tuple[str, str]
"""a module's dotted name, and a function, method or constant in it"""


@frozen
class _Seen:
    """What one place looks up: rows of the tables, and places of this package it names."""

    place: Place
    rows: frozenset[str]
    names: frozenset[Place]


@frozen
class _Imports:
    """What a module calls the modules and names of the standards."""

    modules: dict[str, str] = field(factory=dict)
    names: dict[str, Place] = field(factory=dict)


def uses() -> dict[str, tuple[str, ...]] | None:
    """Row id -> the places outside this package that rest on it, sorted.

    A place rests on a row when it looks the row up, or names a function or constant here
    that does, over any number of steps within this package. Empty for rows that nothing
    rests on; None when the sources are not at hand, as with compiled files alone.

    >>> "limits._limit" in uses()["class-4-source-watts"]
    True
    """
    trees = _trees()
    if trees is None:
        return None
    seen = [one for module, tree in trees.items() for one in _look(module, tree)]
    return {row: _resting(row, seen) for _, rows in FAMILIES.values() for row in rows}


def _resting(row: str, seen: Iterable[_Seen]) -> tuple[str, ...]:
    """The places outside this package that rest on one row."""
    reached = {one.place for one in seen if row in one.rows}
    while True:
        carriers = {place for place in reached if place[0].startswith(_HERE)}
        more = {one.place for one in seen if one.names & carriers} - reached
        if not more:
            return tuple(sorted(_shown(place) for place in reached - carriers))
        reached |= more


def _shown(place: Place) -> str:
    return ".".join(place).removeprefix("engine.")


def _trees() -> Mapping[str, ast.Module] | None:
    """Every module of the engine as a tree, none of them imported for it."""
    out, folders = {}, [(list(engine.__path__), "engine.")]
    while folders:
        for found in pkgutil.iter_modules(*folders.pop()):
            finder: Any = found.module_finder  # of a folder or of a zip: no type fits both
            spec = finder.find_spec(found.name)
            text: str | None = spec.loader.get_source(found.name)
            if text is None:
                return None
            out[found.name] = ast.parse(text)
            if found.ispkg:
                folders.append((spec.submodule_search_locations, f"{found.name}."))
    return out


def _look(module: str, tree: ast.Module) -> Iterator[_Seen]:
    imports = _imports(tree)
    if module.startswith(_HERE):
        imports.names.update({name: (module, name) for name, _ in _places(tree)})
    for name, node in _places(tree):
        rows, names = set(), set()
        own = _own_names(node)
        for part in ast.walk(node):
            if isinstance(part, ast.Subscript):
                rows |= _rows(part)
            elif isinstance(part, ast.Name) and part.id in imports.names and part.id not in own:
                names.add(imports.names[part.id])
            elif isinstance(part, ast.Attribute) and isinstance(part.value, ast.Name):
                home = imports.modules.get(part.value.id)
                if home is not None:
                    names.add((home, part.attr))
        yield _Seen((module, name), frozenset(rows), frozenset(names - {(module, name)}))


def _own_names(node: ast.AST) -> set[str]:
    """Names that a place gives itself, which may look like those of a standard."""
    own = {part.arg for part in ast.walk(node) if isinstance(part, ast.arg)}
    stored = (part for part in ast.walk(node) if isinstance(part, ast.Name))
    return own | {part.id for part in stored if isinstance(part.ctx, ast.Store)}


def _imports(tree: ast.Module) -> _Imports:
    out = _Imports()
    for node in tree.body:
        if not isinstance(node, ast.ImportFrom) or not (node.module or "").startswith(_HERE):
            continue
        for alias in node.names:
            called = alias.asname or alias.name
            if node.module == _HERE:
                out.modules[called] = f"{_HERE}.{alias.name}"
            elif node.module:
                out.names[called] = (node.module, alias.name)
    return out


def _places(tree: ast.Module) -> Iterator[tuple[str, ast.AST]]:
    """Functions, methods and constants of a module with their names."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef):
            yield node.name, node
        elif isinstance(node, ast.ClassDef):
            for part in node.body:
                inner = f".{part.name}" if isinstance(part, ast.FunctionDef) else ""
                yield f"{node.name}{inner}", part
        elif isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None:
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            for target in targets:
                if isinstance(target, ast.Name):
                    yield target.id, node


def _rows(lookup: ast.Subscript) -> set[str]:
    """The ids that a lookup in one of the tables can ask for."""
    table = getattr(lookup.value, "id", getattr(lookup.value, "attr", ""))
    family = FAMILIES.get(table.lower()) if table.isupper() else None
    if family is None:
        return set()
    asked = [
        re.escape(text) for part in ast.walk(lookup.slice) if (text := _text(part)) is not None
    ]
    asked += [_pattern(part) for part in ast.walk(lookup.slice) if isinstance(part, ast.JoinedStr)]
    return {row for row in family[1] for pattern in asked if re.fullmatch(pattern, row)}


def _text(node: ast.AST) -> str | None:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    return None


def _pattern(text: ast.JoinedStr) -> str:
    """A formatted string as a pattern: what is put in may be anything."""
    parts = map(_text, text.values)
    return "".join(".+" if part is None else re.escape(part) for part in parts)
