"""Refusals and findings of sheets and wrap: each provoked, and each cure applied.

Common practice; the numbers are arithmetic.
"""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from tests.independent.json_patch import patched
from tests.strategies.asking import answered, refused
from tests.strategies.requests import changed

Request = dict[str, Any]

JOB: Request = {
    "unit": "in",
    "surfaces": [
        {
            "id": "loft",
            "view": "facing",
            "rectangle": [240, 144],
            "supports": {"direction": 90, "first": 16, "spacing": 16, "ends": True},
            "layers": [
                {"id": "panels", "kind": "sheathing", "product": "sheet",
                 "fastening": {"product": "nail"}},
                {"id": "wrap", "kind": "wrap", "product": "roll", "tape": "tape",
                 "fastening": {"product": "cap"}},
            ],
        }
    ],
    "products": [
        {"id": "sheet", "form": "sheet", "width": 47.875, "thickness": 0.5,
         "stock": [{"length": 95.875}]},
        {"id": "roll", "form": "roll", "width": 54, "stock": [{"length": "100 ft"}]},
        {"id": "tape", "form": "tape", "width": 2.5, "length": "165 ft"},
        {"id": "nail", "form": "fastener", "shank": "ring", "lengths": [1.5, 2, 2.5]},
        {"id": "cap", "form": "fastener", "shank": "ring", "lengths": [1]},
    ],
}  # fmt: skip

PANELS, WRAP = "/surfaces/0/layers/0", "/surfaces/0/layers/1"


def but(*edits: tuple[str, Any]) -> Request:
    """The job with values put at pointers."""
    request = deepcopy(JOB)
    for pointer, value in edits:
        request = changed(request, pointer, value)
    return request


REFUSALS = {
    "stock-short": but(("/products/0/stock/0/on_hand", 3)),
    "roll-too-narrow": but(("/products/1/width", 5)),
    "sheets-blocked": but((f"{PANELS}/rules", {"panel_end_bearing": 0.75})),
    "seam-on-no-member": but(
        (f"{PANELS}/direction", 90),
        ("/surfaces/0/supports", {"direction": 90, "at": [52, 68, *range(60, 240, 16)]}),
    ),
    "fastener-short": but(("/products/3/lengths", [1.5])),
}


@pytest.mark.parametrize("code", REFUSALS)
def test_a_refusal_says_what_and_its_cure_works(code: str) -> None:
    request = REFUSALS[code]
    _, faults = refused(request)
    assert [fault["code"] for fault in faults] == [code]
    cure = faults[0]["cure"]
    answered(patched(request, cure))


def test_rolls_that_do_not_reach_are_refused_with_the_number_that_would() -> None:
    request = but(("/products/1/stock/0", {"length": "10 ft", "on_hand": 2}))
    _, (fault,) = refused(request)
    assert fault["code"] == "stock-short"
    answered(patched(request, fault["cure"]))
    (edit,) = fault["cure"]
    fewer = patched(request, [{**edit, "value": edit["value"] - 1}])
    assert refused(fewer)[1][0]["code"] == "stock-short"


@pytest.mark.parametrize(
    ("pointer", "value", "code"),
    [
        (f"{PANELS}/product", "roll", "wrong-form"),
        (f"{WRAP}/product", "sheet", "wrong-form"),
        (f"{WRAP}/tape", "sheet", "wrong-form"),
        (f"{WRAP}/tape", "none", "no-such-product"),
        (f"{PANELS}/fastening/product", "tape", "wrong-form"),
        (f"{WRAP}/fastening/product", "none", "no-such-product"),
        (f"{PANELS}/rules", {"panel_wall_gap": 80}, "nothing-left"),
    ],
)
def test_a_name_that_fits_nothing_is_refused(pointer: str, value: Any, code: str) -> None:
    _, (fault,) = refused(but((pointer, value)))
    assert fault["code"] == code


FINDINGS = {
    "edges-unsupported": JOB,
    "sheets-trimmed": but((f"{PANELS}/rules", {"panel_wall_gap": 0.125})),
    "joint-near-corner": but(
        ("/surfaces/0/openings", [{"id": f"o{k}", "rectangle": [16 * k + 2, 30, 12, 12]}
                                  for k in range(1, 14)]),
    ),
    "seam-near-corner": but(
        ("/surfaces/0/rectangle", [240, 130]),
        ("/surfaces/0/openings", [{"id": "hatch", "rectangle": [100, 50, 20, 20]}]),
    ),
    "lap-short": but((f"{WRAP}/rules", {"wrap_lap": 1})),
    "sheet-length-lost": but(
        ("/surfaces/0/supports", {"direction": 90, "first": 17, "spacing": 17})
    ),
    "laps-shed-water": but(("/surfaces/0/type", "wall")),
    "no-fastener": but((f"{PANELS}/fastening", {})),
    "blocks-needed": but(
        (f"{PANELS}/direction", 90), ("/surfaces/0/supports/spacing", 16),
        ("/rules", {"backing": "none"}),
    ),
    "part-left-out": but(
        ("/surfaces/0/rectangle", None),
        ("/surfaces/0/outline", [[0, 0], [240, 0], [240, 90], [120, 90], [120, 140],
                                   [118, 140], [118, 90], [0, 90]]),
    ),
}  # fmt: skip


@pytest.mark.parametrize("code", FINDINGS)
def test_a_finding_is_said_and_its_cure_takes_it_away(code: str) -> None:
    request = FINDINGS[code]
    request = deepcopy(request)
    for area in request["surfaces"]:
        for key in [key for key, value in area.items() if value is None]:
            del area[key]
    rows = [row for row in answered(request)["findings"] if row["code"] == code]
    assert rows
    cure = rows[0]["cure"]
    if cure is not None:
        cured = answered(patched(request, cure))
        left = [row for row in cured["findings"] if row["code"] == code]
        assert len(left) < len(rows)


def test_a_rule_that_blocks_is_lowered_if_the_caller_says_so() -> None:
    request = but((f"{PANELS}/rules", {"panel_end_bearing": 0.75}), ("/when_blocked", "relax"))
    (row,) = answered(request)["relaxed"]
    assert (row["key"], row["asked"], row["used"]) == ("panel_end_bearing", 0.75, 0.6875)


def test_a_shim_is_passed_by_every_fastener() -> None:
    """1/2 in sheet + 3/8 in shim: 2 in hold 1-1/8, so 2-1/2 in is taken (18.11)."""
    plain, shimmed = answered(JOB), answered(but(("/surfaces/0/supports/shim", 0.375)))
    lengths = [
        {row["length"] for row in one["fasteners"] if row["layer"] == "panels"}
        for one in (plain, shimmed)
    ]
    assert lengths == [{2.0}, {2.5}]


def test_clips_stand_in_each_bay_of_each_seam() -> None:
    """16 lines make 15 bays on each of two seams."""
    rows = answered(but((f"{PANELS}/edges", "clips")))["fasteners"]
    assert [row["count"] for row in rows if row["pattern"] == "clips"] == [30]
