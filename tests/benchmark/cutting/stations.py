"""Stations worth trying where joints may be anywhere; lengths and stations are ticks."""

from __future__ import annotations

from collections.abc import Sequence

from service.cutting.records import Stock
from service.joints.records import JointRules
from service.units.ticks import nearest

MOST_STATIONS = 240


def free_stations(
    low: int, high: int, rules: JointRules, stocks: Sequence[Stock]
) -> tuple[int, ...]:
    """Stations between `low` and `high`: whole sticks from either end, and a grid to stagger on.

    The grid is a third of the stagger, so that three courses find places apart from each other.
    """
    lengths = sorted({stock.usable for stock in stocks})
    found: set[int] = set()
    for length in lengths:
        for first in (0, *lengths):
            reach = range(first + length, high - low, length)
            found.update(low + at for at in reach)
            found.update(high - at for at in reach)
    step = max(rules.stagger // 3, (high - low) // MOST_STATIONS, 1)
    found.update(range(low + step, high, step))
    return tuple(sorted({nearest(at, rules.cut_to) for at in found if low < at < high}))
