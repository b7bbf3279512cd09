"""The README and the developers' page say what is so: every command, result, file, name and word on
the screen that they tell of is tried here."""

from __future__ import annotations

import io
import re
import shutil
import sys
import tomllib
from collections.abc import Iterator, Mapping
from contextlib import chdir, redirect_stderr, redirect_stdout
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

import pytest
from pages_told import (
    DEVELOPERS,
    PAGES,
    README,
    ROOT,
    Command,
    Wrong,
    as_command,
    blocks,
    commands,
    files,
    is_there,
    on_screen,
    require_farend,
    require_pytest,
    require_script,
    source_words,
    spans,
)

from engine.crowds import MOST
from engine.faults.priors import WORTH
from engine.verdict import SITE_RATE
from fieldapp.__main__ import main
from fieldapp.exchange.limits import LIMITS
from fieldapp.jpeg import MOST_BYTES
from fieldapp.window import WIDE_FROM

sys.path.insert(0, str(ROOT / "tests" / "bench"))
from promises import ALL as PROMISES

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
MARKS = {mark.partition(":")[0] for mark in PROJECT["tool"]["pytest"]["ini_options"]["markers"]}
RUN, SHAPE, SCRIPT, TESTS, OUTSIDE = "run", "shape", "script", "tests", "outside"

WAYS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "farend --help": (RUN, ""),
        "farend --version": (RUN, ""),
        "farend advise": (RUN, ""),
        "farend check": (RUN, ""),
        "farend judge": (RUN, ""),
        "farend practice": (RUN, ""),
        "farend predict": (RUN, ""),
        "farend schema": (RUN, ""),
        "farend sources": (RUN, ""),
        "farend steps": (RUN, ""),
        "farend merge": (SHAPE, "joins two copies in tests/test_cli.py"),
        "farend report": (
            SHAPE,
            "writes in tests/test_report_pdf.py and tests/test_report_html.py",
        ),
        "farend labels": (SHAPE, "writes in tests/test_labels_pdf.py"),
        "farend export": (SHAPE, "writes in tests/test_cli_exchange.py"),
        "farend import": (SHAPE, "brings in, in tests/test_cli_exchange.py"),
        "farend bundle": (SHAPE, "half a minute: built in tests/test_phone_bundle.py"),
        "farend serve": (SHAPE, "runs until it is stopped: tests/test_phone_serve.py"),
        "farend": (SHAPE, "runs until it is stopped: tests/test_cli_open.py"),
        "python -m engine": (RUN, ""),
        "python -m fieldapp": (SCRIPT, "draws or fetches for minutes"),
        "python -m tests": (SCRIPT, "drives a browser for minutes"),
        "python tests": (SCRIPT, "measures for minutes, or for hours"),
        "python -m pytest": (TESTS, "the suite itself"),
        "pytest": (TESTS, "the suite itself"),
        "python -m venv": (OUTSIDE, "Python's own; .ci/run does it anew"),
        "python3 -m venv": (OUTSIDE, "Python's own; .ci/run does it anew"),
        "pip install": (OUTSIDE, "fetches from a network; .ci/run does it anew"),
        ".ci/run": (OUTSIDE, "what runs all of this"),
        "ruff": (OUTSIDE, "run by .ci/run"),
        "mypy": (OUTSIDE, "run by .ci/run"),
        "adb reverse": (OUTSIDE, "wants a phone on a cable"),
        "flet build": (OUTSIDE, "wants Flutter's tools"),
    }
)
"""how a command is tried, by how it begins, the longest such beginning first; and why it is not
simply run. What is not in this table fails."""


def way_of(command: Command) -> tuple[str, str]:
    """How a command is tried, and why so."""
    begins = [known for known in WAYS if re.match(re.escape(known) + r"(?![\w-])", command.text)]
    assert begins, f"{command.page}: no way to try {command.text!r} is known"
    return WAYS[max(begins, key=len)]


ALL = tuple(one for page in PAGES for one in commands(page))


