"""The second opinion passes a right answer and catches each way of spoiling it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tests.independent import hand_made, nailing, reader, tiling, verifier
from tests.independent.asked import layers
from tests.independent.measure import INCH

Row = dict[str, Any]


def test_the_right_answer_passes() -> None:
    """398 in of pieces in four sticks: nothing to find."""
    request, answer = hand_made.request(), hand_made.answer()
    assert verifier.faults(request, answer) == []
    assert tiling.faults(request, answer) == []


def _shift_joint(answer: Row) -> None:
    low, high = answer["pieces"][:2]
    low["to"] = high["from"] = answer["joints"][0]["at"] = 100


def _beside(answer: Row) -> None:
    """Course 2 jointed at 112 in, 16 in from the joint of course 1."""
    low, high = answer["pieces"][2:]
    low["to"] = high["from"] = answer["joints"][1]["at"] = 112


def _short(answer: Row) -> None:
    """Course 2 jointed at 16 in: a first piece of 15-1/2 in that touches one member."""
    low, high = answer["pieces"][2:]
    low["to"] = high["from"] = answer["joints"][1]["at"] = 16
    low["ticks"], high["ticks"] = 31 * INCH // 2, 367 * INCH // 2


def _put(table: str, row: int, **values: Any) -> Callable[[Row], None]:
    def spoil(answer: Row) -> None:
        answer[table][row].update(values)

    return spoil


def _ticks(row: int, name: str, inches: float) -> Callable[[Row], None]:
    def spoil(answer: Row) -> None:
        answer["sticks"][row]["ticks"][name] = int(inches * INCH)

    return spoil


def _without(table: str) -> Callable[[Row], None]:
    def spoil(answer: Row) -> None:
        answer[table].pop()

    return spoil


SPOILED: dict[str, Callable[[Row], None]] = {
    "joint off its bearing": _shift_joint,
    "joints too close": _beside,
    "piece too short": _short,
    "offcut does not add up": _ticks(0, "offcut", 47.25),
    "no kerf": _ticks(1, "kerf", 0),
    "trim at one end only": _ticks(2, "end_trim", 0.5),
    "no such stock": _ticks(3, "length", 120),
    "rest not kept": _put("sticks", 0, kept=False),
    "short rest kept": _put("sticks", 3, kept=True),
    "piece in two sticks": _put("sticks", 0, pieces=["loft.boards.1.1.2"]),
    "piece of another length": _put("pieces", 0, ticks=95 * INCH),
    "invented piece": _put("sticks", 0, pieces=["loft.boards.9.1.1"]),
    "another stick named": _put("pieces", 0, stick="pine-2"),
    "pieces do not meet": _put("pieces", 1, **{"from": 97}),
    "run longer than its pieces": _put("runs", 0, to=199.6),
    "pieces miscounted": _put("runs", 0, pieces=3),
    "joint stated elsewhere": _put("joints", 0, at=112),
    "joint missing": _without("joints"),
    "run missing": _without("runs"),
}


@pytest.mark.parametrize("name", SPOILED)
def test_each_spoiled_answer_is_caught(name: str) -> None:
    """One thing wrong, at least one fault found."""
    answer = hand_made.copied()
    SPOILED[name](answer)
    assert verifier.faults(hand_made.request(), answer)


UNTILED = {
    "overlap": _put("pieces", 0, to=96.1),
    "bare strip": _put("pieces", 0, to=95.9),
    "outside the gap": _put("pieces", 0, **{"from": 0.25}),
    "notch that is not there": _put(
        "pieces", 0, shape=[[[0.5, 0.5], [96, 0.5], [96, 5.625], [3, 5.625], [3, 5], [0.5, 5]]]
    ),
    "piece in another course": _put("pieces", 3, near=0.5, far=5.625),
}


@pytest.mark.parametrize("name", UNTILED)
def test_each_untiled_surface_is_caught(name: str) -> None:
    """Overlaps, bare places and pieces outside are seen."""
    answer = hand_made.copied()
    UNTILED[name](answer)
    assert tiling.faults(hand_made.request(), answer)


def test_the_ledger_is_read_from_pieces_and_sticks() -> None:
    """Every account that is decided by pieces and sticks equals the one worked by hand."""
    request, answer = hand_made.request(), hand_made.answer()
    read = reader.ledger(request, answer, "pine")
    booked = reader.booked(answer, "pine")
    for name, account in read.items():
        assert abs(booked.get(name, 0) - account.twice) <= account.open, name
    assert sum(booked.values()) == reader.bought_twice(request, answer, "pine")


@pytest.mark.parametrize("account", ["lap_or_tongue", "kerf", "end_trim", "offcut_kept"])
def test_a_ledger_entry_that_is_off_is_caught(account: str) -> None:
    """A hundredth of a square inch moved from an account shows."""
    answer = hand_made.copied()
    row = next(row for row in answer["ledger"] if row["account"] == account)
    row["half_square_ticks"] = str(int(row["half_square_ticks"]) - INCH * INCH // 50)
    read = reader.ledger(hand_made.request(), answer, "pine")[account]
    assert abs(reader.booked(answer, "pine")[account] - read.twice) > read.open


def test_fasteners_of_the_hand_made_job() -> None:
    """Twelve members, one touched twice at each joint: 13 a course; the last faced twice."""
    (layer,) = layers(hand_made.request())
    driven = nailing.driven(layer, hand_made.answer())
    assert (driven.blind, driven.face) == (13, 13 + 2 * 13)


def test_course_widths_of_the_four_starts() -> None:
    """121 in with a coverage of 5-1/8: 4-1/8 twice, 3-1/8 at the end, 1-9/16 twice."""
    request = hand_made.request()
    ends = {}
    for start in ("balanced", "full_first", "balanced_narrow"):
        request["surfaces"][0]["layers"][0]["start"] = start
        (layer,) = layers(request)
        widths = reader.course_widths(layer, 121 * INCH)
        assert sum(widths) == 121 * INCH
        ends[start] = (len(widths), widths[0] / INCH, widths[-1] / INCH)
    assert ends == {
        "balanced": (24, 4.125, 4.125),
        "full_first": (24, 5.125, 3.125),
        "balanced_narrow": (25, 1.5625, 1.5625),
    }


def test_repeats_of_two_and_three_patterns() -> None:
    """28 courses jointed at 96 and 144 in turn repeat 26 times; at 96, 144, 192 never.

    Joints on one line apart by two courses or more, joints of neighbours two feet apart:
    NAVEDTRA 14044, chapter 3.
    """
    two = [[96], [144]] * 14
    three = ([[96], [144], [192]] * 10)[:28]
    assert verifier.violations(two, 24, 1) == 0
    assert verifier.violations(two, 6, 2) == 26
    assert verifier.violations(three, 24, 1) == verifier.violations(three, 6, 2) == 0
