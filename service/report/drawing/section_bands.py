"""The layers of a section through the build-up: what lies how deep, and how each looks cut."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, TypeAlias

from service.products.cut_across import Section
from service.products.drawing import DrawnLayer, Sheet
from service.report.drawing.hatch import crossed, slanted
from service.report.drawing.ink import Spot, line, shape
from service.units.ticks import INCH, MM

SHOWN: Final = 6 * INCH
"""How much of the build-up is shown across."""

_CLEAR_OF_LAP: Final = INCH // 4

MEMBER: Final = 5 * INCH // 2
"""How much of a member's depth is shown, or more where a point reaches deeper."""


@dataclass(frozen=True, slots=True)
class Band:
    """One layer in the section: from which depth to which (ticks, the framing's face is 0).

    `layer` is the id of the layer, empty for what is none.
    """

    name: str
    near: int
    far: int
    look: str
    lap: int = 0
    layer: str = ""


@dataclass(frozen=True, slots=True)
class Cut:
    """Ticks to paper: x from the left of the section, depth from the framing's face."""

    left: float
    face: float
    scale: int
    turned: bool

    def spot(self, x: float, depth: float) -> Spot:
        """The point of the page, mm."""
        size = MM * self.scale
        down = -depth if self.turned else depth
        return self.left + x / size, self.face + down / size


def bands_of(sheet: Sheet, section: Section) -> list[Band]:
    """Member, shim, panels that stand there, and the layers, from the framing outward."""
    deepest = max((one.depth + INCH // 2 for one in section.fasteners), default=0)
    found = [Band(sheet.support, -max(MEMBER, deepest), 0, "member")]
    depth = 0
    for name, thickness in (("shim", section.shim), ("backing", section.backing)):
        if thickness:
            found.append(Band(name, depth, depth + thickness, name))
            depth += thickness
    for layer in sheet.layers:
        if layer.cut is not None:
            far = depth + layer.cut.thickness
            found.append(
                Band(_named(layer), depth, far, layer.cut.look, layer.cut.lap, layer.layer)
            )
            depth = far
    return found


def _named(layer: DrawnLayer) -> str:
    cut = layer.cut
    return layer.layer if cut is None or cut.name == layer.layer else f"{layer.layer}: {cut.name}"


def band_ink(bands: Sequence[Band], cut: Cut) -> Iterator[str]:
    """The ink of all bands, from the member outward."""
    for band in bands:
        yield from _LOOKS[band.look](band, cut)


def _ring(band: Band, cut: Cut) -> list[Spot]:
    corners = ((0, band.near), (SHOWN, band.near), (SHOWN, band.far), (0, band.far))
    return [cut.spot(x, depth) for x, depth in corners]


def _member(band: Band, cut: Cut) -> Iterator[str]:
    """A member along the page: its face a heavy line, the side it is broken off at open."""
    yield line(cut.spot(0, 0), cut.spot(SHOWN, 0), 'stroke-width="0.7"')
    for x in (0, SHOWN):
        yield line(cut.spot(x, band.near), cut.spot(x, 0))
    for k in range(1, 4):
        depth = band.near * k / 4
        yield line(cut.spot(0, depth), cut.spot(SHOWN, depth), 'stroke-width="0.1"')


def _shim(band: Band, cut: Cut) -> Iterator[str]:
    ring = _ring(band, cut)
    yield from slanted(ring, 3.0, 1.0, 'stroke-width="0.1"')
    yield shape([ring])


def _backing(band: Band, cut: Cut) -> Iterator[str]:
    ring = _ring(band, cut)
    yield from crossed(ring, 3.6, 'stroke-width="0.1"')
    yield shape([ring])


def _panel(band: Band, cut: Cut) -> Iterator[str]:
    ring = _ring(band, cut)
    yield from crossed(ring, 2.2, 'stroke-width="0.1"')
    yield shape([ring])


def _film(band: Band, cut: Cut) -> Iterator[str]:
    yield line(
        cut.spot(0, band.near), cut.spot(SHOWN, band.near),
        'stroke-width="0.9" stroke-dasharray="3 0.8"',
    )  # fmt: skip


Way: TypeAlias = list[tuple[float, float]]
"""x and depth of the corners of the line at which two boards meet."""


def _tongue(middle: float, band: Band) -> Way:
    third = (band.far - band.near) / 3
    low, high, tip = band.near + third, band.far - third, middle + band.lap
    return [(middle, band.near), (middle, low), (tip, low), (tip, high), (middle, high),
            (middle, band.far)]  # fmt: skip


def _half(middle: float, band: Band) -> Way:
    half, tip = (band.near + band.far) / 2, middle + band.lap
    return [(tip, band.near), (tip, half), (middle, half), (middle, band.far)]


def _butt(middle: float, band: Band) -> Way:
    return [(middle, band.near), (middle, band.far)]


def _boards(meeting: Callable[[float, Band], Way]) -> Callable[[Band, Cut], Iterator[str]]:
    """Two boards that meet in the middle of what is shown."""

    def draw(band: Band, cut: Cut) -> Iterator[str]:
        yield shape([_ring(band, cut)])
        spots = [cut.spot(*at) for at in meeting(SHOWN / 2, band)]
        for start, end in pairwise(spots):
            yield line(start, end)

    return draw


def nail_over(band: Band) -> float:
    """Where a board that lies over the one before is nailed: clear of that (18.3)."""
    return SHOWN / 2 + band.lap + _CLEAR_OF_LAP


def _over(band: Band, cut: Cut) -> Iterator[str]:
    """A board's thick edge on the thin edge of the one before: both faces slant.

    The upper one is as thick as its thickness where it is nailed, and stands proud below that.
    """
    middle, thick = SHOWN / 2, band.far - band.near
    nail = nail_over(band) - middle
    fall = min(thick / 4 / nail, 0.8 * thick / middle)
    thin, proud = band.near + fall * nail, band.far + fall * nail
    left, right = thin + fall * middle, proud - fall * middle
    tip = middle + band.lap, thin - fall * band.lap
    ring = ((0, band.near), (SHOWN, band.near), (SHOWN, right), (middle, proud), (middle, thin),
            (0, left))  # fmt: skip
    yield shape([[cut.spot(x, depth) for x, depth in ring]])
    yield line(cut.spot(middle, thin), cut.spot(*tip))
    yield line(cut.spot(*tip), cut.spot(tip[0], band.near))


_LOOKS: Final[Mapping[str, Callable[[Band, Cut], Iterator[str]]]] = {
    "member": _member,
    "shim": _shim,
    "backing": _backing,
    "panel": _panel,
    "film": _film,
    "tongue": _boards(_tongue),
    "half": _boards(_half),
    "over": _over,
    "butt": _boards(_butt),
}
