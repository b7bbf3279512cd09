"""Boxes, cables and wires as they are drawn: facts of geometry."""

from itertools import pairwise
from math import hypot

import pytest
from drawn_runs import SIDES, check, evenly, frame_of, label, reedbed, words

from fieldapp.drawing import boxes, fit, jacket
from fieldapp.drawing.shapes import Line, Path, Picture
from fieldapp.drawing.wires import wire_picture
from fieldapp.wires import PLUGS

# ---- boxes -----------------------------------------------------------------------------------


def test_a_large_nose_has_48_points():
    """The long-span side is round enough to show no facets."""
    nose = boxes.side_points("round", 0, 0, 170, 205)
    assert len(nose) == 48
    assert nose[0][1] == pytest.approx(170) and nose[-1][1] == pytest.approx(0)
    assert min(x for x, _ in nose) < 0.05


def test_teeth_are_three_and_point_outwards():
    """Three points of the toothed side reach the frame's edge."""
    side = boxes.side_points("teeth", 0, 0, 48, 60)
    assert sum(1 for x, _ in side if x == 0) == 3
    assert side[0][0] > 0 and side[-1][0] > 0


def test_a_jack_is_cut_in_not_put_on():
    """The jack's floor lies inside the frame, its lips on the edge."""
    side = boxes.side_points("jack", 0, 0, 48, 60)
    assert max(x for x, _ in side) == pytest.approx(boxes.jack_size(60, 48)[0])
    assert min(x for x, _ in side) == 0


@pytest.mark.parametrize("kind", [*boxes.KINDS, "something new"])
@pytest.mark.parametrize("size", [(23, 25), (27, 27), (64, 50), (205, 170)])
@pytest.mark.parametrize("left", boxes.OUTLINES)
@pytest.mark.parametrize("right", boxes.OUTLINES)
def test_a_box_stays_in_its_frame(kind, size, left, right):
    """Body, sign and half a stroke lie within the frame whatever the sides are."""
    w, h = size
    for shape in boxes.box_shapes(kind, (left, right), 10, 20, w, h):
        frame = frame_of(shape)
        half = shape.width / 2 if isinstance(shape, Path) and shape.closed and shape.stroke else 0
        assert frame[0] - half >= 10 - 1e-6 and frame[1] - half >= 20 - 1e-6, shape
        assert frame[2] + half <= 10 + w + 1e-6 and frame[3] + half <= 20 + h + 1e-6, shape


def test_below_30_dp_only_three_kinds_keep_their_sign():
    """Small boxes are told apart by outline; source, joint and endpoint keep their sign."""
    signed = {
        kind for kind in boxes.KINDS if len(boxes.box_shapes(kind, SIDES[kind], 0, 0, 25, 25)) > 1
    }
    assert signed == {"source", "joint", "endpoint"}
    assert all(len(boxes.box_shapes(k, SIDES[k], 0, 0, 60, 50)) > 1 for k in boxes.KINDS)


def test_turning_a_box_swaps_its_outline():
    """Turned round, the outline is the mirror image."""
    plain = boxes.box_outline("long-span", ("round", "jack"), 0, 0, 60, 50).points
    turned = boxes.box_outline("long-span", ("jack", "round"), 0, 0, 60, 50).points
    assert {(round(60 - x, 6), round(y, 6)) for x, y in plain} == {
        (round(x, 6), round(y, 6)) for x, y in turned
    }


def test_chevrons_point_away_from_the_source_unless_turned():
    """The tips of a repeater's chevrons lie on its far side, or on the near one when turned."""

    def tip_is_right(turned: bool) -> bool:
        sign = boxes.box_shapes("repeater", SIDES["repeater"], 0, 0, 60, 50, turned=turned)[1]
        return sign.points[1][0] > sign.points[0][0]

    assert tip_is_right(False) and not tip_is_right(True)


def test_a_source_is_solid_and_others_are_not():
    """Solid in the line's colour says source; the fill can be forced."""

    def fill(kind: str, **more: object) -> str:
        return boxes.box_shapes(kind, SIDES[kind], 0, 0, 60, 50, **more)[0].fill

    assert fill("source") == "ink" and fill("source", filled=False) == "sheet"
    assert fill("arrestor") == "sheet" and fill("arrestor", filled=True) == "ink"


