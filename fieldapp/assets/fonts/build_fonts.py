r"""Builds the app's eight font files and their table of widths. Run by hand, rarely.

The files are cut from Fira Sans and Fira Sans Condensed 4.203 (SIL Open Font License 1.1, text in
``fieldapp/licences/fira-ofl-1.1.txt``), which two npm packages carry as whole TrueType files.
Fetch them into a folder outside the repository, then run this from the repository's root::

    npm install --prefix ~/faces @expo-google-fonts/fira-sans@0.4.1 \
        @expo-google-fonts/fira-sans-condensed@0.4.1
    python -m fieldapp.assets.fonts.build_fonts ~/faces

It needs fontTools and brotli (``pip install fonttools brotli``), which the app itself does not.
Without ``~/faces`` it only makes the ``.woff2`` twins anew, from the TrueType files that are here.
What it does to each file:

* keeps the characters of ``KEPT`` and the kerning between them;
* gives the ten digits their tabular shapes, because the app cannot ask for a font feature;
* keeps the outline of the missing glyph, so that an unknown character shows as a box;
* drops the hinting, which the app's text engine does not use;
* renames the family, so that nobody takes the cut version for the original;
* lays a ``.woff2`` twin beside it, a third of its size, for the page that a phone installs; paper
  and the laptop's page take the TrueType file.

The same source files and the same fontTools give the same bytes at every run.
"""

import argparse
import json
from pathlib import Path
from typing import Any, NamedTuple

from fontTools import subset
from fontTools.misc.timeTools import timestampFromString
from fontTools.ttLib import TTFont

from fieldapp.faces import FACES

HERE = Path(__file__).parent
SOURCE_VERSION = "Version 4.203"
# head.modified would otherwise be the moment of the run, and no two runs would agree.
MODIFIED = timestampFromString("Thu Jan  1 00:00:00 2026")

# First and last code point of each block kept, and what it is there for.
KEPT = (
    (0x0020, 0x007E),  # Latin
    (0x00A0, 0x00FF),  # Latin-1: ° ± µ · ½ × and the space that does not break
    (0x0100, 0x017F),  # Latin Extended-A
    (0x0218, 0x021B),  # Romanian
    (0x02C6, 0x02DD),  # accents standing alone
    (0x0384, 0x03CE),  # Greek, with Ω
    (0x0400, 0x045F),  # Cyrillic
    (0x0490, 0x0491),  # Ukrainian
    (0x1E9E, 0x1E9E),  # German capital sharp s
    (0x2000, 0x206F),  # punctuation: ‘ ’ “ ” – … ‹ ›
    (0x2070, 0x209F),  # figures above and below the line
    (0x20AC, 0x20AC),  # euro
    (0x2116, 0x2126),  # № ™ and the ohm sign
    (0x2150, 0x215F),  # fractions
    (0x2190, 0x2193),  # ← ↑ → ↓
    (0x2200, 0x2265),  # mathematics: − ≈ ≠ ≤ ≥
)
DIGITS = range(ord("0"), ord("9") + 1)


class Cut(NamedTuple):
    """Where a face comes from and what it is: source file, family, style within it, weight."""

    source: str
    family: str
    style: str
    weight: int


CUTS = {
    "T": Cut("FiraSans_400Regular.ttf", "Farend Text", "Regular", 400),
    "TM": Cut("FiraSans_500Medium.ttf", "Farend Text", "Medium", 500),
    "TB": Cut("FiraSans_600SemiBold.ttf", "Farend Text", "SemiBold", 600),
    "TI": Cut("FiraSans_400Regular_Italic.ttf", "Farend Text", "Italic", 400),
    "TMI": Cut("FiraSans_500Medium_Italic.ttf", "Farend Text", "Medium Italic", 500),
    "P": Cut("FiraSansCondensed_400Regular.ttf", "Farend Plate", "Regular", 400),
    "PM": Cut("FiraSansCondensed_500Medium.ttf", "Farend Plate", "Medium", 500),
    "PB": Cut("FiraSansCondensed_600SemiBold.ttf", "Farend Plate", "SemiBold", 600),
}


def find_source(folder: Path, name: str) -> Path:
    """The one file of that name anywhere below the folder. Raises SystemExit if not exactly one."""
    found = sorted(folder.rglob(name))
    if len(found) != 1:
        raise SystemExit(
            f"{len(found)} files called {name} below {folder}: exactly one is wanted. "
            "Install both npm packages into an empty folder, as this script's first lines say."
        )
    return found[0]


def open_source(path: Path) -> TTFont:
    """The source font, refused unless it is the version this script was written for."""
    font = TTFont(path, recalcTimestamp=False)
    version = font["name"].getDebugName(5)
    if version != SOURCE_VERSION:
        raise SystemExit(f"{path} is {version!r}; {SOURCE_VERSION!r} is wanted")
    return font


