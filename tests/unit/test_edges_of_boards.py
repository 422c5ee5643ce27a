"""First courses at bare edges, soffits and lapped walls; odd measures; blocks behind boards.

Common practice; the numbers are arithmetic on boards of 5-1/8 in cover with a groove 1/4 in deep.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.fastening.spacing import points, points_left
from tests.independent.asked import laid
from tests.independent.measure import INCH
from tests.property.test_courses import check_sum
from tests.strategies import requests, shapes
from tests.strategies.asking import answered, refused
from tests.strategies.budget import LAW

Request = dict[str, Any]


def widths(answer: Request) -> list[float]:
    return [row["width"] for row in answer["courses"]]


def said(answer: Request, code: str) -> list[Request]:
    return [row for row in answer["findings"] if row["code"] == code]


def bare(width: float, **layer: Any) -> Request:
    return requests.job(requests.room(190, width, layer={"edges": "bare"} | layer))


def test_a_whole_first_course_loses_its_groove_at_a_bare_edge() -> None:
    """Net width 20 x 5.125 + 3 = 105.5: less 4.875 leaves 100.625 = 19 x 5.125 + 3.25."""
    answer = answered(bare(20 * 5.125 + 3 + 0.25, start="full_first"))
    assert (widths(answer)[0], widths(answer)[-1]) == (4.875, 3.25)
    assert answer["courses"][0]["rip"] == "groove"
    assert len(answer["courses"]) == 21


def test_under_a_moulding_a_whole_first_course_keeps_its_groove() -> None:
    answer = answered(
        requests.job(requests.room(190, 20 * 5.125 + 3 + 1, layer={"start": "full_first"}))
    )
    assert widths(answer)[0] == 5.125
    assert answer["courses"][0]["rip"] == "none"


def test_a_bare_width_of_whole_boards_is_shared_by_two_halves() -> None:
    """Whole boards would need 1/4 in more than there is; 19 whole and two of 2-9/16 in do not."""
    found = widths(answered(bare(20 * 5.125 + 0.25)))
    assert (found[0], found[-1], len(found)) == (2.5625, 2.5625, 21)


def test_square_edges_have_no_groove_to_lose() -> None:
    job = bare(20 * 5.125 + 0.25)
    job["products"] = [requests.board("16 ft", overall=5.125, profile="square_edge")]
    assert set(widths(answered(job))) == {5.125}


def test_a_groove_that_is_ripped_in_part_is_said() -> None:
    """First and last (5.125 + 4.9) / 2 = 5.0125: of 1/4 in of groove 0.1375 in is left."""
    (row,) = said(answered(bare(20 * 5.125 + 4.9 + 0.25)), "groove-shows")
    assert row["measure"] == pytest.approx(0.1375)


@LAW
@given(width=shapes.inches(20, 160), depth=shapes.inches(0.125, 0.5),
       start=st.sampled_from(["balanced", "full_first", None]))  # fmt: skip
def test_no_bare_edge_shows_a_whole_groove(width: float, depth: float, start: str | None) -> None:
    """Over any width and groove, and the courses still add up."""
    layer = {"edges": "bare"} | ({"start": start} if start else {})
    board = requests.board("16 ft", groove_depth=depth)
    request = requests.job(requests.room(90, width, layer=layer), board, when_blocked="relax")
    answer = answered(request)
    (one,) = laid(request, answer)
    check_sum(one, answer)
    assert answer["courses"][0]["rip"] != "none"
    assert sum(widths(answer)) == pytest.approx(width - 0.25, abs=1 / 64 + 1e-4)


def soffit(width: float, **layer: Any) -> Request:
    return requests.job(requests.room(480, width, type="soffit", layer=layer))


def test_a_soffit_begins_whole_at_its_outer_edge() -> None:
    """23 in net: four boards and a rip of 2-1/2 in at the wall."""
    answer = answered(soffit(24))
    assert widths(answer) == [5.125, 5.125, 5.125, 5.125, 2.5]
    (row,) = said(answer, "outer-edge")
    assert row["cure"] is None  # only the caller knows which side is seen
    assert not said(answered(soffit(24, start_side="high")), "outer-edge")
    assert answered(soffit(24, start_side="high"))["courses"][0]["far"] < 24 - 0.5


def test_a_soffit_is_balanced_where_that_is_asked() -> None:
    answer = answered(soffit(24, start="balanced"))
    assert widths(answer)[0] == widths(answer)[-1] == 3.8125
    assert not said(answer, "outer-edge")


def test_a_soffit_whose_wall_rip_would_be_a_sliver_says_so() -> None:
    """1/2 in would be left at the wall: (5.125 + 0.5) / 2 on both sides instead, and a word."""
    answer = answered(soffit(4 * 5.125 + 0.5 + 1))
    assert widths(answer)[0] == widths(answer)[-1] == 2.8125
    assert said(answer, "outer-edge-ripped")
    assert {row["value"] for row in answer["basis"] if row["key"] == "start"} == {"balanced"}


def test_boards_across_a_soffit_are_balanced() -> None:
    area = requests.room(480, 24, type="soffit", layer={"direction": 90},
                         behind=requests.supports(8, 4, direction=0))  # fmt: skip
    found = widths(answered(requests.job(area)))
    assert found[0] == found[-1] == pytest.approx((479 - 92 * 5.125) / 2)


def test_a_lapped_wall_needs_a_starter_strip() -> None:
    """As long as its first course, doorway left out: 189 - 36 in."""
    door = {"id": "door", "rectangle": [60, 0, 36, 80], "cut_gap": 0}
    board = requests.board("8 ft", "16 ft", cover=6, overall=7.25, profile="lapped")
    area = requests.room(190, 96, type="wall", openings=[door])
    (row,) = said(answered(requests.job(area, board)), "starter-strip")
    assert row["measure"] == 189 - 36
    assert not said(answered(requests.job(requests.room(190, 96))), "starter-strip")


def test_a_starter_strip_is_cut_of_its_lumber() -> None:
    """153 in of it, 59-1/2 and 93-1/2 beside a door: two sticks of 8 ft.

    It crosses studs at 16, 32, 48, and at 96 (by 3/4 in), 112, 128, 144, 160, 176: nine nails.
    """
    door = {"id": "door", "rectangle": [60, 0, 36, 80], "cut_gap": 0}
    board = requests.board("8 ft", "16 ft", cover=6, overall=7.25, profile="lapped")
    lath = {"id": "lath", "form": "lumber", "width": 1.5, "thickness": 0.375,
            "stock": [{"length": "8 ft"}]}  # fmt: skip
    area = requests.room(190, 96, type="wall", openings=[door], layer={"starter": "lath"})
    answer = answered(requests.job(area, board, lath))
    assert not said(answer, "starter-strip")
    pieces = [row for row in answer["pieces"] if row["product"] == "lath"]
    assert [(row["from"], row["to"], row["length"]) for row in pieces] == [
        (0.5, 60, 59.5), (96, 189.5, 93.5)
    ]  # fmt: skip
    assert [(row["near"], row["far"]) for row in pieces] == [(0.5, 2)] * 2
    assert [row["buy"] for row in answer["order"] if row["product"] == "lath"] == [2]
    (nails,) = [row for row in answer["fasteners"] if row["where"] == "starter"]
    assert nails["count"] == 9


def test_boards_that_do_not_lap_start_on_no_strip() -> None:
    lath = {"id": "lath", "form": "lumber", "width": 1.5, "thickness": 0.375,
            "stock": [{"length": "8 ft"}]}  # fmt: skip
    area = requests.room(190, 96, layer={"starter": "lath"})
    _, (fault,) = refused(requests.job(area, requests.board("16 ft"), lath))
    assert (fault["code"], fault["pointer"]) == (
        "starter-needs-lapped", "/surfaces/0/layers/0/starter",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("spacing", "usual"),
    [(12, True), (16, True), (19.2, True), ("19 3/16 in", True), (24, True), ("400 mm", True),
     ("406 mm", True), ("450 mm", True), ("600 mm", True), (17, False), (15, False),
     ("380 mm", False)],
)  # fmt: skip
def test_odd_spacing_of_members_is_said(spacing: Any, usual: bool) -> None:
    """Usual ones divide a sheet of 96 in, 2 400 mm or 2 700 mm, to 1/8 in."""
    answer = answered(requests.job(requests.room(190, 96, behind=requests.supports(spacing))))
    assert (not said(answer, "spacing-unusual")) == usual


@pytest.mark.parametrize(("nominal", "odd"), [(6, False), (5, True)])
def test_coverage_over_the_nominal_width_is_said(nominal: int, odd: bool) -> None:
    board = requests.board("16 ft", nominal={"thickness": 1, "width": nominal})
    found = said(answered(requests.job(requests.room(190, 96), board)), "coverage-over-nominal")
    assert [(row["measure"], row["limit"]) for row in found] == ([(5.125, 5)] if odd else [])


ALONG = {"direction": 0, "spacing": 16, "first": 16, "thickness": 1.5}


def along(blocks: bool) -> Request:
    area = requests.room(
        180, 60, behind=ALONG, backing={"thickness": 0.5}, layer={"blocks": blocks}
    )
    return requests.job(area, requests.board("16 ft"))


def test_a_block_takes_the_place_of_the_nearest_point_in_the_panel() -> None:
    """179 in: 23 points up to 8 in apart. 180 in from wall to wall: 13 rows up to 16 in apart.

    (179 - 3) / 8 = 22 spaces; (180 - 1.5) / 16 = 11.2, so 12 spaces. Rows are further apart than
    points, so each row takes one point and no two the same: 10 are left.
    """
    plain, blocked = answered(along(False)), answered(along(True))
    counts = {(row["where"], row["place"]): row["count"] for row in blocked["fasteners"]}
    courses = len(blocked["courses"])
    assert counts["field", "blind"] == 10 * (courses - 2)
    assert counts["block", "blind"] == 13 * (courses - 1)
    total = sum(row["count"] for row in plain["fasteners"])
    assert sum(counts.values()) == total
    assert {row["spacing"] for row in blocked["fasteners"] if row["where"] == "block"} == {None}


def test_a_nail_at_a_block_holds_in_the_block() -> None:
    """2-1/2 in of ring shank through 3/4 and 1/2 in: 1-1/4 in are left, face-nailed."""
    nail = {"id": "nail", "form": "fastener", "lengths": [1.25, 2.5], "shank": "ring"}
    job = along(True)
    job["products"].append(nail)
    job["surfaces"][0]["layers"][0]["fastening"] = {"pattern": "face", "product": "nail"}
    rows = answered(job)["fasteners"]
    assert {row["length"] for row in rows} == {2.5}
    holds = {row["where"]: row["bite"] for row in rows}
    assert holds["block"] == 1.25
    assert holds["field"] == 0.5


@given(length=st.integers(2, 300), spacing=st.integers(4, 12), every=st.integers(9, 30))
def test_points_left_by_trying_every_point(length: int, spacing: int, every: int) -> None:
    """By measuring each point to each crossing: those that are nearest to one are gone."""
    long, end = length * INCH, 3 * INCH // 2
    count = points(long, spacing * INCH, end)
    crossings = [at * INCH for at in range(1, length, every)]
    first = min(end, long // 4)
    apart = Fraction(long - 2 * first, max(1, count - 1))
    places = [first + k * apart for k in range(count)]
    gone = {min(range(count), key=lambda k: abs(places[k] - at)) for at in crossings}
    assert len(points_left(long, count, end, crossings)) == count - len(gone)
