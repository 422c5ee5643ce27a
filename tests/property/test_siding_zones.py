"""Lapped siding in zones: courses begin at given lines, exposures equal in each zone (3.15).

The least spread of exposures is looked for a second way: by trying every number of courses.
"""

from __future__ import annotations

import itertools
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.independent.json_patch import patched
from tests.strategies import shapes, transforms
from tests.strategies.asking import answered, refused
from tests.strategies.budget import FEW, LAW
from tests.strategies.requests import board, changed, job, room

Request = dict[str, Any]

LINES = "/surfaces/0/layers/0/course_lines"


def siding(height: float, lines: list[float], most: float = 6.0, **layer: Any) -> Request:
    """A wall of lapped boards, bare at its edges and without a gap."""
    area = room(120, height, type="wall", layer={
        "course_lines": lines, "edges": "bare", "rules": {"gap": 0}, **layer,
    })  # fmt: skip
    lapped = board("12 ft", cover=most, overall=most + 1.25, profile="lapped", thickness=0.5)
    return job(area, lapped)


def brute(heights: list[float], least: float, most: float) -> tuple[float, int] | None:
    """The least spread of exposures, and of those the fewest courses."""
    ways = [[n for n in range(1, 80) if least - 1e-9 <= height / n <= most + 1e-9]
            for height in heights]  # fmt: skip
    found = [
        (round(max(shows) - min(shows), 6), sum(counts))
        for counts in itertools.product(*ways)
        for shows in [[height / n for height, n in zip(heights, counts, strict=True)]]
    ]
    return min(found, default=None)


def heights_of(request: Request) -> list[float]:
    (area,) = request["surfaces"]
    lines = sorted(set(area["layers"][0]["course_lines"]))
    return [b - a for a, b in itertools.pairwise([0, *lines, area["rectangle"][1]])]


@st.composite
def zoned(draw: st.DrawFn) -> Request:
    sizes = draw(st.lists(shapes.inches(8, 50), min_size=2, max_size=3))
    lines = list(itertools.accumulate(sizes))
    rules = {"gap": 0, "least_exposure": draw(st.sampled_from([3.5, 4.5, 5]))}
    return siding(lines[-1], lines[:-1], draw(st.sampled_from([6, 6.25, 8])), rules=rules)


@LAW
@given(request=zoned())
def test_exposures_have_the_least_spread_and_courses_begin_at_the_lines(request: Request) -> None:
    layer, (product,) = request["surfaces"][0]["layers"][0], request["products"]
    least, most = layer["rules"]["least_exposure"], product["coverage"]
    best = brute(heights_of(request), least, most)
    if best is None:
        assert refused(request)[1][0]["code"] == "zone-unfilled"
        return
    rows = answered(request)["courses"]
    shows = [row["width"] for row in rows]
    spread, count = best
    assert (max(shows) - min(shows), len(rows)) == (pytest.approx(spread, abs=1e-4), count)
    for line in layer["course_lines"]:
        assert any(row["near"] == pytest.approx(line, abs=1e-4) for row in rows)
    assert all(least - 1e-4 <= show <= most + 1e-4 for show in shows)
    assert sum(shows) == pytest.approx(sum(heights_of(request)), abs=1e-3)


@FEW
@given(request=zoned(), turn=st.integers(0, 2))
def test_the_order_of_lines_changes_nothing_nor_do_millimetres(request: Request, turn: int) -> None:
    lines = request["surfaces"][0]["layers"][0]["course_lines"]
    turned = changed(request, LINES, lines[turn % len(lines) :] + lines[: turn % len(lines)])
    if brute(heights_of(request), request["surfaces"][0]["layers"][0]["rules"]["least_exposure"],
             request["products"][0]["coverage"]) is None:  # fmt: skip
        return
    one, other = answered(request), answered(turned)
    assert one["courses"] == other["courses"]
    metric = transforms.in_millimetres(request)
    metric["surfaces"][0]["layers"][0]["course_lines"] = [line * 25.4 for line in lines]
    widths = [row["width"] for row in answered(metric)["courses"]]
    assert [row["width"] * 25.4 for row in one["courses"]] == pytest.approx(widths, abs=0.01)


