"""A job out as one file and in again: the same bytes for the same log, and the union on merging."""

from __future__ import annotations

import asyncio
import io
import json
import random
import zipfile
from contextlib import AbstractContextManager
from copy import deepcopy
from hashlib import sha256
from unittest import mock

import pytest
from jpegs import made
from memory_disk import MemoryDisk, open_memory
from test_merge import random_history, reading, with_log

from engine.jobfile import LARGEST_BYTES, BadFile, parse_json, read_job, write
from engine.log import fold
from engine.merge import TWINS, NotOneJob, merged, twins
from engine.sliced import finish
from fieldapp.exchange import LIMITS, bring, document, pack, unpack
from fieldapp.exchange.archive import shown_name
from fieldapp.exchange.packing import job_texting
from fieldapp.exchange.perform import bring_to
from fieldapp.exchange.records import additions
from fieldapp.jpeg import without_place
from fieldapp.services import World
from fieldapp.shelf import Shelf
from fieldapp.store.errors import StoreFull

PICTURE = without_place(made("baseline"))
SUM = sha256(PICTURE).hexdigest()


def photo(ident: str, sums: str = SUM, **keys) -> dict:
    """The entry of a picture."""
    return {"id": ident, "what": "photo", "of": "E1", "sha256": sums, "bytes": 10, **keys}


def mixed(doc: dict, seed: int) -> dict:
    """The same log in another order of arrival."""
    log = list(doc["log"])
    random.Random(seed).shuffle(log)
    return {**doc, "log": log}


NUMBERED = with_log(
    reading("r1", 51.0, device="aa", n=1),
    reading("r2", 50.5, device="bb", n=1, seen={"aa": 1}),
    photo("p1", device="aa", n=2, seen={"bb": 1}),
    {"id": "w1", "what": "weather", "wind": {"from": "NW"}, "x_own": [1], "device": "bb", "n": 2},
)


# ---------------------------------------------------------------- out


@pytest.mark.parametrize("seed", range(8))
def test_the_same_log_makes_the_same_bytes_whatever_order_it_came_in(seed):
    whole = pack(NUMBERED, {SUM: PICTURE})
    assert pack(mixed(NUMBERED, seed), {SUM: PICTURE}) == whole
    assert pack(mixed(NUMBERED, seed)) == pack(NUMBERED)


def test_a_zip_is_an_ordinary_one_and_nothing_in_it_tells_when_or_where_it_was_packed():
    more = {f"{n:064x}": PICTURE for n in (3, 1, 2)}
    whole = pack(NUMBERED, more)
    assert whole.name == "trial.zip"
    with zipfile.ZipFile(io.BytesIO(whole.data)) as archive:
        assert archive.testzip() is None
        infos = archive.infolist()
    assert [info.filename for info in infos] == [
        "TRIAL.json",
        *(f"photos/{name}.jpg" for name in sorted(more)),
    ]
    for info in infos:
        assert info.compress_type == zipfile.ZIP_STORED
        assert info.date_time == (1980, 1, 1, 0, 0, 0) and info.create_system == 3
        assert info.extra == b"" and info.comment == b""


def test_what_goes_out_comes_in_as_it_was():
    incoming = unpack(pack(NUMBERED, {SUM: PICTURE}).data)
    assert incoming.file.doc == merged((NUMBERED,))
    assert dict(incoming.pictures) == {SUM: PICTURE} and incoming.left_out == ()
    bare = unpack(pack(NUMBERED).data)
    assert bare.file.doc == incoming.file.doc and not bare.pictures


def test_letters_that_no_utf_8_has_go_out_and_come_in():
    """Half a surrogate pair in somebody's own key must not stop a job from being handed over."""
    odd = with_log({"id": "q", "what": "weather", "x_a": "\ud83d \x9b2J \u202e\u0007", "n": 1})
    text = pack(odd).data
    assert text.isascii() and b"\\ud83d" in text and b"\\u009b" in text and b"\\u202e" in text
    assert unpack(text).file.doc == merged((odd,))


def test_a_log_that_would_be_too_large_indented_goes_out_in_one_line(monkeypatch):
    text = finish(job_texting(NUMBERED))
    monkeypatch.setattr("fieldapp.exchange.packing.LARGEST_BYTES", len(text) - 1)
    short = finish(job_texting(NUMBERED))
    assert b"\n" not in short and parse_json(short) == parse_json(text)
    assert LIMITS.job_bytes == LARGEST_BYTES


