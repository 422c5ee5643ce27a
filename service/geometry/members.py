"""The members of a surface: where they lie, in order, and how far each reaches."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import hypot, sqrt

from service.geometry.frame import axis_across
from service.geometry.rings import Line, Ring
from service.geometry.slope import Slope
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
    seen = [_seen(member, point, aside) for point in outline]
    for (low, a), (high, b) in zip(seen[-1:] + seen[:-1], seen, strict=True):
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


def member_lines(
    outline: Ring,
    degrees: Fraction,
    positions: list[int],
    thickness: int,
    slope: Slope | None,
    mirror: int | None,
) -> tuple[Member, ...]:
    """Centre lines at `positions`, measured across the members from the plan outline's lowest.

    `outline` is in plan; the lines come back in true size, mirrored about `mirror` if not None.
    """
    normal = axis_across(degrees % 180)
    low = min(whole(x * normal[0] + y * normal[1]) for x, y in outline)
    lines = [_line(normal, low + position, slope, mirror) for position in positions]
    return tuple(Member(a, b, d, thickness) for a, b, d in lines)


def _line(
    normal: tuple[float, float], distance: int, slope: Slope | None, mirror: int | None
) -> tuple[float, float, int]:
    a, b = normal
    d = float(distance)
    if slope is not None:
        shrink = 1 / sqrt(1 + slope.ratio**2) - 1
        rise = a * slope.up[0] + b * slope.up[1]
        a, b = a + rise * shrink * slope.up[0], b + rise * shrink * slope.up[1]
        size = hypot(a, b)
        a, b, d = a / size, b / size, d / size
    if mirror is not None:
        a, d = -a, d - a * mirror
    return a, b, whole(d)
