"""What several surfaces take together is shared back to them, and the shares add up (19.2)."""

from __future__ import annotations

from collections import Counter, defaultdict
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.order.shares import shared_out
from tests.strategies import jobs
from tests.strategies.asking import answered
from tests.strategies.budget import FEW, LAW
from tests.strategies.build_ups import build_ups

Request = dict[str, Any]

WEIGHTS = st.lists(st.integers(0, 10**15), min_size=1, max_size=8)


@LAW
@given(total=st.integers(0, 10**6), weights=WEIGHTS)
def test_shares_add_up_and_are_within_one_of_the_exact_part(total: int, weights: list[int]) -> None:
    """Largest remainder: quotas are never missed by one or more."""
    shares = shared_out(total, weights)
    assert sum(shares) == total
    parts = weights if any(weights) else [1] * len(weights)
    for share, part in zip(shares, parts, strict=True):
        assert abs(share * sum(parts) - total * part) < sum(parts)


@LAW
@given(total=st.integers(0, 1000), weights=WEIGHTS)
def test_a_larger_weight_never_gets_less(total: int, weights: list[int]) -> None:
    ordered = sorted(weights, reverse=True)
    shares = shared_out(total, ordered)
    assert shares == sorted(shares, reverse=True)


def test_by_hand() -> None:
    """10 in the ratio 1 : 1 : 1 is 4, 3, 3; 7 in 5 : 3 : 2 is 3.5, 2.1, 1.4, so 4, 2, 1."""
    assert shared_out(10, [1, 1, 1]) == [4, 3, 3]
    assert shared_out(7, [5, 3, 2]) == [4, 2, 1]
    assert shared_out(5, [0, 0]) == [3, 2]
    assert shared_out(5, []) == []


@FEW
@given(request=build_ups(jobs.of_several_surfaces()))
def test_ledger_shares_are_the_ledger_exactly(request: Request) -> None:
    answer = answered(request)
    shared: Counter[tuple[str, str]] = Counter()
    for row in answer["ledger_shares"]:
        shared[row["product"], row["account"]] += int(row["half_square_ticks"])
    for row in answer["ledger"]:
        assert shared[row["product"], row["account"]] == int(row["half_square_ticks"])


@FEW
@given(request=build_ups(jobs.of_several_surfaces()))
def test_what_is_installed_on_a_surface_is_its_own(request: Request) -> None:
    """Not shared by any key: it is what the layer there covers."""
    answer = answered(request)
    own: dict[tuple[str, str], float] = defaultdict(float)
    for row in answer["layers"]:
        own[row["surface"], row["product"]] += row["installed"]
    for row in answer["ledger_shares"]:
        if row["account"] == "installed":
            assert row["area"] == pytest.approx(own[row["surface"], row["product"]], abs=1e-5)


@FEW
@given(request=build_ups(jobs.of_several_surfaces()))
def test_order_shares_are_the_order_line_by_line(request: Request) -> None:
    for product in request["products"]:
        for stock in product.get("stock", ()):
            if isinstance(stock, dict):
                stock["price"] = "7.1234"
    answer = answered(request)
    buys: Counter[tuple[str, str]] = Counter()
    prices: dict[tuple[str, str], Decimal] = defaultdict(Decimal)
    for row in answer["order_shares"]:
        buys[row["product"], row["item"]] += row["buy"]
        if row["price"] is not None:
            prices[row["product"], row["item"]] += Decimal(str(row["price"]))
    for row in answer["order"]:
        assert buys[row["product"], row["item"]] == row["buy"]
        if row["price"] is not None:
            assert prices[row["product"], row["item"]] == Decimal(str(row["price"]))
