"""The least job that has something in each list, every place in a document, and what is wrong with one."""

from __future__ import annotations

import pytest

from engine.fields import Problem
from engine.jobfile import BadFile, parse_json, read_job


def small(**changes) -> dict:
    """The least job that has something in each list: a source, a span and an endpoint."""
    doc = {
        "format": "farend-job/1",
        "id": "PUMP",
        "title": "Pump house",
        "site": {"name": "Dyke", "ambient_c": 10},
        "stops": {"yard": {"at_m": 0, "indoor": True}, "pump": {"at_m": 70}},
        "earths": {"EB": {"stop": "pump", "target_ohms": 10}},
        "meters": [{"id": "m1", "sheet": "generic.meter"}],
        "budgets": {"shelf": {"watts": 120}},
        "boxes": [
            {"id": "S", "sheet": "generic.source-90w", "stop": "yard", "budget": "shelf"},
            {"id": "E", "sheet": "my.lamp", "stop": "pump", "bond": {"to": "EB"}},
        ],
        "spans": [
            {
                "id": "C1",
                "from": "S.out",
                "to": "E.in",
                "cable": "generic.cat6-outdoor",
                "length_m": 70,
            }
        ],
        "sheets": {"my.lamp": {"kind": "endpoint", "watts": 9, "class": 3, "speeds_mbps": [100]}},
    }
    return {**doc, **changes}


def problems(doc_or_text) -> tuple[Problem, ...]:
    """What is wrong with a document or a text."""
    with pytest.raises(BadFile) as caught:
        if isinstance(doc_or_text, dict):
            read_job(doc_or_text)
        else:
            read_job(parse_json(doc_or_text))
    assert caught.value.problems
    for problem in caught.value.problems:
        assert len(problem.line().splitlines()) == 1
        assert problem.at and problem.found and problem.expected
    return caught.value.problems


def only(doc_or_text) -> Problem:
    """The one problem of a document or a text."""
    found = problems(doc_or_text)
    assert len(found) == 1, [problem.line() for problem in found]
    return found[0]


def put(doc: dict, path: str, value) -> dict:
    """The document with one value replaced; ``path`` is written ``boxes.0.sheet``."""
    *way, last = path.split("/")
    spot = doc
    for name in way:
        spot = spot[int(name)] if isinstance(spot, list) else spot[name]
    spot[int(last) if isinstance(spot, list) else last] = value
    return doc


def spots(value, way=()):
    """Every place in a document."""
    if way:
        yield way
    items = (
        value.items()
        if isinstance(value, dict)
        else enumerate(value)
        if isinstance(value, list)
        else ()
    )
    for key, item in items:
        yield from spots(item, (*way, key))