def test_a_zip_packed_again_by_a_file_manager_is_read():
    """One folder round all of it, packed, with what such programs leave in it."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("hide (1)/", b"")
        archive.writestr("hide (1)/TRIAL (1).json", write(NUMBERED))
        archive.writestr(f"hide (1)/photos/{SUM}.jpg", PICTURE)
        archive.writestr("__MACOSX/hide (1)/._TRIAL.json", b"\0\5\26\7")
        archive.writestr("hide (1)/.DS_Store", b"x")
    incoming = unpack(out.getvalue())
    assert incoming.file.plan.id == "TRIAL" and set(incoming.pictures) == {SUM}
    assert [one.why for one in incoming.left_out] == ["foreign", "foreign"]


# ---------------------------------------------------------------- records


def kept(*documents: dict) -> list[dict]:
    """The records of a journal into which these were brought, one after the other."""
    first = documents[0]
    records = [{key: value for key, value in first.items() if key != "log"}]
    for one in documents:
        records += additions(records, deepcopy(one)).records
    return records


@pytest.mark.parametrize("chunk", range(5))
def test_bringing_files_in_is_the_merge_of_them(chunk):
    """On 75 random histories of three phones, in every order: the same job, and each once."""
    for seed in range(15 * chunk, 15 * chunk + 15):
        a, b, c = random_history(seed)
        whole = merged((a, b, c))
        ways = [kept(*way) for way in ((a, b, c), (c, a, b), (b, b, c, a), (whole,), (a, whole))]
        for records in ways:
            doc = document(records)
            assert merged((doc,)) == whole
            assert additions(records, whole).records == ()
            assert len({record["id"] for record in records[1:]}) == len(records) - 1
        states = [fold(read_job(document(records))) for records in ways]
        assert all(s.entries == states[0].entries for s in states)
        assert all(s.doc == states[0].doc and s.current == states[0].current for s in states)


def test_the_histories_have_twins():
    assert sum(bool(twins(merged(random_history(seed)))) for seed in range(75)) > 3


def test_twins_lie_beside_each_other_and_are_named():
    first, second = reading("r1", 51.0, device="aa", n=1), reading("r1", 48.0, device="aa", n=1)
    records = kept(with_log(first))
    more = additions(records, with_log(second))
    assert more.twins == ("r1",) and more.before == 1
    doc = document([*records, *more.records])
    (entry,) = doc["log"]
    assert {entry["value"], entry[TWINS][0]["value"]} == {51.0, 48.0}
    assert additions([*records, *more.records], with_log(second)).records == ()
    assert [odd.say.code for odd in fold(read_job(doc)).oddities] == ["odd-twin"]


def test_two_entries_of_one_id_in_one_file_are_twins_as_well():
    doc = with_log(reading("r1", 51.0), reading("r1", 48.0), reading("r2", 49.0))
    records = kept(doc)
    assert merged((document(records),)) == merged((doc,))


def test_a_record_that_only_looks_like_a_twin_is_an_unknown_entry():
    odd = {"id": "t1", "what": "twin", "of": "nobody", "entry": {"what": "reading"}, "n": 1}
    doc = document(kept(with_log(odd)))
    assert doc["log"] == [odd] and read_job(doc)


def test_what_would_make_the_kept_job_unreadable_is_not_kept():
    """A twin lies two levels deeper than an entry: one as deep as a file may be is one too deep."""
    deep: object = "x"
    for _ in range(LIMITS.depth - 3):
        deep = [deep]
    plain = reading("r1", 51.0, device="aa", n=1)
    odd = with_log({**plain, "value": 52.0, "x_own": deep})
    assert parse_json(write(odd)) == odd, "it can be read by itself"
    records = kept(with_log(plain))
    with pytest.raises(BadFile) as bad:
        additions(records, odd)
    assert "nesting" in bad.value.problems[0].found
    assert kept(odd), "and as a job of its own it is kept"


# ---------------------------------------------------------------- into the store


def at_a_store(journey):
    """Run with a store in memory: ``journey(disk, opened)``."""

    def test():
        async def whole():
            disk = MemoryDisk()

            async def opened():
                return await open_memory(
                    disk, now=lambda: "2031-06-03T08:00:00Z", draw=lambda: "d0"
                )

            await journey(disk, opened)

        asyncio.run(whole())

    test.__name__, test.__doc__ = journey.__name__, journey.__doc__
    return test


@at_a_store
async def test_a_file_is_a_new_job_then_news_then_nothing(disk, opened):
    store = await opened()
    first = await bring(store, unpack(pack(with_log(reading("r1", 51.0, n=1))).data), "a.json")
    assert first.is_new and first.entries == 1
    packed = pack(NUMBERED, {SUM: PICTURE}).data
    second = await bring(store, unpack(packed), "b.zip", first.journal)
    assert not second.is_new and (second.before, second.entries, second.pictures) == (1, 4, 1)
    assert second.twins == ("r1",), "written by hand there, by a phone here"
    before = dict(disk.journals)
    third = await bring(store, unpack(packed), "b.zip", first.journal)
    assert (third.entries, third.pictures, third.twins) == (0, 0, ())
    assert disk.journals == before
    store.close()
    again = await opened()
    journal = await again.open("TRIAL")
    assert merged((document(journal.records),)) == merged(
        (with_log(reading("r1", 51.0, n=1)), NUMBERED)
    )
    assert await again.photo("TRIAL", SUM) == PICTURE


@at_a_store
async def test_another_plan_changes_nothing_not_even_a_picture(disk, opened):
    store = await opened()
    first = await bring(store, unpack(pack(with_log()).data), "a.json")
    before = dict(disk.journals)
    other = {**NUMBERED, "title": "Another"}
    with pytest.raises(NotOneJob):
        await bring(store, unpack(pack(other, {SUM: PICTURE}).data), "b.zip", first.journal)
    assert disk.journals == before and disk.photos == {}


@at_a_store
async def test_a_full_disk_keeps_all_of_the_entries_or_none(disk, opened):
    store = await opened()
    first = await bring(store, unpack(pack(with_log()).data), "a.json")
    before = dict(disk.journals)
    disk.fail_at = {disk.adds + 1: StoreFull}
    packed = pack(NUMBERED, {SUM: PICTURE}).data
    with pytest.raises(StoreFull):
        await bring(store, unpack(packed), "b.zip", first.journal)
    assert disk.journals == before
    again = await bring(store, unpack(packed), "b.zip", first.journal)
    assert again.entries == 4
    store.close()
    disk.trouble = StoreFull
    shut = await opened()
    with pytest.raises(StoreFull):
        await bring(shut, unpack(pack({**with_log(), "id": "NEW"}).data), "c.json")
    disk.trouble = None
    assert (await bring(shut, unpack(pack({**with_log(), "id": "NEW"}).data), "c.json")).is_new


def no_room_for_photos(disk: MemoryDisk) -> AbstractContextManager:
    """A disk that has no room for a picture."""
    return mock.patch.object(disk, "make_photo", side_effect=StoreFull)


@at_a_store
async def test_a_new_job_whose_photos_find_no_room_is_not_begun(disk, opened):
    """No entry without its picture; with the room the file comes whole."""
    store = await opened()
    packed = pack(NUMBERED, {SUM: PICTURE}).data
    with no_room_for_photos(disk), pytest.raises(StoreFull):
        await bring(store, unpack(packed), "b.zip")
    assert disk.journals == {}
    again = await bring(store, unpack(packed), "b.zip")
    assert again.is_new and (again.entries, again.pictures) == (4, 1)
    assert await store.photo("TRIAL", SUM) == PICTURE


@at_a_store
async def test_news_whose_photos_find_no_room_are_not_kept(disk, opened):
    store = await opened()
    first = await bring(store, unpack(pack(with_log()).data), "a.json")
    before = dict(disk.journals)
    packed = unpack(pack(NUMBERED, {SUM: PICTURE}).data)
    with no_room_for_photos(disk), pytest.raises(StoreFull):
        await bring(store, packed, "b.zip", first.journal)
    assert disk.journals == before
    again = await bring(store, packed, "b.zip", first.journal)
    assert (again.entries, again.pictures) == (4, 1)


@at_a_store
async def test_a_file_mends_a_picture_that_is_not_as_it_was_kept(disk, opened):
    store = await opened()
    packed = unpack(pack(NUMBERED, {SUM: PICTURE}).data)
    journal = (await bring(store, packed, "b.zip")).journal
    disk.photos["TRIAL", SUM] = PICTURE[:-9]
    await bring(store, packed, "b.zip", journal)
    assert await store.photo("TRIAL", SUM) == PICTURE
    assert disk.photos_aside == [PICTURE[:-9]]


@at_a_store
async def test_a_file_is_brought_while_another_tab_opens_its_job(disk, opened):
    """Both get the one journal: whoever comes second waits for the first."""
    store = await opened()
    (await bring(store, unpack(pack(with_log()).data), "a.json")).journal.close()
    real = disk.read

    async def slowly(name):
        await asyncio.sleep(0)
        return await real(name)

    disk.read = slowly
    shelf = Shelf(store, World())
    incoming = unpack(pack(NUMBERED, {SUM: PICTURE}).data)
    for order in ((0, 1), (1, 0)):
        both = (bring_to(shelf, incoming, "b.zip"), shelf.journal("TRIAL"))
        came = await asyncio.gather(*(both[one] for one in order))
        brought, journal = (came[order.index(one)] for one in (0, 1))
        assert brought.journal is journal is shelf.journals["TRIAL"]
        assert len(journal.records) == 5
        shelf.journals.pop("TRIAL").close()


@at_a_store
async def test_a_new_job_comes_twice_at_once(disk, opened):
    """The second file is news to the job that the first began."""
    shelf = Shelf(await opened(), World())
    incoming = unpack(pack(NUMBERED, {SUM: PICTURE}).data)
    real = disk.make_photo

    async def slowly(*args):
        await asyncio.sleep(0)
        await real(*args)

    disk.make_photo = slowly
    first, second = await asyncio.gather(*(bring_to(shelf, incoming, "b.zip") for _ in range(2)))
    assert (first.is_new, second.is_new) == (True, False)
    assert first.journal is second.journal and second.entries == 0


def test_a_name_may_be_shown_whatever_it_holds():
    assert shown_name("hide\u202egpj.exe\x1b[2J\n.zip") == "hidegpj.exe[2J .zip"
    assert len(shown_name("x" * 5000)) <= 80


def test_a_document_in_json_and_its_zip_name_the_job_alike():
    assert json.loads(pack(NUMBERED).data)["id"] == "TRIAL"
