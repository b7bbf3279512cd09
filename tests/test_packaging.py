"""What is handed out: one version in one place, what changed in it, and the workflows of a host.

The wheel and the source archive themselves are built, compared with the tree and used by `.ci/run`.
"""

from __future__ import annotations

import os
import re
import shlex
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from engine import __version__
from fieldapp.__main__ import main, parser
from fieldapp.phone import bundle

ROOT = Path(__file__).resolve().parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
CHANGES = (ROOT / "fieldapp/CHANGELOG.md").read_text("utf-8")

# ---------------------------------------------------------------- the version


def test_the_version_stands_in_one_place():
    """The builder reads it there, and no other line of the packages repeats it."""
    assert "version" not in PROJECT["project"] and PROJECT["project"]["dynamic"] == ["version"]
    source = ROOT / PROJECT["tool"]["hatch"]["version"]["path"]
    sources = [ROOT / "pyproject.toml", *(ROOT / "engine").rglob("*.py")]
    sources += (ROOT / "fieldapp").rglob("*.py")
    assert [one for one in sources if f'"{__version__}"' in one.read_text("utf-8")] == [source]


def test_the_command_tells_its_version(capsys):
    with pytest.raises(SystemExit) as end:
        main(["--version"])

    assert end.value.code == 0
    assert capsys.readouterr().out == f"farend {__version__}\n"


def test_the_newest_of_what_changed_is_this_version():
    versions = re.findall(r"^## (.+)$", CHANGES, flags=re.MULTILINE)
    numbers = [tuple(map(int, version.split("."))) for version in versions]

    assert versions[0] == __version__
    assert numbers == sorted(set(numbers), reverse=True)
    assert all(part.strip() for part in re.split(r"^## .+$", CHANGES, flags=re.MULTILINE))


def test_what_changed_is_found_from_the_readme():
    assert "(fieldapp/CHANGELOG.md)" in (ROOT / "README.md").read_text("utf-8")


# ---------------------------------------------------------------- as it is installed


def test_the_page_takes_no_byte_code_from_between_its_letters_and_icons(tmp_path, monkeypatch):
    """Where pip installs, it compiles what draws them too: in a checkout that is seldom there."""
    monkeypatch.setattr(bundle, "files", lambda package: tmp_path)
    for folder, name in (("fonts", "a.woff2"), ("icons", "b.png")):
        (tmp_path / "assets" / folder / "__pycache__").mkdir(parents=True)
        (tmp_path / "assets" / folder / name).write_bytes(b"drawn")

    assert bundle._fonts() == {"assets/fonts/a.woff2": b"drawn"}
    assert bundle._icons() == {"b.png": b"drawn"}


# ---------------------------------------------------------------- the workflows

WORKFLOWS = {
    path.stem: yaml.safe_load(path.read_text("utf-8"))
    for path in (ROOT / ".github/workflows").iterdir()
}
MORE = {
    "pages": {"deploy": {"pages": "write", "id-token": "write"}},
}
"""what a job may beyond reading: workflow, job, rights"""
BEGAN = {
    "pages": {"push": {"branches": ["main"]}, "workflow_dispatch": None},
    "packages": {"workflow_dispatch": None},
    "tests": {"pull_request": None, "workflow_call": None, "workflow_dispatch": None},
}
THEIRS = ("python -m pip install .", "flet build", "echo ")
"""how lines begin that are neither our command nor a file of ours"""


def jobs(name: str) -> dict[str, Any]:
    return WORKFLOWS[name]["jobs"]


def steps(name: str, job: str) -> list[dict[str, Any]]:
    return jobs(name)[job].get("steps", [])


def every_step() -> Iterator[dict[str, Any]]:
    return (step for name in WORKFLOWS for job in jobs(name) for step in steps(name, job))


def test_a_workflow_asks_for_no_more_than_it_needs():
    for name, workflow in WORKFLOWS.items():
        assert workflow["permissions"] == {"contents": "read"}
        more = {job: of["permissions"] for job, of in jobs(name).items() if "permissions" in of}
        assert more == MORE.get(name, {})
        assert workflow[True] == BEGAN[name]  # what YAML 1.1 makes of "on"


def test_a_workflow_ends_and_uses_what_is_named_by_its_major_version():
    for name in WORKFLOWS:
        for of in jobs(name).values():
            assert "timeout-minutes" in of or (ROOT / of["uses"]).is_file()
    uses = [step["uses"] for step in every_step() if "uses" in step]
    assert all(re.fullmatch(r"actions/[a-z-]+@v\d+", one) for one in uses)
    majors = dict(one.split("@") for one in uses)
    assert all(majors[name] == major for name, major in (one.split("@") for one in uses))


def test_a_workflow_runs_commands_that_there_are():
    there = set(re.findall(r"\w+", parser().description.partition("Other commands:")[2]))
    assert "farend" in PROJECT["project"]["scripts"]
    lines = [line for step in every_step() for line in step.get("run", "").splitlines()]
    for line in lines:
        first, *words = shlex.split(line)
        if first == "farend":
            assert words[0] in there
        elif not line.startswith(THEIRS):
            assert os.access(ROOT / first, os.X_OK)
    assert {"farend bundle site", ".ci/run"} <= set(lines)


def test_what_a_line_takes_from_outside_goes_through_its_environment():
    """So that nothing which the host puts in is read as a part of the command."""
    assert not [step for step in every_step() if "${{" in step.get("run", "")]


def test_the_page_is_put_up_once_it_passed_and_as_it_was_built():
    """With the Python of the browser, so that the bytecode is made here."""
    assert jobs("pages")["build"]["needs"] == "tests"
    assert jobs("pages")["tests"] == {"uses": "./.github/workflows/tests.yml"}
    build = steps("pages", "build")
    made = [shlex.split(step["run"])[2] for step in build if "farend bundle" in step.get("run", "")]
    of = {step["uses"].partition("@")[0]: step.get("with", {}) for step in build if "uses" in step}
    assert [of["actions/upload-pages-artifact"]["path"]] == made
    assert of["actions/setup-python"]["python-version"] == "3.14"
    assert next(iter(of)) == "actions/checkout"
    deploy = jobs("pages")["deploy"]
    assert deploy["needs"] == "build" and deploy["environment"]["name"] == "github-pages"
    assert WORKFLOWS["pages"]["concurrency"] == {"group": "pages", "cancel-in-progress": False}


def test_the_tests_begin_with_the_oldest_python_that_is_promised():
    oldest = PROJECT["project"]["requires-python"].removeprefix(">=")
    assert jobs("tests")["run"]["strategy"]["matrix"]["python"][0] == oldest
