"""Sheets over the reference veranda of 122 x 380 in, joists at 16 in: arithmetic of the rules.

Rows of 48 and 48 in and a strip; 4 sheets a row, so 12; its area alone says 11 (common practice of
laying out sheets, worked by hand).
"""

from __future__ import annotations

from typing import Any

from tests.strategies.asking import answered

VERANDA: dict[str, Any] = {
    "unit": "in",
    "surfaces": [
        {
            "id": "veranda",
            "rectangle": [380, 122],
            "supports": {"direction": 90, "first": 16, "spacing": 16, "ends": True},
            "layers": [{"kind": "sheathing", "product": "sheet"}],
        }
    ],
    "products": [
        {"id": "sheet", "form": "sheet", "width": 47.875, "thickness": 0.5,
         "stock": [{"length": 95.875}]}
    ],
}  # fmt: skip


def test_twelve_sheets_though_the_area_says_eleven() -> None:
    answer = answered(VERANDA)
    assert [row["buy"] for row in answer["order"]] == [12]
    assert -(-380 * 122 // (48 * 96)) == 11
    (plan,) = answer["cut_plans"]
    assert plan["optimal"]


def test_rows_are_two_full_and_a_strip_of_25_and_a_half_less_gaps() -> None:
    """48, 48 and 26 less gaps: 1/8 in at each seam, half of it at each wall (11.2, 11.9)."""
    widths = [row["width"] for row in answered(VERANDA)["courses"]]
    assert widths == [47.875, 47.875, 122 - 2 * 0.0625 - 2 * 48]


def test_rows_begin_with_a_whole_and_with_a_half_sheet() -> None:
    """96, 96, 96, 92 and 48, 96, 96, 96, 44: joints at every second row come back (11.9)."""
    joints: dict[int, list[float]] = {}
    for row in answered(VERANDA)["joints"]:
        joints.setdefault(row["course"], []).append(row["at"])
    assert sorted(joints.values()) == [[48, 144, 240, 336], [96, 192, 288], [96, 192, 288]]
    assert joints[1] == joints[3]


def test_full_size_sheets_drift_and_are_trimmed() -> None:
    """48 x 96 in sheets grow a gap past every joint: those between joints lose 1/8 in (11.2)."""
    request = VERANDA | {
        "products": [VERANDA["products"][0] | {"width": 48, "stock": [{"length": 96}]}]
    }
    found = [row for row in answered(request)["findings"] if row["code"] == "sheets-trimmed"]
    assert len(found) == 1
    assert found[0]["measure"] == 0.1875


def test_members_at_seventeen_inches_lose_eleven_of_each_sheet() -> None:
    """96 = 5 x 17 + 11 (11.3)."""
    surface = VERANDA["surfaces"][0] | {"supports": {"direction": 90, "first": 17, "spacing": 17}}
    found = [
        row["measure"]
        for row in answered(VERANDA | {"surfaces": [surface]})["findings"]
        if row["code"] == "sheet-length-lost"
    ]
    assert found == [11]
