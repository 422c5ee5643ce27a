"""Equal borders, as large as possible.

Source of the rule: NAVEDTRA 14044, Builder, Advanced, chapter 5 (pattern layout: border pieces
equal and as large as possible). The figures are arithmetic by that rule: remainder plus one
module, halved.
"""

from __future__ import annotations

import pytest

from tests.strategies import requests
from tests.strategies.asking import answered


def first_and_last(span: float, gap: float) -> tuple[int, float, float]:
    """Number of courses, and widths of the outer two."""
    courses = answered(requests.job(requests.room(180, span, rules={"gap": gap})))["courses"]
    return len(courses), courses[0]["width"], courses[-1]["width"]


def test_span_of_144() -> None:
    """Net 143: 27 full leave 4-5/8; 26 full and two rips of 4-7/8."""
    assert first_and_last(144, 0.5) == (28, 4.875, 4.875)


def test_span_of_145_would_leave_a_sliver() -> None:
    """Net 144: 28 full leave 1/2; 27 full and two rips of 2-13/16."""
    assert first_and_last(145, 0.5) == (29, 2.8125, 2.8125)


def test_the_gap_changes_the_board_count() -> None:
    """Without gaps 144 takes 29 courses."""
    assert first_and_last(144, 0)[0] == 29


@pytest.mark.parametrize("span", range(100, 160, 7))
def test_a_balanced_rip_is_between_half_a_face_and_a_face(span: int) -> None:
    """Remainder plus one module, halved, is never under half a module."""
    _, first, last = first_and_last(span, 0.5)
    assert 5.125 / 2 <= first <= 5.125
    assert first == last
