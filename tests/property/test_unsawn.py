"""A covered gap takes a rip too small to saw, and a strip too narrow to lay, at each wall (3.9).

A rip under 1/8 in, where no gap was sent; the gap keeps 1/4 in, and a last course of tongue and
groove what it slides on in: the tongue before it and 1/16 in. A strip of up to 1/8 in, that would
be left over beyond a whole course, likewise. No course moves for it.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.independent import tiling, unsawn, verifier
from tests.independent.asked import laid
from tests.strategies import jobs, requests, shapes
from tests.strategies.asking import answered
from tests.strategies.budget import FEW, examples
from tests.strategies.transforms import in_millimetres

Request = dict[str, Any]

COVER, COURSES = 5.125, 8
PARTS = 1 / 64


def room(lack: float, board: Request | None = None, **layer: Any) -> Request:
    """Whole courses but for the last, which lacks so many sixty-fourths of an inch."""
    width = 1 + COURSES * COVER - lack * PARTS
    area = requests.room(190, width, layer={"start": "full_first"} | layer)
    return requests.job(area, board or requests.board("16 ft"), when_blocked="relax")


def last(answer: Request) -> Request:
    found: Request = answer["courses"][-1]
    return found


def said(answer: Request, what: str = "rip") -> list[Request]:
    return [row for row in answer["findings"] if row["code"] == f"gap-takes-{what}"]


@pytest.mark.parametrize("side", ["low", "high"])
@pytest.mark.parametrize("lack", range(2, 13))
def test_the_gap_takes_less_than_an_eighth(lack: int, side: str) -> None:
    """2/64 to 7/64 in: the last course is whole and its gap so much less; from 8/64 it is sawn."""
    answer = answered(room(lack, start_side=side))
    taken = lack < 8
    assert last(answer)["width"] == COVER - (0 if taken else lack * PARTS)
    assert bool(said(answer)) == taken
    edge = last(answer)["far"]
    wide = 1 + COURSES * COVER - lack * PARTS
    left = wide - edge if side == "low" else edge
    assert left == 0.5 - (lack * PARTS if taken else 0)
    assert [row["measure"] for row in said(answer)] == ([left] if taken else [])


@pytest.mark.parametrize(("tongue", "most"), [(0.25, 7), (0.375, 4), (0.4375, 0)])
def test_a_last_course_needs_the_gap_that_it_slides_on_in(tongue: float, most: int) -> None:
    """1/2 in less the tongue and 1/16 in is what it may give; the first course may give all."""
    board = requests.board("16 ft", cover=COVER, overall=COVER + tongue)
    for lack in range(2, 8):
        assert bool(said(answered(room(lack, board)))) == (lack <= most), lack
    square = requests.board("16 ft", overall=COVER, profile="square_edge")
    assert all(said(answered(room(lack, square))) for lack in range(2, 8))


@pytest.mark.parametrize(
    "more",
    [
        {"rules": {"gap": 0.5}},
        {"edges": "bare"},
        {"rules": {"unsawn": 0}},
        {"rules": {"unsawn": 0.0625}},
    ],
)
def test_a_gap_that_was_sent_or_is_in_view_takes_nothing(more: Request) -> None:
    answer = answered(room(6, **more))
    assert not said(answer)
    assert last(answer)["width"] < COVER


@pytest.mark.parametrize(
    ("row", "taken"),
    [({"gap": 0.5}, False), ({"is": "covered"}, True), ({"is": "bare"}, False),
     ({"is": "mitre"}, False), ({"is": "tight"}, False)],
)  # fmt: skip
def test_what_the_edge_itself_is_decides(row: Request, taken: bool) -> None:
    """Each room so wide that its last course lacks 1/16 in at the gap of that edge."""
    gap = {"bare": 0.125, "mitre": 0.25, "tight": 0}.get(row.get("is", ""), 0.5)
    width = 0.5 + gap + COURSES * COVER - 0.0625
    area = requests.room(190, width, layer={"start": "full_first"}, edges=[{"edge": 2} | row])
    answer = answered(requests.job(area, when_blocked="relax"))
    assert bool(said(answer)) == taken
    assert (last(answer)["width"] == COVER) == taken


def test_each_wall_takes_its_own() -> None:
    """Above six courses on the left and ten on the right: 1/16 in there is taken, 1/4 in sawn."""
    for left, right in ((0.0625, 0.25), (0.25, 0.0625), (0.0625, 0.09375), (0.25, 0.25)):
        low, high = 1 + 6 * COVER - left, 1 + 10 * COVER - right
        points = [[0, 0], [190, 0], [190, high], [100, high], [100, low], [0, low]]
        area = requests.outline(points, layer={"start": "full_first"})
        answer = answered(requests.job(area, when_blocked="relax"))
        assert (last(answer)["width"] == COVER) == (right < 0.125)
        (six,) = (row for row in answer["runs"] if row["course"] == 6)
        notched = any(row["notches"] for row in answer["pieces"] if row["run"] == six["id"])
        assert notched == (left >= 0.125)


def test_a_taper_is_whole_only_if_it_lacks_little_at_both_ends() -> None:
    for lacks, taken in (
        ((0.03125, 0.109375), True),
        ((0.03125, 0.140625), False),
        ((0.0625, 0.0625), True),
    ):
        ends = [1 + COURSES * COVER - lack for lack in lacks]
        area = requests.outline([[0, 0], [190, 0], [190, ends[0]], [0, ends[1]]],
                                layer={"start": "full_first"})  # fmt: skip
        answer = answered(requests.job(area, when_blocked="relax"))
        assert bool(said(answer)) == taken, lacks
        assert (last(answer)["width"] == COVER) == taken or last(answer)["end_widths"]


def test_lapped_boards_share_by_exposure() -> None:
    board = requests.board("16 ft", cover=6, overall=7.25, profile="lapped")
    area = requests.room(190, 1 + 8 * 6 - 0.0625, type="wall")
    assert not said(answered(requests.job(area, board)))


@pytest.mark.parametrize("side", ["low", "high"])
@pytest.mark.parametrize("over", range(2, 13))
def test_no_strip_of_up_to_an_eighth_is_laid(over: int, side: str) -> None:
    """2/64 to 8/64 in beyond the last whole course are left to its gap; 9/64 are a rip."""
    answer = answered(room(-over, start_side=side))
    taken = over <= 8
    assert len(answer["courses"]) == COURSES + (not taken)
    assert last(answer)["width"] == pytest.approx(COVER if taken else over * PARTS, abs=1e-6)
    assert [row["measure"] for row in said(answer, "strip")] == ([over * PARTS] if taken else [])
    assert answer["layers"][0]["courses"] == len(answer["courses"])


@pytest.mark.parametrize("spacer", [0, 0.0625])
@pytest.mark.parametrize("over", range(2, 20))
def test_two_gaps_share_what_is_left_over(over: int, spacer: float) -> None:
    """Up to 1/4 in, half of it at each wall: whole courses alone, as far from one as the other.

    With open joints one more of these stays open at each wall. Above 1/4 in the first and the last
    course are ripped.
    """
    width = 1 + COURSES * COVER + (COURSES - 1 + 2 * bool(spacer)) * spacer + over * PARTS
    area = requests.room(190, width, layer={"spacer": spacer})
    answer = answered(requests.job(area, requests.board("16 ft")))
    widths = {row["width"] for row in answer["courses"]}
    assert (widths == {COVER}) == (over <= 16)
    near, far = answer["courses"][0]["near"], width - last(answer)["far"]
    assert near == pytest.approx(far, abs=2e-6)
    assert near == pytest.approx(0.5 + (spacer + over * PARTS / 2) * (over <= 16), abs=2e-6)


@pytest.mark.parametrize(
    "more",
    [
        {"rules": {"gap": 0.5}},
        {"edges": "bare"},
        {"rules": {"unsawn": 0}},
        {"rules": {"unsawn": 0.0625}},
    ],
)
def test_a_strip_is_laid_where_the_gap_was_sent_or_is_in_view(more: Request) -> None:
    """Under the least width of a rip, so that it is one of the rules that were relaxed."""
    bare = more.get("edges") == "bare"
    answer = answered(room(-6 + 48 * bare, **more))
    assert not said(answer, "strip")
    assert last(answer)["rip"] != "none"


@pytest.mark.parametrize("deep", [0, 3, 5])
@pytest.mark.parametrize(("over", "taken"), [(4, True), (8, True), (10, False)])
def test_a_strip_at_one_wall_does_not_hang_on_another(deep: int, over: int, taken: bool) -> None:
    """Beside six courses 4/64 in are left over, where the room goes on by `deep` courses more."""
    low = 1 + 6 * COVER + over * PARTS
    points = [[0, 0], [190, 0], [190, low + deep * COVER], [100, low + deep * COVER], [100, low],
              [0, low]] if deep else [[0, 0], [190, 0], [190, low], [0, low]]  # fmt: skip
    request = requests.job(
        requests.outline(points, layer={"start": "full_first"}), when_blocked="relax"
    )
    answer = answered(request)
    assert bool(said(answer, "strip")) == taken
    assert any(row["notches"] for row in answer["pieces"]) == (bool(deep) and not taken)
    assert tiling.faults(request, answer) == []


def test_the_last_course_keeps_its_tongue_where_the_gap_has_grown() -> None:
    """9/16 in: the tongue of the course before, its own, and 1/16 in to slide on in (3.11)."""
    tongues = [last(answered(room(-over)))["tongue"] for over in (0, 2, 3, 4, 8)]
    assert tongues == ["none", "none", "none", "far", "far"]


def test_a_taper_leaves_no_strip_if_it_is_narrow_at_both_ends() -> None:
    """The strip that would be left, where it is widest, and what the board lacks at the other end.

    Both are taken: the wall lies within 1/8 in of the board's edge all along it.
    """
    for overs, strip in (
        ((0.03125, 0.125), 0),
        ((0.125, -0.0625), 0),
        ((0.03125, 0.140625), 0.14),  # the wall stands askew, its gap square to it
    ):
        ends = [1 + COURSES * COVER + over for over in overs]
        area = requests.outline([[0, 0], [190, 0], [190, ends[0]], [0, ends[1]]],
                                layer={"start": "full_first"})  # fmt: skip
        request = requests.job(area, when_blocked="relax")
        answer = answered(request)
        assert {round(row["width"], 2) for row in answer["courses"]} == {
            round(COVER, 2), *([strip] if strip else []),
        }, overs  # fmt: skip
        assert tiling.faults(request, answer) == []


@examples(40)
@given(over=st.integers(2, 8), deep=st.integers(2, 12),
       points=st.one_of(shapes.rectangles(), shapes.ells()), side=st.sampled_from(["low", "high"]),
       way=st.sampled_from([0, 90]))  # fmt: skip
def test_what_is_laid_without_strips_is_whole(
    over: int, deep: int, points: shapes.Points, side: str, way: int
) -> None:
    """No piece lies in a strip; all but the strips, and what gaps give, is boarded as before."""
    heights = sorted({y for _, y in points})
    moved = {y: heights[0] + 1 + COVER * (3 + k * deep) + over * PARTS if k else y
             for k, y in enumerate(heights)}  # fmt: skip
    area = requests.outline([[x, moved[y]] for x, y in points],
                            layer={"start": "full_first", "start_side": side, "direction": way,
                                   "joints": "anywhere"},
                            behind=requests.supports(direction=way + 90))  # fmt: skip
    request = requests.job(
        area, requests.board("16 ft", "20 ft"), when_blocked="relax", effort="quick"
    )
    answer = answered(request)
    assert verifier.faults(request, answer) == []
    assert tiling.faults(request, answer) == []
    (layer,) = laid(request, answer)
    assert bool(unsawn.left_over(layer, answer)) == bool(said(answer, "strip"))


@examples(40)
@given(lack=st.integers(2, 7), deep=st.integers(2, 12),
       points=st.one_of(shapes.rectangles(), shapes.ells()),
       start=st.sampled_from([{}, {"start": "full_first"}]),
       way=st.sampled_from([0, 90]))  # fmt: skip
def test_courses_stay_where_they_are(
    lack: int, deep: int, points: shapes.Points, start: Request, way: int
) -> None:
    """All lines between courses are those with every rip sawn; what is covered only grows."""
    heights = sorted({y for _, y in points})
    moved = {y: heights[0] + 1 + COVER * (3 + k * deep) - lack * PARTS if k else y
             for k, y in enumerate(heights)}  # fmt: skip
    ring = [[x, moved[y]] for x, y in points]
    area = requests.outline(ring, layer=start | {"joints": "anywhere", "direction": way},
                            behind=requests.supports(direction=way + 90))  # fmt: skip
    request = requests.job(
        area, requests.board("16 ft", "20 ft"), when_blocked="relax", effort="quick"
    )
    sawn = answered(requests.changed(request, "/surfaces/0/layers/0/rules", {"unsawn": 0}))
    answer = answered(request)
    lines = [[(row["near"], row["far"]) for row in one["courses"]] for one in (sawn, answer)]
    for one, other in zip(*lines, strict=True):
        inner = [a == b for a, b in zip(one, other, strict=True)]
        assert any(inner)
    assert lines[0][1:-1] == lines[1][1:-1]
    assert answer["surfaces"][0]["installed"] >= sawn["surfaces"][0]["installed"] - 1e-6
    assert verifier.faults(request, answer) == []
    assert tiling.faults(request, answer) == []
    (layer,) = laid(request, sawn)
    rips = unsawn.taken(layer, sawn)
    assert bool(rips) == bool(said(answer))


@FEW
@given(request=jobs.rectangular())
def test_millimetres_take_the_same(request: Request) -> None:
    """An eighth of an inch is 3.175 mm in metric jobs too."""
    request |= {"rules": {"cut_to": 0.0625}}
    one, other = answered(request), answered(in_millimetres(request))
    assert len(said(one)) == len(said(other))
    assert [row["rip"] for row in one["courses"]] == [row["rip"] for row in other["courses"]]
