"""Choosing the stock that is cut with the least waste.

Source: US Army subcourse EN0069A, cut-to-length exercises and their answers.
https://armyengineer.tpub.com/en0069a/Waste-Allowance-99.htm
The pieces are laid here as courses, one piece each, without gap, kerf or trim, as the lesson has
none.
"""

from __future__ import annotations

from typing import Any

from tests.strategies import requests
from tests.strategies.asking import answered

PLAIN = {"gap": 0, "kerf": 0, "end_trim": 0}


def sticks(inches: float, count: int, *feet: int) -> dict[float, int]:
    """Sticks of each length (ft) for so many pieces of one length."""
    area = requests.room(inches, count * 5.125, rules=PLAIN)
    request = requests.job(area, requests.board(*(f"{size} ft" for size in feet)))
    found: dict[float, int] = {}
    for row in answered(request)["sticks"]:
        found[row["length"] / 12] = found.get(row["length"] / 12, 0) + 1
    return found


def rests(answer: dict[str, Any]) -> list[float]:
    """What is left of each stick."""
    return [row["offcut"] for row in answer["sticks"]]


def test_nine_pieces_of_three_feet() -> None:
    """Three of 10 ft waste 3 ft; five of 8 ft would waste 13."""
    assert sticks(36, 9, 8, 10) == {10: 3}
    assert sticks(36, 9, 8) == {8: 5}
    assert sticks(36, 9, 10) == {10: 3}


def test_four_stakes_of_two_feet_four() -> None:
    """One 10 ft gives four with 8 in left; a 12 ft gives five, but only four are needed."""
    assert sticks(28, 4, 10, 12) == {10: 1}
    area = requests.room(28, 4 * 5.125, rules=PLAIN)
    assert rests(answered(requests.job(area, requests.board("10 ft")))) == [8]
    assert rests(answered(requests.job(area, requests.board("12 ft")))) == [32]
    assert sticks(28, 5, 12) == {12: 1}
