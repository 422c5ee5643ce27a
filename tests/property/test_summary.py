"""The summary is about what shows: the outermost layer of each surface, each counted once."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import jobs, requests
from tests.strategies.asking import answered
from tests.strategies.budget import FEW
from tests.strategies.build_ups import build_ups

Request = dict[str, Any]
Row = dict[str, Any]


@st.composite
def built_in_part(draw: st.DrawFn) -> Request:
    """Several surfaces built up of the same products; on some the boards are still to come."""
    request = draw(build_ups(jobs.of_several_surfaces()))
    for area in request["surfaces"][1:]:
        if draw(st.booleans()):
            area["layers"] = area["layers"][: draw(st.integers(1, len(area["layers"]) - 1))]
    return request


def outermost(request: Request) -> set[tuple[str, str]]:
    """Surface and layer of what shows."""
    tops = {area["id"]: area["layers"][-1] for area in request["surfaces"]}
    return {(name, layer.get("id", layer["kind"])) for name, layer in tops.items()}


def total(rows: list[Row], key: str) -> float:
    return float(sum(row[key] for row in rows))


@FEW
@given(request=built_in_part())
def test_each_surface_counts_once(request: Request) -> None:
    """Areas, lengths and sticks of outermost layers, whatever else their product lies under."""
    answer, tops = answered(request), outermost(request)
    found = answer["summary"]
    shown = [row for row in answer["layers"] if (row["surface"], row["layer"]) in tops]
    pieces = [row for row in answer["pieces"] if (row["surface"], row["layer"]) in tops]
    assert found["drawn"] == pytest.approx(total(answer["surfaces"], "net"), abs=1e-4)
    assert found["installed"] == pytest.approx(total(shown, "installed"), abs=1e-4)
    assert found["placed"] == pytest.approx(total(pieces, "length"), abs=1e-3)
    boxes = {row["sheet"] for row in answer["sheets"]}
    assert found["sticks"] == len({row["stick"] for row in pieces} - boxes)


@FEW
@given(request=built_in_part())
def test_what_is_bought_is_shared_with_what_does_not_show(request: Request) -> None:
    """A product's length by what each surface takes of it, as the ledger shares it out (19.2)."""
    answer, tops = answered(request), outermost(request)
    surfaces = {(row["product"], row["surface"]) for row in answer["layers"]
                if (row["surface"], row["layer"]) in tops}  # fmt: skip
    taken: dict[tuple[str, str], int] = {}
    for row in answer["ledger_shares"]:
        key = row["product"], row["surface"]
        taken[key] = taken.get(key, 0) + int(row["half_square_ticks"])
    wanted = Fraction(0)
    for product in answer["products"]:
        whole = sum(amount for key, amount in taken.items() if key[0] == product["product"])
        own = sum(amount for key, amount in taken.items() if key in surfaces
                  and key[0] == product["product"])  # fmt: skip
        lines = [row for row in answer["order"] if row["product"] == product["product"]]
        bought = sum((Fraction(row["length"]) * row["buy"] for row in lines), Fraction(0))
        wanted += bought * Fraction(own, whole)
    assert answer["summary"]["bought"] == pytest.approx(float(wanted), abs=1e-2)


def test_wrap_alone_beside_wrap_under_boards() -> None:
    """Two rooms of 120 x 60 in, 50 sq ft each: 100 sq ft are drawn, not 150 (arithmetic)."""
    wrap = {"kind": "wrap", "product": "roll"}
    roll = {"id": "roll", "form": "roll", "width": 54, "stock": [{"length": "100 ft"}]}
    rooms = [requests.room(120, 60) | {"id": name} for name in ("bare", "boarded")]
    rooms[1]["layers"].insert(0, wrap)
    rooms[0]["layers"] = [wrap]
    answer = answered(requests.job(rooms, requests.board("8 ft", "12 ft"), roll))
    assert answer["summary"]["drawn"] == 100
    boards = next(row for row in answer["products"] if row["form"] == "board")
    assert boards["installed"] < answer["summary"]["installed"] <= boards["installed"] + 60
