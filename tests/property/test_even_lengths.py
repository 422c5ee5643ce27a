"""Lengths that all but agree are cut alike, where a covered gap that was not sent takes it (0.2).

The same gap sent takes nothing, so the same job with `gap` sent shows what was changed.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.independent import verifier
from tests.strategies import requests
from tests.strategies.asking import answered
from tests.strategies.budget import examples
from tests.strategies.transforms import in_millimetres

Request = dict[str, Any]

STEP = 0.0625


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
    """Each piece as it was or a step shorter, sticks and joints as they were, the ledger closed."""
    request = out_of_square(run, width, off)
    answer, sent = answered(request), answered(out_of_square(run, width, off, rules={"gap": 0.5}))
    for key in ("cost", "bound", "joints", "optimal"):
        assert answer["cut_plans"][0][key] == sent["cut_plans"][0][key]
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
