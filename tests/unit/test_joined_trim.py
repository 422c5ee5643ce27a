"""Where a line of trim that no stick gives may be joined (17.4), worked by hand."""

from __future__ import annotations

from typing import Any

import pytest

from service.layout.scarfs import Line
from service.units.ticks import INCH
from tests.strategies import trim
from tests.strategies.asking import answered


def line(length: float, usable: float, lap: float = 0, adds: tuple[float, float] = (0, 0)) -> Line:
    """A line in inches whose pieces are 24 in long or more."""
    first, last = (int(one * INCH) for one in adds)
    return Line(int(length * INCH), (first, last), int(usable * INCH), int(lap * INCH), 24 * INCH)


def test_no_joint_lies_within_24_in_of_either_corner() -> None:
    """Of 120 in: at 24 and at 96 it may be joined, an inch nearer to a corner not."""
    places = [at * INCH for at in (16, 23, 24, 60, 96, 97, 104)]
    assert line(120, 96).places_on(places) == (24 * INCH, 60 * INCH, 96 * INCH)


@pytest.mark.parametrize(("usable", "joints"), [(61, 1), (60.9375, None)])
def test_a_piece_is_longer_by_half_of_what_its_scarf_laps(
    usable: float, joints: int | None
) -> None:
    """120 in joined at 60 with a lap of 2: each of the two pieces is 60 and 1."""
    assert line(120, usable, 2).fewest([60 * INCH]) == joints


def test_a_joint_between_two_others_has_half_a_lap_at_either_end() -> None:
    """180 in joined at 60 and 120: the middle piece is 62, the outer ones 61."""
    places = [60 * INCH, 120 * INCH]
    assert line(180, 62, 2).fewest(places) == 2
    assert line(180, 61.5, 2).fewest(places) is None


def test_what_corners_add_is_of_the_outer_pieces() -> None:
    """120 in with 3 more at its start: 60 and 3, and 60."""
    assert line(120, 63, adds=(3, 0)).fewest([60 * INCH]) == 1
    assert line(120, 62, adds=(3, 0)).fewest([60 * INCH]) is None


@pytest.mark.parametrize(("least", "borne"), [({}, False), ({"min_piece": 20}, True)])
def test_scarfs_keep_24_in_off_corners_where_nothing_is_sent(
    least: dict[str, Any], borne: bool
) -> None:
    """A wall of 110 in, a stick of 96, one stud 20 in from its end: a joint there is too near."""
    room: list[list[float]] = [[0, 0], [110, 0], [110, 60], [0, 60]]
    request = trim.round_room(room, trim.moulding(96), edges=[0], rules=least)
    request["surfaces"][0]["supports"] = {"direction": 90, "at": [0.75, 20, 109.25]}
    answer = answered(request)
    low = min(row["length"] for row in answer["pieces"])
    assert (low < 24, "scarf-off-member" in {row["code"] for row in answer["findings"]}) == (
        borne, not borne,
    )  # fmt: skip
