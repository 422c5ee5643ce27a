"""The start line, of all that there are, whose smallest rip is the widest (3.9). Lengths are ticks.

As the first joint moves away from the start by a module, the rip at an edge with the region
beyond it grows from nothing to a whole course, and that at an edge with the region before it
shrinks. So the smallest rip is piecewise linear: it is widest where one of them jumps, or where a
growing one meets a shrinking one, half way between the jump of the one and that of the other.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from itertools import pairwise

from service.layout.courses import Scheme, Widths, from_line
from service.layout.ranking import Edges, rips_of
from service.units.ticks import LONGEST, SIXTY_FOURTH


def best_line(widths: Widths, edges: Edges) -> Scheme | None:
    """Courses with the widest smallest rip (to 1/64 in), the fewest of these, the nearest line.

    None where one course takes the whole width.
    """
    if widths.net <= widths.coverage:
        return None
    inner = _jumps(widths, edges.near_side, edges.far_side)
    drops = max(SIXTY_FOURTH, edges.gives)
    lines = sorted((-_at_most(widths, inner, line, drops), line) for line in _lines(widths, edges))
    scheme, place = from_line(widths, lines[0][1], "slid"), (0, 0, 0)
    for at_best, line in lines:
        if at_best > place[0]:
            break
        found = from_line(widths, line, "slid")
        there = (-smallest_rip(found, edges), len(found.strips), line)
        if there < place:
            scheme, place = found, there
    return scheme


def smallest_rip(scheme: Scheme, edges: Edges) -> int:
    """The narrowest rip of a scheme; wider than any board where it has none."""
    return min(rips_of(scheme, edges), default=LONGEST)


Jumps = tuple[list[int], list[int]]
"""Lines at which a growing rip is nothing, and at which a shrinking one is; each ascending."""


def _jumps(widths: Widths, growing: Sequence[int], shrinking: Sequence[int]) -> Jumps:
    module = widths.module
    return (
        sorted({at % module for at in growing}),
        sorted({(at - widths.spacer) % module for at in shrinking}),
    )


def _lines(widths: Widths, edges: Edges) -> set[int]:
    """Every line at which the smallest rip can be widest, from 0 up to a module."""
    module, net = widths.module, widths.net
    inner = _jumps(widths, edges.near_side, edges.far_side)
    # The first and the last course jump where they are nearly whole, or nearly nothing, too.
    every = _jumps(widths, (0, *edges.near_side), (net, *edges.far_side))
    found = {*_breaks(widths, *every), *_meetings(module, *inner), *_meetings(module, *every)}
    steps = {SIXTY_FOURTH, edges.gives, widths.first_drops, widths.last_drops}
    jumps = {at + by * way for at in found for by in (0, *steps) for way in (-1, 1)}
    return {line % module for line in jumps}


def _breaks(widths: Widths, growing: Sequence[int], shrinking: Sequence[int]) -> Iterator[int]:
    """Where a rip is nothing, and where it is whole."""
    yield from (at + by for at in growing for by in (0, widths.coverage, widths.whole_first))
    yield from (at - by for at in shrinking for by in (0, widths.coverage))


def _meetings(module: int, growing: Sequence[int], shrinking: Sequence[int]) -> Iterator[int]:
    """Between two jumps the growing rip that jumped last meets the shrinking one that will next."""
    if growing and shrinking:
        jumps = sorted({*growing, *shrinking})
        for low, high in pairwise([*jumps, jumps[0] + module]):
            grown = _before(growing, low, module)
            yield from _half_way(grown, _next(shrinking, high, module))


def _half_way(low: int, high: int) -> tuple[int, int]:
    return (low + high) // 2, (low + high + 1) // 2


def _next(ascending: Sequence[int], at: int, module: int) -> int:
    """The first line that is not before `at`; lines come round again after a module."""
    rounds, rest = divmod(at, module)
    place = bisect_left(ascending, rest)
    found = ascending[place] if place < len(ascending) else ascending[0] + module
    return found + rounds * module


def _before(ascending: Sequence[int], at: int, module: int) -> int:
    """The last line that is not beyond `at`."""
    rounds, rest = divmod(at, module)
    place = bisect_right(ascending, rest)
    found = ascending[place - 1] if place else ascending[-1] - module
    return found + rounds * module


def _at_most(widths: Widths, inner: Jumps, line: int, drops: int) -> int:
    """A width that the smallest rip at the edges in between does not exceed from this line on.

    One within 1/64 in of a whole course, or of `drops` of nothing, may be no rip, so others count.
    """
    growing, shrinking = inner
    module, whole = widths.module, widths.whole_first - SIXTY_FOURTH
    rips = [module]
    if growing:
        rips.append(line - _before(growing, line - drops - 1, module))
    if shrinking:
        rips.append(_next(shrinking, line + drops + 1, module) - line)
    return min((rip for rip in rips if rip < whole), default=module)
