"""Boards of random lengths: shares of pieces or of length, drawn from one fixed sequence."""

from __future__ import annotations

import json
from functools import cache
from typing import Any
from unittest import mock

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.takeoff import random_lengths
from service.units.ticks import INCH
from tests.strategies import requests
from tests.strategies.asking import answered, body_of, outcome, refused
from tests.strategies.budget import FEW

Request = dict[str, Any]
HALVES = [{"length": "4 ft", "share": 50}, {"length": "12 ft", "share": 50}]


def request(by: str, lengths: list[Request], **layer: Any) -> Request:
    """28 courses of 20 ft over members at 16 in, in boards of a tally."""
    area = requests.room(240, 144, behind=requests.supports(ends=True), layer=layer)
    tally = {"by": by, "lengths": lengths, "bundle": "100 ft"}
    return requests.job(area, requests.board("12 ft", "16 ft", tally=tally))


@cache
def drawn(by: str) -> Request:
    (row,) = answered(request(by, HALVES))["random_lengths"]
    return row


def test_half_the_pieces_is_not_half_the_length() -> None:
    """Half the pieces 4 ft and half 12 ft: 8 ft in the mean; half the length in each: 6 ft."""
    assert drawn("pieces")["mean_piece"] == 8 * 12
    assert drawn("length")["mean_piece"] == 6 * 12
    # Mixing the two up moves the joints: shorter boards in the mean have more.
    assert drawn("length")["median_joints"] > drawn("pieces")["median_joints"]


@pytest.mark.parametrize("by", ["pieces", "length"])
def test_the_draws_hold_what_is_placed_and_are_told_with_their_spread(by: str) -> None:
    """28 x 239 in are placed; nine draws of ten do not go over the 90th percentile."""
    row = drawn(by)
    assert row["draws"] == 200
    assert row["placed"] == 28 * 239
    assert row["placed"] < row["median"] <= row["percentile_90"] < 1.5 * row["placed"]
    assert row["median_joints"] <= row["percentile_90_joints"]
    assert row["bundles"] == -(-row["percentile_90"] // 1200)
    assert row["shortest"] >= 24
    # Each draw takes about its length / mean piece of boards.
    assert row["work"] == pytest.approx(200 * row["median"] / row["mean_piece"], rel=0.1)


def test_a_quick_estimate_by_hand() -> None:
    """6692 in placed in 28 runs, 8 ft in the mean: 6692 / 96 - 28 = 41.71 joints.

    Each joint loses half a bay, 8 in, and each run 24 x 24 / (2 x 96) = 3 in. Within half a
    percent: the bays at both ends are a little under 16 in. Joists at 16 and 6 ft in the
    mean lose 8 / 72 = 11 % at joints alone.
    """
    row = drawn("pieces")
    assert row["estimate"] == pytest.approx(6692 + 28 * 3 + 41.71 * 8, rel=0.005)
    assert row["placed"] < row["estimate"] < row["percentile_90"] * 1.1
    short = drawn("length")["estimate"] - 6692 - 28 * 24 * 24 / (2 * 72)
    assert short / (6692 - 28 * 72) == pytest.approx(8 / 72, rel=0.02)


def test_the_same_request_gives_the_same_draws() -> None:
    body = body_of(request("pieces", HALVES))
    assert outcome(body).body == outcome.__wrapped__(body).body


def test_lengths_under_the_shortest_piece_are_told() -> None:
    """A quarter of the pieces are 1 ft, under `min_piece` of 2 ft: they end a run at most."""
    lengths = [{"length": "1 ft", "share": 25}, {"length": "10 ft", "share": 75}]
    (row,) = answered(request("pieces", lengths))["random_lengths"]
    assert row["too_short_pct"] == 25
    assert row["shortest"] >= 12


@pytest.mark.parametrize("lengths", [
    [{"length": "1 ft", "share": 100}],  # none is as long as the shortest piece
    [{"length": "2.5 ft", "share": 100}],  # none reaches from a member to the next but one
])  # fmt: skip
def test_a_tally_that_cannot_be_laid_is_said(lengths: list[Request]) -> None:
    asked = request("pieces", lengths, rules={"min_piece": 31})
    answer = answered(asked)
    assert answer["random_lengths"] == []
    assert "tally-too-short" in {row["code"] for row in answer["findings"]}


def test_shares_add_up_to_a_hundred() -> None:
    kind, faults = refused(request("pieces", HALVES[:1]))
    assert (kind, faults[0]["code"]) == ("ShapeRefused", "tally")
    assert faults[0]["pointer"].startswith("/products/0/tally")


DRAWS = st.lists(
    st.builds(random_lengths.Drawn, taken=st.integers(1, 10**9), joints=st.integers(0, 900),
              shortest=st.integers(1, 10**7), boards=st.integers(1, 900)),
    min_size=1, max_size=200,
)  # fmt: skip


@FEW
@given(draws=DRAWS)
def test_medians_and_percentiles_are_those_of_another_hand(
    draws: list[random_lengths.Drawn],
) -> None:
    """The nearest rank, as NumPy has it by the inverse of the distribution."""
    body = body_of(request("pieces", HALVES))
    made = mock.Mock(side_effect=lambda *_: draws)
    with mock.patch.object(random_lengths, "_draws", made):
        (row,) = json.loads(outcome.__wrapped__(body).body)["random_lengths"]
    for key, part, per in (("taken", "median", 50), ("taken", "percentile_90", 90),
                           ("joints", "median_joints", 50), ("joints", "percentile_90_joints", 90),
                           ("shortest", "shortest", 50)):  # fmt: skip
        values = [getattr(one, key) for one in draws]
        theirs = np.percentile(values, per, method="inverted_cdf")
        assert row[part] == pytest.approx(theirs / (1 if "joints" in part else INCH), abs=1e-5)
