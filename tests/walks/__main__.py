"""Three whole days walked through: `python -m tests.walks DIR [--only NAME]`.

Run it at the root of the repository. Writes into DIR a picture of each screen that decides, the
files that were handed over and a page a day: taps, digits, seconds, and what one had to look for,
by screen. `--sheets DIR2` puts the pictures of each day beside each other as one small one.
"""

from __future__ import annotations

import argparse
import shutil
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]  # as pytest finds them

from browser import chromium_path  # noqa: E402
from playwright.sync_api import sync_playwright  # noqa: E402

from walks.days import WALKS, walk  # noqa: E402
from walks.diary import contact_sheet  # noqa: E402


def main() -> int:
    """Walk the days, and print a line for each."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--only", choices=tuple(WALKS))
    parser.add_argument("--sheets", type=Path)
    asked, executable = parser.parse_args(), chromium_path()
    if executable is None:
        print("no Chromium: install one, or set FAREND_CHROMIUM to its path", file=sys.stderr)
        return 2
    for name in (asked.only,) if asked.only else WALKS:
        shutil.rmtree(asked.folder / name, ignore_errors=True)
        with sync_playwright() as playwright:
            diary, told = walk(playwright, executable, asked.folder / name, name)
        screens = len(diary.rows())
        print(
            f"{name}: {screens} screens, {diary.taps} taps, {diary.digits} digits, "
            f"{told.minutes:.0f} min of the day, {diary.seconds:.0f} s here; {'; '.join(told.lines)}"
        )
        if asked.sheets is not None:
            contact_sheet(diary.pictures, asked.sheets / f"walk-{name}.png")
    return 0


if __name__ == "__main__":
    sys.exit(main())
