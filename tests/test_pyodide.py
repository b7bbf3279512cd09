"""The engine in the browser's Python: same tests, same numbers, nothing asked from outside."""

from __future__ import annotations

import copy
import importlib
import math
import os
import struct
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pyodide import bits
from pyodide.both import predictions, times

# Imported where it is used: without Playwright this file must say so, not break.
if TYPE_CHECKING:
    from pyodide.harness import Session

ROOT = Path(__file__).parent.parent
OUTSIDE_ADDRESS = "http://192.0.2.1/"  # an address kept for documents; nobody has it


@pytest.fixture(scope="module")
def session(chromium: str) -> Iterator[Session]:
    """The browser's Python with the working tree in it."""
    from pyodide.harness import core_folder, open_session

    if core_folder() is None:
        absent = pytest.fail if os.environ.get("CI") == "true" else pytest.skip
        absent("flet-web is not installed, or carries no Python for the browser")
    with open_session(chromium) as opened:
        yield opened


FEW = (
    "tests/test_jobfile.py",
    "tests/test_jobfile_anything.py",
    "tests/test_jobfile_names.py",
    "tests/test_link_loss.py",
    "tests/test_links.py",
    "tests/test_network.py",
    "tests/test_verdict.py",
)
"""files whose pure tests the suite runs there too; all of them by `python -m tests.pyodide`"""


@pytest.mark.browser
@pytest.mark.parametrize(
    "files", [FEW, pytest.param((), marks=pytest.mark.slow)], ids=("few", "all")
)
def test_pure_tests_run_and_pass_there(session, files):
    """Not one of the tests that CPython collects under the mark is skipped, lost or failed.

    Those of very many cases are left to the run by hand: what they prove is of the engine, and
    the shorter ones, with the predictions below, prove that it is the same there.
    """
    from pyodide.harness import collected, pure_files

    args = ("-m", "pure and not long", *(files or pure_files()))
    found = collected(*args)
    assert found, "no test is marked pure"
    ran = session.run_tests(*args)
    assert not ran["troubles"], "\n".join(ran["troubles"])
    assert ran["outcomes"] == dict.fromkeys(found, "passed")


@pytest.mark.browser
def test_a_test_that_fails_there_is_reported_by_name(session):
    """A test that fails, and a file that cannot be imported, come back with their words."""
    path, broken = "tests/test_made_to_fail.py", "tests/test_made_to_break.py"
    text = "def test_one():\n    assert 1 + 1 == 3\n\ndef test_two():\n    pass\n"
    for place, words in ((path, text), (broken, "import no_such_module\n")):
        session.run(f"open('/farend/repo/{place}', 'w').write({words!r})")
    ran = session.run_tests(path)
    assert ran["outcomes"] == {f"{path}::test_one": "failed", f"{path}::test_two": "passed"}
    assert list(ran["troubles"]) == [f"{path}::test_one"] and ran["exit"] == 1
    assert "assert (1 + 1) == 3" in ran["troubles"][f"{path}::test_one"]
    unread = session.run_tests(broken)
    assert unread["outcomes"] == {} and unread["exit"] == 2
    assert "no_such_module" in unread["troubles"][broken]


@pytest.mark.browser
def test_it_predicts_what_cpython_predicts(session):
    """Each sample job's whole prediction has the same structure and words, floats to 1e-12."""
    from pyodide.harness import SAMPLES, differences

    here, there = predictions(str(ROOT / "sample_jobs")), session.predictions()
    assert list(here) == [sample.name for sample in SAMPLES] and here
    assert differences(here, there) == []


def test_the_comparison_sees_what_it_should():
    """A float off by 2e-12, another key, order, kind, length or word is a difference."""
    if find_spec("playwright") is None:
        pytest.skip("no Playwright")
    from pyodide.harness import differences

    value = {"volts": [48.0, None, 3], "state": "on"}
    changes = (
        {**value, "volts": [48.0 * (1 + 2e-12), None, 3]},
        {**value, "volts": [48, None, 3]},
        {**value, "volts": [48.0, 0.0, 3]},
        {**value, "volts": [48.0, None]},
        {**value, "state": "off"},
        {"state": "on", "volts": value["volts"]},
        {"volts": value["volts"]},
    )
    assert differences(value, copy.deepcopy(value)) == []
    assert differences(value, {**value, "volts": [48.0 * (1 + 5e-13), None, 3]}) == []
    assert [len(differences(value, change)) for change in changes] == [1] * len(changes)
    assert differences(value, changes[0])[0].startswith(".volts[0]: 48.0 here")


