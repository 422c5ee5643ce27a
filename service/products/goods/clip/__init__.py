"""Clips that hold boards at their edges or sheets at their seams, in boxes."""

from pathlib import Path

from service.products.form import CountedForm
from service.products.goods.clip.packing import loss, packed
from service.products.goods.clip.spec import ClipProduct
from service.products.nouns import StockNouns
from service.products.rulings import DrivingRulings

FORM = CountedForm(
    name="clip",
    goods="clips",
    nouns=StockNouns(piece="clip", picked=9, packs=("box", "boxes")),
    spec=ClipProduct,
    rulings=DrivingRulings,
    packed=packed,
    loss=loss,
    folder=Path(__file__).parent,
)
