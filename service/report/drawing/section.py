"""A page with a section through the build-up: what lies on what, how thick, how far nails reach.

It is drawn to scale, cut across the outermost layer, with a member along the page and the finished
face below; on floors and decks it stands the other way up.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from service.products.cut_across import Section
from service.products.drawing import Sheet
from service.report.drawing.driven import MOST, Shank, schedule, shanks, shanks_ink
from service.report.drawing.ink import Spot, group, line, written
from service.report.drawing.labels import LINE, MIDDLE, Word, fitted, width_of
from service.report.drawing.measures import measured_line
from service.report.drawing.section_bands import SHOWN, Band, Cut, band_ink, bands_of
from service.report.drawing.sheet_layout import Frame, frame, plain_scale
from service.report.drawing.title_strip import middle_words, strip_ink, title_words
from service.units.ticks import MM
from service.units.writing import tape_size

_LEFT: Final = 60.0
"""Paper at the left for the names of layers, mm."""

_NAMES: Final = 52.0
_COLUMN: Final = 42.0
"""A column of the schedule at its widest; the last one takes what is left."""

_BESIDE: Final = 54.0
"""Paper at the right for thicknesses, mm."""

_HEAD: Final = LINE + 8.0
_GAP: Final = 9.0
_STROKES: Final = 'stroke="#000" fill="none"'
_UPWARD: Final = frozenset({"floor", "deck"})
_NOTE: Final = (
    "Section across the {what}; nail heads and wrap are not to scale; "
    "the heavy part of a shank is its bite."
)
_CAUTION: Final = (
    "Thicknesses are as sent. No strength is computed: local code and the printed instructions of "
    "the products rule."
)


def section_page(sheet: Sheet, section: Section, number: int, pages: int) -> str:
    """The SVG of the section's page, `number` of `pages`; it begins `number - 1` pages down."""
    own = frame(sheet.paper, number)
    bands = bands_of(sheet, section)
    rows = schedule(sheet, section, bands)
    cut = _cut(sheet, bands, own, len(rows))
    driven = shanks(sheet, section, bands, cut)
    sides = _beside(bands, cut)
    note = _NOTE.format(what=_across(sheet))
    words = [Word(note, own.paper[0] + 3.0, own.paper[1] + LINE + 0.5, "start")]
    words += [*_names(bands, cut, sides), *_thicknesses(sheet, bands, cut, sides)]
    words += [*_numbers(driven), *_table(rows, _foot(bands, cut) + _GAP, own)]
    words += _strip_words(sheet, own, cut, (number, pages))
    return "".join(
        (
            group("border", _STROKES, strip_ink(own)),
            group("section", f'{_STROKES} stroke-width="0.35"', band_ink(bands, cut)),
            shanks_ink(driven),
            group("measures", _STROKES, _measures(bands, cut, sides)),
            group("words", "", (written(word) for word in words)),
        )
    )


def _across(sheet: Sheet) -> str:
    """What the outermost layer is made of."""
    looks = [layer.cut.look for layer in sheet.layers if layer.cut is not None]
    return {"panel": "sheets", "film": "layers"}.get(looks[-1] if looks else "", "boards")


def _cut(sheet: Sheet, bands: Sequence[Band], own: Frame, rows: int) -> Cut:
    """The largest plain scale, and where the framing's face lies on the paper."""
    left, top, right, bottom = own.open
    room = bottom - top - _HEAD - 2 * _GAP - rows * LINE
    deep = bands[-1].far - bands[0].near
    scale = plain_scale(max(deep / room, SHOWN / (right - left - _LEFT - _BESIDE)) / MM)
    turned = sheet.title in _UPWARD
    above = bands[-1].far if turned else -bands[0].near
    spare = (room - deep / MM / scale) / 2
    return Cut(left + _LEFT, top + _HEAD + min(spare, 14.0) + above / MM / scale, scale, turned)


def _foot(bands: Sequence[Band], cut: Cut) -> float:
    """How far down the section and the words beside it reach."""
    ends = [cut.spot(0, depth)[1] for depth in (bands[0].near, bands[-1].far)]
    words = (y + LINE / 2 for y in _beside(bands, cut).values())
    return max(*ends, *words)


