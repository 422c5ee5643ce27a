"""Several surfaces on one framing grid: members measured from one point of a plan (0.6)."""

from __future__ import annotations

import json
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from service.geometry.surface import Member
from service.request.reading import read
from tests.strategies import requests, shapes
from tests.strategies.asking import answered, refused
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]

TABLES = ("courses", "runs", "pieces", "joints", "sticks", "fasteners", "order", "ledger")


def grid(direction: float, **more: Any) -> Request:
    """The framing of the whole job, 16 in on centre from a point of its plan."""
    return {"direction": direction, "spacing": 16, "thickness": 1.5, "origin": [0, 0]} | more


def room(name: str, points: list[list[float]]) -> Request:
    """A surface that sends no members of its own."""
    area = requests.outline(points)
    del area["supports"]
    return area | {"id": name, "view": "facing"}


def job(framing: Request | None, *rooms: Request) -> Request:
    made = requests.job(list(rooms), when_blocked="relax", effort="quick")
    return made if framing is None else made | {"supports": framing}


def lines(request: Request) -> list[set[tuple[float, float, int]]]:
    """Members of each surface: unit normal and distance from the plan's origin."""

    def line(one: Member) -> tuple[float, float, int]:
        return round(one.a, 9), round(one.b, 9), one.d

    surfaces = read(json.dumps(request).encode()).surfaces
    return [{line(one) for one in surface.members} for surface in surfaces]


def box(low: float, near: float, high: float, far: float) -> list[list[float]]:
    return [[low, near], [high, near], [high, far], [low, far]]


@LAW
@given(x=shapes.inches(40, 200), low=shapes.inches(-60, 30), wide=shapes.inches(40, 120),
       first=shapes.inches(0, 40), direction=st.sampled_from([0, 90, 45, 30]))  # fmt: skip
def test_the_parts_of_a_room_have_the_members_of_the_whole(
    x: float, low: float, wide: float, first: float, direction: float
) -> None:
    """A member that stands under both parts is behind both."""
    framing = grid(direction, first=first)
    whole = lines(job(framing, room("whole", box(low, low, 240, low + wide))))
    parts = lines(job(framing, room("a", box(low, low, x, low + wide)),
                      room("b", box(x, low, 240, low + wide))))  # fmt: skip
    assert set.union(*parts) == whole[0]


@FEW
@given(dx=shapes.inches(-90, 90), dy=shapes.inches(-90, 90), first=shapes.inches(0, 30),
       points=shapes.ells(), direction=st.sampled_from([90, 60]))  # fmt: skip
def test_a_plan_and_its_origin_moved_together_give_the_same_takeoff(
    dx: float, dy: float, first: float, points: shapes.Points, direction: float
) -> None:
    moved = [[px + dx, py + dy] for px, py in points]
    here = job(grid(direction, first=first), room("a", points))
    there = job(grid(direction, first=first, origin=[dx, dy]), room("a", moved))
    one, other = answered(here), answered(there)
    for table in TABLES:
        assert one[table] == other[table], table


@FEW
@given(points=shapes.ells(), first=st.sampled_from([4, 16, 5.25]), along=st.sampled_from([0, 90]))
def test_an_origin_in_the_lowest_corner_is_the_default(
    points: shapes.Points, first: float, along: int
) -> None:
    """Members listed one by one, as they are without an origin."""
    at = [first + 16 * k for k in range(12)]
    framing = {"direction": along, "at": at, "thickness": 1.5}
    one, other = (
        lines(job(framing | more, room("a", points))) for more in ({}, {"origin": [0, 0]})
    )
    assert one == other


@FEW
@given(points=shapes.ells(), first=shapes.inches(0, 30), direction=st.sampled_from([0, 90, 30]))
def test_a_plan_seen_from_the_other_side_keeps_its_grid(
    points: shapes.Points, first: float, direction: float
) -> None:
    """Drawn in plan, or as its own mirror image with the members where they then are."""
    wide = max(x for x, _ in points)
    at = [first + 16 * k for k in range(-20, 20) if first + 16 * k >= 0]
    framing = {"direction": direction, "at": at, "thickness": 1.5, "origin": [0, 0]}
    (drawn,) = lines(job(framing, room("a", points) | {"view": "plan"}))
    (seen,) = lines(job(framing, room("a", points)))
    turned = set()
    for a, b, d in seen:
        turned.add((round(-a, 9) + 0.0, b, round(d - a * wide * 1_016_000)))
    assert drawn == turned


def test_members_of_a_surface_go_before_those_of_the_job() -> None:
    own = requests.room(120, 60, behind=requests.supports(24)) | {"id": "own", "view": "facing"}
    found = lines(job(grid(90), own, room("other", box(0, 0, 120, 60))))
    assert [d // 1_016_000 for _, _, d in sorted(found[0])] == [24, 48, 72, 96, 120]
    assert [d // 1_016_000 for _, _, d in sorted(found[1])] == [16 * k for k in range(8)]


def test_listed_members_that_are_of_other_surfaces_are_no_finding() -> None:
    """One list for the whole plan: each surface takes those behind it."""
    framing = {"direction": 90, "at": [4, 20, 36, 484, 500, 516, 900], "origin": [0, 0]}
    answer = answered(job(framing, room("a", box(0, 0, 40, 60)), room("b", box(480, 0, 530, 60))))
    assert "member-outside" not in {row["code"] for row in answer["findings"]}


def test_a_surface_with_no_members_at_all_is_told() -> None:
    kind, (fault,) = refused(job(None, room("a", box(0, 0, 120, 60))))
    assert kind == "TradeRefused"
    assert fault["code"] == "no-supports"
    assert fault["pointer"] == "/surfaces/0/supports"
