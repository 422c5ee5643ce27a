"""Points along a line, placed one by one: none farther apart than asked, none needless.

The service counts without placing; here every point has its place as a fraction. Rules 18.1, 18.3,
18.5, 18.6, 18.8 and 18.11 are common practice.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from math import cos, radians

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from service.fastening.boards import at_crossing
from service.fastening.caps import along, around, on_line
from service.fastening.panels import Line, rows_across, rows_along
from service.fastening.reach import Need, Ply, Way, blind_entry, needed_length, reach_of, shortest
from service.fastening.spacing import least, points, points_left
from service.units.ticks import INCH
from tests.strategies.budget import examples

MANY = examples(200)
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
@given(length=LENGTHS, pitch=PITCHES, end=ENDS, more=PITCHES)
def test_points_fall_neither_when_a_line_grows_nor_when_they_draw_nearer(
    length: int, pitch: int, end: int, more: int
) -> None:
    """Longer by any amount, or nearer by any: never fewer (18.1)."""
    count = points(length, pitch, end)
    assert points(length + more, pitch, end) >= count
    assert points(length, max(1, pitch - more), end) >= count


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
    assert len(points_left(length, count, end, crossings)) == count - len(taken)


@MANY
@given(perimeter=LENGTHS, pitch=PITCHES, crossed=st.integers(0, 20), end=ENDS)
def test_rows_round_and_along_edges(perimeter: int, pitch: int, crossed: int, end: int) -> None:
    """Round an opening the spaces are as many as the points; a corner is in one row only (18.8)."""
    count = around(perimeter, pitch)
    assert (count - 1) * pitch < perimeter <= count * pitch
    added = rows_along(perimeter, crossed, pitch, end)
    assert added >= 0
    assert crossed + added == max(crossed, points(perimeter, pitch, end))


@st.composite
def ways(draw: st.DrawFn) -> Way:
    """A fastener through up to four plies, square or aslant, into framing or only panels."""
    plies = st.builds(Ply, st.integers(0, 6).map(lambda n: n * QUARTER), st.booleans())
    lean = draw(st.just(0) | st.integers(0, 60))
    carrier = draw(st.sampled_from(["framing", "wood", "panel"]))
    behind = tuple(draw(st.lists(plies, max_size=4)))
    return Way(draw(st.integers(1, 8)) * QUARTER, behind, Fraction(lean), carrier)


def followed(way: Way, length: int) -> tuple[float, float]:
    """Shank in framing, and in framing and wood plies: followed from ply to ply."""
    slant = cos(radians(way.lean))
    left, wood = length - way.entry / slant, 0.0
    for ply in way.behind:
        wood += max(0.0, min(left, ply.thickness / slant)) if ply.wood else 0.0
        left -= ply.thickness / slant
    framing = 0.0 if way.carrier == "panel" else max(0.0, left)
    return framing, wood + framing


@MANY
@given(way=ways(), length=LENGTHS)
@example(way=Way(INCH // 2, (Ply(INCH // 2, wood=True),), Fraction(45)), length=5 * INCH // 2)
def test_a_shank_is_followed_from_ply_to_ply(way: Way, length: int) -> None:
    """What lies in framing and in wood; the point's depth is the hold's share square to it."""
    found = reach_of(length, way)
    assert (found.framing, found.wood) == pytest.approx(followed(way, length), abs=8)
    assert found.hold == (found.framing if way.carrier == "framing" else found.wood)
    assert found.depth == pytest.approx(found.hold * cos(radians(way.lean)), abs=1)


@MANY
@given(own=st.lists(ways(), min_size=1, max_size=2), wood=PITCHES, framing=ENDS)
def test_the_needed_length_just_holds(own: list[Way], wood: int, framing: int) -> None:
    """It holds on every way, and a little less does not; where none would, no length does."""
    need = Need(wood, framing)
    length = needed_length(own, need)
    if length is None:
        far = [reach_of(100 * INCH, way) for way in own]
        assert any(one.wood < wood or one.framing < framing for one in far)
        assert shortest([100 * INCH], own, need) is None
        return
    assert shortest([length + 1, length, length - 1], own, need) == length
    assert shortest([length - 1], own, need) is None
    reached = [reach_of(length, way) for way in own]
    assert all(one.wood >= wood and one.framing >= framing for one in reached)
    short = [reach_of(length - 8, way) for way in own]
    assert any(one.wood < wood or one.framing < framing for one in short)


@pytest.mark.parametrize("quarters", [1, 2, 3, 4, 5])
def test_a_tongue_is_a_third_in_the_middle(quarters: int) -> None:
    """It begins at half the board and half of itself: 1/2 in of 3/4 in (18.11)."""
    board = Fraction(quarters * QUARTER)
    assert abs(blind_entry(int(board)) - (board / 2 + board / 3 / 2)) <= Fraction(1, 2)


def driven(pattern: str, where: str, width: int) -> tuple[int, int]:
    """Hidden and seen fasteners of a board at a bearing, as 18.3 says it."""
    by_width = 1 + (width > 4 * INCH) + (width > 8 * INCH)
    hidden = pattern in ("blind", "blind_face") and where != "last"
    seen = {
        "face": by_width,
        "lap": 1 + (where == "last"),
        "blind_face": 1 if hidden else 2,
        "blind": int(where == "first") if hidden else min(2, by_width),
    }
    return int(hidden), seen[pattern]


@pytest.mark.parametrize(
    ("pattern", "where"),
    list(product(["blind", "blind_face", "face", "lap"], ["first", "field", "last"])),
)
def test_every_pattern_at_every_place(pattern: str, where: str) -> None:
    """A face nail up to 4 in of width, two up to 8 in, three beyond (common practice)."""
    for width in (INCH, 4 * INCH, 4 * INCH + 1, 5 * INCH, 8 * INCH, 8 * INCH + 1):
        found = at_crossing(pattern, where, width)
        assert (found.blind, found.face) == driven(pattern, where, width)
        faced = found.without_tongue()
        assert (faced.blind, faced.face) == (0, found.blind + found.face)


def test_a_narrow_rip_has_one_however_many_are_asked() -> None:
    """Under 2 in (18.3)."""
    counts = [at_crossing("face", "field", width, 3).face for width in (2 * INCH - 1, 2 * INCH)]
    assert counts == [1, 3]


def test_a_piece_under_four_inches_may_have_one() -> None:
    assert (least(4 * INCH - 1), least(4 * INCH)) == (1, 2)
