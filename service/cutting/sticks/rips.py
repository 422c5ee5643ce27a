"""Rips: pieces narrower than a board, several side by side in one blank (3.13, 16.7).

The mechanism of cutting to length, across the board: widths take the place of lengths, the board's
width that of the stick, and the long edges that of the factory ends. A rip that must keep one
long edge (a first course its tongue, a last course its groove) takes that edge of its blank, so a
blank has at most one of each; plain strips lie anywhere. A blank is as long as its longest rip
and is cut from a stick like any other piece. All lengths and widths are ticks.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import floor
from typing import NamedTuple

from service.cutting.effort import Effort
from service.cutting.records import Need, Plan, Stock
from service.cutting.sticks.bounds import material_bound
from service.cutting.sticks.set_cover import cheapest_sets, sets_that_fit
from service.cutting.sticks.solve import solve
from service.solver.programme import Programme

MOST_BLANKS = 3000
"""Ways of filling a blank that are weighed at most; with more, rips share only by twos."""

MOST_FILLINGS = 500
"""Sets of strips side by side that are priced at most; with more, strips are worth their area."""

WHOLE = 1 << 20
"""What a whole board's width is worth."""


class RipWidth(NamedTuple):
    """A width to which pieces are ripped; `low_edge`, `high_edge`: the long edges they keep.

    By `trim` the first edge of their board is ripped off, once for all that come from it (16.7).
    """

    width: int
    low_edge: bool = False
    high_edge: bool = False
    trim: int = 0


class Rip(NamedTuple):
    """A piece ripped to a strip's width that keeps the strip's edges."""

    need: Need
    width: int
    low_edge: bool = False
    high_edge: bool = False
    trim: int = 0


@dataclass(frozen=True, slots=True)
class WholeBoard:
    """What rips are sawn from: the board's overall width and the kerf.

    `turns`: both long edges are alike, so a board may be turned end for end and an edge that a
    rip keeps may be either (8.4).
    """

    width: int
    kerf: int
    turns: bool = False

    def holds(self, rips: Sequence[RipWidth | Rip]) -> bool:
        """Whether rips lie side by side: widths, kerfs between, one trim, each edge kept once."""
        trim = max((rip.trim for rip in rips), default=0)
        if sum(rip.width for rip in rips) + self.kerf * (len(rips) - 1) > self.width - trim:
            return False
        lows = sum(rip.low_edge for rip in rips)
        highs = sum(rip.high_edge for rip in rips)
        if self.turns:
            return lows + highs <= 2
        return lows <= 1 and highs <= 1


@dataclass(frozen=True, slots=True)
class Blank:
    """A full-width piece of board and the rips that come from it."""

    need: Need
    rips: tuple[Rip, ...]


@dataclass(frozen=True, slots=True)
class RipPlan:
    """Blanks, and the plan that cuts them together with all other pieces."""

    blanks: tuple[Blank, ...]
    plan: Plan


def blanks_for(
    rips: Mapping[Rip, int], board: WholeBoard, effort: Effort
) -> tuple[Blank, ...] | None:
    """Blanks for all rips, of the least length together that is found; None if one is too wide.

    Rips share a blank only if their ends are alike, since a blank has two ends.
    """
    if any(rip.width > board.width - rip.trim for rip in rips):
        return None
    found: list[Blank] = []
    for ends in sorted({rip.need[1:] for rip in rips}):
        own = {rip: n for rip, n in sorted(rips.items()) if n and rip.need[1:] == ends}
        found += _blanks(own, board, effort)
    return tuple(found)


def _blanks(rips: Mapping[Rip, int], board: WholeBoard, effort: Effort) -> list[Blank]:
    """Blanks for rips whose ends are alike."""
    order = sorted(rips, key=lambda rip: (-rip.need.length, rip))
    fillings = list(sets_that_fit(order, rips, board.holds, MOST_BLANKS))
    if len(fillings) > MOST_BLANKS:
        fillings = [one for one in fillings if len(one) <= 2][:MOST_BLANKS]
    lengths = [float(one[0].need.length) for one in fillings]
    chosen = cheapest_sets(fillings, lengths, rips, effort)
    numbers = (0,) * len(fillings) if chosen is None else chosen.numbers
    return _taken(fillings, numbers, Counter(rips))


