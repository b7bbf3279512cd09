"""Runs tests with pytest inside the browser's Python. Nothing else imports it."""

from __future__ import annotations

import os

import hypothesis
import pytest

MOST = 10
"""random examples a test; there are many more of them in the ordinary run"""

full = hypothesis.settings


def fewer(*args, **said):
    """Hypothesis's settings with at most `MOST` examples and no limit of time for one."""
    examples = min(said.get("max_examples", MOST), MOST)
    return full(*args, **{**said, "max_examples": examples, "deadline": None})


class Notes:
    """What became of each test, kept by its name."""

    def __init__(self) -> None:
        self.outcomes: dict[str, str] = {}
        self.troubles: dict[str, str] = {}

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        if report.failed:
            self.troubles[report.nodeid] = report.longreprtext

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        # A test has three reports: before, itself, after. The worst of them counts.
        if report.when == "call" or not report.passed:
            self.outcomes[report.nodeid] = report.outcome
        if report.failed:
            self.troubles[report.nodeid] = report.longreprtext


def run_tests(root: str, args: list[str]) -> dict[str, object]:
    """Run pytest in the folder `root`: its exit code, outcomes by test, words of what failed."""
    full.register_profile("browser", max_examples=MOST, deadline=None, database=None)
    full.load_profile("browser")
    hypothesis.settings = fewer
    os.chdir(root)
    notes = Notes()
    quiet = ["-q", "--tb=short", "--capture=sys", "-p", "no:cacheprovider", "-p", "no:faulthandler"]
    code = pytest.main([*quiet, *args], plugins=[notes])
    return {"exit": int(code), "outcomes": notes.outcomes, "troubles": notes.troubles}
