"""What is said in the trade's words, on paper and in sentences."""

from __future__ import annotations

import re
from typing import Any

import pytest

from service.compute import SVG, Picked
from service.products.nouns import support_asked
from service.products.registry import nouns
from service.report.drawing.listed import listed_rows
from service.report.printout.written import printout
from tests.independent import paper
from tests.strategies import kinds, requests
from tests.strategies.asking import answered, body_of, in_forms, refused

Request = dict[str, Any]


def wrapped(type_: str) -> Request:
    """Wrap that is turned over every edge of a surface."""
    roll = {"id": "wrap", "form": "roll", "width": 54, "stock": [{"length": "100 ft"}]}
    layer = {"id": "wrap", "kind": "wrap", "product": "wrap", "direction": 0}
    area = requests.room(120, 96) | {"type": type_, "view": "facing", "layers": [layer]}
    return requests.job(area, roll, rules={"turn_down": 2})


@pytest.mark.parametrize(
    ("type_", "told"),
    [("ceiling", "down the wall"), ("soffit", "down the wall"), ("floor", "past the edge")],
)
def test_what_is_turned_down_lies_down_the_wall(type_: str, told: str) -> None:
    text = printout(answered(wrapped(type_)), nouns(), 80)
    lines = [line for line in text.splitlines() if re.match(r" +1  ", line)]
    assert any(f'2" {told}' in line for line in lines)
    assert f'Run 1 lies from 2" {told} to' in " ".join(text.split())
    assert '-2"' not in text
    drawn = in_forms(body_of(wrapped(type_)), [Picked(SVG)])[0].body.decode()
    assert f"2&quot; {told}<" in drawn
    assert ">-" not in drawn


def printed(example: str) -> str:
    file, *_ = kinds.files("examples", example)
    return printout(answered(kinds.request_of(file)), nouns(), 80)


def test_joints_lie_on_straps_where_straps_bear_the_boards() -> None:
    """Strap 11 lies from 11' 10-1/2" to 12' 1": a joint on its middle is at 11' 11-3/4"."""
    straps, boards = printed("strapped_ceiling.json").split("\n2. studio.boarding")
    assert "mark (joist)" in straps
    assert "mark (strap)" not in straps
    assert """from the low end: 10' 8", 22" long.""" in " ".join(straps.split())
    assert re.search(r"^ +11 +11' 10-1/2\" +12' 1\"", straps, re.M)
    assert "mark (strap)" in boards
    assert """11' 11-3/4" (11)""" in boards


def test_no_gap_at_walls_is_looked_for_where_none_is_left() -> None:
    """All edges of the deck are bare, tight or behind its border; the porch has walls all round."""
    assert "is left at walls, for the boards to move" not in printed("deck.json")
    assert "is left at walls, for the boards to move" in " ".join(printed("porch.json").split())


def test_paper_says_joist_and_stud_where_figures_say_member() -> None:
    """In the schedule of fasteners and over the table of beams."""
    coffers, walls = printed("coffers.json"), printed("beadboard.json")
    assert "hits are joists that a core is fixed to" in " ".join(coffers.split())
    assert re.search(r"along studs|studs under", walls)
    assert re.search(r"along joists|joists under", walls)
    tables = [text.partition("\nCAUTIONS")[0] for text in (coffers, walls)]
    assert not any(re.search(r"\bmembers?\b", text) for text in tables)


def test_a_course_that_lies_under_a_beam_has_no_board() -> None:
    text = " ".join(printed("coffers.json").split())
    assert "no board: a beam or the trim covers it" in text
    assert "not ripped; no board" not in text
    assert 'Start 2-3/4" off the edge: course 1' in text