def _beside(bands: Sequence[Band], cut: Cut) -> dict[Band, float]:
    """The height on paper at which each band's words stand: its own, or clear of the one above."""
    middles = {band: cut.spot(0, (band.near + band.far) // 2)[1] for band in bands}
    found: dict[Band, float] = {}
    last = float("-inf")
    for band in sorted(bands, key=lambda one: middles[one]):
        last = found[band] = max(middles[band], last + LINE + 0.2)
    return found


def _names(bands: Sequence[Band], cut: Cut, sides: dict[Band, float]) -> Iterator[Word]:
    for band in bands:
        yield Word(fitted(band.name, _NAMES), cut.left - 5, sides[band] + MIDDLE, "end")


def _thicknesses(
    sheet: Sheet, bands: Sequence[Band], cut: Cut, sides: dict[Band, float]
) -> Iterator[Word]:
    """The thickness of each band beside it, and of all together beyond."""
    right = cut.spot(SHOWN, 0)[0]
    for band in bands[1:]:
        text = tape_size(band.far - band.near, sheet.unit) if band.far > band.near else "film"
        yield Word(text, right + 9, sides[band] + MIDDLE, "start")
    if _has_total(bands):
        near, far = cut.spot(0, 0)[1], cut.spot(0, bands[-1].far)[1]
        text = f"all {tape_size(bands[-1].far, sheet.unit)}"
        yield Word(text, right + 29, (near + far) / 2 + MIDDLE, "start")


def _has_total(bands: Sequence[Band]) -> bool:
    return sum(band.far > band.near for band in bands[1:]) > 1


def _measures(bands: Sequence[Band], cut: Cut, sides: dict[Band, float]) -> Iterator[str]:
    """Measured lines of the thicknesses, and fine lines to words that had to move."""
    right = cut.spot(SHOWN, 0)[0]
    for band in bands:
        near, far = cut.spot(SHOWN, band.near), cut.spot(SHOWN, band.far)
        if band.far > band.near and band is not bands[0]:
            yield from measured_line((right + 5, near[1]), (right + 5, far[1]))
        middle = (near[1] + far[1]) / 2
        if abs(sides[band] - middle) > 0.6 or band.far == band.near:
            yield _lead((cut.left - 0.5, middle), (cut.left - 4, sides[band]))
            yield _lead((right + 0.5, middle), (right + 8, sides[band]))
    if _has_total(bands):
        ends = cut.spot(SHOWN, 0)[1], cut.spot(SHOWN, bands[-1].far)[1]
        yield from measured_line((right + 26, ends[0]), (right + 26, ends[1]))


def _lead(start: Spot, end: Spot) -> str:
    return line(start, end, 'stroke-width="0.1"')


def _numbers(driven: Sequence[Shank]) -> Iterator[Word]:
    """The number of each fastener beyond its point."""
    for k, shank in enumerate(driven):
        up = shank.point[1] < shank.head[1]
        y = shank.point[1] + (-LINE / 2 if up else LINE / 2) + MIDDLE
        yield Word(str(k + 1), shank.point[0], y, backed=True)


def _table(rows: Sequence[tuple[str, ...]], top: float, own: Frame) -> Iterator[Word]:
    """The schedule of fasteners in columns, the heads first."""
    x, right = own.paper[0] + 4, own.paper[2] - 3
    *columns, last = zip(*rows, strict=True)
    for column in columns:
        texts = [fitted(text, _COLUMN) for text in column]
        yield from _column(texts, x, top)
        x += max(map(width_of, texts)) + 4.5
    yield from _column([fitted(text, right - x) for text in last], x, top)


def _column(texts: Sequence[str], x: float, top: float) -> Iterator[Word]:
    for k, text in enumerate(texts):
        yield Word(text, x, top + k * LINE, "start")


def _strip_words(sheet: Sheet, own: Frame, cut: Cut, number: tuple[int, int]) -> list[Word]:
    side = "above" if cut.turned else "below"
    more = len(sheet.section.fasteners) - MOST if sheet.section else 0
    use = (
        f"finished face {side}",
        f"1 : {cut.scale} on {sheet.paper.name} paper",
        *((f"{more} more fasteners stand in the tables.",) if more > 0 else ()),
    )
    also = sheet.section.also if sheet.section else ()
    rows = (
        f"surface: {sheet.surface}, page {number[0]} of {number[1]}",
        "section through the build-up",
        *((f"alike: {', '.join(also)}",) if also else ()),
    )
    return title_words(own, sheet.title, rows, use) + middle_words(own, _CAUTION)
