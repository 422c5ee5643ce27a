"""Each edge of a board is held at each bearing: by a board, its own tongue, or a face nail."""

from __future__ import annotations

from collections import Counter
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from tests.independent import edges_of_boards
from tests.independent.asked import laid
from tests.strategies import shapes
from tests.strategies.asking import answered
from tests.strategies.budget import LAW
from tests.strategies.requests import board, job, outline, room, supports

Request = dict[str, Any]

AT_MEMBERS = ("first", "field", "last", "lost tongue", "open edge")


@st.composite
def parted(draw: st.DrawFn) -> Request:
    """A room with square corners, parted by a beam, an opening, a breaker or its own steps."""
    points = draw(st.one_of(shapes.rectangles(70, 200), shapes.ells(), shapes.skylines()))
    x0, y0, x1, y1 = shapes.bounds(points)
    side = draw(st.sampled_from(["low", "high"]))
    layer = {"direction": draw(st.sampled_from([0, 90])), "bays": "continuous",
             "joints": "anywhere", "start_side": side}  # fmt: skip
    behind = supports(16, direction=90 - layer["direction"], ends=True)
    hole = {"id": "slot", "rectangle": [
        x0 + draw(shapes.inches(5, 20)), y0 + draw(shapes.inches(5, 20)),
        draw(shapes.inches(10, (x1 - x0) * 0.7)), draw(shapes.inches(3, (y1 - y0) * 0.6)),
    ]}  # fmt: skip
    holes = draw(st.sampled_from([[], [hole]]))
    area = outline(points, behind=behind, openings=holes, layer=layer)
    beams = {"kind": "box_beams", "product": "fir", "width": 5, "drop": 5,
             "sets": [{"direction": draw(st.sampled_from([0, 90])), "count": 1}]}  # fmt: skip
    if draw(st.booleans()):
        area["layers"] = [beams, *area["layers"]]
    fir = {"id": "fir", "form": "board", "profile": "square_edge", "overall": 11.25,
           "thickness": 0.75, "stock": [{"length": "16 ft"}]}  # fmt: skip
    return job(area, board("8 ft", "12 ft", "16 ft"), fir, when_blocked="relax")


@LAW
@given(request=parted())
def test_every_edge_is_held_at_every_bearing(request: Request) -> None:
    """By polygons of the pieces: beside beams, openings and steps as at the walls (18.3)."""
    found = answered(request)
    (layer,) = laid(request, found)
    own: Counter[str] = Counter()
    for row in found["fasteners"]:
        if row["layer"] == "boards" and row["where"] in AT_MEMBERS:
            own[row["place"]] += row["count"]
    assert +own == +edges_of_boards.blind_nails(layer, found)


def test_the_course_after_a_beam_is_nailed_as_a_first_one() -> None:
    """A beam of 5 in across 100 in, boards along it under it by 3/4 in.

    Courses of 5-1/8 in run on under the beam, so that the one after it is ripped on its groove
    side: at each of 10 joists (0.75, 16 ... 128, 143.25) it has 1 blind nail and 1 through the
    face.
    """
    beam = {"kind": "box_beams", "product": "fir", "width": 5, "drop": 5,
            "sets": [{"direction": 0, "count": 1}]}  # fmt: skip
    area = room(144, 100, behind=supports(16, ends=True), layer={"bays": "continuous"})
    area["layers"] = [beam, *area["layers"]]
    fir = {"id": "fir", "form": "board", "profile": "square_edge", "overall": 11.25,
           "thickness": 0.75, "stock": [{"length": "12 ft"}]}  # fmt: skip
    found = answered(job(area, board("12 ft"), fir))
    nails = {(row["where"], row["place"]): row["count"]
             for row in found["fasteners"] if row["layer"] == "boards"}  # fmt: skip
    assert nails["open edge", "blind"] == nails["open edge", "face"] == 10
