"""What a surface may ask of the polygons: corners times the courses that lie beside them."""

from __future__ import annotations

from typing import Any

import pytest

from service.errors import LimitExceeded
from service.request.reading import read
from tests.strategies.asking import body_of

FOOT = 12


def hall(long: int, wide: int, **more: Any) -> dict[str, Any]:
    """A ceiling of boards 5-1/8 in wide, its sides in feet."""
    return {
        "unit": "in",
        "surfaces": [{
            "id": "hall", "type": "ceiling",
            "supports": {"direction": 90, "first": 16, "spacing": 16},
            "rectangle": [long * FOOT, wide * FOOT],
            "layers": [{"kind": "boarding", "product": "fir", "direction": 0}],
        } | more],
        "products": [{
            "id": "fir", "form": "board", "profile": "tongue_and_groove",
            "overall": 5.375, "coverage": 5.125, "thickness": 0.75,
            "stock": [{"length": "16 ft"}],
        }],
    }  # fmt: skip


def test_a_hundred_lights_count_the_courses_beside_each() -> None:
    """A light of 6 in lies beside few of them, wherever it is: 12 / 2.6875, and two more."""
    lights = [
        {"id": f"light-{k}", "circle": [15 + 30 * (k % 20), 36 + 72 * (k // 20), 6]}
        for k in range(100)
    ]
    (surface,) = read(body_of(hall(50, 30, openings=lights))).surfaces
    assert len(surface.openings) == 100


def test_an_outline_of_many_corners_counts_all_courses() -> None:
    """(3 600 + 2 403) in over half a board, 2.6875 in, are 2 233; times 1 603 corners 3 579 499."""
    long, wide, teeth = 300 * FOOT, 200 * FOOT, 1600
    rim = [[long * (teeth - k) / teeth, wide + 3 * (k % 2)] for k in range(teeth + 1)]
    asked = hall(1, 1, outline=[[0, 0], [long, 0], *rim[:-1], [0, wide]])
    del asked["surfaces"][0]["rectangle"]
    with pytest.raises(LimitExceeded) as refused:
        read(body_of(asked))
    fault = refused.value.faults[-1]
    assert (fault.code, fault.pointer) == ("over-limit", "/surfaces/0")
    assert fault.detail.endswith("the courses beside it: this request has 3579499")
