"""Seam tape in rolls, used by length."""

from pathlib import Path

from service.products.form import Form
from service.products.goods.tape.packing import packed
from service.products.goods.tape.spec import TapeProduct, TapeRules

FORM = Form(
    name="tape",
    goods="tapes",
    spec=TapeProduct,
    rules=TapeRules,
    packed=packed,
    folder=Path(__file__).parent,
)
