"""A change order is the difference of two takeoffs: nothing is lost between them (21)."""

from __future__ import annotations

import copy
import json
from collections import Counter
from math import isclose
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.independent.json_patch import patched
from tests.strategies import build_ups, jobs
from tests.strategies.asking import answered, asked, refused
from tests.strategies.budget import FEW
from tests.strategies.changes import asked_change, changes, of_any_sort, sound
from tests.strategies.requests import board, job, room

Request = dict[str, Any]


def order_of_change(request: Request) -> Request:
    """The change order; where either job is refused by itself there is none."""
    assume(asked(request["before"]).kind == asked(request["after"]).kind == "answer")
    return made_of(request)


def made_of(request: Request) -> Request:
    """The change order; a refusal fails the test."""
    found = asked_change(request)
    assert found.kind == "answer", (found.body.decode(), json.dumps(request))
    return sound(json.loads(found.body))


@given(st.one_of(jobs.jobs(), build_ups.build_ups()))
@FEW
def test_no_change_is_an_empty_difference(request: Request) -> None:
    made = order_of_change({"before": request, "after": request})
    assert {row["do"] for row in made["pieces"]} <= {"keep"}
    assert {row["do"] for row in made["framing"]} <= {"keep"}
    assert all(row["was"] == row["is"] for row in made["pieces"])
    assert (made["order"], made["steps"]) == ([], [])
    assert made["summary"]["price"] == made["summary"]["credit"] == 0


@given(st.one_of(of_any_sort(), changes(build_ups.build_ups(jobs.with_openings()))))
@FEW
def test_what_stays_and_goes_is_what_was_and_what_stays_and_comes_is_what_is(
    request: Request,
) -> None:
    """As pieces, by their ids, and as areas, layer by layer."""
    made = order_of_change(request)
    before, after = answered(request["before"]), answered(request["after"])
    assert made["work"] == after
    for side, whole, area in (("was", before, "was_area"), ("is", after, "is_area")):
        own = [row for row in made["pieces"] if row[side] is not None]
        assert Counter(row[side] for row in own) == Counter(row["id"] for row in whole["pieces"])
        areas, there = Counter[str](), Counter[str]()
        for row in own:
            areas[row["layer"]] += row[area]
        for row in whole["pieces"]:
            there[row["layer"]] += row["area"]
        assert all(isclose(areas[name], there[name], abs_tol=1e-3) for name in areas | there)
    assert all((row["was"] is None) == (row["do"] == "add") for row in made["pieces"])
    assert all((row["is"] is None) == (row["do"] == "remove") for row in made["pieces"])


def shape_of(answer: Request, piece: str) -> Request:
    """Where a piece lies and how it is cut, as its own answer has it."""
    (row,) = (one for one in answer["pieces"] if one["id"] == piece)
    return {key: row[key] for key in ("layer", "product", "near", "far", "from", "to", "length",
                                      "ends", "shape", "rip", "cutouts")}  # fmt: skip


@given(changes())
@FEW
def test_only_what_lies_and_is_cut_alike_stays(request: Request) -> None:
    """And of what goes and what comes no two are alike: by geometry, not by number (21.1)."""
    made = order_of_change(request)
    before, after = answered(request["before"]), answered(request["after"])
    for row in made["pieces"]:
        if row["do"] == "keep":
            assert shape_of(before, row["was"]) == shape_of(after, row["is"])
    gone = [shape_of(before, row["was"]) for row in made["pieces"] if row["do"] == "remove"]
    come = [shape_of(after, row["is"]) for row in made["pieces"] if row["do"] == "add"]
    assert not [one for one in gone if one in come]


def bought(answer: Request) -> Counter[tuple[str, float]]:
    found = Counter[tuple[str, float]]()
    for row in answer["order"]:
        found[row["product"], row["length"]] += row["buy"]
    return found


@given(of_any_sort())
@FEW
def test_with_nothing_up_the_order_is_the_difference_of_two_orders(request: Request) -> None:
    made = order_of_change(request)
    was, now = bought(answered(request["before"])), bought(answered(request["after"]))
    rows = {(row["product"], row["length"]): row for row in made["order"]}
    for item in was | now:
        more, fewer = max(0, now[item] - was[item]), max(0, was[item] - now[item])
        row = rows.get(item)
        assert (row is None) == (more == fewer == 0)
        if row is not None:
            assert (row["was"], row["is"]) == (was[item], now[item])
            assert (row["more"], row["fewer"]) == (more, fewer)


