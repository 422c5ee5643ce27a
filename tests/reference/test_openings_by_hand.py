"""Openings worked by hand from the trade rules: a hatch in a veranda, a round light (5.2, 5.3).

Common practice; the figures are arithmetic and the chords of a circle.
"""

from __future__ import annotations

from math import sqrt
from typing import Any

import pytest

from tests.strategies import requests
from tests.strategies.asking import answered

Request = dict[str, Any]

STRAY = 0.0005
"""A circle is a ring of 128 edges with its area: its corners stray by 0.02 % of the radius."""


def veranda(**more: Any) -> Request:
    """380 x 122 in, joists at both ends and 16 in apart, boards along it, half an inch of gap."""
    behind = {"direction": 90, "at": [0.75, *range(16, 380, 16), 379.25]}
    return requests.job(requests.room(380, 122, behind=behind, **more), requests.board("20 ft"))


def placed(answer: Request) -> float:
    return sum(row["length"] for row in answer["pieces"])


def test_a_hatch_in_a_veranda_saves_what_it_cuts_in_two_and_no_more() -> None:
    """Two courses are cut in two, two notched with legs of 2-1/4 in: 10 ft saved.

    The area of the hatch says 60 x 16/5.125, 15.6 ft.
    """
    hatch = {"id": "hatch", "rectangle": [160, 53, 60, 16], "cut_gap": 0}
    bare, cut = answered(veranda()), answered(veranda(openings=[hatch]))
    edges = {(row["near"], row["far"]) for row in cut["courses"]}
    assert {(0.5, 4.625), (50.75, 55.875), (55.875, 61), (61, 66.125), (66.125, 71.25)} <= edges
    parted = {row["course"] for row in cut["runs"] if row["from"] == 220 or row["to"] == 160}
    assert {cut["courses"][k - 1]["near"] for k in parted} == {55.875, 61}
    notched = [row for row in cut["pieces"] if row["notches"]]
    assert {(row["near"], row["far"]) for row in notched} == {(50.75, 55.875), (66.125, 71.25)}
    bites = [work for row in notched for work in row["work"] if work["do"] == "notch"]
    assert {work["depth"] for work in bites} == {5.125 - 2.25}
    assert sum(work["length"] for work in bites) == 2 * 60
    assert placed(bare) - placed(cut) == pytest.approx(2 * 60, abs=1e-4)


def test_a_board_that_a_round_hole_cuts_in_two_reaches_to_the_chord_of_its_farther_edge() -> None:
    """Radius 12 in about (96, 61): courses from 51.5 to 72 in, their long points cut to the arc."""
    light = {"id": "light", "circle": [96, 61, 24], "cut_gap": 0}
    answer = answered(requests.job(requests.room(192, 144, openings=[light])))
    for low in (51.5, 56.625, 61.75, 66.875):
        half = sqrt(12**2 - max(abs(low - 61), abs(low + 5.125 - 61)) ** 2)
        (number,) = [row["course"] for row in answer["courses"] if row["near"] == low]
        ends = [(row["from"], row["to"]) for row in answer["runs"] if row["course"] == number]
        assert [ends[0][1], ends[1][0]] == pytest.approx([96 - half, 96 + half], abs=12 * STRAY)
        cut = [row["ends"] for row in answer["pieces"] if row["course"] == number]
        assert sum(end == "shaped" for pair in cut for end in pair) == 2
    notched = {row["near"] for row in answer["pieces"] if row["notches"]}
    assert notched == {46.375, 72.0}
