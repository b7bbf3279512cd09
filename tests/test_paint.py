"""Drawings go to the client as Flet itself would send them."""

from __future__ import annotations

from math import cos

import flet.canvas as cv
import msgpack
from flet.controls.base_control import BaseControl
from flet.messaging.protocol import configure_encode_object_for_msgpack
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.drawing.boxes import ROUND_ENOUGH, sides_of
from fieldapp.drawing.shapes import Path
from fieldapp.paint import PAINTERS, look_for

LOOK = look_for(False, 390, 844, 1.0, None)


def packed(what: object) -> object:
    """As it is read from the wire."""
    encode = configure_encode_object_for_msgpack(BaseControl)
    return msgpack.unpackb(msgpack.packb(what, default=encode))


number = st.floats(-500, 500)
points = st.lists(st.tuples(number, number), min_size=1, max_size=12)


@given(points, st.booleans())
def test_a_path_is_sent_as_flet_sends_its_own_elements(corners, closed):
    (ours,) = PAINTERS[Path](LOOK, Path(tuple(corners), closed=closed, fill="ink"))
    first, *rest = corners
    theirs = [cv.Path.MoveTo(*first), *(cv.Path.LineTo(*point) for point in rest)]
    theirs += [cv.Path.Close()] if closed else []
    assert packed(ours.elements) == packed(theirs)


@given(st.floats(0.5, 400), st.floats(0.2, 6.3))
def test_a_curve_of_sides_stays_close_to_its_arc(r, angle):
    n = sides_of(r, angle)
    assert r * (1 - cos(angle / 2 / n)) <= ROUND_ENOUGH + 1e-9
    assert n == 6 or r * (1 - cos(angle / 2 / (n - 1))) > ROUND_ENOUGH
