"""Lumber: lines of one section, as blocks, nailers, cleats and straps, cut from whole sticks."""

from pathlib import Path

from service.products.form import Form
from service.products.goods.lumber.planning import plan
from service.products.goods.lumber.rulings import LumberRulings
from service.products.goods.lumber.spec import LumberProduct, LumberRules
from service.products.nouns import StockNouns
from service.products.sticks.plain import supplied

FORM = Form(
    name="lumber",
    goods="sticks",
    nouns=StockNouns(
        piece="stick",
        picked=4,
        bench="a stick lies face up, its far edge away from you",
    ),
    spec=LumberProduct,
    rulings=LumberRulings,
    rules=LumberRules,
    stock_rules=tuple(LumberRules.model_fields),
    measure="length",
    plan=plan,
    supplied=supplied,
    folder=Path(__file__).parent,
)
