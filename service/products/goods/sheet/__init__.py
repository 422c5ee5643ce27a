"""Sheets of one width, in lengths."""

from pathlib import Path

from service.products.form import Form
from service.products.goods.sheet.jointing import joint
from service.products.goods.sheet.planning import plan, supplied
from service.products.goods.sheet.rulings import SheetRulings
from service.products.goods.sheet.spec import SheetProduct, SheetRules
from service.products.nouns import StockNouns

FORM = Form(
    name="sheet",
    goods="sheets",
    nouns=StockNouns(
        piece="sheet",
        picked=1,
        bench="a sheet lies face up, its far edge away from you",
    ),
    spec=SheetProduct,
    rulings=SheetRulings,
    rules=SheetRules,
    stock_rules=tuple(SheetRules.model_fields),
    joint=joint,
    plan=plan,
    supplied=supplied,
    folder=Path(__file__).parent,
)
