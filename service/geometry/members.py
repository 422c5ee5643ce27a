"""The members of a surface in order, and how far each reaches behind the outline."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from service.geometry.rings import Line, Ring
from service.geometry.surface import Member, Surface
from service.units.ticks import whole


@dataclass(frozen=True, slots=True)
class Numbered:
    """A member, its number from the left or from below, and its station from the lowest corner.

    Numbers count from 1; the station is in ticks. `index` is its place in `Surface.members`.
    """

    number: int
    at: int
    index: int
    member: Member


def numbered(surface: Surface) -> tuple[Numbered, ...]:
    """The members of `surface` by ascending number, as findings and answers name them."""
    placed = []
    lowest: dict[tuple[float, float], int] = {}
    for k, one in enumerate(surface.members):
        sign = 1 if (round(one.a, 9), round(one.b, 9)) > (0, 0) else -1
        a, b = way = sign * one.a, sign * one.b
        if way not in lowest:  # members are parallel, but for how they were computed
            lowest[way] = min(whole(a * x + b * y) for x, y in surface.outline)
        placed.append((sign * one.d - lowest[way], k, one))
    placed.sort(key=lambda row: row[:2])
    return tuple(Numbered(k + 1, *row) for k, row in enumerate(placed))


def behind(outline: Ring, member: Member) -> Line | None:
    """The ends of a member's centre line, as far as it lies behind `outline`; outermost first.

    Where the outline is in parts along it, from the first to the last. Where only its edge lies
    behind the outline, as far as that does; None where nothing of it does. Left or lower end first.
    """
    places = [*_met(outline, member, 0.0)] or [
        at for side in (-0.5, 0.5) for at in _met(outline, member, side * member.thickness)
    ]
    if not places:
        return None
    first, last = (_on(member, at) for at in (min(places), max(places)))
    return (first, last) if first <= last else (last, first)


def _met(outline: Ring, member: Member, aside: float) -> Iterator[float]:
    """Where a line beside a member's centre line, `aside` ticks of it, meets the outline."""
    before = (*outline[-1:], *outline[:-1])
    for start, end in zip(before, outline, strict=True):
        (low, a), (high, b) = (_seen(member, point, aside) for point in (start, end))
        if abs(high) <= _ON:
            yield b
        elif min(low, high) < -_ON and max(low, high) > _ON:
            yield a + (b - a) * low / (low - high)


_ON = 0.5
"""Ticks within which a corner lies on a line."""


def _seen(member: Member, point: tuple[int, int], aside: float) -> tuple[float, float]:
    """A point's distance from a line beside a member, and its place along it."""
    x, y = point
    return (
        member.a * x + member.b * y - member.d - aside,
        member.a * y - member.b * x,
    )


def _on(member: Member, at: float) -> tuple[int, int]:
    """The point of a member's centre line at a place along it."""
    return (
        whole(member.a * member.d - member.b * at),
        whole(member.b * member.d + member.a * at),
    )
