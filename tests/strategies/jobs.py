"""Generated jobs: every part from a strategy, all of them such as a carpenter could meet.

`when_blocked: relax` keeps a job answerable when its joints cannot keep every rule; the tests of
refusals make their own jobs.
"""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from tests.strategies import shapes
from tests.strategies.requests import board, job, outline, room, supports

Request = dict[str, Any]

STOCK = (8, 10, 12, 14, 16, 18, 20)
SIZES = ((3.125, 3.375), (5.125, 5.375), (6.875, 7.125))


def stock(least: int = 1) -> st.SearchStrategy[list[str]]:
    """Some of the lengths of 8 to 20 ft."""
    feet = st.sets(st.sampled_from(STOCK), min_size=least, max_size=4)
    return feet.map(lambda chosen: [f"{length} ft" for length in sorted(chosen)])


@st.composite
def products(draw: st.DrawFn) -> Request:
    """A board: tongue-and-groove, shiplap or square edge."""
    cover, overall = draw(st.sampled_from(SIZES))
    profile = draw(st.sampled_from(["tongue_and_groove", "shiplap", "square_edge"]))
    if profile == "square_edge":
        overall = cover
    return board(*draw(stock(2)), cover=cover, overall=overall, profile=profile)


@st.composite
def behind(draw: st.DrawFn, direction: int = 90) -> Request:
    """Members at right angles to boards of direction `direction - 90`."""
    spacing = draw(st.sampled_from([12, 16, 19.2, 24]))
    return supports(spacing, draw(shapes.inches(2, spacing)), direction=direction)


@st.composite
def rectangular(draw: st.DrawFn, /, **layer: Any) -> Request:
    """A rectangular room of any boards, without openings."""
    length, width = draw(shapes.inches(60, 420)), draw(shapes.inches(30, 150))
    area = room(length, width, behind=draw(behind()), layer=layer)
    return job(area, draw(products()), when_blocked="relax")


@st.composite
def with_openings(draw: st.DrawFn) -> Request:
    """A rectangle with an opening inside it or at its edge."""
    points = draw(shapes.rectangles(90, 260))
    kinds = [shapes.openings(points), shapes.edge_boxes(points, "hatch")]
    hole = draw(st.one_of(*kinds)) | draw(st.sampled_from([{}, {"flange": 1}, {"cut_gap": 0}]))
    area = outline(points, behind=draw(behind()), openings=[hole])
    return job(area, draw(products()), when_blocked="relax")


@st.composite
def ringed(draw: st.DrawFn) -> Request:
    """A ring: a rectangle with a large hole in its middle."""
    points = draw(shapes.rectangles(150, 300))
    x0, y0, x1, y1 = shapes.bounds(points)
    hole = {"id": "well", "rectangle": [x0 + 40, y0 + 40, x1 - x0 - 80, y1 - y0 - 80]}
    area = outline(points, behind=draw(behind()), openings=[hole])
    return job(area, draw(products()), when_blocked="relax")


@st.composite
def of_any_outline(draw: st.DrawFn) -> Request:
    """Boards of any direction on an outline of any family."""
    points = draw(shapes.outlines())
    direction = draw(st.sampled_from([0, 0, 90, 45, 135, 30]))
    layer = {"direction": direction, "joints": "anywhere",
             "start_side": draw(st.sampled_from(["low", "high"]))}  # fmt: skip
    area = outline(points, behind=draw(behind((direction + 90) % 180)), layer=layer)
    return job(area, draw(products()), when_blocked="relax")


@st.composite
def sloped(draw: st.DrawFn) -> Request:
    """A sloped rectangle; rafters run up the slope, boards across them."""
    pitch = {"rise": draw(st.integers(1, 12)), "run": 12, "up": 90}
    area = room(draw(shapes.inches(80, 240)), draw(shapes.inches(50, 140)),
                behind=draw(behind()), slope=pitch)  # fmt: skip
    return job(area, draw(products()), when_blocked="relax")


@st.composite
def with_near_openings(draw: st.DrawFn) -> Request:
    """Openings of any shape near to each other, on a slope or flat, under boards of any way."""
    x, y = draw(shapes.inches(50, 90)), draw(shapes.inches(40, 70))
    holes = []
    for name in draw(st.sampled_from(["ab", "abc", "abcd"])):
        near = [x + draw(shapes.inches(-16, 16)), y + draw(shapes.inches(-16, 16))]
        holes.append(draw(shapes.small_openings(near, name)))
    angle = draw(st.sampled_from([0, 30, 45, 90, 144.7]))
    slope = {"slope": {"rise": draw(st.integers(1, 12)), "run": 12,
                       "up": draw(st.sampled_from([0, 45, 90, 210]))}}  # fmt: skip
    area = room(draw(shapes.inches(150, 200)), draw(shapes.inches(110, 140)), openings=holes,
                layer={"direction": angle, "joints": "anywhere"},
                backing={"thickness": 0.5}, **draw(st.sampled_from([{}, slope])))  # fmt: skip
    return job(area, board("24 ft", "30 ft"), when_blocked="relax", effort="quick")


