"""Clips, deck boards, glue and pins, metals and packs: what each crossing takes, what is bought.

Patterns are common practice (18.3). Nails of 28 courses on 16 members are worked by hand; 145
casing nails of 2-1/2 in to the pound are those of the classic tables of wire nails, from memory.
"""

from __future__ import annotations

from functools import lru_cache
from math import pi
from typing import Any

import pytest

from service.products.goods.fastener.spec import FastenerProduct
from service.units.ticks import INCH
from tests.strategies import requests
from tests.strategies.asking import answered

Request = dict[str, Any]

NAIL = {"id": "nail", "form": "fastener", "lengths": [2, 2.5, 3], "shank": "ring"}
CLIP = {"id": "clip", "form": "clip", "packs": [{"count": 50}, {"count": 90}]}
BOARD = requests.board("12 ft", "16 ft", cover=5.5, overall=5.5, profile="square_edge")
GLUE = {"id": "glue", "form": "sealant", "packs": [{"holds": "28 fl oz"}], "loss": 0}


def fastened(pattern: str, *more: Request, kind: str = "floor", **layer: Any) -> Request:
    """A room of 192 x 110 in: 20 courses over 11 members within and two at its ends."""
    fastening = {"pattern": pattern, "product": "nail"} | layer.pop("fastening", {})
    area = requests.room(192, 110, type=kind, behind=requests.supports(ends=True),
                         layer={"fastening": fastening, **layer})  # fmt: skip
    return requests.framed(requests.job(area, BOARD, NAIL, *more, rules={"gap": 0}))


@lru_cache
def clipped() -> Request:
    return answered(fastened("clip", CLIP, fastening={"clip": "clip", "clip_ends": True}))


def counted(answer: Request, **which: str) -> int:
    rows = answer["fasteners"]
    return sum(row["count"] for row in rows if which.items() <= row.items())


def test_a_clip_holds_every_board_but_the_last_which_is_faced_as_the_first_is() -> None:
    """20 courses on 13 members: 19 x 13 clips, and one at each end of 19; 2 x 13 faced."""
    answer = clipped()
    assert (len(answer["courses"]), answer["layers"][0]["crossings"]) == (20, 260)
    assert counted(answer, place="clip", where="end") == 2 * 19
    assert counted(answer, place="clip") == 19 * 13 + 2 * 19
    assert counted(answer, place="face", where="first") == 13
    assert counted(answer, place="face", where="last") == 13


def test_clips_are_ordered_with_what_is_lost_in_the_packs_that_leave_least() -> None:
    """285 and 5 % are 300: six of 50 leave none, three of 90 and one of 50 leave 20."""
    lines = [row for row in clipped()["order"] if row["product"] == "clip"]
    assert [(row["packages"], row["per_package"]) for row in lines] == [(6, 50)]
    assert [(row["need"], row["loss"], row["left_over"]) for row in lines] == [(285, 15, 0)]


def test_clips_without_a_name_are_counted_and_said() -> None:
    answer = answered(fastened("clip"))
    assert "no-clip" in {row["code"] for row in answer["findings"]}
    assert counted(answer, place="clip") == 19 * 13


def test_deck_boards_have_two_at_each_joist_whatever_their_width() -> None:
    """Also by default, on a deck; 4 at a joint, for each piece has its own two."""
    for answer in (answered(fastened("deck_face")), answered(_default_deck())):
        assert {row["pattern"] for row in answer["fasteners"]} == {"deck_face"}
        assert counted(answer) == 2 * answer["layers"][0]["crossings"]


def _default_deck() -> Request:
    area = requests.room(192, 110, type="deck", behind=requests.supports(ends=True),
                         layer={"fastening": {"product": "nail"}})  # fmt: skip
    narrow = requests.board("8 ft", "12 ft", cover=3.5, overall=3.5, profile="square_edge")
    return requests.framed(requests.job(area, narrow, NAIL, rules={"gap": 0}))


