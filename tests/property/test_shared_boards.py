"""Rips of several courses from one board: against trying every layout, pooling and cutting."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Stock
from service.cutting.sticks.rips import RipWidth, WholeBoard, least_length
from service.joints.job import Pool
from service.joints.records import Blocked, Jointed
from service.joints.sharing import may_share, place_and_share
from service.joints.solve import place_joints
from tests.independent import brute, verifier
from tests.independent.cut_plans import Bar, plan_faults
from tests.property.test_course_layouts import KERF, LEAST, REPEAT, RULES, STAGGER, courses
from tests.property.test_ledger import check_ledger
from tests.strategies import requests
from tests.strategies.asking import answered
from tests.strategies.budget import FEW, LAW

WIDTH = 50
BOARD = WholeBoard(WIDTH, KERF)
FIRST, LAST = RipWidth(24, high_edge=True), RipWidth(20, low_edge=True)

Request = dict[str, Any]


def pool_of(length: int, strips: list[RipWidth | None], stocks: tuple[Stock, ...]) -> Pool:
    """Equal courses, some of them ripped all along."""
    runs = tuple(
        replace(run, strip=strip)
        for run, strip in zip(courses(length, len(strips)), strips, strict=True)
    )
    return Pool(runs, (RULES,), stocks, KERF, board=BOARD)


def sound(pool: Pool, made: Jointed) -> Jointed:
    """A layout whose sticks hold every piece once, as the verifier sees it."""
    seconds = {piece for own in made.together for piece in own[1:]}
    wanted: Counter[int] = Counter(
        cut.need.length
        for number, own in enumerate(made.cuts)
        for k, cut in enumerate(own)
        if (number, k) not in seconds
    )
    for own in made.together:
        cuts = [made.cuts[number][k] for number, k in own]
        strips = [pool.runs[number].strip for number, _ in own]
        assert None not in strips
        assert sum(strip.width for strip in strips if strip) + KERF * (len(own) - 1) <= WIDTH
        assert sum(strip.low_edge for strip in strips if strip) <= 1
        assert sum(strip.high_edge for strip in strips if strip) <= 1
        assert cuts[0].need.length == max(cut.need.length for cut in cuts)
    bars = [Bar(stock.usable, stock.cost, stock.supply) for stock in pool.stocks]
    sticks = [(stick.stock, [need.length for need in stick.pieces]) for stick in made.plan.sticks]
    assert plan_faults(bars, KERF, wanted, sticks, made.plan.cost) == []
    joints = [[cut.low for cut in own[1:]] for own in made.cuts]
    for step, least in ((1, STAGGER), (2, REPEAT)):
        for one, other in zip(joints, joints[step:], strict=False):
            assert brute.apart(tuple(one), tuple(other), least)
    return made


def least_cost(pool: Pool) -> int | None:
    """Least cost over all layouts, all ways of pooling, and all ways of cutting."""
    length = pool.runs[0].high
    limits = brute.Limits(max(s.usable for s in pool.stocks), LEAST, 0, STAGGER, REPEAT, (), 1)
    runs = [brute.Run(0, length, pool.runs[0].stations)] * len(pool.runs)
    stock = tuple(brute.Stick(s.usable, s.cost) for s in pool.stocks)
    best: int | None = None
    for layout in brute.layouts(runs, limits):
        whole, rips = list[int](), list[brute.Rip]()
        for run, joints, strip in zip(runs, layout, (r.strip for r in pool.runs), strict=True):
            for piece in brute.pieces_of(run, joints):
                if strip is None:
                    whole.append(piece)
                else:
                    rips.append(brute.Rip(piece, *strip))
        for blanks in brute.poolings(tuple(rips), WIDTH, KERF):
            pieces = tuple(sorted((*whole, *blanks), reverse=True))
            cost = brute.cheapest_cutting(pieces, stock, KERF)
            best = cost if best is None else min(best, cost)
    return best


STOCKS = st.sampled_from(
    [
        (Stock("0", 80, 80, 80), Stock("1", 120, 120, 123)),
        (Stock("0", 64, 64, 64), Stock("1", 96, 96, 96)),
        (Stock("0", 96, 96, 96),),
    ]
)


@FEW
@given(
    length=st.integers(60, 130), stocks=STOCKS,
    strips=st.lists(st.sampled_from([FIRST, LAST, None, RipWidth(12)]), min_size=2, max_size=3),
)  # fmt: skip
def test_bound_and_cost_lie_round_the_least_cost(
    length: int, stocks: tuple[Stock, ...], strips: list[RipWidth | None]
) -> None:
    """Bound <= least cost of all layouts, poolings and cuttings <= cost."""
    assume(any(strips))
    pool = pool_of(length, strips, stocks)
    best, made = least_cost(pool), place_and_share(pool, EFFORTS["standard"])
    if best is None:
        assert isinstance(made, Blocked)
        return
    assert isinstance(made, Jointed)
    assert sound(pool, made).plan.bound <= best <= made.plan.cost


@LAW
@given(
    length=st.integers(100, 400), count=st.integers(3, 14), stocks=STOCKS,
    first=st.integers(8, 40), last=st.integers(8, 40),
)  # fmt: skip
def test_sharing_never_costs_more_and_saves_the_second_rip(
    length: int, count: int, stocks: tuple[Stock, ...], first: int, last: int
) -> None:
    """Against a board for each; where the rips fit, at most what the courses between cost more."""
    strips = [RipWidth(first, high_edge=True), *[None] * (count - 2), RipWidth(last, low_edge=True)]
    pool = pool_of(length, strips, stocks)
    apart, made = (place(pool, EFFORTS["quick"]) for place in (place_joints, place_and_share))
    assert isinstance(apart, Jointed) == isinstance(made, Jointed)
    if not isinstance(made, Jointed) or not isinstance(apart, Jointed):
        return
    assert sound(pool, made).plan.cost <= apart.plan.cost
    assert may_share(pool) == (first + last + KERF <= WIDTH)
    if not may_share(pool):
        assert made == apart


def test_two_courses_alike_take_the_boards_of_one() -> None:
    """First and last course of 170 from 96s: the joints of one are laid in the other."""
    strips: list[RipWidth | None] = [FIRST, None, None, None, LAST]
    pool = pool_of(170, strips, (Stock("0", 96, 96, 96),))
    made = place_and_share(pool, EFFORTS["standard"])
    assert isinstance(made, Jointed)
    assert len(made.together) == len(made.cuts[0]) == len(made.cuts[4])
    assert {one[0] for own in made.together for one in own} == {0, 4}
    assert made.plan.cost == made.plan.bound


@pytest.mark.parametrize(
    ("start", "profile", "shares"),
    [
        ("balanced_narrow", "tongue_and_groove", True),
        ("balanced_narrow", "square_edge", True),
        ("balanced", "tongue_and_groove", False),
        ("full_first", "tongue_and_groove", False),
    ],
)
def test_an_answer_says_which_rips_come_from_one_board(
    start: str, profile: str, shares: bool
) -> None:
    """Narrow balance of 122 in: 1-9/16 + 1-9/16 + 1/8 in is under 5-1/8 in (3.13); wide is not."""
    overall = 5.125 if profile == "square_edge" else 5.375
    board = requests.board("8 ft", "12 ft", "16 ft", profile=profile, overall=overall)
    request = requests.job(requests.room(150, 122, layer={"start": start}), board)
    answer = answered(request)
    assert verifier.faults(request, answer) == []
    check_ledger(request, answer)
    together = [names for row in answer["sticks"] for names in row["beside"] if names]
    said = [row for row in answer["findings"] if row["code"] == "rips-shared"]
    assert bool(together) == bool(said) == shares
    if shares:
        last = max(piece["course"] for piece in answer["pieces"])
        assert said[0]["measure"] == pytest.approx(149, abs=0.1)
        assert {piece["stick"] for piece in answer["pieces"] if piece["course"] in (1, last)} == {
            row["stick"] for row in answer["sticks"] if any(row["beside"])
        }


def test_rips_of_two_surfaces_share_boards() -> None:
    """Two soffits, full first: no two last courses from one board, for both need the groove.

    Square edges may be turned end for end, so there the second comes off the first.
    """
    for profile, overall in (("tongue_and_groove", 5.375), ("square_edge", 5.125)):
        areas = [requests.room(150, 34, layer={"start": "full_first"}) | {"id": name}
                 for name in ("east", "west")]  # fmt: skip
        board = requests.board("8 ft", "16 ft", profile=profile, overall=overall)
        request = requests.job(areas, board)
        answer = answered(request)
        assert verifier.faults(request, answer) == []
        check_ledger(request, answer)
        beside = [names for row in answer["sticks"] for names in row["beside"] if names]
        assert bool(beside) == (profile == "square_edge")


@pytest.mark.parametrize(("strips", "least"), [
    ({(28, False): 270, (22, False): 135}, 270 + 135 // 2),
    ({(26, False): 100, (22, False): 60}, 100),
    ({(15, False): 90}, 30),
    ({(20, True): 80, (22, True): 50}, 130),
])  # fmt: skip
def test_boards_are_as_long_as_what_cannot_lie_side_by_side(
    strips: dict[tuple[int, bool], int], least: int
) -> None:
    """By hand, in boards 50 wide, a saw cut 2: 28 lies beside none of 22, which lie by twos.

    So 28 takes a board all along, and 22 half of one. 26 and 22 lie side by side (48 and a cut), so
    that 60 of the 22 lie beside 100 of the 26; 15 lie by threes. Of rips that keep the same edge a
    board has one.
    """
    wanted = {RipWidth(wide, low_edge=edge): length for (wide, edge), length in strips.items()}
    assert least_length(wanted, WholeBoard(50, 2)) in (least, least - 1)
