"""A kind that exists only in the tests is served with no edit anywhere else."""

import dataclasses
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from service.api.settings import Settings
from service.app import create_app
from service.products import kinds, registry
from service.products.clashes import clashes
from service.products.kinds import boarding
from service.schemas.base import Asked
from service.schemas.quantities import Count, Length
from service.schemas.stock import Stocked, StockLength
from tests.contract.serving import serving

FOLDER = str(Path(__file__).parent / "kinds_for_tests")

JOB = {
    "unit": "in",
    "surfaces": [
        {
            "id": "wall",
            "type": "wall",
            "rectangle": [96, 90],
            "supports": {"direction": 90, "spacing": 16},
            "layers": [
                {"kind": "boarding", "product": "pine", "direction": 0},
                {"kind": "battens", "product": "lath", "rules": {"batten_spacing": 24}},
            ],
        }
    ],
    "products": [
        {"id": "lath", "form": "batten", "width": 2, "length": "8 ft"},
        {
            "id": "pine",
            "form": "board",
            "profile": "square_edge",
            "overall": 5.5,
            "thickness": 0.75,
            "stock": [{"length": "8 ft"}, {"length": "10 ft"}],
        },
    ],
}


@pytest.fixture
def new_kind() -> Iterator[Settings]:
    """Settings that name the folder; the kind is forgotten afterwards."""
    yield Settings(kinds_path=(FOLDER,), processes=1)
    kinds.__path__.remove(FOLDER)
    sys.modules.pop(f"{kinds.__name__}.battens", None)
    registry.all_kinds.cache_clear()
    registry.rules_digest.cache_clear()


def test_a_new_kind_appears_everywhere(new_kind: Settings) -> None:
    with serving(create_app(new_kind)) as client:
        kinds = client.get("/v1/kinds").json()["kinds"]
        assert kinds == ["battens", "boarding", "sheathing", "wrap"]
        assert client.get("/v1/kinds/battens").json()["forms"] == ["batten"]
        tables = [row["id"] for row in client.get("/v1/tables").json()["tables"]]
        assert "battens-defaults" in tables
        document = client.get("/openapi.json").text
        assert '"BattenLayer"' in document
        assert "batten_spacing" in document
        body = json.dumps(JOB)
        head = {"Content-Type": "application/json"}
        answer = client.post("/v1/takeoffs", content=body, headers=head).json()
        order = {row["product"]: row["buy"] for row in answer["order"]}
        assert order["lath"] == 4
        booked = [row for row in answer["ledger"] if row["product"] == "lath"]
        assert sum(int(row["half_square_ticks"]) for row in booked) == 2 * (
            2 * 1_016_000 * 96 * 1_016_000 * 4
        )
        drawing = client.post(
            "/v1/takeoffs?layer=battens", content=body, headers={**head, "Accept": "image/svg+xml"}
        )
        assert drawing.status_code == 200
        assert "battens from edge to edge" in drawing.text


def test_the_kind_is_not_there_otherwise() -> None:
    assert registry.names() == ["boarding", "sheathing", "wrap"]


class OfNoWidth(Asked):
    stock: list[StockLength]


class OfNoSaidWidth(Stocked):
    pass


@pytest.mark.parametrize("shape", [OfNoWidth, OfNoSaidWidth])
def test_a_form_with_stock_says_how_wide_it_is_laid(shape: type) -> None:
    """What such a job costs in work is asked of every product with `stock` before it is done."""
    boarding = registry.all_kinds()["boarding"]
    with pytest.raises(TypeError, match=r"the form lath of the kind boarding .*`laid_width`"):
        dataclasses.replace(boarding, forms={"lath": shape})


class CountedStagger(Asked):
    """A rule that boards have as a length."""

    stagger: Count | None = None


class UnsetRule(Asked):
    """A rule that no table sets."""

    batten_spacing: Length | None = None


class OtherBoard(Stocked):
    @property
    def laid_width(self) -> int:
        return 1


BESIDE_BOARDING: dict[str, tuple[dict[str, Any], str]] = {
    "name": ({}, "two kinds are called boarding"),
    "form": ({"name": "other", "forms": {"board": OtherBoard}}, "the form board is two shapes"),
    "rule": ({"name": "other", "rules": CountedStagger}, "the rule stagger is of two types"),
}


@pytest.mark.parametrize("what", BESIDE_BOARDING)
def test_what_two_kinds_cannot_both_have_is_told_with_both_places(what: str) -> None:
    changes, sentence = BESIDE_BOARDING[what]
    boarding = registry.all_kinds()["boarding"]
    other = dataclasses.replace(boarding, folder=boarding.folder.parent, **changes)
    told = [one for one in clashes([boarding, other], {}) if one.startswith(sentence)]
    assert told == [f"{sentence}: in {boarding.folder} and in {other.folder}"]


def test_a_rule_without_a_default_and_a_form_that_all_share_are_told() -> None:
    boarding = registry.all_kinds()["boarding"]
    other = dataclasses.replace(boarding, rules=UnsetRule, forms={"fastener": OtherBoard})
    assert clashes([other], {"fastener": OtherBoard}) == [
        f"the rule batten_spacing of {other.folder} has no default in {other.defaults_path}",
        f"the form fastener of {other.folder} is one that all kinds share",
    ]


def test_a_clash_stops_the_start(new_kind: Settings, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        boarding, "KIND", dataclasses.replace(boarding.KIND, forms={"sheet": OtherBoard})
    )
    registry.all_kinds.cache_clear()
    with pytest.raises(ValueError, match=r"the form sheet is two shapes: in .* and in "):
        create_app(new_kind)
