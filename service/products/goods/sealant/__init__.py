"""Sealant and glue in tubes, used by the bead."""

from pathlib import Path

from service.products.cans import owned_of, packed
from service.products.form import CountedForm
from service.products.goods.sealant.spec import SealantProduct
from service.products.nouns import StockNouns
from service.products.rulings import Rulings

FORM = CountedForm(
    name="sealant",
    goods="tubes",
    nouns=StockNouns(piece="tube", picked=11),
    spec=SealantProduct,
    rulings=Rulings,
    packed=packed,
    owned=owned_of,
    folder=Path(__file__).parent,
)
