"""Match lines on paper, at which a part of a surface is cut off: heavy chain lines, and names."""

from __future__ import annotations

from typing import Final

from service.products.drawing import Match, Sheet
from service.report.drawing.drawn import Drawn
from service.report.drawing.ink import group, line, rectangle, window
from service.report.drawing.labels import (
    DESCENT,
    LINE,
    SIZE,
    Anchor,
    Choice,
    Label,
    Word,
)
from service.report.drawing.match_lines import Part
from service.report.drawing.rail import Side
from service.report.drawing.sheet_layout import Layout, extent
from service.report.drawing.surface_ink import surface_ink

_MATCH_RANK = 8
MATCH_ROOM: Final = LINE + 0.8
"""Paper for the texts of match lines, over or under a part, mm."""

_STROKES: Final = 'stroke="#000" fill="none"'


def side_of(match: Match, sheet: Sheet) -> Side:
    """Where its text stands: under a level line at the foot of a part, over all others."""
    low, high = extent(sheet)
    is_foot = match.start[1] == match.end[1] and match.start[1] - low[1] < high[1] - match.start[1]
    return "bottom" if is_foot else "top"


def match_label(match: Match, sheet: Sheet, layout: Layout) -> Label:
    """At an upright match line, towards the drawing; at the middle of a level one."""
    (x, _), (left, top, right, bottom) = layout.view.spot(match.start), layout.drawn
    anchor: Anchor = "start" if x - left < right - x else "end"
    if match.start[1] == match.end[1]:
        x, anchor = (left + right) / 2, "middle"
    base = top - layout.beyond["top"] + LINE - DESCENT * SIZE
    if side_of(match, sheet) == "bottom":
        base = bottom + layout.beyond["bottom"] - DESCENT * SIZE - 0.4
    return Label(_MATCH_RANK, (Choice((Word(match.text, x, base, anchor),)),))


def part_ink(part: Part, layout: Layout, marks: dict[type, Drawn]) -> str:
    """The surface, cut off at its match lines where it has some."""
    ink = surface_ink(part.sheet, layout.view, marks)
    if not part.sheet.matches:
        return ink
    return window(_shown(part, layout), ink) + group(
        "matches", _STROKES, [_match_ink(match, layout) for match in part.sheet.matches]
    )


def _shown(part: Part, layout: Layout) -> tuple[float, float, float, float]:
    """What of the page a part may put ink on: its box with a rim, but not past a match line."""
    left, top, right, bottom = layout.drawn
    rim = {"left": left - 1, "top": top - 1, "right": right + 1, "bottom": bottom + 1}
    for match in part.sheet.matches:
        x, y = layout.view.spot(match.start)
        if match.start[0] == match.end[0]:
            rim["left" if x - left < right - x else "right"] = x
        else:
            rim["top" if y - top < bottom - y else "bottom"] = y
    return rim["left"], rim["top"], rim["right"], rim["bottom"]


def _match_ink(match: Match, layout: Layout) -> str:
    """A heavy chain line that reaches past the surface, on white."""
    (x0, y0), (x1, y1) = layout.view.spot(match.start), layout.view.spot(match.end)
    reach = (0.0, 2.2) if x0 == x1 else (2.2, 0.0)
    start = min(x0, x1) - reach[0], min(y0, y1) - reach[1]
    end = max(x0, x1) + reach[0], max(y0, y1) + reach[1]
    white = rectangle(
        start[0] - 0.5, start[1] - 0.5, end[0] - start[0] + 1.0, end[1] - start[1] + 1.0,
        'fill="#fff" stroke="none"',
    )  # fmt: skip
    return white + line(start, end, 'stroke-width="0.6" stroke-dasharray="5 1 1 1 1 1"')
