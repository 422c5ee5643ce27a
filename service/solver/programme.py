"""A linear programme that grows by rows and columns, and the integer step on top of it.

Guards: one thread, no output, no clock (work is limited by nodes and iterations), never more
columns in an integer programme than `MOST_COLUMNS`. A known cost is passed as `objective_bound`,
never as a row: such a row makes the search slow and lets it run over its limits. No relative gap
is left open. The library prints a banner at its first construction in a process. There is no state
beside the models themselves.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import Any

import highspy
import numpy as np
import numpy.typing as npt

MOST_COLUMNS = 5000

CHOOSE = 0
"""The library chooses the primal or the dual method for each solve by what it starts from."""

INNER = (
    "mip_allow_restart",
    "mip_heuristic_run_rens",
    "mip_heuristic_run_root_reduced_cost",
)
"""The library's searches inside a search."""

USELESS = ("mip_heuristic_run_feasibility_jump",)
"""What the library tries before it searches: of covers by patterns nothing that it does not find
without, in an eighth of the time."""


@dataclass(frozen=True, slots=True)
class Solved:
    """Objective, the value of each column and the price (dual) of each row."""

    objective: float
    values: tuple[float, ...]
    duals: tuple[float, ...]


class Programme:
    """Minimise cost over columns >= 0 subject to `low <= row <= high`; may be solved repeatedly."""

    def __init__(self) -> None:
        self._model = _quiet()
        # Columns come to a solved programme: the primal method goes on from there. The library
        # by itself takes the dual one unless it may choose.
        self._model.setOptionValue("simplex_strategy", CHOOSE)
        self.rows = 0
        self.columns: list[tuple[float, dict[int, float]]] = []
        self._waiting = 0
        self._sides: list[tuple[float, float]] = []

    def add_row(
        self, low: float, high: float = inf, entries: Mapping[int, float] | None = None
    ) -> int:
        """A row, with its entries by column where it comes after these; gives its index."""
        own = dict(entries or {})
        if own:
            self._bring()
        places = np.fromiter(own, dtype=np.int32, count=len(own))
        values = np.fromiter(own.values(), dtype=float, count=len(own))
        self._model.addRow(low, high, len(own), places, values)
        self._sides.append((low, high))
        self.rows += 1
        for column, value in own.items():
            self.columns[column][1][self.rows - 1] = value
        return self.rows - 1

    def add_column(self, cost: float, entries: Mapping[int, float]) -> int:
        """A column of `cost` with its entries by row; gives its index."""
        self.columns.append((cost, dict(entries)))
        self._waiting += 1
        return len(self.columns) - 1

    def _bring(self) -> None:
        """Hand the columns that wait to the model, which takes many as quickly as one."""
        if self._waiting:
            _add_columns(self._model, cover_of(self.columns[-self._waiting :], ()))
            self._waiting = 0

    def set_row(self, row: int, low: float, high: float = inf) -> None:
        """Change the sides of a row."""
        self._model.changeRowBounds(row, low, high)
        self._sides[row] = (low, high)

    def close(self, column: int) -> None:
        """Hold a column at zero from now on."""
        self._bring()
        self._model.changeColBounds(column, 0.0, 0.0)

    def open(self, column: int) -> None:
        """Let a column that was closed be used again."""
        self._bring()
        self._model.changeColBounds(column, 0.0, inf)

    def solve(self) -> Solved | None:
        """The optimum, or None if there is none."""
        self._bring()
        self._model.run()
        if self._model.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        found = self._model.getSolution()
        return Solved(
            self._model.getInfo().objective_function_value,
            tuple(found.col_value),
            tuple(found.row_dual),
        )

    def solve_whole(self, columns: Sequence[int], nodes: int, cutoff: float) -> list[int] | None:
        """Whole numbers for `columns` (others zero) that cost at most `cutoff`, or None.

        Searches at most `nodes` nodes, so the answer is the same on any machine and load.
        """
        return self.whole(columns, nodes, cutoff).values

    def whole(self, columns: Sequence[int], nodes: int, cutoff: float) -> Whole:
        """The search for whole numbers for `columns` (others zero) that cost at most `cutoff`."""
        chosen = [self.columns[column] for column in columns[:MOST_COLUMNS]]
        return least_cover(cover_of(chosen, self._sides), nodes, cutoff)

    @property
    def sides(self) -> list[tuple[float, float]]:
        """Low and high side of each row."""
        return list(self._sides)


