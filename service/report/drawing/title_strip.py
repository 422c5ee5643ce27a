"""The strip at the foot of a page: what is drawn, the legend, and how the page may be used."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from service.products.drawing import (
    Behind,
    DrawnLayer,
    DrawnPiece,
    Joint,
    Lap,
    Mark,
    Sheet,
    Standing,
    station_text,
)
from service.report.drawing.behind import behind_look
from service.report.drawing.hatch import crossed
from service.report.drawing.ink import Spot, line, rectangle, shape
from service.report.drawing.labels import LINE, SIZE, Choice, Label, Word, fitted, wrapped
from service.report.drawing.marks import LAP_LOOK, STANDING_LOOK
from service.report.drawing.measures import measured_line
from service.report.drawing.pieces import GONE_LOOK, NEW_LOOK, RIPPED, hatched
from service.report.drawing.sheet_layout import STRIP, Frame, extent

CAUTION: Final = "Do not scale; go by the figures."
CROWDED: Final = "Some labels left out; see the takeoff."
THINNED: Final = "Marks between: see the takeoff."
LARGER: Final = "In parts, and larger, on the next pages."
_LEFT = 78.0
_RIGHT = 82.0
_PAD = 2.0
_TITLE_SIZE = 5.0


@dataclass(frozen=True, slots=True)
class Title:
    """What the strip says of its page.

    `page` of `pages`, the `scale` that its drawing is in, and what is `missing` of its labels, in
    words; `place` says which parts of the surface it has, if not all. `larger` tells that
    the next pages have its parts.
    """

    page: int
    pages: int
    scale: int
    missing: str
    place: str = ""
    larger: bool = False


def strip_ink(frame: Frame) -> list[str]:
    """The border of the page, and the lines that divide the strip."""
    left, top, right, bottom = frame.paper
    high = frame.strip[1]
    heavy = 'fill="none" stroke-width="0.5"'
    return [
        rectangle(left, top, right - left, bottom - top, heavy),
        line((left, high), (right, high), 'stroke-width="0.5"'),
        line((left + _LEFT, high), (left + _LEFT, bottom), 'stroke-width="0.25"'),
        line((right - _RIGHT, high), (right - _RIGHT, bottom), 'stroke-width="0.25"'),
    ]


def strip_labels(sheet: Sheet, layer: DrawnLayer | None, frame: Frame, title: Title) -> list[Label]:
    """All words of the strip of a surface's page."""
    rows = (
        _surface_line(sheet, title),
        _layer_line(sheet, layer),
        title.place or _size_line(sheet),
    )
    words = title_words(frame, sheet.title, rows, _use_lines(sheet, title))
    words += [word for word, _ in _legend(sheet, layer, frame)]
    return [Label(0, (Choice((word,)),)) for word in words]


def title_words(
    frame: Frame, title: str, rows: tuple[str, ...], use: tuple[str, ...]
) -> list[Word]:
    """The title with up to three `rows` under it, and at the right up to five lines of `use`."""
    left, top = frame.strip[0] + _PAD, frame.strip[1]
    words = [Word(fitted(title, _LEFT - 2 * _PAD, _TITLE_SIZE), left, top + 6.0, "start",
                  _TITLE_SIZE)]  # fmt: skip
    words += _column(rows, left, top + 8.0, _LEFT)
    right = frame.strip[2] - _RIGHT + _PAD
    return words + _column(use, right, top + 0.7, _RIGHT)


def middle_words(frame: Frame, text: str) -> list[Word]:
    """A text in the middle of the strip, where pages of layers have their legend."""
    wide = frame.wide - _LEFT - _RIGHT
    rows = tuple(wrapped(text, wide - 2 * _PAD)[:4])
    top = frame.strip[1] + (STRIP - len(rows) * (LINE + 0.1)) / 2
    return _column(rows, frame.strip[0] + _LEFT + _PAD, top, wide)


