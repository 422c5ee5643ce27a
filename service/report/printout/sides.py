"""Which edge of a surface is meant, in words: what it lies beside, or where it lies."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, TypeAlias

from service.report.printout.lengths import Lengths

Row: TypeAlias = Mapping[str, Any]

Line: TypeAlias = tuple[Sequence[float], Sequence[float]]

NEAR = 1e-4
"""Share of a measure by which rounding in print may put it off."""


def edge_of(strip: Row, surface: Row, lengths: Lengths) -> str:
    """The edge along which a length of trim runs: what it lies beside, where that is told.

    Else `bottom edge`, `edge 4' 0" up`, or from where to where a slanting one runs.
    """
    away = strip["from_edge"] or 0.0
    named = [one["beside"] for one in surface["beside"] if _lies(strip, _ends(one), away)]
    if len(named) == 1:
        return f'"{named[0]}"'
    outline = surface["outline"]
    sides = list(zip(outline, outline[1:] + outline[:1], strict=True))
    own = [side for side in sides if _lies(strip, side, away) and _same_way(strip, side)]
    line = own[0] if len(own) == 1 else _ends(strip)
    beside = [side for side in sides if _is_one(side, line)]
    return _placed(line, outline, len(beside), lengths)


def _ends(row: Row) -> Line:
    return row["from"], row["to"]


def _lies(strip: Row, line: Line, away: float) -> bool:
    """Whether both ends of a strip lie so far off a line."""
    return all(_is(_off(strip[end], line), away) for end in ("from", "to"))


def _off(at: Sequence[float], line: Line) -> float:
    """How far a point lies off a line."""
    (x, y), (u, v), (p, q) = at, *line
    return abs((p - u) * (y - v) - (q - v) * (x - u)) / math.hypot(p - u, q - v)


def _same_way(strip: Row, line: Line) -> bool:
    """Whether a strip runs the way of a line."""
    (x, y), (u, v) = strip["from"], strip["to"]
    (a, b), (p, q) = line
    return bool((u - x) * (p - a) + (v - y) * (q - b) > 0)


def _is_one(one: Line, other: Line) -> bool:
    """Whether two lines lie on one."""
    return all(_is(_off(at, other), 0.0) for at in one)


def _placed(line: Line, outline: Sequence[Sequence[float]], many: int, lengths: Lengths) -> str:
    """Where an edge lies on the surface, one of so `many` on its line."""
    low = [min(at[k] for at in outline) for k in (0, 1)]
    high = [max(at[k] for at in outline) for k in (0, 1)]
    names = (("left", "right", "in"), ("bottom", "top", "up"))
    for axis, (first, last, way) in enumerate(names):
        at, end = line[0][axis], line[1][axis]
        if not _is(at, end):
            continue
        named = f"edge {lengths.station(at - low[axis])} {way}"
        named = f"{first} edge" if _is(at, low[axis]) else named
        named = f"{last} edge" if _is(at, high[axis]) else named
        span = sorted(point[1 - axis] - low[1 - axis] for point in line)
        return named if many < 2 else f"{named}, {' to '.join(map(lengths.station, span))}"
    both = sorted(line, key=tuple)
    ends = (f"{lengths.station(x - low[0])} in, {lengths.station(y - low[1])} up" for x, y in both)
    return f"slanting edge from {' to '.join(ends)}"


def _is(one: float, other: float) -> bool:
    """Whether two measures are one, but for rounding in print."""
    return abs(one - other) <= NEAR * max(1.0, abs(other))
