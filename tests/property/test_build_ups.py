"""Sheets and wrap behind boards: they tile or cover, and every bought inch is accounted for."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.independent import build_up, tiling, verifier
from tests.independent.build_up import layers_behind
from tests.independent.measure import ticks
from tests.strategies import jobs
from tests.strategies.asking import answered
from tests.strategies.budget import FEW, LAW
from tests.strategies.build_ups import build_ups

Request = dict[str, Any]

FAMILIES = {
    "rectangles": jobs.rectangular(),
    "openings": jobs.with_openings(),
    "rings": jobs.ringed(),
    "any outline, any direction": jobs.of_any_outline(),
    "slopes": jobs.sloped(),
    "several surfaces": jobs.of_several_surfaces(),
}


@pytest.mark.parametrize("family", FAMILIES)
def test_sheets_tile_and_wrap_covers_every_surface(family: str) -> None:
    """By whole polygons, another method than the layout's."""

    @LAW
    @given(request=build_ups(FAMILIES[family]))
    def law(request: Request) -> None:
        answer = answered(request)
        faults = [f for one in layers_behind(request, answer, "sheathing")
                  for f in build_up.sheet_layer_faults(one)]  # fmt: skip
        faults += [f for one in layers_behind(request, answer, "wrap")
                   for f in build_up.wrap_layer_faults(one)]  # fmt: skip
        assert faults == []
        assert build_up.sheets_sawn_faults(request, answer) == []
        assert build_up.ledger_faults(request, answer) == []

    law()


@FEW
@given(request=build_ups())
def test_boards_keep_their_laws_over_sheets_and_wrap(request: Request) -> None:
    answer = answered(request)
    assert tiling.faults(request, answer) == []
    assert verifier.sticks(request, answer) == []


@FEW
@given(request=build_ups(jobs.rectangular()))
def test_end_joints_of_sheets_lie_on_members_and_apart(request: Request) -> None:
    """Each on the centre of a member, and never in line with one of the next row (11.5)."""
    answer = answered(request)
    for layer in layers_behind(request, answer, "sheathing"):
        relaxed = {row["key"] for row in answer["relaxed"]}
        for row in layer.rows("joints"):
            assert row["on"] == "framing"
            assert row["bearing"] is not None
            if "panel_stagger" not in relaxed and row["offset_before"] is not None:
                assert row["offset_before"] > 0


@FEW
@given(request=build_ups(), seed=st.randoms(use_true_random=False))
def test_the_order_of_products_and_openings_changes_nothing(request: Request, seed: Any) -> None:
    turned = deepcopy(request)
    seed.shuffle(turned["products"])
    for area in turned["surfaces"]:
        seed.shuffle(area.get("openings", []))
    plain, other = answered(request), answered(turned)
    for table in ("courses", "pieces", "joints", "sheets", "consumables"):
        assert plain[table] == other[table]


@FEW
@given(request=build_ups(jobs.rectangular()))
def test_a_mirrored_surface_takes_the_same_goods(request: Request) -> None:
    """Seen in plan from above: sizes and counts of proved plans are the same (23.7)."""
    mirrored = deepcopy(request)
    for area in mirrored["surfaces"]:
        area["view"] = "plan"
    plain, other = answered(request), answered(mirrored)
    proved = [{row["product"] for row in one["cut_plans"] if row["optimal"]}
              for one in (plain, other)]  # fmt: skip
    for one, two in zip(plain["products"], other["products"], strict=True):
        assert one["installed"] == pytest.approx(two["installed"], rel=1e-6)
        if one["product"] in proved[0] & proved[1]:
            assert one["area_bought"] == two["area_bought"]
    for one, two in zip(plain["consumables"], other["consumables"], strict=True):
        assert one["length"] == pytest.approx(two["length"], rel=1e-6)


@FEW
@given(request=build_ups(jobs.rectangular()), step=st.sampled_from([4, 6, 10]))
def test_a_wider_roll_never_needs_more_widths_and_a_longer_lap_never_fewer(
    request: Request, step: int
) -> None:
    layers = layers_behind(request, answered(request), "wrap")
    if not layers:
        return
    wider, lapped = deepcopy(request), deepcopy(request)
    for product in wider["products"]:
        if product["form"] == "roll":
            product["width"] += step
    lapped.setdefault("rules", {})["wrap_lap"] = 6 + step
    for one in (request, wider, lapped):
        for area in one["surfaces"]:
            for layer in area["layers"]:
                if layer["kind"] == "wrap":
                    layer["direction"] = 0
    counts = [
        [len(layer.rows("courses")) for layer in layers_behind(one, answered(one), "wrap")]
        for one in (wider, request, lapped)
    ]
    assert counts == sorted(counts)


@FEW
@given(request=build_ups(jobs.of_several_surfaces()))
def test_surfaces_share_sheets_and_rolls(request: Request) -> None:
    """Together they never take more than apart, as the answer's own bound allows (19.2, 23.7)."""
    together = answered(request)
    apart: dict[str, int] = {}
    for area in request["surfaces"]:
        for row in answered(request | {"surfaces": [area]})["order"]:
            if row["form"] in ("sheet", "roll"):
                key = row["product"]
                apart[key] = apart.get(key, 0) + ticks(row["length"], "in") * row["buy"]
    proved = {row["product"] for row in together["cut_plans"] if row["optimal"]}
    for name, length in apart.items():
        bought = sum(
            ticks(row["length"], "in") * row["buy"]
            for row in together["order"]
            if row["product"] == name
        )
        assert name not in proved or bought <= length
