"""Coverage factors of patterned boards.

Source: Western Wood Products Association, Natural Wood Siding (TG-8), table 4, and Standard
Patterns, p. 27, coverage estimator (read in reproductions): lineal-foot factor = 12 / exposed
face, without waste; add 10 % to the area for trim and waste. Both columns are the rule's.
"""

from __future__ import annotations

import pytest

from tests.strategies import requests
from tests.strategies.asking import answered

FACTORS = {
    "tongue_and_groove": [(3.375, 3.125, 3.84), (5.375, 5.125, 2.34), (7.125, 6.875, 1.75),
                          (9.125, 8.875, 1.35), (11.125, 10.875, 1.10)],
    "shiplap": [(5.5, 5.125, 2.34), (7.25, 6.875, 1.75), (9.25, 8.875, 1.35),
                (11.25, 10.875, 1.10)],
    "lapped": [(3.5, 2.5, 4.8), (5.5, 4.5, 2.67), (7.25, 6.25, 1.92), (9.25, 8.25, 1.45)],
}  # fmt: skip
ROWS = [(profile, *row) for profile, rows in FACTORS.items() for row in rows]


@pytest.mark.parametrize(("profile", "overall", "face", "factor"), ROWS)
def test_feet_per_square_foot(profile: str, overall: float, face: float, factor: float) -> None:
    """At 0 % the flat rule is the printed factor, rounded to two decimals, times the area."""
    product = requests.board("16 ft", cover=face, overall=overall, profile=profile)
    request = requests.job(requests.room(180, 120), product, rules={"flat_pct": 0})
    (row,) = answered(request)["compared"]
    per_foot = row["would_order"] / 12 / (180 * 120 / 144)
    assert per_foot == pytest.approx(factor, abs=0.0051)


def test_a_wall_of_240_square_feet_with_20_of_openings() -> None:
    """220 sf x 1.10 x 2.34 = 566.3 ft; the unrounded factor gives 566.6."""
    window = {"id": "window", "rectangle": [90, 40, 60, 48]}
    area = requests.room(240, 144, type="wall", openings=[window])
    (row,) = answered(requests.job(area, requests.board("8 ft", "16 ft")))["compared"]
    assert row["flat_pct"] == 10
    assert row["would_order"] / 12 == pytest.approx(566.3, rel=0.0008)
