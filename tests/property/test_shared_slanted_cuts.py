"""Slanted ends that lie alike share a cut wherever that costs less, and the pieces lie clear.

Rules 4.5, 8.3 and 8.5, common practice: a cut through a board gives both sides of the kerf the same
mitre, and takes the kerf over the sine of its angle along the board.
"""

from __future__ import annotations

from collections import Counter
from typing import Any
from unittest import mock

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.cutting.effort import EFFORTS
from service.cutting.records import Need, Stick, Stock
from service.cutting.sticks.nested import Blade, nested_sticks
from service.joints import nesting
from service.products.sticks import solving
from tests.independent import any_kind, verifier
from tests.independent.nesting import Slanted, least_nested
from tests.strategies import requests
from tests.strategies.asking import answered
from tests.strategies.budget import FEW, LAW, examples

Request = dict[str, Any]

KERF, FACE = 2, 100
STANDARD = EFFORTS["standard"]


def hall(width: int, length: int, slope: float, *feet: int, **more: Any) -> Request:
    """A parallelogram whose ends lean by `slope`, between members 16 in apart."""
    lean, base = slope * width, max(0.0, -slope * width)
    corners = [[base, 0], [base + length, 0], [base + length + lean, width], [base + lean, width]]
    board = requests.board(*(f"{size} ft" for size in feet)) | more.pop("board", {})
    area = requests.outline(corners, behind=requests.supports(16), layer=more.pop("layer", {}))
    return requests.job(area, board, when_blocked="relax", **more)


@st.composite
def halls(draw: st.DrawFn) -> Request:
    """Halls of a few courses, laid from either side, of boards that may be turned or not."""
    feet = sorted(draw(st.sets(st.sampled_from([8, 10, 12, 14, 16]), min_size=1, max_size=2)))
    square = {"profile": "square_edge", "coverage": requests.OVERALL}
    return hall(
        draw(st.integers(24, 70)), draw(st.integers(60, 260)),
        draw(st.sampled_from([0.4, 1, -1, 2])), *feet,
        board=draw(st.sampled_from([{}, square])),
        layer={"start_side": draw(st.sampled_from(["low", "high"]))},
    )  # fmt: skip


@FEW
@given(request=halls())
def test_no_two_pieces_of_a_stick_lie_over_each_other(request: Request) -> None:
    """And all that is bought is booked, with the cuts that two pieces share taken once."""
    answer = answered(request)
    assert verifier.faults(request, answer) == []
    assert any_kind.faults(request, answer) == []
    laps = [lap for stick in answer["sticks"] for lap in stick["laps"] if lap]
    said = [row["measure"] for row in answer["findings"] if row["code"] == "cuts-shared"]
    assert said == ([pytest.approx(sum(laps), abs=1e-4)] if laps else [])


def test_a_hall_costs_less_than_with_every_piece_cut_from_its_full_extent() -> None:
    """The objective is the usual one, said so that the second answer is not the first's."""
    request = hall(70, 260, -1, 8, 10)
    plan = answered(request)["cut_plans"][0]
    with mock.patch.object(solving, "nested", lambda pool, made, effort: made):
        apart = answered({**request, "objective": "least_length"})["cut_plans"][0]
    assert plan["cost"] < apart["cost"]
    assert plan["bound"] <= apart["bound"]


@pytest.mark.parametrize(("slope", "times"), [(0.05, 0), (-0.5, 1)])
def test_joints_are_chosen_anew_only_where_shared_cuts_save_much(slope: float, times: int) -> None:
    """Over 5.125 in of face ends lean 0.26 in or 2.56: at most 0.09 % or 0.83 % of 310 in.

    However near its bound the first choice is.
    """
    request = hall(100, 310, slope, 8, 12)
    laid = mock.Mock(return_value=None)
    with mock.patch.multiple(nesting, NEAR=-1, _laid_shorter=laid):
        answered({**request, "objective": "least_length"})
    assert laid.call_count == times


