"""Pieces that keep a raw end of their stick with little to spare: it must be sound (8.1)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from service.cutting.records import Stick, Stock
from service.errors import Finding
from service.products.goods.board.rulings import Task
from service.products.remarks import Remarks
from service.products.sticks.saw import Saw
from service.units.ticks import INCH
from service.units.writing import both, counted

SOUND = INCH
"""With so much to spare a bad end can be cut off."""


def say_raw_ends(task: Task, saw: Saw, sticks: Sequence[Stick], said: Remarks) -> None:
    """How many pieces need a sound end, where ends at walls stay as the mill left them."""
    trims = task.rules.trims(task.product)
    if not trims.spares_walls:
        return
    tight = [
        (left, number * count)
        for stick, count in Counter(sticks).items()
        if (number := _kept_raw(saw.stocks[stick.stock], stick))
        and (left := _left(saw, stick) + trims.wall) < SOUND
    ]
    if not tight:
        return
    number = sum(count for _, count in tight)
    keep = "keep" if number > 1 else "keeps"
    said.find(
        Finding(
            "raw-ends-tight",
            task.product.id,
            f"{counted(number, 'pieces')} {keep} the raw end of a board at a wall with less than "
            f"{both(SOUND)} to spare: pick boards with sound ends for them; with a larger "
            "`wall_trim` a bad end can be cut off",
            rule="8.1",
            measure=min(tight)[0],
            limit=SOUND,
        )
    )


def _left(saw: Saw, stick: Stick) -> int:
    """What is left of a stick beyond its pieces, the cuts between them and its trims."""
    lengths = sum(need.length for need in stick.pieces)
    room = stick.room(saw.stocks[stick.stock])
    if stick.between:
        return room - lengths + sum(one.lap - one.kerf for one in stick.between)
    return room - lengths - saw.kerf * (len(stick.pieces) - 1)


def _kept_raw(stock: Stock, stick: Stick) -> int:
    """How many pieces of a stick have a raw end for their own: the first, the last, or both."""
    first, last = stick.pieces[0], stick.pieces[-1]
    low, high = (end > 0 for end in stock.spare)
    if stick.between:
        return low * first.low_spared + high * last.high_spared
    at_low = low and (first.low_spared or (stock.turned and first.high_spared))
    at_high = high and (last.high_spared or (stock.turned and last.low_spared))
    if len(stick.pieces) == 1:
        return int(at_low or at_high)
    return at_low + at_high
