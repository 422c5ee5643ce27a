"""What no saw can follow is nothing: diagonals in their last digits, and legs of 1/64 in."""

from __future__ import annotations

from math import hypot
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import jobs, requests, shapes
from tests.strategies.asking import answered
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]

TABLES = ("courses", "runs", "pieces", "joints", "sticks", "fasteners", "order", "ledger")
BOARD = requests.board("24 ft", "30 ft")
FINEST = 1 / 64
"""Inches: what counts as nothing beside a hole (5.2), and out of square over a side (1.3)."""


def said(answer: Request) -> set[str]:
    """Codes of the findings."""
    return {row["code"] for row in answer["findings"]}


@FEW
@given(length=shapes.inches(80, 300), width=shapes.inches(40, 150), digits=st.integers(3, 9),
       direction=st.sampled_from([0, 90]), both=st.booleans())  # fmt: skip
def test_a_rectangle_by_its_diagonals_is_the_rectangle(
    length: float, width: float, digits: int, direction: int, both: bool
) -> None:
    """However many digits of its diagonals are sent: no mitre and no taper comes of the last."""
    across = round(hypot(length, width), digits)
    measured = {"sides": [length, width, length, width], "diagonals": [across] * (1 + both)}
    more = {
        "behind": requests.supports(direction=direction + 90),
        "layer": {"direction": direction},
    }
    one, other = (
        answered(requests.job(requests.surface(shape, **more), BOARD))
        for shape in (measured, {"rectangle": [length, width]})
    )
    for table in TABLES:
        assert one[table] == other[table], table
    assert said(one) - {"taken-as-square"} == said(other)


@FEW
@given(length=shapes.inches(120, 200), width=shapes.inches(60, 110), racked=st.integers(1, 12),
       digits=st.integers(3, 6))  # fmt: skip
def test_a_racked_room_has_parallel_sides(
    length: float, width: float, racked: int, digits: int
) -> None:
    """Equal sides make a parallelogram: each board has two edges, level from end to end (1.3)."""
    across = round(hypot(length - racked, (width**2 - racked**2) ** 0.5), digits)
    shape = {"sides": [length, width, length, width], "diagonals": [across]}
    made = answered(requests.job(requests.surface(shape), BOARD))
    for row in made["pieces"]:
        assert all(len({v for _, v in ring}) == 2 for ring in row["shape"]), row


@pytest.mark.parametrize("over", [1.1, 4])
def test_a_side_farther_out_of_square_stays_as_it_was_measured(over: float) -> None:
    """Beyond 1/64 in the diagonal is believed: the ends are cut to the wall."""
    out = over * FINEST
    shape = {"sides": [160, 100, 160, 100], "diagonals": [hypot(160 - out, 100)]}
    made = answered(requests.job(requests.surface(shape), BOARD))
    assert "taken-as-square" not in said(made)
    assert {end for row in made["pieces"] for end in row["ends"]} == {"mitred"}


@LAW
@given(sixteenths=st.integers(0, 4), more=st.integers(2, 30),
       least=st.sampled_from([0, 0.01, 0.75]), angle=st.sampled_from(shapes.ANGLES),
       side=st.sampled_from([1, -1]))  # fmt: skip
def test_a_leg_of_a_sixty_fourth_is_none_however_the_plan_is_turned(
    sixteenths: int, more: int, least: float, angle: float, side: int
) -> None:
    """Whatever `min_leg` is: the course is cut in two, and a wider leg runs past the hole (5.2)."""
    for leg, parts in ((sixteenths * FINEST / 4, 2), (more * FINEST, 1)):
        # Course 2 lies from 5.625 to 10.75 in: a gap of 1/2 in, then whole boards.
        hole = [[50, 5.625 + leg], [70, 5.625 + leg], [70, 24], [50, 24]]
        made = answered(jobs.turned_room(hole, angle, side, least))
        assert sum(row["course"] == 2 for row in made["runs"]) == parts, leg


@FEW
@given(points=shapes.irregular(), members=st.sampled_from([0, 30, 45, 90]),
       beyond=st.lists(st.integers(1, 900), min_size=1, max_size=7, unique=True),
       view=st.sampled_from(["facing", "plan"]),
       slope=st.sampled_from([None, 0, 90, 45]))  # fmt: skip
def test_members_beyond_the_surface_are_named_and_change_nothing_else(
    points: shapes.Points, members: int, beyond: list[int], view: str, slope: int | None
) -> None:
    """A slip of the tape, 1280 for 128: said, with the place as it was sent."""
    reach = shapes.extent(points, members + 90)
    inside = list(range(8, int(reach), 16))
    pitch = {} if slope is None else {"slope": {"rise": 6, "run": 12, "up": slope}}
    layer = {"direction": members + 90, "joints": "anywhere"}

    def job(at: list[float]) -> Request:
        behind = {"direction": members, "at": at}
        area = requests.outline(points, behind=behind, layer=layer, view=view, **pitch)
        area["backing"] = {"thickness": 0.5}
        return answered(requests.job(area, BOARD, when_blocked="relax", effort="quick"))

    far = [round(reach + 0.76 + one, 3) for one in sorted(beyond)]
    one, other = job([*inside, *far]), job(list(inside))
    for table in TABLES:
        assert one[table] == other[table], table
    (found,) = (row for row in one["findings"] if row["code"] == "member-outside")
    assert "member-outside" not in said(other)
    assert f"{len(far)} of {len(far) + len(inside)} " in found["text"]
    assert found["measure"] == pytest.approx(far[0], abs=1e-6)