@dataclass(frozen=True, slots=True)
class Whole:
    """Whole numbers by column or None, and whether the search went through to its end.

    `finished` without values: nothing costs at most the cutoff. `finished` with values: nothing
    costs less. `bound` is what the unfinished search could show.
    """

    values: list[int] | None
    finished: bool
    bound: float


@dataclass(frozen=True, slots=True)
class Cover:
    """Columns of whole numbers by cost and entries (column by column), and the rows' sides."""

    costs: npt.NDArray[np.float64]
    starts: npt.NDArray[np.int32]
    rows: npt.NDArray[np.int32]
    values: npt.NDArray[np.float64]
    low: npt.NDArray[np.float64]
    high: npt.NDArray[np.float64]


def cover_of(
    columns: Sequence[tuple[float, Mapping[int, float]]], sides: Sequence[tuple[float, float]]
) -> Cover:
    """A cover from cost and entries by row of each column, and low and high side of each row."""
    starts = np.cumsum([0, *(len(entries) for _, entries in columns)], dtype=np.int32)[:-1]
    low, high = np.array(sides, dtype=float).reshape(len(sides), 2).T
    return Cover(
        np.array([cost for cost, _ in columns]),
        starts,
        np.fromiter((row for _, own in columns for row in own), dtype=np.int32),
        np.fromiter((value for _, own in columns for value in own.values()), dtype=float),
        low,
        high,
    )


def least_cover(cover: Cover, nodes: int, cutoff: float, *, inner: bool = True) -> Whole:
    """The cheapest whole numbers within the sides, at most `cutoff`, in at most `nodes` nodes.

    Without `inner` there are no searches inside the search and no restarts: those are not counted
    as nodes, and on hard covers they take most of the time.
    """
    count = len(cover.costs)
    model = _quiet()
    none = np.zeros(len(cover.low), dtype=np.int32)
    model.addRows(
        len(cover.low), cover.low, cover.high, 0, none, np.empty(0, np.int32), np.empty(0)
    )
    _add_columns(model, cover)
    kinds = np.full(count, int(highspy.HighsVarType.kInteger), dtype=np.uint8)
    model.changeColsIntegrality(count, np.arange(count, dtype=np.int32), kinds)
    model.setOptionValue("mip_max_nodes", nodes)
    model.setOptionValue("mip_rel_gap", 0.0)
    for option in (*USELESS, *(() if inner else INNER)):
        model.setOptionValue(option, False)
    if cutoff < inf:
        model.setOptionValue("objective_bound", cutoff)
    model.run()
    return _outcome(model, count, cutoff)


def _add_columns(model: Any, cover: Cover) -> None:
    """Columns of a cover, each at least nothing, for the rows that a model has."""
    count = len(cover.costs)
    model.addCols(
        count, cover.costs, np.zeros(count), np.full(count, inf),
        len(cover.rows), cover.starts, cover.rows, cover.values,
    )  # fmt: skip


def _outcome(model: Any, count: int, cutoff: float) -> Whole:
    """What a search gave; values over the cutoff count as none."""
    status = model.getModelStatus()
    finished = status in (
        highspy.HighsModelStatus.kOptimal,
        highspy.HighsModelStatus.kInfeasible,
        highspy.HighsModelStatus.kObjectiveBound,
    )
    found = model.getSolution()
    values = None
    if found.value_valid and len(found.col_value) == count:
        values = [round(value) for value in found.col_value]
        if model.getInfo().objective_function_value > cutoff:
            values = None
    return Whole(values, finished, model.getInfo().mip_dual_bound)


def _quiet() -> Any:
    model = highspy.Highs()
    model.setOptionValue("output_flag", False)
    model.setOptionValue("threads", 1)
    model.setOptionValue("random_seed", 0)
    return model
