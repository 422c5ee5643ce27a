"""Seam tape in rolls, used by length."""

from pathlib import Path

from service.products.form import CountedForm
from service.products.goods.tape.packing import owned_of, packed
from service.products.goods.tape.rulings import TapeRulings
from service.products.goods.tape.spec import TapeProduct, TapeRules
from service.products.nouns import StockNouns

FORM = CountedForm(
    name="tape",
    goods="tapes",
    nouns=StockNouns(piece="roll", picked=3),
    spec=TapeProduct,
    rulings=TapeRulings,
    rules=TapeRules,
    packed=packed,
    owned=owned_of,
    folder=Path(__file__).parent,
)
