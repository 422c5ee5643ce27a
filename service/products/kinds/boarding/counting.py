"""What is bought and where it goes: order, ledger and the flat percentage beside it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from service.cutting.records import Stock
from service.geometry.plane import difference, rest_of_box
from service.geometry.rings import Polygon, rectangle
from service.joints.records import Jointed
from service.ledger.book import Ledger, Page
from service.order.lines import Bought, board_feet
from service.products.buying import close_books, order_lines, weight_of
from service.products.kind import LaidLayer, Said, Supplied, Task
from service.products.kinds.boarding.board import Board
from service.products.rows import AsYouGo, ComparedRow, OrderRow
from service.products.supply import to_buy
from service.units.ticks import whole

if TYPE_CHECKING:
    from service.products.kinds.boarding.laying import Boards
    from service.products.kinds.boarding.placing import Piece, Pieces


Box = tuple[int, int, int, int]
"""Low and high end, near and far edge."""


def order_of(
    task: Task, need: Mapping[int, int], said: Said
) -> tuple[tuple[OrderRow, ...], Counter[str]]:
    """One line a row of stock; and the length bought beyond the sticks, by account.

    `need` counts the sticks by the row's number.
    """

    def row(stock: Any, line: Bought) -> OrderRow:
        return _order_row(task, stock, line)

    return order_lines(task, need, said, row, "boards")


def _order_row(task: Task, stock: Any, line: Bought) -> OrderRow:
    product = task.product
    price = None if stock.price is None else float(stock.price * line.buy)
    weight = weight_of(task, product.overall * stock.length * line.buy)
    feet = None
    if product.nominal is not None:
        nominal = product.nominal
        length = stock.length * line.buy
        feet = round(float(board_feet(nominal.thickness, nominal.width, length)), 3)
    return OrderRow(
        product=product.id,
        form="board",
        item=product.id,
        length=stock.length,
        bought=line,
        price=price,
        weight=weight,
        board_feet=feet,
    )


def account_for(
    supplied: Supplied,
    extra: Mapping[str, int],
    layers: Sequence[LaidLayer],
    details: Sequence[Pieces],
    beside: Mapping[str, Sequence[str]],
    kerf: int,
) -> None:
    """Every bought half square tick into its account; raises LawBroken if any is missing.

    `beside[id]` are the pieces ripped from the board of piece `id`, and `kerf` what a rip takes.
    """
    board: Board = layers[0].detail.board
    width = board.overall
    ledger = Ledger(supplied.product)
    together = {*beside, *(name for names in beside.values() for name in names)}
    for layer, pieces in zip(layers, details, strict=True):
        boards: Boards = layer.detail
        page = ledger.of(layer.task.surface.id)
        page.enter("installed", layer.areas.installed)
        page.enter("snap", boards.laid.snap + pieces.snap)
        for piece in pieces.all:
            if piece.id not in together:
                _piece(page, boards, piece, _of_course(boards, piece))
    _shared_boards(ledger, layers, details, beside, kerf)
    for stick in supplied.sticks:
        ledger.enter("kerf", 2 * width * stick.kerf)
        ledger.enter("end_trim", 2 * width * stick.end_trim)
        ledger.enter("offcut_kept" if stick.kept else "short_rest", 2 * width * stick.rest)
    close_books(supplied, ledger, width, extra)
    total = sum((row.length or 0) * row.bought.buy for row in supplied.order)
    supplied.covers_half_square_ticks = 2 * board.coverage * total


@dataclass(frozen=True, slots=True)
class _Blank:
    """What a piece is cut out of: the part of its board, and the face within it (stations)."""

    width: int
    near: int
    far: int

    @property
    def face(self) -> int:
        """Width that shows before ends, notches and holes are cut."""
        return self.far - self.near


def _of_course(boards: Boards, piece: Piece) -> _Blank:
    """A whole board, ripped to its course."""
    course = boards.course(piece.run)
    return _Blank(boards.board.overall, course.low, course.high)


def _piece(page: Page, boards: Boards, piece: Piece, blank: _Blank) -> None:
    """One piece's blank less its shape: tongue, rip, notch, mitre and fit."""
    board, course = boards.board, boards.course(piece.run)
    extent = piece.cut.high - piece.cut.low
    lap = 0 if piece.tongue_lost else board.lap
    if board.lapped:
        lap = board.overall - blank.face
    page.enter("fit", 2 * blank.width * (piece.cut.need.length - extent))
    page.enter("lap_or_tongue", 2 * extent * lap)
    page.enter("rip", 2 * extent * (blank.width - blank.face - lap))
    shape = piece.shape
    if len(shape) == 1 and shape[0].twice_area == 2 * extent * blank.face:
        return
    holes = [
        (one.low, one.high, course.low + one.legs[0], course.high - one.legs[1])
        for one in boards.laid.cutouts
        if one.course == course.number
    ]
    box = (piece.cut.low, piece.cut.high, blank.near, blank.far)
    for rest in rest_of_boxes(shape, box):
        account = _account(rest, box, holes)
        straight = _straight(rest, box) if account == "rip" else rest.twice_area
        page.enter(account, straight)
        page.enter("notch", rest.twice_area - straight)


