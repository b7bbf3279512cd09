"""Labels as PDF: read back with poppler and qpdf, their codes from worsened pictures with zbarimg."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
from label_pictures import HANDHELD, codes_in, frame, harmed, page
from test_labels import DATE, SAMPLES, altered, made, sample

from engine.jobfile import write
from engine.judge import Judgement
from engine.practice import MADE_UP_KEY
from engine.predict import finish
from fieldapp import words
from fieldapp.__main__ import main
from fieldapp.handover.codes import MOST_LETTERS, read_code
from fieldapp.handover.label_command import labels as run_labels
from fieldapp.handover.label_pdf import LONGEST, making, sheets_pdf
from fieldapp.handover.labelface import CAPITAL_EM, face
from fieldapp.handover.labels import LabelFacts
from fieldapp.handover.sheets import GRIDS, sheets

NAMES = ("reedbed-hide", "orchard-gate", "tide-mill")
PAPER = {"a4": "595.28 x 841.89 pts (A4)", "letter": "612 x 792 pts (letter)"}
Outside = Callable[..., bytes]


def written(judgement: Judgement, size: str) -> bytes:
    pages = sheets(made(judgement), GRIDS[size], LONGEST)
    return sheets_pdf(pages, judgement.state.job.title)


@cache
def of_sample(name: str, size: str) -> bytes:
    return written(sample(name), size)


def put(folder: Path, data: bytes, name: str = "labels.pdf") -> Path:
    path = folder / name
    path.write_bytes(data)
    return path


def read_one_by_one(outside: Outside, pdf: Path, labels: tuple[LabelFacts, ...], size: str) -> list:
    """What a reader finds on each label at 110 dots an inch, held over it alone."""
    grid, pages, out = GRIDS[size], {}, []
    many = len(labels) if grid.down == 1 else grid.across * grid.down
    for i in range(len(labels)):
        number, place = divmod(i, many)
        if number not in pages:
            pages[number] = page(outside, pdf, 110, number + 1)
        cut = pdf.with_name("one.pgm")
        at = frame(grid, place, 110)
        outside("convert", pages[number], "-crop", at, "+repage", cut)
        out.append(codes_in(outside, cut))
    return out


# ---------------------------------------------------------------- the codes


@pytest.mark.parametrize("size", GRIDS)
@pytest.mark.parametrize("name", NAMES)
def test_every_code_of_the_samples_is_read_at_110_dots_an_inch(name, size, outside, tmp_path):
    pdf, labels = put(tmp_path, of_sample(name, size)), made(sample(name))

    assert read_one_by_one(outside, pdf, labels, size) == [[x.code] for x in labels]


@pytest.mark.parametrize("size", GRIDS)
def test_codes_are_read_from_pictures_that_are_blurred_turned_dim_and_askew(
    size, outside, tmp_path
):
    whole = page(outside, put(tmp_path, of_sample("reedbed-hide", size)))
    labels = made(sample("reedbed-hide"))
    for place in range(0, len(labels), 3):
        taken = harmed(outside, whole, frame(GRIDS[size], place), HANDHELD, seed=place)
        assert codes_in(outside, taken) == [labels[place].code]


@pytest.mark.parametrize(("letters", "larger"), [(MOST_LETTERS, False), (60, True)])
@pytest.mark.parametrize("size", GRIDS)
def test_ids_as_long_as_they_go_are_read_and_longer_ones_are_finer_and_said(
    size, letters, larger, outside, tmp_path, capsys
):
    """34 letters together still take the usual version; beyond, the code is finer and read all the
    same, but on the strip held a little nearer: 130 dots an inch."""
    ident = "REEDBED-HIDE-BEHIND-THE-WESTERN-DYKE-NEAR-THE-OLD-MILL-RACE"[: letters - 2]
    judgement = altered(text=(('"REEDBED-HIDE"', f'"{ident}"'),))
    labels = made(judgement)
    two = [x for x in labels if len(x.thing) == 2]
    assert all(x.square.is_larger == larger for x in two)
    whole = page(outside, put(tmp_path, written(judgement, size)), 130)
    for place in (1, 2, 4):
        cut = tmp_path / "one.pgm"
        at = frame(GRIDS[size], place, 130)
        outside("convert", whole, "-crop", at, "+repage", cut)
        assert codes_in(outside, cut) == [labels[place].code]


def test_a_code_is_one_path_whose_bars_have_no_seam(outside, tmp_path):
    """Drawn fine, each module is black or white through and through but for its rim."""
    labels = made(sample("reedbed-hide"))
    data = page(outside, put(tmp_path, of_sample("reedbed-hide", "a4")), 600).read_bytes()
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", data)
    width, pixels = int(head[1]), data[head.end() :]
    code = face(labels[0], GRIDS["a4"].size).code
    step = 600 / 25.4
    grid = GRIDS["a4"]
    for j, row in enumerate(labels[0].square.rows, 4):
        for i, black in enumerate(row, 4):
            x0 = (grid.left + code.x + i * code.module) * step
            y0 = (grid.top + code.y + j * code.module) * step
            below = j - 3 < len(labels[0].square.rows) and labels[0].square.rows[j - 3][i - 4]
            end = code.module * step * (1.0 if black and below else 0.8)
            for dy in range(2, int(end)):
                for dx in range(2, int(code.module * step * 0.8)):
                    dot = pixels[(int(y0) + dy) * width + int(x0) + dx]
                    assert dot == (0 if black else 255), (i, j, dx, dy)


# ---------------------------------------------------------------- the file


@pytest.mark.parametrize("size", GRIDS)
def test_the_file_is_sound_to_scale_and_brings_its_letters(size, outside, tmp_path):
    pdf = put(tmp_path, of_sample("reedbed-hide", size))
    outside("qpdf", "--check", pdf)
    told = outside("pdfinfo", pdf).decode()
    fonts = [line.split() for line in outside("pdffonts", pdf).decode().splitlines()[2:]]

    long = f"{21 * 70 / 25.4 * 72:.2f} x {24 / 25.4 * 72:.2f} pts"
    assert re.search(rf"Page size: +{re.escape(PAPER.get(size, long))}", told)
    assert re.search(rf"Title: +{words.labels_title('Reedbed hide')}\n", told)
    assert re.search(r"Pages: +1\n", told)
    assert len(fonts) == 3 and all(row[-5] == "yes" for row in fonts)  # emb
    assert b"/Lang (en-GB)" in pdf.read_bytes()


@pytest.mark.parametrize("size", GRIDS)
def test_all_that_a_label_carries_is_text(size, outside, tmp_path):
    """Whoever reads the file aloud hears each; nothing is but drawn."""
    pdf = put(tmp_path, of_sample("reedbed-hide", size))
    text = " ".join(outside("pdftotext", "-layout", pdf, "-").decode().split())

    for facts in made(sample("reedbed-hide")):
        assert facts.code in text and facts.thing in text
        assert words.label_foot(facts.metres, DATE).replace(words.NBSP, " ") in text
        assert facts.name in text
    assert text.count(words.label_bonded()) == 4  # two arrestors and their bonds


def test_the_outline_has_a_line_a_page(outside, tmp_path):
    judgement = sample("reedbed-hide")
    pages = sheets(made(judgement) * 3, GRIDS["a4"])
    pdf = put(tmp_path, sheets_pdf(pages, "Reedbed hide"))
    raw = json.loads(outside("qpdf", "--json", "--json-key=outlines", pdf))
    titles = [(row["title"], row["destpageposfrom1"]) for row in raw["outlines"]]

    assert titles == [("S to A1", 1), ("A1 to A2", 2), ("A2 to C6", 3)]


def test_a_strip_longer_than_a_page_may_be_goes_onto_several(outside, tmp_path):
    labels = made(sample("reedbed-hide")) * 4
    pages = sheets(labels, GRIDS["strip"], LONGEST)

    assert [len(one.codes) for one in pages] == [72, 12]
    assert sum((one.things for one in pages), ()) == tuple(x.thing for x in labels)
    told = outside("pdfinfo", "-l", 2, put(tmp_path, sheets_pdf(pages, "Long"))).decode()
    sizes = [float(one) for one in re.findall(r"size: +([\d.]+) x", told)]
    assert sizes == pytest.approx([72 * 70 / 25.4 * 72, 12 * 70 / 25.4 * 72], abs=0.05)
    assert max(sizes) <= 14400


def test_the_same_labels_are_the_same_bytes_and_the_making_tells_how_far_it_is():
    judgement = sample("tide-mill")
    pages = sheets(made(judgement), GRIDS["letter"])
    shares, work = [], making(pages, judgement.state.job.title)
    while True:
        try:
            shares.append(next(work))
        except StopIteration as end:
            data = end.value
            break

    assert (
        data == finish(making(pages, judgement.state.job.title)) == of_sample("tide-mill", "letter")
    )
    assert shares == sorted(shares) and shares[0] > 0 and shares[-1] <= 1


HOSTILE = (
    "<b>&amp;</b> (script) \\ ) endstream",
    "Marsh " * 30,
    "شرق المستنقع",
    "Hide \U0001f986 \u200dnorth",
)


@pytest.mark.parametrize("name", HOSTILE)
@pytest.mark.parametrize("size", GRIDS)
def test_whatever_a_thing_is_called_the_file_is_sound_and_its_codes_are_read(
    size, name, outside, tmp_path
):
    quoted = json.dumps(name)
    names = (('"Near unit"', quoted), ('"Joint in the sluice box"', quoted))
    judgement = altered(text=names, title=name)
    labels = made(judgement)
    pdf = put(tmp_path, written(judgement, size))

    outside("qpdf", "--check", pdf)
    assert read_one_by_one(outside, pdf, labels[:4], size) == [[x.code] for x in labels[:4]]
    outside("pdftotext", pdf, "-")


def test_a_made_up_job_says_so_on_every_label(outside, tmp_path):
    judgement = altered(**{MADE_UP_KEY: {"seed": 7, "level": "perhaps"}})
    pdf = put(tmp_path, written(judgement, "strip"))

    text = outside("pdftotext", "-raw", pdf, "-").decode()
    assert text.count(words.made_up()) == len(made(judgement))


@pytest.mark.parametrize("size", GRIDS)
def test_capitals_are_three_millimetres_high_and_all_is_black_on_white(size):
    for facts in made(sample("reedbed-hide")):
        drawn = face(facts, GRIDS[size].size)
        inks = {getattr(s, key, None) for s in drawn.shapes for key in ("fill", "stroke", "ink")}
        assert inks <= {"ink", "sheet", None}
        big = next(s for s in drawn.shapes if getattr(s, "text", "") == facts.thing)
        assert big.size * CAPITAL_EM >= 3.0


# ---------------------------------------------------------------- the command


def test_the_command_writes_pdf_where_the_name_says_so(tmp_path, capsys, outside):
    out = tmp_path / "labels.PDF"

    assert main(["labels", str(SAMPLES / "tide-mill.json"), "-o", str(out)]) == 0
    assert capsys.readouterr().out == f"{out}: 16 labels on 1 page.\n"
    outside("qpdf", "--check", out)


def test_a_name_that_the_typeface_cannot_write_is_told(tmp_path, capsys):
    """In the PDF its letters stand as boxes, whose id still tells which it is."""
    job, text = tmp_path / "job.json", (('"Near unit"', json.dumps(HOSTILE[2])),)
    job.write_text(write(altered(text=text).state.doc), encoding="utf-8")

    assert main(["labels", str(job), "-o", str(tmp_path / "labels.pdf")]) == 0
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith("L1: its name has letters that the typeface lacks")
    assert main(["labels", str(job), "-o", str(tmp_path / "labels.svg")]) == 0
    assert not capsys.readouterr().err


def test_a_code_from_the_file_opens_its_thing(outside, tmp_path):
    """The whole way: written by the command, read by a camera's reader, known to the app."""
    out = tmp_path / "labels.pdf"
    assert run_labels([str(SAMPLES / "orchard-gate.json"), "-o", str(out), "--size", "strip"]) == 0
    read = {read_code(one).thing for one in codes_in(outside, page(outside, out, 110))}
    job = sample("orchard-gate").state.job

    assert read == {*job.boxes, *job.spans}