def point_digits_at_tabular(font: TTFont) -> None:
    """Make every character map of the font show the tabular digits."""
    names = font.getBestCmap()
    tabular = {digit: f"{names[digit]}.tf" for digit in DIGITS}
    lacking = set(tabular.values()) - set(font.getGlyphOrder())
    if lacking:
        raise SystemExit(f"no tabular digits in this font: {', '.join(sorted(lacking))}")
    for table in font["cmap"].tables:
        if table.isUnicode():
            table.cmap.update(tabular)


def keep_wanted(font: TTFont) -> None:
    """Cut the font down to ``KEPT``, kerning and the box for a missing glyph."""
    options = subset.Options()
    options.layout_features = ["kern"]
    options.hinting = False
    options.notdef_outline = True
    options.name_IDs = ["*"]
    options.recalc_timestamp = False
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=[p for first, last in KEPT for p in range(first, last + 1)])
    subsetter.subset(font)


def rename(font: TTFont, cut: Cut) -> None:
    """Write the new names. Copyright, makers, trade mark and licence stay as they are."""
    plain = cut.style.removeprefix("Regular").strip()
    full = f"{cut.family} {plain}".strip()
    italic = cut.style.endswith("Italic")
    postscript = f"{cut.family}-{cut.style}".replace(" ", "")
    # The old four-style naming knows no medium: such a weight is a family of its own there.
    old_family = full.removesuffix("Italic").strip() if italic else full
    names = {
        1: old_family,
        2: "Italic" if italic else "Regular",
        3: f"{SOURCE_VERSION};{postscript}",
        4: full,
        5: f"{SOURCE_VERSION}; cut for Farend, tabular digits",
        6: postscript,
        16: cut.family,
        17: cut.style,
    }
    # The web addresses are the original makers', who do not answer for a cut version.
    for number in (*names, 11, 12):
        font["name"].removeNames(nameID=number)
    for number, text in names.items():
        font["name"].setName(text, number, 3, 1, 0x409)


def cut_face(folder: Path, cut: Cut) -> TTFont:
    """One finished face, in memory."""
    font = open_source(find_source(folder, cut.source))
    if font["OS/2"].usWeightClass != cut.weight:
        raise SystemExit(f"{cut.source} weighs {font['OS/2'].usWeightClass}, not {cut.weight}")
    point_digits_at_tabular(font)
    keep_wanted(font)
    rename(font, cut)
    font["head"].modified = MODIFIED
    return font


def widths_of(fonts: dict[str, TTFont]) -> dict[str, Any]:
    """Advance widths of all faces, over one shared list of code points. [font units]"""
    code_points = sorted(fonts["T"].getBestCmap())
    for face, font in fonts.items():
        if sorted(font.getBestCmap()) != code_points:
            raise SystemExit(f"{face} does not have the same characters as T")
        if font["head"].unitsPerEm != fonts["T"]["head"].unitsPerEm:
            raise SystemExit(f"{face} does not have as many units to the em as T")
    return {
        "units_per_em": fonts["T"]["head"].unitsPerEm,
        "code_points": code_points,
        "faces": {face: _row(font, code_points) for face, font in fonts.items()},
    }


def _row(font: TTFont, code_points: list[int]) -> dict[str, Any]:
    """One face's advance widths, in the order of the code points."""
    names, advance = font.getBestCmap(), font["hmtx"]
    return {
        "missing": advance[".notdef"][0],
        "advances": [advance[names[point]][0] for point in code_points],
    }


def build(folder: Path, into: Path) -> None:
    """Write the eight files and ``widths.json`` into a folder that exists."""
    fonts = {face: cut_face(folder, cut) for face, cut in CUTS.items()}
    for face, font in fonts.items():
        path = into / Path(FACES[face].file).name
        font.save(path)
        print(f"{path.name}: {len(font.getBestCmap())} characters, {path.stat().st_size} bytes")
    table = json.dumps(widths_of(fonts), separators=(",", ":"))
    (into / "widths.json").write_text(table + "\n", encoding="utf-8")


def build_twins(into: Path) -> None:
    """Write a ``.woff2`` beside each of the eight files, from what the file itself holds."""
    for face in FACES.values():
        path = into / Path(face.file).name
        font = TTFont(path, recalcTimestamp=False)
        font.flavor = "woff2"
        twin = path.with_suffix(".woff2")
        font.save(twin)
        print(f"{twin.name}: {twin.stat().st_size} bytes")


def main() -> None:
    parser = argparse.ArgumentParser(description="Build Farend's font files.")
    parser.add_argument(
        "folder", type=Path, nargs="?", help="where the two npm packages were installed"
    )
    parser.add_argument("--into", type=Path, default=HERE, help="where to write; default: here")
    arguments = parser.parse_args()
    if arguments.folder is not None:
        build(arguments.folder, arguments.into)
    build_twins(arguments.into)


if __name__ == "__main__":
    main()