def test_a_lapped_board_shows_its_exposure() -> None:
    siding = {"id": "pine", "form": "board", "profile": "lapped", "ends": "square", "overall": 7.25,
              "lap": 1.25, "thickness": 0.5, "stock": [{"length": "12 ft"}]}  # fmt: skip
    area = requests.room(120, 96) | {"type": "wall", "view": "facing"}
    text = printout(answered(requests.job(area, siding)), nouns(), 80)
    assert re.search(r"far edge +exposure +note", text)
    plain = printout(answered(requests.job(requests.room(120, 96))), nouns(), 80)
    assert "exposure" not in plain


@pytest.mark.parametrize(
    ("side", "told"), [("low", "the bottom of the drawing"), ("high", "the top of the drawing")]
)
def test_work_starts_at_an_edge_of_the_drawing(side: str, told: str) -> None:
    area = requests.room(120, 96, layer={"start_side": side})
    text = printout(answered(requests.job(area)), nouns(), 80)
    assert f"Start at {told} (marks" in " ".join(text.split())


def test_areas_are_square_feet_or_metres_in_every_head() -> None:
    text = printout(answered(requests.job(requests.room(120, 96))), nouns(), 80)
    assert "ft2" not in text
    assert re.search(r"^  pine +sq ft +as stock +%$", text, re.MULTILINE)
    assert "AGAINST A FLAT 10 %" in paper.sections(text)


@pytest.mark.parametrize(
    ("surface", "told"),
    [({"type": "wall"}, "stud"), ({"type": "soffit"}, "lookout"), ({"type": "ceiling"}, "joist"),
     ({"type": "ceiling", "slope": {"rise": 4, "run": 12, "up": 90}}, "rafter"),
     ({}, "member"), ({"type": []}, "member")],
)  # fmt: skip
def test_members_are_called_by_the_surface_that_a_pointer_leads_to(
    surface: Request, told: str
) -> None:
    asked = {"surfaces": [{"type": "deck"}, surface]}
    assert support_asked("/surfaces/1/layers/0", asked) == told
    assert support_asked("/surfaces/2", asked) == "member"
    assert support_asked("/products/1", asked) == "member"
    assert support_asked("/surfaces/1", None) == "member"


@pytest.mark.parametrize(("type_", "told"), [("wall", "stud"), ("soffit", "lookout")])
def test_a_refusal_calls_members_by_their_name(type_: str, told: str) -> None:
    """Boards along members, with joints that want one to land on."""
    area = requests.room(240, 96, behind=requests.supports(direction=0),
                         layer={"joints": "framing"})  # fmt: skip
    area |= {"type": type_, "view": "facing", "backing": {"thickness": 0.5}}
    kind, faults = refused(requests.job(area))
    assert kind == "TradeRefused"
    details = " ".join(fault["detail"] for fault in faults)
    assert told in details
    assert "member" not in details


@pytest.mark.parametrize(
    ("unit", "size", "length", "told"),
    [("in", [120, 60], "16 ft", "16 ft"), ("in", [120, 60], "12.5 ft", "12' 6\""),
     ("mm", [3000, 1500], 4800, "4.8 m")],
)  # fmt: skip
def test_short_stock_is_told_in_lengths_of_the_yard(
    unit: str, size: list[int], length: Any, told: str
) -> None:
    board = requests.board({"length": length, "on_hand": 2})
    if unit == "mm":
        board |= {"overall": 141, "coverage": 135, "thickness": 19}
    request = requests.job(requests.room(*size), board) | {"unit": unit}
    if unit == "mm":
        request["surfaces"][0]["supports"] |= {"spacing": 400, "first": 400, "thickness": 38}
    _, (fault,) = refused(request)
    assert fault["code"] == "stock-short"
    assert re.match(rf"you are short of boards: \d+ more of {told} would do", fault["detail"])


def begun(request: Request) -> str:
    return " ".join(printout(answered(request), nouns(), 80).split())


