"""Openings that cut a surface through leave regions: what is laid names the one that it lies in."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.independent import any_kind, parts
from tests.independent.measure import INCH
from tests.strategies import jobs, transforms
from tests.strategies.asking import answered
from tests.strategies.budget import FEW
from tests.strategies.build_ups import build_ups
from tests.strategies.parted import parted
from tests.strategies.requests import job, room

Request = dict[str, Any]


def regions(answer: Request) -> list[Any]:
    """Each region with its size, and which one each run and piece names."""
    return [
        [(row["layer"], row["region"], row["area"], row["from"], row["to"])
         for row in answer["regions"]],
        *([(row["id"], row["region"]) for row in answer[table]] for table in ("runs", "pieces")),
    ]  # fmt: skip


@FEW
@given(request=st.one_of(parted(), build_ups(parted())))
def test_each_piece_names_the_region_that_it_lies_in(request: Request) -> None:
    """Boards, sheets and wrap; a board lies in one region, and areas are those of the parts."""
    found = answered(request)
    assert any_kind.faults(request, found) == []
    assert parts.faults(request, found) == []
    assert max(row["region"] for row in found["pieces"]) > 1


@FEW
@given(request=st.one_of(jobs.jobs(), build_ups()))
def test_regions_of_any_surface_are_its_parts(request: Request) -> None:
    found = answered(request)
    assert parts.faults(request, found) == []


@FEW
@given(request=build_ups(parted()), data=st.data())
def test_how_a_surface_is_written_changes_no_number(request: Request, data: st.DataObject) -> None:
    """Openings in another order, corners from elsewhere, the surface moved: the same regions."""
    (area,) = request["surfaces"]
    openings = data.draw(st.permutations(area["openings"]))
    other = request | {"surfaces": [area | {"openings": openings}]}
    other = transforms.started_elsewhere(other, data.draw(st.integers(0, 3)), True, False)
    other = transforms.translated(other, 37, -210)
    assert regions(answered(other)) == regions(answered(request))


@FEW
@given(request=parted(ways=(0,)))
def test_a_plan_has_the_regions_as_they_are_seen_from_below(request: Request) -> None:
    """Mirrored, and said to be drawn in plan: numbers run from the left as one sees it (0.3)."""
    plan = transforms.mirrored_in_plan(request, _members)
    assert regions(answered(plan)) == regions(answered(request))


def _members(surface: Request) -> list[float]:
    """Members at their spacing along x, from the left."""
    reach, behind = max(x for x, _ in surface["outline"]), surface["supports"]
    first, spacing = Fraction(behind["first"]), Fraction(str(behind["spacing"]))
    count = int((Fraction(reach) - first) / spacing) + 1
    return [float(first + k * spacing) for k in range(count)]


@FEW
@given(request=parted())
def test_a_mirrored_surface_has_its_mirrored_parts(request: Request) -> None:
    """Left to right: as many regions, of the same areas."""

    def change(surface: Request) -> Request:
        return transforms.carried(surface, lambda x, y: (-x, y))

    one = answered(request)["regions"]
    other = answered(transforms.reshaped(request, change))["regions"]
    assert sorted(row["area"] for row in one) == sorted(row["area"] for row in other)


@FEW
@given(request=parted())
def test_millimetres_have_the_same_regions(request: Request) -> None:
    inches, metric = answered(request), answered(transforms.in_millimetres(request))
    one, other = ([row["region"] for row in found["regions"]] for found in (inches, metric))
    assert one == other
    square_foot = (12 * INCH / 40_000_000) ** 2
    for a, b in zip(inches["regions"], metric["regions"], strict=True):
        assert abs(a["area"] * square_foot - b["area"]) < 2e-6


def test_a_shaft_from_wall_to_wall_leaves_two_regions() -> None:
    """120 x 60 in with 10 in out of it and 1/8 in saw gap on either side (5.1): by hand."""
    shaft = {"id": "shaft", "rectangle": [50, -1, 10, 70]}
    found = answered(job(room(120, 60, openings=[shaft])))
    assert [(row["region"], row["area"], row["from"], row["to"]) for row in found["regions"]] == [
        (1, 20.78125, [0, 0], [49.875, 60]),
        (2, 24.947917, [60.125, 0], [120, 60]),
    ]
    assert {(row["course"], row["region"], row["from"], row["to"]) for row in found["runs"]} == {
        (course, region, low, high)
        for course in range(1, len(found["courses"]) + 1)
        for region, low, high in ((1, 0.5, 49.875), (2, 60.125, 119.5))
    }


@pytest.mark.parametrize(("at", "region"), [(20, 2), (22, 1), (24, 1)])
def test_a_sheet_over_a_slot_names_the_region_that_holds_most_of_it(at: int, region: int) -> None:
    """Sheets are laid whole over openings and cut in place (11.7); of halves it is the first."""
    slot = {"id": "slot", "rectangle": [0, at, 96, 3]}
    sheet = {"id": "ply", "form": "sheet", "width": 48, "thickness": 0.5,
             "stock": [{"length": 96}]}  # fmt: skip
    area = room(96, 47, openings=[slot])
    area["layers"] = [{"kind": "sheathing", "product": "ply", "direction": 0}]
    found = answered(job(area, sheet))
    assert [row["region"] for row in found["regions"]] == [1, 2]
    assert [(row["from"], row["region"]) for row in found["pieces"]] == [(0.125, region)]