def legend_ink(sheet: Sheet, layer: DrawnLayer | None, frame: Frame) -> list[str]:
    """The samples of the legend."""
    return [part for _, sample in _legend(sheet, layer, frame) for part in sample]


def _column(rows: tuple[str, ...], x: float, top: float, room: float) -> list[Word]:
    return [
        Word(fitted(row, room - 2 * _PAD), x, top + (LINE + 0.1) * (k + 1) - 0.9, "start")
        for k, row in enumerate(rows)
    ]


def _layer_line(sheet: Sheet, layer: DrawnLayer | None) -> str:
    """Which layer is drawn; one that is none of the sheet's shows all of them."""
    if layer is None:
        return "no layer"
    if layer == sheet.backing:
        return "what must stand behind it"
    if layer not in sheet.layers:
        return f"layers: {', '.join(one.layer for one in reversed(sheet.layers))}"
    kind = layer.kind.replace("_", " ")
    named = layer.layer if layer.layer in (kind, layer.kind) else f"{layer.layer} ({kind})"
    place = f", {sheet.layers.index(layer) + 1} of {len(sheet.layers)}"
    return f"layer: {named}{place if len(sheet.layers) > 1 else ''}"


def _surface_line(sheet: Sheet, title: Title) -> str:
    return f"surface: {sheet.surface}, page {title.page} of {title.pages}"


def _size_line(sheet: Sheet) -> str:
    low, high = extent(sheet)
    sizes = [station_text(high[k] - low[k], sheet.unit) for k in (0, 1)]
    unit = "" if sheet.unit in {"in", "ft"} else " mm"
    return f"over all {sizes[0]} x {sizes[1]}{unit}"


def _use_lines(sheet: Sheet, title: Title) -> tuple[str, ...]:
    """How the page is seen, its scale, and what rules; at most five lines."""
    lines = (
        *wrapped(sheet.view_note, _RIGHT - 2 * _PAD)[:2],
        f"about 1 : {title.scale} on {sheet.paper.name} paper",
        CAUTION,
    )
    if title.larger:
        return (*lines, LARGER)
    return (*lines, title.missing) if title.missing else lines


_Sample = Callable[[Spot], list[str]]
_SAMPLE_WIDE: Final = 9.0


def _stroke(attributes: str) -> _Sample:
    return lambda at: [line((at[0], at[1]), (at[0] + _SAMPLE_WIDE, at[1]), attributes)]


def _joint_sample(at: Spot) -> list[str]:
    x, y = at
    sides = [
        line((x, y + k), (x + _SAMPLE_WIDE, y + k), 'stroke-width="0.18"') for k in (-1.6, 1.6)
    ]
    middle = x + _SAMPLE_WIDE / 2
    return [*sides, line((middle, y - 1.6), (middle, y + 1.6), 'stroke-width="0.9"')]


def _box_sample(fill: str) -> _Sample:
    look = f'fill="{fill}" stroke-width="0.18"'
    return lambda at: [rectangle(at[0], at[1] - 1.6, _SAMPLE_WIDE, 3.2, look)]


def _ring_sample(at: Spot) -> list[Spot]:
    x, y = at
    return [(x, y - 1.6), (x + _SAMPLE_WIDE, y - 1.6), (x + _SAMPLE_WIDE, y + 1.6), (x, y + 1.6)]


def _new_sample(at: Spot) -> list[str]:
    ring = _ring_sample(at)
    return [*hatched([ring]), shape([ring], f'fill="none" {NEW_LOOK}')]


def _gone_sample(at: Spot) -> list[str]:
    return [shape([_ring_sample(at)], f'fill="none" {GONE_LOOK}')]


def _opening_sample(at: Spot) -> list[str]:
    x, y = at
    return [
        *crossed(_ring_sample(at), 2.0, 'stroke-width="0.1"'),
        rectangle(x, y - 1.6, _SAMPLE_WIDE, 3.2, 'fill="none" stroke-width="0.4"'),
    ]


