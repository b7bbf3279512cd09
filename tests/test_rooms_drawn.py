"""The drawing of the house in DEVELOPERS.md: every file stands in one box, every arrow is an import,
and every import is an arrow."""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Iterator
from fnmatch import fnmatchcase
from typing import NamedTuple

import pytest
from pages_told import ROOT, blocks
from test_architecture import dotted

GROUND = "ground"
"""what every room of the engine may import, undrawn"""
CORE = "commands"
"""the first box of the engine: what stands above it is the shell"""
BOX = re.compile(r"^\+-- (\w+) -+\+$")
ROW = re.compile(r"^\| (.*?) \|(?: +(.*))?$")


class Room(NamedTuple):
    """A box: its package, the files in it, the rooms below that it imports, those above."""

    package: str
    files: tuple[str, ...]
    down: frozenset[str]
    up: frozenset[str]


def drawn(text: str) -> dict[str, Room]:
    """The rooms of a drawing, from top to bottom.

    Raises
    ------
    ValueError : a line that is none of a box.
    """
    out: dict[str, Room] = {}
    name, package = "", "fieldapp"
    for line in text.strip("\n").splitlines():
        if head := BOX.match(line):
            name, way = head[1], ""
            package = "engine" if name == CORE else package
            out[name] = Room(package, (), frozenset(), frozenset())
        elif row := ROW.match(line):
            files, arrow = row[1].split(), row[2] or ""
            way = arrow[:3] if arrow[:3] in ("-->", "^->") else way
            others = frozenset(re.findall(r"\w+", arrow))
            room = out[name]
            out[name] = room._replace(
                files=(*room.files, *files),
                down=room.down | (others if way == "-->" else frozenset()),
                up=room.up | (others if way == "^->" else frozenset()),
            )
        elif not re.match(r"^\+-+\+$", line):
            raise ValueError(line)
    return out


DRAWING = next(block.text for block in blocks("DEVELOPERS.md") if block.text.startswith("+--"))
ROOMS = drawn(DRAWING)
FILES = {
    dotted(path): path for name in ("engine", "fieldapp") for path in (ROOT / name).rglob("*.py")
}


def rooms_of(module: str) -> list[str]:
    """The rooms in which a module stands: by the first name behind its package."""
    package, _, rest = module.partition(".")
    first = rest.partition(".")[0]
    name = f"{first}/" if (ROOT / package / first).is_dir() else first
    return [
        room
        for room, box in ROOMS.items()
        if box.package == package and any(fnmatchcase(name, one) for one in box.files)
    ]


class Imports(ast.NodeVisitor):
    """Our own modules that a module imports when it runs: not for types alone."""

    def __init__(self) -> None:
        self.found: set[str] = set()

    def visit_If(self, node: ast.If) -> None:
        if "TYPE_CHECKING" in ast.unparse(node.test):
            for other in node.orelse:
                self.visit(other)
        else:
            self.generic_visit(node)

    def visit_Import(self, node: ast.Import) -> None:
        self.found |= {alias.name for alias in node.names}

    def visit_ImportFrom(self, node: ast.ImportFrom) -> None:
        module = node.module or ""
        whole = {f"{module}.{alias.name}" for alias in node.names}
        self.found |= {name if name in FILES else module for name in whole}


def imports(text: str) -> set[str]:
    """The names of our own modules that these sources import."""
    reader = Imports()
    reader.visit(ast.parse(text))
    return reader.found & set(FILES)


def arrows() -> Iterator[tuple[str, str, str]]:
    """Every import from one room into another, and the module that has it; the engine is one
    place to the shell."""
    for module, path in FILES.items():
        if "." not in module:
            continue
        (room,) = rooms_of(module)
        for other in imports(path.read_text(encoding="utf-8")):
            package = other.partition(".")[0]
            if package == "engine" and ROOMS[room].package == "fieldapp":
                yield room, "engine", module
            elif "." in other:
                (its,) = rooms_of(other)
                if its not in (room, GROUND):
                    yield room, its, module


ARROWS = frozenset((room, its) for room, its, _ in arrows())


@pytest.mark.parametrize("module", sorted(name for name in FILES if "." in name))
def test_a_file_stands_in_one_box(module):
    assert len(rooms_of(module)) == 1


def test_a_box_holds_nothing_that_is_gone():
    """Names with an asterisk stand for at least one file."""
    there = {
        package: {
            f"{path.name}/" if path.is_dir() else path.stem
            for path in (ROOT / package).iterdir()
            if path.is_dir() or path.suffix == ".py"
        }
        for package in ("engine", "fieldapp")
    }
    for room, box in ROOMS.items():
        for name in box.files:
            assert any(fnmatchcase(one, name) for one in there[box.package]), f"{room}: {name}"
    assert max(Counter(name for box in ROOMS.values() for name in box.files).values()) == 2, (
        "only the commands of both packages share a name"
    )


@pytest.mark.parametrize("room", ROOMS)
def test_the_arrows_of_a_box_are_its_imports(room):
    """All of them, and those upwards are told apart."""
    order = [*ROOMS, "engine"]
    its = {other for one, other in ARROWS if one == room}
    up = {other for other in its if order.index(other) < order.index(room)}

    assert ROOMS[room].down == its - up
    assert ROOMS[room].up == up


def test_the_engine_knows_no_room_of_the_shell():
    shell = {room for room, box in ROOMS.items() if box.package == "fieldapp"}
    assert shell and not [one for one in ARROWS if one[0] not in shell and one[1] in shell]
    assert ROOMS[GROUND].down == frozenset()


def test_the_reader_of_drawings_and_imports_sees_what_it_should():
    text = "+-- a ----+\n| one two | --> b,\n| three/  |     c\n|         | ^-> d\n+---------+"
    assert drawn(text) == {
        "a": Room("fieldapp", ("one", "two", "three/"), frozenset("bc"), frozenset("d"))
    }
    with pytest.raises(ValueError, match="nothing"):
        drawn("nothing")
    only = "if TYPE_CHECKING:\n    from engine import job\nfrom engine.band import Band\n"
    assert imports(only) == {"engine.band"}
