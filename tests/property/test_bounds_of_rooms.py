"""Bounds of whole requests: however a room is told, none is over the cheapest plan of any telling.

A room and its mirror take the same boards: a layout seen in a mirror is as legal, and a stick
turned end for end lies in it. Another order of its stock, a quarter turn and another unit are the
room itself; twice the room costs at most what both cost apart, and no less than one.
"""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import requests, shapes, transforms
from tests.strategies.asking import answered
from tests.strategies.budget import examples

Request = dict[str, Any]

STOCK = [{"length": f"{feet} ft", "price": price}
         for feet, price in ((8, "12.00"), (10, "15.45"), (14, "22.00"))]  # fmt: skip
NEAR = 1.000_001
"""Costs are told in cents."""


@st.composite
def quadrilaterals(draw: st.DrawFn) -> shapes.Points:
    """A room of some courses whose walls are out of square by up to 4 in."""
    length, width = draw(shapes.inches(130, 230)), draw(shapes.inches(40, 70))
    off = [draw(st.integers(-16, 16)) / 4 for _ in range(5)]
    return [[0, 0], [length, off[0]], [length + off[1], width + off[2]], [off[3], width + off[4]]]


@st.composite
def racked(draw: st.DrawFn) -> shapes.Points:
    """A parallelogram, of which slanted cuts may share a stick."""
    length, width = draw(shapes.inches(130, 200)), draw(shapes.inches(40, 60))
    lean = draw(st.sampled_from([-30, -12, 12, 30]))
    return [[max(0, -lean), 0], [length + max(0, -lean), 0],
            [length + max(0, lean), width], [max(0, lean), width]]  # fmt: skip


@st.composite
def notched(draw: st.DrawFn) -> shapes.Points:
    """An L of courses of two lengths."""
    long, short = draw(shapes.inches(170, 230)), draw(shapes.inches(110, 160))
    low, high = draw(shapes.inches(24, 40)), draw(shapes.inches(24, 40))
    return [[0, 0], [long, 0], [long, low], [short, low], [short, low + high], [0, low + high]]


@st.composite
def rooms(draw: st.DrawFn) -> Request:
    """One room of any of these, its joints on members or anywhere, priced or not."""
    ring = draw(st.one_of(quadrilaterals(), racked(), notched()))
    spacing, first = draw(st.sampled_from([16, 24])), draw(st.integers(2, 16))
    members = list(range(first, int(max(x for x, _ in ring)), spacing))
    more = draw(st.sampled_from([
        {}, {"layer": {"joints": "anywhere"}, "backing": {"thickness": 0.5}},
    ]))  # fmt: skip
    behind = {"direction": 90, "at": members, "thickness": 1.5}
    board = requests.board(*draw(st.sampled_from([STOCK, STOCK[:2], STOCK[1:]])))
    area = requests.outline(ring, behind=behind, **more)
    return requests.job(area, board, when_blocked="relax")


def mirrored(request: Request) -> Request:
    """The room as a mirror beside it shows it, its members too."""

    def change(surface: Request) -> Request:
        far = min(x for x, _ in surface["outline"]) + max(x for x, _ in surface["outline"])
        behind = surface["supports"]
        low = min(x for x, _ in surface["outline"])
        wide = far - 2 * low
        behind["at"] = sorted(wide - at for at in behind["at"])
        return transforms.carried(surface, lambda x, y: (far - x, y))

    return transforms.reshaped(request, change)


def twice(request: Request) -> Request:
    return request | {"surfaces": [{**request["surfaces"][0], "id": name} for name in "ab"]}


def plan_of(request: Request) -> tuple[float, float]:
    """Bound and cost of the boards."""
    (plan,) = answered(request)["cut_plans"]
    assert 0 < plan["bound"] <= plan["cost"] * NEAR
    return plan["bound"], plan["cost"]


def told_otherwise(request: Request) -> Request:
    """A quarter turn of it, in millimetres, with its stock in another order."""
    whole = transforms.turned(transforms.in_millimetres(request))
    whole["products"][0]["stock"].reverse()
    return whole


@examples(12)
@given(request=rooms(), rules=st.sampled_from([{}, {"joint_cost": 0}]))
def test_no_bound_is_over_a_plan_of_the_same_room(request: Request, rules: Request) -> None:
    more, quick = {"rules": {"backing": "none", **rules}}, {"effort": "quick"}
    told = [request, mirrored(request), told_otherwise(request), request | quick]
    plans = [plan_of(one | more) for one in told]
    least = min(cost for _, cost in plans)
    for bound, _ in plans:
        assert bound <= least * NEAR
    bound, cost = plan_of(twice(request) | more | quick)
    assert bound <= 2 * least * NEAR
    assert plans[0][0] <= cost * NEAR