def _measure_sample(at: Spot) -> list[str]:
    return list(measured_line((at[0] + 0.8, at[1]), (at[0] + _SAMPLE_WIDE - 0.8, at[1])))


@dataclass(frozen=True, slots=True)
class _Row:
    """A row of the legend: its words, its sample, and whether the page has what it explains."""

    words: str
    sample: _Sample
    is_drawn: bool


def _rows(sheet: Sheet, layer: DrawnLayer | None) -> list[_Row]:
    """What may have to be explained, the most needed first."""
    marks = layer.marks if layer else ()
    kinds = {type(mark) for mark in marks}
    ripped = any(isinstance(mark, DrawnPiece) and mark.rip for mark in marks)
    states = {mark.state for mark in marks if isinstance(mark, DrawnPiece)}
    bare = any(isinstance(mark, DrawnPiece) and not mark.label for mark in marks)
    dashes = 'stroke-width="0.18" stroke-dasharray="4 0.8 0.5 0.8"'
    return [
        _Row("outline", _stroke('stroke-width="0.7"'), True),
        _Row("new", _new_sample, "new" in states),
        _Row("taken out", _gone_sample, "gone" in states),
        _Row("opening", _opening_sample, bool(sheet.openings)),
        _Row(f"{sheet.support}, its centre", _stroke(dashes), bool(sheet.members)),
        _Row("nailer or block", _stroke(STANDING_LOOK), Standing in kinds),
        _Row(_front(sheet, layer), _box_sample("#fff"), bare),
        _Row("end joint", _joint_sample, Joint in kinds),
        *_behind_rows(sheet, marks),
        *(_Row(what, _stroke(LAP_LOOK), True) for what in _laps(marks)),
        _Row("ripped piece", _box_sample(RIPPED), ripped),
        _Row("dimension", _measure_sample, True),
    ]


def _front(sheet: Sheet, layer: DrawnLayer | None) -> str:
    """The layer that is drawn in full, by its own name: the outermost of all where all are."""
    front = layer if layer in sheet.layers else sheet.layers[-1] if sheet.layers else None
    return front.layer if front else ""


def _laps(marks: tuple[Mark, ...]) -> list[str]:
    """What its laps and strips are called, each once."""
    return list(dict.fromkeys(mark.what for mark in marks if isinstance(mark, Lap)))


def _behind_rows(sheet: Sheet, marks: tuple[Mark, ...]) -> list[_Row]:
    """The layers behind, or set in beside, by their own names, the nearest first."""
    depths = sorted({mark.depth for mark in marks if isinstance(mark, Behind)})
    layers = [(depth, sheet.layers[-1 - depth]) for depth in depths]
    return [
        _Row(
            f"{layer.layer}, {'set in' if layer.set_in else 'behind'}",
            _stroke(behind_look(depth)),
            True,
        )
        for depth, layer in layers
    ]


def _legend(sheet: Sheet, layer: DrawnLayer | None, frame: Frame) -> list[tuple[Word, list[str]]]:
    """The legend in two columns: a word and its sample each."""
    shown = [row for row in _rows(sheet, layer) if row.is_drawn][:8]
    deep = 3 if len(shown) <= 6 else 4
    left, top = frame.strip[0] + _LEFT + 3, frame.strip[1]
    apart = (frame.wide - _LEFT - _RIGHT - 3) / 2
    rows = []
    for k, row in enumerate(shown):
        x, y = left + apart * (k // deep), top + STRIP / (2 * deep) * (2 * (k % deep) + 1)
        words = fitted(row.words, apart - _SAMPLE_WIDE - 2)
        middle = Word(words, x + _SAMPLE_WIDE + 2, y + 0.35 * SIZE, "start")
        rows.append((middle, row.sample((x, y))))
    return rows
