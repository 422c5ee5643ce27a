"""What is done to a piece at the saw makes it: a board sawn as the answer says is the piece.

Rips with their taper (3.8), angles, notches and holes (5.2), by a sawyer who knows them alone.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.independent import drawn, sawing
from tests.strategies import jobs, requests, shapes, transforms
from tests.strategies.asking import answered
from tests.strategies.budget import LAW
from tests.strategies.build_ups import build_ups

Request = dict[str, Any]

EPSILON = 1 / 64 + 1e-4
"""Inches up to which a strip counts as nothing (rule 5.2), and what snapping moves."""


def strays(answer: Request) -> list[str]:
    """The pieces that are not what is left of a board as it is told to be sawn."""
    courses = {(row["surface"], row["layer"], row["course"]): row for row in answer["courses"]}
    layers = {(row["surface"], row["layer"]): row for row in answer["layers"]}
    boards = {row["product"] for row in answer["products"] if row["form"] == "board"}
    found = []
    for piece in answer["pieces"]:
        if piece["product"] not in boards:
            assert piece["work"] == []
            continue
        course = courses[piece["surface"], piece["layer"], piece["course"]]
        layer = layers[piece["surface"], piece["layer"]]
        made, laid = sawing.sawn(piece, course, layer), sawing.on_bench(piece, course, layer)
        wrong = laid.difference(made)
        if sawing.is_told(piece):
            wrong = wrong.union(made.difference(laid))
        if not wrong.buffer(-EPSILON).is_empty:
            found.append(f"{piece['label']}: {piece['work']}")
    return found


@given(st.one_of(jobs.jobs(), jobs.with_near_openings(), build_ups(jobs.with_openings())))
@LAW
def test_a_board_sawn_as_it_is_told_is_the_piece(request: Request) -> None:
    assert strays(answered(request)) == []


@given(left=st.integers(400, 900), off=st.integers(-200, 200), low=st.integers(-200, 200))
@LAW
def test_walls_out_of_parallel_are_ripped_straight(left: int, off: int, low: int) -> None:
    """A taper is a straight rip from one width to another, however the runs are jointed."""
    ring = [[0, 0], [240, low / 16], [240, (left + off + low) / 16], [0, left / 16]]
    found = answered(requests.job(requests.outline(ring), when_blocked="relax"))
    assert strays(found) == []
    edges = {row["edge"] for piece in found["pieces"] for row in piece["work"]
             if row["do"] == "shape"}  # fmt: skip
    assert edges <= {"none"}


@given(st.one_of(shapes.ells(), shapes.tees()), st.sampled_from(["low", "high"]),
       st.sampled_from([0, 90]))  # fmt: skip
@LAW
def test_level_walls_need_no_shape(points: shapes.Points, side: str, direction: int) -> None:
    """Among few walls at right angles all is rips and notches of whole boxes."""
    area = requests.outline(points, behind=requests.supports(direction=90 - direction),
                            layer={"start_side": side, "direction": direction})  # fmt: skip
    found = answered(requests.job(area, requests.board("30 ft"), when_blocked="relax"))
    assert strays(found) == []
    assert [piece["work"] for piece in found["pieces"] if not sawing.is_told(piece)] == []


def swapped(row: Request, length: float) -> Request:
    """What is done to a piece that is seen in a mirror."""
    ends = {"left": "right", "right": "left", "none": "none"}
    low = row["from_left"]
    return row | {
        "end": ends[row["end"]],
        "widths": row["widths"][::-1],
        "from_left": None if low is None else length - low - row["length"],
    }


def close(one: Request, other: Request) -> bool:
    return all(
        other[key] == (pytest.approx(value, abs=1e-3) if key != "to_line" else value)
        for key, value in one.items()
    )


@given(jobs.with_openings())
@LAW
def test_left_and_right_change_places_in_a_mirror(request: Request) -> None:
    """The plan seen from the other side of the framing, which stands at the same marks."""
    asked = request | {"effort": "quick"}
    for area in asked["surfaces"]:
        area["supports"] = {"direction": 90, "spacing": 3, "first": 0, "thickness": 1.5}
        area["layers"][0] |= {"joints": "none", "start": "full_first"}
    asked["products"][0]["stock"] = [{"length": "60 ft"}]
    mirrored = transforms.reshaped(asked, lambda area: transforms.carried(area, _aside))
    one, other = answered(asked), answered(mirrored)
    sides = [sorted(_works(found, turned), key=str) for found, turned in ((one, 1), (other, -1))]
    assert len(sides[0]) == len(sides[1])
    for work, like in zip(*sides, strict=True):
        assert len(work[1]) == len(like[1])
        assert all(close(a, b) for a, b in zip(work[1], like[1], strict=True))


def _aside(x: float, y: float) -> tuple[float, float]:
    return -x, y


def _works(found: Request, turned: int) -> list[tuple[Any, list[Request]]]:
    made = []
    for piece in found["pieces"]:
        length = piece["to"] - piece["from"]
        work = piece["work"] if turned > 0 else [swapped(row, length) for row in piece["work"]]
        work = sorted(work, key=lambda row: (row["do"], row["edge"], row["end"],
                                             round(row["from_left"] or 0, 2)))  # fmt: skip
        made.append(((piece["course"], round(length, 2), [row["do"] for row in work]), work))
    return made


def one_piece(ring: shapes.Points, course: int, *openings: Request) -> Request:
    """The piece of a course of whole boards without gaps, on 10 ft boards."""
    area = requests.outline(ring, openings=list(openings),
                            layer={"start": "full_first", "joints": "anywhere"})  # fmt: skip
    asked = requests.job(area, requests.board("16 ft"), rules={"gap": 0, "taper_over": 10})
    (piece,) = [row for row in answered(asked)["pieces"] if row["course"] == course]
    return piece


def told(piece: Request) -> list[Request]:
    """What is done, without what is not said of it."""
    unsaid = (None, [], "none")
    return [
        {key: value for key, value in row.items() if value is not False and value not in unsaid}
        for row in piece["work"]
    ]


COVER = requests.COVER
HIGH = 4 * COVER


def test_an_inner_corner_rips_a_course_for_part_of_its_length() -> None:
    """The step lies 2 in below the top of course 3 and 9 in from the left end, by hand."""
    step = 3 * COVER - 2
    ring = [[0, 0], [120, 0], [120, step], [9, step], [9, HIGH], [0, HIGH]]
    assert told(one_piece(ring, 3)) == [
        {
            "do": "notch",
            "edge": "tongue",
            "from_left": 9.0,
            "length": 111.0,
            "from_edge": COVER - 2,
            "depth": 2.0,
        }
    ]


def test_a_strip_that_is_all_cut_is_a_rip() -> None:
    """An opening over the whole length takes 1-7/8 in of course 2: 3-1/4 in are left, by hand."""
    ring = [[0, 0], [120, 0], [120, HIGH], [0, HIGH]]
    vent = {"id": "vent", "rectangle": [-10, COVER + 3.25, 140, 1.875], "cut_gap": 0}
    assert told(one_piece(ring, 2, vent)) == [
        {"do": "rip", "edge": "tongue", "from_left": 0.0, "length": 120.0, "widths": [3.25, 3.25]}
    ]


def test_a_notch_and_a_hole_are_told_from_the_left_end_and_the_edge() -> None:
    """2 in deep and 3-1/4 long, 9 in from the left end; a hole 1 in from the groove's edge."""
    ring = [[0, 0], [120, 0], [120, HIGH], [0, HIGH]]
    notch = {"id": "a", "rectangle": [9, COVER - 1, 3.25, 3], "cut_gap": 0}
    hole = {"id": "b", "rectangle": [40, COVER + 3, 10, 1], "cut_gap": 0}
    assert told(one_piece(ring, 2, notch, hole)) == [
        {
            "do": "notch",
            "edge": "groove",
            "from_left": 9.0,
            "length": 3.25,
            "from_edge": 0.0,
            "depth": 2.0,
        },
        {"do": "hole", "from_left": 40.0, "length": 10.0, "from_edge": 3.0, "depth": 1.0},
    ]


