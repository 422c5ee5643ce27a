"""The strip at the foot of a page: what is drawn, the legend, and how the page may be used."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from service.products.drawing import (
    Behind,
    DrawnLayer,
    Joint,
    Lap,
    Piece,
    Sheet,
    station_text,
)
from service.report.hatch import crossed
from service.report.ink import Spot, line, rectangle
from service.report.labels import LINE, SIZE, Choice, Label, Word, fitted, wrapped
from service.report.marks import BEHIND_LOOKS, LAP_LOOK
from service.report.measures import measured_line
from service.report.sheet_layout import STRIP, WIDE, Layout, extent

CAUTION: Final = "Not to be scaled; stations rule."
CROWDED: Final = "Some labels left out; the tables list all."
_LEFT = 78.0
_RIGHT = 82.0
_PAD = 2.0
_TITLE_SIZE = 5.0


@dataclass(frozen=True, slots=True)
class Title:
    """What the strip says of its page: which of how many pages, which of how many layers."""

    page: int
    pages: int
    layer_number: int
    crowded: bool


def strip_ink(layout: Layout) -> list[str]:
    """The border of the page, and the lines that divide the strip."""
    left, top, right, bottom = layout.paper
    high = layout.strip[1]
    heavy = 'fill="none" stroke-width="0.5"'
    return [
        rectangle(left, top, right - left, bottom - top, heavy),
        line((left, high), (right, high), 'stroke-width="0.5"'),
        line((left + _LEFT, high), (left + _LEFT, bottom), 'stroke-width="0.25"'),
        line((right - _RIGHT, high), (right - _RIGHT, bottom), 'stroke-width="0.25"'),
    ]


def strip_labels(
    sheet: Sheet, layer: DrawnLayer | None, layout: Layout, title: Title
) -> list[Label]:
    """All words of the strip."""
    left, top = layout.strip[0] + _PAD, layout.strip[1]
    words = [Word(fitted(sheet.title, _LEFT - 2 * _PAD, _TITLE_SIZE), left, top + 6.0, "start",
                  _TITLE_SIZE)]  # fmt: skip
    rows = (_surface_line(sheet, title), _layer_line(sheet, layer, title), _size_line(sheet))
    words += _column(rows, left, top + 8.0, _LEFT)
    right = layout.strip[2] - _RIGHT + _PAD
    words += _column(_use_lines(sheet, layout, title), right, top + 0.7, _RIGHT)
    words += [word for word, _ in _legend(sheet, layer, layout)]
    return [Label(0, (Choice((word,)),)) for word in words]


def legend_ink(sheet: Sheet, layer: DrawnLayer | None, layout: Layout) -> list[str]:
    """The samples of the legend."""
    return [part for _, sample in _legend(sheet, layer, layout) for part in sample]


def _column(rows: tuple[str, ...], x: float, top: float, room: float) -> list[Word]:
    return [
        Word(fitted(row, room - 2 * _PAD), x, top + (LINE + 0.1) * (k + 1) - 0.9, "start")
        for k, row in enumerate(rows)
    ]


def _layer_line(sheet: Sheet, layer: DrawnLayer | None, title: Title) -> str:
    if layer is None:
        return "no layer"
    if not title.layer_number:
        return f"layers: {', '.join(one.layer for one in reversed(sheet.layers))}"
    named = layer.layer if layer.layer == layer.kind else f"{layer.layer} ({layer.kind})"
    return f"layer: {named}, {title.layer_number} of {len(sheet.layers)}"


def _surface_line(sheet: Sheet, title: Title) -> str:
    return f"surface: {sheet.surface}, page {title.page} of {title.pages}"


def _size_line(sheet: Sheet) -> str:
    low, high = extent(sheet)
    sizes = [station_text(high[k] - low[k], sheet.unit) for k in (0, 1)]
    unit = "" if sheet.unit in {"in", "ft"} else " mm"
    return f"over all {sizes[0]} x {sizes[1]}{unit}"


def _use_lines(sheet: Sheet, layout: Layout, title: Title) -> tuple[str, ...]:
    """How the page is seen, its scale, and what rules; at most five lines."""
    lines = (
        *wrapped(sheet.view_note, _RIGHT - 2 * _PAD)[:2],
        f"about 1 : {layout.view.scale} on letter paper",
        CAUTION,
    )
    return (*lines, CROWDED) if title.crowded else lines


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


def _opening_sample(at: Spot) -> list[str]:
    x, y = at
    ring = [(x, y - 1.6), (x + _SAMPLE_WIDE, y - 1.6), (x + _SAMPLE_WIDE, y + 1.6), (x, y + 1.6)]
    return [
        *crossed(ring, 2.0, 'stroke-width="0.1"'),
        rectangle(x, y - 1.6, _SAMPLE_WIDE, 3.2, 'fill="none" stroke-width="0.4"'),
    ]


def _measure_sample(at: Spot) -> list[str]:
    return list(measured_line((at[0] + 0.8, at[1]), (at[0] + _SAMPLE_WIDE - 0.8, at[1])))


def _behind(depth: int) -> Callable[[Sheet, DrawnLayer | None], bool]:
    def present(sheet: Sheet, layer: DrawnLayer | None) -> bool:
        marks = layer.marks if layer else ()
        return any(isinstance(mark, Behind) and mark.depth == depth for mark in marks)

    return present


_LEGEND: Final[tuple[tuple[str, _Sample, Callable[[Sheet, DrawnLayer | None], bool]], ...]] = (
    ("outline", _stroke('stroke-width="0.7"'), lambda sheet, layer: True),
    ("opening", _opening_sample, lambda sheet, layer: bool(sheet.openings)),
    (
        "member, its centre",
        _stroke('stroke-width="0.18" stroke-dasharray="4 0.8 0.5 0.8"'),
        lambda sheet, layer: bool(sheet.members),
    ),
    ("end joint", _joint_sample, lambda sheet, layer: _has(layer, Joint)),
    *(
        (f"{name} behind", _stroke(look), _behind(depth))
        for depth, (name, look) in enumerate(
            zip(("next layer", "second layer", "third layer"), BEHIND_LOOKS, strict=True), start=1
        )
    ),
    ("side lap", _stroke(LAP_LOOK), lambda sheet, layer: _has(layer, Lap)),
    (
        "ripped piece",
        _box_sample("#e2e2e2"),
        lambda sheet, layer: any(
            isinstance(mark, Piece) and mark.rip for mark in (layer.marks if layer else ())
        ),
    ),
    ("measure", _measure_sample, lambda sheet, layer: True),
)
"""What is explained, the most needed first: the words, the sample, and whether it is shown."""


def _has(layer: DrawnLayer | None, kind: type) -> bool:
    return layer is not None and any(isinstance(mark, kind) for mark in layer.marks)


def _legend(sheet: Sheet, layer: DrawnLayer | None, layout: Layout) -> list[tuple[Word, list[str]]]:
    """The rows of the legend in two columns: a word and its sample each."""
    shown = [(text, sample) for text, sample, present in _LEGEND if present(sheet, layer)][:6]
    left, top = layout.strip[0] + _LEFT + 3, layout.strip[1]
    apart = (WIDE - 2 * layout.strip[0] - _LEFT - _RIGHT - 3) / 2
    rows = []
    for k, (text, sample) in enumerate(shown):
        x, y = left + apart * (k // 3), top + STRIP / 6 * (2 * (k % 3) + 1)
        words = fitted(text, apart - _SAMPLE_WIDE - 2)
        rows.append((Word(words, x + _SAMPLE_WIDE + 2, y + 0.35 * SIZE, "start"), sample((x, y))))
    return rows
