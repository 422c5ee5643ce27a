"""Caps of wrap by place, worked by hand from 13.6, 18.1 and 18.8; lengths in inches."""

from __future__ import annotations

from typing import Any

import pytest

from service.fastening.caps import around, on_line
from service.units.ticks import INCH
from tests.independent.json_patch import patched
from tests.strategies.asking import answered, refused
from tests.strategies.requests import changed

Request = dict[str, Any]
LAYER = "/surfaces/0/layers/0"


def wrapped(supports: Request, rectangle: list[float], **layer: Any) -> Request:
    """One rectangle; the roll is as wide as `roll`, 48 in if none is sent."""
    width = layer.pop("roll", 48)
    rules = {"end_distance": 0, "cap_bite": 0, "turn_down": 0} | layer.pop("rules", {})
    return {
        "unit": "in",
        "rules": rules,
        "surfaces": [
            {
                "id": "area",
                "view": "facing",
                "rectangle": rectangle,
                "supports": supports,
                "layers": [{"kind": "wrap", "product": "roll", "direction": 0} | layer],
            }
        ],
        "products": [
            {"id": "roll", "form": "roll", "width": width, "stock": [{"length": "100 ft"}]},
            {"id": "cap", "form": "fastener", "shank": "ring", "lengths": [0.75, 1, 1.5]},
        ],
    }


def counts(request: Request) -> dict[str, int]:
    """Caps by place."""
    return {row["where"]: row["count"] for row in answered(request)["fasteners"]}


ACROSS = {"direction": 90, "at": [12]}
ALONG = {"direction": 0, "at": [45]}


def test_points_inside_a_span_are_left_out_and_those_on_its_edge_stay() -> None:
    """Nine points from 0 to 96: the span from 24 to 60 takes those at 36 and 48."""
    assert on_line(96 * INCH, 12 * INCH, 0, []) == 9
    assert on_line(96 * INCH, 12 * INCH, 0, [(24 * INCH, 60 * INCH)]) == 7
    assert on_line(96 * INCH, 12 * INCH, 0, [(24 * INCH, 60 * INCH), (30 * INCH, 40 * INCH)]) == 7
    assert on_line(96 * INCH, 12 * INCH, 0, [(-1, 96 * INCH + 1)]) == 0


def test_the_one_point_of_a_short_line_stands_in_its_middle() -> None:
    """Under 2 in there is one (18.1)."""
    line = 3 * INCH // 2
    assert on_line(line, 12 * INCH, 0, [(0, line // 2)]) == 1
    assert on_line(line, 12 * INCH, 0, [(0, line // 2 + 1)]) == 0


def test_caps_round_an_opening_are_never_farther_apart() -> None:
    assert around(80 * INCH, 12 * INCH) == 7
    assert around(84 * INCH, 12 * INCH) == 7
    assert around(84 * INCH + 1, 12 * INCH) == 8


def test_a_member_under_a_lap_has_the_laps_row_only() -> None:
    """Two widths of 48 in lap from 42 to 48: a member at 45 stands under the lap."""
    assert counts(wrapped(ALONG, [96, 90])) == {"seam": 9}


def test_a_member_half_a_pitch_from_a_lap_has_its_own_caps() -> None:
    """The lap's row is at 45; a member at 51 is 6 in off, one at 50 is not."""
    assert counts(wrapped({"direction": 0, "at": [51]}, [96, 90])) == {"line": 9, "seam": 9}
    assert counts(wrapped({"direction": 0, "at": [50]}, [96, 90])) == {"seam": 9}


def test_a_lap_that_ends_earlier_serves_a_member_no_farther() -> None:
    """An L: the lap's row runs over 48 in of a member of 96 in, whose points stand 12 in apart."""
    request = wrapped(ALONG, [96, 90])
    surface = request["surfaces"][0]
    del surface["rectangle"]
    surface["outline"] = [[0, 0], [96, 0], [96, 47], [48, 47], [48, 90], [0, 90]]
    assert counts(request) == {"line": 4, "seam": 5}


def test_without_a_member_caps_stand_in_a_grid() -> None:
    """Rows 16 in apart, points 12 in apart: 96 in are six spaces, five rows of five (13.6)."""
    assert counts(wrapped({"direction": 90, "at": [200]}, [96, 48])) == {"line": 25}


def test_a_closer_seam_row_has_more_caps() -> None:
    request = wrapped(ACROSS, [96, 90], rules={"cap_seam": 6})
    assert counts(request)["seam"] == 17


def test_edges_have_caps_if_asked_for_and_members_none_beside_them() -> None:
    """6 in apart on 288 in: 48; the member's points at 0 and 96 are left out, 12 to 84 stay."""
    request = wrapped({"direction": 90, "at": [24]}, [48, 96], roll=108, cap_edges=True)
    plain = changed(request, f"{LAYER}/cap_edges", False)
    assert counts(plain) == {"line": 9}
    assert counts(request) == {"line": 7, "edge": 48}


def test_a_member_along_an_edge_is_served_by_the_edges_row() -> None:
    request = wrapped({"direction": 90, "at": [1, 30]}, [48, 96], roll=108, cap_edges=True)
    assert counts(request) == {"line": 7, "edge": 48}


@pytest.mark.parametrize(
    ("edits", "length"),
    [
        ([], 0.75),
        ([("/surfaces/0/supports/shim", 0.25)], 1),
        ([("/products/0/thickness", 0.125)], 1),
        ([("/surfaces/0/backing", {"thickness": 0.5}), ("/surfaces/0/supports/shim", 0.25)], 0.75),
    ],
    ids=["framing", "shim", "thick wrap", "panel over a shim"],
)
def test_a_cap_holds_in_framing_or_panel(edits: list[tuple[str, Any]], length: float) -> None:
    """3/4 in of hold: a shim is passed on the way to framing, not on the way to a panel (18.11)."""
    request = wrapped(ACROSS, [96, 90], rules={"cap_bite": 0.75}, fastening={"product": "cap"})
    for pointer, value in edits:
        request = changed(request, pointer, value)
    assert {row["length"] for row in answered(request)["fasteners"]} == {length}


def test_caps_too_short_are_refused_with_a_length_that_holds() -> None:
    request = wrapped(ACROSS, [96, 90], rules={"cap_bite": 2}, fastening={"product": "cap"})
    _, (fault,) = refused(request)
    assert fault["code"] == "fastener-short"
    answered(patched(request, fault["cure"]))