def test_a_taper_is_ripped_from_one_width_to_the_other() -> None:
    """The wall falls 2 in over 120 from the far edge of course 2; each piece has its own widths."""
    ring = [[0, 0], [120, 0], [120, 2 * COVER - 2], [0, 2 * COVER]]
    (row,) = told(one_piece(ring, 2))
    assert row["widths"] == pytest.approx([COVER, COVER - 2], abs=1e-5)
    assert (row["do"], row["edge"], row["from_left"], row["length"]) == ("rip", "tongue", 0, 120)


def test_a_part_taper_begins_where_the_wall_meets_the_course() -> None:
    """The wall falls 4 in over 120 from 2 in above the course: it meets it at 60, by hand."""
    ring = [[0, 0], [120, 0], [120, 2 * COVER - 2], [0, 2 * COVER + 2]]
    (row,) = told(one_piece(ring, 2))
    assert row["widths"] == pytest.approx([COVER, COVER - 2], abs=1e-4)
    assert (row["from_left"], row["length"]) == pytest.approx((60, 60), abs=1e-3)


def test_a_mitre_is_told_by_its_long_point() -> None:
    """A trapezoid of one course at 45 degrees: as far back as the board is wide."""
    ring = [[0, 0], [120, 0], [120 - COVER, COVER], [COVER, COVER]]
    assert told(one_piece(ring, 1)) == [
        {"do": "angle", "edge": "groove", "end": end, "length": COVER, "angle": 45.0}
        for end in ("left", "right")
    ]


