"""Rolls of wrap of one width, in lengths."""

from pathlib import Path

from service.products.form import Form
from service.products.goods.roll.choosing import joint
from service.products.goods.roll.planning import plan, supplied
from service.products.goods.roll.rulings import RollRulings
from service.products.goods.roll.spec import RollProduct, RollRules
from service.products.nouns import StockNouns

FORM = Form(
    name="roll",
    goods="rolls",
    nouns=StockNouns(piece="roll", picked=2),
    spec=RollProduct,
    rulings=RollRulings,
    rules=RollRules,
    stock_rules=tuple(RollRules.model_fields),
    plan=plan,
    joint=joint,
    supplied=supplied,
    folder=Path(__file__).parent,
)
