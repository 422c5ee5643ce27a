"""Items of a change order in words."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from service.changes.rows import ChangeOrderRow


def to_buy(order: Sequence[ChangeOrderRow], unit: str) -> list[str]:
    """`1 of pine 16' 0"`, or `1 pack of 500 nail 3 in`, for each item that is bought."""
    return [_packed(row, unit) if row.packages else _loose(row, unit, row.more)
            for row in order if row.more]  # fmt: skip


def to_send_back(order: Sequence[ChangeOrderRow], unit: str) -> list[str]:
    """What comes off the order or goes back."""
    return list(_each(order, unit, lambda row: row.fewer))


def to_use(order: Sequence[ChangeOrderRow], unit: str) -> list[str]:
    """What is at hand and used."""
    return list(_each(order, unit, lambda row: row.used))


def _each(
    order: Sequence[ChangeOrderRow], unit: str, count: Callable[[ChangeOrderRow], int]
) -> Iterator[str]:
    return (_loose(row, unit, count(row)) for row in order if count(row))


def _packed(row: ChangeOrderRow, unit: str) -> str:
    if row.packages == row.more:
        return _loose(row, unit, row.more)
    packs = f"{row.packages} pack{'s' if row.packages > 1 else ''}"
    return f"{packs} of {row.more // row.packages} {row.item(unit)}"


def _loose(row: ChangeOrderRow, unit: str, count: int) -> str:
    return f"{count} of {row.item(unit)}"
