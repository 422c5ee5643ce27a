"""Rows of blocks between members, as boards that run with the members cross them."""

from __future__ import annotations

from fractions import Fraction

from service.units.ticks import INCH, whole

FROM_END = 3 * INCH // 4
"""Half a block of 1-1/2 in: the first and the last row stand against the ends (15.2)."""


def block_rows(extent: int, spacing: int) -> tuple[int, ...]:
    """Centres of rows of blocks over `extent`, evenly spread and at most `spacing` apart (15.2)."""
    between = extent - 2 * FROM_END
    if between <= 0:
        return (extent // 2,)
    count = -(-between // spacing)
    return tuple(FROM_END + whole(Fraction(between * k, count)) for k in range(count + 1))
