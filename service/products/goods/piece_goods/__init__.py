"""What is bought by the piece, as the ring that trims an opening."""

from pathlib import Path

from service.products.form import CountedForm
from service.products.goods.piece_goods.packing import packed
from service.products.goods.piece_goods.spec import PieceGoodsProduct
from service.products.nouns import StockNouns
from service.products.rulings import Rulings

FORM = CountedForm(
    name="piece_goods",
    goods="pieces",
    nouns=StockNouns(piece="piece", picked=8),
    spec=PieceGoodsProduct,
    rulings=Rulings,
    packed=packed,
    folder=Path(__file__).parent,
)
