"""Sheets and wrap over invented areas whose figures follow from the trade rules alone.

`scenarios.json` was worked by hand and by an independent method; it is not a published source.
Panels are a straight grid there: no gap, no stagger, and a sheet's figures are bounds; a count
that is called exact must be met. Members are lines.
"""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from tests.reference.test_scenarios import SCENARIOS, THIN, request_of
from tests.strategies.asking import answered

Request = dict[str, Any]

PANELLED = ["S01", "S02", "S14", "S16"]
WRAPPED = ["S01", "S14"]


def with_only(name: str, kind: str, product: Request, layer: Request, rules: Request) -> Request:
    """A scenario's surfaces under one layer of another kind."""
    request = deepcopy(request_of(name))
    for area in request["surfaces"]:
        area["layers"] = [{"kind": kind, "product": product["id"], **layer}]
        area.pop("rules", None)
    return request | {"products": [product], "rules": rules}


def panelled(name: str) -> Request:
    scenario = SCENARIOS[name]
    panels = scenario["panels"]
    sheet = {"id": "sheet", "form": "sheet", "width": panels["width"], "thickness": 0.5,
             "stock": [{"length": panels["length"]}]}  # fmt: skip
    layer = {"direction": panels["long_direction_deg"]}
    rules = {"panel_gap": 0, "panel_wall_gap": 0, "kerf": 0, "panel_stagger": 0, "min_strip": 0,
             "panel_end_bearing": 0, "panel_min_bearings": 1, "joint_from_corner": 0,
             "min_touch": THIN[scenario["units"]] / 2}  # fmt: skip
    return with_only(name, "sheathing", sheet, layer, rules)


@pytest.mark.parametrize("name", PANELLED)
def test_sheets_keep_the_bounds(name: str) -> None:
    expected = SCENARIOS[name]["expected"]
    answer = answered(panelled(name))
    bought = sum(row["buy"] for row in answer["order"])
    assert expected["panels_lb_area"] <= bought <= expected["panels_grid_cells"]
    if "panels_exact" in expected:
        assert bought == expected["panels_exact"]


def test_s16_nails_of_six_whole_sheets() -> None:
    """43 nails a sheet at 6 and 12 in, members at 0, 16 ... 192 in: 6 sheets, 258 nails."""
    expected = SCENARIOS["S16"]["expected"]
    request = panelled("S16")
    members = [0.75, *range(16, 192, 16), 191.25]
    request["surfaces"][0]["supports"] = {"direction": 90, "at": members}
    answer = answered(request | {"rules": request["rules"] | {"min_touch": 0.5}})
    whole = [row["length"] for row in answer["pieces"]]
    assert whole == [96] * expected["panels_exact"]
    count = sum(row["count"] for row in answer["fasteners"])
    assert count == expected["panel_fasteners"]
    assert count == len(whole) * expected["panel_fasteners_per_sheet"]


@pytest.mark.parametrize("name", WRAPPED)
def test_widths_of_wrap_and_length_of_roll(name: str) -> None:
    scenario = SCENARIOS[name]
    wrap, expected = scenario["wrap"], scenario["expected"]
    roll = {"id": "roll", "form": "roll", "width": wrap["roll_width"],
            "stock": [{"length": wrap["roll_length"]}]}  # fmt: skip
    layer = {"direction": wrap["strip_direction_deg"]}
    rules = {"wrap_lap": wrap["side_lap"], "turn_down": 0}
    answer = answered(with_only(name, "wrap", roll, layer, rules))
    assert len(answer["courses"]) == expected["wrap_strips"]
    taken = sum(row["length"] for row in answer["pieces"])
    assert taken == pytest.approx(expected["wrap_roll_length_min"], abs=0.01)
    per = 144 if scenario["units"] == "in" else 1e6
    (row,) = answer["surfaces"]
    assert row["net"] * per == pytest.approx(expected["wrap_net_area"], rel=1e-4)
