"""Points along a line, placed one by one: none farther apart than asked, none needless.

The service counts without placing; here every point has its place as a fraction. Rules 18.1, 18.3,
18.5, 18.6, 18.8 and 18.11 are common practice.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from math import cos, radians

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from service.fastening.boards import at_crossing
from service.fastening.caps import along, around, on_line
from service.fastening.panels import Line, rows_across, rows_along
from service.fastening.reach import blind_reach, face_reach, needed_length, shortest
from service.fastening.spacing import least, points, points_left
from service.units.ticks import INCH
from tests.strategies.budget import LAW

MANY = settings(LAW, max_examples=200)
"""No answer is computed here, so many examples cost little."""

QUARTER = INCH // 4
LENGTHS = (st.integers(1, 9) | st.integers(1, 48) | st.integers(1, 400)).map(
    lambda quarters: quarters * QUARTER
)
PITCHES = st.integers(4, 64).map(lambda quarters: quarters * QUARTER)
ENDS = st.integers(0, 12).map(lambda quarters: quarters * QUARTER)
EDGES = st.integers(-2, 50) | st.integers(-20, 420)
SPANS = st.lists(
    st.tuples(EDGES, EDGES).map(lambda span: (min(span) * QUARTER, max(span) * QUARTER)),
    max_size=3,
)


def placed(length: int, count: int, end: int) -> list[Fraction]:
    """Where `count` points lie: the outer two `end` from the ends or at a quarter, one midway."""
    if count == 1:
        return [Fraction(length, 2)]
    first = min(end, length // 4)
    return [first + Fraction((length - 2 * first) * k, count - 1) for k in range(count)]


@MANY
@given(length=LENGTHS, pitch=PITCHES, end=ENDS)
@example(length=2 * INCH, pitch=8 * INCH, end=0)
@example(length=2 * INCH - 1, pitch=8 * INCH, end=0)
@example(length=8 * INCH, pitch=8 * INCH, end=3 * INCH)
def test_points_are_as_few_as_keep_the_pitch(length: int, pitch: int, end: int) -> None:
    """One less, of at least two, would leave a wider gap; under 2 in there is one (18.1)."""
    count = points(length, pitch, end)
    assert (count == 1) == (length < 2 * INCH)
    if count > 1:
        own = placed(length, count, end)
        assert own[1] - own[0] <= pitch
        assert count == 2 or (own[-1] - own[0]) / (count - 2) > pitch
    assert along(length, pitch, end) == count
    assert rows_across(Line((length, length), False), pitch, end) == 2 * count


@MANY
@given(length=LENGTHS, pitch=PITCHES, end=ENDS, spans=SPANS)
@example(length=96 * INCH, pitch=12 * INCH, end=0, spans=[(24 * INCH, 60 * INCH)])
@example(length=96 * INCH, pitch=12 * INCH, end=0, spans=[(0, 96 * INCH)])
@example(length=96 * INCH, pitch=12 * INCH, end=3 * INCH, spans=[(2 * INCH, 4 * INCH)])
@example(length=96 * INCH, pitch=12 * INCH, end=3 * INCH, spans=[(92 * INCH, 96 * INCH)])
@example(length=INCH, pitch=12 * INCH, end=0, spans=[(0, INCH), (0, QUARTER)])
@example(length=INCH, pitch=12 * INCH, end=0, spans=[(INCH // 2, INCH)])
@example(length=6 * QUARTER, pitch=12 * INCH, end=0, spans=[(2 * QUARTER, 6 * QUARTER)])
@example(length=6 * QUARTER, pitch=12 * INCH, end=0, spans=[(0, 3 * QUARTER)])
@example(length=8 * INCH, pitch=4 * INCH, end=3 * INCH, spans=[(7 * QUARTER, 9 * QUARTER)])
def test_caps_on_a_member_are_those_in_no_span(
    length: int, pitch: int, end: int, spans: list[tuple[int, int]]
) -> None:
    """Each cap placed and held against each span; on a span's edge it stays (18.8)."""
    own = placed(length, points(length, pitch, end), end)
    kept = [at for at in own if not any(low < at < high for low, high in spans)]
    assert on_line(length, pitch, end, spans) == len(kept)


