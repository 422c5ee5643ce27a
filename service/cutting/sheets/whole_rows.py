"""Rows jointed and sheets cut in one programme of whole numbers.

Ways of cutting come from the programme that prices them; of each run one way through its steps is
taken, with no two joints that clash. What it gives is a plan of whole sheets and the joints to it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf

from service.cutting.sheets.master import SheetMaster
from service.cutting.sheets.stock import Cutup, SheetStock, attainable, step_of
from service.cutting.sheets.trees import Part, parts_of
from service.cutting.sheets.ways import Jointing, counted
from service.solver.programme import MOST_COLUMNS, cover_of, least_cover

MOST_ROUNDS = 60
"""Rounds of pricing: an answer is due in seconds."""

MOST_NODES = 20
"""Nodes of the search for whole numbers."""

Node = tuple[int, int]
"""Number of a run, and of a node in it."""

Column = tuple[float, dict[int, float]]


@dataclass(frozen=True, slots=True)
class Limit:
    """No more than `most` joints lie at some nodes, all of them together."""

    nodes: tuple[Node, ...]
    most: int


def whole_rows(
    runs: Sequence[Jointing],
    limits: Sequence[Limit],
    stocks: Sequence[SheetStock],
    kerf: int,
    start: Sequence[Cutup],
    under: int,
) -> list[tuple[int, ...]] | None:
    """Joints of each run, by node, with sheets for less than `under`; None where none are found.

    `start` are ways of cutting sheets that are known already.
    """
    master = SheetMaster({}, stocks, kerf, start, counted(runs))
    for priced in master.priced(MOST_ROUNDS):
        if attainable(priced.least, stocks) >= under:
            return None
    model = _Model(runs, limits, stocks, master.likeliest(under))
    if len(model.columns) > MOST_COLUMNS:
        return None
    cutoff = (under - 0.5 * step_of(stocks)) / model.unit
    cover = cover_of(model.columns, model.sides)
    found = least_cover(cover, MOST_NODES, cutoff, inner=False).values
    return None if found is None else model.joints(found)


class _Model:
    """Whole sheets of each way of cutting, and for each run whether a step of it is taken."""

    def __init__(
        self,
        runs: Sequence[Jointing],
        limits: Sequence[Limit],
        stocks: Sequence[SheetStock],
        cutups: Sequence[Cutup],
    ) -> None:
        self.runs = runs
        self.unit = max(1, *(stock.cost for stock in stocks))
        self.columns: list[Column] = []
        self.sides: list[tuple[float, float]] = []
        self._parts: dict[Part, int] = {}
        supply = {
            k: self._row(-inf, s.supply) for k, s in enumerate(stocks) if s.supply is not None
        }
        for number, tree in cutups:
            own = {self._of(part): float(n) for part, n in Counter(parts_of(tree)).items()}
            own |= {supply[number]: 1.0} if number in supply else {}
            self.columns.append((stocks[number].cost / self.unit, own))
        self._first = len(self.columns)
        at: dict[Node, list[int]] = {}
        for limit in limits:
            row = self._row(-inf, limit.most)
            for node in limit.nodes:
                at.setdefault(node, []).append(row)
        for number, run in enumerate(runs):
            self.columns += self._steps(number, run, at)

    def _row(self, low: float, high: float) -> int:
        self.sides.append((low, high))
        return len(self.sides) - 1

    def _of(self, part: Part) -> int:
        """The row of a part: as many are cut as are used."""
        if part not in self._parts:
            self._parts[part] = self._row(0, inf)
        return self._parts[part]

    def _steps(self, number: int, run: Jointing, at: dict[Node, list[int]]) -> Iterator[Column]:
        """A column for each step: it goes on from one node to another and uses its part."""
        nodes = {node: 0 for start, end, _ in run.steps for node in (start, end)} | {0: 1}
        through = nodes | {run.last: -1}
        row = {node: self._row(flow, flow) for node, flow in through.items()}
        for start, end, part in run.steps:
            own = {row[start]: 1.0, row[end]: -1.0}
            own |= {} if part is None else {self._of(part): -1.0}
            own |= {limit: 1.0 for limit in at.get((number, end), ()) if end != run.last}
            yield 0.0, own

    def joints(self, found: Sequence[int]) -> list[tuple[int, ...]]:
        """The joints of each run."""
        taken = iter(found[self._first :])
        return [_joints(run, [one for one in run.steps if next(taken)]) for run in self.runs]


def _joints(run: Jointing, steps: Sequence[tuple[int, int, Part | None]]) -> tuple[int, ...]:
    """The nodes between the steps that are taken."""
    return tuple(sorted(end for _, end, _ in steps if end != run.last))
