"""Side branches on the falling line: a thin line each, to where its end has its volts and its name."""

from collections.abc import Mapping
from math import hypot

from fieldapp.drawing.fallscale import FallPoint, known
from fieldapp.drawing.fallscene import Scene
from fieldapp.drawing.jacket import branch_line
from fieldapp.drawing.letters import shorten
from fieldapp.drawing.openings import room_for
from fieldapp.drawing.placing import cable_frames, drawn_frame, place
from fieldapp.drawing.run import Branch
from fieldapp.drawing.shapes import Circle, Label, Point, Shape


def side_branches(
    scene: Scene, volts: Mapping[str, FallPoint], openings: bool
) -> tuple[list[Shape], list[tuple[Branch, Point, Point]]]:
    """Side branches: a thin line from the fork to its endpoint's volts, ending in its name; and
    where each begins and ends."""
    shapes: list[Shape] = []
    sides: list[tuple[Branch, Point, Point]] = []
    at = {
        p.box.id: (p.x, y)
        for p, y in list(zip(scene.laid.boxes, scene.ys, strict=True))[: scene.reached]
    }
    for branch in (b for b in scene.line.branches if b.from_box in at):
        fork = at[branch.from_box]
        least = room_for(branch) if openings else 0.0
        found = _end_of(scene, branch, _volts_of(branch, volts), fork, least)
        if not found:
            continue
        (x, y), label = found
        shapes += [*branch_line((fork, (x, y))), Circle(x, y, 5.5, "sheet", "ink", 2.0), label]
        sides.append((branch, fork, (x, y)))
        scene.table.keep(label)
        scene.table.solids.append((x - 7, y - 7, x + 7, y + 7))
        scene.table.cables.extend(cable_frames(fork, (x, y), 6))
    return shapes, sides


def _end_of(
    scene: Scene, branch: Branch, volts: float | None, fork: Point, least: float
) -> tuple[Point, Label] | None:
    """Where a side branch ends and its name stands, both clear of cables, boxes and words.

    The name is shortened before it is put on a cable; only where nothing is clear does it take
    the place that covers least. It ends ``least`` dp off or more.
    """
    size, table = 15 * min(scene.k, 1.3), scene.table
    ends = _ends(scene, branch, volts, fork, least)
    texts = [
        shorten(branch.end_name, "PM", size, room)
        for room in (share * scene.screen for share in (0.5, 0.42, 0.34, 0.28, 0.22))
    ]
    every: list[tuple[Point, Label]] = []
    for text in dict.fromkeys(t for t in texts if t):
        for x, y in ends:
            for label in _names(x, y, text, size, 1 if x > fork[0] else -1):
                if table.free(drawn_frame(label), 3) and _is_clear(scene, fork, (x, y)):
                    return (x, y), label
                every.append(((x, y), label))
    best = place(table, [one for _, one in every], float("inf"))
    return next(((end, one) for end, one in every if one is best), None)


def _is_clear(scene: Scene, fork: Point, end: Point) -> bool:
    """Whether the thin line crosses nothing behind its own fork, and its end lies free."""
    x, y = end
    far = hypot(x - fork[0], y - fork[1])
    # The fork's box and the cables that meet in it are left behind first.
    behind = min(24.0 / far, 1.0) if far else 1.0
    start = (fork[0] + behind * (x - fork[0]), fork[1] + behind * (y - fork[1]))
    return scene.table.free((x - 6, y - 6, x + 6, y + 6), 2) and all(
        scene.table.free(dot) for dot in cable_frames(start, end, 4)
    )


def _names(x: float, y: float, text: str, size: float, way: int) -> list[Label]:
    """A branch's name beside its end, further out first, then below and above it."""
    rows = ((way, 0.0), (-way, 0.0), (way, 1.0), (-way, 1.0), (way, -1.0), (-way, -1.0))
    return [
        Label(
            x + side * (10 if not row else -6),
            y + row * (9 + 0.6 * size),
            text,
            "PM",
            size,
            "ink",
            "start" if side > 0 else "end",
            "ground",
        )
        for side, row in rows
    ]


def _volts_of(branch: Branch, volts: Mapping[str, FallPoint]) -> float | None:
    """The volts at a side branch's end, read or expected. [V]"""
    end = volts.get(branch.boxes[-1].id) if branch.boxes else None
    value = known(end.reading, end.expected) if end else []
    return value[0] if value else None


def _ends(
    scene: Scene, branch: Branch, volts: float | None, fork: Point, least: float = 0.0
) -> list[Point]:
    """Places where a side branch could end, not nearer than ``least`` across.

    Its height is its volts where they are known, or as near to them as the cable leaves room.
    Across it is only roughly to scale: the thin line says which way off and how steep, the branch
    has a picture of its own.
    """
    first, last = scene.laid.boxes[0].box.at_m, scene.laid.boxes[-1].box.at_m
    per_m = (scene.laid.width - 28) / max(last - first, 1.0)
    run = min(max(sum(s.length_m for s in branch.spans) * per_m, 40.0), 110.0)
    level, steps = (
        (fork[1], (44, -44, 76, -76))
        if volts is None
        else (scene.scale.y(volts), (0, 24, -24, 34, -34, 46, -46, 64, -64, 84, -84))
    )
    return [
        (fork[0] + way * across, min(max(level + step, 12.0), scene.floor_y - 14))
        for step in steps
        for across in dict.fromkeys(max(far, least) for far in (run, 40.0, 24.0))
        for way in (1, -1)
        if 8 <= fork[0] + way * across <= scene.laid.width - 8
    ]