class Printed(NamedTuple):
    """How a command ended, and what it wrote where."""

    status: int
    out: str
    wrong: str


@pytest.fixture(scope="module")
def printed(tmp_path_factory) -> Iterator[Mapping[str, Printed]]:
    """What the commands that are run print, by their words. They run in the order of the pages, in
    one folder with the sample jobs: one may read what another has written."""
    folder = tmp_path_factory.mktemp("told")
    shutil.copytree(ROOT / "sample_jobs", folder / "sample_jobs")
    out: dict[str, Printed] = {}
    with chdir(folder):
        for command in ALL:
            if way_of(command)[0] == RUN and command.is_whole and command.text not in out:
                out[command.text] = ran(command)
        yield out


def ran(command: Command) -> Printed:
    """One of our commands, run in this process."""
    words = command.words[1:]
    if words[:2] == ("-m", "engine"):
        words = words[2:]
    if ">" in words:
        words = words[: words.index(">")]
    said, wrong = io.StringIO(), io.StringIO()
    with redirect_stdout(said), redirect_stderr(wrong):
        try:
            status = main(words)
        except SystemExit as end:  # --help, --version
            status = end.code
    return Printed(status, said.getvalue(), wrong.getvalue())


# ---------------------------------------------------------------- commands


def test_two_commands_and_no_more_set_everything_up():
    """Each is one line that makes its own virtual environment; ``.ci/run`` takes the second."""
    lines = [line for line in README.splitlines() if "python3 -m venv" in line]

    assert len(lines) == 2
    assert lines[0].endswith("farend sample_jobs/reedbed-hide.json")
    assert lines[1].endswith("pytest -n 2")
    assert all(re.match(r"python3 -m venv \.venv && \.venv/bin/pip install ", c) for c in lines)
    assert next(line for line in README.splitlines() if "pytest" in line) == lines[1]


@pytest.mark.parametrize("command", ALL, ids=lambda one: f"{one.page[0]}: {one.text}")
def test_a_command_can_be_given(command, printed):
    """It is run, or held against what reads its words."""
    how, why = way_of(command)
    words = command.words[1:]
    assert all(is_there(word) for word in words if word.startswith(("sample_jobs/", "tests/")))
    if how == RUN and command.is_whole:
        assert printed[command.text].status == 0 and not printed[command.text].wrong
    elif how in (RUN, SHAPE):
        require_farend(words[2:] if words[:2] == ("-m", "engine") else words)
    elif how == SCRIPT:
        require_script(words)
    elif how == TESTS:
        require_pytest(words[2:] if words[:1] == ("-m",) else words, MARKS)
    for name in command.sets:
        assert name in source_words(), f"nothing reads {name}"
    assert how == RUN or why
    assert all(is_there(name) for name in re.findall(r"tests/\w+\.py|\.ci/run", why))


@pytest.mark.parametrize("known", WAYS)
def test_the_table_of_ways_holds_no_more_than_is_told(known):
    """A way whose command no page has any more goes."""
    others = [one for one in WAYS if one.startswith(known) and one != known]
    mine = [one for one in ALL if one.text.startswith(known)]
    assert [one for one in mine if not one.text.startswith(tuple(others))]


def test_what_an_outside_tool_is_asked_for_is_what_is_declared():
    """The builder of packages is that of the Flet that is used; what stands in the extra is ours."""
    flet = next(one for one in PROJECT["project"]["dependencies"] if one.startswith("flet=="))
    told = re.findall(r"flet-cli[ =]+([\d.]+)", README + DEVELOPERS)
    assert set(told) <= {flet.partition("==")[2]}
    extras = {word for one in ALL if one.words[0] == "pip" for word in one.words if "[" in word}
    assert extras <= {f".[{name}]" for name in PROJECT["project"]["optional-dependencies"]}


