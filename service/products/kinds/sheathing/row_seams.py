"""Where rows of sheets meet: seams between them, as far as both rows reach. Lengths are ticks."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from itertools import pairwise

from service.geometry.plane import difference
from service.geometry.rings import Region, reaches
from service.layout.runs import Course, Laid


@dataclass(frozen=True, slots=True)
class RowSeam:
    """Part of the seam between `row` and the next: that row's edge, and from where to where."""

    row: int
    at: int
    low: int
    high: int


def seams_of(laid: Laid, cut: Region) -> list[RowSeam]:
    """The seams of all rows, without what `cut` takes out of them (11.8)."""
    rows: dict[int, Region] = defaultdict(tuple)
    for run in laid.runs:
        rows[run.course] += difference((run.polygon,), cut)
    found = []
    for row, after in pairwise(laid.courses):
        at, beyond = _edges(row)[1], _edges(after)[0]
        ours, theirs = _along(rows[row.number], at), _along(rows[after.number], beyond)
        both = [(max(a, c), min(b, d)) for a, b in ours for c, d in theirs]
        found += [RowSeam(row.number, at, low, high) for low, high in both if low < high]
    return found


def _edges(row: Course) -> tuple[int, int]:
    """The edges across of a row: the one that faces the row before, then the other."""
    return (row.low, row.high) if row.starts_low else (row.high, row.low)


def _along(region: Region, at: int) -> list[tuple[int, int]]:
    """From where to where a row lies along its edge at `at`, taken a tick inside the row."""
    found = []
    for polygon in region:
        _, _, low, high = polygon.box
        if low <= at <= high:
            found += reaches(polygon, min(max(at, low + 1), high - 1), 1)
    return found


def midway(row: Course, after: Course) -> int:
    """The station across midway between two rows that follow each other."""
    return (max(row.low, after.low) + min(row.high, after.high)) // 2