@pytest.mark.browser
def test_source_is_run_and_timed_there(session):
    """A value comes back, `await` may stand, names do not stay, work takes its milliseconds."""
    from pyodide.harness import PythonError

    assert session.run("import sys; [sys.platform, len('Ω')]") == ["emscripten", 1]
    assert session.run("import asyncio; await asyncio.sleep(0, {'a': None})") == {"a": None}
    session.run("kept = 1")
    with pytest.raises(PythonError, match="NameError: name 'kept'"):
        session.run("kept")
    with pytest.raises(PythonError, match="no answer after 50 ms"):
        session.run("import time; time.sleep(0.4)", seconds=0.05)
    wait = "time.sleep(0.02)"
    for taken in (session.time(wait, 3, "import time"), times(wait, 3, "import time")):
        assert len(taken) == 3 and all(20 <= milliseconds < 2000 for milliseconds in taken)
    assert all(taken > 0 for taken in session.time_predict("tide-mill.json", 2))


@pytest.mark.browser
def test_nothing_is_asked_from_outside(session):
    """No request left this machine so far, and one that tries is stopped and seen."""
    from pyodide.harness import PythonError

    assert session.outside == []
    with pytest.raises(PythonError, match="Failed to fetch"):
        session.run(f"import js; await js.fetch({OUTSIDE_ADDRESS!r})")
    assert session.outside == [OUTSIDE_ADDRESS]
    session.outside.clear()


# ---------------------------------------------------------------- the bits of a float

WIDTHS = (16, 32, 64)


@pytest.fixture(scope="module")
def compiled():
    """The functions that `pyodide/bits.py` stands in for."""
    name = "hypothesis._native"
    if find_spec(name) is None:
        pytest.skip("this Hypothesis has them in plain Python itself")
    return importlib.import_module(f"{name}.internal.floats")


def told(value: object) -> object:
    """A result that can be compared: the bits of a float, so that -0.0 and nan count."""
    return struct.pack("<d", value) if isinstance(value, float) else value


@pytest.mark.parametrize("width", WIDTHS)
@settings(deadline=None, derandomize=True, max_examples=200)
@given(data=st.data())
def test_the_plain_functions_do_what_the_compiled_ones_do(compiled, width, data):
    """On any float of any width, those with a short mantissa, zeros and infinities included."""
    one, other = (data.draw(st.floats(width=width, allow_nan=False)) for _ in range(2))
    low, high = min(one, other), max(one, other)
    calls = (
        ("float_to_int", (one, width), {}),
        ("float_of", (one, width), {}),
        ("is_negative", (one,), {}),
        ("width_smallest_normals", (width,), {}),
        ("next_up", (one, width), {}),
        ("next_down", (one, width), {}),
        ("int_to_float", (bits.float_to_int(one, width), width), {}),
        *(
            (name, (one, width), {"allow_subnormal": allowed})
            for name in ("next_up_normal", "next_down_normal")
            for allowed in (True, False)
        ),
    )
    if math.copysign(1, low) <= math.copysign(1, high):
        calls += (("count_between_floats", (low, high, width), {}),)
    for name, args, keys in calls:
        ours, theirs = getattr(bits, name)(*args, **keys), getattr(compiled, name)(*args, **keys)
        assert told(ours) == told(theirs), (name, args, keys)


@pytest.mark.parametrize("width", WIDTHS)
def test_the_plain_functions_at_the_edges(compiled, width):
    """The zeros, the smallest normals, their neighbours, the infinities and nan."""
    small = bits.width_smallest_normals(width)
    edges = (0.0, -0.0, small, -small, small / 2, -small / 2, math.inf, -math.inf, math.nan)
    for edge in edges:
        for name in ("next_up", "next_down"):
            ours, theirs = getattr(bits, name)(edge, width), getattr(compiled, name)(edge, width)
            assert told(ours) == told(theirs) or math.isnan(edge), (name, edge)
            for allowed in (True, False):
                args, keys = (edge, width), {"allow_subnormal": allowed}
                ours = getattr(bits, f"{name}_normal")(*args, **keys)
                theirs = getattr(compiled, f"{name}_normal")(*args, **keys)
                assert told(ours) == told(theirs) or math.isnan(edge), (name, edge, allowed)
    assert math.isnan(bits.next_up(math.nan, width))


@pytest.mark.parametrize(
    ("longest", "side", "other"), [(5, 3, 4), (13, 12, 5), (7, 0, 7), (7, 7, 0)]
)
def test_a_triangle_has_its_other_side(longest, side, other):
    """The one function that only complex numbers ask for, on triangles with whole sides."""
    assert bits.cathetus(longest, side) == pytest.approx(other)
