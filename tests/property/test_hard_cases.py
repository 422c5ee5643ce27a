"""Jobs on which a law was once broken, or that lie on the edge of a rule; every law on each."""

from __future__ import annotations

from typing import Any

import pytest

from tests.independent import tiling, verifier
from tests.property.test_conservation import check_areas
from tests.property.test_ledger import check_ledger
from tests.strategies import requests, transforms
from tests.strategies.asking import answered

Request = dict[str, Any]

SMALL = requests.board("8 ft", "10 ft", cover=3.125, overall=3.375)
WIDE = requests.board("8 ft", "12 ft", cover=6.875, overall=7.125)
SKYLINE = [[0, 0], [0, 48], [59.6875, 48], [59.6875, 48.5], [129.1875, 48.5], [129.1875, 48.75],
           [172.9375, 48.75], [172.9375, 48], [239.4375, 48], [239.4375, 168.25],
           [269.4375, 168.25], [269.4375, 0]]  # fmt: skip


def ring(length: float, width: float, spacing: float, first: float) -> Request:
    """A rectangle with a well in it, 40 in from each wall."""
    well = {"id": "well", "rectangle": [40, 40, length - 80, width - 80]}
    return requests.room(length, width, behind=requests.supports(spacing, first), openings=[well])


def tapered(direction: int, side: str) -> Request:
    """A room of which one wall along the boards leans by two inches."""
    points = [(0, 0), (186.8125, 0), (186.8125, 157), (2, 141.5)]
    if direction == 0:
        points = [(y, x) for x, y in points]
    behind = requests.supports(12, 11.5, direction=90 - direction)
    layer = {"direction": direction, "joints": "anywhere", "start_side": side}
    return requests.outline(points, behind=behind, layer=layer)


HARD = {
    "a last course that lacks less than 1/64 in": requests.job(
        requests.room(90, 42 - 1 / 128), requests.board("8 ft")
    ),
    "a rest of less than 1/64 in": requests.job(
        requests.room(90, 42 + 1 / 128), requests.board("8 ft")
    ),
    "a last course that lacks less than 1/64 in, on a slope": requests.job(
        requests.room(80, 116.5625, slope={"rise": 4, "run": 12, "up": 90}), SMALL
    ),
    "a piece beside a well, ripped for its whole length": requests.job(
        ring(254.25, 150, 12, 2), SMALL
    ),
    "a well whose bans and bearings cannot both be kept": requests.job(
        ring(150, 299.9375, 24, 7.75), WIDE
    ),
    "a well with few places for joints": requests.job(ring(150, 150, 19.2, 2), SMALL),
    "shiplap": requests.job(requests.room(60, 30), SMALL | {"profile": "shiplap"}),
    "an outline with steps of a quarter inch": requests.job(
        requests.outline(SKYLINE, behind=requests.supports(12, 2), layer={"joints": "anywhere"}),
        requests.board("8 ft", "14 ft", cover=3.125, overall=3.375),
    ),
    "a taper along x from the low wall": requests.job(tapered(0, "low"), WIDE),
    "a taper along x from the high wall": requests.job(tapered(0, "high"), WIDE),
    "a taper along y from the low wall": requests.job(tapered(90, "low"), WIDE),
    "a taper along y from the high wall": requests.job(tapered(90, "high"), WIDE),
    "a slanting hole whose run is jointed": requests.job(
        requests.room(
            212.125, 114.875, behind=requests.supports(19.2, 17),
            openings=[{"id": "hatch", "flange": 1, "outline": [
                [21.53125, 8.875], [28.0625, 17.375], [21.53125, 25.875], [15, 17.375]]}],
        ),
        SMALL,
    ),
}  # fmt: skip


def eased(name: str) -> Request:
    """One of them; what blocks it is relaxed."""
    return HARD[name] | {"when_blocked": "relax"}


@pytest.mark.parametrize("name", HARD)
def test_every_law_holds(name: str) -> None:
    """Tiling, areas, ledger, sticks, joints."""
    request = eased(name)
    answer = answered(request)
    assert tiling.faults(request, answer) == []
    check_areas(request, answer)
    check_ledger(request, answer)
    assert verifier.faults(request, answer) == []


def test_a_surface_of_slanting_boards_can_be_moved() -> None:
    """Boards at 135 degrees: stations do not depend on where the sheet's origin was."""
    tee = [[44.0625, 0], [88.375, 0], [88.375, 58], [182.5, 58], [182.5, 114.25], [0, 114.25],
           [0, 58], [44.0625, 58]]  # fmt: skip
    behind = requests.supports(19.2, 19.1875, direction=45)
    area = requests.outline(tee, behind=behind, layer={"direction": 135, "joints": "anywhere"})
    request = requests.job(area, requests.board("8 ft", "10 ft", "16 ft"))
    one, other = answered(request), answered(transforms.translated(request, -43, -274))
    for table in ("courses", "runs", "pieces", "ledger"):
        assert one[table] == other[table], table


@pytest.mark.parametrize("direction", [0, 90])
def test_a_taper_starts_at_the_wall_that_was_asked_for(direction: int) -> None:
    """The low wall is 141-1/2 in long, the high one 157, also when the courses turn a little."""
    axis = "y" if direction else "x"
    for side, least, most in (("low", 140, 146), ("high", 153, 159)):
        answer = answered(eased(f"a taper along {axis} from the {side} wall"))
        first = sum(run["length"] for run in answer["runs"] if run["course"] == 1)
        assert least < first < most
