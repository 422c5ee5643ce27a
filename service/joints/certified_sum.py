"""A proof added up: what sticks are worth at its prices, and what all runs come to.

In integers, so that no rounding is behind a bound that is claimed.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from service.joints.certificate import (
    NOTHING,
    WHOLE,
    Ends,
    Prices,
    ProvedRun,
    Question,
    Steps,
    Window,
    risen,
)
from service.joints.stack import blocks

Values = npt.NDArray[np.int64]

NEVER = 1 << 60
PRINTED = 64
"""Ticks that the extent of a run may be off, as it is printed."""

MANY = 1_000
"""More joints than any run has."""


def stick_worths(asked: Question, prices: Prices) -> list[int]:
    """What each stock is worth at most, whatever pieces are cut from it."""
    kerf, grid = asked.kerf, prices.grid
    capacity = max((one.reach + kerf) // grid for one in asked.stocks)
    items = [
        (start, worth, ends)
        for ends, steps in prices.worths.items()
        for start, worth in zip(steps.starts, steps.worths, strict=True)
        if start <= capacity
    ]
    free = risen((start, worth) for start, worth, _ in items)
    if 0 in free.starts:
        return [NEVER] * len(asked.stocks)  # as many as you like of what takes no room
    # Pieces lie between others, whatever their ends are, and those that spare at the ends.
    sparing = [(start, worth) for start, worth, ends in items if ends]
    none = _filled(free, capacity)
    one_end = _with_one(none, sparing)
    both_ends = _with_one(one_end, sparing)
    alone = prices.worths.get(2, NOTHING)

    def cells(room: int) -> int:
        return max(0, (room + kerf) // grid)

    return [
        max(
            int(none[cells(one.usable)]),
            int(one_end[cells(one.usable + max(one.spare))]),
            int(both_ends[cells(one.reach)]),
            alone.at(cells(one.reach)),
        )
        for one in asked.stocks
    ]


def _filled(free: Steps, capacity: int) -> Values:
    """What each room is worth at most, filled with as many pieces as it holds."""
    starts, worths = (np.array(own, dtype=np.int64) for own in (free.starts, free.worths))
    best = np.zeros(capacity + 1, dtype=np.int64)
    for room in range(1, capacity + 1):
        held = bisect_right(free.starts, room)
        if held:
            best[room] = (worths[:held] + best[room - starts[:held]]).max()
    return best


def _with_one(filled: Values, items: Sequence[tuple[int, int]]) -> Values:
    """The same with one of some pieces at an end; below 0 where none has room."""
    best = np.full(len(filled), -NEVER, dtype=np.int64)
    for start, worth in items:
        np.maximum(best[start:], filled[: len(filled) - start] + worth, out=best[start:])
    return best


def within_cost(asked: Question, prices: Prices) -> Prices:
    """Prices so much lower that no stick without a limit is worth more than it costs."""
    worths = stick_worths(asked, prices)
    ratios = [
        one.cost / worth
        for one, worth in zip(asked.stocks, worths, strict=True)
        if one.most is None and worth > one.cost
    ]
    return prices.times(min(ratios)) if ratios else prices


def caps(asked: Question, prices: Prices) -> list[int] | None:
    """What each stock is worth beyond its cost, if there are only so many; None if there are not.

    Then nothing is proved.
    """
    found = []
    for one, worth in zip(asked.stocks, stick_worths(asked, prices), strict=True):
        over = max(0, -((one.cost - worth) // 1))
        if over and one.most is None:
            return None
        found.append(over)
    return found


def shares_hold(asked: Question, widths: Steps) -> bool:
    """Whether rips that lie side by side in a board are never worth more than a whole one."""
    if asked.board is None:
        return True
    room, items = asked.board + asked.kerf, list(zip(widths.starts, widths.worths, strict=True))

    def most(left: int, k: int) -> int:
        """The most that fits beside others: few rips lie in a board, so all are tried."""
        best = 0
        for j in range(k, len(items)):
            start, worth = items[j]
            if start + asked.kerf <= left:
                best = max(best, worth + most(left - start - asked.kerf, j))
        return best

    return most(room, 0) <= WHOLE


def proved(asked: Question, prices: Prices, over: Sequence[int]) -> int | None:
    """What all runs cost at least at these prices, in worths; None where they prove nothing.

    `over` are their caps.
    """
    if not shares_hold(asked, prices.widths):
        return None
    total = 0
    reached: dict[tuple[int, int], _Reached] = {}
    for run, count in Counter(replace(run, course=0) for run in asked.runs).items():
        if run.stations is None:
            key = run.layer, run.width
            reached[key] = reached.get(key) or _reached(asked, prices, run)
            least = reached[key].to(max(1, -(-(run.high - run.low) // prices.grid)))
        else:
            least = _listed(asked, prices, run)
        if least >= NEVER:
            return None
        total += count * least
    total -= sum(one.price * most_joints(asked, one) for one in prices.windows)
    owed = zip(over, asked.stocks, strict=True)
    return total - sum(price * (stock.most or 0) for price, stock in owed)


def worth_of(prices: Prices, run: ProvedRun, ends: Ends, size: int) -> int:
    """What a piece of a run is worth: of a rip its share of a whole board's worth."""
    return prices.worths.get(ends, NOTHING).at(size) * prices.widths.at(run.width) // WHOLE


