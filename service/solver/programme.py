"""A linear programme that grows by rows and columns, and the integer step on top of it.

Guards: one thread, no output, no clock (work is limited by nodes and iterations), never more
columns in an integer programme than `MOST_COLUMNS`. The library prints a banner at its first
construction in a process; `warm_up` takes that at start.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import Any

import highspy
import numpy as np

MOST_COLUMNS = 5000


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
        self.rows = 0
        self.columns: list[tuple[float, dict[int, float]]] = []
        self._sides: list[tuple[float, float]] = []

    def add_row(self, low: float, high: float = inf) -> int:
        """A row without entries yet; gives its index."""
        self._model.addRow(low, high, 0, np.empty(0, dtype=np.int32), np.empty(0))
        self._sides.append((low, high))
        self.rows += 1
        return self.rows - 1

    def add_column(self, cost: float, entries: Mapping[int, float]) -> int:
        """A column of `cost` with its entries by row; gives its index."""
        rows = np.fromiter(entries.keys(), dtype=np.int32, count=len(entries))
        values = np.fromiter(entries.values(), dtype=float, count=len(entries))
        self._model.addCol(cost, 0.0, inf, len(entries), rows, values)
        self.columns.append((cost, dict(entries)))
        return len(self.columns) - 1

    def set_row(self, row: int, low: float, high: float = inf) -> None:
        """Change the sides of a row."""
        self._model.changeRowBounds(row, low, high)
        self._sides[row] = (low, high)

    def solve(self) -> Solved | None:
        """The optimum, or None if there is none."""
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
        chosen = list(columns)[:MOST_COLUMNS]
        model = _quiet()
        for low, high in self._sides:
            model.addRow(low, high, 0, np.empty(0, dtype=np.int32), np.empty(0))
        for column in chosen:
            cost, entries = self.columns[column]
            rows = np.fromiter(entries.keys(), dtype=np.int32, count=len(entries))
            values = np.fromiter(entries.values(), dtype=float, count=len(entries))
            model.addCol(cost, 0.0, inf, len(entries), rows, values)
        count = len(chosen)
        kinds = np.array([highspy.HighsVarType.kInteger] * count)
        model.changeColsIntegrality(count, np.arange(count, dtype=np.int32), kinds)
        model.setOptionValue("mip_max_nodes", nodes)
        model.setOptionValue("objective_bound", cutoff)
        model.run()
        found = model.getSolution()
        if not found.value_valid or len(found.col_value) != count:
            return None
        return [round(value) for value in found.col_value]


def _quiet() -> Any:
    model = highspy.Highs()
    model.setOptionValue("output_flag", False)
    model.setOptionValue("threads", 1)
    model.setOptionValue("random_seed", 0)
    return model


def warm_up() -> None:
    """Construct one model, so that the library's banner and first costs come at start."""
    programme = Programme()
    programme.add_column(1.0, {programme.add_row(1.0): 1.0})
    programme.solve()
