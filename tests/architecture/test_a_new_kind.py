"""A kind that exists only in the tests is served with no edit anywhere else."""

import dataclasses
import json
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from service.api.settings import Settings
from service.app import create_app
from service.products import registry
from service.products.clashes import clashes, clashes_of_forms
from service.products.form import Form
from service.products.goods import board
from service.products.kinds import boarding
from service.products.rulings import Ruling, Rulings
from service.schemas.base import Asked
from service.schemas.quantities import Count, Length
from service.schemas.stock import Stocked, StockLength
from tests.contract.serving import serving
from tests.strategies.kinds import KINDS_FOR_TESTS, forget_kinds_for_tests

KINDS = ("battens", "beams", "cleats", "wash")

JOB: dict[str, Any] = {
    "unit": "in",
    "surfaces": [
        {
            "id": "wall",
            "type": "wall",
            "rectangle": [200, 90],
            "supports": {"direction": 90, "spacing": 16},
            "layers": [
                {"kind": "boarding", "product": "lath", "id": "boards", "direction": 0},
                {"kind": "battens", "product": "lath", "rules": {"batten_spacing": 24}},
            ],
        }
    ],
    "products": [
        {
            "id": "lath",
            "form": "board",
            "profile": "square_edge",
            "overall": 5.5,
            "thickness": 0.75,
            "stock": [{"length": "16 ft"}],
        },
    ],
}


@pytest.fixture
def new_kind() -> Iterator[Settings]:
    """Settings that name the folder; the kind is forgotten afterwards."""
    yield Settings(kinds_path=(str(KINDS_FOR_TESTS),), processes=1)
    forget_kinds_for_tests()


def test_a_new_kind_appears_everywhere(new_kind: Settings) -> None:
    """Its battens and the boards over them are one product: cut, ordered and booked together."""
    others = registry.names()
    with serving(create_app(new_kind)) as client:
        kinds = client.get("/v1/kinds").json()["kinds"]
        assert kinds == sorted([*others, *KINDS])
        assert client.get("/v1/kinds/battens").json()["forms"] == ["board"]
        tables = [row["id"] for row in client.get("/v1/tables").json()["tables"]]
        assert "battens-defaults" in tables
        document = client.get("/openapi.json").text
        assert '"BattenLayer"' in document
        assert "batten_spacing" in document
        body = json.dumps(JOB)
        head = {"Content-Type": "application/json"}
        answer = client.post("/v1/takeoffs", content=body, headers=head).json()
        battens = [row for row in answer["pieces"] if row["layer"] == "battens"]
        assert len(battens) == 4 * 2
        assert {row["product"] for row in answer["order"]} == {"lath"}
        (plan,) = answer["cut_plans"]
        on_sticks = [name for row in answer["sticks"] for name in row["pieces"]]
        assert sorted(on_sticks) == sorted(row["id"] for row in answer["pieces"])
        assert any(
            {"battens", "boards"} <= {name.split(".")[1] for name in row["pieces"]}
            for row in answer["sticks"]
        )
        bought = sum(row["buy"] * row["length"] for row in answer["order"])
        booked = sum(int(row["half_square_ticks"]) for row in answer["ledger"])
        assert booked == 2 * round(bought * 5.5 * 1_016_000**2)
        assert plan["bound"] <= plan["cost"]
        drawing = client.post(
            "/v1/takeoffs?layer=battens", content=body, headers={**head, "Accept": "image/svg+xml"}
        )
        assert drawing.status_code == 200
        assert "battens from edge to edge" in drawing.text


UPRIGHT: dict[str, Any] = {
    "unit": "in",
    "surfaces": [
        {
            "id": "wall",
            "type": "wall",
            "rectangle": [120, 97],
            "supports": {"direction": 90, "spacing": 16, "first": 16},
            "layers": [
                {"kind": "battens", "product": "strap", "rules": {"batten_spacing": 24}},
                {"kind": "boarding", "id": "boards", "product": "pine", "direction": 90,
                 "fastening": {"product": "nail"}},
            ],
        }
    ],
    "products": [
        {"id": "strap", "form": "board", "profile": "square_edge", "overall": 1.5,
         "thickness": 1.5, "stock": [{"length": "16 ft"}]},
        {"id": "pine", "form": "board", "profile": "square_edge", "overall": 5.5,
         "thickness": 0.75, "stock": [{"length": "12 ft"}]},
        {"id": "nail", "form": "fastener", "lengths": [1.5, 2, 2.5, 3, 3.5], "shank": "ring"},
    ],
}  # fmt: skip


