"""Items, pieces and courses of a change order in words."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from service.changes.rows import ChangedPieceRow, ChangeOrderRow, ChangeTotalRow
from service.products.registry import forms
from service.takeoff.job import Job
from service.units.writing import listed


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


def courses(rows: Sequence[ChangedPieceRow], noun: str) -> str:
    """`course 4`, or `courses 4 to 7`, or `courses 4, 6 and 9 to 12`."""
    numbers = sorted({row.course for row in rows})
    if len(numbers) == 1:
        return f"{noun} {numbers[0]}"
    return f"{noun}s {listed([text for own in _in_a_row(numbers) for text in _spanned(own)])}"


def _in_a_row(numbers: Sequence[int]) -> list[list[int]]:
    """Numbers that follow each other, together."""
    found: list[list[int]] = []
    for number in numbers:
        if found and number == found[-1][-1] + 1:
            found[-1].append(number)
        else:
            found.append([number])
    return found


def _spanned(own: Sequence[int]) -> list[str]:
    """Three and more as a span; of two there is none."""
    return [f"{own[0]} to {own[-1]}"] if len(own) > 2 else list(map(str, own))


def noun_of(total: ChangeTotalRow, job: Job) -> str:
    """What a course of a layer is called; of one that is no longer there it is a course."""
    at = f"{total.surface}.{total.layer}"
    kinds = (one.kind.nouns.course for one in job.layers if one.task.at == at)
    return next(kinds, "course")


def goods_of(product: str, job: Job) -> str:
    """What pieces of a product are called: boards, sheets; of a roll none is a whole one."""
    form = job.products[product][0].form if product in job.products else "roll"
    return "pieces" if form == "roll" else forms()[form].goods
