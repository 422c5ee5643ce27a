"""Cutting alone with mitred ends: one cut parts two pieces whose ends lie alike (4.5, 8.5)."""

from __future__ import annotations

import json
from functools import cache
from itertools import combinations, pairwise, permutations, product
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from tests.independent import cut_alone
from tests.independent.cut_alone import Slants, half_round, slants
from tests.independent.measure import FOOT, INCH, ticks
from tests.strategies.asking import answered, refused
from tests.strategies.budget import FEW

Request = dict[str, Any]


def mitre(edge: str, degrees: float = 45) -> Request:
    return {"mitre": degrees, "long": edge}


def cut(request: Request) -> Request:
    """The answer, after the verifier found nothing wrong with it."""
    told = answered(request, "cut-plans")
    assert cut_alone.faults(request, told) == []
    return told


def frames(count: int, **more: Any) -> Request:
    """Sides of a frame 33 in long over their long points, both at the near edge, 3-1/2 in wide."""
    side = {"id": "side", "length": 33, "count": count, "ends": [mitre("near"), mitre("near")]}
    return {"unit": "in", "width": 3.5, "pieces": [side], "stock": [{"length": "8 ft"}]} | more


def test_sides_of_a_frame_turned_about_share_their_cuts() -> None:
    """99 in of three sides is over the 95-1/2 that a stick holds (8.1), and yet it gives three.

    Turned about, each lies 3.5 over the one before, and a cut at 45 takes 0.125 x 1.4142 = 0.177:
    99 - 2 x 3.5 + 2 x 0.177 = 92.35 in. So six come of two sticks. With a tongue none is turned,
    so that no two ends lie alike: two of each stick, three sticks.
    """
    told = cut(frames(6))
    assert [row["laps"] for row in told["sticks"]] == [[3.5, 3.5]] * 2
    assert told["summary"]["sticks"] == 2
    assert told["cut_plans"][0]["optimal"]
    assert cut(frames(6, profile="tongue_and_groove"))["summary"]["sticks"] == 3


def test_a_mitre_needs_the_width_of_the_stock() -> None:
    request = frames(2)
    del request["width"]
    kind, (fault,) = refused(request, "cut-plans")
    assert (kind, fault["code"]) == ("ShapeRefused", "width")
    assert "give `width`" in fault["detail"]


ends = st.one_of(
    st.just("square"),
    st.builds(mitre, st.sampled_from(["near", "far"]), st.sampled_from([22.5, 45])),
)


@FEW
@given(
    lines=st.lists(
        st.tuples(st.integers(20, 70), st.integers(1, 2), ends, ends), min_size=1, max_size=2
    ),
    turned=st.booleans(),
    width=st.sampled_from([2.5, 5.5]),
)  # fmt: skip
def test_no_way_to_lay_pieces_in_sticks_costs_less_than_the_bound(
    lines: list[tuple[int, int, Any, Any]], turned: bool, width: float
) -> None:
    """Every order of every set of pieces, each as it is or half round, as near as edges allow."""
    request: Request = {
        "unit": "in", "width": width, "stock": [{"length": "8 ft"}], "rules": {"end_trim": 0.25},
        "profile": "square_edge" if turned else "tongue_and_groove",
        "pieces": [{"length": length, "count": count, "ends": [low, high]}
                   for length, count, low, high in lines],
    }  # fmt: skip
    (plan,) = cut(request)["cut_plans"]
    least = fewest_sticks(json.dumps(request)) * 96
    assert plan["bound"] <= least + 1e-6
    assert plan["bound"] <= plan["cost"]
    assert not plan["optimal"] or plan["cost"] == least


@cache
def fewest_sticks(text: str) -> int:
    """By trying all: pieces lie as near to each other as a kerf lets them at either edge."""
    request = json.loads(text)
    own = slants(request)
    lengths = {name: length for name, (length, _) in cut_alone.named(request).items()}
    turns = request["profile"] == "square_edge"
    names = list(own)
    fits = {
        frozenset(some)
        for count in range(1, len(names) + 1)
        for some in combinations(names, count)
        if any(
            reach(order, way, lengths) <= 8 * FOOT - ticks(0.5, "in")
            for order in permutations(some)
            for way in product(*((own[one], half_round(own[one])) if turns else (own[one],)
                                 for one in order))
        )
    }  # fmt: skip
    return _fewest(frozenset(names), frozenset(fits))


def reach(order: tuple[str, ...], way: tuple[Slants, ...], lengths: dict[str, int]) -> int:
    laps = sum(min(a[1][edge] + b[0][edge] for edge in (0, 1)) for a, b in pairwise(way))
    return sum(lengths[one] for one in order) + (len(order) - 1) * INCH // 8 - laps


def _fewest(left: frozenset[str], fits: frozenset[frozenset[str]]) -> int:
    if not left:
        return 0
    first = min(left)
    return 1 + min(_fewest(left - some, fits) for some in fits if first in some and some <= left)
