"""Generated grids of box beams, with boards in bays or over them: in rooms of any outline."""

from __future__ import annotations

from typing import Any

from hypothesis import assume
from hypothesis import strategies as st

from tests.strategies import shapes
from tests.strategies.requests import board, job, outline, supports

Request = dict[str, Any]

WALLS = ([], [], ["low"], ["high"], ["low", "high"])
MODES = ("boards_to_beam", "boards_to_beam", "between_blocking", "boards_over")
CORNERS = ("sides_outside", "sides_outside", "bottom_over", "mitred")


@st.composite
def sets(draw: st.DrawFn, direction: int) -> Request:
    """One set: one or two beams evenly, on centres or by clear bays, with half beams at walls."""
    ways = [
        {"count": draw(st.integers(1, 2))},
        {"centres": [draw(shapes.inches(35, 60))]},
        {"clear": [draw(shapes.inches(25, 45))]},
    ]
    walls = draw(st.sampled_from(WALLS))
    half = {"wall_width": draw(shapes.inches(3, 5))} if walls else {}
    return {"direction": direction, "walls": walls, **half, **draw(st.sampled_from(ways))}


def crooked() -> st.SearchStrategy[shapes.Points]:
    """Rooms with inner corners, and rooms out of square, turned."""
    square = st.one_of(shapes.ells(), shapes.tees())
    return st.one_of(square, shapes.slanted(), shapes.out_of_square(), shapes.turned(square))


@st.composite
def slanting(draw: st.DrawFn) -> Request:
    """A crooked room with an opening or none, and beams that run as it is drawn or aslant."""
    request, turn = draw(grids()), draw(st.sampled_from([0, 0, 30, 17.5]))
    (area,) = request["surfaces"]
    area["outline"] = draw(crooked())
    x0, y0, x1, y1 = shapes.bounds(area["outline"])
    assume(min(x1 - x0, y1 - y0) > 72)  # room for what is widest: a bay, a beam, two half beams
    hole = {"id": "can", "rectangle": [(x0 + x1) / 2, (y0 + y1) / 2, 7, 6]}
    area["openings"] = draw(st.sampled_from([[], [hole]]))
    for layer in area["layers"]:
        if layer["kind"] == "boarding":
            layer["rules"] = {"gap": 0}  # where a bay is a sliver no gap is in its way
        for one in layer.get("sets", ()):
            one["direction"] += turn
    return request


@st.composite
def grids(draw: st.DrawFn, *, ells: bool = True) -> Request:
    """A room with one set of beams or two, and boards laid to them, between them or before them."""
    rooms = shapes.rectangles(110, 260)
    points = draw(st.one_of(rooms, shapes.ells()) if ells else rooms)
    ways = draw(st.sampled_from([[0], [90], [0, 90], [90, 0]]))
    mode = draw(st.sampled_from(MODES))
    beams: Request = {
        "id": "beams", "kind": "box_beams", "product": "fir", "core": "core", "mode": mode,
        "sets": [draw(sets(way)) for way in ways], "width": draw(shapes.inches(4, 9)),
        "drop": draw(shapes.inches(3, 9)), "corners": draw(st.sampled_from(CORNERS)),
        "crossings": draw(st.sampled_from(["butted", "butted", "mitred"])),
    }  # fmt: skip
    if draw(st.booleans()):
        beams["sets"][0] |= {"drop": beams["drop"] + 1}
        beams["crossings"] = "butted"
    direction = draw(st.sampled_from([0, 90]))
    boards = {"direction": direction, "joints": "anywhere"}
    area = outline(points, behind=supports(16, direction=90 - direction, ends=True),
                   view="facing", layer=boards)  # fmt: skip
    layers = [beams, *area["layers"]]
    area["layers"] = layers[::-1] if mode == "boards_over" else layers
    fir = {"id": "fir", "form": "board", "profile": "square_edge", "overall": 11.25,
           "thickness": 0.75, "stock": [{"length": "8 ft"}, {"length": "16 ft"}]}  # fmt: skip
    core = {"id": "core", "form": "lumber", "width": 5.5, "thickness": 1.5,
            "stock": [{"length": "12 ft"}]}  # fmt: skip
    ply = {"id": "fir", "form": "sheet", "width": 48, "thickness": 0.75,
           "stock": [{"length": draw(st.sampled_from([96, 120]))}]}  # fmt: skip
    skins = draw(st.sampled_from([fir, fir, ply]))
    return job(area, board("8 ft", "12 ft", "16 ft"), skins, core, when_blocked="relax")
