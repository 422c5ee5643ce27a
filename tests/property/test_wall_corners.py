"""Walls that turn corners: each is boarded as far as the corner lets it, inside and outside (3.16).

What a wall is boarded over is reckoned from its length and the two corners at its ends. At an
overhang boards reach beyond the edge as well (3.17).
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.ops import unary_union

from tests.independent import any_kind, drawn
from tests.strategies import shapes, transforms
from tests.strategies.asking import answered, refused
from tests.strategies.budget import FEW, LAW
from tests.strategies.requests import board, changed, job

Request = dict[str, Any]

COVER, GROOVE, THICK, KERF = 3.125, 0.25, 0.625, 0.125
TAKES = {
    "inside_first": lambda thick: 0.5, "inside_second": lambda thick: thick,
    "outside_lapping": lambda thick: -thick, "outside_butting": lambda thick: 0,
    "outside_mitred": lambda thick: -thick,
}  # fmt: skip
"""What each corner takes of a wall's length: a covered gap, or finished thickness (24, 3.16)."""

CORNERS = st.sampled_from(sorted(TAKES))


def wall(name: str, length: float, left: Request, right: Request, **layer: Any) -> Request:
    """A wall of upright boards on a panel, with what its left and its right end are."""
    boards = {"id": "boards", "kind": "boarding", "product": "pine", "direction": 90} | layer
    return {"id": name, "type": "wall", "rectangle": [length, 36], "backing": {"thickness": 0.5},
            "supports": {"direction": 90, "spacing": 16, "ends": True},
            "edges": [{"edge": 3} | left, {"edge": 1} | right], "layers": [boards]}  # fmt: skip


def walls(*areas: Request) -> Request:
    pine = board("6 ft", "9 ft", "12 ft", cover=COVER, overall=COVER + GROOVE, thickness=THICK)
    return job(list(areas), pine)


def taken(edge: Request) -> float:
    """How much of the length an end takes."""
    return float(TAKES[edge["is"]](edge.get("thickness", THICK)))


@st.composite
def ends(draw: st.DrawFn) -> Request:
    thick = draw(st.sampled_from([{}, {"thickness": 0.75}, {"thickness": 1.25}]))
    return {"is": draw(CORNERS), **thick}


@LAW
@given(
    length=shapes.inches(30, 120), left=ends(), right=ends(), upright=st.booleans(),
    sheet=st.booleans(),
)  # fmt: skip
def test_boards_cover_what_corners_leave_and_reach_as_far_round(
    length: float, left: Request, right: Request, upright: bool, sheet: bool
) -> None:
    """Upright courses add up to it, level ones are as long; layers behind make a wall thicker."""
    area = wall("hall", length, left, right, direction=90 if upright else 0, joints="anywhere")
    request = walls(area)
    behind = 0.0
    if sheet:
        panel = {"id": "panel", "form": "sheet", "width": 48, "thickness": 0.375,
                 "stock": [{"length": 96}]}  # fmt: skip
        area["layers"].insert(0, {"kind": "sheathing", "product": "panel"})
        request["products"].append(panel)
        behind = 0.375
    answer = answered(request | {"when_blocked": "relax"})
    assert any_kind.faults(request, answer) == []
    near, far = (
        taken(end) + math.copysign(behind, taken(end)) * _is_built(end) for end in (left, right)
    )
    if upright:
        rows = [row for row in answer["courses"] if row["layer"] == "boards"]
        low = min(min(row["near"], row["far"]) for row in rows)
        high = max(max(row["near"], row["far"]) for row in rows)
    else:
        rows = [row for row in answer["runs"] if row["layer"] == "boards"]
        low, high = min(row["from"] for row in rows), max(row["to"] for row in rows)
    give = 1 / 8 + 1 / 64  # a covered gap takes a strip, and a rip of as little (3.9)
    assert low == pytest.approx(near, abs=give if left["is"] == "inside_first" else 1 / 64)
    assert high == pytest.approx(
        length - far, abs=give if right["is"] == "inside_first" else 1 / 64
    )


