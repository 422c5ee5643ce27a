"""How far plans are from their own bounds over seeded rectangular jobs."""

from __future__ import annotations

from statistics import median

from tests.independent import verifier
from tests.strategies.asking import answered
from tests.strategies.budget import many
from tests.strategies.requests import seeded_rectangular_jobs


def test_the_median_gap_is_at_most_three_per_cent() -> None:
    """Rooms of 8 to 60 ft, members 12 to 24 in apart, two to four stock lengths, priced or not."""
    gaps = []
    for request in seeded_rectangular_jobs()[: many(50)]:
        answer = answered(request)
        assert verifier.faults(request, answer) == []
        gaps.append(max(plan["gap_pct"] for plan in answer["cut_plans"]))
    assert len(gaps) == min(50, many(50))
    assert median(gaps) <= 3
