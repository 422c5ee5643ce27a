"""Nails and screws of one make, in boxes and packs."""

from pathlib import Path

from service.products.form import CountedForm
from service.products.goods.fastener.packing import loss, owned_of, packed
from service.products.goods.fastener.spec import FastenerProduct
from service.products.nouns import StockNouns
from service.products.rulings import DrivingRulings
from service.schemas.rules import DrivingRules

FORM = CountedForm(
    name="fastener",
    goods="fasteners",
    nouns=StockNouns(piece="piece", picked=7, packs=("box", "boxes")),
    spec=FastenerProduct,
    rulings=DrivingRulings,
    rules=DrivingRules,
    packed=packed,
    loss=loss,
    owned=owned_of,
    folder=Path(__file__).parent,
)
