"""Nails in one sheet by the 6/12 schedule; the source stands in the kind's reference table.

International Residential Code 2018, Table R602.3(1): wood structural panels of floors, roofs
and walls, 6 in at edges and 12 in elsewhere; ceilings follow it by common practice. The counts are
arithmetic on it.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from service.products.kinds import sheathing
from tests.strategies.asking import answered

TABLE = Path(sheathing.__file__).parent / "reference" / "nail_counts.toml"
CASES = tomllib.loads(TABLE.read_text(encoding="utf-8"))["cases"]


def request_for(case: dict[str, Any]) -> dict[str, Any]:
    """One sheet on members that stand at its ends and at the spacing between."""
    length, width = case.get("size", [96, 48])
    rectangle = [width, length] if case.get("along") else [length, width]
    members = [0.75, *range(case["spacing"], rectangle[0], case["spacing"]), rectangle[0] - 0.75]
    layer: dict[str, Any] = {"kind": "sheathing", "product": "sheet", "edges": case["edges"]}
    if case.get("along"):
        layer["direction"] = 90
    return {
        "unit": "in",
        "rules": {"panel_gap": 0, "panel_wall_gap": 0, "kerf": 0},
        "surfaces": [
            {
                "id": "bay",
                "type": "wall" if case.get("along") else "ceiling",
                "rectangle": rectangle,
                "supports": {"direction": 90, "at": members},
                "layers": [layer],
            }
        ],
        "products": [
            {"id": "sheet", "form": "sheet", "width": 48, "thickness": 0.5,
             "stock": [{"length": 96}]}
        ],
    }  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["what"])
def test_nails_of_a_sheet(case: dict[str, Any]) -> None:
    answer = answered(request_for(case))
    assert sum(row["count"] for row in answer["fasteners"]) == case["nails"]
    assert len(answer["pieces"]) == 1


def test_a_ceiling_of_twelve_by_twenty_feet() -> None:
    """Three rows of 2-1/2 sheets: 8 sheets, 16 sq ft left, 6 x 43 + 3 x 28 = 342 nails.

    Arithmetic on the same schedule; halves are shared by neighbouring rows.
    """
    request = request_for({"spacing": 16, "edges": "open", "size": [240, 144]})
    answer = answered(request)
    assert [row["buy"] for row in answer["order"]] == [8]
    assert sum(row["count"] for row in answer["fasteners"]) == 342
    (left,) = (r["area"] for r in answer["ledger"] if r["account"] == "offcut_kept")
    assert left == 16
    assert all(row["offset_before"] in (None, 48) for row in answer["joints"])
    (product,) = answer["products"]
    assert product["waste_pct"] == pytest.approx(6.25)