def asked(client: Any, job: dict[str, Any]) -> dict[str, Any]:
    head = {"Content-Type": "application/json"}
    answer: dict[str, Any] = client.post(
        "/v1/takeoffs", content=json.dumps(job), headers=head
    ).json()
    return answer


def test_boards_bear_on_what_a_layer_behind_offers(new_kind: Settings) -> None:
    """Upright boards on upright studs have nothing to bear on; over battens they have those."""
    with serving(create_app(new_kind)) as client:
        area = UPRIGHT["surfaces"][0]
        bare = UPRIGHT | {"surfaces": [area | {"layers": area["layers"][1:]}]}
        (fault,) = asked(client, bare)["errors"]
        assert fault["code"] == "no-bearing"
        answer = asked(client, UPRIGHT)
        boards = [row for row in answer["runs"] if row["layer"] == "boards"]
        # Battens from 0 to 1-1/2 in, and each 24 in; boards from 1/2 to 96-1/2 in.
        assert {row["bearings"] for row in boards} == {4}
        (nails,) = {row["length"] for row in answer["fasteners"] if row["layer"] == "boards"}
        # 1-1/4 in in the batten, through a board of 3/4 in (18.11).
        assert nails == 2
        thin = json.loads(json.dumps(UPRIGHT))
        thin["products"][0]["thickness"] = 0.75
        answer = asked(client, thin)
        (nails,) = {row["length"] for row in answer["fasteners"] if row["layer"] == "boards"}
        # All of a batten of 3/4 in, which is less than the 1-1/4 in asked for.
        assert nails == 1.5
        (told,) = (row for row in answer["findings"] if row["code"] == "hold-limited")
        assert (told["measure"], told["limit"]) == (0.75, 1.25)


STUD = {"id": "stud", "form": "lumber", "width": 3.5, "thickness": 1.5,
        "stock": [{"length": "8 ft"}]}  # fmt: skip


def test_what_is_a_line_is_booked_by_its_length(new_kind: Settings) -> None:
    """Studs 16 in apart leave ten bays of 14-1/2 in: six and four of two sticks of 96 in (8.2)."""
    area = JOB["surfaces"][0] | {"layers": [{"kind": "cleats", "product": "stud"}]}
    supports = {"direction": 90, "at": [16 * k for k in range(1, 12)]}
    job = {"unit": "in", "surfaces": [area | {"supports": supports}], "products": [STUD]}
    with serving(create_app(new_kind)) as client:
        answer = asked(client, job)
    assert [row["length"] for row in answer["pieces"]] == [14.5] * 10
    assert sorted(len(row["pieces"]) for row in answer["sticks"]) == [4, 6]
    booked = {row["account"]: int(row["amount"]) / 1_016_000 for row in answer["ledger"]}
    assert {row["measure"] for row in answer["ledger"]} == {"length"}
    assert sum(booked.values()) == 2 * 96
    assert booked["installed"] == 145
    assert booked["kerf"] == 10 * 0.125
    assert booked["offcut_kept"] == 96 - 4 * 14.625
    assert booked["short_offcut"] == 96 - 6 * 14.625
    (row,) = answer["products"]
    assert (row["area_bought"], row["bought"], row["waste_pct"]) == (None, 192, None)
    shared = sum(int(row["amount"]) for row in answer["ledger_shares"])
    assert shared == 2 * 96 * 1_016_000


