"""A refusal is right, and its cure works; what can be laid is not refused."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.independent import brute, verifier
from tests.independent.brute import Limits, Run
from tests.independent.json_patch import patched
from tests.independent.measure import FOOT, INCH
from tests.strategies import requests, shapes
from tests.strategies.asking import answered, asked, refused
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]


def cured(request: Request) -> Request:
    """The request with the cure of each of its faults applied, once: all must have one."""
    kind, faults = refused(request)
    assert kind == "TradeRefused"
    for fault in faults:
        request = patched(request, fault["cure"])
    return request


@st.composite
def short_of_stock(draw: st.DrawFn) -> tuple[Request, bool]:
    """A few courses with one or two short stock lengths; and whether any layout is legal."""
    courses = draw(st.integers(1, 4))
    feet = sorted(draw(st.sets(st.sampled_from([5, 6, 8, 10, 12]), min_size=1, max_size=2)))
    length, spacing = draw(st.integers(60, 300)), draw(st.sampled_from([12, 16, 20, 24, 32]))
    area = requests.room(
        length, courses * 5.125 + 1, behind=requests.supports(spacing), rules={"end_trim": 0.5}
    )
    request = requests.job(area, requests.board(*(f"{size} ft" for size in feet)))
    members = [at * INCH for at in range(spacing, length + 1, spacing)]
    edges = tuple((at - 3 * INCH // 4, at + 3 * INCH // 4) for at in members)
    run = Run(INCH // 2, length * INCH - INCH // 2, tuple(members))
    longest = max(feet) * FOOT - INCH
    limits = Limits(longest, 24 * INCH, 3, 24 * INCH, 6 * INCH, edges, INCH // 2)
    return request, brute.any_layout([run] * courses, limits)


@LAW
@given(case=short_of_stock())
def test_refused_exactly_when_no_layout_exists(case: tuple[Request, bool]) -> None:
    """Every joint layout was tried: the service refuses those jobs that have none, and no other."""
    request, possible = case
    if possible:
        assert verifier.faults(request, answered(request)) == []
        return
    kind, faults = refused(request)
    assert kind == "TradeRefused"
    assert all((fault["rule"] or "").startswith("6.") for fault in faults), faults
    mended = cured(request)
    assert verifier.faults(mended, answered(mended)) == []


@LAW
@given(case=short_of_stock())
def test_relaxed_jobs_say_what_was_given_up(case: tuple[Request, bool]) -> None:
    """`when_blocked: relax`: the rules given up are listed, and only if no layout was legal.

    No rule is lowered so far that a board would hang on one member: where only that would help,
    the refusal stands and names the stock that does.
    """
    request, possible = case
    relaxing = request | {"when_blocked": "relax"}
    if not possible and asked(relaxing).kind != "answer":
        _, (fault,) = refused(relaxing)
        assert [edit["path"] for edit in fault["cure"]] == ["/products/0/stock/-"]
        relaxing = patched(relaxing, fault["cure"])
        assert answered(relaxing)["relaxed"] == []
        return
    answer = answered(relaxing)
    assert bool(answer["relaxed"]) == (not possible)
    assert verifier.sticks(request, answer) == []
    assert verifier.placement(answer) == []
    for row in answer["relaxed"]:
        assert row["asked"] != row["used"]
        assert row["places"]


ALONG = {"direction": 0, "spacing": 16, "first": 16, "thickness": 1.5}
NAIL = {"id": "nail", "form": "fastener", "lengths": [1.5], "shank": "smooth"}

CURABLE = {
    "boards along the members, nothing behind": requests.job(requests.room(180, 60, behind=ALONG)),
    "a run over the longest stick, joints forbidden": requests.job(
        requests.room(300, 60, layer={"joints": "none"})
    ),
    "no stick that reaches from bearing to bearing": requests.job(
        requests.room(300, 60, behind=requests.supports(60)), requests.board("4 ft")
    ),
    "blind nails without a tongue": requests.job(
        requests.room(180, 60, layer={"fastening": {"pattern": "blind"}}),
        requests.board("16 ft", cover=5.5, overall=5.5, profile="square_edge"),
    ),
    "no nail in the list is long enough": requests.job(
        requests.room(180, 60, layer={"fastening": {"pattern": "face", "product": "nail"}}),
        requests.board("16 ft"), NAIL,
    ),
    "blind nails alone in a wide board": requests.job(
        requests.room(180, 60, layer={"fastening": {"pattern": "blind"}}),
        requests.board("16 ft", cover=6.875, overall=7.125),
    ),
    "a last course too narrow": requests.job(
        requests.room(180, 5.125 * 8 + 1.5, layer={"start": "full_first"}),
        requests.board("16 ft"),
    ),
    "boards at hand that do not reach": requests.job(
        requests.room(300, 60), requests.board({"length": "16 ft", "on_hand": 6, "multiple": 5})
    ),
    "stagger that cannot be kept": requests.job(
        requests.room(280, 60, rules={"stagger": 200}), requests.board("12 ft")
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CURABLE)
def test_every_cure_lets_the_request_through(name: str) -> None:
    """The edits that the refusal proposes are made, and the job is answered rightly."""
    mended = cured(CURABLE[name])
    assert verifier.faults(mended, answered(mended)) == []


def test_boards_along_the_members_are_laid_on_a_backing_with_a_word() -> None:
    """A panel carries them: answered, with a finding that the hold is the panel's thickness."""
    area = requests.room(180, 60, behind=ALONG, backing={"thickness": 0.5})
    answer = answered(requests.job(area, requests.board("8 ft", "16 ft")))
    assert answer["findings"]
    assert {row["on"] for row in answer["joints"]} <= {"sheathing"}


