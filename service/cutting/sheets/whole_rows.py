"""Rows jointed and sheets cut in one programme of whole numbers.

Prices of parts show what no plan costs less than, and which steps of runs and which ways of cutting
can be in a plan for no more than so much: all of these are listed. Of each run one way through its
steps is taken, with no two joints that clash, and whole sheets. Where none is found, none is there.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import inf

from service.cutting.sheets.listing import Listing, cut_down
from service.cutting.sheets.master import ERROR, SheetMaster, Sure
from service.cutting.sheets.stock import Cutup, SheetStock, attainable, below, step_of
from service.cutting.sheets.trees import Part, parts_of
from service.cutting.sheets.values import Table
from service.cutting.sheets.ways import Jointing, counted, live, most_of, within
from service.solver.programme import MOST_COLUMNS, Whole, cover_of, least_cover

MOST_ROUNDS = 60
"""Rounds of pricing: an answer is due in seconds."""

MOST_NODES = 200
"""Nodes of each search for whole numbers."""

MOST_WORK = 6_000_000
"""Nodes of a search times columns and rows: it is due in some tenths of a second."""

LEAST_STEP = 1e-5
"""What two costs differ by at least, as the search sees it: it errs by a millionth."""

FEWEST_NODES = 20
"""Nodes of the search among the ways at hand."""

WORTH_ASKING = 250
"""Those are searched where a plan may be over its bound by more than one part in so many."""

MOST_SETS = 800
"""Ways of cutting that are listed: with more a search takes too long."""

MOST_POSITIONS = 400
"""Positions of cuts along a side of a sheet, with more they are rounded."""

Node = tuple[int, int]
"""Number of a run, and of a node in it."""

Column = tuple[float, dict[int, float]]

Cutting = tuple[int, tuple[Part, ...]]
"""A stock's number, and the parts that one sheet of it is cut into."""


@dataclass(frozen=True, slots=True)
class Limit:
    """No more than `most` joints lie at some nodes, all of them together."""

    nodes: tuple[Node, ...]
    most: int


@dataclass(frozen=True, slots=True)
class Rows:
    """Joints of each run by node, None where none were found; no others cost less than `least`."""

    joints: list[tuple[int, ...]] | None
    least: int


def whole_rows(
    runs: Sequence[Jointing],
    limits: Sequence[Limit],
    stocks: Sequence[SheetStock],
    kerf: int,
    start: Sequence[Cutup],
    known: range,
) -> Rows:
    """Joints with sheets for a cost in the range of what is `known`, and what none cost less than.

    `start` are ways of cutting sheets that are known already.
    """
    master = SheetMaster({}, stocks, kerf, start, counted(runs))
    best = None
    for priced in master.priced(MOST_ROUNDS):
        best = priced if best is None or priced.least > best.least else best
        if attainable(best.least, stocks) >= known.stop:
            return Rows(None, known.stop)
    if best is None:
        return Rows(None, known.start)
    ways = master.likeliest(known.stop)
    search = _Search(runs, limits, stocks, kerf, master.sure(best))
    found = search.found(max(known.start, attainable(best.least, stocks)), known.stop)
    if found.joints is not None or (known.stop - found.least) * WORTH_ASKING <= found.least:
        return found
    return Rows(search.among(ways, known.stop), found.least)


