"""A layer on as many pages as it takes to be read: in parts at 1 : 48 or larger.

A surface that one page shows smaller is divided; one that is not long and narrow has before its
parts a page that shows the whole.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import islice
from math import ceil
from typing import Final

from service.products.drawing import DrawnLayer, Sheet, station_text
from service.report.drawing.match_ink import MATCH_ROOM
from service.report.drawing.match_lines import Part, axis_of, divided
from service.report.drawing.page import Page, drawing_of, made
from service.report.drawing.rail import Side
from service.report.drawing.sheet_layout import extent, frame, margin_of
from service.units.ticks import MM

LARGEST: Final = 48
"""1/4 in to the foot: boards of 3 in can be told apart, and joints seen."""

MOST_PAGES: Final = 40
"""A surface that would take more is drawn on one page, as small as it then is."""

_STACKED: Final = 6
_TRIES: Final = 6
_HEAD: Final = 12.0
"""Paper that notes take at the head of a page at the least, mm."""


def spread(sheet: Sheet, layer: DrawnLayer | None, number: int) -> list[Page]:
    """The pages of one layer, the first of them page `number` of the document."""
    whole = made(sheet, layer, number)
    if whole.scale <= LARGEST:
        return [whole]
    key = (
        [] if axis_of(sheet) is not None or len(sheet.layers) > 1 else [replace(whole, larger=True)]
    )
    for across, up, stacked in islice(_ways(sheet, layer), _TRIES):
        parts = divided(sheet, layer, across, up)
        pages = _pages(sheet, layer, number + len(key), parts, stacked)
        if all(page.scale <= LARGEST for page in pages):
            return key + pages
    return [whole]


def _pages(
    sheet: Sheet, layer: DrawnLayer | None, first: int, parts: tuple[Part, ...], stacked: int
) -> list[Page]:
    """The parts, so many to a page, all at the scale of those that take the most paper."""
    least, pages = 1, list[Page]()
    while not pages or any(page.scale < least for page in pages):
        pages = [
            made(sheet, layer, first + k // stacked, parts[k : k + stacked],
                 _place(sheet, parts, k, len(parts[k : k + stacked])), least)
            for k in range(0, len(parts), stacked)
        ]  # fmt: skip
        least = max(page.scale for page in pages)
    return pages


def _place(sheet: Sheet, parts: tuple[Part, ...], first: int, count: int) -> str:
    """Which parts they are, and where the first of them begins."""
    origin, low = extent(sheet)[0], extent(parts[first].sheet)[0]
    across, up = (station_text(low[k] - origin[k], sheet.unit) for k in (0, 1))
    named = f"part {first + 1}" if count == 1 else f"parts {first + 1} to {first + count}"
    return f"{named} of {len(parts)}, from {across} in, {up} up"


def _ways(sheet: Sheet, layer: DrawnLayer | None) -> Iterator[tuple[int, int, int]]:
    """How many parts across, up, and on a page, as it seems that they fit; fewest pages first."""
    axis, counts = axis_of(sheet), range(1, MOST_PAGES + 1)
    if axis is None:
        ways = [(x, y, 1) for x in counts for y in counts if 1 < x * y <= MOST_PAGES]
    else:
        ways = [
            (k, 1, n) if axis == 0 else (1, k, n)
            for k in range(2, _STACKED * MOST_PAGES + 1)
            for n in range(1, min(k, _STACKED) + 1)
            if ceil(k / n) <= MOST_PAGES
        ]
    margin = margin_of(drawing_of(Part(sheet, layer)))
    fitting = [way for way in ways if _scale(sheet, margin, way) <= LARGEST]
    return iter(sorted(fitting, key=lambda way: (ceil(way[0] * way[1] / way[2]), way)))


def _scale(sheet: Sheet, margin: dict[Side, float], way: tuple[int, int, int]) -> float:
    """At about which scale the parts would be drawn."""
    across, up, stacked = way
    left, top, right, bottom = frame(sheet.paper, 1).open
    wide, deep = right - left, bottom - top - _HEAD
    if axis_of(sheet) == 1:
        wide /= stacked
    else:
        deep /= stacked
    wide -= margin["left"] + margin["right"]
    deep -= margin["top"] + margin["bottom"] + 2 * MATCH_ROOM
    if wide <= 0 or deep <= 0:
        return float("inf")
    low, high = extent(sheet)
    sizes = ((high[0] - low[0]) / across / wide, (high[1] - low[1]) / up / deep)
    return max(sizes) / MM
