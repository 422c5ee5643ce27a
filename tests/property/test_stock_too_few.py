"""Where there are too few of a length that holds whole runs, others are jointed (6.1, 8.9).

Stock is short only where no joints in other lengths would do either.
"""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.independent import verifier
from tests.strategies import requests
from tests.strategies.asking import answered, asked, refused
from tests.strategies.budget import FEW

Request = dict[str, Any]

RUNS = 12
"""Courses of a room 60 in wide."""


def room(long: int, short: int | None = None, run: float = 180) -> Request:
    """Runs that 16 ft hold, `long` of which are at hand, and 10 ft, `short` or any number."""
    shorter = {"length": "10 ft"} | ({} if short is None else {"on_hand": short})
    board = requests.board({"length": "16 ft", "on_hand": long}, shorter)
    return requests.job(requests.room(run, 60), board)


def said(answer: Request) -> list[Request]:
    return [row for row in answer["findings"] if row["code"] == "runs-parted"]


def taken(answer: Request, length: float) -> int:
    return sum(row["length"] == length for row in answer["sticks"])


@FEW
@given(long=st.integers(0, 14), run=st.sampled_from([180, 190]))
def test_joints_do_where_a_length_is_too_few(long: int, run: float) -> None:
    """As many of it as there are at most; a run is whole, or jointed of lengths without a limit."""
    request = room(long, run=run)
    answer = answered(request)
    assert verifier.faults(request, answer) == []
    assert taken(answer, 192) <= long
    jointed = sum(row["pieces"] > 1 for row in answer["runs"])
    assert (jointed == 0) == (long >= RUNS)
    assert jointed >= RUNS - long
    told = [row["text"].split()[0] for row in said(answer)]
    assert told == ([str(jointed)] if jointed and long else [])


@pytest.mark.parametrize(("long", "short"), [(3, 10), (5, 6), (11, 0)])
def test_what_is_missing_is_what_would_do(long: int, short: int) -> None:
    """The cure does, and where none fewer is said to do, one less does not."""
    request = room(long, short)
    _, (fault,) = refused(request)
    assert fault["code"] == "stock-short"
    (operation,) = fault["cure"]
    wanted = operation["value"]
    cured = copy.deepcopy(request)
    cured["products"][0]["stock"][0]["on_hand"] = wanted
    found = answered(cured)
    assert taken(found, 192) <= wanted
    assert taken(found, 120) <= short
    cured["products"][0]["stock"][0]["on_hand"] = wanted - 1
    assert "and no fewer" not in fault["detail"] or asked(cured).kind != "answer"
