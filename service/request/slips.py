"""Measures that look like a slip of units, each with the unit in which it would be usual (0.8).

A surface as long as a board is wide, joists 16 ft apart: what is far from all usual, and usual if
its number is read in another unit. It stays as it was sent; what is said of it comes with no cure.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from service.takeoff.slips import Slip
from service.units.ticks import FOOT, INCH, METRIC, TICKS_PER_UNIT

_CALLED: Final = {"in": "inches", "ft": "feet", "mm": "mm", "cm": "cm", "m": "m"}

_METRIC_FIRST: Final = ("mm", "cm", "m", "in", "ft")
_FEET_FIRST: Final = ("in", "ft", "mm", "cm", "m")


@dataclass(frozen=True, slots=True)
class _Usual:
    """What the largest of some measures may be without a word, and what is usual; ticks."""

    what: str
    least: int
    most: int
    usual: tuple[int, int]

    def odd(self, ticks: int) -> bool:
        """Whether it is beyond all that is taken without a word."""
        return not self.least <= ticks <= self.most

    def usual_in(self, other: str, ticks: int, unit: str) -> bool:
        """Whether the same number in an `other` unit is usual."""
        low, high = self.usual
        return low <= ticks * Fraction(TICKS_PER_UNIT[other], TICKS_PER_UNIT[unit]) <= high


_LENGTH: Final = _Usual("the surface", 3 * FOOT, 150 * FOOT, (6 * FOOT, 60 * FOOT))
_EAVE: Final = _Usual("the surface", 2 * FOOT, 400 * FOOT, (3 * FOOT, 100 * FOOT))
_SPACING: Final = _Usual("the spacing of members", 3 * INCH, 60 * INCH, (11 * INCH, 25 * INCH))
_MEMBER: Final = _Usual("a member's thickness", INCH // 2, 9 * INCH, (INCH // 2, 6 * INCH))
_STOCK: Final = _Usual("a length of stock", 10 * INCH, 1000 * FOOT, (3 * FOOT, 40 * FOOT))
_SHANK: Final = _Usual("a fastener's length", INCH // 4, 14 * INCH, (INCH // 2, 8 * INCH))
_SIZES: Final = {
    "overall": _Usual("the width over all", INCH // 2, 24 * INCH, (2 * INCH, 13 * INCH)),
    "coverage": _Usual("the coverage", INCH // 4, 24 * INCH, (INCH, 13 * INCH)),
    "thickness": _Usual("the thickness", INCH // 200, 9 * INCH, (INCH // 4, 4 * INCH)),
}
"""Sizes of products that are told by the same name in every form."""


def slips(spec: Any) -> list[Slip]:
    """What looks like a slip of units in a job, surface by surface, then product by product."""
    found = _Found(spec.unit)
    for k, surface in enumerate(spec.surfaces):
        found.of_surface(surface, f"/surfaces/{k}", spec.supports)
    for k, product in enumerate(spec.products):
        found.of_product(product, f"/products/{k}")
    return found.slips


class _Found:
    """Slips of a job whose bare numbers are in `unit`."""

    def __init__(self, unit: str) -> None:
        self.unit = unit
        self.slips: list[Slip] = []

    def of_surface(self, surface: Any, at: str, common: Any) -> None:
        """Of its measure and of its own members."""
        usual = _EAVE if surface.type == "soffit" else _LENGTH
        self._hold(surface.id, at, usual, *_sides(surface))
        if surface.supports is not None or (common is not None and at == "/surfaces/0"):
            own = surface.supports is not None
            supports = surface.supports if own else common
            place = f"{at}/supports" if own else "/supports"
            self._hold(surface.id, f"{place}/spacing", _SPACING, supports.spacing)
            self._hold(surface.id, f"{place}/thickness", _MEMBER, supports.thickness)

    def of_product(self, product: Any, at: str) -> None:
        """Of its sizes, and of the lengths that it comes in."""
        for name, usual in _SIZES.items():
            self._hold(product.id, f"{at}/{name}", usual, getattr(product, name, None))
        for k, row in enumerate(getattr(product, "stock", None) or ()):
            self._hold(product.id, f"{at}/stock/{k}/length", _STOCK, row.length)
        for k, length in enumerate(getattr(product, "lengths", None) or ()):
            self._hold(product.id, f"{at}/lengths/{k}", _SHANK, length)

    def _hold(self, name: str, at: str, usual: _Usual, *ticks: Any) -> None:
        if not all(isinstance(one, int) for one in ticks) or not usual.odd(max(ticks)):
            return
        others = [one for one in self._others() if usual.usual_in(one, max(ticks), self.unit)]
        if others:
            self.slips.append(Slip(name, at, self._words(usual, ticks, others[0]), max(ticks)))

    def _others(self) -> Iterator[str]:
        """Units that may have been meant, those of the same system first."""
        every = _METRIC_FIRST if self.unit in METRIC else _FEET_FIRST
        return (one for one in every if one != self.unit)

    def _words(self, usual: _Usual, ticks: Sequence[int], other: str) -> str:
        numbers = [round(float(Fraction(one, TICKS_PER_UNIT[self.unit])), 4) for one in ticks]
        measure = " x ".join(f"{one:.10g}" for one in numbers)
        sent, meant = (f"{measure} {_CALLED[unit]}" for unit in (self.unit, other))
        return (
            f"{usual.what} measures {sent}: {meant} would be usual; check `unit`, or write lengths "
            "with a unit of their own"
        )


def _sides(surface: Any) -> Sequence[int]:
    """How long a surface is each way, or its sides."""
    if surface.rectangle is not None:
        return list(surface.rectangle)
    if surface.outline is not None:
        xs, ys = zip(*surface.outline, strict=True)
        return [max(xs) - min(xs), max(ys) - min(ys)]
    return list(surface.sides)