def test_glue_runs_along_the_pieces_and_pins_are_those_of_the_face() -> None:
    """20 pieces of 16 ft, a bead of 1/4 x 1/4 in: 3840 x 1/16 = 240 cubic inches, 4.75 tubes."""
    beads = [{"product": "glue", "along": "pieces", "width": 0.25, "depth": 0.25}]
    answer = answered(fastened("glue_pin", GLUE, beads=beads))
    (row,) = answer["liquids"]
    assert row["length"] == 20 * 192
    assert row["volume"] == pytest.approx(240 / 231, abs=1e-6)
    assert [one["buy"] for one in answer["order"] if one["product"] == "glue"] == [5]
    assert counted(answer) == counted(answered(fastened("face")))


@pytest.mark.parametrize(("kind", "beads", "told"), [
    ("floor", [], {"glue-not-named"}),
    ("ceiling", [], {"glue-not-named", "glue-overhead"}),
    ("ceiling", [{"product": "glue", "along": "members", "width": 0.25, "depth": 0.25}],
     {"glue-overhead"}),
])  # fmt: skip
def test_glue_that_is_not_named_and_glue_overhead_are_said(
    kind: str, beads: list[Request], told: set[str]
) -> None:
    answer = answered(fastened("glue_pin", GLUE, kind=kind, beads=beads))
    assert {row["code"] for row in answer["findings"] if row["code"].startswith("glue")} == told


def test_nails_of_28_courses_on_16_members_by_the_pound() -> None:
    """28 x 16 crossings, one more at each of 28 joints: 476; x 1.2 / 145 = 3.94 lb, four packs."""
    nail = NAIL | {"per_pound": 145, "pounds": 1}
    area = requests.room(240, 144, type="wall", behind=requests.supports(ends=True),
                         layer={"fastening": {"pattern": "face", "product": "nail"}})  # fmt: skip
    rules = {"per_crossing": 1, "loss_hand": 20, "most_joints": 1}
    answer = answered(
        requests.framed(requests.job(area, requests.board("14 ft", "16 ft"), nail, rules=rules))
    )
    assert (len(answer["courses"]), len(answer["joints"])) == (28, 28)
    assert counted(answer) == 476
    (line,) = (row for row in answer["order"] if row["product"] == "nail")
    assert (line["need"], line["loss"], line["packages"]) == (476, 96, 4)
    assert (line["need"] + line["loss"]) / 145 == pytest.approx(3.94, abs=0.006)
    assert line["weight"] == 4


@pytest.mark.parametrize(("length", "diameter", "printed"), [
    (1.5, 0.099, 305), (2, 0.113, 176), (2.5, 0.131, 105), (3, 0.148, 68.3), (3.5, 0.162, 48.9),
])  # fmt: skip
def test_a_count_by_the_pound_is_reckoned_of_a_steel_shank(
    length: float, diameter: float, printed: float
) -> None:
    """1 / (0.2836 lb a cubic inch x section x length): the weight of plain wire."""
    asked = {"id": "n", "form": "fastener", "lengths": [], "shank": "smooth",
             "diameter": f"{diameter * 25.4:.4f} mm"}  # fmt: skip
    asked["lengths"] = [f"{length * 25.4:g} mm"]
    spec = FastenerProduct.model_validate(asked, context={"unit": "in"})
    count = spec.by_pound(int(length * INCH))
    assert count is not None
    assert float(count) == pytest.approx(printed, rel=0.005)
    assert float(count) == pytest.approx(1 / (0.2836 * pi / 4 * diameter**2 * length), rel=1e-4)