def turned_surface(ring: shapes.Points, angle: float, side: int, **layer: Any) -> Request:
    """A room with boards along what was its length before it was turned, or seen in a mirror.

    Course 1 starts whole at the wall that was low then.
    """
    direction = side * angle % 180
    # The first wall is on the low side, unless the turn brought it over.
    up = shapes.carried([0, 1], angle, side)
    across = shapes.carried([1, 0], direction + 90 if direction < 90 else direction - 90, 1)
    low = up[0] * across[0] + up[1] * across[1] > 0
    layer = {"direction": round(direction, 6), "joints": "anywhere", "start": "full_first",
             "start_side": "low" if low else "high"} | layer  # fmt: skip
    behind = supports(direction=round((direction + 90) % 180, 6))
    return outline(ring, behind=behind, layer=layer)


def turned_room(hole: shapes.Points, angle: float, side: int, least: float) -> Request:
    """A room of 120 by 60 in with a hole, turned or seen in a mirror."""
    room_points = [[0, 0], [120, 0], [120, 60], [0, 60]]
    points, cut = ([shapes.carried(at, angle, side) for at in ring] for ring in (room_points, hole))
    area = turned_surface(points, angle, side, rules={"min_leg": least})
    area["openings"] = [{"id": "hatch", "outline": cut, "cut_gap": 0}]
    return job(area, board("24 ft"), when_blocked="relax", effort="quick")


@st.composite
def in_plan(draw: st.DrawFn) -> Request:
    """Any layers on any outline or slope, drawn in plan, with sides and angles sent or left out."""
    members = draw(st.sampled_from([0, 90, 0, 90, 45, 30]))
    sides = [{}, {"start_side": "low"}, {"start_side": "high"}]
    ways = [{}, {"direction": 0}, {"direction": 90}, {"direction": 90}]
    boarding = {"kind": "boarding", "product": "pine", "joints": "anywhere",
                "direction": draw(st.sampled_from([0, 90, 45, 30, members + 90]))}  # fmt: skip
    aims = [{}, {"aim": [{"at": draw(shapes.inches(20, 60)), "on": "joint"}]}]
    layers = [{"kind": "sheathing", "product": "sheet"} | draw(st.sampled_from(ways)),
              {"kind": "wrap", "product": "roll"} | draw(st.sampled_from(ways)),
              boarding | draw(st.sampled_from(aims))]  # fmt: skip
    slope = {"slope": {"rise": draw(st.integers(1, 12)), "run": 12,
                       "up": draw(st.sampled_from([0, 90, 45, 210]))}}  # fmt: skip
    kind = draw(st.sampled_from(["ceiling", "soffit", "wall"]))
    points = draw(st.one_of(shapes.irregular(), shapes.outlines()))
    across = int(shapes.extent(points, members + 90))
    behind = {"direction": members, "at": list(range(8, across, 16))}
    area = outline(points, behind=behind, view="plan", backing={"thickness": 0.5}, type=kind,
                   **draw(st.sampled_from([{}, slope])))  # fmt: skip
    area["layers"] = [draw(st.sampled_from(layers)) | draw(st.sampled_from(sides))]
    sheet = {"id": "sheet", "form": "sheet", "width": 48, "thickness": 0.5,
             "stock": [{"length": 96}]}  # fmt: skip
    roll = {"id": "roll", "form": "roll", "width": 54, "stock": [{"length": "150 ft"}]}
    return job(area, board("24 ft", "30 ft"), sheet, roll, when_blocked="relax", effort="quick",
               rules={"panel_end_bearing": 0.25})  # fmt: skip


@st.composite
def of_several_surfaces(draw: st.DrawFn) -> Request:
    """Two or three rooms that share their boards."""
    areas = []
    for name in draw(st.sampled_from([("a", "b"), ("a", "b", "c")])):
        size = draw(shapes.inches(60, 220)), draw(shapes.inches(30, 90))
        areas.append(room(*size, behind=draw(behind())) | {"id": name})
    return job(areas, draw(products()), when_blocked="relax")


def jobs() -> st.SearchStrategy[Request]:
    """Any of the families above."""
    return st.one_of(rectangular(), with_openings(), ringed(), of_any_outline(), sloped(),
                     of_several_surfaces())  # fmt: skip