@given(of_any_sort())
@FEW
def test_the_way_back_swaps_what_comes_and_what_goes(request: Request) -> None:
    there = order_of_change(request)
    back = order_of_change({"before": request["after"], "after": request["before"]})
    turned = {"keep": "keep", "add": "remove", "remove": "add"}
    assert Counter((row["do"], row["was"], row["is"]) for row in there["pieces"]) == Counter(
        (turned[row["do"]], row["is"], row["was"]) for row in back["pieces"]
    )
    assert Counter((row["do"], str(row["from"]), str(row["to"])) for row in there["framing"]) == (
        Counter((turned[row["do"]], str(row["from"]), str(row["to"])) for row in back["framing"])
    )
    ways = [{(row["item"], row["more"], row["fewer"]) for row in one["order"]} for one in (there,)]
    assert ways == [{(row["item"], row["fewer"], row["more"]) for row in back["order"]}]


PRICED = [{"length": f"{feet} ft", "price": f"{feet * 1.25}"} for feet in (8, 12, 16)]


def net(made: Request) -> float:
    """What a change costs: to buy, less what comes off."""
    return sum((row["price"] or 0) - (row["credit"] or 0) for row in made["order"])


@given(
    st.lists(
        st.tuples(st.sampled_from([20, 44, 70, 96, 150]), st.integers(0, 12)),
        max_size=3,
        unique_by=lambda one: one[0],
    ),
    st.one_of(st.none(), st.integers(0, 20)),
    st.sampled_from(["nothing", "everything"]),
)
@FEW
def test_what_is_left_over_never_makes_a_change_dearer(
    left: list[tuple[int, int]], came: int | None, installed: str
) -> None:
    """Whether it is said what came of the first order, or nothing of that."""
    before = job(room(200, 100), board(*PRICED), currency="USD")
    after = copy.deepcopy(before)
    after["surfaces"][0]["openings"] = [{"id": "hatch", "rectangle": [60, 30, 40, 30]}]
    bare = {"before": before, "after": after, "installed": installed}
    if came is not None:
        sent = {"product": "pine", "length": "12 ft", "count": came, "returnable": True}
        bare["delivered"] = [sent]
    rows = [{"product": "pine", "length": each, "count": n, "ends": ["cut", "cut"]}
            for each, n in left]  # fmt: skip
    made = [order_of_change(one) for one in (bare, bare | {"leftovers": rows})]
    assert net(made[1]) <= net(made[0]) + 1e-6
    for one in made:
        for row in one["order"]:
            assert 0 <= row["used"] <= row["at_hand"]
            told = came is not None or installed == "everything"
            assert not told or row["fewer"] <= row["at_hand"] - row["used"]


def test_what_is_left_over_is_used_before_what_was_delivered() -> None:
    """Two courses of 99 in: one is cut of the 100 in that is left, the other of a twelve-footer.

    However many twelve-footers came; and they are bought where none did.
    """
    before = job(room(100, 5.125), board({"length": "12 ft", "price": 15}), currency="USD")
    after = job(room(100, 10.25), board({"length": "12 ft", "price": 15}), currency="USD")
    left = [{"product": "pine", "length": 100, "count": 1, "ends": ["cut", "cut"]}]
    for came, bought in ((9, 0), (1, 0), (0, 1)):
        sent = [{"product": "pine", "length": 144, "count": came, "returnable": True}]
        made = made_of({"before": before, "after": after, "leftovers": left, "delivered": sent})
        rows = {row["length"]: (row["used"], row["more"], row["fewer"]) for row in made["order"]}
        assert rows[100] == (1, 0, 0)
        assert rows[144] == (1 - bought, bought, max(0, came - 1))


def test_what_is_left_over_comes_off_the_difference_of_two_orders() -> None:
    """Two courses of 99 in more, each from a twelve-footer: two more, less the 100 in that is left.

    Nothing is up and nothing is said of what came, so the first order holds (21.3).
    """
    before = job(room(100, 5.125), board("12 ft"))
    after = job(room(100, 15.375), board("12 ft"))
    left = [{"product": "pine", "length": 100, "count": 1, "ends": ["cut", "cut"]}]
    plain, less = (made_of({"before": before, "after": after} | more)["order"]
                   for more in ({}, {"leftovers": left}))  # fmt: skip
    assert [(row["length"], row["more"]) for row in plain] == [(144, 2)]
    assert {row["length"]: (row["used"], row["more"]) for row in less} == {144: (0, 1), 100: (1, 0)}


