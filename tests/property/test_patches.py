"""A cure is written as a patch that puts its value where it says, and its lengths exactly."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.errors import Cure, Ticks
from service.report.patches import in_words, operations
from service.report.scale import scale_of
from service.units.ticks import LONGEST
from tests.independent.json_patch import patched
from tests.independent.measure import ticks
from tests.strategies.budget import LAW

WORDS = ("rules", "start", "a/b", "c~d", "1")
VALUES = st.recursive(
    st.none() | st.integers() | st.sampled_from(WORDS),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(WORDS), inner),
    max_leaves=12,
)
REQUESTS = st.dictionaries(st.sampled_from(WORDS), VALUES)


@st.composite
def edited(draw: st.DrawFn) -> tuple[Any, list[str]]:
    """A request, and the way to a place in it that is there, or could be."""
    request = draw(REQUESTS)
    way: list[str] = []
    spot: Any = request
    for _ in range(draw(st.integers(1, 4))):
        if isinstance(spot, list):
            part = draw(st.sampled_from([*map(str, range(len(spot))), "-"]))
            spot = spot[int(part)] if part != "-" else None
        else:
            part = draw(st.sampled_from(WORDS))
            spot = spot.get(part) if isinstance(spot, dict) else None
        way.append(part)
    return request, way


def pointer(way: list[str]) -> str:
    return "".join("/" + part.replace("~", "~0").replace("/", "~1") for part in way)


def at(request: Any, way: list[str]) -> Any:
    for part in way:
        if isinstance(request, list):
            request = request[-1 if part == "-" else int(part)]
        else:
            request = request[part]
    return request


@LAW
@given(case=edited(), value=VALUES)
def test_a_patch_puts_the_value_where_the_cure_says(
    case: tuple[Any, list[str]], value: Any
) -> None:
    """Whether the place was there or not, or its parents were; the request itself stays as sent."""
    request, way = case
    before = copy.deepcopy(request)
    made = operations(request, Cure(pointer(way), value), lambda one: one)
    after = patched(request, made)
    assert request == before
    assert at(after, way) == value
    assert len(made) == 1


@LAW
@given(case=edited(), value=VALUES)
def test_a_patch_changes_nothing_else(case: tuple[Any, list[str]], value: Any) -> None:
    """Put back what was there, or take out what was not, and the request is as it was."""
    request, way = case
    (made,) = operations(request, Cure(pointer(way), value), lambda one: one)
    after = patched(request, [made])
    if made["op"] == "replace":
        parts = [part.replace("~1", "/").replace("~0", "~") for part in made["path"].split("/")[1:]]
        assert patched(after, [{**made, "value": at(request, parts)}]) == request
        return
    path = made["path"]
    if path.endswith("/-"):
        grown = at(after, [p.replace("~1", "/").replace("~0", "~") for p in path.split("/")[1:-1]])
        path = f"{path[:-1]}{len(grown) - 1}"
    assert patched(after, [{"op": "remove", "path": path}]) == request


def test_edits_that_belong_together_share_the_parent_that_the_first_one_adds() -> None:
    """Two rules where no rules were sent: the second does not put aside the first."""
    both = Cure("/rules/gap", 1, also=(Cure("/rules/kerf", 2),))
    assert patched({}, operations({}, both, lambda one: one)) == {"rules": {"gap": 1, "kerf": 2}}


@LAW
@given(unit=st.sampled_from(["in", "ft", "mm", "cm", "m"]), length=st.integers(0, LONGEST))
def test_a_length_of_a_cure_is_read_as_those_very_ticks(unit: str, length: int) -> None:
    """0.1: a number of six decimals where it says the length, else a length with its own unit."""
    written = scale_of(unit).exactly([{"at": Ticks(length)}])[0]["at"]
    assert ticks(written, unit) == length


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        ("/currency", "USD", "set currency to USD"),
        ("/surfaces/0/layers/1/rules", {"turn_down": 0}, "surface 1, layer 2: set turn down to 0"),
        ("/products/0/stock/-", {"length": "14 ft"}, "product 1: add length 14 ft to stock"),
        ("/surfaces/0/openings/1/rectangle", [1, 2, 3, 4],
         "surface 1, opening 2: set rectangle to 1, 2, 3 and 4"),
        ("/before/surfaces/0/layers/0/fastening/lengths/2", 3,
         "before, surface 1, layer 1, fastening: set length 3 to 3"),
        ("/surfaces/0/layers/0/rules", {"stagger": 16, "most_joints": None},
         "surface 1, layer 1: set stagger to 16 and most joints to none"),
        ("/surfaces/0/openings", [], "surface 1: set openings to none"),
    ],
)  # fmt: skip
def test_a_patch_is_said_on_paper_without_pointers(path: str, value: Any, words: str) -> None:
    assert in_words([{"op": "add", "path": path, "value": value}]) == words
