"""A long narrow surface broken into lengths with match lines, so that its page can be read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from service.products.drawing import (
    Behind,
    Callout,
    CentreLine,
    Course,
    Dimension,
    DrawnLayer,
    DrawnPiece,
    Joint,
    Lap,
    Mark,
    Match,
    Member,
    Point,
    Ring,
    Sheet,
    Standing,
    Tapered,
    station_text,
)
from service.report.drawing.breaks import spans_of
from service.report.drawing.sheet_layout import extent
from service.units.ticks import whole

MOST: Final = 6
"""Lengths on one page at the most."""

LONG: Final = 4
"""A surface is broken only where it is more than this many times as long as it is deep."""


@dataclass(frozen=True, slots=True)
class Part:
    """A length of a surface with what its layer shows there."""

    sheet: Sheet
    layer: DrawnLayer | None


def axis_of(sheet: Sheet) -> int | None:
    """Along which axis a surface is long: 0 across the page, 1 up it; None where it is not."""
    low, high = extent(sheet)
    wide, deep = high[0] - low[0], high[1] - low[1]
    if wide > LONG * deep:
        return 0
    return 1 if deep > LONG * wide else None


def broken(sheet: Sheet, layer: DrawnLayer | None, axis: int, count: int) -> tuple[Part, ...]:
    """So many lengths, the low end first; fewer where no place to break was found."""
    return divided(sheet, layer, *((count, 1) if axis == 0 else (1, count)))


def divided(sheet: Sheet, layer: DrawnLayer | None, across: int, up: int) -> tuple[Part, ...]:
    """So many parts across the page, and up it: the lowest row first, each from the left.

    Fewer where no place to break was found; a part in which nothing of the surface lies is none.
    """
    spans = [spans_of(sheet, layer, axis, count) for axis, count in ((0, across), (1, up))]
    found = []
    for row in range(len(spans[1])):
        for column in range(len(spans[0])):
            part = Part(sheet, layer)
            if len(spans[0]) > 1:
                part = _part(sheet, part, 0, spans[0], column)
            if len(spans[1]) > 1:
                part = _part(sheet, part, 1, spans[1], row, len(spans[0]) - 1)
            if part.sheet.outline:
                found.append(part)
    return tuple(found)


def _part(
    entire: Sheet, whole: Part, axis: int, spans: list[tuple[int, int]], number: int, named: int = 0
) -> Part:
    """A part of a part; `named` match lines have had their letters before those of this axis."""
    sheet, layer, span = whole.sheet, whole.layer, spans[number]
    own = replace(layer, marks=tuple(_marks(layer, axis, span))) if layer else None
    openings = ((name, cut(ring, axis, span)) for name, ring in sheet.openings)
    members = (_line(member, axis, span) for member in sheet.members)
    known = (_line(one, axis, span) for one in sheet.known)
    part = replace(
        sheet,
        outline=tuple(_rings(sheet.outline, axis, span)),
        openings=tuple((name, ring) for name, ring in openings if ring),
        known=tuple(one for one in known if isinstance(one, Member)),
    )
    if not part.outline:
        return Part(part, own)
    corners = extent(part)
    behind = (one for one in members if isinstance(one, Member) and _is_behind(one, corners))
    part = replace(part, members=tuple(behind))
    # Lines of the other axis end where the part does, if it still reaches them.
    low, high = (corner[axis] for corner in corners)
    sides = tuple(corner[1 - axis] for corner in corners)
    before = tuple(
        replace(one, start=_put(one.start, axis, low), end=_put(one.end, axis, high))
        for one in sheet.matches
        if one.start[1 - axis] in sides
    )
    lines = _matches(entire, part, axis, spans, number, named)
    return Part(replace(part, matches=(*before, *lines)), own)


def _is_behind(member: Member, corners: tuple[Point, Point]) -> bool:
    """Whether a member lies behind the box of a part, at least along an edge of it."""
    return all(
        min(member.start[k], member.end[k]) <= corners[1][k]
        and max(member.start[k], member.end[k]) >= corners[0][k]
        for k in (0, 1)
    )


def _put(point: Point, axis: int, at: int) -> Point:
    """The point with one of its coordinates at a place."""
    return _point(axis, at, point[1 - axis])


def _matches(
    entire: Sheet, part: Sheet, axis: int, spans: list[tuple[int, int]], number: int, named: int
) -> tuple[Match, ...]:
    """The match lines at the ends of a part that reach them, lettered from the low end on."""
    origin, span = extent(entire)[0][axis], spans[number]
    corners = extent(part)
    low, high = (corner[1 - axis] for corner in corners)
    ends = [(span[0], number - 1)] if number else []
    ends += [(span[1], number)] if number < len(spans) - 1 else []
    ends = [one for one in ends if one[0] in (corners[0][axis], corners[1][axis])]
    return tuple(
        Match(
            _point(axis, at, low),
            _point(axis, at, high),
            f"match {_letters(named + letter)}, {station_text(at - origin, part.unit)}",
        )
        for at, letter in ends
    )


def _letters(number: int) -> str:
    """A to Z, then AA, AB and so on."""
    more, last = divmod(number, 26)
    return (_letters(more - 1) if more else "") + chr(ord("A") + last)


def _point(axis: int, along: int, across: int) -> Point:
    return (along, across) if axis == 0 else (across, along)


def _rings(rings: Iterable[Ring], axis: int, span: tuple[int, int]) -> Iterator[Ring]:
    for ring in rings:
        kept = cut(ring, axis, span)
        if kept:
            yield kept


def _marks(layer: DrawnLayer, axis: int, span: tuple[int, int]) -> Iterator[Mark]:
    """The marks as far as they lie in the length; measures only where they do wholly."""
    for mark in layer.marks:
        if isinstance(mark, DrawnPiece | Behind):
            rings = tuple(_rings(mark.rings, axis, span))
            if rings:
                yield replace(mark, rings=rings)
        elif isinstance(mark, Callout):
            if span[0] <= mark.at[axis] <= span[1]:
                yield replace(mark, ring=cut(mark.ring, axis, span) or mark.ring)
        elif isinstance(mark, Dimension):
            if all(span[0] <= point[axis] <= span[1] for point in (mark.start, mark.end)):
                yield mark
        else:
            kept = _line(mark, axis, span)
            if kept is not None and not isinstance(kept, Member):
                yield kept


def _line(
    mark: Joint | Lap | Standing | CentreLine | Course | Member, axis: int, span: tuple[int, int]
) -> Joint | Lap | Standing | CentreLine | Course | Member | None:
    """A mark along a straight line, as much of it as lies in the length."""
    start, end = (mark.at, mark.end) if isinstance(mark, Course) else (mark.start, mark.end)
    ends = _clipped(start, end, axis, span)
    if ends is None:
        return None
    if isinstance(mark, Course):
        return _shorter(mark, ends, axis, span)
    return replace(mark, start=ends[0], end=ends[1])


def _shorter(course: Course, ends: tuple[Point, Point], axis: int, span: tuple[int, int]) -> Course:
    """What of a course lies in the length, as wide as it is there, with the marks on its walls."""
    marks = tuple(mark for mark in course.marks if span[0] <= mark.at[axis] <= span[1])
    tapered = course.tapered
    if tapered is not None and course.at[axis] != course.end[axis]:
        stations = (course.at[axis], course.end[axis])
        tapered = Tapered(
            _valued(tapered.lines, stations, ends, axis),
            _valued(tapered.widths, stations, ends, axis),
        )
    return replace(course, at=ends[0], end=ends[1], tapered=tapered, marks=marks)


def _valued(
    values: tuple[int, int], stations: tuple[int, int], ends: tuple[Point, Point], axis: int
) -> tuple[int, int]:
    """Two values that change evenly between two stations, at both ends of a part between them."""
    (a, b), (start, end) = values, stations
    low, high = (whole(a + Fraction((b - a) * (at[axis] - start), end - start)) for at in ends)
    return low, high


def _clipped(
    start: Point, end: Point, axis: int, span: tuple[int, int]
) -> tuple[Point, Point] | None:
    a, b = start[axis], end[axis]
    low, high = max(min(a, b), span[0]), min(max(a, b), span[1])
    if low > high or (low == high and a != b):
        return None
    if a == b:
        return start, end
    low, high = (low, high) if a < b else (high, low)
    return _between(start, end, axis, low), _between(start, end, axis, high)


def _between(start: Point, end: Point, axis: int, at: int) -> Point:
    """The point of a line at a station along the axis."""
    share = Fraction(at - start[axis], end[axis] - start[axis])
    across = whole(start[1 - axis] + share * (end[1 - axis] - start[1 - axis]))
    return _point(axis, at, across)


def cut(ring: Ring, axis: int, span: tuple[int, int]) -> Ring:
    """The part of a ring in the length; its new edges lie along the ends. Empty where none is."""
    kept = _half(_half(ring, axis, span[0], 1), axis, span[1], -1)
    places = {point[axis] for point in kept}
    return kept if len(places) > 1 else ()


def _half(ring: Ring, axis: int, at: int, way: int) -> Ring:
    """What lies on one side of a line across the axis."""
    found: list[Point] = []
    for start, end in zip(ring, ring[1:] + ring[:1], strict=True):
        is_in, next_is_in = (way * (point[axis] - at) >= 0 for point in (start, end))
        if is_in:
            found.append(start)
        if is_in != next_is_in and at not in (start[axis], end[axis]):
            found.append(_between(start, end, axis, at))
    return tuple(found)