@pytest.mark.parametrize(
    "wrong",
    [
        "farend guess sample.json --loud",
        "farend judge sample.json --loud",
        "farend report FILE",
        "python tests/bench/nothing.py",
        "python tests/bench/sites.py --loud 3",
        "python tests/test_hull.py --loud",
        "python -m tests.nothing DIR",
        "pytest -m loud",
        "pytest tests/test_nothing.py",
    ],
)
def test_a_command_that_would_be_refused_is_seen(wrong):
    """Or the tests above would say nothing."""
    command = as_command("README.md", wrong)
    words = command.words[1:]
    with pytest.raises(Wrong):
        if command.words[0] == "farend":
            require_farend(words)
        elif command.words[0] == "pytest":
            require_pytest(words, MARKS)
        else:
            require_script(words)


def test_a_command_that_nobody_knows_is_seen():
    with pytest.raises(AssertionError):
        way_of(Command("README.md", ("pip", "download", "x")))


# ---------------------------------------------------------------- results


def test_a_result_it_shows_is_the_one_that_is_printed(printed):
    """A block behind ``$ command`` is the beginning of what it prints; any other plain block of the
    README is a piece of what some command of it prints, whole lines of it."""
    shown = [block.text for block in blocks("README.md") if not block.language]
    assert len(shown) >= 4
    for text in shown:
        if text.startswith("$ "):
            line, _, result = text[2:].partition("\n")
            assert result and printed[as_command("README.md", line).text].out.startswith(result)
        else:
            assert any(f"\n{text}" in one.out for one in printed.values()), text


def test_the_fault_it_shows_is_the_end_of_what_is_printed(printed):
    """The block behind "And at its end"."""
    shown = README.split("And at its end")[1].split("```")[1].strip("\n")
    assert printed["farend judge sample_jobs/orchard-gate.json"].out.rstrip("\n").endswith(shown)