def _is_built(end: Request) -> bool:
    """Whether a corner goes by what this wall is built up of."""
    return "thickness" not in end and end["is"] not in ("inside_first", "outside_butting")


@FEW
@given(length=shapes.inches(60, 150), left=ends(), right=ends(), beaded=st.booleans())
def test_sheets_end_at_the_face_of_the_other_wall_or_lap_its_end(
    length: float, left: Request, right: Request, beaded: bool
) -> None:
    """Beaded ones go by what was sent of it; those behind boards by their own 3/8 in.

    At any wall they keep 1/8 in, and those behind boards at the face that they run into too.
    """
    area = wall("hall", length, left, right)
    area.pop("backing")
    area["layers"] = [{"id": "panel", "kind": "sheathing", "product": "panel", "direction": 90,
                       "rules": {"panel_wall_gap": 0.125}}]  # fmt: skip
    panel = {"id": "panel", "form": "sheet", "width": 48, "thickness": 0.375,
             "stock": [{"length": 96}]} | ({"beads": {"pitch": 1.5}} if beaded else {})  # fmt: skip
    request = job([area], panel) | {"when_blocked": "relax"}
    answer = answered(request)
    assert any_kind.faults(request, answer) == []
    low, _, high, _ = unary_union(list(drawn.pieces(answer, "hall", "panel").values())).bounds
    near, far = (_taken_of_sheets(end, beaded) for end in (left, right))
    assert (low, high) == pytest.approx((near, length - far), abs=1 / 16)


def _taken_of_sheets(end: Request, beaded: bool) -> float:
    thick = end.get("thickness", 0.375) if beaded else 0.375
    wall_gap = {"inside_first": 0.125, "inside_second": thick + (0 if beaded else 0.125)}
    return wall_gap.get(end["is"], float(TAKES[end["is"]](thick)))


@FEW
@given(length=shapes.inches(30, 120), left=st.booleans(), how=st.sampled_from(
    ["outside_lapping", "outside_mitred"]))  # fmt: skip
def test_a_wall_with_one_outside_corner_begins_there_with_a_whole_board(
    length: float, left: bool, how: str
) -> None:
    """Its groove ripped off, for it is in view; where it cannot, that is told (3.16, 3.10)."""
    corner, inner = {"is": how}, {"is": "inside_second"}
    request = walls(wall("hall", length, *((corner, inner) if left else (inner, corner))))
    answer = answered(request)
    first = answer["courses"][0]
    at = -THICK if left else length + THICK
    assert first["near"] == pytest.approx(at)
    if "corner-ripped" not in {row["code"] for row in answer["findings"]}:
        assert first["width"] == pytest.approx(COVER - GROOVE)
    else:
        left_over = (length - (COVER - GROOVE)) % COVER
        assert left_over < 1
    assert min(row["width"] for row in answer["courses"]) >= 1


@FEW
@given(one=shapes.inches(40, 110), two=shapes.inches(40, 110))
def test_courses_that_wrap_a_corner_go_on_with_what_the_last_board_left(
    one: float, two: float
) -> None:
    """Last width and first make a board less the saw cut, and are sawn from one (3.13, 3.16)."""
    answer = answered(walls(
        wall("hall", one, {"is": "inside_second"}, {"is": "outside_mitred"}, start_side="low"),
        wall("stair", two, {"is": "outside_mitred"}, {"is": "inside_second"}, start_side="low",
             wrap_corner="hall"),
    ))  # fmt: skip
    last = [row for row in answer["courses"] if row["surface"] == "hall"][-1]
    first = next(row for row in answer["courses"] if row["surface"] == "stair")
    if "corner-not-wrapped" in {row["code"] for row in answer["findings"]}:
        return
    rest = COVER - last["width"] - KERF
    if last["rip"] != "tongue" or rest < 1:
        assert first["width"] == pytest.approx(COVER - GROOVE)
        return
    assert first["width"] == pytest.approx(rest)
    sticks = {row["id"]: row["stick"] for row in answer["pieces"]}
    names = [next(row["id"] for row in answer["pieces"] if (row["surface"], row["course"]) == place)
             for place in (("hall", last["course"]), ("stair", 1))]  # fmt: skip
    assert sticks[names[0]] == sticks[names[1]]


