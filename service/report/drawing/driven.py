"""Fasteners in a section through the build-up: to scale on paper, and in a schedule under it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import count
from math import cos, hypot, radians, sin
from typing import Final

from service.products.cut_across import Driven, Section
from service.products.drawing import Sheet
from service.report.drawing.ink import Spot, group, line
from service.report.drawing.section_bands import SHOWN, Band, Cut, nail_over
from service.units.writing import tape_size

MOST: Final = 10
"""Fasteners that a section shows; an answer's tables have them all."""

_PLACES: Final = (0.07, 0.15, 0.66, 0.74, 0.82, 0.9, 0.97, 0.62, 0.7, 0.78, 0.86, 0.94)
"""Where fasteners that stand square are shown, as shares of what is shown across."""

_CLEAR: Final = 0.05
_BESIDE: Final = 0.06
"""From one fastener of lapped boards to the next."""

_HEAD: Final = 1.6
"""Half a head on paper, mm: larger than life, to be seen."""


@dataclass(frozen=True, slots=True)
class Shank:
    """A fastener on paper: its head, its point, and where its bite begins."""

    head: Spot
    point: Spot
    hold: Spot


def shanks(sheet: Sheet, section: Section, bands: Sequence[Band], cut: Cut) -> list[Shank]:
    """Each fastener at its length and lean, its head on the layer that it fastens.

    A blind one enters where the tongue meets the shoulder, on the face side (18.11), one of a
    lapped board clear of the board beneath.
    """
    layers = {band.layer: band for band in bands}
    shown = section.fasteners[:MOST]
    reach = max((one.length * sin(radians(one.lean)) / SHOWN for one in shown), default=0.0)
    free = [at for at in _PLACES if at > 0.5 or at < 0.5 - reach - _CLEAR] if reach else _PLACES
    places, lapped = iter(free), count()
    found = []
    for one in shown:
        band = layers[one.layer]
        if band.look == "over":
            place = nail_over(band) / SHOWN + _BESIDE * next(lapped)
        else:
            place = 0.5 if one.lean else next(places, 0.58)
        found.append(_shank(one, band, place, cut))
    return found


def _shank(one: Driven, band: Band, place: float, cut: Cut) -> Shank:
    lean, x = radians(one.lean), SHOWN * place
    depth = band.near + one.entry
    ends = [(x - along * sin(lean), depth - along * cos(lean))
            for along in (0, one.length, one.length - one.hold)]  # fmt: skip
    return Shank(*(cut.spot(*end) for end in ends))


def shanks_ink(driven: Sequence[Shank]) -> str:
    """Shanks, their holds heavier, and their heads square to them."""
    return (
        group("fasteners", 'stroke="#000" stroke-width="0.5"',
              [line(one.head, one.point) for one in driven])
        + group("holds", 'stroke="#000" stroke-width="1.1"',
                [line(one.hold, one.point) for one in driven])
        + group("heads", 'stroke="#000" stroke-width="0.9"', [_head(one) for one in driven])
    )  # fmt: skip


def _head(one: Shank) -> str:
    (x0, y0), (x1, y1) = one.head, one.point
    length = hypot(x1 - x0, y1 - y0)
    aside = _HEAD * (y1 - y0) / length, -_HEAD * (x1 - x0) / length
    return line((x0 - aside[0], y0 - aside[1]), (x0 + aside[0], y0 + aside[1]))


_HEADS: Final = "no. | fastens | driven | fastener | length | bite | point | bites into"


def schedule(sheet: Sheet, section: Section, bands: Sequence[Band]) -> list[tuple[str, ...]]:
    """A row for each fastener that is shown, under the heads."""
    layers = {band.layer: band for band in bands}
    rows = [
        (
            str(k + 1),
            one.layer,
            f"{one.place} at {one.lean:.0f} degrees" if one.lean else one.place,
            one.product,
            tape_size(one.length, sheet.unit),
            tape_size(one.hold, sheet.unit),
            f"{tape_size(one.depth, sheet.unit)} deep",
            _holds_in(one, layers[one.layer], bands),
        )
        for k, one in enumerate(section.fasteners[:MOST])
    ]
    return [tuple(_HEADS.split(" | ")), *rows]


def _holds_in(one: Driven, band: Band, bands: Sequence[Band]) -> str:
    """The bands that the hold lies in, the one it begins in first."""
    slant = cos(radians(one.lean))
    begins = band.near + one.entry - (one.length - one.hold) * slant
    ends = begins - one.hold * slant
    names = [each.name for each in bands if each.near < begins - 1 and each.far > ends + 1]
    return ", ".join(reversed(names))
