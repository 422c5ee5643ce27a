"""Rails of all marks and members of a page: what stands on which side, and in which order."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any, Final

from service.products.drawing import (
    CentreLine,
    Course,
    DrawnLayer,
    Joint,
    Lie,
    Member,
    Point,
    Sheet,
    Standing,
)
from service.report.drawing.course_rails import course_rails
from service.report.drawing.labels import SIZE, width_of
from service.report.drawing.rail import Rail, Side, Tick, lie_of

_LEAST: Final = (140.0, 100.0)
"""What a drawing fills of its page in one way or the other, mm, whatever stands around it."""


def _joint_rails(joints: list[Joint], sheet: Sheet) -> list[Rail]:
    """Every joint station once: below the drawing, or at the left where boards stand upright."""
    return _station_rails("joints", joints, sheet, stroke=0.6)


def _standing_rails(marks: list[Standing], sheet: Sheet) -> list[Rail]:
    """How far up or in each nailer, header and block stands, once."""
    return _station_rails("backing", [one for one in marks if one.station_text], sheet, stroke=0.3)


def _centre_rails(marks: list[CentreLine], sheet: Sheet) -> list[Rail]:
    """How far up or in each beam lies, by its centre line, with its number."""
    return _station_rails("beams", marks, sheet, stroke=0.3)


def _station_rails(
    title: str, marks: Sequence[Joint | Standing | CentreLine], sheet: Sheet, *, stroke: float
) -> list[Rail]:
    """Where lines lie, each station once: those that stand below, those that lie at the left."""
    rails = []
    for lie, side in _SIDES:
        chosen = [one for one in marks if lie_of(one.start, one.end) == lie]
        ticks = _once(((mark.start, mark.station_text) for mark in chosen), lie)
        if ticks:
            rows = _rows_for(ticks, sheet) if side == "bottom" else 1
            rails.append(Rail(side, title, ticks, False, "joint", 24, stroke=stroke, rows=rows))
    return rails


def _rows_for(ticks: tuple[Tick, ...], sheet: Sheet) -> int:
    """So many that each station finds room, were the drawing no wider than `_LEAST`; at most 3."""
    corners = [corner for ring in sheet.outline for corner in ring]
    wide, high = (max(c[k] for c in corners) - min(c[k] for c in corners) for k in (0, 1))
    scale = min(_LEAST[0] / wide, _LEAST[1] / high)
    ends: list[float] = []
    for tick in ticks:
        half = (width_of(tick.text) + 0.4 * SIZE) / 2
        middle = tick.at[0] * scale
        row = next((k for k, end in enumerate(ends) if end <= middle - half), len(ends))
        ends[row : row + 1] = [middle + half]
    return min(3, len(ends))


def _member_rails(members: Iterable[Member], support: str) -> list[Rail]:
    rails = []
    for lie, side in _SIDES:
        chosen = [member for member in members if lie_of(member.start, member.end) == lie]
        ticks = _once(((member.start, member.label) for member in chosen), lie)
        if ticks:
            rails.append(Rail(side, f"{support}s", ticks, True, "member", 26, stroke=0.15))
    return rails


_SIDES: Final[tuple[tuple[Lie, Side], ...]] = (("upright", "bottom"), ("level", "left"))


def _once(places: Iterable[tuple[Point, str]], lie: Lie) -> tuple[Tick, ...]:
    """Each text once, in order along the side."""
    first: dict[str, Point] = {}
    axis = 0 if lie == "upright" else 1
    for at, text in sorted(places, key=lambda place: place[0][axis]):
        first.setdefault(text, at)
    return tuple(Tick(at, text, k) for k, (text, at) in enumerate(first.items()))


_READERS: Final[tuple[tuple[type, Callable[[list[Any], Sheet], list[Rail]]], ...]] = (
    (Course, course_rails),
    (Joint, _joint_rails),
    (Standing, _standing_rails),
    (CentreLine, _centre_rails),
)
"""What is read off which marks, the rail nearest to the drawing first."""


def rails_of(sheet: Sheet, layer: DrawnLayer | None) -> tuple[Rail, ...]:
    """All rails of one page, those of one side from the drawing outward."""
    rails: list[Rail] = []
    marks = layer.marks if layer else ()
    for kind, read in _READERS:
        chosen = [mark for mark in marks if isinstance(mark, kind)]
        rails += read(chosen, sheet)
    return tuple(rails + _member_rails(sheet.members, sheet.support))
