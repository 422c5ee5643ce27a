"""What is up when a job changes: patches fill what the change opens, no more (21.4, 21.5)."""

from __future__ import annotations

import copy
import json
from collections import Counter, defaultdict
from itertools import pairwise
from math import isclose
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.strategies import build_ups, jobs
from tests.strategies.asking import answered, asked
from tests.strategies.budget import FEW
from tests.strategies.changes import asked_change, changes, sound
from tests.strategies.requests import board, changed, job, room

Request = dict[str, Any]
Row = dict[str, Any]


def opened(request: Request, installed: Any = "everything") -> Request:
    """The change order of a job that is up; where either job is refused by itself there is none."""
    assume(asked(request["before"]).kind == asked(request["after"]).kind == "answer")
    return made_of(request, installed)


def made_of(request: Request, installed: Any = "everything") -> Request:
    """The change order; a refusal fails the test."""
    found = asked_change(request | {"installed": installed})
    assert found.kind == "answer", (found.body.decode(), json.dumps(request))
    return sound(json.loads(found.body))


@given(st.one_of(jobs.with_openings(), build_ups.build_ups(jobs.with_openings())))
@FEW
def test_where_nothing_changes_all_that_is_up_stays(request: Request) -> None:
    made = opened({"before": request, "after": request})
    assert {row["do"] for row in made["pieces"]} == {"keep"}
    assert all(row["was"] == row["is"] and row["is_up"] for row in made["pieces"])
    assert (made["order"], made["steps"], made["work"]["pieces"]) == ([], [], [])


KINDS = Path(__file__).parents[2] / "service/products/kinds"


@pytest.mark.parametrize("name", ["boarding/examples/wraparound", "box_beams/examples/coffers",
                                  "strapping/examples/strapped_ceiling"])  # fmt: skip
def test_examples_of_kinds_stay_as_they_are(name: str) -> None:
    """Mitred ends, and kinds of which no part is opened."""
    request = json.loads((KINDS / f"{name}.json").read_bytes())
    made = made_of({"before": request, "after": request})
    assert {row["do"] for row in made["pieces"]} == {"keep"}
    assert (made["order"], made["steps"]) == ([], [])


@st.composite
def patched_in_any_way(draw: st.DrawFn) -> Request:
    """Changes of what is built up, its sheets patched in whole rows or on blocks."""
    request = draw(changes(build_ups.build_ups(jobs.with_openings())))
    way = draw(st.sampled_from(["rows", "blocks"]))
    for job_ in request.values():
        for layer in (one for area in job_["surfaces"] for one in area["layers"]):
            if layer["kind"] == "sheathing":
                layer["patches"] = way
    return request


up_to = st.one_of(
    st.just("everything"), st.integers(1, 8).map(lambda n: [{"courses": {"from": 1, "to": n}}])
)


@given(patched_in_any_way(), up_to)
@FEW
def test_patches_are_what_the_change_opens(request: Request, installed: Any) -> None:
    """What stays and goes is what was; what stays, cut or whole, and what comes is what is to be.

    By area, layer by layer: sheets but for the gaps at their new joints, and no wrap, which laps.
    """
    made = opened(request, installed)
    before, after = answered(request["before"]), answered(request["after"])
    was = {row["was"] for row in made["pieces"] if row["was"]}
    assert was == {row["id"] for row in before["pieces"]}
    areas = [Counter[str](), Counter[str](), Counter[str](), Counter[str]()]
    for row in made["pieces"]:
        areas[0][row["layer"]] += row["was_area"]
        areas[1][row["layer"]] += row["is_area"]
    for k, whole in enumerate((before, after)):
        for row in whole["pieces"]:
            areas[2 + k][row["layer"]] += row["area"]
    kinds = {row["layer"]: row["kind"] for row in after["layers"]}
    for layer, kind in kinds.items():
        assert isclose(areas[0][layer], areas[2][layer], abs_tol=0.01)
        if kind != "wrap":
            off = 0.01 if kind == "boarding" else 0.25
            assert isclose(areas[1][layer], areas[3][layer], abs_tol=off), layer


@given(changes(build_ups.build_ups(jobs.with_openings())), up_to)
@FEW
def test_no_two_boards_or_sheets_lie_on_each_other(request: Request, installed: Any) -> None:
    made = opened(request, installed)
    courses: dict[tuple[str, float], list[Row]] = defaultdict(list)
    for row in made["pieces"]:
        if row["is"] and row["product"] != "roll":
            courses[row["layer"], min(row["near"], row["far"])].append(row)
    for own in courses.values():
        for a, b in pairwise(sorted(own, key=lambda row: (row["from"], row["to"]))):
            assert a["to"] <= b["from"] + 0.001 or _beside_one_another(a, b), (a, b)


