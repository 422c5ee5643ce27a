"""One surface said in several ways has one takeoff."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.independent import verifier
from tests.independent.asked import layers
from tests.independent.measure import INCH, TICKS, ticks
from tests.strategies import asking, jobs, requests, transforms
from tests.strategies.asking import answered
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]

TABLES = ("alternatives", "courses", "runs", "pieces", "joints", "sticks", "cut_plans",
          "fasteners", "order", "ledger", "compared", "relaxed", "summary")  # fmt: skip


FIGURES = {
    "pieces": ("from", "to", "ticks"), "joints": ("at", "on", "bearing"), "sticks": ("ticks",),
    "ledger": ("account", "half_square_ticks"), "order": ("need", "buy"),
    "fasteners": ("where", "count"),
}  # fmt: skip
"""Figures of each table that names do not touch."""


def same(one: Request, other: Request, *tables: str) -> None:
    """The named tables are equal, row by row."""
    for table in tables or TABLES:
        assert one[table] == other[table], table


def counts(answer: Request) -> Request:
    """What stays when lengths are written in another unit: whole numbers, in their order."""
    return {
        "pieces": [
            (row["id"], row["ticks"], row["bearings"], row["stick"]) for row in answer["pieces"]
        ],
        "sticks": [(row["stick"], row["ticks"]) for row in answer["sticks"]],
        "ledger": [(row["account"], row["half_square_ticks"]) for row in answer["ledger"]],
        "order": [(row["need"], row["cull"], row["buy"]) for row in answer["order"]],
        "fasteners": [(row["where"], row["place"], row["count"]) for row in answer["fasteners"]],
        "courses": [(row["course"], row["rip"], row["tongue"]) for row in answer["courses"]],
    }  # fmt: skip


def member_positions(surface: Request) -> list[float]:
    """Centres of the members of a surface in inches, from the low side."""
    probe = requests.job(surface)
    probe["surfaces"][0]["layers"][0]["product"] = "pine"
    return [position / INCH for position in layers(probe)[0].positions]


@FEW
@given(request=jobs.jobs(), x=st.integers(-400, 400), y=st.integers(-400, 400))
def test_moving_a_surface_changes_nothing(request: Request, x: int, y: int) -> None:
    """Every coordinate moved by one vector: stations are from the lowest point, so all is equal."""
    here, there = (transforms.translated(request, *by) for by in ((0, 0), (x, y)))
    same(answered(here), answered(there))


@FEW
@given(request=st.one_of(jobs.rectangular(), jobs.with_openings(), jobs.ringed()))
def test_a_plan_is_the_mirror_and_nothing_else(request: Request) -> None:
    """Drawn in plan, mirrored left to right, with the members where they are: one takeoff."""
    plan = transforms.mirrored_in_plan(request, member_positions)
    one, other = answered(request), answered(plan)
    same(one, other, *(table for table in TABLES if table != "summary"))


def apart(one: Any, other: Any, key: str = "") -> list[Any]:
    """What differs by more than the ticks that snapping moves on one side and not on the other."""
    if isinstance(one, dict):
        return [found for name in one for found in apart(one[name], other[name], name)]
    if isinstance(one, list) and len(one) == len(other):
        return [found for pair in zip(one, other, strict=True) for found in apart(*pair, key)]
    if isinstance(one, int | float) and isinstance(other, int | float):
        near = abs(one - other) <= (40 if key == "ticks" else 1e-4)
        return [] if near else [(key, one, other)]
    exact = key in ("half_square_ticks", "amount")
    return [] if one == other or exact else [(key, one, other)]


MIRRORED = ("courses", "runs", "pieces", "joints", "sticks", "sheets", "fasteners",
            "consumables", "order", "ledger")  # fmt: skip


@LAW
@given(plan=jobs.in_plan())
def test_view_mirrors_every_side_and_angle_whether_sent_or_left_out(plan: Request) -> None:
    """A job in plan is the job facing the finished side with everything mirrored (0.3).

    Whatever the kind of layer, the outline, the slope, and whether directions and sides are said.
    """
    seen = asking.asked(plan)
    if seen.kind != "answer":
        assume(False)
    one = answered(plan)
    ways = {(row["surface"], row["layer"]): row["direction"] for row in one["layers"]}
    other = answered(transforms.facing_mirror(plan, ways))
    for table in MIRRORED:
        assert not apart(one[table], other[table]), table


@FEW
@given(request=st.one_of(jobs.rectangular(), jobs.with_openings(), jobs.of_several_surfaces()))
def test_millimetres_and_inches_agree_to_the_tick(request: Request) -> None:
    """The same lengths in the other unit, pieces cut to the same: equal integers everywhere."""
    request |= {"rules": {"cut_to": 0.0625}}
    metric = answered(transforms.in_millimetres(request))
    assert metric["units"]["length"] == "mm"
    assert metric["units"]["area"] == "m2"
    assert counts(metric) == counts(answered(request))


@FEW
@given(request=st.one_of(jobs.rectangular(), jobs.with_openings(), jobs.of_several_surfaces()))
def test_each_unit_cuts_to_its_own_step(request: Request) -> None:
    """Whole sixteenths of an inch, or whole millimetres, unless `cut_to` is sent (0.2)."""
    for asked, step in ((request, INCH // 16), (transforms.in_millimetres(request), TICKS["mm"])):
        answer = answered(asked)
        assert verifier.faults(asked, answer) == []
        assert all(row["ticks"] % step == 0 for row in answer["pieces"])
        (used,) = {row["value"] for row in answer["basis"] if row["key"] == "cut_to"}
        assert ticks(used, asked["unit"]) == step


@FEW
@given(request=jobs.rectangular(), density=st.integers(20, 60))
def test_a_density_is_in_the_units_of_its_job(request: Request, density: int) -> None:
    """Pounds per cubic foot or kilograms per cubic metre of all that is bought (19.5).

    A written unit is read in either, and the basis says what was read.
    """
    board = request["products"][0]
    volume = Fraction(str(board["overall"])) * Fraction(str(board["thickness"]))
    heavy = requests.changed(request, "/products/0/density", density)
    answer = answered(heavy)
    feet = sum(Fraction(str(row["length"])) * row["buy"] for row in answer["order"]) / 12
    assert weight(answer) == pytest.approx(float(volume / 144 * feet * density), abs=0.01)
    assert read(answer) == {f"{density} lb/ft3"}
    metric = transforms.in_millimetres(requests.changed(request, "/products/0/density", density))
    answer = answered(metric)
    bought = sum(Fraction(str(row["length"])) * row["buy"] for row in answer["order"]) / 1000
    metres = volume * Fraction(254, 10000) ** 2 * bought
    assert weight(answer) == pytest.approx(float(metres * density), abs=0.01)
    assert read(answer) == {f"{density} kg/m3"}
    pounds = answered(requests.changed(metric, "/products/0/density", f"{density} lb/ft3"))
    assert weight(pounds) == pytest.approx(weight(answer) * 16.018463, rel=1e-3, abs=0.01)


def weight(answer: Request) -> float:
    return float(sum(row["weight"] for row in answer["order"]))


def read(answer: Request) -> set[str]:
    return {row["value"] for row in answer["basis"] if row["key"] == "density"}


@FEW
@given(request=st.one_of(jobs.rectangular(), jobs.with_openings(), jobs.ringed()))
def test_a_quarter_turn_changes_no_figure(request: Request) -> None:
    """Surface, members and boards turned together: courses and runs are the same."""
    one, other = answered(request), answered(transforms.turned(request))
    for key in ("course", "width", "rip"):
        assert [row[key] for row in one["courses"]] == [row[key] for row in other["courses"]]
    if not one["joints"]:
        same(one, other, "fasteners", "compared")
    ends = ("course", "from", "to", "bearings")
    assert sorted([row[key] for key in ends] for row in one["runs"]) == sorted(
        [row[key] for key in ends] for row in other["runs"]
    )
    if one["summary"]["optimal"] and other["summary"]["optimal"]:
        assert one["cut_plans"][0]["cost"] == other["cut_plans"][0]["cost"]


@FEW
@given(request=jobs.of_any_outline(), step=st.integers(0, 7), backwards=st.booleans(),
       twice=st.booleans())  # fmt: skip
def test_how_a_ring_is_written_changes_nothing(
    request: Request, step: int, backwards: bool, twice: bool
) -> None:
    """Another first corner, the other way round, a corner twice, a corner on an edge.

    How long is searched has no part in it.
    """
    request |= {"effort": "quick"}
    plain = answered(request)
    same(plain, answered(transforms.started_elsewhere(request, step, backwards, twice)))


@FEW
@given(request=jobs.with_openings())
def test_a_corner_on_a_straight_edge_changes_nothing(request: Request) -> None:
    """A further corner in the middle of an edge."""
    same(answered(request), answered(transforms.with_corner_on_edge(request)))


@FEW
@given(request=jobs.jobs())
def test_names_change_no_figure(request: Request) -> None:
    """Other ids, the same figures."""
    one, other = answered(request), answered(transforms.renamed(request))
    for table, keys in FIGURES.items():
        assert [[row[key] for key in keys] for row in one[table]] == [
            [row[key] for key in keys] for row in other[table]
        ], table


RULES = {
    "gap": 0.5, "min_rip": 1, "preferred_rip": 1.5, "taper_over": 0.25, "feature_tolerance": 0.125,
    "spacer_max": 0.0625, "kerf": 0.125, "end_trim": 0.5, "cut_to": 0.0625, "keep_offcut": 24,
    "min_piece": 24, "end_bearing": 0.75, "stagger": 24, "repeat": 6, "joint_from_hole": 12,
    "joint_beside_hole": 6, "min_leg": 0.75, "long_hole": 12, "min_run": 3, "min_touch": 0.5,
}  # fmt: skip


@FEW
@given(length=st.integers(80, 300), width=st.integers(40, 100), x=st.integers(20, 60))
def test_twice_the_size_is_four_times_the_area(length: int, width: int, x: int) -> None:
    """All lengths doubled, rules too: areas times four, and as many sticks if both are proven."""
    hole = {"id": "hatch", "rectangle": [x, 15, 9, 11], "cut_gap": 0.125}
    area = requests.room(length, width, openings=[hole])
    product = requests.board(96, 120, 168, cover=3.125, overall=3.375)
    request = requests.job(area, product, rules=RULES, when_blocked="relax")
    one, other = answered(request), answered(transforms.scaled(request, 2))
    assert other["summary"]["installed"] == pytest.approx(4 * one["summary"]["installed"], abs=1e-5)
    assert len(one["courses"]) == len(other["courses"])
    assert len(one["runs"]) == len(other["runs"])
    if one["summary"]["optimal"] and other["summary"]["optimal"]:
        assert other["summary"]["bought"] == 2 * one["summary"]["bought"]


@FEW
@given(request=jobs.of_several_surfaces())
def test_surfaces_together_are_the_sum_of_each(request: Request) -> None:
    """Courses and runs are those of each surface alone; a proven plan together costs no more."""
    together = answered(request)
    alone = [answered(request | {"surfaces": [area]}) for area in request["surfaces"]]
    for table in ("surfaces", "courses"):
        assert together[table] == [row for answer in alone for row in answer[table]]
    ends = ("surface", "course", "from", "to", "bearings")
    assert [[row[key] for key in ends] for row in together["runs"]] == [
        [row[key] for key in ends] for answer in alone for row in answer["runs"]
    ]
    plans = [together, *alone]
    if all(answer["summary"]["optimal"] for answer in plans):
        apart = sum(answer["cut_plans"][0]["cost"] for answer in alone)
        assert together["cut_plans"][0]["cost"] <= apart + 1e-6
