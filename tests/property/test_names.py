"""Ids of pieces last: each says where its piece lies, and what a change does not move keeps it."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from tests.independent.measure import INCH, ticks
from tests.strategies import build_ups, jobs, requests, shapes
from tests.strategies.asking import answered
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]

GEOMETRY = ("course", "near", "far", "from", "to", "ends", "shape", "area")


def sixty_fourths(length: float, unit: str) -> int:
    """To the nearest, half up."""
    return (ticks(length, unit) * 128 + INCH) // (2 * INCH)


@LAW
@given(request=st.one_of(jobs.jobs(), build_ups.build_ups()))
def test_an_id_says_where_its_piece_lies_and_stands_once(request: Request) -> None:
    """Surface, layer, low edge of its course and low end in 1/64 in; ids of sticks are the same."""
    answer = answered(request)
    unit = request["unit"]
    edges = {
        (row["surface"], row["layer"], row["course"]): min(row["near"], row["far"])
        for row in answer["courses"]
    }
    for row in answer["pieces"]:
        place = row["surface"], row["layer"]
        near = edges[*place, row["course"]]
        said = ".".join((*place, str(sixty_fourths(near, unit)),
                         str(sixty_fourths(row["from"], unit))))  # fmt: skip
        assert row["id"].partition("~")[0] == said
        assert row["run"] == ".".join((*place, row["label"].rpartition(".")[0]))
    ids = [row["id"] for row in answer["pieces"]]
    assert len(set(ids)) == len(ids)
    cut = [name for row in (*answer["sticks"], *answer["sheets"]) for name in row["pieces"]]
    cut += [name for row in answer["sticks"] for own in row["beside"] for name in own]
    assert sorted(cut) == sorted(ids)
    assert {name for row in answer["joints"] for name in row["between"]} <= set(ids)


def kept(before: Request, after: Request) -> list[tuple[Request, Request]]:
    """Pieces of one id before and after."""
    later = {row["id"]: row for row in after["pieces"]}
    return [(row, later[row["id"]]) for row in before["pieces"] if row["id"] in later]


@FEW
@given(x=shapes.inches(30, 90), y=shapes.inches(10, 40), wide=shapes.inches(6, 20),
       high=shapes.inches(6, 12))  # fmt: skip
def test_an_opening_renames_only_what_it_cuts(x: float, y: float, wide: float, high: float) -> None:
    """One board a course: pieces of courses that it does not meet are the same, name and all."""
    hatch = {"id": "hatch", "rectangle": [x, y, wide, high]}
    board = requests.board("12 ft")
    plain = answered(requests.job(requests.room(132, 60), board))
    cut = answered(requests.job(requests.room(132, 60, openings=[hatch]), board))
    met = {
        row["course"] for row in cut["courses"] if y - 1 < row["far"] and row["near"] < y + high + 1
    }
    pairs = kept(plain, cut)
    assert {one["course"] for one, _ in pairs} >= {row["course"] for row in plain["courses"]} - met
    for one, other in pairs:
        if one["course"] not in met:
            assert [one[key] for key in GEOMETRY] == [other[key] for key in GEOMETRY]


@FEW
@given(length=shapes.inches(40, 130), wide=shapes.inches(30, 80), first=st.booleans())
def test_a_further_surface_renames_nothing(length: float, wide: float, first: bool) -> None:
    """Wherever it is listed; one board a course, so that no joint moves."""
    area, board = requests.room(length, wide), requests.board("12 ft")
    other = requests.room(100, 40) | {"id": "another"}
    alone = answered(requests.job(area, board))
    beside = answered(requests.job([other, area] if first else [area, other], board))
    own = {row["id"] for row in beside["pieces"] if row["surface"] == area["id"]}
    assert own == {row["id"] for row in alone["pieces"]}
