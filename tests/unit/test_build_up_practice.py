"""Sheets and wrap where a job is not the plain one: short rolls, odd outlines, thin members, doors.

Common practice; each number is worked by hand from the rule beside it.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

from tests.independent.json_patch import patched
from tests.strategies.asking import answered, refused
from tests.strategies.requests import changed
from tests.unit.test_build_up_findings import PANELS, WRAP, but

Request = dict[str, Any]

L_SHAPE = [[0, 0], [288, 0], [288, 96], [144, 96], [144, 240], [0, 240]]


def found(request: Request, code: str) -> list[dict[str, Any]]:
    """The findings of one code."""
    return [row for row in answered(request)["findings"] if row["code"] == code]


def shaped(outline: list[list[int]], *edits: tuple[str, Any]) -> Request:
    """The job with an outline in place of its rectangle."""
    request = but(("/surfaces/0/outline", outline), *edits)
    del request["surfaces"][0]["rectangle"]
    return request


@pytest.mark.parametrize("length", [10, 11.5, 20])
def test_rolls_too_short_to_lap_are_refused_with_a_length_that_does(length: float) -> None:
    """A roll of 20 in cannot keep its laps 12 in from the last width's and go on by 6 in laps."""
    request = but(("/products/1/stock/0/length", length))
    _, (fault,) = refused(request)
    assert fault["code"] == "roll-too-short"
    cure = fault["cure"]
    answered(patched(request, cure))


@pytest.mark.parametrize("length", [40, 60, 100, 130])
def test_end_laps_of_neighbouring_widths_never_come_near(length: float) -> None:
    """12 in apart (13.1), and each piece begins an end lap of 6 in before the last one ends."""
    answer = answered(but(("/products/1/stock/0/length", length)))
    laps = [(row["course"], row["at"]) for row in answer["joints"] if row["on"] == "lap"]
    assert laps
    for width, at in laps:
        assert all(abs(at - other) >= 12 for next_, other in laps if next_ == width + 1)
    rows = [row for row in answer["pieces"] if row["layer"] == "wrap"]
    for one, two in pairwise(rows):
        if one["run"] == two["run"]:
            assert one["to"] - two["from"] == pytest.approx(6)


def test_a_seam_is_as_long_as_both_rows_that_meet_on_it() -> None:
    """L of 24 by 8 and 12 by 12 ft: one seam of 287-7/8 in, three of 143-7/8 in (11.8)."""
    (row,) = found(shaped(L_SHAPE), "edges-unsupported")
    assert row["measure"] == 287.875 + 3 * 143.875


def test_no_seam_crosses_an_opening() -> None:
    """Two seams of 239-7/8 in; a hole of 60-1/4 in with its saw gaps takes that out of one."""
    request = but(("/surfaces/0/openings", [{"id": "stair", "rectangle": [100, 20, 60, 60]}]))
    (row,) = found(request, "edges-unsupported")
    assert row["measure"] == 2 * 239.875 - 60.25


def test_clips_stand_only_where_two_rows_meet() -> None:
    """18 bays of 24 ft on the first seam, 9 of 12 ft on the three others."""
    answer = answered(shaped(L_SHAPE, (f"{PANELS}/edges", "clips")))
    (count,) = (row["count"] for row in answer["fasteners"] if row["pattern"] == "clips")
    assert count == 18 + 3 * 9


def test_sheets_made_for_gaps_ask_only_for_half_the_gap_at_walls() -> None:
    """95-7/8 in on members at 96 in: 1/16 in is left at the wall where 1/8 in is asked (11.2)."""
    assert found(but(), "sheets-trimmed") == []
    (row,) = found(but((f"{PANELS}/rules", {"panel_wall_gap": 0.125})), "sheets-trimmed")
    assert "made" not in row["text"]
    assert row["cure"] == [
        {"op": "replace", "path": f"{PANELS}/rules/panel_wall_gap", "value": 0.0625}
    ]


def test_full_size_sheets_are_cured_by_sheets_made_short() -> None:
    """96 in less the gap of 1/8 in (11.2)."""
    request = but(("/products/0/width", 48), ("/products/0/stock/0/length", 96),
                  (f"{PANELS}/rules", {"panel_wall_gap": 0.0625}))  # fmt: skip
    (row,) = found(request, "sheets-trimmed")
    cure = row["cure"]
    assert cure == [{"op": "replace", "path": "/products/0/stock/0/length", "value": 95.875}]
    assert found(patched(request, cure), "sheets-trimmed") == []