@pytest.mark.parametrize("side", ["low", "high"])
def test_what_is_left_at_the_wall_is_said_there(side: str) -> None:
    """From the wall where work starts, whichever it is; of diagonal work no wall has a gap."""
    area = requests.room(120, 96.25, layer={"start_side": side, "rules": {"gap": 0.375}})
    assert 'Leave 3/8" at the wall: course 1 lies from' in begun(requests.job(area))
    slanting = requests.room(120, 96, layer={"direction": 45})
    text = begun(requests.job(slanting))
    assert "Leave" not in text


def test_the_wall_where_work_starts_is_named() -> None:
    area = requests.room(120, 96, edges=[{"edge": 0, "beside": "house"}])
    assert 'Start at the bottom of the drawing, "house" (marks' in begun(requests.job(area))
    area["edges"] = [{"edge": 2, "beside": "house"}]
    assert "Start at the bottom of the drawing (marks" in begun(requests.job(area))
    area["layers"][0]["start_side"] = "high"
    answer = answered(requests.job(area))
    assert answer["surfaces"][0]["beside"] == [
        {"from": [120, 96], "to": [0, 96], "beside": "house"}
    ]
    assert 'Start at the top of the drawing, "house" (marks' in begun(requests.job(area))


@pytest.mark.parametrize(
    ("type_", "told"),
    [
        ("ceiling", "seen from below, standing to face the bottom edge"),
        ("wall", "seen from the front"),
        ("floor", "seen from above"),
    ],
)
def test_it_is_said_which_way_a_surface_faces(type_: str, told: str) -> None:
    area = requests.room(120, 96, type=type_)
    assert f"(marks rise from course to course), {told}." in begun(requests.job(area))


def test_a_corner_that_the_trim_covers_is_no_course_to_begin_with() -> None:
    """Corners of diagonal work whose parts are too short to board: nothing is laid there."""
    area = requests.room(144, 120, layer={"direction": 45, "joints": "anywhere"})
    request = requests.job(area, requests.board("16 ft"))
    answer = answered(request)
    laid = {row["course"] for row in answer["pieces"]}
    assert min(laid) > 1, "the corner is boarded: this job tells nothing"
    text = begun(request)
    assert f"tongue edge of course {min(laid)}." in text
    assert "no board: a beam or the trim covers it" in text
    assert "First course, no. 1:" not in text


def test_a_sheet_is_called_by_its_thickness_and_size() -> None:
    ply = {"id": "ply", "form": "sheet", "width": 47.875, "thickness": 0.5,
           "stock": [{"length": 95.875}]}  # fmt: skip
    area = {"id": "loft", "rectangle": [240, 122], "supports": requests.supports(),
            "layers": [{"kind": "sheathing", "product": "ply"}]}  # fmt: skip
    request = {"unit": "in", "surfaces": [area], "products": [ply]}
    (line,) = answered(request)["order"]
    assert line["item"] == "1/2 in ply 47-7/8 x 95-7/8 in"
    ply["description"] = "half-inch plywood"
    (line,) = answered(request)["order"]
    assert line["item"] == "half-inch plywood 47-7/8 x 95-7/8 in"


@pytest.mark.parametrize("count", [12, 13, 40])
def test_what_finds_no_room_over_a_drawing_is_counted(count: int) -> None:
    rows = listed_rows(["a text as wide as its row" * 3] * count, 100.0)
    shown = [one.text for row in rows for one in row]
    assert len(rows) == min(12, count)
    more = count - 11 if count > 12 else 0
    assert shown[-1].startswith(f"and {more} more" if more else "a text")


@pytest.mark.parametrize(("profile", "told"), [("tongue_and_groove", True), ("square_edge", False)])
def test_a_far_edge_is_called_the_tongue_where_boards_have_one(profile: str, told: bool) -> None:
    sizes = {"overall": 5.5, "coverage": 5.25 if told else None}
    ripped = requests.board("8 ft", profile=profile, **sizes)
    text = printout(answered(requests.job(requests.room(90, 60), ripped)), nouns(), 80)
    assert "a board lies face up, its far edge" in (words := " ".join(text.split()))
    assert ("far edge (the tongue) away" in words) is told
