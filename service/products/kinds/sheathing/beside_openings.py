"""What openings take of rows of sheets, and what pieces cover beside them at least. Ticks."""

from __future__ import annotations

from fractions import Fraction

from service.geometry.plane import difference
from service.geometry.rings import Region, twice_area
from service.layout.runs import Laid, Run
from service.products.kinds.sheathing.rulings import Task


def taken_whole(run: Run, openings: Region) -> tuple[tuple[int, int], ...]:
    """From where to where openings take a run whole."""
    left = difference((run.polygon,), openings)
    if left == (run.polygon,):
        return ()
    found, at = [], run.low
    for low, high in sorted(polygon.box[:2] for polygon in left):
        if low > at:
            found.append((at, low))
        at = max(at, high)
    return (*found, (at, run.high)) if at < run.high else tuple(found)


def least_area(task: Task, laid: Laid, cut: Region) -> int:
    """What all pieces cover at least, wherever their joints are: gaps and rounding taken off."""
    rules = task.rules
    gap, to, least = rules.panel_gap(task.product), rules.cut_to, rules.panel_min_piece
    found = Fraction(0)
    for run in laid.runs:
        _, _, near, far = run.polygon.box
        long, wide = min(least, run.high - run.low), far - near
        # Of a piece as short as the rounding of its cut nothing is sure to be left.
        if long > to and wide > to:
            kept = Fraction(long - to, long + gap) * Fraction(wide - to, wide)
            found += kept * twice_area(difference((run.polygon,), cut)) / 2
    return int(found)
