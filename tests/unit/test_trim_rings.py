"""The ring that trims an opening is in the order, one for each opening; counts by hand (5.1)."""

from __future__ import annotations

from typing import Any

from tests.strategies.asking import answered, refused
from tests.strategies.requests import board, changed, job, room

Request = dict[str, Any]


def lamp(name: str, x: float) -> Request:
    return {"id": name, "circle": [x, 30, 5], "flange": 1, "ring": "ring"}


RING = {"id": "ring", "form": "piece_goods", "per_pack": 2, "price": "9.00"}
ROOMS = job(
    [
        room(180, 60, openings=[lamp("a", 40), lamp("b", 120)]) | {"id": "one"},
        room(180, 60, openings=[lamp("a", 40)]) | {"id": "two"},
    ],
    board("16 ft"),
    RING,
)


def lines(answer: Request, product: str = "ring") -> list[Request]:
    return [row for row in answer["order"] if row["product"] == product]


def test_rings_of_all_surfaces_are_bought_together() -> None:
    """Three rings in packs of two: two packs, 18.00, one left over; two fall to the first room."""
    answer = answered(ROOMS)
    (line,) = lines(answer)
    assert (line["need"], line["buy"], line["packages"], line["left_over"]) == (3, 4, 2, 1)
    assert (line["form"], line["price"], line["length"]) == ("piece_goods", 18, None)
    shares = [row for row in answer["order_shares"] if row["product"] == "ring"]
    assert sum(row["buy"] for row in shares) == 4
    assert shares[0]["buy"] > shares[1]["buy"]


def test_a_ring_is_a_product_by_the_piece() -> None:
    board_as_ring = changed(ROOMS, "/surfaces/0/openings/0/ring", ROOMS["products"][0]["id"])
    unknown = changed(ROOMS, "/surfaces/0/openings/0/ring", "nobody")
    for request, code in ((board_as_ring, "wrong-form"), (unknown, "no-such-product")):
        _, faults = refused(request)
        assert (faults[0]["code"], faults[0]["pointer"]) == (code, "/surfaces/0/openings/0/ring")


def test_rings_that_are_up_are_not_bought_again() -> None:
    """All is up, and one lamp moves: its ring is bought, and no other."""
    after = changed(ROOMS, "/surfaces/0/openings/1/circle", [124, 30, 5])
    answer = answered({"before": ROOMS, "after": after, "installed": "everything"}, "changes")
    assert [row["need"] for row in lines(answer["work"])] == [1]