def test_left_is_left_with_the_tongue_away() -> None:
    """Laid from the top, a board is turned half round: what lies at its right is at its left."""
    ring = [[0, 0], [120, 0], [120, HIGH], [0, HIGH]]
    hole = {"id": "b", "rectangle": [100, 2 * COVER + 2, 10, 1], "cut_gap": 0}
    area = requests.outline(ring, openings=[hole], layer={
        "start": "full_first", "joints": "anywhere", "start_side": "high"})  # fmt: skip
    found = answered(requests.job(area, requests.board("16 ft"), rules={"gap": 0}))
    (piece,) = [row for row in found["pieces"] if row["course"] == 2]
    (row,) = told(piece)
    assert (row["from_left"], row["from_edge"]) == pytest.approx((10, COVER - 3))
    (layer,) = found["layers"]
    (ax, ay), (cx, cy) = layer["along"], layer["across"]
    assert ax * cy - ay * cx == pytest.approx(1)  # across lies left of along, as on paper


@pytest.mark.parametrize(
    ("side", "end", "edge"), [("low", "left", "tongue"), ("high", "right", "groove")]
)
def test_of_a_board_that_stands_the_top_lies_at_the_left(side: str, end: str, edge: str) -> None:
    """Facing a wall that is higher at the right, boards upright from its left: tongue at the right.

    On the bench the tongue lies away: the right side of the wall is up there, so its top is at the
    left, with the long point at the tongue. Laid from the right the tongue is at the left, the top
    at the right, and the long point at the groove. A hole lies from 9 to 19 in up from the foot.
    """
    ring = [[0, 0], [HIGH, 0], [HIGH, 80 + HIGH], [0, 80]]
    vent = {"id": "v", "rectangle": [COVER + 2, 9, 1, 10], "cut_gap": 0}
    upright = {"start": "full_first", "joints": "anywhere", "start_side": side, "direction": 90}
    area = requests.outline(ring, openings=[vent], behind=requests.supports(direction=0),
                            layer=upright)  # fmt: skip
    found = answered(requests.job(area, requests.board("16 ft"), rules={"gap": 0}))
    assert strays(found) == []
    for piece in found["pieces"]:
        (angle,) = [row for row in piece["work"] if row["do"] == "angle"]
        assert (angle["end"], angle["edge"], angle["angle"]) == (end, edge, 45)
    (hole,) = [(row, piece["length"]) for piece in found["pieces"]
               for row in piece["work"] if row["do"] == "hole"]  # fmt: skip
    row, length = hole
    foot = length - 19 if end == "left" else 9
    assert row["from_left"] == pytest.approx(foot, abs=1 / 16)


def test_a_sawyer_who_is_told_wrong_makes_another_piece() -> None:
    """Each figure matters to the law; of a notch its edge and depth say where it lies across."""
    ring = [[0, 0], [120, 0], [120, HIGH], [20, HIGH]]
    notch = {"id": "a", "rectangle": [40, COVER - 1, 12, 3], "cut_gap": 0}
    area = requests.outline(ring, openings=[notch],
                            layer={"start": "balanced", "joints": "anywhere"})  # fmt: skip
    found = answered(requests.job(area, requests.board("16 ft")))
    assert strays(found) == []
    for piece in found["pieces"]:
        for row in piece["work"]:
            for key in ("from_left", "length", "depth", "angle"):
                if row[key] and (row["do"], key) not in (("angle", "length"), ("rip", "length")):
                    kept = row[key]
                    row[key] = kept + 5
                    assert strays(found) != [], (row, key)
                    row[key] = kept
    assert drawn.pick(found, "pieces", "loft")
