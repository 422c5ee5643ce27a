"""How the ends of each length are cut: by what they meet, and which of two is hung later (17.1)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from service.geometry.wall_corners import SQUARE, reach_of
from service.geometry.walls import STRAIGHT, Corner, Wall, mitre
from service.products.kinds.trim.records import TrimEnd
from service.products.trim_rows import Meets

SHARPEST: Final = 75.0
"""Degrees off square to which an end is cut along an edge that is a mitre; beyond it is square."""

NEARLY_SQUARE: Final = 1.0
"""Degrees up to which a butted corner is one."""

COPED_FROM: Final = {"by_angle": 75.0, "coped": 0.0}
"""Degrees of turn from which inside corners are coped, by what is asked for; others are mitred.

Common practice: a cope is for square and sharp corners, those of a bay, 135 degrees, are mitred.
"""

NONE_COPED: Final = 360.0
"""All are mitred."""

Ends = tuple[TrimEnd, TrimEnd]

Standing = tuple[Wall, Ends, str | None]
"""A wall with its ends, and the opening that it is a side of."""


def ends_along(
    walls: Sequence[Wall], wide: int, corner_over: float, coped_from: float
) -> list[Ends]:
    """The ends of the walls of one ring, in its order.

    In an inside corner that turns by `coped_from` degrees or more the piece that is hung first runs
    square into it, and the one after is coped over it: round a whole room the first is square at
    both ends, and the last coped at both.
    """
    found = [_ends(wall, wide, corner_over) for wall in walls]
    for k, wall in enumerate(walls):
        after, end = (k + 1) % len(walls), found[k][1]
        coped = end.meets == "inside corner" and end.turn >= coped_from
        if coped and walls[after].points[0] == wall.points[-1]:
            later = max(k, after)
            _hang(found, k, 1, is_later=later == k)
            _hang(found, after, 0, is_later=later != k)
    return found


def butted_along(walls: Sequence[Wall], wide: int, corner_over: float) -> list[Ends]:
    """The same with square inside corners: the piece laid first runs through, the next stops at it.

    A corner that is not square is mitred.
    """
    found = [_ends(wall, wide, corner_over) for wall in walls]
    for k, wall in enumerate(walls):
        after = (k + 1) % len(walls)
        end = found[k][1]
        square = end.meets == "inside corner" and abs(end.turn - 90) <= NEARLY_SQUARE
        if square and walls[after].points[0] == wall.points[-1]:
            later = max(k, after)
            for number, side in ((k, 1), (after, 0)):
                ends = list(found[number])
                ends[side] = replace(
                    ends[side], cut="square", off=0.0, butted=True,
                    adds=-wide if number == later else 0,
                )  # fmt: skip
                found[number] = (ends[0], ends[1])
    return found


def _hang(found: list[Ends], number: int, side: int, *, is_later: bool) -> None:
    """Cut one end in an inside corner square, or coped where its piece is hung later."""
    ends = list(found[number])
    ends[side] = replace(ends[side], cut="coped" if is_later else "square",
                         off=ends[side].off if is_later else 0.0)  # fmt: skip
    found[number] = (ends[0], ends[1])


def _ends(wall: Wall, wide: int, corner_over: float) -> Ends:
    first, last = (_end(corner, wide, corner_over) for corner in wall.corners)
    return first, last


def _end(corner: Corner, wide: int, corner_over: float) -> TrimEnd:
    meets, off = _meets(corner, corner_over)
    turn = 0.0 if meets == "open end" else abs(corner.turn)
    adds = mitre(wide, off) if off < 0 else 0
    return TrimEnd(meets, "mitred" if off else "square", turn, off, adds)


def _meets(corner: Corner, corner_over: float) -> tuple[Meets, float]:
    """What an end meets, and how many degrees off square it is cut, above 0 longest at the back."""
    turn = corner.turn
    if corner.chosen:
        if abs(turn) < STRAIGHT:
            return "itself", 0.0
        if abs(turn) < corner_over:
            return "segment joint", turn / 2
        return ("inside corner" if turn > 0 else "outside corner"), turn / 2
    off = turn - 90  # of a cut along the next edge
    if corner.edge is not None and corner.edge.what == "mitre" and abs(off) <= SHARPEST:
        return "mitre edge", off if abs(off) >= STRAIGHT else 0.0
    is_open = turn < corner_over or (corner.edge is not None and corner.edge.what == "overhang")
    return ("open end" if is_open else "wall"), 0.0


def round_corner(end: TrimEnd, corner: Corner, behind: int, thick: int) -> TrimEnd:
    """An end of trim on a wall whose boards meet those of the next wall in a square corner (3.16).

    It runs on the face of what lies `behind` it, and is `thick` itself: outside it is mitred
    through that, and inside the wall that was boarded first has the piece that runs in square.
    """
    what = None if corner.chosen or corner.edge is None else corner.edge.what
    if corner.edge is None or what not in WALL_CORNERS:
        return end
    turn = SQUARE if corner.edge.turn is None else corner.edge.turn
    outer = what not in ("inside_first", "inside_second")
    face = replace(corner.edge, what="outside_mitred" if outer else "inside_second")
    adds = -reach_of(face, behind, corner.edge.thickness)
    if outer:
        return replace(end, meets="wall corner", turn=turn, cut="mitred",
                       adds=adds + mitre(thick, turn / 2))  # fmt: skip
    if turn != SQUARE:
        return replace(end, meets="wall corner", turn=turn, adds=adds, cut="mitred")
    return replace(end, meets="wall corner", turn=turn, adds=adds,
                   cut="square" if what == "inside_first" else "coped")  # fmt: skip


WALL_CORNERS: Final = frozenset(
    {"inside_first", "inside_second", "outside_lapping", "outside_butting", "outside_mitred"}
)
"""What an edge is where two walls, each a surface of its own, meet."""


def butted(walls: Sequence[Wall], wide: int) -> list[Ends]:
    """The ends of a butted frame: its level pieces reach over the ends of the others (17.3).

    A corner that is not square is mitred.
    """
    over = _is_level(walls[0])
    found = []
    for k, wall in enumerate(walls):
        runs_over = over == (k % 2 == 0)
        first, last = (_butt(corner, wide, runs_over) for corner in wall.corners)
        found.append((first, last))
    return found


def _butt(corner: Corner, wide: int, runs_over: bool) -> TrimEnd:
    end = _end(corner, wide, STRAIGHT)
    if not corner.chosen or abs(end.turn - 90) > NEARLY_SQUARE:
        return end
    return replace(end, cut="square", off=0.0, adds=wide if runs_over else 0)


def _is_level(wall: Wall) -> bool:
    (ax, ay), (bx, by) = wall.points[0], wall.points[-1]
    return abs(bx - ax) >= abs(by - ay)
