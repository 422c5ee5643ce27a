"""One page of a drawing: one surface with one of its layers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from service.products.drawing import DrawnLayer, Sheet
from service.report.drawing.drawn import Drawn
from service.report.drawing.ink import group, written
from service.report.drawing.labels import (
    LINE,
    Box,
    Choice,
    Label,
    Word,
    wrapped,
)
from service.report.drawing.listed import Listed, listed_rows
from service.report.drawing.marks import drawn_marks
from service.report.drawing.match_ink import MATCH_ROOM, match_label, part_ink, side_of
from service.report.drawing.match_lines import MOST, Part, axis_of, broken
from service.report.drawing.measures import known_labels, measure_labels, rows_for
from service.report.drawing.placing import Placer
from service.report.drawing.rail import Side
from service.report.drawing.rail_labels import is_thinned, rail_ink, rail_labels
from service.report.drawing.rails import rails_of
from service.report.drawing.sheet_layout import (
    Around,
    Drawing,
    Frame,
    Layout,
    frame,
    layouts,
)
from service.report.drawing.surface_ink import member_labels, opening_labels, walls
from service.report.drawing.title_strip import (
    CROWDED,
    THINNED,
    Title,
    legend_ink,
    strip_ink,
    strip_labels,
)

MOST_NOTES: Final = 4
_MORE: Final = "More notes stand in the answer."
_TRIES: Final = 4
_GAIN: Final = 1.25
"""A surface is broken into one more length only where it is then drawn so much larger."""

_STROKES: Final = 'stroke="#000" fill="none"'


@dataclass(frozen=True, slots=True)
class Page:
    """A surface, or parts of it, laid out on a page, with the labels that found room.

    `listed` is what stands in rows over the drawing, since it found none in it; `place` says
    which parts they are. `larger` tells that pages with parts of it follow.
    """

    sheet: Sheet
    layer: DrawnLayer | None
    number: int
    parts: tuple[Part, ...]
    laid: tuple[Layout, ...]
    marks: tuple[dict[type, Drawn], ...]
    placed: tuple[Choice, ...]
    listed: tuple[str, ...]
    missing: str
    place: str = ""
    larger: bool = False

    @property
    def scale(self) -> int:
        """1 mm of it stands for so many."""
        return self.laid[0].view.scale

    def svg(self, pages: int) -> str:
        """What it adds to a document of so many pages."""
        own = frame(self.sheet.paper, self.number)
        title = Title(self.number, pages, self.scale, self.missing, self.place, self.larger)
        strip = strip_labels(self.sheet, self.layer, own, title)
        placed = [*self.placed, *Placer(own.strip).place(strip)]
        border = strip_ink(own) + legend_ink(self.sheet, self.layer, own)
        rails = (part for layout in self.laid for part in rail_ink(layout))
        return "".join(
            (
                group("border", _STROKES, border),
                *map(part_ink, self.parts, self.laid, self.marks),
                group("rails", _STROKES, rails),
                group("leads", _STROKES, (part for choice in placed for part in choice.ink)),
                group("words", "", (written(word) for choice in placed for word in choice.words)),
            )
        )


def page(sheet: Sheet, layer: DrawnLayer | None, number: int, pages: int) -> str:
    """The SVG of page `number` (from 1) of `pages`; it begins `number - 1` pages down."""
    return made(sheet, layer, number).svg(pages)


def made(
    sheet: Sheet,
    layer: DrawnLayer | None,
    number: int,
    parts: tuple[Part, ...] = (),
    place: str = "",
    least: int = 1,
) -> Page:
    """The whole surface on a page, or some `parts` of it at a scale of 1 : `least` or smaller.

    Laid out anew for as long as something more finds no room in the drawing and is listed.
    """
    found = _laid_out(sheet, layer, number, parts, (), least)
    for _ in range(_TRIES):
        more = _laid_out(sheet, layer, number, parts, found.listed, least)
        if more.listed == found.listed:
            break
        found = more
    return replace(more, place=place)


def _laid_out(
    sheet: Sheet,
    layer: DrawnLayer | None,
    number: int,
    chosen: tuple[Part, ...],
    listed: tuple[str, ...],
    least: int,
) -> Page:
    own = frame(sheet.paper, number)
    across = own.wide - 6.0
    notes, rows = _note_lines(layer, across), listed_rows(listed, across)
    low, top, right, bottom = own.open
    room = (low, top + _head(len(notes) + len(rows)), right, bottom)
    if chosen:
        parts, laid = chosen, layouts(_drawings(chosen), room, is_stacked(sheet), least)
    else:
        parts, laid = _best(sheet, layer, room)
    marks = tuple(
        drawn_marks(part.layer.marks if part.layer else (), layout)
        for part, layout in zip(parts, laid, strict=True)
    )
    placer = _placer(parts, laid, marks, own)
    known = frozenset(listed)
    every = _labels(sheet, parts, laid, marks, known)
    labels = [left for one in every if (left := _still_to_write(one, known)) is not None]
    placed = tuple(placer.place(labels + _note_labels(notes, rows, own)))
    crowded = placer.left_out > len(placer.to_list) or _is_short(marks)
    return Page(
        sheet=sheet,
        layer=layer,
        number=number,
        parts=parts,
        laid=laid,
        marks=marks,
        placed=placed,
        listed=tuple(dict.fromkeys((*listed, *placer.to_list))),
        missing=CROWDED if crowded else THINNED if any(map(is_thinned, laid)) else "",
    )


def _still_to_write(label: Label, listed: frozenset[str]) -> Label | None:
    """A label as it is; of one that is listed what says a part of it, None where nothing does."""
    if label.listed not in listed:
        return label
    partly = tuple(one for one in label.choices if one.partly)
    return Label(label.rank, partly) if partly else None


def is_stacked(sheet: Sheet) -> bool:
    """Whether parts of a surface stand one under the other: they do unless it is long upright."""
    return axis_of(sheet) != 1


def _best(
    sheet: Sheet, layer: DrawnLayer | None, room: Box
) -> tuple[tuple[Part, ...], tuple[Layout, ...]]:
    """The surface in one piece, or in lengths where it is then drawn clearly larger."""
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
    return [drawing_of(part) for part in parts]


def drawing_of(part: Part) -> Drawing:
    """A part with what stands round it."""
    rails = rails_of(part.sheet, part.layer)
    return Drawing(part.sheet, rails, Around(_loose_room(part), rows_for(part.sheet)))


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


def _is_short(marks: Sequence[dict[type, Drawn]]) -> bool:
    """Whether labels of marks were left out for want of room."""
    return any(drawn.short for found in marks for drawn in found.values())


def _note_lines(layer: DrawnLayer | None, room: float) -> list[str]:
    """Notes in lines so long (mm); the last line tells when there are more."""
    lines = [text for note in (layer.notes if layer else ()) for text in wrapped(note, room)]
    return lines if len(lines) <= MOST_NOTES else [*lines[: MOST_NOTES - 1], _MORE]


def _head(rows: int) -> float:
    return LINE * rows + 2.5 if rows else 1.0


def _note_labels(notes: list[str], listed: list[tuple[Listed, ...]], own: Frame) -> list[Label]:
    """The notes, and under them what is listed, in rows."""
    left, top = own.paper[0] + 3.0, own.paper[1] + 1.4
    texts = [(0.0, text, k) for k, text in enumerate(notes)]
    texts += [(one.x, one.text, len(notes) + k) for k, row in enumerate(listed) for one in row]
    words = [Word(text, left + x, top + LINE * (k + 1) - 0.9, "start") for x, text, k in texts]
    return [Label(0, (Choice((word,)),)) for word in words]


def _loose_room(part: Part) -> dict[Side, float]:
    """Paper over and under the surface for the texts of match lines, mm."""
    return {side_of(match, part.sheet): MATCH_ROOM for match in part.sheet.matches}


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
        labels += known_labels(part.sheet, layout)
        labels += [label for drawn in found.values() for label in drawn.labels]
        labels += opening_labels(sheet, part.sheet, layout.view, listed)
        labels += member_labels(part.sheet, layout)
        labels += [match_label(match, part.sheet, layout) for match in part.sheet.matches]
    return labels