def test_a_wall_of_ninety_six_and_one_of_sixty_one_wrap_by_hand() -> None:
    """hall: 96 + 5/8 - 5/8 = 96, balanced in 31 of which the outer two are 2-11/16 (3.3).

    31 x 3-1/8 = 96-7/8: left over 96 - 30 x 3-1/8 = 2-1/4, shared with a board (3-1/8 + 2-1/4) / 2.
    The rest is 3-1/8 - 2-11/16 - 1/8 = 5/16: too little, so stair begins with a new board,
    its groove ripped off in view: 2-7/8, then 18 x 3-1/8 and 1-7/8 make 61.
    """
    answer = answered(walls(
        wall("hall", 96, {"is": "inside_second"}, {"is": "outside_mitred"}, start_side="low"),
        wall("stair", 61, {"is": "outside_mitred"}, {"is": "inside_second"}, wrap_corner="hall"),
    ))  # fmt: skip
    hall = [row["width"] for row in answer["courses"] if row["surface"] == "hall"]
    assert (len(hall), hall[0], hall[-1]) == (31, 2.6875, 2.6875)
    stair = [row for row in answer["courses"] if row["surface"] == "stair"]
    assert (stair[0]["near"], stair[0]["width"]) == (-0.625, COVER - GROOVE)


def test_a_corner_to_wrap_must_be_boarded_before() -> None:
    request = walls(wall("hall", 96, {"is": "inside_first"}, {"is": "inside_first"},
                         wrap_corner="stair"))  # fmt: skip
    kind, (fault, *_) = refused(request)
    assert (kind, fault["code"], fault["pointer"]) == (
        "TradeRefused", "no-corner-before", "/surfaces/0/layers/0/wrap_corner",
    )  # fmt: skip


@FEW
@given(length=shapes.inches(30, 120), left=ends(), right=ends())
def test_the_mirror_image_has_the_same_courses(
    length: float, left: Request, right: Request
) -> None:
    one, other = (
        answered(walls(wall("hall", length, *pair, start_side=side)) | {"when_blocked": "relax"})
        for pair, side in (((left, right), "low"), ((right, left), "high"))
    )
    widths = [[row["width"] for row in found["courses"]] for found in (one, other)]
    assert widths[0] == pytest.approx(widths[1], abs=1e-3)


@FEW
@given(length=shapes.inches(30, 120), left=ends(), right=ends())
def test_millimetres_change_nothing_but_the_figures(
    length: float, left: Request, right: Request
) -> None:
    request = walls(wall("hall", length, left, right)) | {"when_blocked": "relax"}
    one, other = answered(request), answered(transforms.in_millimetres(request))
    widths = [[row["width"] for row in found["courses"]] for found in (one, other)]
    assert [width * 25.4 for width in widths[0]] == pytest.approx(widths[1], abs=0.01)


def saw_of(answer: Request, surface: str) -> list[Request]:
    """All that is bevelled on a surface: what is done, where, and at how many degrees."""
    return [
        {key: row[key] for key in ("do", "edge", "end", "angle")} | {"course": piece["course"]}
        for piece in answer["pieces"]
        if piece["surface"] == surface
        for row in piece["work"]
        if row["angle"]
    ]


