"""The most valuable cutting of one sheet, against published optima.

J.E. Beasley, Algorithms for unconstrained two-dimensional guillotine cutting, Journal of the
Operational Research Society 36 (1985), 297-306: instances gcut1, 4, 6, 7, 10 and 12; the value of a
part is its area. Optima: G.F. Cintra, F.K. Miyazawa, Y. Wakabayashi, E.C. Xavier, European
Journal of Operational Research 191 (2008), 61-85. Open research data (CC0).
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from service.cutting.effort import EFFORTS
from service.cutting.sheets.nesting import SheetStock, nest
from service.cutting.sheets.trees import Part, extent, parts_of
from service.cutting.sheets.values import Table

UNLIMITED = 1000

CASES = json.loads((Path(__file__).parent / "guillotine.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("case", CASES["one_sheet"], ids=lambda case: case["name"])
def test_the_worth_of_a_sheet_is_the_published_optimum(case: dict[str, Any]) -> None:
    parts = [Part(*size) for size in case["parts"]]
    table = Table(dict.fromkeys(parts, UNLIMITED), [tuple(case["sheet"])], 0, UNLIMITED)
    assert table.exact
    assert table.price([part.length * part.width for part in parts]) == [case["optimum"]]
    tree = table.trees(0, case["optimum"] - 1, 1)[0]
    length, width = extent(tree, 0)
    assert length <= case["sheet"][0]
    assert width <= case["sheet"][1]
    assert sum(p.length * p.width for p in parts_of(tree)) == case["optimum"]


@pytest.mark.parametrize("most", [12, 50])
@pytest.mark.parametrize("case", CASES["one_sheet"], ids=lambda case: case["name"])
def test_on_a_raster_the_worth_is_never_under_the_optimum(case: dict[str, Any], most: int) -> None:
    parts = dict.fromkeys([Part(*size) for size in case["parts"]], UNLIMITED)
    table = Table(parts, [tuple(case["sheet"])], 0, most)
    assert all(table.priced)
    assert table.price([part.length * part.width for part in parts])[0] >= case["optimum"]


@pytest.mark.parametrize("case", CASES["fewest_sheets"], ids=lambda case: case["name"])
def test_published_jobs_take_at_most_one_sheet_over_the_optimum(case: dict[str, Any]) -> None:
    """J.O. Berkey and P.Y. Wang (1987), S. Martello and D. Vigo (1998): see `citation`."""
    parts = {Part(length, width): count for length, width, count in case["parts"]}
    stock = SheetStock("sheet", *case["sheet"], 1)
    plan = nest(parts, (stock,), 0, EFFORTS["standard"])
    assert plan is not None
    assert plan.bound <= case["optimum"] <= plan.cost <= case["optimum"] + 1
