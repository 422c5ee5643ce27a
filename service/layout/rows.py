"""Rows of sheets across a surface: by the sheet's width, or with their seams on members.

All lengths are ticks.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from service.layout.runs import Course


def rows_by_width(
    low: int, high: int, width: int, gap: int, least: int, starts_low: bool
) -> tuple[Course, ...]:
    """Rows of full sheets and a strip; a strip under `least` is shared with the first row (11.4).

    `low` and `high` are the edges across; row 1 lies on the low side or on the high side.
    """
    net, step = high - low, width + gap
    count = (net + gap) // step
    strip = net - count * step
    if count == 0:
        widths = [net]
    elif strip <= 0:
        widths = [width] * count
    elif strip >= least:
        widths = [*[width] * count, strip]
    else:
        shared = width + strip
        widths = [shared // 2, *[width] * (count - 1), shared - shared // 2]
    return _placed(low, high, widths, [gap] * (len(widths) - 1), width, starts_low)


def rows_by_members(
    low: int,
    high: int,
    width: int,
    gap: int,
    stations: Sequence[int],
    least: int,
    starts_low: bool,
) -> tuple[Course, ...] | None:
    """Rows whose seams lie on members that run with them; None where a bay is too wide.

    What is no more than a gap stays open at the wall, as with rows by the sheet's width. The last
    seam moves back to a member that leaves `least` for the last row, if one does and
    the row before keeps as much (11.4).
    """
    order = sorted(stations) if starts_low else sorted(low + high - at for at in stations)
    edges, near = [low], low
    while high - near > width + gap:
        place = bisect_right(order, near + width + gap // 2) - 1
        if place < 0 or order[place] - gap // 2 <= near:
            return None
        edges.append(order[place])
        near = edges[-1] + gap - gap // 2
    _widened(edges, order, high - least - (gap - gap // 2), least + gap)
    lows = [low, *(edge + gap - gap // 2 for edge in edges[1:])]
    highs = [*(edge - gap // 2 for edge in edges[1:]), min(high, lows[-1] + width)]
    rows = [
        Course(k + 1, a, b, "none" if b - a == width else "end", True)
        for k, (a, b) in enumerate(zip(lows, highs, strict=True))
    ]
    return tuple(rows) if starts_low else tuple(_turned(row, low + high) for row in rows)


def _widened(edges: list[int], order: Sequence[int], latest: int, apart: int) -> None:
    """Move the last seam to the last member up to `latest`, `apart` from the edge before it."""
    if len(edges) < 2 or edges[-1] <= latest:
        return
    place = bisect_right(order, latest) - 1
    if place >= 0 and order[place] - edges[-2] >= apart:
        edges[-1] = order[place]


def _turned(row: Course, sides: int) -> Course:
    return Course(row.number, sides - row.high, sides - row.low, row.rip, False)


def _placed(
    low: int, high: int, widths: list[int], gaps: list[int], full: int, starts_low: bool
) -> tuple[Course, ...]:
    rows, at = [], low
    for k, width in enumerate(widths):
        rows.append(Course(k + 1, at, at + width, "none" if width == full else "end", True))
        at += width + (gaps[k] if k < len(gaps) else 0)
    return tuple(rows) if starts_low else tuple(_turned(row, low + high) for row in rows)
