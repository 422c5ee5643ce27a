"""A page with a section through the build-up: what lies on what, how thick, how far nails reach.

It is drawn to scale, cut across the outermost layer, with the member behind along the page and the
finished face below; on floors and decks it stands the other way up.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import cos, radians, sin
from typing import Final

from service.products.drawing import DrawnLayer, Section, Sheet, width_text
from service.report.hatch import crossed
from service.report.ink import Spot, group, line, rectangle, shape, written
from service.report.labels import LINE, MIDDLE, Word, fitted
from service.report.sheet_layout import EDGE, HIGH, STRIP, WIDE
from service.units.ticks import INCH, MM

SHOWN: Final = 6 * INCH
"""How much of the build-up is shown across."""

MEMBER: Final = 5 * INCH // 2
"""How much of a member's depth is shown."""

_LEFT, _TOP = 62.0, 26.0
_NAMES = 54.0
_PLACES: Final = (0.07, 0.15, 0.66, 0.76, 0.86, 0.95, 0.6, 0.71, 0.81, 0.91)
"""Where fasteners that stand square are shown, as shares of the width: clear of a blind one."""

MOST: Final = 10
"""Fasteners that a section shows; an answer's table has them all."""

_HEAD: Final = 1.6
"""Half a head on paper, mm: larger than life, to be seen."""

_SHANK: Final = 'stroke="#000" stroke-width="0.9"'
_UPWARD: Final = frozenset({"floor", "deck"})


@dataclass(frozen=True, slots=True)
class Band:
    """One layer in the section: from which depth to which (ticks, the framing's face is 0)."""

    name: str
    near: int
    far: int
    look: str
    lap: int = 0


def bands_of(sheet: Sheet, section: Section) -> list[Band]:
    """Member, shim, panels that stand there, and the layers, from the framing outward."""
    found = [Band("member", -MEMBER, 0, "member")]
    depth = 0
    for name, thickness in (("shim", section.shim), ("backing", section.backing)):
        if thickness:
            found.append(Band(name, depth, depth + thickness, "sheet"))
            depth += thickness
    for layer in sheet.layers:
        if layer.cut is not None:
            far = depth + layer.cut.thickness
            found.append(Band(_named(layer), depth, far, layer.cut.look, layer.cut.lap))
            depth = far
    return found


def _named(layer: DrawnLayer) -> str:
    cut = layer.cut
    return layer.layer if cut is None or cut.name == layer.layer else f"{layer.layer}: {cut.name}"


@dataclass(frozen=True, slots=True)
class _Paper:
    """Ticks to paper: x from the left of the section, depth from the framing's face."""

    left: float
    face: float
    scale: int
    turned: bool

    def spot(self, x: float, depth: float) -> Spot:
        size = MM * self.scale
        down = -depth if self.turned else depth
        return self.left + x / size, self.face + down / size

    def length(self, ticks: float) -> float:
        return ticks / (MM * self.scale)


def section_page(sheet: Sheet, section: Section, number: int, pages: int) -> str:
    """The SVG of the section's page, `number` of `pages`; it begins `number - 1` pages down."""
    top = (number - 1) * HIGH
    bands = bands_of(sheet, section)
    deep = bands[-1].far + MEMBER
    room = HIGH - 2 * EDGE - STRIP - _TOP - (min(len(section.fasteners), MOST) + 3) * LINE
    scale = 1 if deep / MM <= room else 2
    turned = sheet.title in _UPWARD
    high = top + EDGE + _TOP
    face = high + (bands[-1].far if turned else MEMBER) / MM / scale
    paper = _Paper(EDGE + _LEFT, face, scale, turned)
    words = [*_heading(sheet, scale, top, number, pages)]
    words += _band_words(sheet, bands, paper)
    words += _number_words(sheet, section, bands, paper)
    words += _fastener_words(section, high + deep / MM / scale + 2 * LINE)
    ink = [
        group("border", 'stroke="#000" fill="none"', [_border(top)]),
        group("section", 'stroke="#000" fill="none" stroke-width="0.35"', _bands(bands, paper)),
        group("fasteners", _SHANK, _shanks(sheet, section, bands, paper)),
        group("words", "", (written(word) for word in words)),
    ]
    return "".join(ink)


def _border(top: float) -> str:
    return rectangle(
        EDGE, top + EDGE, WIDE - 2 * EDGE, HIGH - 2 * EDGE, 'fill="none" stroke-width="0.5"'
    )


def _heading(sheet: Sheet, scale: int, top: float, number: int, pages: int) -> Iterator[Word]:
    left = EDGE + 4
    side = "finished face above" if sheet.title in _UPWARD else "finished face below"
    yield Word(f"{sheet.title}: section through the build-up", left, top + EDGE + 8, "start", 5.0)
    yield Word(
        f"surface: {sheet.surface}, page {number} of {pages}; {side}; 1 : {scale} on letter paper",
        left, top + EDGE + 14, "start",
    )  # fmt: skip
    yield Word(
        "Thicknesses as sent. No strength is computed; local code and printed instructions rule.",
        left, top + EDGE + 14 + LINE, "start",
    )  # fmt: skip


