"""What the parts of the plan's page share: names to be typed, rows of buttons, further places."""

from __future__ import annotations

import flet as ft

from engine.job import Job
from fieldapp import words
from fieldapp.buttons import quiet, row_button
from fieldapp.knobs import has_gauge, offered
from fieldapp.messages import EditAccepted, EditTyped, Go
from fieldapp.model import Model
from fieldapp.paint import GAP, LARGE, MARGIN, Look
from fieldapp.parts import padded, text
from fieldapp.questions import value_at
from fieldapp.routes import Place, route_of
from fieldapp.screens.fields import field
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send, SendText


def go(model: Model, send: SendAny, screen: str, at: str = "", kind: str = "") -> Send:
    """A press that leads to a place of this job."""
    return Send(send, Go(route_of(Place(screen, model.open_job.id, at, kind))))


def wide(look: Look, title: str, press: Send, *, key: str) -> ft.Control:
    """A quiet button over the whole width."""
    return padded(quiet(look, title, press, key=key, width=look.width - 2 * MARGIN))


def side_by_side(look: Look, *buttons: tuple[str, Send, str]) -> ft.Control:
    """Quiet buttons of one width, by title, press and key; below each other for large letters."""
    if look.scale >= LARGE:
        rows = [wide(look, title, press, key=key) for title, press, key in buttons]
        return ft.Column(rows, spacing=GAP, tight=True)
    made = [quiet(look, title, press, key=key, expand=True) for title, press, key in buttons]
    return padded(ft.Row(made, spacing=GAP))


def further(model: Model, send: SendAny, thing: str) -> list[tuple[str, Send, str]]:
    """The ways from a thing to its sheets, and to a value of it that can be tried."""
    job = model.open_job.judgement.state.job
    ways = [(words.its_sheet(), go(model, send, "sheets", thing), "its-sheet")]
    if offered(job, thing) or has_gauge(job, thing):
        ways.append((words.what_if(), go(model, send, "whatif", thing), "what-if"))
    return ways


def name_field(
    path: tuple[str, ...], label: str, model: Model, send: SendAny, look: Look
) -> ft.Control:
    """A name of the plan; an entry once it is accepted."""
    edit = model.edit
    stands = value_at(model.open_job.judgement.state.doc, path)
    shown = edit.text if edit is not None and edit.path == path else words.plan_value(stands)
    return field(
        look,
        label,
        shown,
        SendText(send, EditTyped, path),
        key="edit-" + "/".join(path),
        on_submit=Send(send, EditAccepted()),
    )


def row(look: Look, inside: ft.Control, press: Send, *, key: str, high: float = 18) -> ft.Control:
    """A row of a list, with a line above it."""
    content = ft.Container(inside, padding=ft.Padding.symmetric(vertical=high))
    return ft.Container(
        row_button(look, content, press, key=key),
        border=ft.Border.only(top=ft.BorderSide(1.5, look.tokens["rule"])),
    )


def thing_title(job: Job, thing: str) -> str:
    """A box or a span in a list of them."""
    if thing in job.boxes:
        box = job.boxes[thing]
        return words.box_title(box.id, box.kind, job.stops[box.stop].name)
    span = job.spans[thing]
    metres = words.metres(span.length_m.expected)
    return f"{words.span_title(span.id, span.a.box, span.b.box)}, {metres}"


def thing_row(
    name: str, screen: str, title: str, model: Model, send: SendAny, look: Look
) -> ft.Control:
    """A row that leads to a thing of the plan."""
    inside = text(look, title, 19, cap=1.6, max_lines=2, overflow=ft.TextOverflow.ELLIPSIS)
    return row(look, inside, go(model, send, screen, name), key=f"thing-{name}")


def head(look: Look, title: str, more: str = "") -> list[ft.Control]:
    """What is chosen, and its sheet."""
    lines = [padded(text(look, title, 21, cap=1.5))]
    return [*lines, padded(text(look, more, 17, "soft", "TI", cap=1.5))] if more else lines