def _listed(asked: Question, prices: Prices, run: ProvedRun) -> int:
    """The cheapest way to make one run with joints at its stations; `NEVER` where there is none."""
    assert run.stations is not None
    places = (run.low, *run.stations, run.high)
    rents, last = _rents(prices, run), len(places) - 1
    least, held = asked.layers[run.layer].least, longest_cells(asked, prices.grid)
    # A tick or two less, for those who read its length as it is printed.
    fits = (run.long - PRINTED + asked.kerf) // prices.grid <= held[2]
    cost = [0, *[NEVER] * last]
    for i, low in enumerate(places[:-1]):
        here = cost[i] + (asked.joint + rents[i] if i else 0)
        for j in range(i + 1, last + 1):
            size = (places[j] - low + asked.kerf) // prices.grid
            if size > held[2]:
                break
            ends = asked.ends(low=i == 0, high=j == last)
            whole = j - i == last
            if size <= held[ends] and (fits if whole else places[j] - low >= least):
                cost[j] = min(cost[j], here + worth_of(prices, run, ends, size))
    return cost[last]


def longest_cells(asked: Question, grid: int) -> tuple[int, int, int]:
    """The size of the longest piece that any stock holds, by how many of its ends spare."""
    own = [one for one in asked.stocks if one.most != 0]
    rooms = (
        max(one.usable for one in own),
        max(one.usable + max(one.spare) for one in own),
        max(one.reach for one in own),
    )
    none, one_end, both = (max(0, (room + asked.kerf) // grid) for room in rooms)
    return none, one_end, both


def _rents(prices: Prices, run: ProvedRun) -> list[int]:
    """What a joint at each place of a run pays for its windows."""
    own = [one for one in prices.windows if one.layer == run.layer]
    return [
        sum(one.price for one in own if one.low <= at <= one.high)
        for at in (run.low, *(run.stations or ()), run.high)
    ]


@dataclass(slots=True)
class _Reached:
    """What pieces cost that reach so far from the low end of a run, where joints may be anywhere.

    A piece reaches over no more cells than its size has, and one, less those of a saw cut. So one
    that reaches over `k` cells has the worth of `k - 1` cells and the cut at least.
    """

    first: Values
    inner: Values
    last: Values
    whole: Values
    best: list[int]

    def to(self, length: int) -> int:
        """The cheapest way over so many cells; `NEVER` or more if there is none."""
        most, found = len(self.first), self.best
        for at in range(len(found), length):
            before = np.array(found[max(0, at - most) : at][::-1], dtype=np.int64)
            here = int((before + self.inner[: len(before)]).min())
            found.append(min(here, int(self.first[at - 1]) if at <= most else NEVER))
        before = np.array(found[max(0, length - most) : length][::-1], dtype=np.int64)
        ways = [int((before + self.last[: len(before)]).min())]
        return min([*ways, int(self.whole[length - 1])] if 0 < length <= most else ways)


def _reached(asked: Question, prices: Prices, run: ProvedRun) -> _Reached:
    """The pieces of runs that are as wide, in one layer."""
    cut, held = asked.kerf // prices.grid, longest_cells(asked, prices.grid)
    least = (asked.layers[run.layer].least + asked.kerf) // prices.grid

    def worths(*, low: bool, high: bool) -> Values:
        floor = 0 if low and high else least
        sizes = (max(floor, k - 1 + cut) for k in range(1, held[2] + 2 - cut))
        ends = asked.ends(low=low, high=high)
        found = (worth_of(prices, run, ends, k) if k <= held[ends] else NEVER for k in sizes)
        return np.array(list(found), dtype=np.int64)

    return _Reached(
        first=worths(low=True, high=False),
        inner=worths(low=False, high=False) + asked.joint,
        last=worths(low=False, high=True) + asked.joint,
        whole=worths(low=True, high=True),
        best=[NEVER],
    )


def most_joints(asked: Question, window: Window) -> int:
    """How many joints the courses of a layer can have in a window (6.5).

    Of courses that touch every second has one, in a window narrower than the stagger; on one
    station one course in three, where the repeat is asked too.
    """
    layer = asked.layers[window.layer]
    courses = {
        run.course
        for run in asked.runs
        if run.layer == window.layer
        and run.stations
        and bisect_left(run.stations, window.low) < bisect_right(run.stations, window.high)
    }
    rows = blocks(sorted(courses))
    found = len(asked.runs) * MANY
    if window.high - window.low < layer.window:
        found = min(found, sum(-(-count // 2) for count in rows))
    if window.low == window.high and layer.repeat > 0 and layer.stagger > 0:
        found = min(found, sum(-(-count // 3) for count in rows))
    return found
