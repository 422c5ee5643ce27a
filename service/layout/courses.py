"""Courses across a width: the ways in which the odd width is shared.

Rules 3.1 to 3.7 and 3.15. Positions are ticks from the start edge of the boarded
region, in laying order; `layout.runs` places them in the frame.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from service.units.ticks import SIXTY_FOURTH

Rip = Literal["none", "start", "end", "both"]
"""Which edge of a course is cut, seen in laying order."""

Start = Literal[
    "balanced", "balanced_narrow", "full_first", "equal", "middle", "slid", "aim", "wrapped"
]
"""`middle` has a joint at the middle of the outline across, `slid` the best line of all (3.9).

`wrapped` goes on with what the last board round a corner left (3.16).
"""


@dataclass(frozen=True, slots=True)
class CourseBand:
    """One course: its two edges from the start edge, and which of them is ripped."""

    near: int
    far: int
    rip: Rip

    @property
    def face(self) -> int:
        """Width that shows."""
        return self.far - self.near


@dataclass(frozen=True, slots=True)
class Widths:
    """What shares the width: the net width, the coverage and the open joint (ticks).

    `groove` is what is ripped off a whole first course because nothing covers its groove (3.10).
    A strip left over of `first_drops` or less is left to the gap at the start, one of `last_drops`
    to the gap at the far side (3.1, 3.9).
    """

    net: int
    coverage: int
    spacer: int = 0
    groove: int = 0
    first_drops: int = SIXTY_FOURTH
    last_drops: int = SIXTY_FOURTH

    @property
    def module(self) -> int:
        """From course to course."""
        return self.coverage + self.spacer

    @property
    def whole_first(self) -> int:
        """Face of a first course of which no more is ripped off than it must."""
        return self.coverage - self.groove


@dataclass(frozen=True, slots=True)
class Scheme:
    """One way of laying the courses.

    `first_gap` is what the gap at the start grows by. `spacer` is the open joint that it needs.
    """

    start: Start
    strips: tuple[CourseBand, ...]
    spacer: int
    first_gap: int = 0

    @property
    def first(self) -> int:
        """Face of the first course."""
        return self.strips[0].face

    @property
    def last(self) -> int:
        """Face of the last course."""
        return self.strips[-1].face


@dataclass(frozen=True, slots=True)
class Feature:
    """A station, from the start edge, that a joint or a board's centre should meet."""

    at: int
    on: Literal["joint", "centre"]


