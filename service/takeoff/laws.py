"""Laws that every answer must keep, checked on the answer itself before it is given.

They are cheap, and they do not use what made the answer: a breach raises LawBroken.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from itertools import combinations, pairwise

from service.errors import LawBroken
from service.products.backing_rows import BackingRow
from service.products.bought_rows import OrderRow, OrderShareRow
from service.products.cut_rows import SheetRow, StickRow
from service.products.kind import AnyKind
from service.products.layer import AnyPlaced
from service.products.rows import FastenerRow, PieceRow
from service.products.supplied import Supplied
from service.schemas.columns import Box


def check(
    placed: Sequence[tuple[AnyKind, AnyPlaced]],
    supplied: Sequence[Supplied],
    fasteners: tuple[FastenerRow, ...],
    pooled: Sequence[OrderRow],
    shares: Sequence[OrderShareRow],
    backing: Sequence[BackingRow] = (),
) -> None:
    """Raise LawBroken if any product or layer breaks a law, a general one or its kind's own."""
    for kind, one in placed:
        for law in kind.violations(one):
            raise LawBroken(law)
        _runs_add_up(one)
        _covers(one)
        _courses_apart(one)
    pieces: dict[str, list[str]] = defaultdict(list)
    for piece in (piece for _, one in placed for piece in one.pieces):
        pieces[piece.product].append(piece.id)
    for row in backing:
        pieces[row.product or ""] += row.pieces
    for product in supplied:
        _each_piece_once(product, pieces[product.product])
        _sticks_add_up(product)
        _sheets_add_up(product)
        _bought_suffices(product)
        _shares_add_up(product)
    lines = [row for product in supplied for row in product.order]
    _lines_are_shared((*lines, *pooled), shares)
    _all_fastened([one for _, one in placed], fasteners)


def _need(kept: bool, law: str) -> None:
    if not kept:
        raise LawBroken(law)


def _each_piece_once(product: Supplied, pieces: Sequence[str]) -> None:
    """Every piece of a product is in exactly one stick or sheet, and none holds another (23.3)."""
    cut = Counter(name for stick in product.sticks for name in stick.all_pieces)
    cut.update(name for sheet in product.sheets for name in sheet.pieces)
    once = max(cut.values(), default=1) == 1
    _need(cut == Counter(pieces) and once, "a piece is not in one stick")


def _sticks_add_up(product: Supplied) -> None:
    """Pieces, cuts, trims and rest are the stick (23.3)."""
    for stick in product.sticks:
        total = sum(stick.cuts) - sum(stick.laps) + stick.kerf + stick.end_trim + stick.offcut
        _need(stick.offcut >= 0 and total == stick.length, f"stick {stick.stick} does not add up")


def _sheets_add_up(product: Supplied) -> None:
    """Pieces and rests lie in their sheet, not on each other, and with the cuts fill it (23.3)."""
    for sheet in product.sheets:
        boxes = (*sheet.boxes, *sheet.kept, *sheet.waste)
        inside = all(
            min(x, y) >= 0 < min(long, wide)
            and x + long <= sheet.length
            and y + wide <= sheet.width
            for x, y, long, wide in boxes
        )
        total = 2 * sum(long * wide for _, _, long, wide in boxes) + sheet.kerf
        apart = not any(_overlap(a, b) for a, b in combinations(boxes, 2))
        closed = total == 2 * sheet.length * sheet.width and sheet.kerf >= 0
        _need(inside and apart and closed, f"sheet {sheet.sheet} does not add up")


def _overlap(a: Box, b: Box) -> bool:
    return a[0] < b[0] + b[2] and b[0] < a[0] + a[2] and a[1] < b[1] + b[3] and b[1] < a[1] + a[3]


def _runs_add_up(placed: AnyPlaced) -> None:
    """The pieces of a run follow each other from its one end to its other (23.4)."""
    runs: dict[str, list[PieceRow]] = {run.id: [] for run in placed.runs}
    for piece in placed.pieces:
        runs.setdefault(piece.run, []).append(piece)
    for run in placed.runs:
        own = runs[run.id]
        joined = all(b.low - a.high == run.gap for a, b in pairwise(own))
        ends = bool(own) and own[0].low == run.low and own[-1].high == run.high
        _need(joined and ends, f"the pieces of run {run.id} do not make it up")


