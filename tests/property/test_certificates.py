"""With `certificate` asked for, the bound of boards can be checked by anybody, and not forged."""

from __future__ import annotations

import random
from collections.abc import Callable
from copy import deepcopy
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.compute import TEXT, Picked, answer
from tests.strategies import asking, build_ups, jobs, requests, strapped
from tests.strategies.asking import answered
from tests.strategies.budget import LAW, examples
from tests.strategies.stranger import failures
from tests.strategies.transforms import in_millimetres, scaled

Request = dict[str, Any]

MANY = examples(50)
"""Of which `make wide` with TIMES=10 tries 500."""


@st.composite
def asked(draw: st.DrawFn) -> Request:
    """Any job, in inches or millimetres, twice as large or in a mirror, for any objective."""
    request = draw(st.one_of(jobs.jobs(), build_ups.build_ups(), strapped.strapped()))
    ways = [as_it_is, doubled, mirrored]
    if all(product["form"] == "board" for product in request["products"]):
        ways.append(in_millimetres)
    request = draw(st.sampled_from(ways))(request)
    objective = draw(
        st.sampled_from(["least_length", "least_cost", "fewest_sticks", "fewest_joints"])
    )
    limit = draw(st.sampled_from([None, None, 7]))
    for product in request["products"]:
        if product["form"] == "board":
            for k, row in enumerate(product["stock"]):
                row["price"] = 7.25 + 2.5 * k * k
            if limit is not None and len(product["stock"]) > 1:
                product["stock"][0]["on_hand"] = limit
        elif objective == "least_cost":
            objective = "least_length"
    return request | {"objective": objective, "certificate": True}


def as_it_is(request: Request) -> Request:
    return request


def doubled(request: Request) -> Request:
    """Rooms, members and stock twice as long; boards stay as wide as they are."""
    return scaled(request, 2) if request["unit"] == "in" else request


def mirrored(request: Request) -> Request:
    """Drawn in plan: as seen from above, the other way round."""
    return request | {"surfaces": [one | {"view": "plan"} for one in request["surfaces"]]}


@MANY
@given(request=asked())
def test_a_certificate_holds_and_is_no_more_than_the_bound(request: Request) -> None:
    assume(asking.asked(request).kind == "answer")  # twice as long may be too long for its stock
    told = answered(request)
    assert failures(request, told) == []
    plans = {row["product"]: row for row in told["cut_plans"]}
    assert [row["product"] for row in told["certificates"]] == list(plans)
    for row in told["certificates"]:
        plan = plans[row["product"]]
        assert (row["bound"], row["measured_in"]) == (plan["bound"], plan["measured_in"])
        assert (
            (row["proof"] is None) == (row["certified_bound"] is None) != (row["why_not"] is None)
        )
        if row["proof"] is not None:
            assert 0 <= row["certified_bound"] <= plan["bound"] <= plan["cost"]
            assert (row["bound_by"] == "proof") == (row["certified_bound"] == plan["bound"])


@LAW
@given(request=asked())
def test_the_rest_of_the_answer_is_the_same_without_it(request: Request) -> None:
    assume(asking.asked(request).kind == "answer")
    told = answered(request)
    del told["certificates"]
    plain = answered({key: value for key, value in request.items() if key != "certificate"})
    assert list(plain) == list(told)
    assert plain == told


def test_boards_that_are_laid_in_courses_have_one_and_what_is_not_says_why() -> None:
    request = requests.job(requests.room(192, 144), objective="fewest_lengths", certificate=True)
    (row,) = answered(request)["certificates"]
    assert row["proof"] is None
    assert "fewest lengths" in row["why_not"]


def test_rips_of_many_widths_have_few_shares() -> None:
    """All that lie beside one another in a board are tried, so there are few kinds of them."""
    wide = 1 + 5 * requests.COVER  # and a rip of 1-1/4 to 2-1/4 in
    rooms = [
        requests.room(100, wide + 1.25 + k / 8, layer={"start": "full_first"}) | {"id": f"room{k}"}
        for k in range(9)
    ]
    request = requests.job(rooms, requests.board("10 ft", "16 ft"), certificate=True)
    told = answered(request)
    (row,) = told["certificates"]
    assert len({one["width"] for one in told["courses"]}) > 8
    assert 1 < len(row["proof"]["widths"]) <= 8
    assert failures(request, told) == []


