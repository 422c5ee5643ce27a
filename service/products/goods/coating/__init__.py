"""Primer, stain and paint: so much of it, in cans."""

from pathlib import Path

from service.products.cans import owned_of, packed
from service.products.form import CountedForm
from service.products.goods.coating.spec import CoatingProduct
from service.products.nouns import StockNouns
from service.products.rulings import Rulings

FORM = CountedForm(
    name="coating",
    goods="coatings",
    nouns=StockNouns(piece="can", picked=10),
    spec=CoatingProduct,
    rulings=Rulings,
    packed=packed,
    owned=owned_of,
    folder=Path(__file__).parent,
)