@MANY
@given(length=LENGTHS, count=st.integers(1, 9), end=ENDS,
       crossings=st.lists(st.integers(-8, 408).map(lambda n: n * QUARTER), max_size=6))  # fmt: skip
@example(length=40 * INCH, count=5, end=0, crossings=[5 * INCH, 15 * INCH])
@example(length=40 * INCH, count=5, end=0, crossings=[10 * INCH])
@example(length=8 * INCH, count=2, end=3 * INCH, crossings=[4 * INCH])
@example(length=40 * INCH, count=2, end=0, crossings=[15 * INCH, 25 * INCH])
@example(length=16 * INCH, count=3, end=6 * INCH, crossings=[23 * QUARTER, 8 * INCH])
@example(length=16 * INCH, count=3, end=6 * INCH, crossings=[4 * INCH, 26 * QUARTER])
def test_a_crossing_takes_the_place_of_the_nearest_point(
    length: int, count: int, end: int, crossings: list[int]
) -> None:
    """The lower of two as near; several crossings may take the same (18.5)."""
    own = placed(length, count, end)
    taken = {min(range(count), key=lambda k: (abs(own[k] - at), k)) for at in crossings}
    assert points_left(length, count, end, crossings) == count - len(taken)


@MANY
@given(perimeter=LENGTHS, pitch=PITCHES, crossed=st.integers(0, 20), end=ENDS)
def test_rows_round_and_along_edges(perimeter: int, pitch: int, crossed: int, end: int) -> None:
    """Round an opening the spaces are as many as the points; a corner is in one row only (18.8)."""
    count = around(perimeter, pitch)
    assert (count - 1) * pitch < perimeter <= count * pitch
    added = rows_along(perimeter, crossed, pitch, end)
    assert added >= 0
    assert crossed + added == max(crossed, points(perimeter, pitch, end))


@MANY
@given(board=st.integers(1, 8).map(lambda n: n * QUARTER), behind=ENDS, needed=PITCHES,
       lean=st.none() | st.integers(0, 60).map(Fraction))  # fmt: skip
def test_the_needed_length_just_holds(
    board: int, behind: int, needed: int, lean: Fraction | None
) -> None:
    """It holds by the face and aslant, and a tick less does not (18.11)."""
    length = needed_length(board, behind, lean, needed)
    assert shortest([length + 1, length, length - 1], board, behind, lean, needed) == length
    assert shortest([length - 1], board, behind, lean, needed) is None
    faced = face_reach(length, board, behind)
    assert faced.depth == faced.hold == length - board - behind
    if lean is not None:
        slant = cos(radians(lean))
        aslant = blind_reach(length, board, behind, lean)
        assert aslant.hold + (board / 2 + behind) / slant == pytest.approx(length, abs=1)
        assert aslant.depth == pytest.approx(aslant.hold * slant, abs=1)
        assert min(aslant.hold, faced.hold) == needed


def driven(pattern: str, where: str, width: int, tongue: bool) -> tuple[int, int]:
    """Hidden and seen fasteners of a board at a bearing, as 18.3 says it."""
    by_width = 1 + (width > 4 * INCH) + (width > 6 * INCH)
    hidden = pattern != "face" and where != "last" and tongue
    seen = {
        "face": by_width,
        "blind_face": 1 if hidden else 2,
        "blind": int(where == "first") if hidden else min(2, by_width),
    }
    return int(hidden), seen[pattern]


@pytest.mark.parametrize(
    ("pattern", "where", "tongue"),
    list(product(["blind", "blind_face", "face"], ["first", "field", "last"], [True, False])),
)
def test_every_pattern_at_every_place(pattern: str, where: str, tongue: bool) -> None:
    """A face nail up to 4 in of width, two up to 6 in, three beyond (common practice)."""
    for width in (4 * INCH, 4 * INCH + 1, 5 * INCH, 6 * INCH, 6 * INCH + 1):
        found = at_crossing(pattern, where, width, tongue)  # type: ignore[arg-type]
        assert (found.blind, found.face) == driven(pattern, where, width, tongue)


def test_a_piece_under_four_inches_may_have_one() -> None:
    assert (least(4 * INCH - 1), least(4 * INCH)) == (1, 2)
