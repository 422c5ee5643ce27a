"""A step of the outline is to boards what an opening in its place is (1.1, 5.5)."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.independent import bans, nailing, steps
from tests.independent.asked import laid
from tests.independent.measure import ticks
from tests.strategies import jobs, requests, shapes
from tests.strategies.asking import answered
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]

SNAPPED = 8
"""Ticks that snapping and six printed decimals move a wall of a turned plan."""

KEYS = {
    "courses": ("course", "near", "far", "rip"),
    "runs": ("course", "from", "to", "bearings"),
    "pieces": ("course", "from", "to", "ends", "rip", "notches", "holes"),
    "joints": ("course", "at", "on"),
    "fasteners": ("where", "place", "count"),
    "order": ("length", "need"),
}  # fmt: skip
"""What a step and an opening in its place have alike: all but areas and names."""


def alike(one: Request, other: Request) -> bool:
    """Whether two answers have the same figures, but for what snapping moves."""
    return all(
        len(one[table]) == len(other[table])
        and all(
            row[key] == pytest.approx(like[key], abs=1e-4)
            if isinstance(row[key], float)
            else row[key] == like[key]
            for row, like in zip(one[table], other[table], strict=True)
            for key in keys
        )
        for table, keys in KEYS.items()
    )


def job(points: shapes.Points, holes: list[shapes.Points], angle: float, side: int, along: int,
        **more: Any) -> Request:  # fmt: skip
    """Boards along or across an outline that is turned, or seen in a mirror, with its holes."""
    turned, *cuts = [[shapes.carried(at, angle, side) for at in ring] for ring in (points, *holes)]
    direction = round(side * (angle + along) % 180, 6)
    layer = {"direction": direction, "joints": "anywhere"} | more
    openings = [{"id": f"o{k}", "outline": cut, "cut_gap": 0.5} for k, cut in enumerate(cuts)]
    behind = requests.supports(direction=round((direction + 90) % 180, 6))
    # An end at a wall is covered, one at an opening is not (8.1), nor does its gap give (3.9).
    rules = {"end_trim": 0.5, "unsawn": 0}
    area = requests.outline(turned, behind=behind, layer=layer, openings=openings, rules=rules)
    return requests.job(area, requests.board("8 ft", "12 ft"), when_blocked="relax", effort="quick")


@LAW
@given(points=shapes.ells(), angle=st.sampled_from(shapes.ANGLES), side=st.sampled_from([1, -1]),
       along=st.sampled_from([0, 90]), start=st.sampled_from(["low", "high"]))  # fmt: skip
def test_a_step_is_an_opening_at_the_edge(
    points: shapes.Points, angle: float, side: int, along: int, start: str
) -> None:
    """An L, and the rectangle around it with its corner cut out: runs, notches, names and nails."""
    step, hole = step_and_opening(points, angle, side, along, start_side=start)
    # No edge of a member is 0.53 in from a wall on the grid: what touches does so however turned.
    long = {"products": [requests.board("30 ft")], "rules": {"min_touch": 0.53}}
    assert alike(answered(step | long), answered(hole | long))


@FEW
@given(points=shapes.ells(), along=st.sampled_from([0, 90]))
def test_joints_keep_off_a_step_as_off_an_opening(points: shapes.Points, along: int) -> None:
    """The same bans (5.5), and so the same joints."""
    step, hole = step_and_opening(points, 0, 1, along)
    one, other = answered(step), answered(hole)
    _, _, _, (x, y), _, _ = points
    inner = (x if along else y) - 0.5
    edges = [row[side] for row in one["courses"] for side in ("near", "far")]
    # Beside an opening whose edge is a course's, the next course is banned too.
    assume(all(abs(edge - inner) > 1 / 32 for edge in edges))
    assert alike(one, other)


def step_and_opening(
    points: shapes.Points, angle: float, side: int, along: int, **more: Any
) -> tuple[Request, Request]:
    """An L, and the rectangle around it with an opening in its corner."""
    _, (right, _), _, (x, y), _, (_, top) = points
    corner = [[x, y], [right, y], [right, top], [x, top]]
    around = [[0, 0], [right, 0], [right, top], [0, top]]
    return (job(points, [], angle, side, along, **more),
            job(around, [corner], angle, side, along, **more))  # fmt: skip


@FEW
@given(points=st.one_of(shapes.ells(), shapes.tees(), shapes.skylines()),
       angle=st.sampled_from(shapes.ANGLES), side=st.sampled_from([1, -1]),
       along=st.sampled_from([0, 90]), off=st.sampled_from([12, 0]))  # fmt: skip
def test_square_walls_make_square_ends(
    points: shapes.Points, angle: float, side: int, along: int, off: int
) -> None:
    """However the plan is turned, nothing is mitred where every wall is square to the boards."""
    rules = {"joint_from_hole": off}
    answer = answered(job(points, [], angle, side, along, rules=rules))
    assert {end for row in answer["pieces"] for end in row["ends"]} == {"square"}


@FEW
@given(low=shapes.inches(20, 60), near=shapes.inches(10, 40), long=shapes.inches(40, 160),
       wide=shapes.inches(3, 40), angle=st.sampled_from(shapes.ANGLES))  # fmt: skip
def test_joints_beside_a_square_opening_are_square(
    low: float, near: float, long: float, wide: float, angle: float
) -> None:
    """Also where a joint may lie over a notch: both pieces end in a square nib (5.5)."""
    high, far = low + long, near + wide
    hole = [[low, near], [high, near], [high, far], [low, far]]
    room = [[0, 0], [240, 0], [240, 100], [0, 100]]
    rules = {"joint_from_hole": 0, "joint_beside_hole": 0, "stagger": 0, "repeat": 0}
    answer = answered(job(room, [hole], angle, 1, 0, rules=rules))
    assert {end for row in answer["pieces"] for end in row["ends"]} == {"square"}


@LAW
@given(points=shapes.stepped(), angle=st.sampled_from([0, 45, 90]),
       side=st.sampled_from([1, -1]), joints=st.sampled_from(["anywhere", "framing"]))  # fmt: skip
def test_a_step_beside_a_course_edge_is_a_notch(
    points: shapes.Points, angle: float, side: int, joints: str
) -> None:
    """Ends, notches, bans and nails beside steps of every size, as they are recounted."""
    turned = side == -1 and angle != 0
    more = {"start": "full_first", "start_side": "high" if turned else "low", "joints": joints}
    rules = {"min_touch": 0.53, "backing": "none"}
    request = job(points, [], angle, side, 0, **more) | {"rules": rules}
    answer = answered(request)
    (layer,) = laid(request, answer)
    assert {end for row in answer["pieces"] for end in row["ends"]} == {"square"}
    for row in answer["runs"]:
        standing = steps.walls(layer, row)
        for end in (ticks(row["from"], "in"), ticks(row["to"], "in")):
            assert min(abs(end - wall) for wall in standing) <= SNAPPED
    assert bans.faults(layer, answer) == []
    made = steps.steps(layer, answer)
    for row in answer["pieces"]:
        low, high = (ticks(row[end], "in") for end in ("from", "to"))
        own = [one for one in made if row["run"] == one.run]
        assert row["notches"] == sum(one.low < high and one.high > low for one in own)
    assert nails(answer, place="blind") == nailing.blind(layer, answer)
    assert nails(answer, where="lost tongue") == nailing.bared(layer, answer)


def nails(answer: Request, **of: str) -> int:
    """Fasteners of the rows that have these values."""
    return sum(
        row["count"] for row in answer["fasteners"]
        if all(row[key] == value for key, value in of.items())
    )  # fmt: skip


@FEW
@given(leg=st.integers(1, 16))
def test_a_sliver_beside_a_step_is_cut_off_only_up_to_a_sixty_fourth(leg: int) -> None:
    """Course 2 begins at 5.625 in, a step `leg` sixty-fourths higher: it ends there, or runs on."""
    y = 5.625 + leg / 64 + 0.5
    points = [[0, 0], [120, 0], [120, y], [60, y], [60, 60], [0, 60]]
    answer = answered(job(points, [], 0, 1, 0, start="full_first", rules={"min_leg": 0}))
    (reach,) = (row["to"] for row in answer["runs"] if row["course"] == 2)
    assert reach == (59.5 if leg == 1 else 119.5)


def level() -> st.SearchStrategy[Request]:
    """Boards along the walls of an outline with steps."""
    points = st.one_of(shapes.ells(), shapes.tees(), shapes.skylines())
    return points.map(lambda corners: job(corners, [], 0, 1, 0))


@LAW
@given(request=st.one_of(jobs.with_openings(), level()), long=st.booleans())
def test_a_blind_nail_has_a_tongue_to_go_into(request: Request, long: bool) -> None:
    """Piece by piece and member by member: none where a notch took the tongue (18.3).

    Not beside a slanting cut through the whole course: a mitre is no notch.
    """
    stock = [{"length": "30 ft"}] if long else [{"length": "8 ft"}, {"length": "12 ft"}]
    request = request | {"products": [requests.board(*stock)], "effort": "quick"}
    answer = answered(requests.framed(request))
    assume({end for row in answer["pieces"] for end in row["ends"]} == {"square"})
    (layer,) = laid(request, answer)
    assert nails(answer, place="blind") == nailing.blind(layer, answer)
