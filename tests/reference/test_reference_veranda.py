"""The reference veranda of the trade rules, worked by hand arithmetic; not a published source.

122 x 380 in; members 1-1/2 in thick along the 122, at 16 on centre along the 380: 25 lines at
0.75, 16, 32 ... 368, 379.25. Board 5-3/8 over all, coverage 5-1/8, 3/4 thick; gap 1/2.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.independent import reader, tiling, verifier
from tests.independent.asked import layers
from tests.strategies import requests
from tests.strategies.asking import answered

Request = dict[str, Any]

LINES = [0.75, *range(16, 369, 16), 379.25]


def veranda(*lengths: Any, width: float = 122, **layer: Any) -> Request:
    """The veranda, boards along the 380."""
    behind = {"direction": 90, "at": LINES, "thickness": 1.5}
    return requests.job(
        requests.room(380, width, behind=behind, layer=layer, rules={"end_trim": 0.5}),
        requests.board(*lengths),
    )


def test_twenty_five_lines_from_first_and_spacing() -> None:
    """16 on centre and one against each end is the same as the positions written out."""
    spaced = {"direction": 90, "spacing": 16, "first": 16, "ends": True, "thickness": 1.5}
    whole = veranda("20 ft")
    written = answered(whole)
    other = answered(requests.changed(whole, "/surfaces/0/supports", spaced))
    assert {row["bearings"] for row in written["runs"]} == {25}
    assert written["pieces"] == other["pieces"]


@pytest.mark.parametrize(
    ("start", "count", "first", "last"),
    [
        ("balanced", 24, 4.125, 4.125),
        ("full_first", 24, 5.125, 3.125),
        ("balanced_narrow", 25, 1.5625, 1.5625),
    ],
)
def test_the_three_alternatives(start: str, count: int, first: float, last: float) -> None:
    """121 over 5-1/8: 23 full leave 3-1/8. Each is offered, and laid when it is asked for."""
    ways = answered(veranda("20 ft"))["alternatives"]
    assert (start, count, first, last) in {
        (row["start"], row["courses"], row["first"], row["last"]) for row in ways
    }
    courses = answered(veranda("20 ft", start=start))["courses"]
    assert (len(courses), courses[0]["width"], courses[-1]["width"]) == (count, first, last)


def test_676_fasteners_with_one_joint_a_course() -> None:
    """26 touches a course: 23 x 26 blind, the first course faced too, the last faced twice.

    The fewest joints are asked for: the least length would take more joints for fewer sticks.
    """
    answer = answered(veranda("20 ft") | {"objective": "fewest_joints"})
    assert len(answer["joints"]) == 24
    assert len(answer["pieces"]) == 48
    by_place: dict[str, int] = {}
    for row in answer["fasteners"]:
        by_place[row["place"]] = by_place.get(row["place"], 0) + row["count"]
    assert by_place == {"blind": 598, "face": 78}


def test_829_feet_by_the_flat_rule() -> None:
    """122 x 380 in over 5-1/8 in, and 10 % on top."""
    (row,) = answered(veranda("8 ft", "12 ft", "16 ft"))["compared"]
    assert round(row["would_order"] / 12) == 829


@pytest.mark.parametrize(("feet", "least"), [(8, 5), (10, 4), (12, 3), (14, 3), (16, 3), (20, 2)])
def test_least_pieces_of_one_run(feet: int, least: int) -> None:
    """A run of 379 in from one stock length, 1/2 in trimmed off each end, joints on members."""
    request = veranda(f"{feet} ft", width=6.125) | {"objective": "fewest_joints"}
    answer = answered(request)
    assert len(answer["pieces"]) == least
    assert verifier.faults(request, answer) == []


def test_an_opening_cuts_two_courses_and_notches_two() -> None:
    """A hole at u 160-220, v 53-69: two courses notched with legs of 2-1/4, two cut in two."""
    hole = {"id": "hatch", "rectangle": [160, 53, 60, 16], "cut_gap": 0}
    request = requests.changed(veranda("8 ft", "16 ft"), "/surfaces/0/openings", [hole])
    answer = answered(request)
    parts = [
        sum(run["course"] == row["course"] for run in answer["runs"]) for row in answer["courses"]
    ]
    assert parts.count(2) == 2
    assert parts.count(1) == 22
    split = [row["near"] for row, count in zip(answer["courses"], parts, strict=True) if count == 2]
    assert split == [55.875, 61.0]
    notched = {row["course"] for row in answer["pieces"] if row["notches"]}
    assert [answer["courses"][course - 1]["near"] for course in sorted(notched)] == [50.75, 66.125]
    assert verifier.faults(request, answer) == tiling.faults(request, answer) == []


def test_the_whole_veranda_closes() -> None:
    """Joints, sticks, tiling and the sum of the ledger."""
    request = veranda("8 ft", "10 ft", "12 ft", "14 ft", "16 ft")
    answer = answered(request)
    assert verifier.faults(request, answer) == tiling.faults(request, answer) == []
    booked = reader.booked(answer, "pine")
    assert sum(booked.values()) == reader.bought_twice(request, answer, "pine")
    assert layers(request)[0].pattern == "blind"
