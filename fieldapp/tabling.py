"""Spans from a table: what was pasted is read once it rests, shown, and put in with one press.

Handlers, as ``update`` calls them, pure.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from engine.fields import Problem
from engine.job import Point
from engine.jobfile import BadFile
from engine.planning import Edit
from engine.say import say
from engine.spans_csv import LARGEST_BYTES, Outline, outline, spans_from
from fieldapp import messages as m
from fieldapp.halfdone import SpanTable
from fieldapp.keeping import Result
from fieldapp.model import TABLE, Model
from fieldapp.planmoves import how_it_counts, together, used_ids
from fieldapp.routes import Place, route_of

REST_S = 0.5
"""a table is read once nothing was typed for so long: reading 300 lines takes a while (ours)"""
UTF_16 = (b"\xff\xfe", b"\xfe\xff")
"""how a text of two bytes a letter begins"""


@dataclass(frozen=True)
class TableRead:
    """What a table was read as: what it speaks of, and the edits or the problems."""

    of: int
    """how long the log of the plan was"""
    outline: Outline | None = None
    """None where it is no such table at all"""
    missing: tuple[str, ...] = ()
    """boxes that it names and the plan lacks"""
    edits: tuple[Edit, ...] = ()
    problems: tuple[Problem, ...] = ()


def table_of(model: Model) -> SpanTable:
    """The table being typed for the job in hand; one that was put in is done with."""
    table, job = model.table, model.open_job
    if table is None or table.job != job.id:
        return SpanTable(job.id)
    put_in = table.sent_at is not None and len(job.file.entries) > table.sent_at
    return SpanTable(job.id) if put_in else table


def read_table(model: Model, text: str) -> TableRead:
    """What a table would do to the plan as it stands."""
    doc = model.open_job.judgement.state.doc
    of = len(model.open_job.file.entries)
    try:
        speaks_of = outline(text)
    except BadFile as bad:
        return TableRead(of, problems=bad.problems)
    have = {name.lower() for name in model.open_job.judgement.state.job.boxes}
    missing = tuple(name for name in speaks_of.boxes if name.lower() not in have)
    try:
        edits = spans_from(doc, text, used=used_ids(model))
    except BadFile as bad:
        return TableRead(of, speaks_of, missing, problems=bad.problems)
    return TableRead(of, speaks_of, missing, edits)


def text_of(data: bytes) -> str | None:
    """The text of a file as spreadsheets write it; None where it is no text."""
    if data.startswith(UTF_16):
        return data.decode("utf-16", "replace")
    if b"\0" in data:
        return None
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")


# ---------------------------------------------------------------- what is pressed and typed


def _typed(model: Model, message: m.TableTyped) -> Result:
    before = table_of(model)
    table = replace(before, text=message.text, count=before.count + 1, read=None, sent_at=None)
    look = (m.Later(REST_S, m.TableQuiet(table.count)),) if message.text.strip() else ()
    return replace(model, table=table, told=None), look


def _quiet(model: Model, message: m.TableQuiet) -> Result:
    table = model.table
    if table is None or table.count != message.count or not model.has_open(table.job):
        return model, ()
    return _read(model, table), ()


def _read(model: Model, table: SpanTable) -> Model:
    return replace(model, table=replace(table, read=read_table(model, table.text)))


def _pressed(model: Model, message: m.TablePressed) -> Result:
    """The picker opens by itself, within the press."""
    return replace(model, told=None, photo_of="", picks=TABLE), ()


def _picked(model: Model, message: m.TablePicked) -> Result:
    """A file takes the place of what was typed, unless it is no table at all."""
    if model.place.screen != "spans":
        return model, ()
    if len(message.data) > LARGEST_BYTES:
        return replace(model, told=say("table-large", name=message.name)), ()
    text = text_of(message.data)
    if text is None:
        return replace(model, told=say("table-no-text", name=message.name)), ()
    table = table_of(model)
    fresh = SpanTable(table.job, text.replace("\r\n", "\n"), table.count + 1)
    return replace(_read(model, fresh), told=None), ()


def _put_in(model: Model, message: m.TablePutIn) -> Result:
    """All spans with one press; where the plan moved on since it was read, it is read again."""
    table = table_of(model)
    read = table.read
    if read is None or read.of != len(model.open_job.file.entries):
        read = read_table(model, table.text)
        table = replace(table, read=read)
        model = replace(model, table=table)
    if not read.edits:
        return model, ()
    there = {name for name in _ends(*read.edits) if how_it_counts(model, name) == "change"}
    edits = tuple(
        {**edit, "as": "change" if there & _ends(edit) else edit["as"]} for edit in read.edits
    )
    model = replace(model, table=replace(table, sent_at=read.of))
    return together(model, edits, route_of(Place("plan", model.open_job.id)))


def _ends(*edits: Edit) -> set[str]:
    """The boxes that these join: a span is a change where one of them is there or was measured."""
    spans = [edit["value"] for edit in edits if edit["path"] == ["spans"]]
    return {Point.parse(span[key]).box for span in spans for key in ("from", "to")}


HANDLERS: Mapping[type, Callable[[Model, Any], Result]] = MappingProxyType(
    {
        m.TableTyped: _typed,
        m.TableQuiet: _quiet,
        m.TablePressed: _pressed,
        m.TablePicked: _picked,
        m.TablePutIn: _put_in,
    }
)
