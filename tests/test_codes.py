"""Square codes: what they say, that a slip in typing is found, and that a general reader reads them."""

from __future__ import annotations

import shutil
import subprocess
import sys
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.handover.codes import (
    FOREIGN,
    MISTYPED,
    MOST_LETTERS,
    NEWER,
    PARTS,
    PRIME,
    QUIET,
    SIGNS,
    BadCode,
    Code,
    Square,
    TooLong,
    check,
    code_text,
    read_code,
    square_of,
)

TEXT = code_text("HERON-HIDE", "B1")
LONGEST = code_text("ORCHARD-GATE-NORTH-WALK", "NEAR-UNIT-2")
IDS = st.text("ABCXYZ019-", min_size=1, max_size=17)


def read_or_why(text: str) -> Code | str:
    """The code, or why it is none."""
    try:
        return read_code(text)
    except BadCode as bad:
        return bad.why


# ---------------------------------------------------------------- what it says


def test_a_code_names_its_job_and_box():
    assert f"FAREND:1:HERON-HIDE:B1:{check('FAREND:1:HERON-HIDE:B1:')}" == TEXT
    assert read_code(TEXT) == Code("HERON-HIDE", "B1")


def test_the_check_is_the_remainder_of_the_text_as_a_number():
    """By hand: ``A1`` is 10 x 38 + 1 = 381; 381 = 10 x 36 + 21, and 21 is L."""
    assert check("A1") == "AL"
    assert check("0") == "00"


@given(IDS, IDS)
def test_what_is_written_is_read_in_any_case_and_with_blanks(job, thing):
    text = code_text(job.lower(), thing)

    assert read_code(f" {text[:12].lower()} \n{text[12:]}\t") == Code(job, thing)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", FOREIGN),
        ("https://heron.example/B1", FOREIGN),
        ("HERON-HIDE:B1", FOREIGN),
        (TEXT.replace(":1:", ":2:", 1), NEWER),
        ("FAREND", PARTS),
        ("FAREND:1:HERON-HIDE", PARTS),
        (f"{TEXT[:-3]}:", PARTS),
        (TEXT[:-2], PARTS),
        (f"{TEXT}:X", PARTS),
        (TEXT[:-1], MISTYPED),
        (f"{TEXT}0", MISTYPED),
        (TEXT.replace("-", "–"), MISTYPED),
        (TEXT.replace("HERON", "H\u00c9RON"), MISTYPED),
    ],
)
def test_each_text_that_is_none_has_its_reason(text, why):
    assert read_or_why(text) == why


@given(st.text(max_size=60))
def test_whatever_is_pasted_is_read_or_refused(text):
    assert isinstance(read_or_why(text), str | Code)


@pytest.mark.parametrize("name", ["", "A:B", "A B", "É", "A_B"])
def test_an_id_that_a_job_cannot_have_makes_no_code(name):
    with pytest.raises(ValueError, match="letters, digits and -"):
        code_text("HERON", name)


# ---------------------------------------------------------------- slips


@pytest.mark.parametrize("text", [TEXT, LONGEST], ids=["short", "longest"])
def test_every_single_wrong_sign_is_found(text):
    for i, right in enumerate(text):
        for wrong in SIGNS:
            if wrong != right:
                assert read_or_why(text[:i] + wrong + text[i + 1 :]) in _REFUSED


@pytest.mark.parametrize("text", [TEXT, LONGEST], ids=["short", "longest"])
def test_every_swap_of_neighbours_is_found(text):
    for i, (a, b) in enumerate(pairwise(text)):
        if a != b:
            assert read_or_why(text[:i] + b + a + text[i + 2 :]) in _REFUSED


_REFUSED = {FOREIGN, NEWER, PARTS, MISTYPED}


def test_no_two_signs_differ_by_what_the_check_does_not_see():
    """The reasons the module gives, for every text and not only for the two above."""
    many = len(SIGNS)

    assert all(PRIME % n for n in range(2, 36)) and PRIME <= 36 * 36
    assert all((a - b) % PRIME for a in range(many) for b in range(many) if a != b)
    assert many % PRIME and (many - 1) % PRIME


def test_two_ids_of_one_job_rarely_share_a_check():
    """A mistake of another kind passes once in 1291 times."""
    sums = [check(f"FAREND:1:HERON-HIDE:{kind}{n}:") for kind in "ABCEJS" for n in range(1, 200)]

    same = sum(a == b for i, a in enumerate(sums) for b in sums[:i])
    pairs = len(sums) * (len(sums) - 1) / 2
    assert same / pairs < 2 / PRIME


# ---------------------------------------------------------------- squares


@pytest.mark.parametrize("letters", [2, 12, MOST_LETTERS, MOST_LETTERS + 1, 80])
def test_up_to_34_letters_the_version_is_3_and_beyond_it_says_so(letters):
    square = square_of(code_text("J" * (letters // 2), "B" * (letters - letters // 2)))

    assert square.is_larger == (letters > MOST_LETTERS)
    assert len(square.rows) == 17 + 4 * square.version  # ISO/IEC 18004
    if letters <= MOST_LETTERS:
        assert square.version == 3 and square.side == 29 + 2 * QUIET
    # the two format bits beside the upper left finder: level Q is 11, masked with 10 (18004, 8.9)
    assert (square.rows[8][0], square.rows[8][1]) == (False, True)


def test_a_text_that_no_square_holds_is_refused():
    with pytest.raises(TooLong):
        square_of(code_text("J" * 2000, "B" * 2000))


def test_the_bars_are_the_black_modules():
    square = square_of(TEXT)
    black = {(x + i, y) for x, y, length in square.bars() for i in range(length)}

    assert black == {
        (x, y)
        for y, row in enumerate(square.rows, QUIET)
        for x, is_black in enumerate(row, QUIET)
        if is_black
    }


def test_no_picture_library_is_wanted():
    """A phone and the browser's Python bring none."""
    code = (
        "import sys; sys.modules['PIL'] = None\n"
        "from fieldapp.handover.codes import square_of\n"
        f"print(square_of({TEXT!r}).version)"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert ran.stdout == "3\n"


def raster(square: Square, module_mm: float, dpi: float) -> bytes:
    """The square as a grey picture (PGM), each dot as dark as the share of it that is black."""
    fine = 4
    dots = round(square.side * module_mm * dpi / 25.4)
    step = square.side / (dots * fine)
    black = {(x + i, y) for x, y, length in square.bars() for i in range(length)}
    shades = bytearray()
    for row in range(dots):
        ys = [int((row * fine + i + 0.5) * step) for i in range(fine)]
        for column in range(dots):
            xs = [int((column * fine + i + 0.5) * step) for i in range(fine)]
            dark = sum((x, y) in black for x in xs for y in ys)
            shades.append(255 - 255 * dark // fine**2)
    return b"P5 %d %d 255\n" % (dots, dots) + bytes(shades)


@pytest.mark.skipif(not shutil.which("zbarimg"), reason="zbarimg (zbar-tools) is not installed")
@pytest.mark.parametrize("text", [TEXT, LONGEST, code_text("J" * 30, "B" * 30)])
def test_a_general_reader_reads_what_was_written_at_half_a_millimetre_a_module(text, tmp_path):
    """At 110 dots an inch, about what a phone's picture of a label at arm's length has."""
    picture = tmp_path / "code.pgm"
    picture.write_bytes(raster(square_of(text), 0.5, 110))
    ran = subprocess.run(
        ["zbarimg", "--raw", "-q", str(picture)], capture_output=True, text=True, check=True
    )

    assert ran.stdout == f"{text}\n"