def test_what_a_kind_asks_to_stand_behind_is_counted_and_cut(new_kind: Settings) -> None:
    """A nailer of 200 in is two pieces of 100 in from 12 ft sticks; without lumber it is told."""
    area = JOB["surfaces"][0] | {"layers": [{"kind": "cleats", "product": "stud"}]}
    plate = STUD | {"id": "plate", "stock": [{"length": "12 ft"}]}
    job = {"unit": "in", "surfaces": [area], "products": [STUD, plate]}
    with serving(create_app(new_kind)) as client:
        bare, cut, mixed = (
            asked(client, job | more) for more in ({}, {"nailers": "plate"}, {"nailers": "stud"})
        )
    (row,) = bare["backing"]
    assert (row["length"], row["count"], row["product"], row["pieces"]) == (200, 1, None, [])
    assert [one["at"] for one in bare["findings"] if one["code"] == "backing-not-ordered"] == [
        "wall"
    ]
    (row,) = cut["backing"]
    assert (row["count"], row["product"]) == (2, "plate")
    assert [one["cuts"] for one in cut["sticks"] if one["product"] == "plate"] == [[100], [100]]
    booked = [one for one in cut["ledger"] if one["product"] == "plate"]
    assert sum(int(one["amount"]) for one in booked) == 2 * 144 * 1_016_000
    assert cut["pieces"] == bare["pieces"]
    (fault,) = mixed["errors"]
    assert fault["code"] == "nailers-laid"


def test_a_piece_longer_than_any_stick_is_refused_by_name(new_kind: Settings) -> None:
    """None is joined: members 60 in apart and sticks of 4 ft (8.2)."""
    supports = {"direction": 90, "at": [16, 76]}
    area = JOB["surfaces"][0] | {"layers": [{"kind": "cleats", "product": "stud"}]}
    job = {"unit": "in", "surfaces": [area | {"supports": supports}],
           "products": [STUD | {"stock": [{"length": "4 ft"}]}]}  # fmt: skip
    with serving(create_app(new_kind)) as client:
        (fault,) = asked(client, job)["errors"]
    assert fault["code"] == "piece-too-long"
    assert fault["pointer"] == "/products/0/stock"
    assert "4' 10-1/2\"" in fault["detail"]


def test_a_liquid_is_booked_by_its_volume(new_kind: Settings) -> None:
    """200 x 90 in at 0.005 in are 90 cubic inches: two cans of 64, of which 38 are left."""
    area = JOB["surfaces"][0] | {"layers": [{"kind": "wash", "product": "tint"}]}
    tint = {"id": "tint", "form": "liquid", "side": 4}
    job = {"unit": "in", "surfaces": [area, area | {"id": "gable", "rectangle": [20, 9]}],
           "products": [tint]}  # fmt: skip
    with serving(create_app(new_kind)) as client:
        answer = asked(client, job)
    cubic = 1_016_000**3
    booked = {row["account"]: Fraction(int(row["amount"]), cubic) for row in answer["ledger"]}
    assert {row["measure"] for row in answer["ledger"]} == {"volume"}
    assert all(row["area"] is row["length"] is None for row in answer["ledger"])
    assert booked["installed"] == Fraction(909, 10)
    assert booked["surplus"] == 2 * 64 - Fraction(909, 10)
    assert sum(booked.values()) == 128
    shares = {row["surface"]: 0 for row in answer["ledger_shares"]}
    for row in answer["ledger_shares"]:
        shares[row["surface"]] += int(row["amount"])
    assert sum(shares.values()) == 128 * cubic
    assert shares["gable"] < shares["wall"] / 99
    (line,) = answer["order"]
    assert (line["buy"], line["length"]) == (2, None)


def test_the_kind_is_not_there_otherwise() -> None:
    assert set(KINDS).isdisjoint(registry.names())
    assert "liquid" not in registry.forms()


class OfNoWidth(Asked):
    stock: list[StockLength]


class OfNoSaidWidth(Stocked):
    pass


@pytest.mark.parametrize("shape", [OfNoWidth, OfNoSaidWidth])
def test_a_form_with_stock_says_how_wide_it_is_laid(shape: type) -> None:
    """What such a job costs in work is asked of every product with `stock` before it is done."""
    with pytest.raises(TypeError, match=r"the form lath of .*somewhere has `stock`.*`laid_width`"):
        Form(
            name="lath",
            goods="laths",
            spec=shape,
            rulings=Rulings,
            plan=board.FORM.plan,
            supplied=board.FORM.supplied,
            folder=Path("somewhere"),
        )


