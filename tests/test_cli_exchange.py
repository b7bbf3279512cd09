"""``farend export`` and ``farend import``: one line a file, 0 or 2, and nothing half done."""

from __future__ import annotations

import asyncio
import csv
import io
import json
import re
import zipfile
from hashlib import sha256
from pathlib import Path

import pytest
from test_exchange import NUMBERED, PICTURE, SUM
from test_merge import reading, with_log

from engine.jobfile import load, write
from engine.merge import merged
from engine.showable import showable
from fieldapp.__main__ import main
from fieldapp.exchange import document, pack, unpack
from fieldapp.exchange.everything import everything
from fieldapp.exchange.packing import Packed
from fieldapp.store.files import open_files, read_journal, read_picture
from fieldapp.store.journal import decode, head_of


class Desk:
    """A folder to work in, a data folder, and what the commands said."""

    def __init__(self, tmp_path: Path, capsys) -> None:
        self.data, self.capsys = tmp_path / "data", capsys
        self.out = self.err = ""

    def farend(self, *words: str) -> int:
        status = main([*words, "--data", str(self.data)])
        self.out, self.err = self.capsys.readouterr()
        assert showable(self.out + self.err) == self.out + self.err
        assert "Traceback" not in self.err
        return status

    def kept(self, job: str = "TRIAL") -> dict:
        decoded = decode(read_journal(self.data, job))
        return document((head_of(decoded, job).plan, *decoded.records[1:]))


@pytest.fixture
def desk(tmp_path, capsys, monkeypatch) -> Desk:
    place = tmp_path / "here"
    place.mkdir()
    monkeypatch.chdir(place)
    return Desk(tmp_path, capsys)


def put(name: str, data: bytes | str) -> str:
    Path(name).write_bytes(data.encode() if isinstance(data, str) else data)
    return name


ZIP = pack(NUMBERED, {SUM: PICTURE}).data


def test_a_zip_of_all_jobs_comes_in_job_by_job(desk):
    """One that cannot be read holds up no other."""
    other = pack({**NUMBERED, "id": "OTHER"}, {SUM: PICTURE})
    whole = everything((pack(NUMBERED, {SUM: PICTURE}), Packed("bad.json", b"{}"), other))
    assert desk.farend("import", put("all.zip", whole)) == 2
    assert desk.out.splitlines() == [
        "all.zip, trial.zip: new job TRIAL, 4 entries and 1 photo.",
        "all.zip, other.zip: new job OTHER, 4 entries and 1 photo.",
    ]
    assert desk.err.startswith("all.zip, bad.json: ")
    assert desk.kept("OTHER")["log"] == desk.kept()["log"]


# ---------------------------------------------------------------- in


def test_files_are_new_jobs_then_news_then_nothing(desk):
    one, two = put("a.json", write(with_log(reading("r9", 50.0, n=1)))), put("b.zip", ZIP)
    assert desk.farend("import", one, two, two) == 0
    assert desk.out.splitlines() == [
        "a.json: new job TRIAL, 1 entry.",
        "b.zip: TRIAL, 4 entries and 1 photo more.",
        "b.zip: TRIAL has all of it already.",
    ]
    assert merged((desk.kept(),)) == merged((NUMBERED, with_log(reading("r9", 50.0, n=1))))
    assert read_picture(desk.data, "TRIAL", SUM) == PICTURE


def test_each_file_comes_in_whole_or_not_and_the_others_do(desk):
    bad = put("bad.json", write({**NUMBERED, "surprise": 1, "also": 2}))
    other = put("other.json", write({**NUMBERED, "title": "Another"}))
    assert desk.farend("import", put("b.zip", ZIP), bad, "gone.json", other, ".") == 2
    assert desk.out == "b.zip: new job TRIAL, 4 entries and 1 photo.\n"
    told = desk.err.splitlines()
    assert len(told) == 5 and [line.partition(":")[0] for line in told] == [
        "bad.json",
        "bad.json",
        "gone.json",
        "other.json",
        ".",
    ]
    assert "surprise: found an unknown key" in told[0]
    assert "not the same job" in told[3] and "nothing was changed" in told[3]
    assert desk.kept() == merged((NUMBERED,)) | {"log": desk.kept()["log"]}