def test_the_earth_tail_hangs_only_under_a_bonded_box():
    """A bonded box reaches below its frame by the tail, another does not."""

    def lowest(bonded: bool) -> float:
        shapes = boxes.box_shapes("arrestor", SIDES["arrestor"], 0, 0, 60, 50, bonded=bonded)
        return max(frame_of(s)[3] for s in shapes)

    assert lowest(False) <= 50 < lowest(True) <= 50 + 0.42 * 50


def test_break_marks_are_two_slanting_signal_strokes():
    """Two parallel strokes, leaning, the height asked for."""
    one, two = boxes.break_marks(50, 40, 30)
    assert {one.stroke, two.stroke} == {"signal"}
    assert one.x2 - one.x1 == pytest.approx(two.x2 - two.x1) and one.x2 > one.x1
    assert abs(one.y2 - one.y1) == pytest.approx(30)


# ---- jackets ---------------------------------------------------------------------------------


@pytest.mark.parametrize("state", jacket.STATES)
def test_every_jacket_lies_in_an_ink_casing(state):
    """Colour never stands alone: the widest stroke of each state is ink."""
    shapes = jacket.jacket(((0, 0), (100, 30)), state)
    assert shapes[0].stroke == "ink" and shapes[0].width == max(s.width for s in shapes)


def test_jackets_tell_their_states_apart_without_colour():
    """Stripes are dashes, a cut is a further ink line, empty and copper differ in fill."""
    looks = {
        state: tuple(
            (s.stroke, s.dash is not None) for s in jacket.jacket(((0, 0), (90, 0)), state)
        )
        for state in jacket.STATES
    }
    assert len(set(looks.values())) == len(jacket.STATES)
    assert ("signal", True) in looks["striped"]
    assert [stroke for stroke, _ in looks["cut"]].count("ink") == 2


def test_a_length_is_printed_only_where_it_fits():
    """On copper in copper's own ink; on a short jacket not at all."""
    (print_,) = jacket.printed_length((0, 9), (120, 9), "202 m", "copper")
    assert (print_.face, print_.size, print_.ink) == ("PB", 13.0, "on_copper")
    assert jacket.printed_length((0, 9), (30, 9), "202 m", "copper") == ()
    plaque, over = jacket.printed_length((0, 9), (120, 9), "256 m", "striped")
    assert plaque.fill == "ground" and over.ink == "ink"


# ---- big drawings ----------------------------------------------------------------------------


@pytest.mark.parametrize("kind", boxes.KINDS)
@pytest.mark.parametrize("form", ["cable", "lead", ""])
def test_the_big_drawing_of_every_kind(kind, form):
    """Names inside the box, places above the cables, nothing beyond the picture."""
    picture = fit.fit_drawing(
        kind,
        SIDES[kind],
        ("IN", "OUT") if kind != "endpoint" else ("LAN", ""),
        ("sluice", form),
        ("a place with a very long name", form),
        390,
        200,
        prints=("256 m", "0.5 m"),
        neighbour=("jack", "teeth"),
        bonded=kind == "arrestor",
    )
    check(picture)
    assert ("sluice" in words(picture)) is bool(form)


def test_the_port_at_stake_is_the_largest_word():
    """IN is written larger than OUT, or the other way on request."""

    def sizes(emphasis: str) -> tuple[float, float]:
        picture = fit.fit_drawing(
            "long-span", ("round", "jack"), ("IN", "OUT"), ("sluice", "cable"), ("camera", "lead"),
            390, 200, emphasis=emphasis,
        )  # fmt: skip
        return label(picture, "IN").size, label(picture, "OUT").size

    assert sizes("left")[0] > sizes("left")[1]
    assert sizes("right")[0] < sizes("right")[1]


def test_turned_round_is_small_and_broken():
    """The box with its sides swapped, and the break."""
    picture = fit.turned_drawing("long-span", ("round", "jack"))
    check(picture)
    assert sum(isinstance(s, Line) and s.stroke == "signal" for s in picture.shapes) == 2


