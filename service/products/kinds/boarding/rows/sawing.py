"""What is done to a piece at the saw, from its shape: rips, angles, notches, holes (5.2, 3.8)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from service.geometry.ends import End
from service.geometry.plane import area_in_box
from service.geometry.rings import Polygon, Region, Ring, around, rectangle
from service.geometry.saw_lines import (
    CLOSE,
    Box,
    SawLine,
    cut_off,
    edges_along,
    is_left,
    ripped_off,
)
from service.layout.runs import Course
from service.products.kinds.boarding.records import BoardPiece, Boards
from service.products.kinds.boarding.rows.bevels import bevelled, bevels_of
from service.products.rows import CutoutRow
from service.products.saw_rows import SawRow, WorkedEdge, angled_ends

MOST_LINES: Final = 2
"""An edge of more straight parts is cut to its shape."""


@dataclass(frozen=True, slots=True)
class _Bench:
    """A piece on the bench: its `shape`, from its left end and its near edge.

    `boxes` lie round what is cut out of it. `rips` says whether the near and the far edge of its
    course are sawn. `ends` are its left and its right end.
    """

    shape: Region
    boxes: tuple[Box, ...]
    length: int
    face: int
    rips: tuple[bool, bool]
    ends: tuple[End, End]
    names: tuple[WorkedEdge, WorkedEdge]

    def edge(self, far: bool) -> WorkedEdge:
        """What its near or its far edge is called."""
        return self.names[far]


def saw_rows(
    boards: Boards,
    piece: BoardPiece,
    cutouts: Sequence[CutoutRow],
    cuts: tuple[End, End],
) -> tuple[SawRow, ...]:
    """All that is done to a piece, in the order of the saws: rips, angles, notches, holes.

    `cuts` are its low and its high end, with angles from the start. What straight cuts and boxes do
    not leave as it is laid is cut to its shape; along corners of walls it is bevelled.
    """
    course = boards.course(piece.run)
    rows = _flat(boards, piece, course, cutouts, cuts)
    bevels, length = bevels_of(boards, piece), piece.cut.high - piece.cut.low
    return bevelled(rows, bevels, length, course.face, boards.board) if bevels else rows


def _flat(
    boards: Boards,
    piece: BoardPiece,
    course: Course,
    cutouts: Sequence[CutoutRow],
    cuts: tuple[End, End],
) -> tuple[SawRow, ...]:
    """The same but for bevels."""
    if not cutouts and course.rip == "none" and _is_whole(piece, course):
        return ()
    bench = _on_bench(boards, piece, course, cutouts, cuts)
    rips = (_lines(bench, far=False), _lines(bench, far=True))
    rows = [*_rips(bench, rips), *angled_ends(bench.ends, bench.names), *_cut_out(bench, rips)]
    is_open = any(row.do == "shape" or row.to_line for row in rows)
    if not is_open and not _is_simple(bench) and not _leaves(bench, rips, rows):
        rows.append(SawRow(do="shape"))
    return tuple(rows)


def _is_whole(piece: BoardPiece, course: Course) -> bool:
    """Whether a piece is a rectangle of the whole width of its course."""
    (shape, *others) = piece.shape
    return not others and shape.is_box and shape.box[2:] == (course.low, course.high)


def _on_bench(
    boards: Boards,
    piece: BoardPiece,
    course: Course,
    cutouts: Sequence[CutoutRow],
    cuts: tuple[End, End],
) -> _Bench:
    low, high, near = piece.cut.low, piece.cut.high, course.from_start(course.low, course.high)[0]
    way, low_is_left = 1 if course.starts_low else -1, boards.low_is_left(piece.run)
    on, left = (1, low) if low_is_left else (-1, high)

    def turned(ring: Ring) -> Ring:
        points = tuple((on * (u - left), way * (v - near)) for u, v in ring)
        return points if on == way else points[::-1]

    shape = tuple(Polygon(turned(one.outer), tuple(map(turned, one.holes))) for one in piece.shape)
    boxes = []
    for one in cutouts:
        start, end = sorted((on * (one.low - left), on * (one.high - left)))
        start = 0 if start <= CLOSE else start
        end = high - low if end >= high - low - CLOSE else end
        if start or end < high - low:  # else its edge is that of the piece
            boxes.append((start, end, way * (one.near - near), way * (one.far - near)))
    return _Bench(
        shape=shape,
        boxes=tuple(boxes),
        length=high - low,
        face=course.face,
        rips=(course.rip in ("start", "both"), course.rip in ("end", "both")),
        ends=cuts if low_is_left else (cuts[1], cuts[0]),
        names=("groove", "tongue") if boards.board.has_tongue else ("near", "far"),
    )


def _lines(bench: _Bench, *, far: bool) -> list[SawLine]:
    """The lines that an edge is ripped to; one that is all of the edge leads from end to end."""
    edge, other = (bench.face, 0) if far else (0, bench.face)
    lines = [
        line
        for line in edges_along(bench.shape, far=far, beside=bench.boxes)
        # In a sharp point snapping may leave a slit beside the other edge.
        if max(abs(y - other) for _, y in (line.left, line.right)) > CLOSE
    ]
    sawn = [
        line
        for line in lines
        if bench.rips[far] or max(abs(y - edge) for _, y in (line.left, line.right)) > CLOSE
    ]
    if len(sawn) == len(lines) == 1:
        return [sawn[0].over(0, bench.length)]
    return sawn


def _is_all(bench: _Bench, lines: Sequence[SawLine]) -> bool:
    """Whether an edge is ripped to one line from end to end."""
    return len(lines) == 1 and (lines[0].left[0], lines[0].right[0]) == (0, bench.length)


def _rips(bench: _Bench, rips: tuple[list[SawLine], list[SawLine]]) -> Iterator[SawRow]:
    if all(_is_all(bench, lines) for lines in rips):
        ((near,), (far,)) = rips
        yield _rip("both", SawLine((0, 0), (bench.length, 0)), _widths(near, far))
        return
    for is_far, lines in enumerate(rips):
        edge = bench.edge(bool(is_far))
        if len(lines) > MOST_LINES:
            yield SawRow(do="shape", edge=edge)
            continue
        other = SawLine((0, 0), (1, 0)) if is_far else SawLine((0, bench.face), (1, bench.face))
        for line in lines:
            yield _rip(edge, line, _widths(other, line) if is_far else _widths(line, other))


def _rip(edge: WorkedEdge, line: SawLine, widths: tuple[int, int]) -> SawRow:
    low, high = line.left[0], line.right[0]
    return SawRow(do="rip", edge=edge, from_left=low, length=high - low, widths=widths)


def _widths(near: SawLine, far: SawLine) -> tuple[int, int]:
    """How wide a piece is between two lines, at both ends of the shorter one."""
    low, high = max(near.left[0], far.left[0]), max(near.right[0], far.right[0])
    return max(0, far.at(low) - near.at(low)), max(0, far.at(high) - near.at(high))


def _cut_out(bench: _Bench, rips: tuple[list[SawLine], list[SawLine]]) -> list[SawRow]:
    """Notches from the edges as they are ripped, then holes."""
    rows = (_box_row(bench, rips, box) for box in bench.boxes)
    return sorted((row for row in rows if row is not None), key=lambda row: row.do == "hole")


def _box_row(bench: _Bench, rips: tuple[list[SawLine], list[SawLine]], box: Box) -> SawRow | None:
    """One notch or hole; None where a rip takes all of it."""
    left, right, *across = box
    low, high = (_edge_beside(bench, rips[k], bool(k), (left, right)) for k in (0, 1))
    near, far = max(across[0], low), min(across[1], high)
    if far - near <= CLOSE:
        return None
    edge: WorkedEdge = "none"
    if near <= low + CLOSE:
        edge = bench.edge(False)
    elif far >= high - CLOSE:
        edge = bench.edge(True)
    return SawRow(
        do="hole" if edge == "none" else "notch",
        edge=edge,
        from_left=left,
        length=right - left,
        from_edge=near - low,
        depth=far - near,
        to_line=_to_line(bench, (left, right, near, far)),
    )


def _edge_beside(bench: _Bench, lines: Sequence[SawLine], far: bool, span: tuple[int, int]) -> int:
    """Where an edge as ripped lies beside a span, furthest out."""
    if not _is_all(bench, lines):
        return bench.face if far else 0
    both = [lines[0].at(x) for x in span]
    return max(both) if far else min(both)


def _to_line(bench: _Bench, box: Box) -> bool:
    """Whether the piece has a part in a box that is cut out of it."""
    left, right, near, far = box
    return area_in_box(bench.shape, box) > CLOSE * around(rectangle(left, near, right, far))


def _is_simple(bench: _Bench) -> bool:
    """Whether two level edges and two straight ends are all that there is to a piece."""
    (shape, *others) = bench.shape
    return not (others or shape.holes or bench.boxes) and len(shape.outer) == 4 and (
        {y for _, y in shape.outer} <= {0, bench.face}
    )  # fmt: skip


def _leaves(
    bench: _Bench, rips: tuple[list[SawLine], list[SawLine]], rows: Sequence[SawRow]
) -> bool:
    """Whether what is done to a piece leaves it as it is laid."""
    taken = [ripped_off(line, bench.face, far=bool(far)) for far in (0, 1) for line in rips[far]]
    taken += [Polygon(rectangle(left, near, right, far)) for left, right, near, far in bench.boxes]
    taken += _ends_taken(bench, rows)
    return is_left(bench.shape, bench.length, bench.face, taken)


def _ends_taken(bench: _Bench, rows: Sequence[SawRow]) -> Iterator[Polygon]:
    """What the angles take, each from its long point."""
    for row in rows:
        if row.do == "angle" and row.angle is not None:
            at = 0 if row.end == "left" else bench.length
            there = [y for ring in bench.shape for x, y in ring.outer if abs(x - at) <= CLOSE]
            is_far = row.edge == bench.edge(True)
            long = max(there) if is_far else min(there)
            inward = is_far == (row.end == "right")
            yield cut_off(at, long, row.angle if inward else -row.angle, bench.face)