class _Search:
    """Whole numbers for one cost after another, with what can be in a plan for so much."""

    def __init__(
        self,
        runs: Sequence[Jointing],
        limits: Sequence[Limit],
        stocks: Sequence[SheetStock],
        kerf: int,
        sure: Sure,
    ) -> None:
        self.runs = [live(run) for run in runs]
        self.limits = limits
        self.stocks = stocks
        self.kerf = kerf
        self.sure = sure

    def found(self, least: int, under: int) -> Rows:
        """The cheapest that is found for less, from `least` on."""
        for cost in self._costs(least, under):
            if cost < least:
                continue
            if self.sure.slack(cost) < 0:
                least = min(attainable(Fraction(cost + 1), self.stocks), under)
                continue
            model = self._model(cost)
            if model is None:
                break
            whole = self._searched(model, cost)
            least = max(least, min(self._shown(model, whole, cost), under))
            if whole.values is not None:
                return Rows(model.joints(whole.values), min(cost, least))
            if not whole.finished:
                break
        return Rows(None, least)

    def among(self, ways: Sequence[Cutup], under: int) -> list[tuple[int, ...]] | None:
        """Joints with sheets for less, of some ways of cutting alone; None where none are found."""
        sheets = [(number, tuple(parts_of(tree))) for number, tree in ways]
        model = _Model(self.runs, self.limits, self.stocks, sheets, list(self.sure.prices), ())
        if len(model.columns) > MOST_COLUMNS:
            return None
        values = self._searched(model, below(under, self.stocks), FEWEST_NODES).values
        return None if values is None else model.joints(values)

    def _costs(self, least: int, under: int) -> list[int]:
        """Costs for which plans are looked for: the least, one between, the most."""
        most = below(under, self.stocks)
        between = below((least + most) // 2 + 1, self.stocks)
        return sorted({least, between, most}) if least <= most else []

    def _model(self, cost: int) -> _Model | None:
        """All that can be in plans for no more than a cost; None where that is too much."""
        slack = self.sure.slack(cost)
        runs = [within(run, self.sure.prices, slack) for run in self.runs]
        most = most_of(counted(runs), {})
        if not most:
            return None
        sides = [(stock.length, stock.width) for stock in self.stocks]
        table = Table(most, sides, self.kerf, MOST_POSITIONS)
        worths = table.price([self.sure.prices[part] for part in most])
        listing, sheets = Listing(table), list[Cutting]()
        for number, charge in enumerate(self.sure.charges):
            sets = listing.sets(number, charge - slack) if worths[number] >= charge - slack else []
            if sets is None or len(sheets) + len(sets) > MOST_SETS:
                return None
            sheets += [(number, tuple(table.parts[k] for k in own)) for own in sets if own]
        priced = [part for part in most if self.sure.prices[part]]
        return _Model(runs, self.limits, self.stocks, sheets, priced, cut_down(priced))

    def _searched(self, model: _Model, cost: int, fewest: int = 1) -> Whole:
        cutoff = cost / model.unit + max(0.5 * step_of(self.stocks) / model.unit, LEAST_STEP)
        cover = cover_of(model.columns, model.sides)
        nodes = min(MOST_NODES, MOST_WORK // (len(model.columns) * len(model.sides)))
        return least_cover(cover, max(fewest, nodes), cutoff, inner=False)

    def _shown(self, model: _Model, whole: Whole, cost: int) -> int:
        """What no plan costs less than by a search among all that can be in one for `cost`."""
        if whole.finished and whole.values is None:
            return attainable(Fraction(cost + 1), self.stocks)
        if whole.finished:
            return self._cost(model, whole)
        if not 0 < whole.bound < inf:
            return 0
        bound = Fraction(whole.bound * (1 - ERROR)) * model.unit
        return min(attainable(bound, self.stocks), attainable(Fraction(cost + 1), self.stocks))

    def _cost(self, model: _Model, whole: Whole) -> int:
        taken = zip(whole.values or (), model.sheets, strict=False)
        return sum(count * self.stocks[number].cost for count, (number, _) in taken)


class _Model:
    """Whole sheets of each way of cutting, and for each run whether a step of it is taken.

    What is not `priced` comes for nothing; which larger parts may be cut down to which smaller ones
    is `cut_down_to`.
    """

    def __init__(
        self,
        runs: Sequence[Jointing],
        limits: Sequence[Limit],
        stocks: Sequence[SheetStock],
        sheets: Sequence[Cutting],
        priced: Sequence[Part],
        cut_down_to: Sequence[tuple[Part, Part]],
    ) -> None:
        self.runs = runs
        self.sheets = sheets
        self.unit = max(1, *(stock.cost for stock in stocks))
        self.columns: list[Column] = []
        self.sides: list[tuple[float, float]] = []
        self._parts = {part: self._row(0, inf) for part in priced}
        supply = {
            k: self._row(-inf, s.supply) for k, s in enumerate(stocks) if s.supply is not None
        }
        count = [self._row(0, 0) for _ in stocks]
        for number, parts in sheets:
            own = {self._parts[part]: float(n) for part, n in Counter(parts).items()}
            own |= {count[number]: 1.0}
            self.columns.append((0.0, own))
        for number, stock in enumerate(stocks):
            own = {count[number]: -1.0} | ({supply[number]: 1.0} if number in supply else {})
            self.columns.append((stock.cost / self.unit, own))
        self.columns += [
            (0.0, {self._parts[large]: -1.0, self._parts[small]: 1.0})
            for large, small in cut_down_to
        ]
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

    def _steps(self, number: int, run: Jointing, at: dict[Node, list[int]]) -> Iterator[Column]:
        """A column for each step: it goes on from one node to another and uses its part."""
        nodes = {node: 0 for start, end, _ in run.steps for node in (start, end)} | {0: 1}
        through = nodes | {run.last: -1}
        row = {node: self._row(flow, flow) for node, flow in through.items()}
        for start, end, part in run.steps:
            own = {row[start]: 1.0, row[end]: -1.0}
            own |= {self._parts[part]: -1.0} if part in self._parts else {}
            own |= {limit: 1.0 for limit in at.get((number, end), ()) if end != run.last}
            yield 0.0, own

    def joints(self, found: Sequence[int]) -> list[tuple[int, ...]]:
        """The joints of each run."""
        taken = iter(found[self._first :])
        return [_joints(run, [one for one in run.steps if next(taken)]) for run in self.runs]


def _joints(run: Jointing, steps: Sequence[tuple[int, int, Part | None]]) -> tuple[int, ...]:
    """The nodes between the steps that are taken."""
    return tuple(sorted(end for _, end, _ in steps if end != run.last))
