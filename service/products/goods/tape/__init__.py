"""Seam tape in rolls, used by length."""

from pathlib import Path
from typing import Never

from service.products.form import ByAmount, Form
from service.products.goods.tape.packing import packed
from service.products.goods.tape.rulings import TapeRulings
from service.products.goods.tape.spec import TapeProduct, TapeRules
from service.products.nouns import StockNouns

FORM: Form[TapeProduct, TapeRulings, Never, Never, Never] = Form(
    name="tape",
    goods="tapes",
    nouns=StockNouns(piece="roll", picked=3),
    spec=TapeProduct,
    rulings=TapeRulings,
    rules=TapeRules,
    bought=ByAmount(packed),
    folder=Path(__file__).parent,
)
