"""Mouldings and flat trim: lines of one profile that run along walls, openings and corners."""

from pathlib import Path

from service.products.form import Form
from service.products.goods.moulding.planning import plan
from service.products.goods.moulding.rulings import MouldingRulings
from service.products.goods.moulding.spec import MouldingProduct, MouldingRules
from service.products.nouns import StockNouns
from service.products.sticks.plain import supplied

FORM = Form(
    name="moulding",
    goods="sticks",
    nouns=StockNouns(
        piece="stick",
        picked=6,
        bench="a piece lies face up, its back edge (against the wall or the opening) towards you",
    ),
    spec=MouldingProduct,
    rulings=MouldingRulings,
    rules=MouldingRules,
    stock_rules=tuple(MouldingRules.model_fields),
    measure="length",
    plan=plan,
    supplied=supplied,
    folder=Path(__file__).parent,
)