def test_two_parallelograms_come_from_one_stick() -> None:
    """Three courses of 36 in and a lean of 5.125 in at 45 degrees, by hand.

    The last is ripped of its tongue and shares nothing. The others, 41.125 in each, take 41.125 +
    41.125 - 5.125 + 1/8 x 1.414 = 77.30 in of a stick with 78 in of use; apart 82.375, two sticks.
    """
    tall = 3 * requests.COVER
    corners = [[0, 0], [36, 0], [36 + tall, tall], [tall, tall]]
    area = requests.outline(corners, layer={"start": "full_first"})
    board = requests.board({"length": 79})
    answer = answered(requests.job(area, board, rules={"gap": 0, "end_trim": 0.5}))
    assert [piece["length"] for piece in answer["pieces"]] == [41.125] * 3
    assert answer["cut_plans"][0]["cost"] == 158
    (laps,) = [stick["laps"] for stick in answer["sticks"] if stick["laps"]]
    assert laps == [5.125]
    shared = next(stick for stick in answer["sticks"] if stick["laps"])
    assert shared["kerf"] == pytest.approx(2**0.5 / 8 + 1 / 8, abs=1e-5)
    assert shared["offcut"] == pytest.approx(78 - 82.25 + 5.125 - shared["kerf"], abs=1e-5)


SLANTS = st.sampled_from([-20, 0, 0, 20])


@st.composite
def needs(draw: st.DrawFn) -> Need:
    low, high = draw(SLANTS), draw(SLANTS)
    return Need(draw(st.integers(60, 200)) * 50_000, low_cut=low * 50_000, high_cut=high * 50_000)


@LAW
@given(pieces=st.lists(needs(), min_size=2, max_size=5), turned=st.booleans())
def test_sticks_hold_each_piece_once_and_cost_no_less_than_by_trying_everything(
    pieces: list[Need], turned: bool
) -> None:
    """Boards 200 and 300 steps long; one that lies half round is the same piece."""
    step = 50_000
    stocks = tuple(
        Stock(str(k), size * step, size * step, size, turned=turned)
        for k, size in enumerate((200, 300))
    )
    known = [Stick(0, (need,)) for need in pieces]
    blade = Blade(KERF * step, FACE * step)
    found = nested_sticks(stocks, known, blade, STANDARD, 10**6)
    bars = [(size + 0.0, size + 0.0) for size in (200, 300)]
    least = least_nested([slanted(one, step) for one in pieces], bars, KERF, turns=turned)
    if found is None:
        assert not any(one.low_cut and other.high_cut for one in pieces for other in pieces) or (
            not shares(pieces)
        )
        return
    usual = [need.usual if turned else need for stick in found for need in stick.pieces]
    assert Counter(usual) == Counter(need.usual if turned else need for need in pieces)
    assert sum(stocks[stick.stock].cost for stick in found) >= least
    for stick in found:
        assert stick.saw(stocks[stick.stock], KERF * step).length >= 0
        assert all(one.kerf >= KERF * step for one in stick.between)


def shares(pieces: list[Need]) -> bool:
    """Whether a low end slants as a high one does."""
    return bool({one.low_cut for one in pieces} & {one.high_cut for one in pieces} - {0})


def slanted(need: Need, step: int) -> Slanted:
    """A piece by its two long edges, in steps."""
    low, high, length = need.low_cut / step, need.high_cut / step, need.length / step
    near = (max(0, -low), length - max(0, high))
    return Slanted(near, (near[0] + low, near[1] + high))


@examples(20)
@given(slant=st.integers(1, 400))
def test_a_shared_cut_takes_the_kerf_over_the_sine_of_its_angle(slant: int) -> None:
    """Along the stick; where that is more than the slant, nothing is shared."""
    scale = 10_000
    blade = Blade(8 * scale, FACE * scale)
    one, other = Need(10**7, high_cut=slant * scale), Need(10**7, low_cut=slant * scale)
    lap, kerf = blade.between(one, other)
    along = 8 * (1 + (slant / FACE) ** 2) ** 0.5
    assert lap in (0, slant * scale)
    assert kerf / scale == pytest.approx(along if lap else 8, abs=1e-3)
    assert blade.between(one, Need(10**7, low_cut=-slant * scale)) == (0, 8 * scale)
