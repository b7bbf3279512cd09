"""The store in a real browser's own file system: what the handles of the fake only claim."""

from __future__ import annotations

import os
from collections.abc import Iterator
from hashlib import sha256
from typing import TYPE_CHECKING, Any

import pytest
from jpegs import JFIF, made
from store_media import PLAN, entry

from fieldapp.jpeg import without_place

# Imported where it is used: without Playwright this file must say so, not break.
if TYPE_CHECKING:
    from pyodide.harness import Session

pytestmark = pytest.mark.browser
PICTURE = made("baseline", JFIF)
THERE = f"""
import js
from itertools import count
from pyodide.ffi import to_js
from fieldapp.store import StoreBusy, StoreFull
from fieldapp.store.opfs import open_opfs
PLAN, PICTURE = {PLAN!r}, {PICTURE!r}
CREATE = to_js({{"create": True}}, dict_converter=js.Object.fromEntries)
numbers = count(1)

def entry(number, **more):
    return {{**{entry(0)!r}, "id": f"e{{number}}", **more}}

async def handle(*path, folder=False):
    at = await js.navigator.storage.getDirectory()
    for name in path[:-1]:
        at = await at.getDirectoryHandle(name, CREATE)
    get = at.getDirectoryHandle if folder else at.getFileHandle
    return await get(path[-1], CREATE)

async def store(name, **how):
    root = await handle(name, folder=True)
    return await open_opfs(root, now=lambda: "2026-05-03T08:00:00Z", draw=lambda: "a7f3", **how)

async def names(*path):
    return sorted([one.name async for one in (await handle(*path, folder=True)).values()])

async def read(*path):
    return (await (await (await handle(*path)).getFile()).arrayBuffer()).to_bytes()

async def write(place, data, *path):
    held = await (await handle(*path)).createSyncAccessHandle()
    held.write(to_js(data), to_js({{"at": place}}, dict_converter=js.Object.fromEntries))
    held.close()

def refused(call, *args):
    try:
        call(*args)
    except Exception as error:
        return repr(error)

async def refused_later(waiting):
    try:
        await waiting
    except Exception as error:
        return repr(error)
"""
"""what every piece of source there begins with; names do not stay"""


@pytest.fixture(scope="module")
def session(chromium: str) -> Iterator[Session]:
    """The browser's Python with the store in it."""
    from pyodide.harness import core_folder, open_session, store_archive

    if core_folder() is None:
        absent = pytest.fail if os.environ.get("CI") == "true" else pytest.skip
        absent("flet-web is not installed, or carries no Python for the browser")
    with open_session(chromium, store_archive()) as opened:
        yield opened


def there(session: Session, source: str) -> Any:
    return session.run(THERE + source)


def test_what_was_kept_is_there_when_it_is_opened_again(session: Session) -> None:
    """A job, its log, a photo, the place, a setting and the count; nothing else lies about."""
    kept = there(
        session,
        """
first = await store("again")
journal = await first.create("HERON-HIDE", PLAN, entries=(entry(1),))
journal.append(entry(2, text="Ω wet"))
journal.append_all((entry(3), entry(4)))
photo = await first.keep_photo("HERON-HIDE", PICTURE)
await first.keep_photo("HERON-HIDE", PICTURE)
for typed in "4", "41", "41.", "41.2":
    first.save_place({"typed": typed})
first.put_setting("look", "sun")
n = first.next_n()
first.close()
second = await store("again")
journal = await second.open("HERON-HIDE")
out = {
    "report": [second.report, journal.report], "device": second.device,
    "records": journal.records, "again": [n, second.next_n()],
    "photos": [photo.sha256, *await second.photos("HERON-HIDE")],
    "is_same": len(await second.photo("HERON-HIDE", photo.sha256)),
    "place": await second.load_place(), "look": second.setting("look"),
    "cards": [card.entries for card in await second.list_jobs()],
}
second.close()
out | {"names": [await names("again"), await names("again", "jobs")]}
""",
    )
    name = sha256(without_place(PICTURE)).hexdigest()
    assert kept["report"] == [None, None] and kept["device"] == "a7f3"
    entries = [{**entry(0), "id": f"e{number}"} for number in range(1, 5)]
    entries[1]["text"] = "Ω wet"
    assert kept["records"] == [PLAN, *entries]
    assert kept["photos"] == [name, name] and kept["is_same"] == len(without_place(PICTURE))
    assert (kept["place"], kept["look"], kept["cards"]) == ({"typed": "41.2"}, "sun", [4])
    assert kept["again"][1] > kept["again"][0]
    slots = [f"catalogue.{number}" for number in (1, 2, 3)]
    assert kept["names"][0] == [*slots, "jobs", "making"]
    assert kept["names"][1] == ["HERON-HIDE.journal", "HERON-HIDE.photos"]


