"""Blocks under the seams of panels (15.5): counted where they are asked for, by hand."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from tests.strategies.asking import answered

PANEL = {"id": "ply", "form": "sheet", "width": 48, "thickness": 0.5, "stock": [{"length": 96}]}


def under_seams(edges: str, *openings: dict[str, Any]) -> Counter[float]:
    """Blocks by their length behind two rows of sheets on members 16 in apart, 64 in over all."""
    layer = {"id": "ply", "kind": "sheathing", "product": "ply", "direction": 0, "edges": edges,
             "rules": {"panel_gap": 0, "panel_wall_gap": 0}}  # fmt: skip
    area = {"id": "den", "view": "facing", "rectangle": [64, 96], "layers": [layer],
            "openings": list(openings),
            "supports": {"direction": 90, "spacing": 16, "first": 16, "ends": True}}  # fmt: skip
    found = answered({"unit": "in", "surfaces": [area], "products": [PANEL]})
    return Counter(row["length"] for row in found["backing"] for _ in range(row["count"])
                   if row["for"] == "seam")  # fmt: skip


@pytest.mark.parametrize("edges", ["open", "clips", "tongue"])
def test_a_seam_that_is_held_otherwise_has_no_blocks(edges: str) -> None:
    assert under_seams(edges) == {}


def test_each_bay_that_a_seam_crosses_has_a_block_as_long_as_it_is_clear() -> None:
    """Members at 3/4, 16, 32, 48 and 63-1/4: outer bays of 13-3/4 in, inner ones of 14-1/2."""
    assert under_seams("blocked") == {13.75: 2, 14.5: 2}


def test_a_bay_in_which_an_opening_takes_the_seam_has_none() -> None:
    """From member to member across the seam: the bay between 16 and 32 has nothing to hold."""
    hatch = {"id": "hatch", "rectangle": [16, 40, 16, 16], "cut_gap": 0}
    assert under_seams("blocked", hatch) == {13.75: 2, 14.5: 1}
