"""The three days of ``tests/walks``, walked through whole: minutes each, so who asks runs them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from walks.days import WALKS, walk
from walks.diary import SHEET_BYTES

if TYPE_CHECKING:
    from playwright.sync_api import Playwright

PICTURES = Path(__file__).parent / "pictures"
LEAST_SCREENS = 15


@pytest.mark.slow
@pytest.mark.browser
@pytest.mark.parametrize("name", WALKS)
def test_a_whole_day_is_walked_by_taps_alone(
    _playwright: Playwright, chromium: str, tmp_path: Path, name: str
) -> None:
    """What a day has to show is held where it is walked; here that it came to its end."""
    diary, told = walk(_playwright, chromium, tmp_path, name)
    assert told.minutes > 0 and diary.taps > 0
    assert len(diary.rows()) >= LEAST_SCREENS
    assert all(path.stat().st_size > 0 for path in diary.pictures)


@pytest.mark.parametrize("name", WALKS)
def test_the_small_picture_of_a_day_is_there_and_small(name: str) -> None:
    assert 0 < (PICTURES / f"walk-{name}.png").stat().st_size < SHEET_BYTES