def _beside_one_another(a: Row, b: Row) -> bool:
    """Whether two parts of one course lie beside one another, as below and above a hole do."""
    span = [sorted((row["near"], row["far"])) for row in (a, b)]
    return span[0][1] <= span[1][0] + 0.001 or span[1][1] <= span[0][0] + 0.001


hatches = st.tuples(
    st.integers(40, 110), st.integers(20, 50), st.integers(16, 60), st.integers(8, 30)
).map(list)


@given(hatches, hatches, st.sampled_from([12, 16, 24]))
@FEW
def test_boards_are_cut_back_to_bearings_and_never_on_a_neighbour(
    was: list[int], now: list[int], spacing: int
) -> None:
    """Every joint that a change makes lies on a joist; untouched boards are those of the job."""
    area = room(220, 92, behind={"direction": 90, "first": spacing, "spacing": spacing,
                                 "thickness": 1.5})  # fmt: skip
    before = job(area, board("8 ft", "12 ft"), when_blocked="relax")
    before["surfaces"][0]["openings"] = [{"id": "hatch", "rectangle": was}]
    after = copy.deepcopy(before)
    after["surfaces"][0]["openings"] = [{"id": "hatch", "rectangle": now}]
    made = opened({"before": before, "after": after})
    courses: dict[int, list[Row]] = defaultdict(list)
    for row in made["pieces"]:
        if row["is"]:
            courses[row["course"]].append(row)
    for own in courses.values():
        for a, b in pairwise(sorted(own, key=lambda row: row["from"])):
            if isclose(a["to"], b["from"], abs_tol=0.001):
                assert a["to"] % spacing == 0, (a, b)
    for row in made["pieces"]:
        near, far = sorted((row["near"], row["far"]))
        beside = 2 * 5.125  # a joint may be given up in the next course, or the next but one
        clear = all(far < y - 1 - beside or near > y + h + 1 + beside for _, y, _, h in (was, now))
        assert not clear or row["do"] == "keep"


@pytest.mark.parametrize("width", [62.5, 122])
@pytest.mark.parametrize("hatch", [[60, 20, 48, 20], [100, 20, 22.5, 22.5], [100, 20, 22.5, 60]])
def test_a_hatch_is_closed_though_joints_beside_it_are_in_the_way(
    width: float, hatch: list[float]
) -> None:
    """Of short boards: joints beside what nothing else fills are given up, as few as it takes.

    All joints keep their stagger, those that stay and those that come: 24 in from the next course,
    6 in from the next but one (6.5), but for joints that were nearer before.
    """
    area = room(200, width, openings=[{"id": "hatch", "rectangle": hatch}])
    before = job(area, board("8 ft", "12 ft"))
    made = made_of({"before": before, "after": changed(before, "/surfaces/0/openings", [])})
    courses: dict[int, list[Row]] = defaultdict(list)
    for row in made["pieces"]:
        if row["is"]:
            courses[row["course"]].append(row)
    for own in courses.values():
        ends = sorted((float(row["from"]), float(row["to"])) for row in own)
        assert (ends[0][0], ends[-1][1]) == (0.5, 199.5)
        assert all(a[1] == b[0] for a, b in pairwise(ends))
    joints = {
        course: [float(row["to"]) for row in own if row["to"] < 199]
        for course, own in courses.items()
    }
    for course, here in joints.items():
        for apart, least in ((1, 24), (2, 6)):
            others = joints.get(course + apart, [])
            assert all(abs(a - b) >= least - 0.001 for a in here for b in others)


@pytest.mark.parametrize(
    ("pointer", "value"),
    [("/products/0/stock/-", {"length": "16 ft", "price": 21}), ("/products/0/stock/0/price", 11),
     ("/products/0/species", "fir")],
)  # fmt: skip
def test_another_length_or_price_takes_nothing_down(pointer: str, value: Any) -> None:
    """What is up lies as it does, whatever is bought from now on; thinner boards are others."""
    stock = [{"length": "8 ft", "price": 10}, {"length": "12 ft", "price": 15}]
    before = job(room(220, 92), board(*stock))
    made = made_of({"before": before, "after": changed(before, pointer, value)})
    assert {row["do"] for row in made["pieces"]} == {"keep"}
    thin = made_of({"before": before, "after": changed(before, "/products/0/thickness", 0.5)})
    assert {row["do"] for row in thin["pieces"]} == {"remove", "add"}


