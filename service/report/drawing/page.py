"""One page of a drawing: one surface with one of its layers, on letter paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from service.products.drawing import DrawnLayer, Match, Sheet
from service.report.drawing.drawn import Drawn
from service.report.drawing.ink import group, line, rectangle, window, written
from service.report.drawing.labels import (
    DESCENT,
    LINE,
    MIDDLE,
    SIZE,
    Anchor,
    Choice,
    Label,
    Word,
    width_of,
    wrapped,
)
from service.report.drawing.listed import Listed, columns
from service.report.drawing.marks import drawn_marks
from service.report.drawing.match_lines import MOST, Part, axis_of, broken
from service.report.drawing.measures import measure_labels, rows_for
from service.report.drawing.placing import Placer
from service.report.drawing.rail_labels import is_thinned, rail_ink, rail_labels
from service.report.drawing.rails import Side, rails_of
from service.report.drawing.sheet_layout import (
    EDGE,
    HIGH,
    WIDE,
    Around,
    Drawing,
    Frame,
    Layout,
    frame,
    layouts,
)
from service.report.drawing.surface_ink import member_labels, opening_labels, surface_ink, walls
from service.report.drawing.title_strip import Title, legend_ink, strip_ink, strip_labels

MOST_NOTES: Final = 4
_MORE: Final = "More notes stand in the answer."
_MATCH_RANK = 8
_TRIES: Final = 4
_GAIN: Final = 1.25
"""A surface is broken into one more length only where it is then drawn so much larger."""

_STROKES: Final = 'stroke="#000" fill="none"'


@dataclass(frozen=True, slots=True)
class _Page:
    """A surface laid out on its page, with the labels that found room.

    `listed` is what stands in columns over the drawing, since it found none in it.
    """

    parts: tuple[Part, ...]
    laid: tuple[Layout, ...]
    marks: tuple[dict[type, Drawn], ...]
    placed: tuple[Choice, ...]
    listed: tuple[str, ...]
    crowded: bool


def page(sheet: Sheet, layer: DrawnLayer | None, number: int, pages: int) -> str:
    """The SVG of page `number` (from 1) of `pages`; it begins `number - 1` pages down."""
    own = frame((number - 1) * HIGH)
    made = _made(sheet, layer, own)
    title = Title(number, pages, made.laid[0].view.scale, made.crowded)
    placed = [*made.placed, *Placer(own.strip).place(strip_labels(sheet, layer, own, title))]
    surfaces = map(_part_ink, made.parts, made.laid, made.marks)
    return "".join(
        (
            group("border", _STROKES, strip_ink(own) + legend_ink(sheet, layer, own)),
            *surfaces,
            group("rails", _STROKES, (part for layout in made.laid for part in rail_ink(layout))),
            group("leads", _STROKES, (part for choice in placed for part in choice.ink)),
            group("words", "", (written(word) for choice in placed for word in choice.words)),
        )
    )


def _made(sheet: Sheet, layer: DrawnLayer | None, own: Frame) -> _Page:
    """Laid out anew for as long as something more finds no room in the drawing and is listed."""
    made = _laid_out(sheet, layer, own, ())
    for _ in range(_TRIES):
        more = _laid_out(sheet, layer, own, made.listed)
        if more.listed == made.listed:
            return more
        made = more
    return made


def _laid_out(sheet: Sheet, layer: DrawnLayer | None, own: Frame, listed: tuple[str, ...]) -> _Page:
    notes, rows = _note_lines(layer), columns(listed, WIDE - 2 * EDGE - 6.0)
    parts, laid = _best(sheet, layer, own, _head(len(notes) + len(rows)))
    marks = tuple(
        drawn_marks(part.layer.marks if part.layer else (), layout)
        for part, layout in zip(parts, laid, strict=True)
    )
    placer = _placer(parts, laid, marks, own)
    known = frozenset(listed)
    labels = [one for one in _labels(sheet, parts, laid, marks, known) if one.listed not in known]
    placed = placer.place(labels + _note_labels(notes, rows, own))
    crowded = placer.left_out > len(placer.to_list) or _is_short(laid, marks)
    every = tuple(dict.fromkeys((*listed, *placer.to_list)))
    return _Page(parts, laid, marks, tuple(placed), every, crowded)


def _best(
    sheet: Sheet, layer: DrawnLayer | None, own: Frame, head: float
) -> tuple[tuple[Part, ...], tuple[Layout, ...]]:
    """The surface in one piece, or in lengths where it is then drawn clearly larger."""
    left, top, right, bottom = own.open
    room = (left, top + head, right, bottom)
    axis = axis_of(sheet)
    parts: tuple[Part, ...] = (Part(sheet, layer),)
    best = parts, layouts(_drawings(parts), room, True)
    for count in range(2, MOST + 1 if axis is not None else 2):
        parts = broken(sheet, layer, axis or 0, count)
        laid = layouts(_drawings(parts), room, axis == 0)
        if laid[0].view.scale * _GAIN <= best[1][0].view.scale:
            best = parts, laid
    return best


def _drawings(parts: tuple[Part, ...]) -> list[Drawing]:
    return [
        Drawing(
            part.sheet,
            rails_of(part.sheet, part.layer),
            Around(_loose_room(part), rows_for(part.sheet)),
        )
        for part in parts
    ]


def _placer(
    parts: Sequence[Part], laid: Sequence[Layout], marks: Sequence[dict[type, Drawn]], own: Frame
) -> Placer:
    """Finds room for all labels of the page, off the edges and the marks of each length."""
    edges = [
        edge
        for part, layout in zip(parts, laid, strict=True)
        for edge in walls(part.sheet, layout.view)
    ]
    kept = [stroke for found in marks for drawn in found.values() for stroke in drawn.kept]
    return Placer(own.open, tuple(edges), tuple(kept))


def _is_short(laid: Sequence[Layout], marks: Sequence[dict[type, Drawn]]) -> bool:
    """Whether numbers of rails or labels of marks were left out for want of room."""
    return any(map(is_thinned, laid)) or any(
        drawn.short for found in marks for drawn in found.values()
    )


def _note_lines(layer: DrawnLayer | None) -> list[str]:
    """Notes in lines across the page; the last line tells when there are more."""
    room = WIDE - 2 * EDGE - 6.0
    lines = [text for note in (layer.notes if layer else ()) for text in wrapped(note, room)]
    return lines if len(lines) <= MOST_NOTES else [*lines[: MOST_NOTES - 1], _MORE]


def _head(rows: int) -> float:
    return LINE * rows + 2.5 if rows else 1.0


def _note_labels(notes: list[str], listed: list[tuple[Listed, ...]], own: Frame) -> list[Label]:
    """The notes, and under them what is listed, in columns."""
    left, top = own.paper[0] + 3.0, own.paper[1] + 1.4
    texts = [(0.0, text, k) for k, text in enumerate(notes)]
    texts += [(one.x, one.text, len(notes) + k) for k, row in enumerate(listed) for one in row]
    words = [Word(text, left + x, top + LINE * (k + 1) - 0.9, "start") for x, text, k in texts]
    return [Label(0, (Choice((word,)),)) for word in words]


def _loose_room(part: Part) -> dict[Side, float]:
    """Paper round the surface for the texts of match lines, mm."""
    room: dict[Side, float] = {}
    for match in part.sheet.matches:
        upright = match.start[0] == match.end[0]
        side: Side = "top" if upright else "right"
        room[side] = room.get(side, 0.0) + (LINE + 0.8 if upright else width_of(match.text) + 1.6)
    return room


def _labels(
    sheet: Sheet,
    parts: Sequence[Part],
    laid: Sequence[Layout],
    marks: Sequence[dict[type, Drawn]],
    listed: frozenset[str],
) -> list[Label]:
    labels: list[Label] = []
    for part, layout, found in zip(parts, laid, marks, strict=True):
        labels += rail_labels(layout) + measure_labels(part.sheet, layout)
        labels += [label for drawn in found.values() for label in drawn.labels]
        labels += opening_labels(sheet, part.sheet, layout.view, listed)
        labels += member_labels(part.sheet, layout)
        labels += [_match_label(match, layout) for match in part.sheet.matches]
    return labels


def _match_label(match: Match, layout: Layout) -> Label:
    """Over an upright match line, towards the drawing; beyond the right end of a level one."""
    (x, y), (left, top, right, _) = layout.view.spot(match.start), layout.drawn
    if match.start[0] == match.end[0]:
        anchor: Anchor = "start" if x - left < right - x else "end"
        base = top - layout.beyond["top"] + LINE - DESCENT * SIZE
        return Label(_MATCH_RANK, (Choice((Word(match.text, x, base, anchor),)),))
    out = right + layout.beyond["right"] - width_of(match.text)
    return Label(_MATCH_RANK, (Choice((Word(match.text, out, y + MIDDLE, "start"),)),))


def _part_ink(part: Part, layout: Layout, marks: dict[type, Drawn]) -> str:
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