def test_a_torn_tail_is_cut_and_a_bad_place_written_anew(session: Session) -> None:
    """What is no record lies beside the journal, and the log goes on behind the last whole one."""
    found = there(
        session,
        """
out = {}
first = await store("torn")
journal = await first.create("HERON-HIDE", PLAN, entries=(entry(1), entry(2)))
end = journal.size
first.close()
await write(end, b"99 0000", "torn", "jobs", "HERON-HIDE.journal")
second = await store("torn")
journal = await second.open("HERON-HIDE")
out["torn"] = [journal.report.code, journal.report.cut_bytes, len(journal.records)]
journal.append(entry(3))
second.close()
whole = await read("torn", "jobs", "HERON-HIDE.journal")
await write(whole.index(b'"e1"') + 1, b"x", "torn", "jobs", "HERON-HIDE.journal")
third = await store("torn")
journal = await third.open("HERON-HIDE")
out["damaged"] = [journal.report.code, [one.get("id") for one in journal.records[1:]]]
journal.append(entry(4))
third.close()
fourth = await store("torn")
journal = await fourth.open("HERON-HIDE")
out["after"] = [journal.report, [one.get("id") for one in journal.records[1:]]]
fourth.close()
out["names"] = await names("torn", "jobs")
out["beside"] = [
    (await read("torn", "jobs", name)).decode() for name in out["names"] if ".bad-" in name
]
out
""",
    )
    assert found["torn"] == ["tail-cut", len("99 0000"), 3]
    assert found["damaged"] == ["damaged", ["e2", "e3"]]
    assert found["after"] == [None, ["e2", "e3", "e4"]]
    assert sum(".journal.bad-" in name for name in found["names"]) == 2
    assert [n for n in found["names"] if ".bad-" not in n] == ["HERON-HIDE.2.journal"]
    assert "99 0000" in found["beside"] and any('"x1"' in text for text in found["beside"])


def test_what_somebody_holds_is_busy(session: Session) -> None:
    """The whole store, which can be read then; or one journal, and then the others serve."""
    found = there(
        session,
        """
first = await store("held")
(await first.create("SLUICE", {**PLAN, "id": "SLUICE"})).close()
journal = await first.create("HERON-HIDE", PLAN)
journal.append(entry(1))
out = {"store": await refused_later(store("held"))}
reader = await store("held", or_read=True)
seen = await reader.open("HERON-HIDE")
out["reader"] = [len(seen.records), refused(seen.append, entry(2))]
journal.append(entry(2))
out["live"] = [card.entries for card in await reader.list_jobs() if card.id == "HERON-HIDE"]
first.close()
foreign = await (await handle("held", "jobs", "SLUICE.journal")).createSyncAccessHandle()
second = await store("held")
out["job"] = await refused_later(second.open("SLUICE"))
out["other"] = len((await second.open("HERON-HIDE")).records)
foreign.close()
out["let go"] = len((await second.open("SLUICE")).records)
second.close()
out
""",
    )
    assert found["store"] == "StoreBusy(job='')"
    assert found["reader"] == [2, "StoreBusy(job='HERON-HIDE')"] and found["live"] == [2]
    assert found["job"] == "StoreBusy(job='SLUICE')"
    assert (found["other"], found["let go"]) == (3, 1)


def test_a_full_disk_is_said_and_loses_nothing(session: Session) -> None:
    """Entry, photo, job and place are refused whole; with room again the same calls go on."""
    there(session, 'now = await store("full"); await now.create("HERON-HIDE", PLAN); now.close()')
    fill = """
now = await store("full")
journal = await now.open("HERON-HIDE")
said, many = [], 0
for text in "w" * 9_000, "w" * 90, "":
    refusal = None
    while refusal is None and many < 200:
        refusal = refused(journal.append, entry(many, text=text))
        many += refusal is None
    said.append(refusal)
out = {"said": said, "many": many, "photo": await refused_later(now.keep_photo("HERON-HIDE", PICTURE))}
out["job"] = await refused_later(now.create("SLUICE", PLAN))
out["place"] = refused(now.save_place, {"typed": "4" * 2_000})
out["photos"] = len(await now.photos("HERON-HIDE"))
out["cards"] = [card.id for card in await now.list_jobs()]
now.close()
again = await store("full")
journal = await again.open("HERON-HIDE")
out["again"] = [journal.report, len(journal.records), refused(journal.append, entry(900, text="w" * 9_000))]
again.close()
out
"""
    usage = session.run("import js; (await js.navigator.storage.estimate()).usage")
    session.limit(int(usage) + 100_000)
    try:
        full = there(session, fill)
    finally:
        session.limit(None)
    after = there(
        session,
        """
now = await store("full")
journal = await now.open("HERON-HIDE")
journal.append(entry(901))
await now.keep_photo("HERON-HIDE", PICTURE)
await now.create("SLUICE", PLAN)
now.save_place({"typed": "4"})
out = [now.report, journal.report, len(journal.records), len(await now.photos("HERON-HIDE"))]
now.close()
out + [await names("full", "jobs")]
""",
    )
    assert full["said"] == ["StoreFull(job='HERON-HIDE')"] * 3 and 10 <= full["many"] < 200
    assert full["photo"] == "StoreFull(job='HERON-HIDE')" and full["photos"] == 0
    assert full["job"] == "StoreFull(job='SLUICE')" and full["cards"] == ["HERON-HIDE"]
    assert full["place"] == "StoreFull(job='')"
    assert full["again"] == [None, full["many"] + 1, "StoreFull(job='HERON-HIDE')"]
    assert after[:4] == [None, None, full["many"] + 2, 1]
    assert after[4] == ["HERON-HIDE.journal", "HERON-HIDE.photos", "SLUICE.journal"]