def test_sill_at_thirty_and_head_at_eighty_by_hand() -> None:
    """101 in of siding that may show 6-1/4: zones of 30, 50 and 21 in, at least 5 in each.

    30 is 5 x 6 or 6 x 5; 50 is 8 x 6-1/4, 9 x 5.556 or 10 x 5; 21 is 4 x 5-1/4. The least spread
    is 1/4 in: 6, 10 and 4 courses.
    """
    answer = answered(siding(101, [30, 80], 6.25, rules={"gap": 0, "least_exposure": 5}))
    shows = [row["width"] for row in answer["courses"]]
    assert (shows.count(5), shows.count(5.25), len(shows)) == (16, 4, 20)
    (told,) = (row for row in answer["findings"] if row["code"] == "exposures-by-zone")
    assert told["measure"] == 0.25


def test_each_crossing_has_one_nail_and_the_top_edge_two() -> None:
    """Studs at 16 ... 112 in: 7 a course, clear of the board beneath; the last is nailed twice."""
    answer = answered(siding(24, [12], 6, fastening={"pattern": "lap"}, joints="anywhere"))
    assert len(answer["courses"]) == 4
    nails = {row["where"]: row["count"] for row in answer["fasteners"]}
    crossings = [row["bearings"] for row in answer["pieces"]]
    assert nails["last"] == 2 * crossings[-1]
    assert nails["first"] + nails["field"] == sum(crossings[:-1])


def test_a_zone_of_no_course_and_lines_of_other_boards_are_refused() -> None:
    """A sill 3 in up is lower than the least that a board shows."""
    kind, (fault, *_) = refused(siding(40, [3]))
    assert (kind, fault["code"], fault["pointer"]) == ("TradeRefused", "zone-unfilled", LINES)
    matched = siding(40, [20])
    matched["products"] = [board("12 ft")]
    assert refused(matched)[1][0]["code"] == "lines-need-lapped"


@pytest.mark.parametrize("start", [None, "equal", "full_first"])
def test_a_strip_over_a_door_is_cured_by_a_course_that_begins_there(start: str | None) -> None:
    """Of 102 in 17 courses show 6: one ends at 78, 1/2 in over a head at 77-1/2, under 1 in.

    With a course that begins there no board is ripped, and none shows less than 3/4 of 6 in.
    """
    request = siding(102, [], start=start)
    del request["surfaces"][0]["layers"][0]["course_lines"]
    door = {"id": "door", "rectangle": [40, 0, 36, 77.5], "cut_gap": 0}
    request["surfaces"][0]["openings"] = [door]
    (fault,) = refused(request)[1]
    assert (fault["code"], fault["measure"]) == ("rip-too-small", 0.5)
    assert {"op": "add", "path": LINES, "value": [77.5]} in fault["cure"]
    rows = answered(patched(request, fault["cure"]))["courses"]
    assert {row["rip"] for row in rows} == {"none"}
    assert min(row["width"] for row in rows) >= 4.5
    assert 77.5 in [row["near"] for row in rows]


@pytest.mark.parametrize(("side", "door", "strip"), [
    ("low", [40, 0, 30, 30], (0, 1.5)), ("high", [40, 10, 30, 30], (38.5, 40)),
])  # fmt: skip
def test_a_starter_strip_lies_behind_the_edge_of_the_first_course_alone(
    side: str, door: list[float], strip: tuple[float, float]
) -> None:
    """A wall of 120 in, a door of 30 in at its start: 40 and 50 in of lath on that edge (3.15)."""
    request = siding(40, [20], starter="lath", start_side=side)
    request["products"].append({"id": "lath", "form": "lumber", "width": 1.5, "thickness": 0.375,
                                "stock": [{"length": 96}]})  # fmt: skip
    request["surfaces"][0]["openings"] = [{"id": "door", "rectangle": door, "cut_gap": 0}]
    answer = answered(request)
    laths = [row for row in answer["pieces"] if row["product"] == "lath"]
    assert [(row["from"], row["to"]) for row in laths] == [(0, 40), (70, 120)]
    assert {tuple(sorted((row["near"], row["far"]))) for row in laths} == {strip}
    first = answer["courses"][0]
    assert strip[0] >= min(first["near"], first["far"])
    assert strip[1] <= max(first["near"], first["far"])
    (placed,) = (row for row in answer["ledger"] if (row["product"], row["account"])
                 == ("lath", "installed"))  # fmt: skip
    assert placed["length"] == 90


def test_lines_of_a_wall_drawn_in_plan_are_measured_in_its_drawing() -> None:
    """Upright boards that begin again 26 in from its left: 26 from the right as seen (0.3)."""
    request = siding(40, [26], direction=90, blocks=True)
    facing, plan = (
        sorted(
            row["near"] for row in answered(changed(request, "/surfaces/0/view", view))["courses"]
        )
        for view in ("facing", "plan")
    )
    assert 26 in facing
    assert 94 in plan
    assert 26 not in plan
