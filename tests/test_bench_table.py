"""The table of measurements leaves nothing out: every bench, every promise, every field of its JSON."""

from __future__ import annotations

import ast
import json
import sys
from collections import Counter
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent / "bench"))

import table
from promises import ALL, row
from rows import LONG, SIDES, UNITS, Promise, Row, lines, told

BENCH = Path(__file__).parent / "bench"
FIELDS = {
    *("name", "what", "measured", "unit", "error", "beside", "side", "limit"),
    *("where", "how", "state", "held", "why", "command"),
}


def promise(**more) -> Promise:
    """One of at most two, held unless it says why not."""
    how = {"side": "at most", "limit": 2.0, "unit": "times", "how": "in turns", "where": "aim"}
    return Promise("some", "key", "what it is", **{**how, **more})


def test_every_script_is_in_the_table_or_says_why_not():
    there = {path.stem for path in BENCH.glob("*.py")}
    measured = [one.name for one in table.BENCHES]
    assert len(measured) == len(set(measured))
    assert there == {*measured, *table.ASIDE}
    assert not {*measured} & {*table.ASIDE}
    assert all(table.ASIDE.values())


@pytest.mark.parametrize("name", [one.name for one in table.BENCHES])
def test_a_bench_gives_its_rows_and_takes_what_the_table_calls_it_with(name):
    """Read, not imported: some bring a browser with them."""
    bench = next(one for one in table.BENCHES if one.name == name)
    tree = ast.parse((BENCH / f"{name}.py").read_text(encoding="utf-8"))
    (rows,) = [one for one in tree.body if isinstance(one, ast.FunctionDef) and one.name == "rows"]
    takes = {one.arg for one in rows.args.args}
    assert len(rows.args.defaults) == len(takes)
    for form in table.FORMS:
        assert {*(bench.how(form) or ())} <= takes


def test_every_bench_has_a_promise_and_every_promise_its_bench():
    assert {one.bench for one in ALL} == {one.name for one in table.BENCHES}
    assert [name for name, many in Counter(one.name for one in ALL).items() if many > 1] == []


def test_every_promise_says_what_how_and_where():
    for one in ALL:
        assert one.what and one.how, one.name
        assert one.side in SIDES and one.unit in UNITS, one.name
        assert one.where.startswith(("design: ", "reference: ", "aim: ")), one.name
        assert (one.limit is None) == (one.side == "told"), one.name
        assert not (one.missed and one.limit is None), one.name
        assert one.command.startswith(f"python tests/bench/{one.bench}.py"), one.name


def test_a_row_is_met_or_missed_by_its_side():
    assert Row(promise(), 2.0).state == "met"
    assert Row(promise(), 2.1).state == "missed"
    assert Row(promise(side="at least"), 1.9).state == "missed"
    assert Row(promise(side="at least"), 2.0).state == "met"
    assert Row(promise(missed="for a reason"), 2.1).state == "missed, known"
    assert Row(promise(missed="for a reason"), 1.0).state == "met"
    assert Row(promise(), 2.1, error=0.06).state == "missed, chance"
    assert Row(promise(), 2.1, error=0.04).state == "missed"
    assert Row(promise(side="told", limit=None), 1.0).state == "told"
    assert Row(promise(), beside=LONG).state == "long"
    assert Row(promise(), beside="no Chromium").state == "failed"


def test_the_way_out_is_1_for_a_held_promise_that_is_missed_and_for_a_failure(capsys):
    held, known = promise(), promise(missed="for a reason")
    assert told([Row(held, 1.0), Row(known, 3.0), Row(held, beside=LONG)]) == 0
    assert told([Row(held, 3.0)]) == 1
    assert told([Row(held, beside="no Chromium")]) == 1
    out = capsys.readouterr().out
    assert "because for a reason" in out and "no Chromium" in out


def test_a_missed_one_is_shown_with_both_figures_and_its_command():
    text = "\n".join(lines([Row(promise(), 2.5, "50 ms")]))
    for part in ("python tests/bench/some.py", "2.500 times", "at most 2.000 times", "missed"):
        assert part in text
    assert "in turns; 50 ms; aim" in text


def test_rows_are_of_promises_alone():
    assert row("operating", "root", 5).measured == 5.0
    with pytest.raises(KeyError):
        row("operating", "no such", 5)


def test_nothing_is_silently_missing_from_the_list_and_the_json_has_all_fields(
    tmp_path, monkeypatch, capsys
):
    file = tmp_path / "rows.json"
    monkeypatch.setattr(sys, "argv", ["table.py", "--list", "--json", str(file)])
    assert table.main() == 0
    whole = json.loads(file.read_text(encoding="utf-8"))
    assert {"form", "machine", "seconds", "rows"} == whole.keys()
    assert [one["name"] for one in whole["rows"]] == [
        one.name for bench in table.BENCHES for one in bench.promises
    ]
    assert len(whole["rows"]) == len(ALL)
    assert all(one.keys() == FIELDS for one in whole["rows"])
    assert capsys.readouterr().out.count("python tests/bench/") >= len(table.BENCHES)


def test_what_a_bench_does_not_give_back_says_long_and_what_breaks_says_how(monkeypatch):
    """A bench apart is stood in for: some rows of it, then none."""
    bench = table.BENCHES[1]
    given = [Row(bench.promises[0], 1.0)]
    monkeypatch.setattr(table, "_apart", lambda *_: (given, ""))
    assert [one.state for one in table.measured(bench, "short")][1:] == ["long"] * (
        len(bench.promises) - 1
    )
    monkeypatch.setattr(table, "_apart", lambda *_: ([], "no Chromium"))
    assert {one.state for one in table.measured(bench, "short")} == {"failed"}
    assert {one.beside for one in table.measured(bench, "short")} == {"no Chromium"}


def test_no_bench_keeps_a_copy_of_what_is_shared():
    """Where things lie and how options are read stands in one place."""
    for bench in table.BENCHES:
        text = (BENCH / f"{bench.name}.py").read_text(encoding="utf-8")
        assert "import argparse" not in text, bench.name
        assert ".parents[" not in text, bench.name
