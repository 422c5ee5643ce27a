"""Nails and screws of one make, in boxes and packs."""

from pathlib import Path

from service.products.form import Form
from service.products.goods.fastener.packing import loss, packed
from service.products.goods.fastener.spec import FastenerProduct
from service.schemas.rules import DrivingRules

FORM = Form(
    name="fastener",
    goods="fasteners",
    spec=FastenerProduct,
    rules=DrivingRules,
    packed=packed,
    loss=loss,
    folder=Path(__file__).parent,
)
