"""Straps by rules 14.1 to 14.4: where they lie, how they are spliced and fastened.

Lengths and crossings are found again from the outline alone, by another library.
"""

from __future__ import annotations

from itertools import pairwise, product
from math import ceil
from typing import Any

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from service.layout.strap_lines import splices, strap_places
from service.report.printout.columns import set_on
from service.report.printout.courses import courses
from service.report.printout.lengths import Lengths
from tests.strategies.asking import Request, answered, asked, refused
from tests.strategies.budget import FEW, examples

MANY = examples(120)

LATH = {"id": "lath", "form": "lumber", "width": 2.5, "thickness": 0.75}


def strapped(
    outline: list[list[float]], *stock: int, openings: list[Request] | None = None,
    direction: float = 90, **layer: Any,
) -> Request:  # fmt: skip
    """A wall of studs upright (or as sent) with straps alone."""
    surface = {
        "id": "wall", "type": "wall", "outline": outline, "openings": openings or [],
        "supports": {"direction": direction, "first": 8, "spacing": 16},
        "layers": [{"id": "straps", "kind": "strapping", "product": "lath", **layer}],
    }  # fmt: skip
    lengths = [{"length": one} for one in stock or (96, 144)]
    return {"unit": "in", "surfaces": [surface], "products": [LATH | {"stock": lengths}]}