def _shared_boards(
    ledger: Ledger,
    layers: Sequence[LaidLayer],
    details: Sequence[Pieces],
    beside: Mapping[str, Sequence[str]],
    kerf: int,
) -> None:
    """Pieces ripped from one board: what is left of it beside the first goes to the others (3.13).

    Each is cut out of its own strip, so what an opening takes of it all along is ripped off.
    """
    places = {
        piece.id: (layer, piece)
        for layer, pieces in zip(layers, details, strict=True)
        for piece in pieces.all
    }
    for lead, seconds in beside.items():
        layer, first = places[lead]
        page, overall = ledger.of(layer.task.surface.id), layer.detail.board.overall
        _piece(page, layer.detail, first, replace(_of_run(layer.detail, first), width=overall))
        for name in seconds:
            own, piece = places[name]
            blank, length = _of_run(own.detail, piece), piece.cut.need.length
            _piece(ledger.of(own.task.surface.id), own.detail, piece, blank)
            page.enter("rip", -2 * length * (blank.width + kerf))
            page.enter("kerf", 2 * length * kerf)


def _of_run(boards: Boards, piece: Piece) -> _Blank:
    """The strip to which the run of a piece is ripped."""
    _, _, near, far = piece.run.polygon.box
    lap = 0 if piece.tongue_lost else boards.board.lap
    return _Blank(far - near + lap, near, far)


def rest_of_boxes(shape: Sequence[Polygon], box: Box) -> list[Polygon]:
    """What the parts of one piece leave of its rectangle."""
    if len(shape) == 1:
        return list(rest_of_box(shape[0], box))
    low, high, near, far = box
    return list(difference((Polygon(rectangle(low, near, high, far)),), tuple(shape)))


def _account(rest: Polygon, box: Box, holes: Sequence[Box]) -> str:
    """Where a part taken out of a piece's rectangle belongs.

    What an opening took is a notch; a strip along the whole piece a rip; a slanted part a mitre;
    a square corner a notch.
    """
    low, high, near, far = rest.box
    if any(low < h[1] and high > h[0] and near < h[3] and far > h[2] for h in holes):
        return "notch"
    slanted = not all(
        a[0] == b[0] or a[1] == b[1] for a, b in pairwise([*rest.outer, rest.outer[0]])
    )
    if slanted:
        return "mitre"
    return "rip" if low == box[0] and high == box[1] else "notch"


def _straight(rest: Polygon, box: Box) -> int:
    """Of a strip along a whole piece, what one straight rip takes; steps beyond it are notches."""
    _, _, near, far = rest.box
    seconds = {v for _, v in rest.outer}
    inner = min(seconds - {near}) - near if near == box[2] else far - max(seconds - {far})
    return 2 * (box[1] - box[0]) * inner


def compare(
    layers: Sequence[LaidLayer],
    supplied: Supplied,
    usual: Jointed | None,
    stocks: Sequence[Stock],
) -> ComparedRow:
    """The flat percentage on the drawn area, as length of coverage (10.3), and cut as you go."""
    board: Board = layers[0].detail.board
    task = layers[0].task
    percent = task.rules.get("flat_pct")
    drawn = sum(layer.task.surface.net for layer in layers)
    flat = whole(Fraction(drawn, 2 * board.coverage) * (1 + Fraction(percent) / 100))
    total = sum(row.length * row.bought.buy for row in supplied.order if row.length is not None)
    prices = [row.price for row in supplied.order]
    cost = sum(Fraction(price) for price in prices if price)
    rates = [None if one.price is None else one.price / one.length for one in task.product.stock]
    dear = None if None in rates else min(rate for rate in rates if rate is not None)
    return ComparedRow(
        product=supplied.product,
        flat_pct=float(percent),
        would_order=flat,
        bought=total,
        would_cost=None if dear is None else round(float(flat * dear), 2),
        cost=None if None in prices else float(round(cost, 2)),
        as_you_go=None if usual is None else _as_you_go(task, usual, stocks),
    )


def _as_you_go(task: Task, usual: Jointed, stocks: Sequence[Stock]) -> AsYouGo:
    """What cutting in order would order of its one stock length, culls and spares alike (8.10)."""
    stock = task.product.stock[int(stocks[usual.plan.sticks[0].stock].key)]
    line = to_buy(task, stock, len(usual.plan.sticks))
    cost = None if stock.price is None else round(float(stock.price * line.buy), 2)
    return AsYouGo(sticks=line.buy, stock=stock.length, cost=cost)
