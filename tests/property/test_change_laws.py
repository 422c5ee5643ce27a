"""A change is the same however its jobs are said, and whatever they have in common (21)."""

from __future__ import annotations

import copy
import json
from collections import Counter, defaultdict
from collections.abc import Callable
from functools import cache
from math import isclose
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.strategies.asking import answered, asked
from tests.strategies.budget import FEW
from tests.strategies.changes import (
    WAYS,
    asked_change,
    changes,
    metric,
    mirrored,
    nothing_alike,
    reordered,
    sound,
)
from tests.strategies.requests import board, job, room

Request = dict[str, Any]

PLY = {"id": "ply", "form": "sheet", "width": 47.875, "thickness": 0.5,
       "stock": [{"length": 95.875}]}  # fmt: skip
ROLL = {"id": "roll", "form": "roll", "width": 54, "stock": [{"length": "100 ft"}]}
TAPE = {"id": "tape", "form": "tape", "width": 2.5, "length": "60 ft"}
LAYERS = [{"id": "panel", "kind": "sheathing", "product": "ply", "tape": "tape"},
          {"id": "wrap", "kind": "wrap", "product": "roll", "tape": "tape"}]  # fmt: skip


@cache
def porch(hatch: tuple[float, ...] | None) -> Request:
    """A built-up ceiling with a hatch or none; as wide on both sides of its members."""
    area = room(240, 82, behind={"direction": 90, "first": 24, "spacing": 16})
    area["layers"] = [*LAYERS, *area["layers"]]
    if hatch:
        area["openings"] = [{"id": "hatch", "rectangle": list(hatch)}]
    return job(area, board("8 ft", "12 ft", "24 ft"), PLY, ROLL, TAPE, effort="quick")


BEFORE, AFTER = porch((90, 33, 60, 16)), porch((84, 29, 72, 24))


def made_of(before: Request, after: Request, **more: Any) -> Request:
    """The change order; a refusal fails the test."""
    found = asked_change({"before": before, "after": after} | more)
    assert found.kind == "answer", (found.body.decode(), json.dumps([before, after]))
    return sound(json.loads(found.body))


@cache
def plainly(installed: str) -> Request:
    """The change of the porch as it is said first."""
    return made_of(BEFORE, AFTER, installed=installed)


def counts(made: Request) -> Counter[tuple[str, ...]]:
    """What is done to how many pieces of each layer, to the framing, and what is bought."""
    done = Counter((row["layer"], row["do"]) for row in made["pieces"])
    done.update(("framing", row["do"], row["what"]) for row in made["framing"])
    return done


@pytest.mark.parametrize("installed", ["nothing", "everything"])
@pytest.mark.parametrize("way", [metric, mirrored, reordered])
def test_however_both_jobs_are_said_the_difference_is_the_same(
    way: Callable[[Request], Request], installed: str
) -> None:
    """Whatever is done, to how many pieces and lines of framing, and what is bought."""
    made = made_of(way(BEFORE), way(AFTER), installed=installed)
    plain = plainly(installed)
    assert counts(made) == counts(plain)
    bought = [Counter({row["product"]: row["more"] for row in one["order"]})
              for one in (made, plain)]  # fmt: skip
    assert bought[0] == bought[1]


@given(changes(), st.sampled_from(["nothing", "everything"]))
@FEW
def test_a_job_that_is_only_listed_otherwise_is_the_same_job(
    request: Request, installed: str
) -> None:
    one = request["after"]
    assume(asked(one).kind == "answer")
    made = made_of(one, reordered(one), installed=installed)
    assert {row["do"] for row in made["pieces"]} <= {"keep"}
    assert all(row["was"] == row["is"] for row in made["pieces"])
    assert {row["do"] for row in made["framing"]} <= {"keep"}
    assert (made["order"], made["steps"]) == ([], [])


