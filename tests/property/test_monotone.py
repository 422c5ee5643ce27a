"""Harder terms never cost less, and more choice never costs more, where plans are proven."""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

import pytest

from tests.strategies import requests
from tests.strategies.asking import answered

Request = dict[str, Any]


def rooms() -> list[Request]:
    """Sixteen seeded rooms, of one piece a course and of jointed courses."""
    return [_room(random.Random(seed)) for seed in range(16)]


def _room(draw: random.Random) -> Request:
    feet = sorted(draw.sample([8, 10, 12, 14, 16], 2))
    longest = feet[-1] * 12 - 2
    length = draw.choice([draw.randint(40, longest), draw.randint(150, 330)])
    hole = {"id": "hatch", "rectangle": [length // 3, 15, length // 5, 12]}
    area = requests.room(length, draw.randint(35, 80), openings=[hole])
    return requests.job(
        area, requests.board(*(f"{size} ft" for size in feet)), when_blocked="relax"
    )


def rule(name: str, value: float) -> Callable[[Request], Request]:
    """A change of one rule of the job."""
    return lambda request: requests.changed(request, f"/rules/{name}", value)


HARDER = {
    "wider kerf": rule("kerf", 0.25),
    "longer end trim": rule("end_trim", 1.5),
    "longer least piece": rule("min_piece", 36),
}


def with_twenty_feet(request: Request) -> Request:
    """One more length to buy."""
    return requests.changed(request, "/products/0/stock/-", {"length": "20 ft"})


def costs(request: Request, change: Callable[[Request], Request]) -> tuple[float, float] | None:
    """Cost before and after, if both plans are proven and neither gave up a rule."""
    one, other = answered(request), answered(change(request))
    sound = all(answer["summary"]["optimal"] and not answer["relaxed"] for answer in (one, other))
    return (one["cut_plans"][0]["cost"], other["cut_plans"][0]["cost"]) if sound else None


@pytest.mark.parametrize("name", HARDER)
def test_harder_terms_never_cost_less(name: str) -> None:
    """Least cost over all layouts and plans cannot fall when fewer of them are allowed."""
    pairs = [pair for room in rooms() if (pair := costs(room, HARDER[name]))]
    assert len(pairs) >= 4
    assert all(after >= before - 1e-6 for before, after in pairs)


def test_a_further_stock_length_never_costs_more() -> None:
    """Everything that could be bought before can still be bought."""
    more = [pair for room in rooms() if (pair := costs(room, with_twenty_feet))]
    assert len(more) >= 4
    assert all(after <= before + 1e-6 for before, after in more)


def test_more_culls_never_buy_less() -> None:
    """0 % is the exact need; the order grows with the share."""
    for room in rooms()[:6]:
        bought = [
            sum(row["buy"] for row in answered(rule("cull", share)(room))["order"])
            for share in (0, 5, 15, 30)
        ]
        assert bought == sorted(bought)


def test_a_dearer_board_costs_no_less_and_is_cut_alike() -> None:
    """All prices times two: the plan stays, the cost doubles."""
    stock = [{"length": "8 ft", "price": "12.00"}, {"length": "14 ft", "price": "24.50"}]
    twice = [{"length": "8 ft", "price": "24.00"}, {"length": "14 ft", "price": "49.00"}]
    one = answered(requests.job(requests.room(150, 60), requests.board(*stock), currency="USD"))
    other = answered(requests.job(requests.room(150, 60), requests.board(*twice), currency="USD"))
    assert other["cut_plans"][0]["cost"] == 2 * one["cut_plans"][0]["cost"]
    assert one["sticks"] == other["sticks"]


def test_a_larger_room_never_has_less_area() -> None:
    """A surface that holds another: its area and the boards' area are not less."""
    found = [answered(requests.job(requests.room(length, width)))["summary"]
             for length, width in ((150, 90), (150.0625, 90), (160, 90), (160, 97))]  # fmt: skip
    assert [row["drawn"] for row in found] == sorted(row["drawn"] for row in found)
    assert [row["installed"] for row in found] == sorted(row["installed"] for row in found)
