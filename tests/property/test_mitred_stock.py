"""Pieces with mitred ends, laid edge by edge, against trying every order, way and stick."""

from __future__ import annotations

from collections import Counter
from functools import cache
from itertools import permutations, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Need, Stock
from service.cutting.sticks.mitred import Mitred, Moves, extent, mitred_plan, shortest
from service.cutting.sticks.solve import solve
from tests.strategies.budget import LAW

KERF = 2
STOCKS = (Stock("0", 96, 96, 8), Stock("1", 144, 144, 12), Stock("2", 60, 60, 5, supply=1))
ENDS = st.sampled_from([-6, 0, 6])
PIECES = st.builds(Mitred, st.integers(14, 60), ENDS, ENDS)
MOVES = st.builds(Moves, st.booleans(), st.booleans(), st.booleans())


def near_edge(piece: Mitred) -> int:
    """Length of the near edge: the far one runs from `low` to this and `high`."""
    for along in range(piece.length + 2 * 6 + 1):
        ends = (0, piece.low, along, along + piece.high)
        if max(ends) - min(ends) == piece.length and along >= 0:
            return along
    raise AssertionError(piece)


def ways(piece: Mitred, moves: Moves) -> set[tuple[int, int, int]]:
    """(near edge, low, high) of a piece and of its mirror images that are allowed.

    Turned, the far edge comes near; rolled, the edges change places; flipped, the ends.
    """
    near, low, high = near_edge(piece), piece.low, piece.high
    far = near + high - low
    found = {(near, low, high)}
    for turn, roll, flip in product((False, True), repeat=3):
        # Several moves one after the other are allowed too.
        if (turn and not moves.turn) or (roll and not moves.roll) or (flip and not moves.flip):
            continue
        one = (near, far, low, high)
        if turn:
            one = (one[1], one[0], one[3], one[2])
        if roll:
            one = (one[1], one[0], -one[2], -one[3])
        if flip:
            one = (one[0], one[1], -one[3], -one[2])
        found.add((one[0], one[2], one[3]))
    return found


def least_extent(pieces: tuple[Mitred, ...], moves: Moves) -> int:
    """By trying every order and every way."""
    best = 10**9
    for order in set(permutations(pieces)):
        for chosen in product(*(ways(piece, moves) for piece in order)):
            near, far = -KERF, -KERF
            for along, low, high in chosen:
                at = max(near + KERF, far + KERF - low, 0, -low)
                near, far = at + along, at + along + high
            best = min(best, max(near, far))
    return best


@LAW
@given(pieces=st.lists(PIECES, min_size=1, max_size=4), moves=MOVES)
def test_the_shortest_order_is_the_shortest_of_all(pieces: list[Mitred], moves: Moves) -> None:
    """Every order and way laid edge by edge, with the saw cuts between."""
    found = shortest(tuple(pieces), moves)
    assert Counter(min(moves.ways(one)) for one in found) == Counter(
        min(moves.ways(one)) for one in pieces
    )
    assert extent(found, KERF) == least_extent(tuple(pieces), moves)


def least_cost(pieces: tuple[Mitred, ...], moves: Moves) -> int | None:
    """Cheapest sticks over every way of putting pieces together."""

    @cache
    def length(chosen: tuple[Mitred, ...]) -> int:
        return least_extent(chosen, moves)

    @cache
    def least(left: tuple[Mitred, ...], short: int) -> int:
        if not left:
            return 0
        best = 10**9
        for picks in product((False, True), repeat=len(left) - 1):
            own = (left[0], *(one for one, pick in zip(left[1:], picks, strict=True) if pick))
            if sum(one.length - 6 for one in own) > 144:
                continue
            rest = tuple(one for one, pick in zip(left[1:], picks, strict=True) if not pick)
            taken = length(tuple(sorted(own)))
            for number, stock in enumerate(STOCKS):
                if stock.usable >= taken and not (number == 2 and short == 0):
                    best = min(best, stock.cost + least(rest, short - (number == 2)))
        return best

    cost = least(tuple(sorted(pieces)), 1)
    return None if cost == 10**9 else cost


@LAW
@given(pieces=st.lists(PIECES, min_size=1, max_size=5), moves=MOVES)
def test_bound_and_cost_lie_round_the_least_cost(pieces: list[Mitred], moves: Moves) -> None:
    """All sets, orders and ways are tried; sticks hold each piece once and fit, edge by edge."""
    made = mitred_plan(STOCKS, Counter(pieces), KERF, moves, EFFORTS["standard"])
    best = least_cost(tuple(pieces), moves)
    assert made is not None
    assert best is not None
    assert made.bound <= best == made.cost
    held = [one for stick in made.sticks for one in stick.pieces]
    assert Counter(min(moves.ways(one)) for one in held) == Counter(
        min(moves.ways(one)) for one in pieces
    )
    assert sum(stick.stock == 2 for stick in made.sticks) <= 1
    for stick in made.sticks:
        near, far = -KERF, -KERF
        for piece in stick.pieces:
            at = max(near + KERF, far + KERF - piece.low, 0, -piece.low)
            near, far = at + near_edge(piece), at + near_edge(piece) + piece.high
        assert max(near, far) <= STOCKS[stick.stock].usable


@LAW
@given(pieces=st.lists(PIECES, min_size=20, max_size=40), moves=MOVES)
def test_mitred_pieces_never_cost_more_than_their_full_extents(
    pieces: list[Mitred], moves: Moves
) -> None:
    """Many pieces too: at most the plan of square ones as long."""
    square = Counter(Need(piece.length) for piece in pieces)
    apart = solve(STOCKS, square, KERF, EFFORTS["quick"])
    made = mitred_plan(STOCKS, Counter(pieces), KERF, moves, EFFORTS["quick"])
    assert made is not None
    assert apart is not None
    assert made.bound <= made.cost <= apart.cost
    assert len([one for stick in made.sticks for one in stick.pieces]) == len(pieces)


def test_square_ends_are_the_plain_problem() -> None:
    """Nine of 36 from 12 ft in thirds with a kerf: 36 x 4 + 3 x 2 is over 144, so three each."""
    made = mitred_plan(STOCKS[:2], {Mitred(36): 9}, KERF, Moves(), EFFORTS["standard"])
    assert made is not None
    assert made.cost == made.bound == 3 * 12


@pytest.mark.parametrize(
    ("low", "high", "moves", "count"),
    [
        (6, 6, Moves(), 3),
        (-6, 6, Moves(), 2),
        (-6, 6, Moves(turn=True), 3),
        (-6, 6, Moves(roll=True), 3),
        (6, 6, Moves(turn=True), 3),
    ],
)
def test_parallel_ends_are_cut_at_once(low: int, high: int, moves: Moves, count: int) -> None:
    """Pieces of 49 from 144, 6 of slant: three with parallel ends take 3 x 43 + 2 x 2 + 6 = 139.

    A trapezoid lies against its fellow only if that is turned or rolled; two such, 100, otherwise.
    """
    piece = Mitred(49, low, high)
    made = mitred_plan(STOCKS[1:2], {piece: count}, KERF, moves, EFFORTS["standard"])
    assert made is not None
    assert len(made.sticks) == 1
    more = mitred_plan(STOCKS[1:2], {piece: count + 1}, KERF, moves, EFFORTS["standard"])
    assert more is not None
    assert len(more.sticks) == 2
