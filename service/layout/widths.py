"""Widths of a roll across a surface: where each lies, and its strips. Lengths are ticks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from service.geometry.plane import clip_to_boxes
from service.geometry.rings import Region, bounds
from service.geometry.strips import refined


@dataclass(frozen=True, slots=True)
class Width:
    """One width of the roll: its edges across, and what of it lies on no width before.

    `low` and `high` are the edges; `own` the part that this width is the first to cover. `lap` is
    how far it laps the width before.
    """

    number: int
    low: int
    high: int
    own: tuple[int, int]
    lap: int
    starts_low: bool


@dataclass(frozen=True, slots=True)
class RollStrip:
    """One length of the roll in a width, from end to end, in one `bay` of the surface."""

    width: int
    number: int
    low: int
    high: int
    bay: int = 0


def count(across: int, roll: int, lap: int) -> int:
    """How many widths cover `across`; `roll` is wider than `lap` (13.2)."""
    return 1 if across <= roll else 1 + -(-(across - roll) // (roll - lap))


def widths_over(low: int, high: int, roll: int, lap: int, starts_low: bool) -> tuple[Width, ...]:
    """Widths from the low or the high edge on; the last one reaches past the other edge."""
    found = []
    for k in range(count(high - low, roll, lap)):
        near = k * (roll - lap)
        far = near + roll
        edges = (near, far, near + (lap if k else 0))
        if starts_low:
            a, b, first = (low + edge for edge in edges)
            found.append(Width(k + 1, a, b, (first, b), lap if k else 0, True))
        else:
            b, a, first = (high - edge for edge in edges)
            found.append(Width(k + 1, a, b, (a, first), lap if k else 0, False))
    return tuple(found)


def strips_over(bays: Sequence[Region], widths: Sequence[Width]) -> tuple[RollStrip, ...]:
    """The strips of each width, bay by bay: as long as what it is the first to cover there.

    They are apart where that is. Each of `bays` is what is covered of it.
    """
    reaches = [_reaches(cover, widths) for cover in bays]
    return tuple(
        RollStrip(width.number, number, low, high, bay)
        for k, width in enumerate(widths)
        for number, (bay, (low, high)) in enumerate(
            ((bay, reach) for bay, own in enumerate(reaches) for reach in own[k]), 1
        )
    )


def _reaches(cover: Region, widths: Sequence[Width]) -> list[list[tuple[int, int]]]:
    """From where to where each width covers a region."""
    lines = sorted({edge for width in widths for edge in width.own})
    cut = refined(cover, lines, axis=1)
    low, high, _, _ = bounds(cover)
    parts = clip_to_boxes(cut, [(low, high, *width.own) for width in widths])
    return [_merged(sorted(polygon.box[:2] for polygon in own)) for own in parts]


def _merged(reaches: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Reaches that overlap become one; they ascend."""
    found: list[tuple[int, int]] = []
    for low, high in reaches:
        if found and low <= found[-1][1]:
            found[-1] = (found[-1][0], max(high, found[-1][1]))
        else:
            found.append((low, high))
    return found


@dataclass(frozen=True, slots=True)
class SideLap:
    """A side lap: the station across of its middle, and its ends along."""

    at: int
    low: int
    high: int


def seams_between(widths: Sequence[Width], strips: Sequence[RollStrip]) -> tuple[SideLap, ...]:
    """Where strips of neighbouring widths lie on each other in a bay; those of a width ascend."""
    own: dict[tuple[int, int], list[RollStrip]] = defaultdict(list)
    for strip in strips:
        own[strip.width, strip.bay].append(strip)
    bays = sorted({strip.bay for strip in strips})
    return tuple(
        SideLap(_middle(width), low, high)
        for width in widths[1:]
        for bay in bays
        for low, high in _shared(own[width.number, bay], own[width.number - 1, bay])
    )


def _middle(width: Width) -> int:
    """The station across of the middle of a width's lap."""
    if width.starts_low:
        return (width.low + width.own[0]) // 2
    return (width.own[1] + width.high) // 2


def _shared(ones: Sequence[RollStrip], others: Sequence[RollStrip]) -> Iterator[tuple[int, int]]:
    """The reaches that two ascending rows of strips share."""
    i = j = 0
    while i < len(ones) and j < len(others):
        one, other = ones[i], others[j]
        low, high = max(one.low, other.low), min(one.high, other.high)
        if low < high:
            yield low, high
        if one.high <= other.high:
            i += 1
        else:
            j += 1