@pytest.mark.parametrize(("turn", "reach", "angle"), [
    (None, THICK, 45), (90, THICK, 45), (45, 0.2589, 22.5), (60, 0.3608, 30),
])  # fmt: skip
def test_boards_at_a_mitred_corner_are_bevelled_by_half_its_turn(
    turn: float | None, reach: float, angle: float
) -> None:
    """5/8 x tan(d/2) beyond it at the face: 5/8, 0.2589 at 45 degrees, 0.3608 at 60 (3.16).

    Upright boards along the long edge in the corner, level ones at their ends.
    """
    corner = {"is": "outside_mitred"} | ({} if turn is None else {"turn": turn})
    first, second = ({"is": "inside_first"}, corner), (corner, {"is": "inside_first"})
    answer = answered(walls(
        wall("hall", 90, *first), wall("stair", 60, *second),
        wall("low", 90, *first, direction=0), wall("end", 60, *second, direction=0),
    ))  # fmt: skip
    for name, at in (("hall", 90 + reach), ("stair", -reach)):
        (row,) = saw_of(answer, name)
        assert (row["do"], row["angle"], row["course"]) == ("rip", angle, 1)
        first_row = next(one for one in answer["courses"]
                         if (one["surface"], one["course"]) == (name, 1))  # fmt: skip
        assert first_row["near"] == pytest.approx(at, abs=1e-3)
    for name, end in (("low", "right"), ("end", "left")):
        rows = saw_of(answer, name)
        assert {(row["do"], row["end"], row["edge"], row["angle"]) for row in rows} == {
            ("bevel", end, "front", angle)
        }
    run = next(row for row in answer["runs"] if row["surface"] == "low")
    assert run["to"] == pytest.approx(90 + reach, abs=1e-3)


def test_boards_that_end_at_a_wall_which_turns_by_45_degrees_are_bevelled_to_its_face() -> None:
    """5/8 / sin 45 - 5/8 / tan 45 = 0.2589 off the corner at the face; 90 - 45 off square."""
    answer = answered(walls(wall("bay", 60, {"is": "inside_second", "turn": 45},
                                 {"is": "inside_first"}, start_side="low")))  # fmt: skip
    assert answer["courses"][0]["near"] == pytest.approx(0.2589, abs=1e-3)
    ((row,),) = [saw_of(answer, "bay")]
    assert (row["do"], row["course"], row["angle"]) == ("rip", 1, 45)


def test_the_other_wall_is_as_thick_as_what_is_laid_there() -> None:
    """hall has 3/8 in of sheet under 5/8 in of boards, and trim: stair ends 1 in off its wall."""
    first, second = {"is": "inside_first"}, {"is": "inside_second", "meets": "hall"}
    hall = wall("hall", 90, first, first)
    hall["layers"] = [{"kind": "sheathing", "product": "panel"}, *hall["layers"],
                      {"kind": "trim", "product": "base", "edges": [0]}]  # fmt: skip
    request = walls(wall("stair", 60, second, first, direction=0), hall)
    request["products"] += [
        {"id": "panel", "form": "sheet", "width": 48, "thickness": 0.375,
         "stock": [{"length": 96}]},
        {"id": "base", "form": "moulding", "width": 3, "thickness": 0.75,
         "stock": [{"length": 96}]},
    ]  # fmt: skip
    runs = [row for row in answered(request)["runs"] if row["surface"] == "stair"]
    assert {row["from"] for row in runs} == {1}
    edge = "/surfaces/0/edges/0"
    _, (fault,) = refused(changed(request, f"{edge}/meets", "hal"))
    assert (fault["code"], fault["pointer"]) == ("no-such-surface", f"{edge}/meets")
    assert "hall" in fault["detail"]
    kind, (fault, *_) = refused(changed(request, f"{edge}/thickness", 0.5))
    assert (kind, fault["pointer"]) == ("ShapeRefused", edge)


def test_the_first_wall_leaves_no_wider_gap_than_the_second_hides() -> None:
    """At 45 degrees the other wall's face hides 0.2589 in of it: less 1/16 in, 0.1964; no 1/2 in.

    A base of 3/4 in on both ends where the faces meet, its long point at the back: 3/4 x tan 22.5.
    """
    corner = {"is": "inside_first", "turn": 45}
    area = wall("bay", 60, corner, {"is": "inside_first"}, direction=0)
    area["layers"].append({"kind": "trim", "product": "base", "edges": [0]})
    request = walls(area)
    request["products"].append({"id": "base", "form": "moulding", "width": 3, "thickness": 0.75,
                                "stock": [{"length": 96}]})  # fmt: skip
    answer = answered(request)
    (low,) = {row["from"] for row in answer["runs"] if row["layer"] == "boards"}
    assert low == pytest.approx(0.1964, abs=1e-3)
    ((bevel,),) = [row["work"] for row in answer["pieces"] if row["layer"] == "trim"]
    assert (bevel["do"], bevel["edge"], bevel["angle"]) == ("bevel", "back", 22.5)
    assert bevel["length"] == pytest.approx(0.3107, abs=1e-4)


