"""``farend report``: one HTML file that holds all of a record, and nothing that reaches out of it."""

from __future__ import annotations

import json
import re
from base64 import b64decode
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from time import perf_counter

import pytest
from held_jobs import bare, judged, reading, waive
from samples import SAMPLES, planned
from test_exchange import NUMBERED, PICTURE, SUM

from engine.practice.walk import MADE_UP_KEY
from fieldapp import words
from fieldapp.__main__ import main
from fieldapp.exchange import pack
from fieldapp.handover.documents import LONGEST_S
from fieldapp.handover.html import html, shown
from fieldapp.handover.record import SECTIONS, record
from fieldapp.handover.report import sought
from fieldapp.handover.svg import SHARED, WIDEST, frames

MARKUP = "<script>alert(1)</script><img src=http://x.test/a onerror=b> &amp; \"'</td>"
HEBREW = "\u05d0\u05d1\u05d2 12"
HOSTILE = (MARKUP, HEBREW, "\U0001f9f0 kit", "W" * 190, "**stress**")
EMPTY = {"meta", "img", "br", "use", "rect", "path", "line", "circle"}


class Reader(HTMLParser):
    """The elements of a page, its text by section, and whether every tag is closed in turn."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict]] = []
        self.texts: dict[str, str] = {}
        self.section = ""
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        keys = dict(attrs)
        self.tags.append((tag, keys))
        self.section = keys.get("id", self.section) if tag == "section" else self.section
        if tag not in EMPTY:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.texts[self.section] = self.texts.get(self.section, "") + data

    def all(self, tag: str) -> list[dict]:
        return [keys for name, keys in self.tags if name == tag]

    @property
    def text(self) -> str:
        return "".join(self.texts.values())


def read(doc: dict, *bodies: dict, paper: str = "a4", pictures=None) -> Reader:
    text = html(record(judged(doc, *bodies)), pictures or {}, paper)
    reader = Reader(text)
    stays_inside(reader, text)
    return reader


def stays_inside(reader: Reader, text: str) -> None:
    """Nothing runs, nothing is fetched."""
    allowed = {"html", "head", "meta", "title", "style", "body", "section", "h1", "h2", "p"}
    allowed |= {"table", "thead", "tbody", "tr", "th", "td", "s", "bdi", "div", "figure"}
    allowed |= {"figcaption", "img", "svg", "symbol", "use", "path", "line", "circle", "rect"}
    assert {tag for tag, _ in reader.tags} <= allowed | {"text"}
    for _, keys in reader.tags:
        assert not [key for key in keys if key.startswith("on")]
        assert re.match(r"#|$", keys.get("href", ""))
        assert re.match(r"data:image/jpeg;base64,|$", keys.get("src", ""))
    style = text.partition("<style>")[2].partition("</style>")[0]
    assert not re.search(r"url\(|@import|https?:", style)


def test_every_section_is_there_with_language_and_title():
    page = read(planned(), reading("S.out", "volts", 53.5))
    assert page.all("html") == [{"lang": "en-GB"}]
    named = [keys["id"] for keys in page.all("section") if "id" in keys]
    assert set(named) == {"built", "waived", "line", *SECTIONS} - {
        "since",
        "diagnosis",
        "notes",
        "odd",
        "heeded",
    }
    assert words.record_title("Orchard gate") in page.text
    for name in named:
        assert words.RECORD_HEADS[name] in page.texts[name]
    assert page.all("th") and all(keys == {"scope": "col"} for keys in page.all("th"))


@pytest.mark.parametrize("name", ["orchard-gate", "reedbed-hide", "tide-mill"])
def test_the_line_is_a_drawing_with_words_for_who_cannot_see_it(name):
    page = read(planned(name))
    (drawing,) = [keys for keys in page.all("svg") if keys.get("role") == "img"]
    assert planned(name)["title"] in drawing["aria-label"]
    labels = page.all("text")
    assert labels and all(float(keys["textlength"]) > 0 for keys in labels)


def test_a_verdict_is_a_shape_and_a_word():
    page = read(planned(), reading("S.out", "volts", 53.5), reading("R1.in", "volts", 30.0))
    used = [keys["href"] for keys in page.all("use")]
    assert used == ["#mark-inside", "#mark-outside"]
    assert {f"#{keys['id']}" for keys in page.all("symbol")} >= set(used)
    assert "inside" in page.texts["readings"] and "outside" in page.texts["readings"]


def test_struck_values_are_struck_by_more_than_a_style():
    page = read(planned(), *(reading("S.out", "volts", one, moment="noon") for one in (53.5, 53.4)))
    assert [keys for keys in page.all("tr") if keys.get("class") == "struck"]
    assert page.all("s")
    assert "no longer counts" in page.texts["readings"]


def test_a_waived_stop_stands_on_the_first_page():
    page = read(bare(), waive("finding.bond.A1", role="owner", by="Odile"))
    assert "Odile, owner" in page.texts["waived"]
    names = [keys.get("class") or keys.get("id") for keys in page.all("section")]
    assert names[:5] == ["front", "built", "waived", "line", "rest"]


def test_made_up_stands_on_every_page_and_only_there():
    text = html(record(judged({**planned(), MADE_UP_KEY: {"seed": 3}})), {})
    page = Reader(text)
    assert {"class": "made-up"} in page.all("div")
    assert ".made-up{position:fixed" in text
    footer = re.search(r'@bottom-left\{content:"(.*?)"', text)[1]
    assert "made\\000020up" in footer
    plain = html(record(judged(planned())), {})
    assert "made" not in re.search(r'@bottom-left\{content:"(.*?)"', plain)[1]
    assert not Reader(plain).all("div")


@pytest.mark.parametrize(("paper", "named"), [("a4", "A4"), ("letter", "letter")])
def test_paper_margins_and_page_numbers(paper, named):
    text = html(record(judged(planned())), {}, paper)
    assert f"@page{{size:{named};margin:" in text
    counted = r'content:"page\000020" counter(page) "\000020of\000020" counter(pages);'
    assert counted in text


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_name_is_text_and_nothing_else(name):
    doc = planned()
    doc = {**doc, "title": name, "site": {**doc["site"], "name": name}}
    doc["boxes"] = [{**box, "name": name} for box in doc["boxes"]]
    doc["stops"] = {key: {**stop, "name": name} for key, stop in doc["stops"].items()}
    doc["meters"] = [{**meter, "name": name} for meter in doc["meters"]]
    body = reading("S.out", "volts", 53.5, by=name[:80])
    page = read(doc, body, {"what": "note", "text": name}, {"what": "sign", "role": name[:80]})
    texts = {"": name, "notes": name, "boxes": name, "readings": name[:80], "signatures": name[:80]}
    for section, text in texts.items():
        assert text in page.texts[section]


def test_what_steers_is_never_written():
    """The door of files refuses it already; a page holds to it all the same."""
    assert shown("\u202egnp.exe \x1b[2J\x00\ud800") == "gnp.exe [2J\ufffd"


def test_letters_from_right_to_left_stand_alone():
    assert shown(f"By {HEBREW} <3") == "By <bdi>\u05d0\u05d1\u05d2</bdi> 12 &lt;3"
    both = "\u05d0 1, \u05d1 x \u05d2"
    assert shown(both) == "<bdi>\u05d0 1, \u05d1</bdi> x <bdi>\u05d2</bdi>"


def test_five_hundred_readings():
    bodies = [reading("S.out", "volts", 53.5, moment=f"m{n}") for n in range(500)]
    page = read(planned(), *bodies)
    assert page.texts["readings"].count("S, OUT side") == 500


def test_a_photo_is_put_in_unchanged_and_a_missing_one_is_said():
    other = "0" * 64
    bodies = [{"what": "photo", "of": "R1", "sha256": one} for one in (SUM, other)]
    page = read(planned(), *bodies, pictures={SUM: PICTURE})
    (image,) = page.all("img")
    assert b64decode(image["src"].partition(",")[2]) == PICTURE
    assert page.texts["photos"].count(words.record_no_photo()) == 1
    assert image["alt"] == words.record_photo("R1", "", "Ida")


@pytest.mark.parametrize("width", [100.0, WIDEST, WIDEST + 1, 2220.0])
def test_slices_hold_all_of_a_wide_drawing(width):
    cut = frames(width)
    assert cut[0][0] == 0 and cut[-1][0] + cut[-1][1] == pytest.approx(width)
    assert all(one <= WIDEST for _, one in cut)
    for (left, wide), (right, _) in pairwise(cut):
        assert left + wide - right == pytest.approx(SHARED)


# ---------------------------------------------------------------- the command


@pytest.mark.parametrize("name", ["orchard-gate", "reedbed-hide", "tide-mill"])
def test_the_command_writes_each_sample_within_two_seconds(name, tmp_path, capsys):
    out = tmp_path / "out.html"
    begun = perf_counter()
    assert main(["report", str(SAMPLES / f"{name}.json"), "-o", str(out)]) == 0
    assert perf_counter() - begun < 2
    assert capsys.readouterr() == ("", "")
    text = out.read_text(encoding="utf-8")
    stays_inside(Reader(text), text)
    assert "@page{size:A4;" in text
    assert [path.name for path in tmp_path.iterdir()] == ["out.html"]


def test_an_outside_reading_brings_its_causes(tmp_path):
    out = tmp_path / "out.html"
    main(["report", str(SAMPLES / "orchard-gate.json"), "-o", str(out), "--size", "letter"])
    text = out.read_text(encoding="utf-8")
    assert words.in_ten(0.9) in Reader(text).texts["diagnosis"]
    assert "@page{size:letter;" in text


def test_causes_are_sought_as_long_as_there_is_time():
    bad = judged(planned(), reading("S.out", "volts", 40.0))
    steps = iter((0.0, 1.0, LONGEST_S))
    assert sought(bad, lambda: next(steps)) is None
    assert sought(bad, lambda: 0.0) is not None


def test_the_photos_of_a_zip_are_in_it(tmp_path):
    file, out = tmp_path / "job.zip", tmp_path / "out.HTML"
    file.write_bytes(pack(NUMBERED, {SUM: PICTURE}).data)
    assert main(["report", str(file), "-o", str(out)]) == 0
    assert Reader(out.read_text(encoding="utf-8")).all("img")


def test_another_kind_of_file_is_refused_in_one_line(tmp_path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert main(["report", str(SAMPLES / "tide-mill.json"), "-o", "o.txt"]) == 2
    said = "o.txt: the name of the file ends with .html or .pdf."
    assert capsys.readouterr() == ("", f"{said}\n")
    assert not list(tmp_path.iterdir())


def test_what_cannot_be_read_or_written_is_one_line(tmp_path, capsys):
    bad = tmp_path / "bad.json"
    bad.write_text(json.dumps({"format": "farend-job/1"}), encoding="utf-8")
    good = str(SAMPLES / "tide-mill.json")
    for file, out in ((str(bad), "o.html"), (good, str(tmp_path / "no" / "o.html"))):
        assert main(["report", file, "-o", str(Path(tmp_path) / out)]) == 2
        said = capsys.readouterr()
        assert said.out == "" and said.err and "Traceback" not in said.err
