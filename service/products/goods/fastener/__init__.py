"""Nails and screws of one make, in boxes and packs."""

from pathlib import Path
from typing import Never

from service.products.form import ByAmount, Form
from service.products.goods.fastener.packing import loss, packed
from service.products.goods.fastener.spec import FastenerProduct
from service.products.nouns import StockNouns
from service.products.rulings import DrivingRulings
from service.schemas.rules import DrivingRules

FORM: Form[FastenerProduct, DrivingRulings, Never, Never, Never] = Form(
    name="fastener",
    goods="fasteners",
    nouns=StockNouns(piece="piece", picked=6),
    spec=FastenerProduct,
    rulings=DrivingRulings,
    rules=DrivingRules,
    bought=ByAmount(packed, loss),
    folder=Path(__file__).parent,
)