def _covers(placed: AnyPlaced) -> None:
    """The pieces cover what is installed, but for a sliver that snapping moved (23.2)."""
    if not placed.pieces:
        return
    installed = placed.laid.areas.installed
    task = placed.laid.task
    own = (piece for piece in placed.pieces if piece.product == task.product.id)
    covered = sum(piece.twice_area for piece in own)
    slack = installed // 1_000_000 + 1
    _need(abs(covered - installed) <= slack, f"the pieces do not cover {task.at}")


def _courses_apart(placed: AnyPlaced) -> None:
    """Courses follow each other and overlap by their laps only, where they lie beside each other.

    Two that end before one another, as a short strap and one that stops at it, may (23.1). So may
    those of bays that are each laid by itself.
    """
    layer = placed.laid
    for a, b in pairwise(layer.courses):
        step = (b.near - a.far) * (1 if a.far >= a.near else -1)
        if step < -b.lap and a.bay == b.bay:
            _need(
                not _beside(placed, a.course, b.course),
                f"courses {a.course} and {b.course} of {layer.task.at} overlap",
            )


def _beside(placed: AnyPlaced, first: int, second: int) -> bool:
    """Whether any run of one course lies beside one of another."""
    one, other = (
        [run for run in placed.runs if run.course == number] for number in (first, second)
    )
    return any(a.low < b.high and b.low < a.high for a in one for b in other)


def _bought_suffices(product: Supplied) -> None:
    """Bought >= sticks or sheets, line by line; the ledger is all that was bought (23.6)."""
    sawn: list[StickRow | SheetRow] = [*product.sticks, *product.sheets]
    sticks = Counter(one.length for one in sawn if not one.owned)
    own = Counter(one.length for one in sawn if one.owned)
    used = Counter[int]()
    for line in product.owned:
        used[line.length or 0] += line.used
        _need(line.used <= line.count, "more is used than is owned")
    _need(+used == own, "what is used of what is owned is not what is sawn of it")
    buys: Counter[int] = Counter()
    for row in product.order:
        if row.length is not None:
            buys[row.length] += row.bought.buy
            _need(row.bought.left_over >= 0, "an order line is negative")
    _need(buys >= sticks, "bought falls short of the sticks")
    total = sum(row.amount for row in product.ledger)
    _need(total == product.booked, "the ledger does not close")
    _need(len({row.measure for row in product.ledger}) < 2, "a ledger has two measures")


def _shares_add_up(product: Supplied) -> None:
    """What falls to the surfaces is the ledger, account by account (19.2)."""
    shared: Counter[str] = Counter()
    for row in product.shares:
        shared[row.account] += row.amount
    whole = {row.account: row.amount for row in product.ledger}
    _need(all(shared[name] == amount for name, amount in whole.items()), "shares do not add up")


def _lines_are_shared(lines: Sequence[OrderRow], shares: Sequence[OrderShareRow]) -> None:
    """What falls to the surfaces is the order, line by line (19.2)."""
    for line in lines:
        own = sum(share.buy for share in shares if share.line is line)
        _need(own == line.bought.buy, f"the shares of {line.product} do not add up")


def _all_fastened(placed: Sequence[AnyPlaced], fasteners: tuple[FastenerRow, ...]) -> None:
    """No layer has fewer fasteners than touches of bearings (23.5)."""
    counts: Counter[tuple[str, str]] = Counter()
    for row in fasteners:
        counts[row.surface, row.layer] += row.count
    touches: Counter[tuple[str, str]] = Counter()
    for one in placed:
        for piece in one.pieces:
            touches[piece.surface, piece.layer] += piece.bearings
    for place, number in touches.items():
        along = any(row.spacing for row in fasteners if (row.surface, row.layer) == place)
        _need(along or counts[place] >= number, f"a bearing of {'.'.join(place)} is not fastened")