def test_numbers_in_its_sentences_are_those_of_the_tables():
    """Limits that the pages tell stand in the code once."""
    for number, says in (
        (MOST.boxes, "{:,} boxes"),
        (MOST.edits, "{:,} plan edits"),
        (LIMITS.entries, "{:,} entries"),
        (LIMITS.zip_bytes // 1_000_000, "A zip may have {} MB"),
        (MOST_BYTES // 1_000_000, "up to {} MB each"),
        (WIDE_FROM, "From {:g} px"),
        (100 * (1 - SITE_RATE), "aim {:.0f} %"),
    ):
        assert says.format(number) in README, says
    assert f"worth {WORTH:.0f} jobs" in DEVELOPERS


def test_what_is_aimed_at_is_what_is_promised():
    """The aims beside what was measured are those of the table of promises."""
    limit = {(one.bench, one.key): one.limit for one in PROMISES}
    named = [limit["diagnose", f"all, right {tests}"] for tests in (0, 1, 2)]
    assert ", ".join(f"{share:.2f}" for share in named) in README
    assert f"| {limit['diagnose', 'calibration, as met']:g} |" in README
    assert f"| {limit['diagnose', 'thumbs']:g} times |" in README
    false = {limit["diagnose", "healthy"], *(limit["sites", f"false {n}, 10"] for n in (7, 13))}
    assert {round(share, 6) for share in false} == {round(1 - SITE_RATE, 6)}
    assert README.count("| aim 3 % |") == 2


# ---------------------------------------------------------------- files, names, words

MEANT = MappingProxyType(
    {
        "site.json": "a job that a command above writes",
        "id, from, to, cable, metres": "the head of a table of spans",
        "http://localhost:8765/": "an address",
        "main": "the branch that is put up",
        "JSON.stringify": "the browser's own",
    }
)
"""what stands in backticks and is none of these"""
FILE_LIKE = re.compile(r"^[\w.*/-]*(/[\w.*-]*|\.(py|js|json|md|yml|toml|css|html|png))$")


@pytest.mark.parametrize(("page", "span"), [(page, span) for page in PAGES for span in spans(page)])
def test_what_stands_in_backticks_is_there(page, span):
    """A command, a file, words of the screen, or names of the sources."""
    if span in MEANT or as_command(page, span):
        return
    if FILE_LIKE.match(span):
        assert is_there(span), span
    elif span.startswith("-"):  # an option of a command
        assert any(span.split()[0] in one.read_text(encoding="utf-8") for one in OPTIONS), span
    elif " " in span and not re.search(r"[(=_]", span):
        assert span in on_screen() or set(words_of(span)) <= source_words(), span
    elif re.fullmatch(r"\w+(\.\w+)+", span):
        assert stands_in(span), span
    else:
        missing = [word for word in words_of(span) if word not in source_words()]
        assert not missing, f"{span}: {missing}"


PLACED = tuple(
    (page, *found)
    for page in PAGES
    for found in re.findall(r"`(\w+)` (?:in|of) `([\w/]+\.\w+)`", PAGES[page])
)
"""a name, and the file that the page says it stands in"""


@pytest.mark.parametrize(("page", "name", "file"), PLACED)
def test_a_name_stands_in_the_file_that_is_told(page, name, file):
    """``NAME`` in ``FILE``: so that who looks there finds it."""
    places = [ROOT / one for one in files() if one == file or one.endswith(f"/{file}")]
    assert any(re.search(rf"\b{name}\b", path.read_text(encoding="utf-8")) for path in places)


def stands_in(name: str) -> bool:
    """Whether there is a file that the first parts of a dotted name lead to, or a class of that
    name, with the last part in it."""
    *way, last = name.split(".")
    place = "/".join(way)
    for one in (f"{place}.py", f"{place}/__init__.py"):
        if any(
            defines(path, last) for path in SOURCES if f"/{path.as_posix()}".endswith(f"/{one}")
        ):
            return True
    return any(defines(path, way[-1]) and defines(path, last) for path in SOURCES)


def defines(path: Path, name: str) -> bool:
    """Whether a file defines a name, imports it to be had from there, or gives it to a class."""
    text = path.read_text(encoding="utf-8")
    return bool(
        re.search(
            rf"^(\s*(async )?(def|class) {name}\b| *{name}\b.*[=:]|from .*\b{name}\b)", text, re.M
        )
    )


SOURCES = tuple(path for name in ("engine", "fieldapp") for path in (ROOT / name).rglob("*.py"))


OPTIONS = (
    *(ROOT / "engine").glob("__main__.py"),
    *(ROOT / "fieldapp").rglob("*.py"),
    *(ROOT / "tests").glob("*/*.py"),
)


def words_of(span: str) -> list[str]:
    """The names in a span; those of more than a letter."""
    return [word for word in re.findall(r"[\w-]*\w", span) if len(word) > 1 and not word.isdigit()]


def slug(heading: str) -> str:
    """What a heading is called in an address."""
    return re.sub(r"[^\w -]", "", heading.lower()).replace(" ", "-")


@pytest.mark.parametrize("page", PAGES)
def test_what_it_points_to_is_there(page):
    """Pictures, pages and headings."""
    links = re.findall(r"\]\((?!http)([^)]+)\)", PAGES[page])
    assert links
    for link in links:
        target, _, part = link.partition("#")
        file = ROOT / (target or page)
        assert file.is_file(), link
        if part:
            heads = re.findall(r"^#+ (.+)$", file.read_text(encoding="utf-8"), re.MULTILINE)
            assert part in {slug(head) for head in heads}, link


def test_pictures_are_small():
    """They come with every copy of the sources."""
    pictures = list((ROOT / "tests/pictures").iterdir())
    assert pictures and all(path.stat().st_size < 250_000 for path in pictures)
    assert PICTURES and {Path(one).name for one in PICTURES} <= {path.name for path in pictures}


PICTURES = tuple(re.findall(r"!\[[^\]]+\]\(([^)]+)\)", README + DEVELOPERS))


@pytest.mark.parametrize("page", PAGES)
def test_a_list_is_not_torn(page):
    """No blank line stands between two items that belong together."""
    text = "\n".join(part for part in re.split(r"^```.*?^```$", PAGES[page], flags=re.M | re.S))
    assert not re.findall(r"^(?:- |\d+\. ).*\n\n(?=- |\d+\. )", text, re.MULTILINE)
