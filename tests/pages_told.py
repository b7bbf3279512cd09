"""What README.md and DEVELOPERS.md name: commands, files, names, words on the screen; and what each
command may be called with, read from whatever reads it."""

from __future__ import annotations

import argparse
import ast
import re
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple, NoReturn

from engine.__main__ import COMMANDS
from engine.__main__ import parser as engine_parser
from fieldapp.__main__ import parser as app_parser
from fieldapp.exchange.command import parser as exchange_parser
from fieldapp.handover.label_command import parser as labels_parser
from fieldapp.handover.report import parser as report_parser
from fieldapp.phone.bundle import parser as bundle_parser
from fieldapp.phone.serve import parser as serve_parser

ROOT = Path(__file__).resolve().parent.parent
PAGES = MappingProxyType(
    {name: (ROOT / name).read_text(encoding="utf-8") for name in ("README.md", "DEVELOPERS.md")}
)
README, DEVELOPERS = PAGES.values()
BLOCK = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
BEGINS = ("farend", "python", "python3", "pytest", "pip", "ruff", "mypy", "adb", "flet", ".ci/run")
"""what a command begins with, once its folder and what is set for it are taken off"""
SET = re.compile(r"^([A-Z_]+)=\S+$")
STANDS_FOR = re.compile(r"^[A-Z]+…?(\.\w+)?$")
"""a word of a command that stands for one's own, such as FILE or OUT.pdf"""


class Block(NamedTuple):
    """A block of code: its language and its text."""

    language: str
    text: str


class Command(NamedTuple):
    """A command as a page has it: the page, its words, what is set in front of it."""

    page: str
    words: tuple[str, ...]
    sets: tuple[str, ...] = ()

    @property
    def text(self) -> str:
        return " ".join(self.words)

    @property
    def is_whole(self) -> bool:
        """Whether it can be given as it stands: no word of it stands for one's own."""
        return not any(STANDS_FOR.match(word) for word in self.words)


def blocks(page: str) -> list[Block]:
    """The blocks of code of a page, from top to bottom."""
    return [Block(*found) for found in BLOCK.findall(PAGES[page])]


@cache
def spans(page: str) -> tuple[str, ...]:
    """What stands in backticks in the sentences of a page."""
    return tuple(dict.fromkeys(re.findall(r"`([^`\n]+)`", BLOCK.sub("", PAGES[page]))))


def as_command(page: str, text: str) -> Command | None:
    """A text as a command, or None where it is none."""
    words, sets = text.split(), []
    while words and (found := SET.match(words[0])):
        sets.append(found[1])
        words = words[1:]
    if not words:
        return None
    first = words[0].removeprefix(".venv/bin/")
    if first not in BEGINS:
        return None
    return Command(page, (first, *(word.strip("'\"") for word in words[1:])), tuple(sets))


def commands(page: str) -> Iterator[Command]:
    """Every command of a page in its order, those joined by ``&&`` one by one."""
    place = 0
    text = PAGES[page]
    for found in re.finditer(r"^```(\w*)\n(.*?)^```$|`([^`\n]+)`", text, re.MULTILINE | re.DOTALL):
        assert found.start() >= place
        place = found.end()
        language, block, span = found.groups()
        if span is not None:
            lines = [span]
        elif language == "sh":
            lines = block.splitlines()
        else:
            lines = [line[2:] for line in block.splitlines() if line.startswith("$ ")]
        for line in lines:
            for part in line.split(" && "):
                one = as_command(page, part)
                assert one or span is not None, f"{page}: no way to try {part!r} is known"
                if one is not None:
                    yield one


# ---------------------------------------------------------------- what a command may be called with


class Wrong(Exception):
    """A command that would be refused."""


def refusing(parser: argparse.ArgumentParser) -> argparse.ArgumentParser:
    """The parser, raising ``Wrong`` where it would print its grammar and end."""

    def error(message: str) -> NoReturn:
        raise Wrong(message)

    parser.error = error
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for one in action.choices.values():
                refusing(one)
        action.type = None  # a word that stands for a number is taken too
    return parser


FAREND: Mapping[str, Callable[[], argparse.ArgumentParser]] = {
    "export": lambda: exchange_parser("export"),
    "import": lambda: exchange_parser("import"),
    "report": report_parser,
    "labels": labels_parser,
    "bundle": bundle_parser,
    "serve": serve_parser,
}


def require_farend(words: tuple[str, ...]) -> None:
    """Raise ``Wrong`` where ``farend`` would not take these words."""
    if set(words) & {"--help", "--version"} or (
        len(words) == 1 and words[0] in (*COMMANDS, *FAREND)
    ):
        return  # a command that is named, not given
    if words and words[0] in COMMANDS:
        refusing(engine_parser("farend")).parse_args(words)
    elif words and words[0] in FAREND:
        refusing(FAREND[words[0]]()).parse_args(words[1:])
    else:
        refusing(app_parser()).parse_args(words)