@pytest.mark.parametrize(("turn", "angle"), [(None, 45), (60, 30)])
def test_straps_and_sheets_that_show_are_bevelled_at_a_mitred_corner(
    turn: float | None, angle: float
) -> None:
    """Level straps at their ends, sheets along the edge or the end that lies there (3.16, 12).

    Straps are sawn back by 3/4 in x tan 45, or tan 30, which is how far they reach; sheets of
    3/8 in on them reach 1-1/8 in x as much. Sheets behind boards are hidden and stay square, and so
    does what ends at the face of the other wall.
    """
    corner = {"is": "outside_mitred"} | ({} if turn is None else {"turn": turn})
    straps = {"id": "straps", "kind": "strapping", "product": "strap"}
    plain = {"id": "plain", "form": "sheet", "width": 48, "thickness": 0.375,
             "stock": [{"length": 96}]}  # fmt: skip
    areas = []
    for name, product, direction in (("up", "beaded", 90), ("low", "beaded", 0),
                                     ("hidden", "plain", 90)):  # fmt: skip
        area = wall(name, 60, corner, {"is": "inside_second"})
        area.pop("backing")
        area["layers"] = [straps, {"id": "sheets", "kind": "sheathing", "product": product,
                                   "direction": direction}]  # fmt: skip
        areas.append(area)
    answer = answered(
        job(areas, STRAP, plain, plain | {"id": "beaded", "beads": {"pitch": 1.5}})
        | {"when_blocked": "relax"}
    )
    done = {(piece["surface"], piece["layer"], row["do"], row["edge"], row["end"], row["angle"],
             piece["from"] if row["do"] == "bevel" else piece["near"])
            for piece in answer["pieces"] for row in piece["work"]}  # fmt: skip
    reach = {45: (0.75, 1.125), 30: (0.433, 0.6495)}[angle]
    told = {one[:-1]: one[-1] for one in done}
    assert told == {
        **{(name, "straps", "bevel", "front", "left", angle): pytest.approx(-reach[0], abs=1e-3)
           for name in ("up", "low", "hidden")},
        ("up", "sheets", "rip", "near", "none", angle): pytest.approx(-reach[1], abs=1e-3),
        ("low", "sheets", "bevel", "front", "left", angle): pytest.approx(-reach[1], abs=1e-3),
    }  # fmt: skip
    (deep,) = {row["length"] for piece in answer["pieces"] if piece["layer"] == "straps"
               for row in piece["work"]}  # fmt: skip
    assert deep == pytest.approx(reach[0], abs=1e-3)


def test_a_lapped_corner_is_square() -> None:
    kind, (fault, *_) = refused(
        walls(wall("hall", 90, {"is": "outside_lapping", "turn": 45}, {"is": "inside_first"}))
    )
    assert (kind, fault["pointer"]) == ("ShapeRefused", "/surfaces/0/edges/0")
    assert "mitred" in fault["detail"]


STRAP = {"id": "strap", "form": "lumber", "width": 1.5, "thickness": 0.75,
         "stock": [{"length": 144}]}  # fmt: skip


def strapped(direction: int, left: Request, right: Request, **layer: Any) -> Request:
    """A wall 120 x 96 in with straps, 3/4 in thick, across members in a direction."""
    area = wall("hall", 120, left, right) | {"rectangle": [120, 96]}
    area["supports"] = {"direction": direction, "spacing": 16, "ends": True}
    area["layers"] = [{"kind": "strapping", "product": "strap"} | layer]
    return job([area], STRAP)