def test_one_room_by_hand() -> None:
    """16 ft boards of 191 in, each from a stick of its own: 28 courses of 16 ft are 448 ft.

    On paper it is said beside the plan, and only where it was asked for.
    """
    request = requests.job(requests.room(192, 144), requests.board("16 ft"), certificate=True)
    (row,) = answered(request)["certificates"]
    assert row["certified_bound"] == row["bound"] == 28 * 192
    assert row["bound_by"] == "proof"
    assert "no plan can do with less than 448' 0\" of boards" in row["in_words"]
    plain = {key: value for key, value in request.items() if key != "certificate"}
    texts = [
        answer(asking.body_of(one), Picked(media=TEXT)).body.decode() for one in (request, plain)
    ]
    assert row["in_words"] in " ".join(texts[0].split())
    assert ["WHAT OF THAT CAN BE CHECKED" in text for text in texts] == [True, False]


def test_what_only_the_search_found_is_told_apart() -> None:
    """Some bounds are more than what can be added up: both are said."""
    request = requests.job(
        requests.room(380, 122), requests.board("8 ft", "12 ft"), certificate=True
    )
    (row,) = answered(request)["certificates"]
    assert row["bound_by"] == "search"
    assert row["certified_bound"] < row["bound"]
    assert row["in_words"].count("less than") == 2
    assert "by search, and has no proof" in row["in_words"]


def test_where_runs_have_more_joints_than_they_should_the_bound_is_what_is_proved() -> None:
    """Of 380 in from 6 and 7 ft on joists at 16 in each run has more joints than one in 96 in.

    24 courses of 379 in are 9,096 in, and four joints in each count 36 in: 12,552 in. What is
    proved is more than that bare length, and is claimed without a certificate too.
    """
    room = requests.room(380, 122, rules={"stagger": 16})
    request = requests.job(room, requests.board("6 ft", "7 ft"))
    told = answered(request | {"certificate": True})
    (row,) = told["certificates"]
    assert row["bound_by"] == "proof"
    assert row["certified_bound"] == row["bound"] > 24 * 379 + 4 * 24 * 36  # a joint counts 36 in
    assert failures(request | {"certificate": True}, told) == []
    assert answered(request)["cut_plans"] == told["cut_plans"]


# --- forgeries: each changes a true answer; None where there is nothing to be changed so ---------

Forgery = Callable[[Request, random.Random], bool]

ROOM = requests.job(
    requests.room(230, 120, openings=[{"id": "hatch", "rectangle": [100, 20, 20, 20]}]),
    requests.board("8 ft", {"length": "12 ft", "on_hand": 12}, {"length": 144.5, "on_hand": 3}),
    certificate=True,
)
"""A room whose boards are jointed on joists, of lengths of which there are only so many."""


def proved(answer: Request) -> list[Request]:
    return [row for row in answer["certificates"] if row["proof"]]


def a_worth_raised(answer: Request, draw: random.Random) -> bool:
    """All of them, for at these prices some stick is worth just what it costs."""
    told = draw.choice(proved(answer))["proof"]
    for row in told["worths"]:
        row["worths"] = [2 * worth + 1 for worth in row["worths"]]
    return any(row["worths"] for row in told["worths"])


def a_worth_that_falls(answer: Request, draw: random.Random) -> bool:
    told = draw.choice(proved(answer))["proof"]
    rows = [row for row in told["worths"] if len(row["worths"]) > 1]
    if not rows:
        return False
    row = draw.choice(rows)
    row["worths"][0], row["worths"][-1] = row["worths"][-1], row["worths"][0]
    return True


def more_certified(answer: Request, draw: random.Random) -> bool:
    row = draw.choice(proved(answer))
    (plan,) = (one for one in answer["cut_plans"] if one["product"] == row["product"])
    more = (plan["cost"] + 1) * 1.5
    row["certified_bound"] = row["bound"] = plan["bound"] = plan["cost"] = more
    row["bound_by"] = "proof"
    return True


