"""Which laws run without being followed line by line, which takes them more than twice as long."""

from __future__ import annotations

from pathlib import Path

import pytest

NOT_FOLLOWED = {
    "test_build_ups", "test_conservation", "test_cures", "test_cut_plans", "test_determinism",
    "test_fasteners", "test_gap", "test_hanging", "test_hard_cases", "test_joints", "test_ledger",
    "test_mirror_and_units", "test_mirror_of_layers", "test_order", "test_panels", "test_regions",
    "test_rule_costs", "test_second_opinion", "test_sheet_claims", "test_stock_listed_twice",
    "test_stock_lists", "test_usual_ways", "test_wrap_laws",
}  # fmt: skip
"""Laws of whole jobs: what they reach is reached by the other tests too, which are followed."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark them for the measure of coverage."""
    for item in items:
        if Path(item.path).parent == Path(__file__).parent and item.path.stem in NOT_FOLLOWED:
            item.add_marker(pytest.mark.no_cover)