@pytest.mark.parametrize(("left", "right", "low", "high"), [
    ("inside_first", "inside_second", 0, 119.25),
    ("outside_lapping", "outside_butting", -0.75, 120),
    ("inside_second", "outside_mitred", 0.75, 120.75),
])  # fmt: skip
def test_straps_stand_in_corners_so_that_both_walls_bear(
    left: str, right: str, low: float, high: float
) -> None:
    """Level ones end at the face of the other wall's, or lap their ends; upright ones stand 3/4 in
    off that to their centre, and with `first` from the corner as drawn (3.16, 14.1)."""
    ends = {"is": left}, {"is": right}
    level = answered(strapped(90, *ends))
    assert {(row["from"], row["to"]) for row in level["runs"]} == {(low, high)}
    upright = answered(strapped(0, *ends))
    centres = [(row["near"] + row["far"]) / 2 for row in upright["courses"]]
    assert (centres[0], centres[-1]) == (low + 0.75, high - 0.75)
    sent = answered(strapped(0, *ends, first=12))
    assert (sent["courses"][0]["near"] + sent["courses"][0]["far"]) / 2 == 12


def test_a_wall_is_as_thick_as_its_straps_and_boards() -> None:
    """3/4 in of strap and 5/8 in of boards: upright boards that lap reach 1-3/8 in beyond."""
    ends = {"is": "outside_lapping"}, {"is": "inside_second"}
    request = strapped(90, *ends)
    boards = wall("hall", 120, *ends)["layers"]
    request["surfaces"][0]["layers"] += boards
    request["products"] += walls(wall("hall", 120, *ends))["products"]
    found = [row for row in answered(request)["courses"] if row["layer"] == "boards"]
    assert min(found[0]["near"], found[-1]["far"]) == -1.375
    assert max(found[0]["near"], found[-1]["far"]) == 118.625


@pytest.mark.parametrize(("left", "right", "length"), [
    ("inside_first", "inside_second", 126), ("inside_second", "inside_second", 120),
    ("outside_mitred", "outside_butting", 123), ("outside_lapping", "outside_lapping", 132),
    (None, "inside_second", 122),
])  # fmt: skip
def test_wrap_goes_round_corners_by_the_lap_of_its_ends(
    left: str | None, right: str, length: float
) -> None:
    """6 in by the wall that runs in or laps, none by the other, 3 in at a mitre; else 2 in down."""
    ends = [{"is": one} if one else {"gap": 0.5} for one in (left, right)]
    area = wall("hall", 120, *ends) | {"rectangle": [120, 96]}
    area["layers"] = [{"kind": "wrap", "product": "roll"}]
    roll = {"id": "roll", "form": "roll", "width": 108, "stock": [{"length": "100 ft"}]}
    answer = answered(job([area], roll))
    assert [row["length"] for row in answer["pieces"]] == [length]
    (told,) = (row for row in answer["findings"] if row["code"] == "wrap-round-corner")
    assert told["measure"] == max(0, *(({"inside_first": 6, "outside_lapping": 6,
                                         "outside_mitred": 3}).get(one or "", 0)
                                       for one in (left, right)))  # fmt: skip


@LAW
@given(length=shapes.inches(60, 200), width=shapes.inches(40, 120), over=st.sampled_from(
    [None, 0.5, 1.25]), sides=st.sets(st.integers(0, 3), min_size=1))  # fmt: skip
def test_boards_reach_beyond_the_edges_that_they_overhang(
    length: float, width: float, over: float | None, sides: set[int]
) -> None:
    """By 1 in, or by what is said; everywhere else they keep their gap (3.17)."""
    edges = [{"edge": k, "is": "overhang"} | ({"overhang": over} if over else {}) for k in sides]
    deck = {"id": "deck", "type": "deck", "rectangle": [length, width], "edges": edges,
            "supports": {"direction": 90, "spacing": 16, "ends": True},
            "layers": [{"id": "boards", "kind": "boarding", "product": "pine", "direction": 0,
                        "joints": "anywhere", "rules": {"unsawn": 0}}]}  # fmt: skip
    request = walls(deck) | {"when_blocked": "relax"}
    answer = answered(request)
    assert any_kind.faults(request, answer) == []
    out = [(over or 1) if k in sides else -0.5 for k in range(4)]
    low, high = (
        fold(row[key] for row in answer["runs"]) for fold, key in ((min, "from"), (max, "to"))
    )
    assert (low, high) == pytest.approx((-out[3], length + out[1]))
    near = min(min(row["near"], row["far"]) for row in answer["courses"])
    far = max(max(row["near"], row["far"]) for row in answer["courses"])
    assert (near, far) == pytest.approx((-out[0], width + out[2]), abs=1 / 64 + 1e-6)
    (surface,) = answer["surfaces"]
    installed = (length + out[1] + out[3]) * (width + out[0] + out[2]) / 144
    assert surface["installed"] == pytest.approx(installed, rel=1e-3)
    wild = len(sides & {1, 3})
    for run in answer["runs"]:
        own = sum(row["length"] for row in answer["pieces"] if row["run"] == run["id"])
        assert own == pytest.approx(run["to"] - run["from"] + wild, abs=1 / 16)
    lost = [row["area"] for row in answer["ledger"] if row["account"] == "crosscut"]
    most = wild * len(answer["runs"]) * (COVER + GROOVE) / 144  # less where two share a board
    assert most / 4 <= sum(lost) <= most + 1e-4
    assert ("cut-to-line" in {row["code"] for row in answer["findings"]}) == bool(wild)