def script_of(words: tuple[str, ...]) -> tuple[Path, tuple[str, ...]]:
    """The file that ``python`` would run, and what it would be given."""
    if words[0] != "-m":
        return ROOT / words[0], words[1:]
    way = ROOT.joinpath(*words[1].split("."))
    script = way / "__main__.py" if way.is_dir() else way.with_suffix(".py")
    return script, words[2:]


KEPT = ("nargs", "action", "choices", "dest")


def grammar_of(script: Path) -> argparse.ArgumentParser | None:
    """The grammar of a script, put together from its ``add_argument`` without running it.

    None where it has no such: it reads its words by hand, or takes none.
    """
    tree = ast.parse(script.read_text(encoding="utf-8"))
    out = argparse.ArgumentParser(prog=script.name)
    calls = [
        node
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "add_argument"
    ]
    for call in calls:
        how = {}
        for key in call.keywords:
            if key.arg in KEPT:
                try:
                    how[key.arg] = ast.literal_eval(key.value)
                except ValueError:  # worked out elsewhere: any word will do
                    continue
        out.add_argument(*(ast.literal_eval(arg) for arg in call.args), **how)
    return out if calls else None


def require_script(words: tuple[str, ...]) -> None:
    """Raise ``Wrong`` where there is no such script, or it would not take these words."""
    script, given = script_of(words)
    if not script.is_file():
        raise Wrong(f"no file {script}")
    whole = script.name == "__main__.py"  # what a package knows may stand in any file of it
    its = sorted(script.parent.glob("*.py")) if whole else [script]
    text = "".join(path.read_text(encoding="utf-8") for path in its)
    if '__name__ == "__main__"' not in text and not whole:
        raise Wrong(f"{script.name} does nothing when it is run")
    grammar = grammar_of(script)
    if grammar is not None:
        refusing(grammar).parse_args(given)
    elif given and "sys.argv" not in text:
        raise Wrong(f"{script.name} takes no words")
    else:  # words that are not one's own stand in what says how it is run, or in a table
        unknown = [
            word
            for word in given
            if not STANDS_FOR.match(word) and not word.isdigit() and word not in text
        ]
        if unknown:
            raise Wrong(f"{script.name} does not know {unknown}")


def require_pytest(words: tuple[str, ...], marks: set[str]) -> None:
    """Raise ``Wrong`` where files, functions or marks that pytest is given are not there."""
    grammar = argparse.ArgumentParser(prog="pytest")
    grammar.add_argument("-n")
    grammar.add_argument("-m", dest="mark", nargs="+", default=[])
    grammar.add_argument("files", nargs="*")
    given = refusing(grammar).parse_args(words)
    known = {*marks, "not", "and", "or"}
    if set(given.mark) - known:
        raise Wrong(f"no mark {given.mark}")
    for one in given.files:
        file, _, function = one.partition("::")
        text = (ROOT / file).read_text(encoding="utf-8") if (ROOT / file).is_file() else ""
        if not text or (function and f"def {function}(" not in text):
            raise Wrong(f"no {one}")


# ---------------------------------------------------------------- what else stands in backticks


@cache
def files() -> frozenset[str]:
    """Every file and folder of the house, by its way from the top."""
    out = set()
    for folder in ("engine", "fieldapp", "tests", "sample_jobs", ".ci", ".github"):
        out |= {str(path.relative_to(ROOT)) for path in (ROOT / folder).rglob("*")}
    out = {one for one in out if "__pycache__" not in one}
    return frozenset(out | {"README.md", "DEVELOPERS.md", "pyproject.toml", ".ci", ".github"})


def is_there(name: str) -> bool:
    """Whether a file or folder of this name, or one whose way ends so, is in the house."""
    end = name.rstrip("/")
    pattern = re.compile(r"(^|.*/)" + re.escape(end).replace(r"\*", "[^/]*") + "$")
    return any(pattern.match(one) for one in files())


@cache
def source_words() -> frozenset[str]:
    """Every word of our own sources, with dots and dashes in it and without."""
    out: set[str] = set()
    for name in files():
        if name.endswith((".py", ".js", ".json", ".toml", ".yml", ".html")):
            text = (ROOT / name).read_text(encoding="utf-8")
            out |= set(re.findall(r"[\w-]+", text)) | set(re.findall(r"\w+", text))
    out |= set(re.findall(r"[\w-]+", (ROOT / "pyproject.toml").read_text(encoding="utf-8")))
    return frozenset(out)


@cache
def on_screen() -> str:
    """The English words of the app, and the engine's own, with plain blanks."""
    places = [*(ROOT / "fieldapp/words/english").glob("*.py"), *(ROOT / "engine").rglob("*.py")]
    text = "\n".join(path.read_text(encoding="utf-8") for path in sorted(places))
    return re.sub(r"\s+", " ", text)
