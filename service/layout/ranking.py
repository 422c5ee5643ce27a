"""Which way of laying courses is best: by the rips that it leaves and the features that it meets.

Rules 3.1 and 3.9. Positions are ticks from the start edge of the boarded region, in laying order.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from service.layout.courses import CourseBand, Feature, Scheme
from service.units.ticks import SIXTY_FOURTH
from service.units.writing import inches


@dataclass(frozen=True, slots=True)
class Edges:
    """Edges of the region that run with the boards, at which a course is cut lengthwise.

    `near_side` edges have the region beyond them (seen from the start), `far_side` before them; of
    a tapering edge both ends. `first` and `last` say whether the region has an edge at its start
    and at its far side: where it ends in a point there is no rip to be too narrow (3.9, 4.4).
    The gap at an edge of `near_gives` or `far_gives` takes a strip of up to `gives` that would be
    left over; these have, by either end of it, the end where that strip is widest. `first_gives`
    and `last_gives` say it of all edges at the start, and at the far side.
    """

    near_side: tuple[int, ...] = ()
    far_side: tuple[int, ...] = ()
    first: bool = True
    last: bool = True
    gives: int = 0
    near_gives: Mapping[int, int] = field(default_factory=dict)
    far_gives: Mapping[int, int] = field(default_factory=dict)
    first_gives: bool = False
    last_gives: bool = False

    @property
    def none(self) -> bool:
        """Whether no edge runs with the boards, so that their field is a diagonal one."""
        return not (self.near_side or self.far_side or self.first or self.last)


ROUNDED: Final = 2
"""Ticks by which halves may differ."""


@dataclass(frozen=True, slots=True)
class Limits:
    """Widths a rip should and must have, and the miss allowed at a feature (ticks)."""

    preferred: int
    hard: int
    tolerance: int


@dataclass(frozen=True, slots=True)
class Ranked:
    """A scheme with what it was judged by: smallest rip, features missed, and why in words."""

    scheme: Scheme
    smallest_rip: int | None
    misses: tuple[int, ...]
    fails: bool
    why: str

    def meets(self, tolerance: int) -> bool:
        """Whether no feature is missed by more than that (ticks)."""
        return max(self.misses, default=0) <= tolerance


def ranked(
    found: Sequence[Scheme], features: Sequence[Feature], edges: Edges, limits: Limits
) -> list[Ranked]:
    """Schemes in the order of choice (3.9), equal ones once.

    No hard failure, then all features met or the largest miss the least (3.7), then fewer missed,
    then two features that share what they miss before other aims at them, then the larger smallest
    rip, then fewer courses.
    """
    judged = [_judged(scheme, features, edges, limits) for scheme in _distinct(found)]
    tight = min(one.scheme.spacer for one in judged)
    shared = any(_is_shared(one, limits, tight) for one in judged)

    def place(one: Ranked) -> tuple[bool, int, int, bool, int, int]:
        missed = [miss for miss in one.misses if miss > limits.tolerance]
        smallest = one.smallest_rip if one.smallest_rip is not None else limits.preferred * 8
        other = shared and one.scheme.start == "aim" and not _is_shared(one, limits, tight)
        return (
            one.fails,
            max(missed, default=0),
            len(missed),
            other,
            -smallest,
            len(one.scheme.strips),
        )

    return sorted(judged, key=place)


def _is_shared(one: Ranked, limits: Limits, spacer: int) -> bool:
    """Whether it meets two features, each with half of what both miss, joints unspread (3.7)."""
    if one.scheme.start != "aim" or one.scheme.spacer != spacer or len(one.misses) != 2:
        return False
    near, far = one.misses
    return not one.fails and one.meets(limits.tolerance) and abs(near - far) <= ROUNDED


def _distinct(found: Sequence[Scheme]) -> list[Scheme]:
    distinct: dict[tuple[CourseBand, ...], Scheme] = {}
    for scheme in found:
        distinct.setdefault(scheme.strips, scheme)
    return list(distinct.values())


def _judged(scheme: Scheme, features: Sequence[Feature], edges: Edges, limits: Limits) -> Ranked:
    rips = rips_of(scheme, edges)
    smallest = min(rips, default=None)
    misses = tuple(_miss(scheme, feature) for feature in features)
    fails = smallest is not None and smallest < limits.hard
    return Ranked(scheme, smallest, misses, fails, _why(scheme, smallest, misses, limits))


def rips_of(scheme: Scheme, edges: Edges) -> list[int]:
    """Widths of every piece that is cut lengthwise: first, last, and at edges in between.

    What is within 1/64 in of a whole course, or of none, is no rip there (3.1); neither is a strip
    that is left to the gap of its wall (3.9).
    """
    first, last = scheme.strips[0], scheme.strips[-1]
    found = [first.face] if edges.first and first.rip in ("start", "both") else []
    found += [last.face] if edges.last and last.rip in ("end", "both") else []
    nears = [strip.near for strip in scheme.strips]
    for at in edges.near_side:
        strip = scheme.strips[max(0, bisect_left(nears, at) - 1)]
        dropped = at in edges.near_gives and strip.far - edges.near_gives[at] <= edges.gives
        if min(at - strip.near, strip.far - at) > SIXTY_FOURTH and not dropped:
            found.append(strip.far - at)
    for at in edges.far_side:
        strip = scheme.strips[max(0, bisect_left(nears, at) - 1)]
        dropped = at in edges.far_gives and edges.far_gives[at] - strip.near <= edges.gives
        if min(at - strip.near, strip.far - at) > SIXTY_FOURTH and not dropped:
            found.append(at - strip.near)
    return found


def _miss(scheme: Scheme, feature: Feature) -> int:
    """Distance from a feature to the nearest joint, or centre of a course (ticks)."""
    if feature.on == "centre":
        places = [(strip.near + strip.far) // 2 for strip in scheme.strips]
    else:
        pairs = zip(scheme.strips, scheme.strips[1:], strict=False)
        places = [(a.far + b.near) // 2 for a, b in pairs]
    return min((abs(place - feature.at) for place in places), default=feature.at)


def _why(scheme: Scheme, smallest: int | None, misses: tuple[int, ...], limits: Limits) -> str:
    parts = ["no rip" if smallest is None else f"smallest rip {inches(smallest)}"]
    if smallest is not None and smallest < limits.hard:
        parts.append(f"under the least of {inches(limits.hard)}")
    elif smallest is not None and smallest < limits.preferred:
        parts.append(f"under the preferred {inches(limits.preferred)}")
    if misses:
        parts.append(f"misses the features by at most {inches(max(misses), 64)}")
    parts.append(f"{len(scheme.strips)} courses")
    return ", ".join(parts)
