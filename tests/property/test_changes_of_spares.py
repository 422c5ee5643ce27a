"""Culls and spares in a change: bad boards are in whatever is bought, a reserve is bought once."""

from __future__ import annotations

from typing import Any

import pytest

from tests.strategies.asking import answered
from tests.strategies.requests import board, changed, job, room

Request = dict[str, Any]

RULES = {"cull": 10, "spare": 3}


def porch(rules: Request, **goods: Any) -> Request:
    """Twelve courses from 20-footers, and a hatch of 48 x 20 at 60."""
    area = room(200, 62.5, openings=[{"id": "hatch", "rectangle": [60, 20, 48, 20]}],
                layer={"start": "full_first"})  # fmt: skip
    stock = {"length": "20 ft", "price": 30}
    return job(area, board(stock, **goods), rules=rules, currency="USD")


def moved(rules: Request = RULES) -> Request:
    """The same with the hatch moved to 76 and shortened to 32."""
    return changed(porch(rules), "/surfaces/0/openings/0/rectangle", [76, 20, 32, 20])


def change(after: Request, **more: Any) -> Request:
    return answered({"before": porch(RULES), "after": after} | more, "changes")


def line(made: Request) -> Request:
    """The one line of the order of the work."""
    (row,) = made["work"]["order"]
    return {key: row[key] for key in ("need", "cull", "spare", "buy")}


def test_of_what_is_up_culls_are_bought_anew_and_spares_are_not() -> None:
    """Two boards are needed, as without culls: ceil(2 / 0.9) = 3. The reserve of 3 is there still.

    It is said in the basis of the work; the answer to the second job alone has them.
    """
    made = change(moved(), installed="everything")
    assert line(made) == {"need": 2, "cull": 1, "spare": 0, "buy": 3}
    (row,) = made["order"]
    assert (row["is"], row["more"], row["price"]) == (3, 3, 90)
    (told,) = (one for one in made["work"]["basis"] if one["key"] == "spare")
    assert (told["value"], told["from"]) == (0, "first order")
    assert answered(moved())["order"][0]["spare"] == 3


@pytest.mark.parametrize(("spare", "more"), [(5, 2), (3, 0), (1, 0)])
def test_a_larger_reserve_is_filled_up(spare: int, more: int) -> None:
    """Five are to be in reserve now, and three are there."""
    made = change(moved({"cull": 10, "spare": spare}), installed="everything")
    assert line(made) == {"need": 2, "cull": 1, "spare": more, "buy": 3 + more}


def test_of_boards_that_the_first_order_has_not_a_reserve_is_bought() -> None:
    """All comes down, and other boards go up."""
    thin = porch(RULES, thickness=0.5) | {"rules": RULES}
    thin["products"][0]["id"] = "fir"
    thin["surfaces"][0]["layers"][0]["product"] = "fir"
    made = change(thin, installed="everything")
    assert line(made) == {key: answered(thin)["order"][0][key]
                          for key in ("need", "cull", "spare", "buy")}  # fmt: skip
    assert line(made)["spare"] == 3


def test_where_nothing_is_up_orders_are_set_against_each_other_with_their_spares() -> None:
    """And a reserve that came is kept back of what goes back."""
    first, second = (answered(one)["order"][0]["buy"] for one in (porch(RULES), moved()))
    made = change(moved())
    assert sum(row["more"] - row["fewer"] for row in made["order"]) == second - first
    came = [{"product": "pine", "length": "20 ft", "count": first, "returnable": True}]
    whole = change(porch(RULES), delivered=came)
    (row,) = whole["order"]
    assert (row["more"], row["fewer"]) == (0, 0)