def _taken(
    fillings: Sequence[tuple[Rip, ...]], numbers: Sequence[int], left: Counter[Rip]
) -> list[Blank]:
    """Blanks by the chosen numbers without rips too many; what is left gets one each."""
    found = []
    for filling, number in zip(fillings, numbers, strict=True):
        for _ in range(number):
            kept = []
            for rip in filling:
                if left[rip] > 0:
                    left[rip] -= 1
                    kept.append(rip)
            if kept:
                found.append(Blank(kept[0].need, tuple(kept)))
    return found + [Blank(rip.need, (rip,)) for rip in left.elements()]


def rip_plan(
    stocks: Sequence[Stock],
    needs: Mapping[Need, int],
    rips: Mapping[Rip, int],
    board: WholeBoard,
    effort: Effort,
    *,
    apart_too: bool = True,
) -> RipPlan | None:
    """Rips pooled and cut with all other pieces; None if a rip is too wide or stock runs short.

    Where a plan with a board for each rip is tried `too`, pooling never costs more. The bound
    holds for every way of pooling, and of cutting the strips of a board to length one by one.
    """
    pooled = blanks_for(rips, board, effort)
    if pooled is None:
        return None
    tried = [pooled]
    if apart_too:
        tried.append(tuple(Blank(r.need, (r,)) for r, n in sorted(rips.items()) for _ in range(n)))
    bound = _side_by_side_bound(stocks, needs, rips, board)
    best: RipPlan | None = None
    for blanks in dict.fromkeys(tried):
        wanted = Counter(needs) + Counter(blank.need for blank in blanks)
        plan = solve(stocks, wanted, board.kerf, effort)
        if plan is not None and (best is None or plan.cost < best.plan.cost):
            best = RipPlan(blanks, plan)
    if best is None:
        return None
    sure = min(bound, best.plan.cost)
    return RipPlan(best.blanks, Plan(best.plan.sticks, best.plan.cost, sure, best.plan.work))


def _side_by_side_bound(
    stocks: Sequence[Stock], needs: Mapping[Need, int], rips: Mapping[Rip, int], board: WholeBoard
) -> int:
    """What the bare length of all pieces must cost, rips as close as they lie side by side."""
    strips: Counter[RipWidth] = Counter()
    for rip, count in rips.items():
        strips[RipWidth(*rip[1:])] += rip.need.length * count
    lengths = Counter(needs)
    lengths[Need(least_length(strips, board))] += 1
    return material_bound(stocks, lengths, 0, ends_known=False)


def least_length(strips: Mapping[RipWidth, int], board: WholeBoard) -> int:
    """How much length of board rips take at least, of which each strip has so much length.

    Wherever a board is cut across, only such rips are cut as lie side by side in it. So if those
    are never worth more than a whole board's width, boards are at least as long as all rips are
    worth by their length.
    """
    worth = _worths(strips, board)
    return sum(length * worth[strip] for strip, length in strips.items()) // WHOLE


def _worths(strips: Mapping[RipWidth, int], board: WholeBoard) -> dict[RipWidth, int]:
    """What share of a board's width, in `WHOLE`ths, each strip is worth: the most that can be."""
    order = sorted(strips)
    most = {strip: board.width // max(1, strip.width) for strip in order}
    fillings = list(sets_that_fit(order, most, board.holds, MOST_FILLINGS))
    solved = _priced(order, strips, fillings) if len(fillings) <= MOST_FILLINGS else None
    if solved is None:
        return {strip: WHOLE * strip.width // board.width for strip in order}
    found = {strip: max(0, floor(dual * WHOLE)) for strip, dual in zip(order, solved, strict=True)}
    over = max(WHOLE, *(sum(found[strip] for strip in filling) for filling in fillings))
    return {strip: worth * WHOLE // over for strip, worth in found.items()}


def _priced(
    order: Sequence[RipWidth],
    strips: Mapping[RipWidth, int],
    fillings: Sequence[Sequence[RipWidth]],
) -> Sequence[float] | None:
    """The prices of strips at which boards, filled in the best ways, are just worth their width."""
    programme, rows = Programme(), {strip: k for k, strip in enumerate(order)}
    longest = max(strips.values())
    for strip in order:
        programme.add_row(strips[strip] / longest)
    for filling in fillings:
        programme.add_column(1.0, {rows[one]: float(n) for one, n in Counter(filling).items()})
    solved = programme.solve()
    return None if solved is None else solved.duals
