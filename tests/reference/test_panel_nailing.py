"""Nails of a ceiling of sheets by the 6/12 schedule; those of one are the kind's own cases.

International Residential Code 2018, Table R602.3(1): wood structural panels of floors, roofs
and walls, 6 in at edges and 12 in elsewhere; ceilings follow it by common practice. The counts are
arithmetic on it.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.strategies.asking import answered


def request_for(case: dict[str, Any]) -> dict[str, Any]:
    """A ceiling on members that stand at its ends and at the spacing between."""
    length, width = case["size"]
    members = [0.75, *range(case["spacing"], length, case["spacing"]), length - 0.75]
    layer: dict[str, Any] = {"kind": "sheathing", "product": "sheet", "edges": case["edges"]}
    return {
        "unit": "in",
        "rules": {"panel_gap": 0, "panel_wall_gap": 0, "kerf": 0},
        "surfaces": [
            {
                "id": "bay",
                "type": "ceiling",
                "rectangle": [length, width],
                "supports": {"direction": 90, "at": members},
                "layers": [layer],
            }
        ],
        "products": [
            {"id": "sheet", "form": "sheet", "width": 48, "thickness": 0.5,
             "stock": [{"length": 96}]}
        ],
    }  # fmt: skip


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
