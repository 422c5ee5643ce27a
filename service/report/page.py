"""One page of a drawing: one surface with one of its layers, on letter paper."""

from __future__ import annotations

from typing import Final

from service.products.drawing import Course, DrawnLayer, Member, Ring, Sheet, station_text
from service.report.hatch import crossed, within
from service.report.ink import Spot, group, line, shape, written
from service.report.labels import LINE, Choice, Label, Stroke, Word, stacked, width_of, wrapped
from service.report.marks import Drawn, drawn_marks, past
from service.report.measures import measure_labels, rows_for
from service.report.placing import Placer
from service.report.rail_labels import is_thinned, rail_ink, rail_labels
from service.report.rails import Side, lie_of, rails_of
from service.report.sheet_layout import EDGE, HIGH, WIDE, Around, Layout, View, page_layout
from service.report.title_strip import Title, legend_ink, strip_ink, strip_labels

MOST_NOTES: Final = 4
_MORE: Final = "More notes stand in the answer."
_OPENING_RANK = 14
_MEMBER_RANK = 40
_STROKES: Final = 'stroke="#000" fill="none"'


def page(sheet: Sheet, layer: DrawnLayer | None, number: int, pages: int) -> str:
    """The SVG of page `number` (from 1) of `pages`; it begins `number - 1` pages down."""
    notes = _note_lines(layer)
    layout = page_layout(
        sheet,
        rails_of(sheet, layer),
        Around(_loose_room(layer), rows_for(sheet)),
        _head(notes),
        (number - 1) * HIGH,
    )
    marks = drawn_marks(layer.marks if layer else (), layout)
    kept = tuple(stroke for drawn in marks.values() for stroke in drawn.kept)
    placer = Placer((*layout.paper[:3], layout.strip[1]), _walls(sheet, layout), kept)
    placed = placer.place(_labels(sheet, layout, marks) + _note_labels(notes, layout))
    crowded = bool(placer.left_out) or is_thinned(layout) or any(m.short for m in marks.values())
    title = Title(number, pages, _layer_number(sheet, layer), crowded)
    placed += Placer(layout.strip).place(strip_labels(sheet, layer, layout, title))
    return "".join(
        (
            group("border", _STROKES, strip_ink(layout) + legend_ink(sheet, layer, layout)),
            _surface_ink(sheet, layout, marks),
            group("rails", _STROKES, rail_ink(layout)),
            group("leads", _STROKES, (part for choice in placed for part in choice.ink)),
            group("words", "", (written(word) for choice in placed for word in choice.words)),
        )
    )


def _layer_number(sheet: Sheet, layer: DrawnLayer | None) -> int:
    return sheet.layers.index(layer) + 1 if layer in sheet.layers else 0


def _note_lines(layer: DrawnLayer | None) -> list[str]:
    """Notes in lines across the page; the last line tells when there are more."""
    room = WIDE - 2 * EDGE - 6.0
    lines = [text for note in (layer.notes if layer else ()) for text in wrapped(note, room)]
    return lines if len(lines) <= MOST_NOTES else [*lines[: MOST_NOTES - 1], _MORE]


def _head(notes: list[str]) -> float:
    return LINE * len(notes) + 2.5 if notes else 1.0


def _note_labels(notes: list[str], layout: Layout) -> list[Label]:
    left, top = layout.paper[0] + 3.0, layout.paper[1] + 1.4
    words = [Word(text, left, top + LINE * (k + 1) - 0.9, "start") for k, text in enumerate(notes)]
    return [Label(0, (Choice((word,)),)) for word in words]


def _loose_room(layer: DrawnLayer | None) -> dict[Side, float]:
    """Paper round the surface for texts past the ends of oblique courses, mm."""
    courses = [mark for mark in (layer.marks if layer else ()) if isinstance(mark, Course)]
    loose = [course for course in courses if lie_of(course.at, course.end) == "oblique"]
    if not loose:
        return {}
    longest = max(width_of(f"{course.number}: {course.near_text}") for course in loose)
    return {"left": longest, "right": longest, "top": LINE, "bottom": LINE}


def _walls(sheet: Sheet, layout: Layout) -> tuple[Stroke, ...]:
    """Edges of the outline and of openings, on paper."""
    walls: list[Stroke] = []
    for ring in (*sheet.outline, *(ring for _, ring in sheet.openings)):
        spots = [layout.view.spot(point) for point in ring]
        walls += zip(spots, spots[1:] + spots[:1], strict=True)
    return tuple(walls)


def _labels(sheet: Sheet, layout: Layout, marks: dict[type, Drawn]) -> list[Label]:
    labels = rail_labels(layout) + measure_labels(sheet, layout)
    for drawn in marks.values():
        labels += drawn.labels
    labels += [_opening_label(sheet, name, ring, layout) for name, ring in sheet.openings]
    loose = [member for member in sheet.members if lie_of(member.start, member.end) == "oblique"]
    return labels + [_member_label(member, layout) for member in loose]


def _member_label(member: Member, layout: Layout) -> Label:
    start, end = layout.view.spot(member.start), layout.view.spot(member.end)
    return Label(_MEMBER_RANK, past(start, end, (member.label,), layout.drawn))


def _opening_label(sheet: Sheet, name: str, ring: Ring, layout: Layout) -> Label:
    """Name, size and lowest corner inside the opening; or less of it; or beside it."""
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    sizes = [station_text(max(values) - min(values), sheet.unit) for values in (xs, ys)]
    corner = layout.view.spot((min(xs), min(ys)))
    wide, high = layout.view.length(max(xs) - min(xs)), layout.view.length(max(ys) - min(ys))
    x, y = corner[0] + wide / 2, corner[1] - high / 2
    size = f"{sizes[0]} x {sizes[1]}"
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


def _surface_ink(sheet: Sheet, layout: Layout, marks: dict[type, Drawn]) -> str:
    """Marks, openings and members from the lowest up, the outline over them."""
    view = layout.view
    under = [drawn.ink for drawn in marks.values() if not drawn.over]
    over = [drawn.ink for drawn in marks.values() if drawn.over]
    dashes = 'stroke="#000" stroke-width="0.18" stroke-dasharray="4 0.8 0.5 0.8"'
    outline = [shape(_on_paper(sheet.outline, view))]
    return "".join(
        (
            *under,
            _openings_ink(sheet, layout),
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


def _openings_ink(sheet: Sheet, layout: Layout) -> str:
    hatching, edges = [], []
    for _, ring in sheet.openings:
        spots = [layout.view.spot(point) for point in ring]
        hatching += crossed(spots, 2.4, "")
        edges.append(shape([spots]))
    return group("hatching", f'{_STROKES} stroke-width="0.1"', hatching) + group(
        "openings", f'{_STROKES} stroke-width="0.5"', edges
    )
