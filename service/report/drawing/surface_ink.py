"""A surface on paper: its marks, openings, members and outline, and the labels they carry."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot
from typing import Final

from service.products.drawing import Member, Point, Ring, Sheet, station_text
from service.report.drawing.drawn import Drawn
from service.report.drawing.hatch import crossed, within
from service.report.drawing.ink import Spot, group, line, shape
from service.report.drawing.labels import (
    LINE,
    Box,
    Choice,
    Label,
    Stroke,
    stacked,
    width_of,
)
from service.report.drawing.marks import past
from service.report.drawing.rail import lie_of
from service.report.drawing.sheet_layout import Layout, View, extent
from service.units.ticks import SIXTY_FOURTH

_OPENING_RANK = 14
_MEMBER_RANK = 40
_ROUND: Final = 16

_STROKES: Final = 'stroke="#000" fill="none"'


def walls(sheet: Sheet, view: View) -> tuple[Stroke, ...]:
    """Edges of the outline and of openings, on paper: labels keep off them."""
    found: list[Stroke] = []
    for ring in (*sheet.outline, *(ring for _, ring in sheet.openings)):
        spots = [view.spot(point) for point in ring]
        found += zip(spots, spots[1:] + spots[:1], strict=True)
    return tuple(found)


def member_labels(sheet: Sheet, layout: Layout) -> list[Label]:
    """Stations past the ends of members that stand oblique; rails write those of all others."""
    loose = [member for member in sheet.members if lie_of(member.start, member.end) == "oblique"]
    return [_member_label(member, layout) for member in loose if member.label]


def _member_label(member: Member, layout: Layout) -> Label:
    start, end = layout.view.spot(member.start), layout.view.spot(member.end)
    return Label(_MEMBER_RANK, past(start, end, (member.label,), layout.drawn))


def opening_labels(entire: Sheet, sheet: Sheet, view: View, listed: frozenset[str]) -> list[Label]:
    """Name, size and place of each opening that is drawn, as they are on the `entire` surface.

    Of those that are `listed` beside the drawing only the name stands here.
    """
    texts = {name: _said_of(name, ring, entire) for name, ring in entire.openings}
    (left, foot), (right, top) = (view.spot(corner) for corner in extent(sheet))
    box = (left, top, right, foot)
    return [_opening_label(texts[name], ring, view, box, listed) for name, ring in sheet.openings]


def _said_of(name: str, ring: Ring, sheet: Sheet) -> tuple[str, ...]:
    """Name, size, and how far it lies from the left and from the bottom of the surface."""
    (left, bottom), _ = extent(sheet)
    low, high = _box(ring)
    middle = (low[0] + high[0]) // 2, (low[1] + high[1]) // 2
    if _is_round(ring, middle):
        x, y = (station_text(at, sheet.unit) for at in (middle[0] - left, middle[1] - bottom))
        size = f"{station_text(high[0] - low[0], sheet.unit)} round"
        return name, size, f"centre {x} from left", f"{y} from bottom"
    x, y = (station_text(at, sheet.unit) for at in (low[0] - left, low[1] - bottom))
    wide, deep = (station_text(high[k] - low[k], sheet.unit) for k in (0, 1))
    return name, f"{wide} x {deep}", f"{x} from left", f"{y} from bottom"


def _box(ring: Ring) -> tuple[Point, Point]:
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    return (min(xs), min(ys)), (max(xs), max(ys))


def _is_round(ring: Ring, middle: Point) -> bool:
    """Whether all corners of an opening lie on one circle, and are as many as of a drawn one."""
    radii = [hypot(x - middle[0], y - middle[1]) for x, y in ring]
    return len(ring) >= _ROUND and max(radii) - min(radii) < SIXTY_FOURTH


def _opening_label(
    said: tuple[str, ...], ring: Ring, view: View, surface: Box, listed: frozenset[str]
) -> Label:
    """All inside the opening; or its name and size there, or beside it, and the rest listed.

    On the `surface` if it can: beyond the wall are the numbers of rails.
    """
    name, size, *_ = said
    in_full = f"{name}: {', '.join(said[1:])}"
    low, high = _box(ring)
    corner = view.spot(low)
    wide, deep = view.length(high[0] - low[0]), view.length(high[1] - low[1])
    x, y = corner[0] + wide / 2, corner[1] - deep / 2
    if in_full not in listed:
        fits = _fits(said, wide, deep)
        return Label(_OPENING_RANK, (stacked(said, x, y),) if fits else (), in_full)
    inside = [texts for texts in ((name, size), (name,)) if _fits(texts, wide, deep)]
    beside = (
        stacked((name,), corner[0] + wide + 1.2, y, "start"),
        stacked((name,), corner[0] - 1.2, y, "end"),
        stacked((name,), x, corner[1] - deep - LINE / 2 - 0.8),
        stacked((name,), x, corner[1] + LINE / 2 + 0.8),
    )
    choices = (*(stacked(texts, x, y) for texts in inside), *beside)
    return Label(_OPENING_RANK, tuple(sorted(choices, key=lambda one: _leaves(one, surface))))


def _leaves(choice: Choice, surface: Box) -> bool:
    """Whether some word of a choice reaches beyond the surface."""
    left, top, right, bottom = surface
    boxes = [word.box for word in choice.words]
    return any(x0 < left or y0 < top or x1 > right or y1 > bottom for x0, y0, x1, y1 in boxes)


def _fits(texts: tuple[str, ...], wide: float, high: float) -> bool:
    return max(map(width_of, texts)) <= wide - 1 and LINE * len(texts) <= high - 1


def surface_ink(sheet: Sheet, view: View, marks: Mapping[type, Drawn]) -> str:
    """Marks, openings and members from the lowest up, the outline over them."""
    under = [drawn.ink for drawn in marks.values() if not drawn.over]
    over = [drawn.ink for drawn in marks.values() if drawn.over]
    dashes = 'stroke="#000" stroke-width="0.18" stroke-dasharray="4 0.8 0.5 0.8"'
    outline = [shape(_on_paper(sheet.outline, view))]
    return "".join(
        (
            *under,
            _openings_ink(sheet, view),
            group("members", dashes, _members_ink(sheet, view)),
            *over,
            group("outline", f'{_STROKES} stroke-width="0.7" stroke-linejoin="miter"', outline),
        )
    )


def _on_paper(rings: tuple[Ring, ...], view: View) -> list[list[Spot]]:
    return [[view.spot(point) for point in ring] for ring in rings]


def _members_ink(sheet: Sheet, view: View) -> list[str]:
    """The centre lines as far as the surface reaches."""
    rings = _on_paper(sheet.outline, view)
    return [
        line(*part)
        for member in sheet.members
        for part in within(rings, view.spot(member.start), view.spot(member.end))
    ]


def _openings_ink(sheet: Sheet, view: View) -> str:
    hatching, edges = [], []
    for _, ring in sheet.openings:
        spots = [view.spot(point) for point in ring]
        hatching += crossed(spots, 2.4, "")
        edges.append(shape([spots]))
    return group("hatching", f'{_STROKES} stroke-width="0.1"', hatching) + group(
        "openings", f'{_STROKES} stroke-width="0.5"', edges
    )
