"""Spans from a table in the app: nothing typed is lost, all is put in with one press or nothing."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from headless import Phone, drive
from real_app import serve
from samples import sample

from engine import spans_csv
from engine.edits import value_at
from engine.jobfile import BadFile, read_job, write
from engine.judge import judge
from engine.spans_csv import LARGEST_BYTES, Outline, outline, spans_from
from fieldapp import words
from fieldapp.questions import TOGETHER
from fieldapp.store.errors import StoreFull
from fieldapp.store.files import read_journal
from fieldapp.store.journal import decode
from fieldapp.tabling import REST_S, text_of

if TYPE_CHECKING:
    from app_process import App
    from browser import Phone as Hand

__all__ = ["serve"]

Doc = dict[str, Any]
ID = "WEIR"
PAGE, PLAN = f"/j/{ID}/spans", f"/j/{ID}/plan"
HEAD = "id,from,to,cable,metres\n"
FIRST = "C1,S.out,J1.a,generic.cat6-outdoor,140.5\n"
SECOND = "C2,J1.b,E.in,generic.cat6-outdoor,60\n"
GOOD = HEAD + FIRST + SECOND
STRANGE = HEAD + FIRST + "C2,J1.b,Q.in,generic.cat6-outdoor,60\nC3,Q.out,R.a,generic.string,9\n"


def weir(*log: Doc) -> Doc:
    """Three boxes that nothing joins yet."""
    return {
        "format": "farend-job/1",
        "id": ID,
        "title": "Weir",
        "site": {"name": "Weir", "ambient_c": 15},
        "stops": {"hut": {"at_m": 0, "indoor": True}, "weir": {"at_m": 200, "indoor": False}},
        "boxes": [
            {"id": "S", "sheet": "generic.source-60w", "stop": "hut"},
            {"id": "J1", "sheet": "generic.joint-gel", "stop": "weir"},
            {"id": "E", "sheet": "generic.camera-small", "stop": "weir"},
        ],
        "spans": [],
        "log": list(log),
    }


async def at_table(doc: Doc | None = None, **more: Any) -> Phone:
    return await Phone.start(
        docs=(doc or weir(),), link=f"/j/{(doc or weir())['id']}/spans", **more
    )


async def paste(phone: Phone, text: str) -> None:
    """Into the field, and wait until it is read."""
    await phone.type("table", text)
    assert [seconds for seconds, _ in phone.world.waits][-1:] == [REST_S]
    phone.world.let_go()
    await phone.settle()


async def log_of(phone: Phone, job: str = ID) -> list[Doc]:
    return list((await phone.shelf.read(job)).doc["log"])


async def spans_of(phone: Phone, job: str = ID) -> dict[str, float]:
    plan = judge(await phone.shelf.read(job)).state.job
    return {name: span.length_m.expected for name, span in plan.spans.items()}


# ---------------------------------------------------------------- all of it, or nothing


def test_a_table_is_shown_first_and_put_in_with_one_press_that_one_undo_takes_back():
    async def journey() -> None:
        phone = await at_table()
        assert not phone.takes("put-spans-in") and phone.shows(words.table_empty())
        await phone.type("table", GOOD)
        assert not phone.takes("put-spans-in") and phone.shows(words.table_rests())
        phone.world.let_go()
        await phone.settle()
        assert phone.shows(words.table_line(2, 200.5)) and await log_of(phone) == []
        assert phone.shows(words.put_spans_in(2))
        await phone.tap("put-spans-in")
        assert phone.route == PLAN and await spans_of(phone) == {"C1": 140.5, "C2": 60}
        log = await log_of(phone)
        assert [entry["what"] for entry in log] == ["add", "add", "add"]  # the cable's sheet too
        assert len({entry[TOGETHER] for entry in log}) == 1
        assert {entry["as"] for entry in log} == {"correction"}
        await phone.tap("undo")
        assert await spans_of(phone) == {} and len(await log_of(phone)) == 6
        phone.stop()

    drive(journey)


def test_lines_that_do_not_hold_are_listed_and_what_was_typed_stays():
    async def journey() -> None:
        phone = await at_table()
        await paste(phone, STRANGE)
        assert phone.shows(words.table_line(3, 209.5))
        assert phone.shows(words.boxes_missing(("Q", "R")))
        texts = phone.texts()
        assert any(text.startswith("line 3, to: Q.in.") for text in texts)
        assert any(text.startswith("line 4, ") for text in texts)
        assert not any(text.startswith("line 2") for text in texts)
        assert not phone.takes("put-spans-in") and phone.shows(words.nothing_put_in(2))
        assert phone.find("table").value == STRANGE and await log_of(phone) == []
        await phone.go(PLAN)
        await phone.back()
        await phone.go(PAGE)
        assert phone.find("table").value == STRANGE, "elsewhere and back again"
        await paste(phone, GOOD)
        assert phone.takes("put-spans-in") and not any("line 3" in t for t in phone.texts())
        phone.stop()

    drive(journey)


def test_a_full_phone_keeps_nothing_and_leaves_the_table_as_it_was():
    async def journey() -> None:
        phone = await at_table()
        await paste(phone, GOOD)
        phone.disk.fail_at = {phone.disk.adds + 1: StoreFull}
        await phone.tap("put-spans-in")
        assert phone.route == PAGE and phone.find("table").value == GOOD
        assert phone.shows(words.SAYS["told-full"]()) and await log_of(phone) == []
        await phone.tap("put-spans-in")
        assert await spans_of(phone) == {"C1": 140.5, "C2": 60}
        await phone.go(PAGE)
        assert phone.find("table").value == "", "one that is in is done with"
        phone.stop()

    drive(journey)


def test_a_table_is_for_its_own_job():
    async def journey() -> None:
        other = {**weir(), "id": "OTHER", "title": "Other"}
        phone = await Phone.start(docs=(weir(), other), link=PAGE)
        await paste(phone, GOOD)
        await phone.go("/j/OTHER/spans")
        assert phone.find("table").value == "" and not phone.takes("put-spans-in")
        phone.stop()

    drive(journey)


def test_only_the_last_state_of_the_table_is_read():
    """A look that was asked for before more was typed changes nothing."""

    async def journey() -> None:
        phone = await at_table()
        await phone.type("table", GOOD)
        early = list(phone.world.waits)
        await phone.type("table", HEAD + FIRST)
        for _, gate in early:
            gate.set()
        await phone.settle()
        assert not phone.takes("put-spans-in") and phone.shows(words.table_rests())
        phone.world.let_go()
        await phone.settle()
        assert phone.shows(words.put_spans_in(1))
        phone.stop()

    drive(journey)


@pytest.mark.parametrize("text", ["", "  \n ", HEAD])
def test_a_table_of_nothing_cannot_be_put_in(text):
    async def journey() -> None:
        phone = await at_table()
        await phone.type("table", text)
        phone.world.let_go()
        await phone.settle()
        assert not phone.takes("put-spans-in") and phone.shows(words.table_empty())
        phone.stop()

    drive(journey)


def test_spans_of_a_run_that_was_measured_are_a_change():
    """What is built already is changed, not corrected; the sheet they bring is not."""

    async def journey() -> None:
        doc = sample("reedbed-hide")
        read = {"id": "r", "what": "reading", "at": "S.out", "kind": "volts", "value": 53.9}
        split = {"id": "P1", "sheet": "generic.splitter-2", "stop": "hide"}
        doc["boxes"].append({**split, "name": "P1"})
        doc["log"] = [{**read, "meter": "M1"}]
        table = f"{HEAD}C8,P1.in,L1.in,generic.cat6-outdoor,5\n"
        doc["spans"] = [s for s in doc["spans"] if "L1.in" not in (s["from"], s["to"])]
        phone = await at_table(doc)
        await paste(phone, table)
        await phone.tap("put-spans-in")
        kept = [e for e in await log_of(phone, doc["id"]) if e["what"] == "add"]
        ways = {e["path"][0]: e["as"] for e in kept}
        assert ways == {"sheets": "correction", "spans": "change"}
        phone.stop()

    drive(journey)


def test_many_problems_are_counted_below_those_that_are_listed():
    async def journey() -> None:
        phone = await at_table()
        lines = [f"D{n},Q{n}.a,J1.a,generic.cat6-outdoor,5\n" for n in range(30)]
        await paste(phone, HEAD + "".join(lines))
        listed = [text for text in phone.texts() if text.startswith("line ")]
        assert len(listed) == 20 and phone.shows(words.more_problems(10))
        assert phone.shows(words.nothing_put_in(30))
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- from a file


def test_a_file_is_read_as_spreadsheets_write_it():
    """With and without a mark at its start, of one or two bytes a letter, with semicolons."""
    files = [
        GOOD.encode("utf-8"),
        GOOD.replace("\n", "\r\n").encode("utf-8-sig"),
        GOOD.encode("utf-16"),
        GOOD.replace(",", ";").replace(".5", ",5").encode("cp1252"),
    ]

    async def journey() -> None:
        phone = await at_table()
        for data in files:
            await paste(phone, HEAD)
            await phone.pick_file("open-table", "spans.csv", data)
            assert phone.shows(words.table_line(2, 200.5)) and phone.takes("put-spans-in")
        await phone.tap("put-spans-in")
        assert await spans_of(phone) == {"C1": 140.5, "C2": 60}
        phone.stop()

    drive(journey)


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"PK\x03\x04\x00\x00", "table-no-text"),
        (b"a" * (LARGEST_BYTES + 1), "table-large"),
    ],
)
def test_what_is_no_table_is_told_and_what_was_typed_stays(data, code):
    async def journey() -> None:
        phone = await at_table()
        await paste(phone, GOOD)
        await phone.pick_file("open-table", "spans.xlsx", data)
        assert phone.shows(words.SAYS[code](name="spans.xlsx"))
        assert phone.find("table").value == GOOD and phone.takes("put-spans-in")
        phone.stop()

    drive(journey)


def test_a_picker_that_is_closed_changes_nothing():
    async def journey() -> None:
        phone = await at_table()
        await paste(phone, GOOD)
        await phone.pick_file("open-table", "", b"")
        assert phone.find("table").value == GOOD and phone.takes("put-spans-in")
        phone.stop()

    drive(journey)


def test_bytes_of_an_old_codepage_are_letters_and_bytes_of_a_workbook_are_none():
    assert text_of("Brücke".encode("cp1252")) == "Brücke"
    assert text_of(b"PK\x03\x04\x14\x00") is None


# ---------------------------------------------------------------- what a table speaks of


def test_what_a_table_speaks_of_does_not_depend_on_the_plan():
    assert outline(GOOD) == Outline(2, 200.5, ("S", "J1", "E"))
    assert outline(STRANGE) == Outline(3, 209.5, ("S", "J1", "Q", "R"))
    spelled = HEAD + "C1,q.a,Q.b,x,nan\nC2,,T,x,-5\nC3,R.a,r.b,x,far\nC4,R.a,r.b,x,7\n"
    assert outline(spelled) == Outline(4, 7, ("q", "R"))
    with pytest.raises(BadFile):
        outline("id,from\n")


def test_a_long_table_is_read_at_once_and_its_bad_lines_are_found_by_halves(monkeypatch):
    """Reading the plan anew for each line would take seconds: it is read a few times a bad line."""
    joints = [{"id": f"Q{n}", "sheet": "generic.joint-gel", "stop": "hut"} for n in range(201)]
    doc = {**weir(), "boxes": [*weir()["boxes"], *joints]}
    lines = [f"D{n},Q{n}.b,Q{n + 1}.a,generic.cat6-outdoor,20\n" for n in range(200)]
    reads = []
    monkeypatch.setattr(spans_csv, "read_job", lambda one: reads.append(1) or read_job(one))
    assert len(spans_from(doc, HEAD + "".join(lines))) == 201 and len(reads) == 1
    lines[20] = "D20,Q20.b,Z.a,generic.cat6-outdoor,20\n"
    lines[150] = "D150,Q3.b,Q151.a,generic.cat6-outdoor,20\n"  # a port that line 5 has taken
    reads.clear()
    with pytest.raises(BadFile) as refused:
        spans_from(doc, HEAD + "".join(lines))
    assert [one.at for one in refused.value.problems] == ["line 22, to", "line 152, from"]
    assert len(reads) < 40


def test_the_example_is_a_span_of_the_plan_as_a_table_has_it():
    """What is shown as an example could have been read: only its id is used already."""

    async def journey() -> None:
        doc = sample("reedbed-hide")
        phone = await at_table(doc)
        row = value_at(doc, ("spans", "C1"))
        line = f"C1,{row['from']},{row['to']},{row['cable']},{row['length_m']}"
        assert phone.shows(line) and outline(HEAD + line).spans == 1
        await paste(phone, HEAD + line)
        problems = [text for text in phone.texts() if text.startswith("line ")]
        assert len(problems) == 1 and problems[0].startswith("line 2, id")
        empty = await at_table()
        assert any(outline(HEAD + text).boxes for text in empty.texts() if text.count(",") == 4)
        phone.stop()
        empty.stop()

    drive(journey)


# ---------------------------------------------------------------- with a keyboard, in a browser


@pytest.mark.browser
def test_a_table_is_pasted_and_put_in_without_a_mouse(
    serve: Callable[..., App],
    new_phone: Callable[..., Hand],
    tmp_path: Path,
) -> None:
    """On a laptop: the page is ready to paste into, and Tab and Enter do the rest."""
    plan = tmp_path / "weir.json"
    plan.write_text(write(read_job(weir()).doc), encoding="utf-8")
    app = serve(plan)
    hand = new_phone(size=(1180, 820))
    hand.open(app.url + f"#{PAGE}")
    hand.wait_for(words.table_label())
    for _ in range(12):  # there as a rule; a page that is still being drawn may take it away again
        hand.pause(400)
        if hand.focused == words.table_label():
            break
        hand.press("Tab")
    hand.wait_keyboard(words.table_label())
    hand.page.keyboard.insert_text(GOOD)
    hand.wait_for(words.put_spans_in(2))
    for _ in range(4):  # out of the field to the slab: a field of several lines keeps no Tab
        hand.press("Tab")
        hand.pause(150)
        if words.put_spans_in(2) in hand.focused:
            break
    hand.press("Enter")
    hand.wait_route(PLAN)

    def kept() -> list[str]:
        held = decode(read_journal(tmp_path / "data", ID))
        return [record["value"]["id"] for record in held.records[1:] if record["path"] == ["spans"]]

    hand.wait_until(lambda: kept() == ["C1", "C2"], 5, "two spans on the disk")
