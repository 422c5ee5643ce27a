"""Holes in boards: legs cut out or frail, the shift that cures them, openings that merge.

Common practice; the numbers are arithmetic. Boards of 5-1/8 in cover on 192 x 144 in, gap 1/2 in:
courses of 4-7/8 first and last, so joints at 5.375 + k x 5.125: 20.75, 25.875, 31, ... 46.375.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.independent import reader, tiling, verifier
from tests.independent.asked import Layer, laid, rows
from tests.independent.json_patch import patched
from tests.independent.measure import INCH, ticks
from tests.strategies import requests, shapes
from tests.strategies.asking import answered, asked
from tests.strategies.budget import FEW

Request = dict[str, Any]


def room(*openings: Request, **layer: Any) -> Request:
    """The room of this file with openings cut as drawn."""
    holes = [{"cut_gap": 0} | opening for opening in openings]
    return requests.job(requests.room(192, 144, openings=holes, layer=layer))


def box(name: str, *sides: float, **more: Any) -> Request:
    return {"id": name, "rectangle": list(sides)} | more


def said(answer: Request, code: str) -> list[Request]:
    return [row for row in answer["findings"] if row["code"] == code]


def covered(answer: Request) -> float:
    """Installed area in square inches; the surface's one layer closes its ledger."""
    return float(answer["surfaces"][0]["installed"]) * 144


def applied(request: Request, finding: Request) -> Request:
    mended: Request = patched(request, finding["cure"])
    return mended


SLOT = box("slot", 60, 26.5, 14, 20)
"""Course 6 begins at 25.875: a leg of 5/8 in is left under the slot. Above it, 4-5/8 in."""


def test_a_leg_under_a_flange_is_cut_out_and_its_course_cut_in_two() -> None:
    """A flange of 1 in laps the next board by 3/8 in beyond the leg of 5/8 in."""
    answer = answered(room(SLOT | {"flange": 1}))
    (row,) = said(answer, "leg-cut-out")
    assert (row["at"], row["measure"], row["limit"]) == ("loft.boards.6", 0.625, 0.75)
    assert not said(answer, "leg-frail")
    runs = [run for run in answer["runs"] if run["course"] == 6]
    assert [(run["from"], run["to"]) for run in runs] == [(0.5, 60), (74, 191.5)]
    assert covered(answer) == pytest.approx(191 * 143 - 14 * (20 + 0.625), abs=1e-3)


def test_a_flange_that_does_not_lap_beyond_the_leg_leaves_it() -> None:
    """15/16 in would lap the next board by 5/16 in only."""
    answer = answered(room(SLOT | {"flange": 0.9375}))
    assert said(answer, "leg-frail")
    assert len([run for run in answer["runs"] if run["course"] == 6]) == 1


def test_a_leg_of_a_round_hole_is_cut_out_where_it_is_too_narrow() -> None:
    """Radius 6 in, its top at 66.5: 3/8 in under the joint at 66.875.

    The leg is under 3/4 in where the edge of the hole lies over 66.125: half a chord of
    sqrt(36 - 5.625 x 5.625) = 2.088 in each way.
    """
    answer = answered(room({"id": "lamp", "circle": [96, 60.5, 12], "flange": 1.5}))
    (row,) = said(answer, "leg-cut-out")
    assert row["measure"] == pytest.approx(0.375, abs=0.003)
    course = next(row["course"] for row in answer["courses"] if row["far"] == 66.875)
    shapes_ = [piece["shape"] for piece in answer["pieces"] if piece["course"] == course]
    upper = [u for rings in shapes_ for u, v in (rings[0] if rings else []) if v == 66.875]
    beside = sorted(u for u in upper if 90 < u < 102)
    assert beside == [pytest.approx(96 - 2.088, abs=0.02), pytest.approx(96 + 2.088, abs=0.02)]


def test_a_leg_of_a_sixty_fourth_counts_as_nothing() -> None:
    """No board is run past a hole by a leg that no saw would leave."""
    low = 25.875 + 1 / 64
    answer = answered(room(box("slot", 60, low, 14, 18)))
    assert len([run for run in answer["runs"] if run["course"] == 6]) == 2
    assert not said(answer, "leg-frail")