@MANY
@given(
    extent=st.integers(2, 4000), wide=st.integers(1, 60), more=st.integers(0, 300),
    edge=st.integers(0, 60), equal=st.booleans(),
)  # fmt: skip
def test_no_two_straps_are_over_their_spacing_apart(
    extent: int, wide: int, more: int, edge: int, equal: bool
) -> None:
    """First and last at the edge, as few as can be, none on another; bays alike, or full ones.

    The short bay at the end, where it would be under half a bay, shares with the one before.
    """
    spacing, edge = 2 * wide + more, max(edge, -(-wide // 2))
    places = strap_places(extent, spacing, edge, equal=equal)
    if extent - 2 * edge < 2 * edge:
        assert places == [extent // 2]
        return
    assert (places[0], places[-1]) == (edge, extent - edge)
    bays = [b - a for a, b in pairwise(places)]
    assert len(bays) == ceil((extent - 2 * edge) / spacing)
    assert wide <= min(bays) + 1
    assert max(bays) <= spacing
    assert max(bays) - min(bays) <= 1 if equal else set(bays[:-2]) <= {spacing}
    assert equal or len(bays) == 1 or 2 * bays[-1] >= spacing - 1


@MANY
@given(
    low=st.integers(0, 6), high=st.integers(8, 30),
    members=st.sets(st.integers(1, 29), max_size=7).map(sorted),
    longest=st.integers(3, 20), taken=st.sets(st.integers(1, 29), max_size=4),
)  # fmt: skip
def test_straps_are_spliced_as_seldom_as_can_be(
    low: int, high: int, members: list[int], longest: int, taken: set[int]
) -> None:
    """Against every choice of members: fewest on members that are taken, then fewest."""
    inside = [at for at in members if low < at < high]

    def bears(a: int, b: int) -> bool:
        touched = sum(a < at < b for at in inside) + (a in inside) + (b in inside)
        return touched >= 2 or (a, b) == (low, high)

    ways = []
    for chosen in product((False, True), repeat=len(inside)):
        cuts = [at for at, cut in zip(inside, chosen, strict=True) if cut]
        pieces = list(pairwise([low, *cuts, high]))
        if all(b - a <= longest and bears(a, b) for a, b in pieces):
            ways.append((sum(at in taken for at in cuts), len(cuts)))
    found = splices(low, high, members, longest, taken)
    assert (found is None) == (not ways)
    if found is not None:
        assert (sum(at in taken for at in found), len(found)) == min(ways)


OUTLINES = st.sampled_from([
    [[0, 0], [200, 0], [200, 90], [0, 90]],
    [[0, 0], [230, 0], [230, 60], [130, 60], [130, 120], [0, 120]],
    [[0, 0], [180, 0], [180, 100], [90, 150], [0, 100]],
    [[0, 0], [260, 0], [240, 97], [10, 97]],
])  # fmt: skip


@FEW
@given(outline=OUTLINES, spacing=st.sampled_from([12, 16, 20]), doubled=st.booleans())
def test_straps_lie_on_the_wall_and_cross_its_studs(
    outline: list[list[float]], spacing: int, doubled: bool
) -> None:
    """Every strap lies on the wall, none on another; lengths and crossings by the other library."""
    request = strapped(outline, doubled=doubled, rules={"strap_spacing": spacing})
    found = answered(request)
    wall = shapely.Polygon(outline)
    boxes = [
        shapely.Polygon(row["shape"][0]) if row["shape"]
        else shapely.box(row["from"], row["near"], row["to"], row["far"])
        for row in found["pieces"]
    ]  # fmt: skip
    assert all(box.difference(wall.buffer(1e-3)).area < 1e-3 for box in boxes)
    whole = shapely.union_all(boxes).area
    assert whole == pytest.approx(sum(box.area for box in boxes), rel=1e-6)
    studs = [shapely.box(at - 0.75, -1, at + 0.75, 999) for at in range(8, 261, 16)]
    for row, box in zip(found["pieces"], boxes, strict=True):
        met = [box.intersection(stud) for stud in studs if box.intersects(stud)]
        crossed = sum(one.bounds[2] - one.bounds[0] >= 0.5 - 1e-6 for one in met)
        assert row["bearings"] == crossed
    rows = sorted({(row["near"], row["far"]) for row in found["courses"]})
    middles = [(a + b) / 2 for a, b in rows]
    assert all(b - a <= spacing + 1e-6 for a, b in pairwise(middles))
    count = sum(row["count"] for row in found["fasteners"])
    assert count == 2 * sum(row["bearings"] for row in found["pieces"])
    line = next(row for row in found["ledger"] if row["account"] == "installed")
    assert line["length"] == pytest.approx(
        sum(row["to"] - row["from"] for row in found["pieces"]), abs=1e-3
    )


def test_beside_an_opening_a_strap_goes_on_to_the_next_studs() -> None:
    """A window of 40 x 30 in at 75, 33: straps as low and as high as its cut, from stud to stud."""
    window = {"id": "window", "rectangle": [75, 33, 40, 30]}
    found = answered(strapped([[0, 0], [200, 0], [200, 96], [0, 96]], openings=[window]))
    edges = {(row["near"], row["far"]): row["course"] for row in found["courses"]}
    above = edges[63.125, 65.625]
    rows = [(row["from"], row["to"]) for row in found["pieces"] if row["course"] == above]
    assert rows == [(72, 120)]
    # The lines of the field that reached over the window's sides end at the same studs.
    for near in (31.17, 62.33):
        beside = [row for row in found["pieces"] if abs(row["near"] - near) < 0.01]
        assert [(row["from"], row["to"]) for row in beside] == [(0, 72), (120, 200)]
    assert (30.375, 32.875) in edges


def test_boards_bear_on_a_strap_only_as_far_as_it_goes() -> None:
    """Upright boards cross the short strap above the window where it is, and nowhere else."""
    window = {"id": "window", "rectangle": [75, 33, 40, 30]}
    request = strapped([[0, 0], [200, 0], [200, 96], [0, 96]], openings=[window])
    request["surfaces"][0]["layers"].append(
        {"id": "boards", "kind": "boarding", "product": "pine", "direction": 90}
    )
    request["products"].append({
        "id": "pine", "form": "board", "profile": "tongue_and_groove", "overall": 5.375,
        "coverage": 5.125, "thickness": 0.75, "stock": [{"length": 96}],
    })  # fmt: skip
    found = answered(request)
    straps = [row for row in found["pieces"] if row["layer"] == "straps"]
    runs = [row for row in found["runs"] if row["layer"] == "boards" and row["length"] > 90]
    assert {row["course"] for row in runs if row["far"] < 72}
    for row in runs:
        at = (row["near"] + row["far"]) / 2
        assert row["bearings"] == sum(one["from"] <= at <= one["to"] for one in straps)


def rows_of(answer: Request, course: int) -> list[tuple[float, float]]:
    return [(row["from"], row["to"]) for row in answer["pieces"] if row["course"] == course]


def test_under_a_wall_in_the_middle_a_strap_stands_beside_it() -> None:
    """A step at 55 in, from 120 to the right: 94.75 in make 6 bays, a strap at 46-3/4 is too low.

    So one more lies against the step, as long as that, and is numbered between the others.
    """
    answer = answered(strapped([[0, 0], [200, 0], [200, 55], [120, 55], [120, 96], [0, 96]]))
    (step,) = (row for row in answer["courses"] if row["far"] == 55)
    assert (step["course"], step["near"]) == (5, 52.5)
    assert rows_of(answer, 5) == [(120, 200)]


def test_a_strap_is_cut_square_over_its_whole_width_at_a_round_opening() -> None:
    """Of 10 in at 90, 51: sqrt(25 - 1.75 x 1.75) either way of a strap from 46.75 to 49.25."""
    hole = {"id": "pipe", "circle": [90, 51, 10], "cut_gap": 0}
    answer = answered(strapped([[0, 0], [200, 0], [200, 96], [0, 96]], openings=[hole]))
    (low, first), (second, high) = rows_of(answer, 4)
    assert (low, high) == (0, 200)
    assert (first, second) == pytest.approx((85.31649, 94.68351), abs=1e-4)
    assert not any(row["shape"] for row in answer["pieces"])


def test_lines_that_follow_each_other_are_spliced_on_different_studs() -> None:
    """Of 200 in and sticks of 144: one splice a line, on studs at 136 and 120 in turn (14.3)."""
    answer = answered(strapped([[0, 0], [200, 0], [200, 60], [0, 60]]))
    at = [row["at"] for row in answer["joints"]]
    assert at == [136, 120, 136, 120, 136]
    assert [row["course"] for row in answer["joints"]] == [1, 2, 3, 4, 5]


def test_sticks_of_which_there_are_few_do_not_say_where_straps_are_spliced() -> None:
    """Three of 20 ft would give three of five lines whole: all are spliced for 8 ft (14.3)."""
    request = strapped([[0, 0], [200, 0], [200, 60], [0, 60]])
    request["products"][0]["stock"] = [{"length": 96}, {"length": 240, "on_hand": 3}]
    answer = answered(request)
    assert max(row["length"] for row in answer["pieces"]) <= 96
    assert [row["buy"] for row in answer["order"] if row["length"] == 240] == [3]


def test_a_ceiling_drawn_in_plan_has_its_short_bay_at_the_high_side_of_the_drawing() -> None:
    """16 in on centre from the low side as drawn: from below they lie the other way (0.3, 14.1)."""
    request = strapped([[0, 0], [200, 0], [200, 60], [0, 60]], direction=0, lines="module")
    request["surfaces"][0]["layers"][0]["direction"] = 90
    facing, plan = (
        [row["near"] for row in answered(seen)["courses"]]
        for seen in (
            {**request, "surfaces": [request["surfaces"][0] | {"type": "ceiling", "view": view}]}
            for view in ("facing", "plan")
        )
    )
    assert facing[:2] == [0, 16]
    assert plan == pytest.approx([200 - 2.5 - at for at in reversed(facing)])


def test_straps_along_the_studs_are_turned() -> None:
    request = strapped([[0, 0], [200, 0], [200, 90], [0, 90]], direction=90)
    request["surfaces"][0]["layers"][0]["direction"] = 90
    _, (fault,) = refused(request)
    assert fault["code"] == "straps-along-members"
    assert [one["value"] for one in fault["cure"]] == [0]


@FEW
@given(
    width=st.sampled_from([0.5, 2.5, 8]), spacing=st.sampled_from([3, 16, 60]),
    lines=st.sampled_from(["equal", "module"]), first=st.sampled_from([None, 0, 2, 300]),
    size=st.sampled_from([[200, 90], [3, 200], [200, 3], [16.5, 33.1]]), doubled=st.booleans(),
)  # fmt: skip
def test_whatever_is_asked_is_laid_or_refused_by_name(
    width: float, spacing: float, lines: str, first: float | None, size: list[float], doubled: bool
) -> None:
    x, y = size
    request = strapped([[0, 0], [x, 0], [x, y], [0, y]], lines=lines, first=first, doubled=doubled,
                       rules={"strap_spacing": spacing})  # fmt: skip
    request["products"][0]["width"] = width
    found = asked(request)
    assert found.kind in ("answer", "TradeRefused"), found.body


def test_sticks_that_reach_no_second_stud_are_refused() -> None:
    _, (fault,) = refused(strapped([[0, 0], [200, 0], [200, 90], [0, 90]], 12))
    assert fault["code"] == "strap-too-short"


def test_on_paper_every_strap_that_is_not_listed_can_be_found() -> None:
    """Between two that are listed they are as far apart as the line below the table says."""
    window = {"id": "window", "rectangle": [75, 33, 40, 30]}
    found = answered(strapped([[0, 0], [200, 0], [200, 300], [0, 300]], openings=[window]))
    lines = set_on(courses(found["courses"], "strap", "past", Lengths("in")), 80)
    listed = [int(line.split()[0]) for line in lines if line.split()[0].isdigit()]
    assert 2 < len(listed) < len(found["courses"])
    places = {row["course"]: row["near"] for row in found["courses"]}
    for low, high in pairwise(listed):
        steps = [places[k + 1] - places[k] for k in range(low, high)]
        assert max(steps) - min(steps) < 1e-3


@given(
    st.integers(60, 400),
    st.sampled_from(["fewest_joints", "fewest_sticks", "fewest_lengths", "least_length"]),
)
@FEW
def test_no_bound_is_over_what_straps_cost(long: int, objective: str) -> None:
    """Pieces that are only cut have no joints, whatever is counted (8.8)."""
    request = strapped([[0, 0], [200, 0], [200, long], [0, long]]) | {"objective": objective}
    (plan,) = answered(request)["cut_plans"]
    assert 0 <= plan["bound"] <= plan["cost"]
    assert plan["gap_pct"] >= 0


@pytest.mark.parametrize(("direction", "outline", "end"), [
    (0, [[0, 0], [110, 0], [70, 40], [0, 40]], "right"),
    (90, [[0, 0], [40, 0], [40, 70], [0, 110]], "left"),
])  # fmt: skip
def test_straps_at_a_slanted_wall_are_cut_to_its_angle(
    direction: int, outline: list[list[float]], end: str
) -> None:
    """A wall at 45 degrees: a strap of 2-1/2 in is so far behind at its far edge.

    Of straps that stand the top is at the left with the far edge, at the right of the wall, away.
    """
    strap = {"id": "strap", "form": "lumber", "width": 2.5, "thickness": 0.75,
             "stock": [{"length": "10 ft"}]}  # fmt: skip
    area = {"id": "den", "view": "facing", "outline": outline,
            "layers": [{"kind": "strapping", "product": "strap", "direction": direction}],
            "supports": {"direction": 90 - direction, "spacing": 16}}  # fmt: skip
    found = answered({"unit": "in", "surfaces": [area], "products": [strap]})
    assert [row["length"] for row in found["pieces"]] == [110, 97.5, 85, 72.5]
    for row in found["pieces"]:
        (cut,) = row["work"]
        assert (cut["do"], cut["end"], cut["edge"], cut["length"], cut["angle"]) == (
            "angle", end, "near", 2.5, 45,
        )  # fmt: skip
