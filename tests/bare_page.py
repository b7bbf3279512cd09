"""The least page there can be: one button by Flet, built like the app's own. What the app's starts,
sizes and taps are measured against."""

from __future__ import annotations

from pathlib import Path

from fieldapp.phone.bundle import Site
from fieldapp.phone.site import _of_distribution

ROOT = Path(__file__).parent.parent
START, METHODS = "bare_start", "fieldapp/phone/methods.py"
SOURCE = """
import farend_page
import flet as ft


async def main(page: ft.Page) -> None:
    page.title = "Bare"
    count = ft.Text("0", key="count")

    def press(_event):
        count.value = str(int(count.value) + 1)
        page.update()

    page.add(ft.Button("Press", on_click=press), count)
    farend_page.tell("shown", True)


async def begin():
    ft.run(main)
"""


def bare() -> Site:
    """The site of it: Flet with what it needs, and twenty lines."""
    rows = {f"{START}.py": SOURCE.encode(), METHODS: (ROOT / METHODS).read_bytes()}
    rows |= {f"{folder}/__init__.py": b"" for folder in ("fieldapp", "fieldapp/phone")}
    for name in ("flet", "msgpack", "repath", "six"):
        rows |= _of_distribution(name)
    return Site(rows, START, ("flet",))