def stepped(widths: Widths, first: int, start: Start, first_gap: int = 0) -> Scheme:
    """Courses from a first face of `first`: whole boards after it, the last takes the rest."""
    count = 1 + max(0, -(-(widths.net - first) // widths.module))
    strips = [CourseBand(0, first, "none" if first == widths.coverage else "start")]
    for k in range(1, count):
        near = first + widths.spacer + (k - 1) * widths.module
        far = min(near + widths.coverage, widths.net)
        if far - near <= widths.last_drops:
            break
        strips.append(CourseBand(near, far, "none" if far - near == widths.coverage else "end"))
    return Scheme(start, _closed(strips, widths), widths.spacer, first_gap)


def _closed(strips: list[CourseBand], widths: Widths) -> tuple[CourseBand, ...]:
    """A last course within 1/64 in of whole is whole: the gap beyond it takes the difference."""
    last = strips[-1]
    if 0 < widths.coverage - last.face <= SIXTY_FOURTH and len(strips) > 1:
        strips[-1] = CourseBand(last.near, last.near + widths.coverage, "none")
    return tuple(strips)


def full_first(widths: Widths) -> Scheme:
    """A whole first course, the last takes what is left (3.2)."""
    if widths.net < widths.coverage:
        return _single(widths, "full_first")
    return stepped(widths, widths.whole_first, "full_first")


def balanced(widths: Widths) -> Scheme:
    """First and last alike and at least half a board (3.3).

    A width of whole courses has nothing to share, unless the first must lose its groove: then a
    board less is left whole, and first and last share it.
    """
    left = _left_over(widths)
    if widths.net < widths.coverage:
        return _single(widths, "balanced")
    if widths.coverage - left <= SIXTY_FOURTH and widths.groove:
        return stepped(widths, (left - widths.spacer) // 2, "balanced")
    if not widths.groove and (left <= SIXTY_FOURTH or widths.coverage - left <= SIXTY_FOURTH):
        whole = full_first(widths)
        return Scheme("balanced", whole.strips, whole.spacer)
    return stepped(widths, (widths.coverage + left) // 2, "balanced")


def whole(widths: Widths) -> Scheme | None:
    """Whole courses alone, what is left over shared by the gaps of both walls, or taken by one.

    None where it is more than these take, or no more than 1/64 in, which no way has to share.
    """
    left, most = _left_over(widths), max(widths.first_drops, widths.last_drops)
    if widths.groove or most <= SIXTY_FOURTH or widths.net < widths.coverage:
        return None
    if left <= SIXTY_FOURTH:
        return None
    shared = max(0, left - widths.spacer + 1) // 2
    if shared <= min(widths.first_drops, widths.last_drops):
        return _moved(widths, (left + widths.spacer) // 2, "balanced")
    if left <= widths.last_drops:
        return replace(full_first(widths), start="balanced")
    if left <= widths.first_drops:
        return _moved(widths, left + widths.spacer, "balanced")
    return None


def balanced_narrow(widths: Widths) -> Scheme | None:
    """First and last alike and under half a board (3.4); None where nothing is left to share."""
    left = _left_over(widths)
    first = (left - widths.spacer) // 2
    if widths.net < widths.coverage or first <= SIXTY_FOURTH:
        return None
    return from_line(widths, first, "balanced_narrow")


def equal(widths: Widths) -> Scheme:
    """The fewest courses of equal exposure, none over the coverage (3.15)."""
    count = -(-widths.net // widths.coverage)
    sides = [widths.net * k // count for k in range(count + 1)]
    strips = tuple(CourseBand(a, b, "none") for a, b in itertools.pairwise(sides))
    return Scheme("equal", strips, 0)


def aimed(widths: Widths, feature: Feature, shift: int = 0) -> Scheme:
    """Courses that put a joint or a board's centre on `feature`, moved by `shift` (3.6)."""
    datum = feature.at - widths.spacer // 2 if feature.on == "joint" else 0
    if feature.on == "centre":
        datum = feature.at + widths.coverage // 2
    return from_line(widths, (datum + shift) % widths.module, "aim")


def from_line(widths: Widths, line: int, start: Start) -> Scheme:
    """Courses whose first joint begins `line` from the start edge, 0 up to a module (3.6)."""
    first = line if line > SIXTY_FOURTH else widths.module
    if SIXTY_FOURTH < line <= widths.first_drops and line + widths.module <= widths.net:
        return _moved(widths, line + widths.spacer, start)
    if first >= widths.net:
        return _single(widths, start)
    if first >= widths.coverage and first > widths.whole_first:
        return _moved(widths, first - widths.whole_first, start)
    return stepped(widths, first, start)


def _moved(widths: Widths, gap: int, start: Start) -> Scheme:
    """A whole first course, so far from the start edge; the last takes the rest."""
    moved = stepped(replace(widths, net=widths.net - gap), widths.whole_first, start, gap)
    strips = tuple(CourseBand(s.near + gap, s.far + gap, s.rip) for s in moved.strips)
    return Scheme(start, strips, moved.spacer, gap)


def _left_over(widths: Widths) -> int:
    return widths.net - (widths.net + widths.spacer) // widths.module * widths.module


def _single(widths: Widths, start: Start) -> Scheme:
    """One course over the whole width, both edges cut (3.5)."""
    return Scheme(start, (CourseBand(0, widths.net, "both"),), widths.spacer)


def schemes(widths: Widths, features: Sequence[Feature], spacer_max: int) -> list[Scheme]:
    """Every way worth comparing, the plain ones first; the order of features changes nothing.

    The start whose largest miss is the least lies in the middle between two features as they lie on
    a course, the near way round or, with more than two, the other: so each two of them share their
    miss in one of the ways (3.7).
    """
    found: list[Scheme | None] = [balanced(widths), whole(widths), full_first(widths)]
    in_order = sorted(features, key=lambda one: (one.at, one.on))
    found += [aimed(widths, feature) for feature in in_order]
    for one, two in itertools.combinations(in_order, 2):
        found += _for_two(widths, one, two, spacer_max, both_ways=len(in_order) > 2)
    found.append(balanced_narrow(widths))
    return [scheme for scheme in found if scheme is not None]


def _for_two(
    widths: Widths, one: Feature, two: Feature, spacer_max: int, *, both_ways: bool
) -> list[Scheme]:
    """Split the miss between two features, or spread the joints until both are met (3.7)."""
    apart = two.at - one.at + _centre_shift(widths, two) - _centre_shift(widths, one)
    count = (2 * apart + widths.module) // (2 * widths.module)
    miss = apart - count * widths.module
    found = [aimed(widths, one, miss // 2)]
    found += [aimed(widths, one, (miss + widths.module) // 2)] * both_ways
    if count >= 1:
        spread = apart // count - widths.coverage
        if 0 <= spread <= spacer_max:
            found.append(aimed(replace(widths, spacer=spread), one))
    return found


def _centre_shift(widths: Widths, feature: Feature) -> int:
    return widths.coverage // 2 if feature.on == "centre" else 0