def test_what_is_left_out_and_twins_are_told(desk):
    out = io.BytesIO(ZIP)
    with zipfile.ZipFile(out, "a") as archive:
        archive.writestr("../\x1b[2J.txt", b"x")
    assert desk.farend("import", put("b.zip", out.getvalue())) == 0
    assert "b.zip: left out ../[2J.txt: found no part of a job" in desk.err
    log = [{**NUMBERED["log"][0], "value": 7.0}, *NUMBERED["log"][1:]]
    assert desk.farend("import", put("c.json", write({**NUMBERED, "log": log}))) == 0
    assert desk.err == "r1 stands for two different entries; both are kept.\n"
    assert desk.out == "c.json: TRIAL, 1 entry more.\n"


def test_a_file_larger_than_any_is_not_read_to_its_end(desk, monkeypatch):
    from fieldapp.exchange import limits
    from fieldapp.exchange import reading as reading_files

    few = limits.Limits(zip_bytes=100)
    monkeypatch.setattr(reading_files, "LIMITS", few)
    monkeypatch.setattr("fieldapp.exchange.unpacking.unpack.__defaults__", (few,))
    assert desk.farend("import", put("b.zip", ZIP)) == 2
    assert "101 bytes" in desk.err


# ---------------------------------------------------------------- out


def test_the_form_follows_the_name_and_the_photos(desk):
    desk.farend("import", put("b.zip", ZIP), put("c.json", write({**with_log(), "id": "BARE"})))
    assert desk.farend("export", "trial") == 0 and Path("trial.zip").is_file()
    assert desk.out == f"trial.zip: TRIAL, {Path('trial.zip').stat().st_size} bytes.\n"
    assert desk.farend("export", "bare") == 0 and Path("bare.json").is_file()
    assert desk.farend("export", "bare", "-o", "bare.ZIP") == 0
    assert zipfile.ZipFile("bare.ZIP").namelist() == ["BARE.json"]
    assert desk.farend("export", "TRIAL", "-o", "t.json") == 0
    assert load("t.json").plan.id == "TRIAL"
    assert desk.farend("export", "TRIAL", "-o", "t.csv") == 0
    rows = list(csv.reader(io.StringIO(Path("t.csv").read_text("utf-8-sig"), newline="")))
    assert [row[0] for row in rows] == ["id", "r1", "r2"]
    for name in ("t.txt", "t", "t.json.exe"):
        assert desk.farend("export", "TRIAL", "-o", name) == 2
        assert not Path(name).exists() and ".zip, .json, .csv" in desk.err


def test_what_goes_out_comes_in_on_another_computer(desk, tmp_path):
    desk.farend("import", put("b.zip", ZIP))
    desk.farend("export", "TRIAL", "-o", "out.zip")
    incoming = unpack(Path("out.zip").read_bytes())
    assert incoming.file.doc == merged((NUMBERED,)) and set(incoming.pictures) == {SUM}
    desk.data = tmp_path / "there"
    assert desk.farend("import", "out.zip") == 0
    assert merged((desk.kept(),)) == merged((NUMBERED,))


def test_a_copy_is_logged_and_a_table_is_none(desk):
    desk.farend("import", put("b.zip", ZIP))
    desk.farend("export", "TRIAL", "-o", "t.csv")
    assert len(desk.kept()["log"]) == 4
    desk.farend("export", "TRIAL", "-o", "t.zip")
    entry = desk.kept()["log"][-1]
    assert (entry["what"], entry["to"]) == ("export", "t.zip")
    assert entry["sha256"] == sha256(Path("t.zip").read_bytes()).hexdigest()
    assert entry["device"] and entry["n"] and entry["seen"] == {"aa": 2, "bb": 2}


