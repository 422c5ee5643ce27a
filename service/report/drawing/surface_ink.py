"""A surface on paper: its marks, openings, members and outline, and the labels they carry."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from service.products.drawing import Member, Ring, Sheet, station_text
from service.report.drawing.drawn import Drawn
from service.report.drawing.hatch import crossed, within
from service.report.drawing.ink import Spot, group, line, shape
from service.report.drawing.labels import LINE, Label, Stroke, stacked, width_of
from service.report.drawing.marks import past
from service.report.drawing.rails import lie_of
from service.report.drawing.sheet_layout import Layout, View

_OPENING_RANK = 14
_MEMBER_RANK = 40
BACKING_LOOK: Final = 'stroke-width="0.6" stroke-dasharray="2.4 0.9"'
"""The stroke of a line of backing."""

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
    return [_member_label(member, layout) for member in loose]


def _member_label(member: Member, layout: Layout) -> Label:
    start, end = layout.view.spot(member.start), layout.view.spot(member.end)
    return Label(_MEMBER_RANK, past(start, end, (member.label,), layout.drawn))


def opening_labels(entire: Sheet, sheet: Sheet, view: View) -> list[Label]:
    """Name and size of each opening that is drawn; the sizes are those of the `entire` surface."""
    sizes = {name: _size_of(ring, entire.unit) for name, ring in entire.openings}
    return [_opening_label(name, sizes[name], ring, view) for name, ring in sheet.openings]


def _size_of(ring: Ring, unit: str) -> str:
    sides = [[point[k] for point in ring] for k in (0, 1)]
    return " x ".join(station_text(max(places) - min(places), unit) for places in sides)


def _opening_label(name: str, size: str, ring: Ring, view: View) -> Label:
    """Name and size inside the opening; or less of it; or beside it."""
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    corner = view.spot((min(xs), min(ys)))
    wide, high = view.length(max(xs) - min(xs)), view.length(max(ys) - min(ys))
    x, y = corner[0] + wide / 2, corner[1] - high / 2
    inside = [texts for texts in ((name, size), (name,)) if _fits(texts, wide, high)]
    beside = (
        stacked((name,), corner[0] + wide + 1.2, y, "start"),
        stacked((name,), corner[0] - 1.2, y, "end"),
        stacked((name,), x, corner[1] - high - LINE / 2),
        stacked((name,), x, corner[1] + LINE / 2),
    )
    return Label(_OPENING_RANK, (*(stacked(texts, x, y) for texts in inside), *beside))


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
            group("backing", f"{_STROKES} {BACKING_LOOK}", _backing_ink(sheet, view)),
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


def _backing_ink(sheet: Sheet, view: View) -> list[str]:
    """The lines of nailers, headers and blocks that must stand behind."""
    return [line(view.spot(one.start), view.spot(one.end)) for one in sheet.backing]


def _openings_ink(sheet: Sheet, view: View) -> str:
    hatching, edges = [], []
    for _, ring in sheet.openings:
        spots = [view.spot(point) for point in ring]
        hatching += crossed(spots, 2.4, "")
        edges.append(shape([spots]))
    return group("hatching", f'{_STROKES} stroke-width="0.1"', hatching) + group(
        "openings", f'{_STROKES} stroke-width="0.5"', edges
    )
