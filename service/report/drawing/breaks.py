"""Where a surface is broken on paper, so that what lies there can still be read."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from service.products.drawing import Course, DrawnLayer, Joint, Member, Sheet, lie_of_course
from service.report.drawing.sheet_layout import extent


def spans_of(
    sheet: Sheet, layer: DrawnLayer | None, axis: int, count: int
) -> list[tuple[int, int]]:
    """From where to where each part reaches along an axis."""
    low, high = (corner[axis] for corner in extent(sheet))
    inner = _places(sheet, layer, axis, count) if count > 1 else []
    return list(pairwise([low, *inner, high]))


def _places(sheet: Sheet, layer: DrawnLayer | None, axis: int, count: int) -> list[int]:
    """Where to break: near equal lengths, clear of members and joints, and of openings if near.

    Between two courses where it breaks across those.
    """
    low, high = (corner[axis] for corner in extent(sheet))
    taken = sorted({low, high, *_stations(sheet, layer, axis)})
    gaps = [(b - a, (a + b) // 2) for a, b in pairwise(taken)]
    least = max(gap for gap, _ in gaps) // 8
    between = _between_courses(layer, axis)
    is_across = len(between) >= count
    free = between if is_across else [at for gap, at in gaps if gap >= least]
    aside = (high - low) // (4 * count)

    def cost(at: int, wanted: int) -> int:
        return abs(at - wanted) + (aside if _in_opening(sheet, axis, at) else 0)

    found: set[int] = set()
    for k in range(1, count):
        wanted = low + (high - low) * k // count
        clear = not is_across and min(abs(at - wanted) for at in taken) >= least
        places = [*free, *([wanted] if clear else [])]
        found.add(min((cost(at, wanted), at) for at in places)[1])
    return sorted(found)


def _between_courses(layer: DrawnLayer | None, axis: int) -> list[int]:
    """Midway from course to course, of those that lie square to an axis.

    Not beside the first and the last, which are ripped: there it is no edge of them.
    """
    lie = ("upright", "level")[axis]
    middles = sorted(
        (mark.at[axis] + mark.end[axis]) // 2
        for mark in (layer.marks if layer else ())
        if isinstance(mark, Course) and lie_of_course(mark.at, mark.end) == lie
    )
    return [(a + b) // 2 for a, b in pairwise(middles)][1:-1]


def _stations(sheet: Sheet, layer: DrawnLayer | None, axis: int) -> Iterator[int]:
    """Stations of members and joints that stand square to the axis."""
    joints = [mark for mark in (layer.marks if layer else ()) if isinstance(mark, Joint)]
    stations: list[Member | Joint] = [*sheet.members, *joints]
    for mark in stations:
        if mark.start[axis] == mark.end[axis]:
            yield mark.start[axis]


def _in_opening(sheet: Sheet, axis: int, at: int) -> bool:
    for _, ring in sheet.openings:
        places = [point[axis] for point in ring]
        if min(places) <= at <= max(places):
            return True
    return False
