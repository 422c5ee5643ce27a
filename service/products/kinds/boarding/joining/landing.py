"""On which lines behind the boards their joints land."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service.products.goods.board.needs import BoardShare
from service.products.goods.lumber.needs import LumberShare
from service.products.kinds.boarding.records import Boards, LaidBoards


def landed_on(layer: LaidBoards, shares: Sequence[BoardShare | LumberShare]) -> frozenset[int]:
    """The places of these lines in the layer's ground, from its share of the boards' plan."""
    boards: Boards = layer.detail
    number_to_place = {one.number: one.member for one in boards.bearings}
    share, *_ = shares
    if boards.on_rows or not isinstance(share, BoardShare):
        return frozenset()
    return frozenset(number_to_place[number] for number in _numbers(boards, share))


def _numbers(boards: Boards, share: BoardShare) -> Iterator[int]:
    for run, cuts in zip(boards.laid.runs, share.cuts, strict=True):
        line = boards.line(run)
        on = dict(zip(line.stations, line.numbers, strict=True))
        yield from (on[cut.low] for cut in cuts[1:] if cut.low in on)
