"""Measures that look like a slip of units: the likely unit is told, and no cure goes with it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from service.request.reading import read
from tests.strategies.asking import answered, asked
from tests.strategies.requests import board, changed, job, room

Request = dict[str, Any]
ROOT = Path(__file__).parents[2]

SIZES = {"cover": "5-1/8 in", "overall": "5-3/8 in", "thickness": "3/4 in"}
NAIL = {"id": "nail", "form": "fastener", "shank": "ring", "lengths": ["2 in"]}


def asked_for(unit: str, length: Any, width: Any, spacing: Any = "16 in") -> Request:
    """A room whose boards are written with units of their own."""
    behind = {"direction": 90, "spacing": spacing}
    area = room(length, width, view="facing", behind=behind)
    return job(area, board("8 ft", "16 ft", **SIZES), NAIL) | {"unit": unit, "effort": "quick"}


def slips(request: Request) -> list[Request]:
    """What is told of slips, and that nothing beside them has a cure where it is refused."""
    found = asked(request)
    told = json.loads(found.body)
    rows = told["findings"] if found.kind == "answer" else told["faults"]
    mine: list[Request] = [row for row in rows if row["code"] == "unit-slip"]
    if mine:
        assert rows[: len(mine)] == mine
        assert not any(row.get("cure") for row in rows)
    return mine


@pytest.mark.parametrize(
    ("unit", "length", "width", "spacing", "says"),
    [
        ("ft", 192, 144, "16 in", "192 x 144 feet: 192 x 144 inches would be usual"),
        ("in", 16, 12, "16 in", "16 x 12 inches: 16 x 12 feet would be usual"),
        ("ft", 16, 12, 16, "the spacing of members measures 16 feet: 16 inches would be usual"),
        ("in", 192, 144, 1.3333, "1.3333 inches: 1.3333 feet would be usual"),
        ("mm", 4.8, 3.6, 400, "4.8 x 3.6 mm: 4.8 x 3.6 m would be usual"),
        ("m", 4800, 3600, "400 mm", "4800 x 3600 m: 4800 x 3600 mm would be usual"),
        ("cm", 4800, 3600, 40, "4800 x 3600 cm: 4800 x 3600 mm would be usual"),
    ],
)
def test_the_likely_unit_is_named(
    unit: str, length: float, width: float, spacing: Any, says: str
) -> None:
    (told,) = slips(asked_for(unit, length, width, spacing))
    assert says in (told.get("text") or told["detail"])


@pytest.mark.parametrize(
    ("at", "value", "says"),
    [
        ("/products/0/stock", [{"length": 8}, {"length": 16}], "length of stock measures 8 inches"),
        ("/products/0/thickness", 9.5, "the thickness measures 9.5 inches: 9.5 mm"),
        ("/products/1/lengths", ["2 ft"], "a fastener's length measures 24 inches"),
        (
            "/surfaces/0/supports/thickness",
            "38 in",
            "thickness measures 38 inches: 38 mm",
        ),
    ],
)
def test_sizes_of_products_and_members_too(at: str, value: Any, says: str) -> None:
    told = slips(changed(asked_for("in", 192, 144), at, value))
    assert says in (told[0].get("text") or told[0]["detail"])


EXAMPLES = sorted([*ROOT.glob("openapi/examples/*.json"),
                   *ROOT.glob("service/products/kinds/*/examples/*.json")])  # fmt: skip


@pytest.mark.parametrize("file", EXAMPLES, ids=[f"{f.parts[-3]}/{f.name}" for f in EXAMPLES])
def test_usual_jobs_have_no_slips(file: Path) -> None:
    """Read only: nothing is laid for it."""
    assert read(file.read_bytes()).slips == ()


def test_small_and_large_rooms_are_taken_as_they_are() -> None:
    """A closet of 3 x 3 ft, and a hall of 150 x 60."""
    for length, width in ((36, 36), ("150 ft", "60 ft")):
        request = asked_for("in", length, width)
        request["surfaces"][0]["layers"][0]["joints"] = "anywhere"
        assert slips(request) == []


def test_a_limit_that_is_exceeded_says_what_may_have_done_it() -> None:
    """A room of 192 x 144 metres in place of inches."""
    request = changed(asked_for("m", 9600, 7200), "/surfaces/0/supports/spacing", "16 in")
    found = asked(request)
    assert found.kind in ("LimitExceeded", "TradeRefused")
    assert "unit-slip" in [row["code"] for row in json.loads(found.body)["faults"]]


def test_an_answer_has_it_first_of_what_is_to_be_decided() -> None:
    told = answered(asked_for("ft", 192, 144))
    assert told["findings"][0]["code"] == "unit-slip"
    assert told["findings"][0]["rule"] == "0.8"
