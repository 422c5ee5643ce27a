"""Counts to buy. Exact fractions throughout; every step is kept apart and rounds up once."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from service.units.ticks import ceiling


@dataclass(frozen=True, slots=True)
class Bought:
    """From need to purchase: each step of the ladder as whole pieces.

    `buy` = need + cull + spare + loss + left_over; it fills `packages` of `per_package`.
    """

    need: int
    cull: int
    spare: int
    loss: int
    buy: int
    packages: int
    per_package: int

    @property
    def left_over(self) -> int:
        """Pieces beyond need, cull, spare and loss."""
        return self.buy - self.need - self.cull - self.spare - self.loss


def bought(
    need: int,
    *,
    cull: Fraction = Fraction(0),
    spare: int = 0,
    loss: Fraction = Fraction(0),
    per_package: int = 1,
) -> Bought:
    """What to buy for `need` pieces; `cull` and `loss` are fractions of one (10.1, 19.1).

    Cull is a share of what is bought, so need / (1 - cull); loss comes on top, need x (1 + loss).
    """
    if need == 0:
        return Bought(0, 0, 0, 0, 0, 0, per_package)
    culled = ceiling(Fraction(need) / (1 - cull)) - need
    lost = ceiling(need * (1 + loss)) - need
    packages = -(-(need + culled + spare + lost) // per_package)
    return Bought(need, culled, spare, lost, packages * per_package, packages, per_package)