def a_bound_of_its_own(answer: Request, draw: random.Random) -> bool:
    row = draw.choice(proved(answer))
    row["bound"] += 1
    return True


def a_proof_claimed(answer: Request, draw: random.Random) -> bool:
    row = draw.choice(proved(answer))
    row["bound_by"] = "search" if row["bound_by"] == "proof" else "proof"
    return True


def a_run_left_out(answer: Request, draw: random.Random) -> bool:
    one = draw.choice(draw.choice(proved(answer))["proof"]["runs"])
    one["runs"].remove(draw.choice(one["runs"]))
    return True


def a_run_twice(answer: Request, draw: random.Random) -> bool:
    one = draw.choice(draw.choice(proved(answer))["proof"]["runs"])
    one["runs"].append(draw.choice(one["runs"]))
    return True


def a_run_made_longer(answer: Request, draw: random.Random) -> bool:
    one = draw.choice(draw.choice(proved(answer))["proof"]["runs"])
    one["to"] += 2_032_000
    return True


def stations_left_out(answer: Request, draw: random.Random) -> bool:
    """All of a run that has joints: they are on stations that it does not know."""
    names = {piece["id"]: piece["run"] for piece in answer["pieces"]}
    jointed = {names[row["between"][0]] for row in answer["joints"]}
    rows = [
        one for row in proved(answer) for one in row["proof"]["runs"]
        if one["stations"] and jointed & set(one["runs"])
    ]  # fmt: skip
    if not rows:
        return False
    draw.choice(rows)["stations"] = []
    return True


def a_joint_priced_too_high(answer: Request, draw: random.Random) -> bool:
    draw.choice(proved(answer))["proof"]["joint"] += 1_016_000 * 10**4
    return True


def a_window_too_wide(answer: Request, draw: random.Random) -> bool:
    """Over the whole layer, where nobody knows how many joints there are."""
    told = draw.choice(proved(answer))["proof"]
    run = draw.choice(told["runs"])
    (one,) = (row for row in answer["runs"] if row["id"] == run["runs"][0])
    if not run["stations"]:
        return False
    told["windows"].append(
        {"surface": one["surface"], "layer": one["layer"], "from": run["from"], "to": run["to"],
         "price": 1}
    )  # fmt: skip
    return run["to"] - run["from"] > 100 * 1_016_000


def a_rip_worth_a_board(answer: Request, draw: random.Random) -> bool:
    draw.choice(proved(answer))["proof"]["widths"][0]["width"] //= 4
    return True


FORGERIES: tuple[Forgery, ...] = (
    a_worth_raised, a_worth_that_falls, more_certified, a_bound_of_its_own, a_proof_claimed,
    a_run_left_out, a_run_twice, a_run_made_longer, stations_left_out, a_joint_priced_too_high,
    a_window_too_wide, a_rip_worth_a_board,
)  # fmt: skip


@pytest.mark.parametrize("forgery", FORGERIES, ids=lambda one: one.__name__)
def test_what_is_forged_fails_by_name(forgery: Forgery) -> None:
    told = answered(ROOM)
    assert failures(ROOM, told) == []
    for seed in range(3):
        forged = deepcopy(told)
        if forgery(forged, random.Random(seed)):
            assert named(failures(ROOM, forged))
    assert any(forgery(deepcopy(told), random.Random(seed)) for seed in range(9))


@LAW
@given(request=asked(), seed=st.integers(0, 10**6))
def test_whatever_is_forged_fails_by_name(request: Request, seed: int) -> None:
    assume(asking.asked(request).kind == "answer")
    told, draw = answered(request), random.Random(seed)
    anywhere = [forgery for forgery in FORGERIES if forgery is not a_rip_worth_a_board]
    for forgery in draw.sample(anywhere, 4) if proved(told) else ():
        forged = deepcopy(told)
        if forgery(forged, draw):
            assert named(failures(request, forged)), forgery


def named(found: list[str]) -> bool:
    return any(text.startswith("certificate: ") for text in found)
