"""Boards: tongue-and-groove, shiplap, square-edged or lapped, in lengths."""

from pathlib import Path

from service.products.form import Form
from service.products.goods.board.planning import plan, supplied
from service.products.goods.board.rulings import BoardRulings
from service.products.goods.board.spec import BoardProduct, BoardRules
from service.products.nouns import StockNouns

FORM = Form(
    name="board",
    goods="boards",
    nouns=StockNouns(piece="stick", picked=5),
    spec=BoardProduct,
    rulings=BoardRulings,
    rules=BoardRules,
    stock_rules=tuple(BoardRules.model_fields),
    plan=plan,
    supplied=supplied,
    folder=Path(__file__).parent,
)
