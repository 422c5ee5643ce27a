"""Edges are called on paper by what they lie beside, or by where they lie."""

from __future__ import annotations

from typing import Any

import pytest

from service.report.printout.lengths import Lengths
from service.report.printout.sides import edge_of
from tests.property.test_soffits import printed
from tests.strategies import kinds

Row = dict[str, Any]

OUTLINE = [[10.0, 0.0], [130.0, 0.0], [130.0, 60.0], [106.0, 84.0], [82.0, 84.0], [82.0, 48.0],
           [58.0, 48.0], [58.0, 84.0], [10.0, 84.0]]  # fmt: skip
"""Seen from the front: 10 ft wide and 7 ft high, a corner cut off, and a notch in the top."""


def called(number: int, away: float = 0.0, outline: list[list[float]] = OUTLINE) -> str:
    """What edge `number` is called; the strip lies so far inside an edge that runs level."""
    (x, y), (u, v) = outline[number], outline[(number + 1) % len(outline)]
    up = away if u > x else -away
    strip = {"from": [x, y + up], "to": [u, v + up], "from_edge": away or None, "edges": [number]}
    surface = {"outline": outline, "beside": []}
    return edge_of(strip, surface, Lengths("in"))


@pytest.mark.parametrize(("number", "words"), [
    (0, "bottom edge"), (1, "right edge"), (8, "left edge"),
    (2, 'slanting edge from 8\' 0" in, 7\' 0" up to 10\' 0" in, 5\' 0" up'),
    (3, 'top edge, 6\' 0" to 8\' 0"'), (7, 'top edge, 0" to 4\' 0"'),
    (4, 'edge 6\' 0" in'), (5, 'edge 4\' 0" up'), (6, 'edge 4\' 0" in'),
])  # fmt: skip
def test_an_edge_is_called_by_where_it_lies(number: int, words: str) -> None:
    assert called(number) == words


def test_what_overhangs_lies_so_far_past_its_edge() -> None:
    """The edge's own name where it has one; of an edge of three lengths none."""
    deck = [[0.0, 0.0], [240.0, 0.0], [240.0, 144.0], [0.0, 144.0]]
    garden = {"from": deck[0], "to": deck[1], "beside": "garden"}
    for strip, beside, words in (
        ([[240.0, -1.25], [0.0, -1.25]], [], '1-1/4" past the bottom edge'),
        ([[0.0, 145.25], [240.0, 145.25]], [], '1-1/4" past the top edge'),
        ([[-2.0, 0.0], [-2.0, 144.0]], [garden], '2" past the left edge'),
        ([[240.0, -1.25], [0.0, -1.25]], [garden], '1-1/4" past "garden"'),
    ):
        row = {"from": strip[0], "to": strip[1], "from_edge": 0.0}
        assert edge_of(row, {"outline": deck, "beside": beside}, Lengths("in")) == words


def test_a_strip_midway_between_two_edges_is_along_its_own() -> None:
    """Of a soffit 22 in wide with a strip 11 in from either side."""
    soffit = [[0.0, 0.0], [240.0, 0.0], [240.0, 22.0], [0.0, 22.0]]
    assert called(0, 11.0, soffit) == "bottom edge"
    assert called(2, 11.0, soffit) == "top edge"


def test_a_course_that_reaches_past_its_edge_is_told_to() -> None:
    """At an outside corner the first course laps the end of the other wall: no gap is left."""
    (file,) = kinds.files("examples", "wainscot.json")
    paper = " ".join(printed(kinds.request_of(file)).split())
    assert 'Let the first course reach 5/8" past the edge' in paper
    assert 'Let the first course reach 3/4" past the edge: course 1 lies from 7\' 0-3/4"' in paper
    assert 'Leave 1/2" at the wall: course 1 lies from 1/2" to 2-1/2"' in paper
    assert "edge 0" not in paper
