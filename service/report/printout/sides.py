"""Which edge of a surface is meant, in words: what it lies beside, or where it lies."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TypeAlias

from service.report.printout.lengths import Lengths
from service.report.printout.rows import Row

Line: TypeAlias = tuple[Sequence[float], Sequence[float]]

NEAR = 1e-4
"""Share of a measure by which rounding in print may put it off."""


def edge_of(strip: Row, surface: Row, lengths: Lengths) -> str:
    """The edge along which a length of trim runs: what it lies beside, where that is told.

    Else `bottom edge`, `edge 4' 0" up`, or from where to where a slanting one runs. What overhangs
    lies so far past it.
    """
    outline = surface["outline"]
    past = _past(strip, outline)
    away = past or strip["from_edge"] or 0.0
    named = [one["beside"] for one in surface["beside"] if _lies(strip, _ends(one), away)]
    if len(named) == 1:
        return f'{lengths.station(past)} past "{named[0]}"' if past else f'"{named[0]}"'
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


def _past(strip: Row, outline: Sequence[Sequence[float]]) -> float:
    """How far a level or upright strip lies beyond all of the surface; 0 where it does not."""
    found = 0.0
    for axis in (0, 1):
        at, end = strip["from"][axis], strip["to"][axis]
        low, high = (pick(corner[axis] for corner in outline) for pick in (min, max))
        if _is(at, end) and not (_is(at, low) or _is(at, high)):
            found = max(found, low - at, at - high)
    return found


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
    for axis, words in enumerate(names):
        at, end = line[0][axis], line[1][axis]
        if not _is(at, end):
            continue
        named = _called(at - low[axis], high[axis] - low[axis], words, lengths)
        span = sorted(point[1 - axis] - low[1 - axis] for point in line)
        return named if many < 2 else f"{named}, {' to '.join(map(lengths.station, span))}"
    both = sorted(line, key=tuple)
    ends = (f"{lengths.station(x - low[0])} in, {lengths.station(y - low[1])} up" for x, y in both)
    return f"slanting edge from {' to '.join(ends)}"


def _called(at: float, size: float, words: tuple[str, str, str], lengths: Lengths) -> str:
    """A level or upright edge so far from the first end of a surface of this size."""
    first, last, way = words
    if _is(at, 0.0):
        return f"{first} edge"
    if _is(at, size):
        return f"{last} edge"
    if 0 < at < size:
        return f"edge {lengths.station(at)} {way}"
    end, beyond = (first, -at) if at < 0 else (last, at - size)
    return f"{lengths.station(beyond)} past the {end} edge"


def _is(one: float, other: float) -> bool:
    """Whether two measures are one, but for rounding in print."""
    return abs(one - other) <= NEAR * max(1.0, abs(other))