def test_a_name_nobody_gave_writes_over_nothing(desk):
    desk.farend("import", put("c.json", write({**with_log(), "id": "BARE"})))
    put("bare.json", "mine")
    for name in ("bare-2.json", "bare-3.json"):
        assert desk.farend("export", "BARE") == 0 and desk.out.startswith(f"{name}: BARE")
    assert Path("bare.json").read_text() == "mine"
    assert not list(Path().glob("*.part"))


def test_while_another_has_the_folder_open_out_works_and_in_says_so(desk):
    desk.farend("import", put("b.zip", ZIP))

    async def held() -> None:
        store = await open_files(desk.data, now=lambda: "", draw=lambda: "d0")
        await store.open("TRIAL")
        try:
            assert await asyncio.to_thread(desk.farend, "export", "TRIAL", "-o", "t.zip") == 0
            assert "not logged, another farend has the folder open" in desk.out
            assert await asyncio.to_thread(desk.farend, "import", "b.zip") == 2
            assert "another farend has the folder open" in desk.err
        finally:
            store.close()

    asyncio.run(held())
    assert set(unpack(Path("t.zip").read_bytes()).pictures) == {SUM}
    assert len(desk.kept()["log"]) == 4


def test_a_photo_that_is_not_here_or_not_as_it_was_is_told(desk):
    desk.farend("import", put("b.zip", ZIP))
    (kept,) = (desk.data / "jobs" / "TRIAL.photos").iterdir()
    kept.write_bytes(PICTURE[:-1])
    assert desk.farend("export", "TRIAL") == 0
    assert desk.err == "trial.json: without 1 photo of its log.\n" and Path("trial.json").is_file()


@pytest.mark.parametrize("job", ["nope", "../TRIAL", "", "x" * 200, "a\x1b[2J", "NUL"])
def test_a_job_that_is_not_here(desk, job):
    desk.farend("import", put("b.zip", ZIP))
    assert desk.farend("export", job) == 2
    assert len(desk.err.splitlines()) == 1 and desk.out == ""
    desk.data = desk.data / "nowhere"
    assert desk.farend("export", job) == 2 and not desk.data.exists()


def test_a_place_that_cannot_be_written_is_one_line(desk):
    desk.farend("import", put("b.zip", ZIP))
    assert desk.farend("export", "TRIAL", "-o", "no/such/place.zip") == 2
    assert len(desk.err.splitlines()) == 1 and "no such file" in desk.err
    assert len(desk.kept()["log"]) == 4, "what was not written is not logged"


def test_a_data_folder_that_is_none_is_one_line(desk):
    desk.data = Path(put("file", "x"))
    assert desk.farend("import", put("b.zip", ZIP)) == 2
    assert len(desk.err.splitlines()) == 1


def test_both_tell_their_grammar(capsys):
    for command in ("export", "import"):
        with pytest.raises(SystemExit) as done:
            main([command, "--help"])
        assert done.value.code == 0 and re.search("--data DIR", capsys.readouterr().out)


def test_a_journal_whose_beginning_is_lost_is_told(desk):
    desk.farend("import", put("b.zip", ZIP))
    path = desk.data / "jobs" / "TRIAL.journal"
    path.write_bytes(b"x" + path.read_bytes()[40:])
    assert desk.farend("export", "TRIAL") == 2 and "does not begin with a plan" in desk.err
    assert desk.farend("import", "b.zip") == 2 and "does not begin with a plan" in desk.err


def test_the_form_of_the_data_is_that_of_the_app(desk):
    """What the commands keep, the app opens: same folder, same journal."""
    desk.farend("import", put("b.zip", ZIP))

    async def journey() -> None:
        store = await open_files(desk.data, now=lambda: "", draw=lambda: "d0")
        (card,) = await store.list_jobs()
        assert (card.id, card.source, card.entries) == ("TRIAL", "b.zip", 4)
        assert json.loads(json.dumps((await store.open("TRIAL")).records[0]))["id"] == "TRIAL"
        store.close()

    asyncio.run(journey())
    assert not list(desk.data.rglob("*.new"))