class CountedStagger(Asked):
    """A rule that boards have as a length."""

    stagger: Count | None = None


class UnsetRule(Asked):
    """A rule that no table sets."""

    batten_spacing: Length | None = None


class CountedKerf(Asked):
    """A rule of stock that others have as a length."""

    kerf: Count | None = None


BOARDING, FORMS = registry.all_kinds()["boarding"], registry.forms()
ELSEWHERE = BOARDING.folder.parent
BOTH_PLACES = f"in {BOARDING.folder} and in {ELSEWHERE}"


def of_kinds(**changes: Any) -> list[str]:
    """What is told of boarding beside a kind that differs from it, in another folder."""
    other = dataclasses.replace(BOARDING, folder=ELSEWHERE, **changes)
    return clashes([BOARDING, other], FORMS)


def of_forms(**changes: Any) -> list[str]:
    """What is told of the form board beside one that differs from it, in another folder."""
    board = FORMS["board"]
    return clashes_of_forms([board, dataclasses.replace(board, folder=Path("lumber"), **changes)])


def test_two_kinds_of_one_name_are_told_with_both_places() -> None:
    assert f"two kinds are called boarding: {BOTH_PLACES}" in of_kinds()


def test_a_rule_of_two_types_is_told_with_both_places() -> None:
    told = of_kinds(name="other", rules=CountedStagger)
    assert f"the rule stagger is of two types: {BOTH_PLACES}" in told
    places = f"in {FORMS['board'].folder} and in lumber"
    assert f"the rule kerf is of two types: {places}" in of_forms(name="pole", rules=CountedKerf)


def test_two_forms_of_one_name_are_told_with_both_places() -> None:
    places = f"in {FORMS['board'].folder} and in lumber"
    assert f"the form board is two shapes: {places}" in of_forms()


def test_a_rule_without_a_default_is_told() -> None:
    missing = f"has no default in {ELSEWHERE / 'tables' / 'defaults.toml'}"
    told = of_kinds(name="other", rules=UnsetRule)
    assert f"the rule batten_spacing of {ELSEWHERE} {missing}" in told
    where = Path("lumber") / "tables" / "defaults.toml"
    told = of_forms(name="pole", rules=UnsetRule)
    assert told == [f"the rule batten_spacing of lumber has no default in {where}"]


def test_a_form_that_is_not_there_or_is_taken_without_its_rules_is_told() -> None:
    told = of_kinds(name="other", rules=UnsetRule, named={"product": "board", "trim": "pole"})
    assert f"{ELSEWHERE} takes the form pole as its trim, and no such form is there" in told
    assert f"{ELSEWHERE} takes the form board without its rule kerf" in told


class OtherRulings(Rulings):
    """Those of a kind that reads a rule which nobody can send."""

    made_up = Ruling(int)


def test_rules_that_are_not_read_or_made_up_are_told() -> None:
    told = of_kinds(name="other", rulings=OtherRulings)
    assert f"the rule stagger of {ELSEWHERE} is not in its OtherRulings" in told
    assert f"OtherRulings of {ELSEWHERE} has made_up, and no rule that can be sent is" in told
    assert f"{ELSEWHERE} takes the form board without its BoardRulings" in told


def test_a_clash_stops_the_start(new_kind: Settings, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(boarding, "KIND", dataclasses.replace(boarding.KIND, name="wrap"))
    registry.forget()
    with pytest.raises(ValueError, match=r"two kinds are called wrap: in .* and in "):
        create_app(new_kind)


def test_what_is_no_kind_stops_the_start(
    new_kind: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(boarding, "KIND", board.FORM)
    registry.forget()
    with pytest.raises(TypeError, match="KIND of boarding is no Kind"):
        create_app(new_kind)


def test_two_forms_of_one_name_stop_the_start(
    new_kind: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(board, "FORM", dataclasses.replace(board.FORM, name="sheet"))
    registry.forget()
    with pytest.raises(ValueError, match=r"the form sheet is two shapes: in .* and in "):
        create_app(new_kind)