def _band_words(sheet: Sheet, bands: list[Band], paper: _Paper) -> Iterator[Word]:
    """Names at the left and thicknesses at the right, moved apart where bands are thin."""
    wide = paper.length(SHOWN)
    last = None
    for band in sorted(bands, key=lambda one: paper.spot(0, (one.near + one.far) / 2)[1]):
        y = paper.spot(0, (band.near + band.far) / 2)[1]
        y = y if last is None else max(y, last + LINE)
        last = y
        yield Word(fitted(band.name, _NAMES), paper.left - 3, y + MIDDLE, "end")
        if band.look != "member":
            text = width_text(band.far - band.near, sheet.unit) if band.far > band.near else "film"
            yield Word(text, paper.left + wide + 3, y + MIDDLE, "start")


def _bands(bands: list[Band], paper: _Paper) -> Iterator[str]:
    for band in bands:
        yield from _LOOKS[band.look](band, paper)


def _ring(x0: float, near: float, x1: float, far: float, paper: _Paper) -> list[Spot]:
    corners = ((x0, near), (x1, near), (x1, far), (x0, far))
    return [paper.spot(x, depth) for x, depth in corners]


def _member(band: Band, paper: _Paper) -> Iterator[str]:
    """A member along the page: its face a heavy line, the side it is broken off at open."""
    yield line(paper.spot(0, 0), paper.spot(SHOWN, 0), 'stroke-width="0.7"')
    for x in (0, SHOWN):
        yield line(paper.spot(x, band.near), paper.spot(x, 0))
    for k in range(1, 4):
        depth = band.near * k / 4
        yield line(paper.spot(0, depth), paper.spot(SHOWN, depth), 'stroke-width="0.1"')


def _sheet(band: Band, paper: _Paper) -> Iterator[str]:
    ring = _ring(0, band.near, SHOWN, band.far, paper)
    yield from crossed(ring, 2.2, 'stroke-width="0.1"')
    yield shape([ring])


def _film(band: Band, paper: _Paper) -> Iterator[str]:
    yield line(
        paper.spot(0, band.near), paper.spot(SHOWN, band.near),
        'stroke-width="0.9" stroke-dasharray="3 0.8"',
    )  # fmt: skip


def _boards(band: Band, paper: _Paper) -> Iterator[str]:
    """Two boards that meet in the middle, the one's tongue or lap in the other."""
    middle, third = SHOWN / 2, (band.far - band.near) / 3
    low, high = band.near + third, band.far - third
    tongue = middle + band.lap
    joint = [(middle, band.near), (middle, low), (tongue, low), (tongue, high), (middle, high),
             (middle, band.far)]  # fmt: skip
    if not band.lap:
        joint = [(middle, band.near), (middle, band.far)]
    yield shape([_ring(0, band.near, SHOWN, band.far, paper)])
    spots = [paper.spot(*at) for at in joint]
    for start, end in pairwise(spots):
        yield line(start, end)


_LOOKS: Final = {"member": _member, "sheet": _sheet, "film": _film, "boards": _boards}


def _shanks(sheet: Sheet, section: Section, bands: list[Band], paper: _Paper) -> Iterator[str]:
    """Each fastener at its length and lean, its head on the face of the layer it holds."""
    for start, end in _driven(sheet, section, bands, paper):
        yield line(start, end)
        yield line((start[0] - _HEAD, start[1]), (start[0] + _HEAD, start[1]))


def _driven(
    sheet: Sheet, section: Section, bands: list[Band], paper: _Paper
) -> Iterator[tuple[Spot, Spot]]:
    """Head and point of each fastener on paper."""
    faces = _faces(sheet, bands)
    places = iter(_PLACES)
    for one in section.fasteners[:MOST]:
        band, lean = faces[one.layer], radians(one.lean)
        # A blind nail enters at the tongue, half way through the board.
        head = SHOWN / 2 if one.lean else SHOWN * next(places)
        depth = (band.near + band.far) / 2 if one.lean else band.far
        point = head - one.length * sin(lean), depth - one.length * cos(lean)
        yield paper.spot(head, depth), paper.spot(*point)


def _faces(sheet: Sheet, bands: list[Band]) -> dict[str, Band]:
    names = {_named(layer): layer.layer for layer in sheet.layers if layer.cut is not None}
    return {names[band.name]: band for band in bands if band.name in names}


def _number_words(
    sheet: Sheet, section: Section, bands: list[Band], paper: _Paper
) -> Iterator[Word]:
    """The number of each fastener beyond its point."""
    for k, (start, end) in enumerate(_driven(sheet, section, bands, paper)):
        beyond = 1.5 if start[1] < end[1] else -0.7
        y = end[1] + (beyond if beyond < 0 else beyond + LINE / 2)
        yield Word(str(k + 1), end[0], y, backed=True)


def _fastener_words(section: Section, top: float) -> Iterator[Word]:
    for k, one in enumerate(section.fasteners[:MOST]):
        text = fitted(f"{k + 1}  {one.text}", WIDE - 2 * EDGE - 10)
        yield Word(text, EDGE + 4, top + k * LINE, "start")