@given(nothing_alike(), st.sampled_from(["nothing", "everything"]))
@FEW
def test_of_jobs_that_have_nothing_alike_all_goes_and_all_comes(
    request: Request, installed: str
) -> None:
    """From an empty place to a full one, and back: each piece of either, and each line behind.

    What is up is not taken off the order: it was cut and nailed.
    """
    assume(asked(request["before"]).kind == asked(request["after"]).kind == "answer")
    before, after = answered(request["before"]), answered(request["after"])
    made = made_of(request["before"], request["after"], installed=installed)
    for do, side, whole in (("remove", "was", before), ("add", "is", after)):
        own = [row for row in made["pieces"] if row["do"] == do]
        assert Counter(row[side] for row in own) == Counter(row["id"] for row in whole["pieces"])
        told = sum(row[f"{side}_area"] for row in own)
        assert isclose(told, sum(row["area"] for row in whole["pieces"]), abs_tol=1e-3)
    assert {row["do"] for row in made["pieces"]} == {"remove", "add"}
    assert all(row["is_up"] == (installed == "everything") for row in made["pieces"]
               if row["do"] == "remove")  # fmt: skip
    if installed == "everything":
        assert not any(row["fewer"] for row in made["order"])
        bought = Counter({(row["product"], row["length"]): row["more"] for row in made["order"]})
        whole = Counter({(row["product"], row["length"]): row["buy"] for row in after["order"]})
        assert bought == whole


@pytest.mark.parametrize("first", [True, False])
def test_a_layer_that_comes_on_one_that_stays_leaves_that_alone(first: bool) -> None:
    """Boards on sheets that are up, and the boards taken off again."""
    built = porch((90, 33, 60, 16))
    bare = copy.deepcopy(built)
    bare["surfaces"][0]["layers"] = [one for one in LAYERS if one["id"] == "panel"]
    both = (bare, built) if first else (built, bare)
    made = made_of(*both, installed="everything")
    done = {(row["layer"], row["do"]) for row in made["pieces"]}
    comes = "add" if first else "remove"
    assert done == {("panel", "keep"), ("wrap", comes), ("boards", comes)}
    assert not any(row["fewer"] for row in made["order"])
    assert first or not made["order"]


@pytest.mark.parametrize("side", ["before", "after"])
def test_an_opening_that_takes_all_is_refused_where_it_was_sent(side: str) -> None:
    """A job with nothing to lay is no job, in a change as alone (1.1)."""
    gone = porch((-1, -1, 242, 84))
    found = asked_change({"before": BEFORE, "after": AFTER, side: gone})
    assert found.kind == "TradeRefused"
    (fault,) = json.loads(found.body)["faults"]
    assert (fault["code"], fault["pointer"]) == ("nothing-left", f"/{side}/surfaces/0/layers/0")


hatches = st.tuples(
    st.integers(40, 110), st.integers(16, 30), st.integers(16, 60), st.integers(8, 30)
)


@given(hatches, hatches, st.sampled_from(WAYS))
@FEW
def test_course_by_course_boards_are_those_of_the_job_to_be(
    was: tuple[int, ...], now: tuple[int, ...], way: Callable[[Request], Request]
) -> None:
    """What stays, cut or whole, and what is new cover each course as far as the whole job does.

    To a thousandth of a square inch, and no two of them lie on each other.
    """
    before, after = (way(ceiling(hatch)) for hatch in (was, now))
    assume(asked(before).kind == asked(after).kind == "answer")
    made, whole = made_of(before, after, installed="everything"), answered(after)
    covered, wanted = defaultdict[int, float](float), defaultdict[int, float](float)
    for row in (one for one in made["pieces"] if one["is"]):
        covered[row["course"]] += row["is_area"]
    for row in whole["pieces"]:
        wanted[row["course"]] += row["area"]
    assert covered.keys() == wanted.keys()
    assert all(isclose(covered[one], wanted[one], abs_tol=1e-5) for one in wanted)


def ceiling(hatch: tuple[int, ...]) -> Request:
    """A ceiling of one layer of boards with a hatch."""
    area = room(190, 72, openings=[{"id": "hatch", "rectangle": list(hatch)}])
    return job(area, board("8 ft", "24 ft"), when_blocked="relax", effort="quick")
