"""Counts to buy. Exact fractions throughout; every step is kept apart and rounds up once."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from service.units.ticks import INCH, ceiling


@dataclass(frozen=True, slots=True)
class Bought:
    """From need to purchase: each step of the ladder as whole pieces.

    `buy` = need + cull + spare + loss + left_over: the whole pieces in `packages` of
    `per_package`, which by weight need not be a whole number.
    """

    need: int
    cull: int
    spare: int
    loss: int
    buy: int
    packages: int
    per_package: int | Fraction

    @property
    def left_over(self) -> int:
        """Pieces beyond need, cull, spare and loss."""
        return self.buy - self.need - self.cull - self.spare - self.loss

    @property
    def in_package(self) -> int | float:
        """Pieces in a package, a whole number but for packs that hold a part of a piece."""
        each = self.per_package
        return int(each) if each.denominator == 1 else float(each)


def board_feet(thickness: Fraction, width: Fraction, length: int) -> Fraction:
    """Board feet of `length` ticks of stock of a nominal size in inches.

    Thickness x width x length / 144 with the length in inches; stock under 1 in counts as 1 in
    (Griffith, Carpentry, 1916, section 77).
    """
    return max(thickness, Fraction(1)) * width * Fraction(length, INCH) / 144


def bought(
    need: int,
    *,
    cull: Fraction = Fraction(0),
    spare: int = 0,
    loss: Fraction = Fraction(0),
    per_package: int | Fraction = 1,
) -> Bought:
    """What to buy for `need` pieces; `cull` and `loss` are fractions of one (10.1, 19.1).

    Cull is a share of what is bought, so need / (1 - cull); loss comes on top, need x (1 + loss).
    What is in a package is exact: only packages are rounded (0.2).
    """
    if need == 0:
        return Bought(0, 0, 0, 0, 0, 0, per_package)
    culled = ceiling(Fraction(need) / (1 - cull)) - need
    lost = ceiling(need * (1 + loss)) - need
    packages = -(-(need + culled + spare + lost) // per_package)
    whole_pieces = packages * per_package // 1
    return Bought(need, culled, spare, lost, whole_pieces, packages, per_package)