def test_a_ripped_leftover_is_no_whole_board_and_is_tried_for_rips() -> None:
    """Two courses and a rip of 2 in: nothing is saved of the order, and a step has it tried."""
    before = job(room(90, 5.125), board("8 ft"))
    after = job(room(90, 12.25, layer={"start": "full_first"}), board("8 ft"))
    left = {"product": "pine", "length": 92, "count": 1, "ends": ["cut", "cut"]}
    whole, ripped = (
        made_of({"before": before, "after": after, "delivered": [], "leftovers": [one]})
        for one in (left, left | {"width": 2.5})
    )
    assert {row["length"]: row["used"] for row in whole["order"]}[92] == 1
    assert {row["length"]: row["more"] for row in ripped["order"]} == {96: 3}
    (step,) = (row["text"] for row in ripped["steps"] if row["do"] == "use")
    assert '1 of pine 2-1/2" wide' in step
    assert "1 new board is ripped: course" in step
    assert not [row for row in whole["steps"] if "ripped leftovers" in row["text"]]


def test_delivered_boards_that_are_not_needed_go_back_only_where_they_are_taken() -> None:
    """A room of 200 x 100 in shrinks to half: its twelve-footers came, and are not all used."""
    before = job(room(140, 102.5), board({"length": "12 ft", "price": 15}), currency="USD")
    after = job(room(140, 51.25), board({"length": "12 ft", "price": 15}), currency="USD")
    first, second = (bought(answered(one))["pine", 144] for one in (before, after))
    for takes, fewer in ((True, first - second), (False, 0)):
        sent = [{"product": "pine", "length": 144, "count": first, "returnable": takes}]
        made = made_of({"before": before, "after": after, "delivered": sent})
        (row,) = made["order"]
        assert (row["used"], row["more"], row["fewer"]) == (second, 0, fewer)
        assert row["credit"] == 15 * fewer


def test_a_version_that_was_sent_is_set_against_this_one() -> None:
    request = job(room(100, 50))
    made = made_of({"before": request, "after": request})
    assert made["before_version"] is None
    now = made["version"]
    alike = [(now, True), ({"rules": now["rules"]}, True)]
    for sent, same in (*alike, ({"rules": "0"}, False), (now | {"digest": "x"}, False)):
        both = {"before": request, "after": request, "before_version": sent}
        assert made_of(both)["before_version"]["same"] is same


def told(request: Request) -> list[tuple[str, str]]:
    found = asked_change(request)
    assert found.kind in ("ShapeRefused", "TradeRefused"), found.body
    return [(fault["code"], fault["pointer"]) for fault in json.loads(found.body)["faults"]]


@pytest.mark.parametrize("side", ["before", "after"])
def test_what_refuses_a_job_refuses_its_change_at_the_same_place(side: str) -> None:
    """With a cure that is a patch of the whole request."""
    sound = job(room(200, 100))
    along = copy.deepcopy(sound)
    along["surfaces"][0]["layers"][0]["direction"] = 90
    request = {"before": sound, "after": sound, side: along}
    alone = json.loads(asked(along).body)["faults"]
    found = json.loads(asked_change(request).body)["faults"]
    assert refused(along)[0] == "TradeRefused"
    assert [one["pointer"] for one in found] == [f"/{side}{one['pointer']}" for one in alone]
    (cure,) = (one["cure"] for one in found)
    assert asked_change(patched(request, cure)).kind == "answer"


def test_what_is_wrong_with_a_change_is_told_where_it_was_sent() -> None:
    one = job(room(100, 50))
    metric = one | {"unit": "mm"}
    both = {"before": one, "after": one}
    assert told({"before": one, "after": metric}) == [("jobs-differ", "/after/unit")]
    assert told(both | {"leftovers": [{"product": "oak", "length": 40, "count": 1}]}) == [
        ("no-such-product", "/leftovers/0/product")
    ]
    loose = both | {"delivered": [{"product": "pine", "count": 1}]}
    assert [at for _, at in told(loose)] == ["/delivered/0"]
    assert told({"before": one}) == [("missing", "/after")]
    assert told(both | {"after": {}})[0][1].startswith("/after")
