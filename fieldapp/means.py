"""What a page can do in the world beyond showing screens: files in and out, comfort, a canvas."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import Sequence

import flet as ft

from fieldapp.handover.documents import Made
from fieldapp.haptics import Comforts
from fieldapp.services import Put, Share
from fieldapp.shrink import Redraw, redraw_here

PATIENCE = 5.0
"""a client that does not answer is not waited for longer [s]"""
APART = 0.15
"""between two pulses, so that they are felt as two, ours [s]"""
SEEN_FIRST = 0.05
"""what is felt waits so long for what is seen: sent at once it held up the digit of a key by 10 ms
and the verdict of a reading by 40 (``tests/bench/echo.py``) [s]"""


def means_of(page: ft.Page) -> tuple[Put, Comforts, Redraw | None, Share | None]:
    """The four of one page; each of its services is made once."""
    chooser, sharer = ft.FilePicker(), ft.Share()
    page.services += [chooser, sharer]

    async def put(name: str, data: bytes) -> bool:
        """A browser takes it into its downloads and does not say where."""
        where = await chooser.save_file(file_name=name, src_bytes=data)
        return bool(page.web) or where is not None

    async def share(files: Sequence[Made]) -> bool:
        """Whether the phone says that they went somewhere; one that does not know says no."""
        them = [
            ft.ShareFile.from_bytes(one.data, mime_type=one.media, name=one.name) for one in files
        ]
        with contextlib.suppress(Exception):  # a page without a secure address may not share
            result = await sharer.share_files(them, download_fallback_enabled=False)
            return result.status is ft.ShareResultStatus.SUCCESS
        return False

    # Laptops have a share sheet now and then; a file that was saved is there always.
    offers = page.platform is not None and page.platform.is_mobile()
    return put, comforts_of(page), redraw_here(), share if offers else None


def comforts_of(page: ft.Page) -> Comforts:
    """Those of one page; each of its services is made once."""
    lamp, motor, ears = ft.Wakelock(), ft.HapticFeedback(), ft.SemanticsService()
    page.services += [lamp, motor, ears]

    async def lit(on: bool) -> None:
        await asyncio.wait_for(lamp.enable() if on else lamp.disable(), PATIENCE)

    async def pulses(names: tuple[str, ...]) -> None:
        for number, name in enumerate(names):
            await asyncio.sleep(APART if number else SEEN_FIRST)
            await asyncio.wait_for(getattr(motor, name)(), PATIENCE)

    async def wishes() -> tuple[bool, bool]:
        asked = await asyncio.wait_for(ears.get_accessibility_features(), PATIENCE)
        return asked.reduce_motion or asked.disable_animations, asked.high_contrast

    return Comforts(lit, pulses, wishes)
