"""Wrap on a rectangle, recounted from what was asked and from the pieces; no part of the service.

Lengths are exact fractions of an inch. The surface's low corner lies at 0, 0, and widths run along
x or along y.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import ceil
from typing import Any

from shapely.geometry import box
from shapely.ops import unary_union

Row = dict[str, Any]
SAW_GAP = Fraction(1, 8)
END, PITCH = Fraction(3, 2), Fraction(12)


@dataclass(frozen=True)
class Wrapped:
    """A rectangle under one layer of wrap: its request, its answer, and how the widths run."""

    request: Row
    answer: Row

    @property
    def surface(self) -> Row:
        """The surface as sent."""
        found: Row = self.request["surfaces"][0]
        return found

    @property
    def along_x(self) -> bool:
        """Whether the widths run along x."""
        return bool(self.answer["layers"][0]["direction"] == 0)

    @property
    def lap(self) -> Fraction:
        """The side lap asked for."""
        return Fraction(self.request["rules"]["wrap_lap"])

    def holes(self, gap: Fraction) -> list[tuple[Fraction, ...]]:
        """Openings as low x, low y, high x, high y, grown by `gap`."""
        return [
            (x - gap, y - gap, x + long + gap, y + wide + gap)
            for x, y, long, wide in (
                map(Fraction, one["rectangle"]) for one in self.surface.get("openings", [])
            )
        ]

    def seams(self) -> list[Fraction]:
        """The middle of each side lap, measured across the widths."""
        edges = [
            sorted(Fraction(row[side]) for side in ("near", "far"))
            for row in self.answer["courses"]
        ]
        return [(one[1] + two[0]) / 2 for one, two in pairwise(sorted(edges))]


def caps_on_members(one: Wrapped) -> int:
    """Every point along every member, one by one, less those beside a lap's row (13.6, 18.8)."""
    supports = one.surface["supports"]
    upright = supports["direction"] == 90
    across, length = map(Fraction, one.surface["rectangle"][:: 1 if upright else -1])
    spacing = Fraction(str(supports["spacing"]))
    members = [k * spacing for k in range(1, ceil(across / spacing)) if k * spacing < across]
    total = 0
    for at in members:
        if upright != one.along_x and any(abs(at - seam) < PITCH / 2 for seam in one.seams()):
            continue
        for low, high in _bare(one, at, length, upright):
            for point in _points(low, high):
                beside = any(abs(point - seam) < PITCH / 2 for seam in one.seams())
                total += not (upright == one.along_x and beside)
    return total


def _bare(
    one: Wrapped, at: Fraction, length: Fraction, upright: bool
) -> Iterator[tuple[Fraction, Fraction]]:
    """What of a member lies behind wrap that is not cut away."""
    first, second = (0, 1) if upright else (1, 0)
    cuts = sorted(
        (hole[second], hole[second + 2])
        for hole in one.holes(SAW_GAP)
        if hole[first] <= at < hole[first + 2]
    )
    start = Fraction(0)
    for low, high in cuts:
        yield start, low
        start = high
    yield start, length


def _points(low: Fraction, high: Fraction) -> list[Fraction]:
    """Points at most 12 in apart, 1-1/2 in from the ends but never over a quarter (18.1)."""
    length = high - low
    if length < 2:
        return [(low + high) / 2]
    end = min(END, length / 4)
    spaces = max(1, ceil((length - 2 * end) / PITCH))
    return [low + end + k * (length - 2 * end) / spaces for k in range(spaces + 1)]


def boxes(one: Wrapped) -> list[tuple[int, Any]]:
    """Each piece's width number and its box, in stations, floats."""
    return [
        (row["course"], box(row["from"], *_low(row), row["to"], *_high(row)))
        for row in one.answer["pieces"]
    ]


def _low(row: Row) -> tuple[float]:
    return (min(row["near"], row["far"]),)


def _high(row: Row) -> tuple[float]:
    return (max(row["near"], row["far"]),)


def tape(one: Wrapped) -> dict[str, float]:
    """Lengths of tape along laps: the area on which two pieces lie, over how far they lap."""
    placed = boxes(one)
    numbers = sorted({number for number, _ in placed})
    strips = {n: unary_union([shape for number, shape in placed if number == n]) for n in numbers}
    sides = sum(strips[a].intersection(strips[b]).area for a, b in pairwise(numbers))
    ends = sum(
        sum(shape.area for number, shape in placed if number == n) - strips[n].area for n in numbers
    )
    return {"side laps": sides / float(one.lap), "end laps": ends / 6}


def accounts(one: Wrapped, turn: float) -> dict[str, float]:
    """Square inches of the ledger that the pieces and the request decide alone."""
    placed = [shape for _, shape in boxes(one)]
    union, long, wide = unary_union(placed), *map(float, one.surface["rectangle"])
    reached = (long + 2 * turn) * (wide + 2 * turn)
    cut = sum(
        float((high_x - low_x) * (high_y - low_y))
        for low_x, low_y, high_x, high_y in one.holes(SAW_GAP)
    )
    return {
        "installed": long * wide - cut,
        "notch": cut,
        "rip": union.area - reached,
        "lap_or_tongue": sum(shape.area for shape in placed) - union.area + reached - long * wide,
    }
