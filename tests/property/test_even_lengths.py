"""Lengths that all but agree are cut alike, where a covered gap that was not sent takes it (0.2).

The same gap sent takes nothing, so the same job with `gap` sent shows what was changed.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any
from unittest import mock

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.products.goods.board import claiming
from tests.independent import verifier
from tests.independent.cut_plans import Bar, Wanted, least_by_trying
from tests.independent.measure import INCH, ticks
from tests.strategies import requests
from tests.strategies.asking import answered
from tests.strategies.budget import examples
from tests.strategies.transforms import in_millimetres

Request = dict[str, Any]

STEP = 0.0625
RELAXED = {"when_blocked": "relax"}


def out_of_square(run: float, width: float, off: float, **more: Any) -> Request:
    """A room whose right wall leans by `off` over its width; every rip is sawn."""
    points = [[0, 0], [run, 0], [run + off, width], [0, width]]
    area = requests.outline(points, layer={"rules": {"unsawn": 0} | more.pop("rules", {})} | more)
    return requests.job(area, requests.board("12 ft", "16 ft"), when_blocked="relax",
                        effort="quick")  # fmt: skip


def cut(answer: Request) -> dict[str, float]:
    """Cut length of each piece."""
    return {piece: length for row in answer["sticks"]
            for piece, length in zip(row["pieces"], row["cuts"], strict=True)}  # fmt: skip


@examples(40)
@given(run=st.integers(100, 300), width=st.integers(30, 90),
       off=st.integers(-24, 24).map(lambda n: n / 16))  # fmt: skip
def test_a_plan_has_fewer_lengths_and_costs_the_same(run: int, width: int, off: float) -> None:
    """Each piece as it was or a step shorter, joints as they were, the ledger closed.

    No more is claimed than of pieces that may be shorter, and no more is bought.
    """
    request = out_of_square(run, width, off)
    answer, sent = answered(request), answered(out_of_square(run, width, off, rules={"gap": 0.5}))
    plan, other = answer["cut_plans"][0], sent["cut_plans"][0]
    assert plan["joints"] == other["joints"]
    assert plan["cost"] <= other["cost"]
    assert plan["bound"] <= other["bound"]
    own, asked = cut(answer), cut(sent)
    assert own.keys() == asked.keys()
    less = {round((asked[piece] - own[piece]) / STEP, 3) for piece in own}
    assert less <= {0, 1}
    assert len(set(own.values())) <= len(set(asked.values()))
    assert (len(set(own.values())) < len(set(asked.values()))) == (1 in less)
    assert verifier.faults(request, answer) == []
    for row in answer["pieces"]:
        assert abs(row["length"] - (row["to"] - row["from"])) <= 1.5 * STEP + 1e-5


@examples(30)
@given(run=st.integers(100, 180), width=st.integers(30, 90),
       off=st.integers(-40, 40).map(lambda n: n / 16))  # fmt: skip
def test_no_two_whole_runs_are_cut_a_step_apart(run: int, width: int, off: float) -> None:
    """Between covered gaps every piece could be a step shorter: none differs from another by it."""
    lengths = sorted(set(cut(answered(out_of_square(run, width, off))).values()))
    apart = [b - a for a, b in pairwise(lengths)]
    assert all(step > STEP + 1e-6 for step in apart)


@pytest.mark.parametrize("more", [{"edges": "bare"}, {"rules": {"gap": 0.5}}])
def test_in_view_or_at_a_gap_that_was_sent_each_has_its_own_length(more: Request) -> None:
    """Over a lean of 1 in the courses are a step apart: in each of the sixteenths there is one."""
    lengths = set(cut(answered(out_of_square(150, 16 * 5.125 + 1, 1, **more))).values())
    assert len(lengths) > 14
    alike = set(cut(answered(out_of_square(150, 16 * 5.125 + 1, 1))).values())
    assert len(alike) <= 9


def test_an_edge_that_is_scribed_keeps_its_lengths() -> None:
    """One end between the stops of a scribe, the other in a gap that gives: only that one does."""
    request = out_of_square(150, 83, 1)
    for told, fewer in (({"is": "tight"}, True), ({"gap": 0.5}, True)):
        request["surfaces"][0]["edges"] = [{"edge": 1} | told]
        one = set(cut(answered(request)).values())
        request["surfaces"][0]["edges"] = [{"edge": 1} | told, {"edge": 3, "gap": 0.5}]
        both = set(cut(answered(request)).values())
        assert (len(one) < len(both)) == fewer


def test_millimetres_are_joined_too() -> None:
    """By the step of a metric tape, 1 mm."""
    request = in_millimetres(out_of_square(150, 83, 0.25))
    lengths = sorted(set(cut(answered(request)).values()))
    assert all(b - a > 1 + 1e-6 for a, b in pairwise(lengths))


def trapezoid(run: float, lean: float, courses: int) -> Request:
    """Whole courses between a straight wall and one that leans, each from sticks of 8 ft."""
    wide = courses * 5.125 + 1
    points = [[0, 0], [run, 0], [run + lean, wide], [0, wide]]
    area = requests.outline(points, layer={"rules": {"unsawn": 0}})
    return requests.job(area, requests.board("8 ft"))


def test_pieces_that_became_shorter_are_cut_anew() -> None:
    """Courses of 47.9 to 48 in lie between gaps of 1/2 in; 47.9375 and 48 are a step apart.

    Two of 48 and a saw cut of 1/8 take 96.125 of 96, two of 47.9375 take 96: so all six are cut
    alike, from three sticks, and none takes less.
    """
    told = answered(trapezoid(48.9, 0.1, 6))
    assert [row["cuts"] for row in told["sticks"]] == [[47.9375, 47.9375]] * 3
    (plan,) = told["cut_plans"]
    assert (plan["cost"], plan["bound"], plan["optimal"]) == (3 * 96, 3 * 96, True)


@pytest.mark.parametrize(
    ("run", "effort", "times"), [(48.9, "standard", 1), (900, "quick", 0), (900, "thorough", 1)]
)
def test_they_are_where_all_became_so_much_shorter(run: float, effort: str, times: int) -> None:
    """By 1/10 000: as by 1/16 in or more of 288 in, not by 3/8 in of 5 400; always if thorough.

    The objective is the usual one, said so that the answer is not that of the test before.
    """
    request = {**trapezoid(run, 0.1, 6), "objective": "least_length", "effort": effort} | RELAXED
    with mock.patch.object(claiming, "cut_again", side_effect=lambda _, __, made, ___: made) as cut:
        answered(request)
    assert cut.call_count == times


@examples(24)
@given(eighths=st.integers(0, 6), half=st.sampled_from([32, 48]), thirds=st.integers(-3, 3),
       courses=st.integers(3, 6))  # fmt: skip
def test_no_plan_of_the_lengths_that_are_told_costs_less_than_the_bound(
    eighths: int, half: int, thirds: int, courses: int
) -> None:
    """Tried out: every way to cut the pieces as they are told, round where sticks just hold them.

    A stick of 96 in gives all its length to what is covered at both ends (8.1).
    """
    told = answered(trapezoid(half + 1 + thirds / 48, eighths / 24, courses))
    lengths = [ticks(length, "in") for row in told["sticks"] for length in row["cuts"]]
    least = least_by_trying([Bar(96 * INCH, 96, None)], INCH // 8, [Wanted(one) for one in lengths])
    (plan,) = told["cut_plans"]
    assert least is not None
    assert plan["bound"] <= least + 1e-6
    assert not plan["optimal"] or plan["cost"] == pytest.approx(least)