@pytest.mark.parametrize(("wood", "framing", "salt", "metal", "code"), [
    ("treated", "plain", False, "electroplated", "fastener-corrodes"),
    ("treated", "plain", False, "hot_dipped", None),  # IRC R317.3: ASTM A153
    ("plain", "treated", False, "aluminium", "fastener-corrodes"),
    ("plain", "treated", False, "silicon_bronze", None),
    ("acidic", "plain", False, "electroplated", "fastener-corrodes"),  # APA TN D485: staining
    ("acidic", "plain", False, "stainless", None),
    ("plain", "plain", True, "stainless", "fastener-corrodes"),  # common practice: 316
    ("plain", "plain", True, "stainless_316", None),
    ("acidic", "treated", True, None, "metal-unknown"),
    ("plain", "plain", False, None, None),
])  # fmt: skip
def test_metals_are_held_against_wood_framing_and_air(
    wood: str, framing: str, salt: bool, metal: str | None, code: str | None
) -> None:
    request = fastened("face")
    request["surfaces"][0] |= {"framing": framing, "near_salt": salt}
    request["products"][0] = BOARD | {"wood": wood}
    request["products"][1] = NAIL | ({} if metal is None else {"metal": metal})
    told = [row for row in answered(request)["findings"] if row["rule"] == "18.13"]
    assert [row["code"] for row in told] == ([] if code is None else [code])
    if code == "fastener-corrodes":
        assert told[0]["cure"][0]["path"] == "/products/1/metal"


@pytest.mark.parametrize(("prices", "currency", "told"), [
    (("9", None), "USD", {"prices-partial"}), (("9", "12"), None, {"no-currency"}),
    (("9", "12"), "USD", set()), ((None, None), None, set()),
])  # fmt: skip
def test_prices_of_some_sizes_or_in_no_currency_are_said(
    prices: tuple[str | None, ...], currency: str | None, told: set[str]
) -> None:
    """Of some sizes alone they choose nothing: the plan is that of least length."""
    stock = [{"length": "8 ft", "price": prices[0]}, {"length": "12 ft", "price": prices[1]}]
    request = requests.job(requests.room(180, 60), requests.board(*stock))
    answer = answered(request | ({} if currency is None else {"currency": currency}))
    found = {row["code"] for row in answer["findings"]} & {"prices-partial", "no-currency"}
    assert found == told
    by = "least_cost" if None not in prices else "least_length"
    assert answer["cut_plans"][0]["objective"] == by


def test_a_count_that_is_reckoned_for_packs_by_weight_is_said() -> None:
    request = fastened("face")
    request["products"][1] = NAIL | {"diameter": 0.131, "pounds": 5}
    assert "count-by-diameter" in {row["code"] for row in answered(request)["findings"]}


def test_another_course_takes_no_fewer() -> None:
    """A room wider by one whole board has the same rips: each pattern takes more, never fewer."""
    for pattern in ("blind", "blind_face", "face"):
        counts = []
        for courses in (9, 10):
            area = requests.room(
                192, 5.125 * courses + 3, layer={"fastening": {"pattern": pattern}}
            )
            counts.append(counted(answered(requests.framed(requests.job(area)))))
        assert counts[0] < counts[1]


def sheeted(edge: float, field: float, feet: int = 8) -> int:
    """Fasteners of one row of sheets over members 16 in apart, so long, by their spacing."""
    layer = {"kind": "sheathing", "product": "ply", "fastening": {"edge": edge, "field": field}}
    area = requests.room(12 * feet, 48, type="floor", behind=requests.supports(ends=True))
    area["layers"] = [layer]
    ply = {"id": "ply", "form": "sheet", "width": 48, "thickness": 0.5, "stock": [{"length": 96}]}
    rules = {"panel_gap": 0, "panel_wall_gap": 0}
    return counted(answered(requests.framed(requests.job(area, ply, rules=rules))))


def test_nearer_fasteners_and_another_sheet_take_no_fewer() -> None:
    """A spacing that shrinks at edges or elsewhere, and a sheet more, never lower the count."""
    by_spacing = [sheeted(*one) for one in ((6, 12), (6, 8), (4, 8), (3, 3))]
    assert by_spacing == sorted(by_spacing)
    by_sheets = [sheeted(6, 12, feet) for feet in (8, 12, 16)]
    assert by_sheets == sorted(by_sheets)
    assert by_spacing[0] == by_sheets[0] == 43  # 2 x 9 + 5 x 5 on seven members