def test_a_sheet_cut_to_a_slant_is_not_called_trimmed() -> None:
    """A gable of 24 by 8 ft: the end sheets lose their points, nothing drifts."""
    gable = shaped([[0, 0], [288, 0], [144, 96]], ("/surfaces/0/type", "wall"))
    assert found(gable, "sheets-trimmed") == []


def test_a_round_light_has_no_corner_for_a_seam_to_be_near() -> None:
    request = but(("/surfaces/0/openings", [{"id": "light", "circle": [60, 50, 6]}]))
    assert found(request, "seam-near-corner") == []


def test_a_seam_that_ends_elsewhere_is_not_near_a_corner() -> None:
    """The third seam, at 144 in, ends with the narrow leg; the hatch is in the wide one."""
    outline = [[0, 0], [288, 0], [288, 170], [144, 170], [144, 240], [0, 240]]
    hatch = {"id": "hatch", "rectangle": [200, 110, 40, 31]}
    wide = shaped(outline, ("/surfaces/0/openings", [hatch]))
    assert found(wide, "seam-near-corner")
    narrow = shaped([*L_SHAPE[:2], [288, 143], [144, 143], *L_SHAPE[4:]],
                    ("/surfaces/0/openings", [hatch]))  # fmt: skip
    assert found(narrow, "seam-near-corner") == []


def test_a_member_beside_a_light_keeps_its_spacing() -> None:
    """Denser rows go along the sides of an opening; a round one has none (18.8)."""
    light = [{"id": "light", "circle": [60, 24, 6]}]
    plain, lit = answered(but()), answered(but(("/surfaces/0/openings", light)))
    counts = [
        [row["count"] for row in one["fasteners"] if row["layer"] == "panels"]
        for one in (plain, lit)
    ]
    assert counts[0] == counts[1]


def test_members_too_thin_for_two_ends_are_said_to_be_so() -> None:
    """3/4 in less the gap of 1/8 in leaves 5/16 in for each end, and 1/2 in is asked (11.1)."""
    request = but(("/surfaces/0/supports/thickness", 0.75))
    _, (fault,) = refused(request)
    assert fault["code"] == "sheets-blocked"
    assert (fault["measure"], fault["limit"]) == (0.3125, 0.5)
    assert fault["cure"][0]["value"] == {"panel_end_bearing": 0.3125}
    answered(patched(request, fault["cure"]))


def test_sheets_askew_to_the_members_are_cured_by_turning_them() -> None:
    request = but((f"{PANELS}/direction", 45))
    _, (fault,) = refused(request)
    assert (fault["code"], fault["rule"]) == ("sheets-blocked", "11.1")
    answered(patched(request, fault["cure"]))


def test_sheets_with_nothing_left_to_cover_are_refused() -> None:
    whole = [{"id": "all", "rectangle": [0, 0, 240, 144]}]
    _, faults = refused(but(("/surfaces/0/openings", whole)))
    assert faults[0]["code"] == "nothing-left"


WALL = [("/surfaces/0/type", "wall"), ("/surfaces/0/rectangle", [288, 108]),
        ("/products/1/width", 108)]  # fmt: skip


def test_a_last_width_that_only_turn_downs_need_is_said() -> None:
    """108 in + 2 x 2 in take a second width of a 108 in roll; without turn-downs one does."""
    request = but(*WALL)
    (row,) = found(request, "width-for-turn-down")
    assert row["cure"] == [{"op": "add", "path": f"{WRAP}/rules", "value": {"turn_down": 0}}]
    cured = answered(changed(request, f"{WRAP}/rules", {"turn_down": 0}))
    assert sum(row["layer"] == "wrap" for row in cured["courses"]) == 1


def test_one_width_laps_over_none() -> None:
    request = but(*WALL, (f"{WRAP}/rules", {"turn_down": 0}))
    assert found(request, "laps-shed-water") == []


def test_no_tape_and_no_caps_along_a_sill_on_the_floor() -> None:
    """A door of 38 by 83 in: two jambs and a head of tape, its own width at two corners (13.5)."""
    door = [{"id": "door", "rectangle": [60, 0, 38, 83], "cut_gap": 0}]
    answer = answered(but(*WALL, ("/surfaces/0/openings", door)))
    (tape,) = (row["length"] for row in answer["consumables"] if row["where"] == "openings")
    assert tape == 83 + 38 + 83 + 2 * 2.5
    (caps,) = (row["count"] for row in answer["fasteners"] if row["where"] == "opening")
    assert caps == 17