def test_the_cure_is_the_nearest_shift_that_leaves_no_frail_leg() -> None:
    """Every mark of the tape nearer to the joint was tried: none of them does."""
    request = room(SLOT)
    (row,) = said(answered(request), "leg-frail")
    (edit,) = row["cure"]
    (aim,) = edit["value"]
    mended = answered(applied(request, row))
    assert not said(mended, "leg-frail")
    moved = round(abs(aim["at"] - 25.875) * 16)
    assert 0 < moved <= 41
    for k in range(-moved + 1, moved):
        nearer = requests.changed(request, edit["path"], [{"at": 25.875 + k / 16, "on": "joint"}])
        tried = asked(nearer)
        assert tried.kind != "answer" or said(answered(nearer), "leg-frail")


def test_a_shift_that_would_leave_a_sliver_at_a_wall_is_not_the_cure() -> None:
    """A leg of 31/64 in above: the shifts under 1-1/4 in leave under 1 in at one of the walls."""
    request = room(box("slot", 60, 25.875 + 1 / 64, 14, 20))
    (row,) = said(answered(request), "leg-frail")
    mended = answered(applied(request, row))
    assert not said(mended, "leg-frail")
    assert min(mended["courses"][k]["width"] for k in (0, -1)) >= 1
    (edit,) = row["cure"]
    (aim,) = edit["value"]
    assert abs(aim["at"] - 46.375) == pytest.approx(1.25, abs=1 / 16)


@pytest.mark.parametrize("layer", [{"start": "full_first"}, {"aim": [{"at": 20, "on": "joint"}]}])
def test_courses_that_the_caller_placed_are_not_moved(layer: Request) -> None:
    """Where the caller said how the courses lie, no cure contradicts it."""
    courses = answered(room(**layer))["courses"]
    low = next(row["near"] for row in courses if row["near"] > 40) + 0.5
    (row,) = said(answered(room(box("slot", 60, low, 14, 3), **layer)), "leg-frail")
    assert row["cure"] is None


def test_the_groove_side_needs_more_where_the_groove_is_deep() -> None:
    """Groove 3/8 in: 7/8 in at least. A leg of 13/16 in is frail there, not on the tongue side."""
    low = box("low", 60, 25.875 + 0.8125, 6, 20)
    high = box("high", 100, 40, 6, 46.375 - 0.8125 - 40)
    request = room(low, high)
    request["products"][0]["groove_depth"] = 0.375
    found = said(answered(request), "leg-frail")
    assert [(row["measure"], row["limit"]) for row in found] == [(0.8125, 0.875)]
    assert "low" in found[0]["text"]


def test_holes_with_too_little_board_between_become_one() -> None:
    """10 x 10 and 10 x 12 in, 1/2 in apart: the strip of 1/2 x 10 in goes too."""
    request = room(box("a", 60, 40, 10, 10), box("b", 70.5, 40, 10, 12))
    answer = answered(request)
    (row,) = said(answer, "openings-merged")
    assert (row["at"], row["measure"], row["limit"]) == ("loft.a", 0.5, 0.75)
    assert covered(answer) == pytest.approx(191 * 143 - 100 - 120 - 5, abs=1e-3)
    apart = answered(requests.changed(request, "/surfaces/0/rules/merge_holes", 0))
    assert not said(apart, "openings-merged")
    strip = next(row for row in apart["findings"] if row["code"] == "run-dropped")
    assert strip["measure"] == 0.5
    assert covered(apart) == pytest.approx(191 * 143 - 220 - 0.5 * 5.125, abs=1e-3)


def test_three_holes_in_a_row_are_one_with_one_finding() -> None:
    """Strips of 1/2 and 1/4 in between three of 10 x 10 in: the narrower is named, both go."""
    row = box("a", 60, 40, 10, 10), box("b", 70.5, 40, 10, 10), box("c", 80.75, 40, 10, 10)
    answer = answered(room(*row))
    (one,) = said(answer, "openings-merged")
    assert one["measure"] == 0.25
    assert "2 such strips" in one["text"]
    assert covered(answer) == pytest.approx(191 * 143 - 300 - 7.5, abs=1e-3)