def test_base_runs_on_the_face_of_the_boards_and_is_mitred_round_the_corner() -> None:
    """Outside it takes boards and itself, 5/8 + 3/4, inside the other wall's 5/8 less."""
    area = wall("hall", 96, {"is": "inside_first"}, {"is": "outside_mitred"})
    area["layers"].append({"id": "base", "kind": "trim", "product": "base", "edges": [0]})
    base = {"id": "base", "form": "moulding", "width": 5.5, "thickness": 0.75,
            "stock": [{"length": "12 ft"}]}  # fmt: skip
    request = walls(area)
    request["products"].append(base)
    answer = answered(request)
    (row,) = answer["trim_lengths"]
    assert (row["meets"], row["adds"]) == (["wall corner", "wall corner"], [-0.625, 1.375])
    assert row["cut"] == 96.75
    (piece,) = (one for one in answer["pieces"] if one["layer"] == "base")
    assert [(one["do"], one["end"], one["edge"], one["angle"]) for one in piece["work"]] == [
        ("bevel", "right", "front", 45)
    ]
    second = answered(changed(request, "/surfaces/0/edges/0/is", "inside_second"))
    (piece,) = (one for one in second["pieces"] if one["layer"] == "base")
    assert piece["ends"] == ["coped", "mitred"]


@FEW
@given(depth=shapes.inches(40, 150), low=st.booleans(), gap=st.sampled_from([0.125, 0.1875]))
def test_a_deck_begins_at_its_rim_with_a_whole_board_and_ends_at_the_house(
    depth: float, low: bool, gap: float
) -> None:
    """Of 5-1/2 in and the gap between them; against the house is no rip under 1 in (3.17).

    Over depth + 1 - 1/8 in: k boards and gaps, and what is left; where that is under 1 in the width
    is shared otherwise, and told.
    """
    rim, house = (0, 2) if low else (2, 0)
    deck = {"id": "deck", "type": "deck", "rectangle": [140, depth],
            "edges": [{"edge": rim, "is": "overhang"}, {"edge": house, "is": "bare"}],
            "supports": {"direction": 90, "spacing": 16, "ends": True},
            "layers": [{"id": "boards", "kind": "boarding", "product": "plank", "direction": 0,
                        "spacer": gap, "joints": "none"}]}  # fmt: skip
    plank = {"id": "plank", "form": "board", "profile": "square_edge", "overall": 5.5,
             "thickness": 1, "stock": [{"length": "12 ft"}]}  # fmt: skip
    answer = answered(job(deck, plank))
    rows, codes = answer["courses"], {row["code"] for row in answer["findings"]}
    net = depth + 1 - 0.125
    left = math.fmod(net + gap, 5.5 + gap) - gap
    assert rows[0]["near"] == pytest.approx(-1 if low else depth + 1)
    assert min(row["width"] for row in rows) >= 1
    if "rim-ripped" in codes:
        assert 1 / 64 < left < 1
        return
    assert rows[0]["width"] == 5.5
    if 1 / 64 < left < 5.5 - 1 / 64:
        assert rows[-1]["width"] == pytest.approx(left, abs=1e-4)