def bought(request: Request, product: str) -> float:
    """Length of a product that is ordered, in the request's unit."""
    rows = [row for row in answered(request)["order"] if row["product"] == product]
    return sum(float(row["length"]) * int(row["buy"]) for row in rows)


def test_a_longer_sheet_on_offer_never_makes_more_be_bought() -> None:
    """24 by 9 ft: 9 sheets of 8 ft; 10 ft sheets lose 8 in each on members 16 in apart (23.8)."""
    room = ("/surfaces/0/rectangle", [288, 108])
    eight = but(room)
    either = but(room, ("/products/0/stock", [{"length": 95.875}, {"length": 119.875}]))
    assert bought(eight, "sheet") == 9 * 95.875
    assert bought(either, "sheet") <= bought(eight, "sheet")


def test_sheets_are_laid_for_what_they_cost() -> None:
    """20 by 12 ft: 8 sheets of 8 ft for 240.00; three rows of a 12 ft one and a rest cost more."""
    stock = [{"length": 95.875, "price": "30"}, {"length": 143.875, "price": "70"}]
    assert sum(row["price"] or 0 for row in answered(but(("/products/0/stock", stock)))["order"]
               if row["product"] == "sheet") <= 240  # fmt: skip


def test_sheets_that_are_not_at_hand_are_not_laid() -> None:
    """One sheet of 12 ft is there and three would be used: the room goes in 8 ft sheets."""
    stock = [{"length": 95.875}, {"length": 143.875, "on_hand": 1}]
    answered(but(("/products/0/stock", stock)))


def test_a_seam_on_a_stud_at_a_window_asks_for_no_block() -> None:
    window = [{"id": "window", "rectangle": [60, 30, 36, 40]}]
    request = but((f"{PANELS}/direction", 90), ("/surfaces/0/openings", window),
                  ("/surfaces/0/rectangle", [240, 95]))  # fmt: skip
    (row,) = found(request, "seam-near-corner")
    assert "block" not in row["text"]


def test_wrap_over_members_askew_runs_along_the_room() -> None:
    """Joists at 45 degrees: three widths of 20 ft and their turn-downs, as with square ones."""
    askew = but(("/surfaces/0/supports", {"direction": 45, "spacing": 16, "first": 8}))
    square = [row["length"] for row in answered(but())["pieces"] if row["layer"] == "wrap"]
    turned = [row["length"] for row in answered(askew)["pieces"] if row["layer"] == "wrap"]
    assert turned == square == [244, 244, 244]


@pytest.mark.parametrize("other", [47.875, 143.875])
def test_joints_are_not_doubled_to_save_a_gap(other: float) -> None:
    """Two sheets of 47-7/8 in and their gap lie where one of 95-7/8 in does: fewer joints win."""
    room = ("/surfaces/0/rectangle", [288, 108])
    stock = [{"length": 95.875}, {"length": other}]
    both = answered(but(room, ("/products/0/stock", stock)))["joints"]
    one = answered(but(room, ("/products/0/stock", [stock[other > 95]])))["joints"]
    assert len(both) == len(one)


def test_metric_sheets_a_hair_too_long_are_cured_by_that_hair() -> None:
    """2397 mm and a gap of 1/8 in (3.175 mm) pass 2400 mm by 0.175 mm at each joint (11.2)."""
    request = but(
        ("/unit", "mm"),
        ("/surfaces/0/rectangle", [6000, 4000]),
        ("/surfaces/0/supports", {"direction": 90, "first": 400, "spacing": 400, "thickness": 45}),
        ("/surfaces/0/layers", [{"id": "panels", "kind": "sheathing", "product": "sheet"}]),
        ("/products", [{"id": "sheet", "form": "sheet", "width": 1197, "thickness": 12,
                        "stock": [{"length": 2397}]}]),
    )  # fmt: skip
    (row,) = found(request, "sheets-trimmed")
    assert row["cure"] == [
        {"op": "replace", "path": "/products/0/stock/0/length", "value": 2396.825}
    ]
    assert found(patched(request, row["cure"]), "sheets-trimmed") == []
