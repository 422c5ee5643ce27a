"""A kind that exists only in the tests: a coat over a surface, of a liquid in cubic cans."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Literal

from service.geometry.frame import frame_of
from service.ledger.book import Ledger
from service.order.lines import bought
from service.products.bought_rows import OrderRow
from service.products.buying import close_ledger
from service.products.drawing import DrawnLayer
from service.products.form import Form
from service.products.form import Need as NeedOf
from service.products.ground import Offered
from service.products.kind import Kind
from service.products.layer import Areas, Books, LaidLayer, Layer, Placed, Task
from service.products.remarks import Remarks
from service.products.rows import FastenerRow
from service.products.rulings import Ruling, Rulings
from service.products.supplied import SearchSettings, Supplied
from service.schemas.base import Asked
from service.schemas.bounds import Margin
from service.schemas.quantities import Length, Name
from service.schemas.surface import LayerBase
from service.units.ticks import ceiling, whole


class LiquidProduct(Asked):
    """A liquid in cans that are cubes: `side` is their inner length."""

    id: Name
    form: Literal["liquid"]
    side: Length


class WashRules(Asked):
    film: Margin | None = None


class WashLayer(LayerBase):
    kind: Literal["wash"]
    rules: WashRules | None = None


class WashRulings(Rulings):
    __slots__ = ()

    film = Ruling(int)


LiquidTask = Task[Layer, LiquidProduct, Rulings]
WashTask = Task[WashLayer, LiquidProduct, WashRulings]
LaidWash = LaidLayer[WashTask, None]
PlacedWash = Placed[LaidWash, None]
Need = NeedOf[LiquidTask, int, None]


@dataclass(frozen=True, slots=True)
class Cans:
    """How many cans hold all that is wanted."""

    count: int


def plan(needs: Sequence[Need], settings: SearchSettings) -> tuple[Cans, tuple[None, ...]]:
    """What is wanted is a volume, in cubic ticks."""
    total = sum(need.wanted for need in needs)
    side = needs[0].task.product.side
    return Cans(ceiling(Fraction(total, side**3))), (None,) * len(needs)


def supplied(
    plan: Cans, needs: Sequence[Need], made: Supplied, ledger: Ledger, settings: SearchSettings,
    said: Remarks,
) -> None:  # fmt: skip
    """Whole cans; what is left in the last one is a surplus."""
    each = needs[0].task.product.side ** 3
    ledger.enter("surplus", plan.count * each - sum(need.wanted for need in needs))
    made.order = (
        OrderRow(product=made.product, form="liquid", size=None, length=None,
                 bought=bought(plan.count), price=None, weight=None),
    )  # fmt: skip
    close_ledger(made, ledger, plan.count * each)


FORM = Form(name="liquid", goods="cans", spec=LiquidProduct, rulings=Rulings,
            folder=Path(__file__).parent / "cans",
            measure="volume", plan=plan, supplied=supplied)  # fmt: skip


def lay(task: WashTask, said: Remarks) -> LaidWash:
    net = task.surface.net
    return LaidLayer(
        task=task, direction=Fraction(0), frame=frame_of(task.surface.outline, Fraction(0)),
        areas=Areas(net, net), openings=(), courses=(), alternatives=(), detail=None,
        offered=Offered(),
    )  # fmt: skip


def needs(layer: LaidWash) -> tuple[Need, ...]:
    film = layer.task.rules.film
    return (FORM.need(layer.task, whole(Fraction(layer.areas.installed * film, 2))),)


def place(layer: LaidWash, shares: Sequence[None], books: Books, said: Remarks) -> PlacedWash:
    (need,) = needs(layer)
    books[layer.task.product.id].of(layer.task.surface.id).enter("installed", need.wanted)
    return Placed(laid=layer, detail=None)


def fasten(placed: PlacedWash, said: Remarks) -> tuple[FastenerRow, ...]:
    return ()


def draw(placed: PlacedWash, unit: str) -> DrawnLayer:
    return DrawnLayer(placed.laid.task.layer_id, "wash", (), ("one coat",))


def violations(placed: PlacedWash) -> tuple[str, ...]:
    return ()


KIND = Kind(
    name="wash",
    title="Wash",
    layer=WashLayer,
    rules=WashRules,
    rulings=WashRulings,
    named={"product": "liquid"},
    lay=lay,
    needs=needs,
    place=place,
    fasten=fasten,
    draw=draw,
    violations=violations,
    folder=Path(__file__).parent,
)
