"""How many of a row of stock are bought for a need, and how many can be had (8.9, 10.1, 10.2)."""

from __future__ import annotations

from service.order.lines import Bought, bought
from service.products.layer import StockTask
from service.schemas.stock import StockRow


def to_buy(task: StockTask, row: StockRow, need: int) -> Bought:
    """What `need` sticks, sheets or rolls of one row of stock make in the order.

    Of what is owned just those are taken: bad ones are left out of its count already.
    """
    if row.is_owned:
        return bought(need)
    rules = task.rules
    cull, spare = rules.cull / 100, rules.spare
    return bought(need, cull=cull, spare=spare, per_package=row.multiple or 1)


def supply_of(task: StockTask, row: StockRow) -> int | None:
    """Sticks that a plan may use so that culls, spares and multiples are on hand too.

    None without limit.
    """
    if row.on_hand is None:
        return None
    most, least = int(row.on_hand), 0
    while least < most:
        middle = (least + most + 1) // 2
        if to_buy(task, row, middle).buy <= row.on_hand:
            least = middle
        else:
            most = middle - 1
    return least
