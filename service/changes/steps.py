"""The work of a change in plain steps, in the order in which a crew does them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service.changes.rows import (
    ChangedFramingRow,
    ChangeOrderRow,
    ChangeTotalRow,
    StepRow,
)
from service.changes.words import to_buy, to_send_back, to_use
from service.units.writing import counted


def steps(
    totals: Sequence[ChangeTotalRow],
    framing: Sequence[ChangedFramingRow],
    order: Sequence[ChangeOrderRow],
    unit: str,
) -> tuple[StepRow, ...]:
    """What to do, one thing after the other; nothing where nothing changes."""
    told = [*_ordering(order, unit), *_framing(framing), *_laying(totals)]
    return tuple(
        StepRow(number=k, surface=surface, layer=layer, do=do, text=text)
        for k, (surface, layer, do, text) in enumerate(told, 1)
    )


Told = tuple[str | None, str | None, str, str]


def _ordering(order: Sequence[ChangeOrderRow], unit: str) -> Iterator[Told]:
    use, buy, back = to_use(order, unit), to_buy(order, unit), to_send_back(order, unit)
    if use:
        yield None, None, "use", f"Lay aside what is there and used first: {', '.join(use)}."
    if buy:
        yield None, None, "buy", f"Buy {', '.join(buy)}."
    if back:
        yield None, None, "return", f"Take off the order, or send back, {', '.join(back)}."


def _framing(framing: Sequence[ChangedFramingRow]) -> Iterator[Told]:
    """What of the framing comes out and what is set, surface by surface."""
    for surface in dict.fromkeys(row.surface for row in framing):
        own = [row for row in framing if row.surface == surface]
        for do, words in (("remove", "Leave out"), ("add", "Set")):
            lines = [row for row in own if row.do == do]
            if lines:
                yield surface, None, do, f"{words} {_listed(lines)}."


def _listed(lines: Sequence[ChangedFramingRow]) -> str:
    names = dict.fromkeys(row.what for row in lines)
    return ", ".join(
        counted(sum(row.count for row in lines if row.what == name), f"{name}s") for name in names
    )


def _laying(totals: Sequence[ChangeTotalRow]) -> Iterator[Told]:
    for row in totals:
        if row.remove or row.add:
            text = (
                f"Lay {row.layer} as it is now taken off: {counted(row.keep, 'pieces')} as before, "
                f"{row.add} new, {row.remove} no longer cut."
            )
            yield row.surface, row.layer, "lay", text