def told(request: Request) -> list[tuple[str, str]]:
    found = asked_change(request)
    assert found.kind == "TradeRefused", found.body
    return [(fault["code"], fault["pointer"]) for fault in json.loads(found.body)["faults"]]


def test_what_is_up_is_named_as_the_first_answer_names_it() -> None:
    one = job(room(200, 60))
    first = answered(one)["pieces"]
    sent = [{"surface": "loft", "layer": "boards", "pieces": [row["id"] for row in first[:5]]}]
    made = made_of({"before": one, "after": one}, sent)
    assert [row["was"] for row in made["pieces"] if row["is_up"]] == [
        row["id"] for row in first[:5]
    ]
    both = {"before": one, "after": one}
    assert told(both | {"installed": [{"pieces": ["loft.boards.1.1"]}]}) == [
        ("no-such-piece", "/installed/0/pieces/0")
    ]
    near = asked_change(both | {"installed": [{"pieces": [first[0]["id"] + "x"]}]}).body.decode()
    assert f"did you mean `{first[0]['id']}`" in near
    assert told(both | {"installed": [{"surface": "attic"}]}) == [
        ("nothing-up-there", "/installed/0")
    ]
    assert told(both | {"installed": [{"courses": {"from": 90, "to": 99}}]}) == [
        ("nothing-up-there", "/installed/0")
    ]


def test_ends_that_are_cut_in_place_are_coated_with_the_new_boards() -> None:
    """Primed on all sides: girth by what is bought, two ends of each new board, one of each cut.

    20.1 counts end grain twice; a board of 5-3/8 x 3/4 has an end of 4.03125 sq in and a girth of
    12.25 in.
    """
    primer = {"id": "primer", "form": "coating", "spread": "400 ft2/gal",
              "packs": [{"holds": "1 gal"}]}  # fmt: skip
    area = room(200, 62.5, openings=[{"id": "hatch", "rectangle": [60, 20, 48, 20]}],
                layer={"coats": [{"product": "primer", "on": "all_sides"}]})  # fmt: skip
    before = job(area, board("20 ft"), primer)
    made = made_of(
        {"before": before, "after": changed(before, "/surfaces/0/openings/0/rectangle/2", 60)}
    )
    cut = [row for row in made["pieces"] if row["do"] == "recut"]
    was = {row["id"]: row for row in answered(before)["pieces"]}
    ends = sum((row["from"] != was[row["was"]]["from"]) + (row["to"] != was[row["was"]]["to"])
               for row in cut)  # fmt: skip
    new = sum(row["do"] == "add" for row in made["pieces"])
    assert ends > 0
    (row,) = made["work"]["liquids"]
    bought = sum(line["length"] * line["buy"] for line in made["work"]["order"] if line["length"])
    assert row["area"] * 144 == pytest.approx(
        bought * 12.25 + (2 * new + ends) * 2 * 4.03125, abs=0.1
    )
    (step,) = [one["text"] for one in made["steps"] if one["do"] == "recut"]
    assert f"Give the {ends} ends that were cut 1 coat of primer." in step
    fit = next(one["text"] for one in made["steps"] if one["do"] == "add" and one["layer"])
    assert "Before, give them 1 coat of primer on all sides." in fit


def test_ends_that_are_cut_in_place_are_coated_where_nothing_new_is_laid() -> None:
    """A wall comes in: twelve boards are cut, none is new; 12 x 4.03125 sq in, twice, by 20.1.

    Two coats on all sides, and one on the face, which nothing of what is new asks for.
    """
    primer = {"id": "primer", "form": "coating", "spread": "400 ft2/gal",
              "packs": [{"holds": "1 qt"}]}  # fmt: skip
    coats = [{"product": "primer", "on": "all_sides", "coats": 2}, {"product": "primer"}]
    area = room(200, 62.5, layer={"coats": coats, "start": "full_first"})
    before = job(area, board("20 ft"), primer, rules={"backing": "none"})
    made = made_of({"before": before, "after": changed(before, "/surfaces/0/rectangle/0", 190)})
    assert Counter(row["do"] for row in made["pieces"]) == {"recut": 12}
    (row,) = made["work"]["liquids"]
    assert row["area"] * 144 == pytest.approx(12 * 2 * 4.03125, abs=0.1)
    assert row["times"] == 2
    assert {line["product"]: line["more"] for line in made["order"]} == {"primer": 1}
    (step,) = [one["text"] for one in made["steps"] if one["do"] == "recut"]
    assert "Give the 12 ends that were cut 2 coats of primer." in step