def test_the_other_drawings_of_now():
    """Bond, port, speeds and walk."""
    for picture in (
        fit.bond_drawing(("teeth", "jack"), "0.4 m", "earth bar", 390, 220),
        fit.port_drawing("S", "Port 7, hut switch", ("L1", "lead"), 390, 170),
        fit.walk_drawing(reedbed(), ("hide", "sluice"), "4 min", 390, 140),
        fit.walk_drawing(evenly(40), ("s3", "s9"), "14 min", 390, 140),
    ):
        check(picture)


def test_two_ends_without_a_common_speed_are_broken():
    """The break stands only where no speed is shared; a shared one is underlined at both ends."""
    none = fit.speeds_drawing(("L2", ("1000",)), ("C", ("10", "100")), "", 390, 150)
    some = fit.speeds_drawing(("L2", ("1000", "100")), ("C", ("10", "100")), "100", 390, 150)
    check(none)
    check(some)

    def breaks(picture: Picture) -> int:
        return sum(isinstance(s, Line) and s.stroke == "signal" for s in picture.shapes)

    assert breaks(none) == 2 and breaks(some) == 0
    assert words(some).count("100") == 3


def test_the_wave_turns_no_corner():
    """The slow wave is fine enough: no two of its pieces differ by more than half a right angle."""
    (wave,) = boxes.sign_shapes("long-span", 0, 0, 60, 50)
    steps = [((b[0] - a[0]), (b[1] - a[1])) for a, b in pairwise(wave.points)]
    for (ax, ay), (bx, by) in pairwise(steps):
        assert (ax * bx + ay * by) / (hypot(ax, ay) * hypot(bx, by)) > 0.7


# ---------------------------------------------------------------- wires


def test_a_striped_wire_and_a_full_one_differ_without_colour():
    """Only ink: the stripe slants, lies within the wire, and leaves more ground than ink."""
    for width in (72.0, 104.0):
        striped, full = (wire_picture(kind, width, 40.0) for kind in (True, False))
        stripes = [shape for shape in striped.shapes if isinstance(shape, Path)]
        assert len(stripes) >= 2 and not [s for s in full.shapes if isinstance(s, Path)]
        body = next(shape for shape in striped.shapes if shape.fill == "ground")
        for stripe in stripes:
            (x0, y0), (x1, y1) = stripe.points[:2]
            assert x1 > x0 and y1 < y0, "it slants"
            assert all(
                body.x <= x <= body.x + body.w and body.y - 0.1 <= y <= body.y + body.h + 0.1
                for x, y in stripe.points
            )
        assert {shape.fill for shape in full.shapes} == {"copper", "ink"}


# ANSI/TIA-568, contacts 1 to 8, as installers print it
T568A = "white-green green white-orange blue white-blue orange white-brown brown"
T568B = "white-orange orange white-green blue white-blue green white-brown brown"


@pytest.mark.parametrize(("name", "printed"), [("T568A", T568A), ("T568B", T568B)])
def test_the_wires_stand_as_the_standard_prints_them(name, printed):
    said = [f"{'white-' if wire.striped else ''}{wire.colour}" for wire in PLUGS[name]]
    assert said == printed.split()
    assert [wire.contact for wire in PLUGS[name]] == list(range(1, 9))
    pairs = {wire.pair for wire in PLUGS[name]}
    assert pairs == {1, 2, 3, 4}
    for pair in pairs:
        colours = {(wire.colour, wire.striped) for wire in PLUGS[name] if wire.pair == pair}
        assert len(colours) == 2 and len({colour for colour, _ in colours}) == 1


def test_a_and_b_differ_in_two_pairs_changed_over():
    """What makes a crossover of a cable with one of each: 1-2 against 3-6."""
    a, b = ({w.contact: (w.colour, w.striped) for w in PLUGS[name]} for name in ("T568A", "T568B"))
    moved = {1: 3, 2: 6, 3: 1, 6: 2}
    assert all(a[here] == b[there] for here, there in moved.items())
    assert all(a[here] == b[here] for here in (4, 5, 7, 8))