def test_holes_three_quarters_apart_stay_two() -> None:
    answer = answered(room(box("a", 60, 40, 10, 10), box("b", 70.75, 40, 10, 12)))
    assert not said(answer, "openings-merged")


def test_holes_that_meet_at_their_corners_only_stay_two() -> None:
    """1/2 in each way between the corners: there is no strip to cut out."""
    answer = answered(room(box("a", 60, 40, 10, 10), box("b", 70.5, 50.5, 10, 10)))
    assert not said(answer, "openings-merged")
    assert covered(answer) == pytest.approx(191 * 143 - 200, abs=1e-3)


def test_a_merged_hole_is_one_hole_in_a_board() -> None:
    """Two of 6 x 2 in, 1/2 in apart in one course: 12-1/2 in long together, over 12 in."""
    slots = box("a", 60, 27.5, 6, 2), box("b", 66.5, 27.5, 6, 2)
    (row,) = said(answered(room(*slots)), "hole-long")
    assert row["measure"] == 12.5
    assert not said(answered(room(slots[0])), "hole-long")


@st.composite
def pairs(draw: st.DrawFn) -> tuple[Request, float]:
    """A room with two boxes side by side, up to an inch apart, and how far apart they are."""
    low, high = draw(shapes.inches(30, 70)), draw(shapes.inches(30, 70))
    gap = draw(st.integers(1, 16)) / 16
    holes = (box("a", 60, low, 10, 20), box("b", 70 + gap, high, 8, 20))
    return room(*holes, joints="anywhere"), gap


@FEW
@given(pair=pairs())
def test_what_merging_takes_is_the_strip_between_the_facing_edges(
    pair: tuple[Request, float],
) -> None:
    """Area and sticks by readers that know nothing of merging, with the strip as a third hole."""
    request, gap = pair
    a, b = (one["rectangle"] for one in request["surfaces"][0]["openings"])
    low, high = max(a[1], b[1]), min(a[1], b[1]) + 20
    answer = answered(request)
    merged = gap < 0.75 and low < high
    assert bool(said(answer, "openings-merged")) == merged
    if merged:
        strip = box("strip", 70, low, gap, high - low, cut_gap=0)
        request["surfaces"][0]["openings"].append(strip)
    assert tiling.faults(request, answer) == []
    assert verifier.sticks(request, answer) == []
    (layer,) = laid(request, answer)
    whole = tiling.boarded(layer, answer).area
    assert covered(answer) * INCH * INCH == pytest.approx(whole, rel=1e-6)


@FEW
@given(x=shapes.inches(20, 90), y=shapes.inches(10, 60), wide=shapes.inches(3, 40),
       high=shapes.inches(3, 40), name=st.sampled_from(["square", "round"]))  # fmt: skip
def test_every_cure_of_a_frail_leg_cures_it(
    x: float, y: float, wide: float, high: float, name: str
) -> None:
    """With the courses moved no leg is frail, no rip is under the least, and all is tiled."""
    hole: Request = box(name, x, y, wide, high)
    if name == "round":
        hole = {"id": name, "circle": [x + 30, y + 30, high]}
    request = room(hole, box("other", 150, 30, 20, 12))
    frail = said(answered(request), "leg-frail")
    for row in frail[:1]:
        if row["cure"] is not None:
            mended = applied(request, row)
            answer = answered(mended)
            assert not said(answer, "leg-frail")
            assert _smallest_rip(laid(mended, answer)[0], answer) >= INCH
            assert tiling.faults(mended, answer) == []


def _smallest_rip(layer: Layer, answer: Request) -> int:
    spans = reader.course_spans(layer, answer)
    rips = [row["course"] for row in rows(answer, "courses", layer) if row["rip"] != "none"]
    return min((spans[number][1] - spans[number][0] for number in rips), default=ticks(9, "in"))