UNSOUND = {
    "crossing itself": requests.outline([[0, 0], [100, 100], [100, 0], [0, 100]]),
    "opening outside": requests.room(100, 80, openings=[{"id": "a", "rectangle": [200, 10, 5, 5]}]),
    "opening that leaves nothing": requests.room(
        100, 80, openings=[{"id": "a", "rectangle": [0, 0, 100, 80]}]
    ),
    "no area": requests.outline([[0, 0], [100, 0], [50, 0]]),
    "gap that leaves nothing": requests.room(100, 80, rules={"gap": 40}),
}


@pytest.mark.parametrize("name", UNSOUND)
def test_unsound_surfaces_are_refused_with_their_place(name: str) -> None:
    """Never repaired, never an answer; the fault points into the request."""
    kind, faults = refused(requests.job(UNSOUND[name]))
    assert kind in ("TradeRefused", "ShapeRefused")
    assert all(fault["pointer"].startswith("/surfaces/0") for fault in faults)
    assert all(fault["detail"] for fault in faults)


def test_a_product_that_is_not_there_is_refused() -> None:
    """The layer names a board that was not sent."""
    kind, faults = refused(requests.job(requests.room(100, 80, layer={"product": "oak"})))
    assert kind in ("TradeRefused", "ShapeRefused")
    assert faults[0]["pointer"].startswith("/surfaces/0/layers/0")


@given(spacer=shapes.inches(0.0625, 2), start=st.sampled_from([None, "balanced", "full_first"]))
@FEW
def test_lapped_boards_have_no_open_joint(spacer: float, start: str | None) -> None:
    """A spacer between boards that lie on each other is refused, never dropped (2.1)."""
    layer = {"spacer": spacer} | ({"start": start} if start else {})
    area = requests.room(120, 60, type="wall", layer=layer)
    request = requests.job(area, requests.board("8 ft", "12 ft", profile="lapped"))
    _, (fault,) = refused(request)
    assert (fault["code"], fault["pointer"]) == ("spacer-in-lap", "/surfaces/0/layers/0/spacer")
    answered(patched(request, fault["cure"]))
