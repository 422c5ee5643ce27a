"""The bound raised to whole numbers of sticks and joints that layouts and patterns can be made of.

Whatever prices pieces have, the sticks of a plan are worth as much as its pieces at least, and its
joints as much as its layouts save by them. So every set of prices says of the numbers of sticks of
each length, and of joints, which are too few (weak duality). Whole numbers that no prices are known
to forbid are asked of the programme one after another, the cheapest first: it can be made of them
in fractions, or its prices say why not.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from service.cutting.records import Stock
from service.cutting.sticks.master import SCALE, Prices
from service.joints.flow import Flow
from service.joints.master import JointMaster
from service.solver.programme import Programme, Solved

MOST_MIXES = 60_000
"""Whole numbers of sticks that are looked at, at most."""

MOST_WORTH = 1 << 60
"""What all sticks cost together at most, in parts of a step: no machine number overflows."""

MOST_STICKS = 1 << 12
"""Sticks of a mix, and times that a price is counted, at most."""

NEVER = 1 << 30
"""More joints than any job has."""

Amounts = npt.NDArray[np.int64]

Worths = Callable[[Prices, int], Mapping[int, int]]
"""What the courses of flows are worth at least at sure prices, and joints at so much."""


@dataclass(frozen=True, slots=True)
class _Said:
    """What one set of prices says: sticks and joints at these worths are worth `least` together."""

    sticks: Amounts
    joint: int
    least: int

    def joints(self, mixes: Amounts) -> Amounts:
        """The least joints with each mix of sticks; `NEVER` where none are enough."""
        lacking: Amounts = self.least - mixes @ self.sticks
        if self.joint <= 0:
            return (lacking > 0) * np.int64(NEVER)
        return np.maximum(-(-lacking // self.joint), 0)


@dataclass(frozen=True, slots=True)
class _Mixes:
    """Whole numbers of sticks by stock, the joints that each needs at least, and its cost."""

    sticks: Amounts
    joints: Amounts
    costs: Amounts

    def told(self, said: _Said, joint_cost: int, under: int) -> _Mixes:
        """Those that may still cost less."""
        joints = np.maximum(self.joints, said.joints(self.sticks))
        costs = self.costs + (joints - self.joints) * joint_cost
        kept = (costs < under) & (joints < NEVER)
        return _Mixes(self.sticks[kept], joints[kept], costs[kept])

    def least(self, under: int) -> int:
        """The cost of the cheapest; `under` where there is none."""
        return int(self.costs.min(initial=under))

    @property
    def cheapest(self) -> tuple[Amounts, int]:
        """The sticks and joints of one that costs least, with as few sticks as may be."""
        first = int(np.lexsort((self.sticks.sum(axis=1), self.costs))[0])
        return self.sticks[first], int(self.joints[first])


def of_whole_sticks(
    master: JointMaster, rounds: int, flows: Mapping[int, Flow], known: range, worths: Worths
) -> int:
    """The least cost in the range of what is `known` of whole numbers of sticks and joints.

    It stops after so many rounds of pricing, or where it would take long. All `flows` are complete.
    The programme is not to be used after it.
    """
    stocks, joint_cost = master.cutting.stocks, master.joint_cost
    if 4 * known.stop * SCALE > MOST_WORTH or min(stock.cost for stock in stocks) <= 0:
        return known.start
    solved = master.cutting.programme.solve()
    mixes = None if solved is None else _mixes(stocks, known.stop)
    if mixes is None or solved is None:
        return known.start
    said = _said(master, solved, master.round(solved)[1], worths, joint_cost * SCALE)
    counts, left = _Counts.of(master, flows), rounds
    while said is not None and len(mixes.costs):
        mixes = mixes.told(said, joint_cost, known.stop)
        said, left = counts.forbidding(mixes, left, worths)
    return max(known.start, mixes.least(known.stop))


def _mixes(stocks: Sequence[Stock], under: int) -> _Mixes | None:
    """Every whole number of each stock that together cost less; None where there are too many."""
    sticks, costs = np.zeros((1, 0), dtype=np.int64), np.zeros(1, dtype=np.int64)
    for stock in stocks:
        most = (under - 1 - costs) // stock.cost
        most = most if stock.supply is None else np.minimum(most, stock.supply)
        if int((most + 1).sum()) > MOST_MIXES:
            return None
        rows = np.repeat(np.arange(len(costs)), most + 1)
        starts = np.repeat(np.cumsum(most + 1) - most - 1, most + 1)
        own = np.arange(len(rows)) - starts
        sticks = np.concatenate([sticks[rows], own[:, None]], axis=1)
        costs = costs[rows] + own * stock.cost
    if int(sticks.sum(axis=1).max()) >= MOST_STICKS:
        return None
    return _Mixes(sticks, np.zeros(len(costs), dtype=np.int64), costs)


def _said(
    master: JointMaster, solved: Solved, sure: Prices, worths: Worths, joint: int
) -> _Said | None:
    """What sure prices say; None where that is too much for machine numbers."""
    least = master.worth(solved, sure, worths(sure, joint), joint)
    if max(*sure.most, least) * MOST_STICKS > MOST_WORTH:
        return None
    return _Said(np.array(sure.most, dtype=np.int64), joint, least)


@dataclass(frozen=True, slots=True)
class _Counts:
    """The programme with its sticks and joints counted: as many as are asked for, others dearer.

    What is left over costs as much as if it were used, and what is more twice as much: so it costs
    what is asked for, or more where that is not enough.
    """

    master: JointMaster
    sticks: Sequence[int]

    @classmethod
    def of(cls, master: JointMaster, flows: Mapping[int, Flow]) -> _Counts:
        """Rows that count, with what is left over and what is more."""
        programme = master.cutting.programme
        rows = master.cutting.count()
        for row, stock in zip(rows, master.cutting.stocks, strict=True):
            _open(programme, row, stock.cost)
        if master.joint_cost:
            master.count({c: n for flow in flows.values() for c, n in flow.joints.items()})
            assert master.counted is not None
            _open(programme, master.counted, master.joint_cost)
        return cls(master, rows)

    def forbidding(self, mixes: _Mixes, rounds: int, worths: Worths) -> tuple[_Said | None, int]:
        """What prices say that forbid the cheapest mix, None where none do; and rounds left."""
        if not len(mixes.costs):
            return None, rounds
        sticks, joints = mixes.cheapest
        self._ask(sticks.tolist(), joints)
        for left in reversed(range(rounds)):
            said, new = self._told(worths)
            if said is None:
                break
            if int(sticks @ said.sticks) + said.joint * joints < said.least:
                return said, left
            if not new:
                break
        return None, 0

    def _ask(self, sticks: Sequence[int], joints: int) -> None:
        programme, counted = self.master.cutting.programme, self.master.counted
        for row, count in zip(self.sticks, sticks, strict=True):
            programme.set_row(row, count, count)
        if counted is not None:
            programme.set_row(counted, joints, joints)

    def _told(self, worths: Worths) -> tuple[_Said | None, bool]:
        """What prices say, and whether more layouts or patterns came of them."""
        master = self.master
        solved = master.cutting.programme.solve()
        if solved is None:
            return None, False
        new, sure = master.round(solved)
        joint = master.joint_cost * SCALE
        if master.counted is not None:
            joint = max(0, joint - int(solved.duals[master.counted] * SCALE))
        return _said(master, solved, sure, worths, joint), new


def _open(programme: Programme, row: int, cost: int) -> None:
    """Let a row be missed to either side, at a cost each."""
    programme.add_column(float(cost), {row: 1.0})
    programme.add_column(float(cost), {row: -1.0})
