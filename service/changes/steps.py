"""The work of a change in plain steps, in the order in which a crew does them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from service.changes.ordering import Ripped
from service.changes.rows import (
    ChangedFramingRow,
    ChangedPieceRow,
    ChangeOrderRow,
    ChangeTotalRow,
    StepRow,
)
from service.changes.words import to_buy, to_send_back, to_use
from service.products.drawing import station_text, width_text
from service.products.registry import forms
from service.schemas.finishing import FinishedLayer
from service.takeoff.job import Job
from service.units.writing import counted, listed

Told = tuple[str | None, str | None, str, str]


def steps(
    totals: Sequence[ChangeTotalRow],
    pieces: Sequence[ChangedPieceRow],
    framing: Sequence[ChangedFramingRow],
    order: Sequence[ChangeOrderRow],
    ripped: Sequence[Ripped],
    over: Mapping[tuple[str, str], Sequence[ChangedPieceRow]],
    job: Job,
) -> tuple[StepRow, ...]:
    """What to do, one thing after the other; nothing where nothing changes.

    Down from the outermost layer, then the framing, then up again from the innermost. What lies
    `over` new work behind it is loosened first.
    """
    own = {one.place: [row for row in pieces if row.place == one.place] for one in totals}
    told = [
        *_ordering(order, job.unit),
        *_to_try(ripped, pieces, job),
        *(step for one in reversed(totals) for step in _down(one, own[one.place], over, job)),
        *_framing(framing),
        *(step for one in totals for step in _up(one, own[one.place], job)),
    ]
    return tuple(
        StepRow(number=k, surface=surface, layer=layer, do=do, text=text)
        for k, (surface, layer, do, text) in enumerate(told, 1)
    )


def _ordering(order: Sequence[ChangeOrderRow], unit: str) -> Iterator[Told]:
    use, buy, back = to_use(order, unit), to_buy(order, unit), to_send_back(order, unit)
    if use:
        yield None, None, "use", f"Lay aside what is there and used first: {', '.join(use)}."
    if buy:
        yield None, None, "buy", f"Buy {', '.join(buy)}."
    if back:
        yield None, None, "return", f"Take off the order, or send back, {', '.join(back)}."


def _to_try(
    ripped: Sequence[Ripped], pieces: Sequence[ChangedPieceRow], job: Job
) -> Iterator[Told]:
    """Leftovers that were ripped, to be tried where new boards of their product are ripped."""
    for product in dict.fromkeys(one.product for one in ripped):
        new = [row for row in pieces
               if row.do == "add" and row.product == product and row.row.rip != "none"]  # fmt: skip
        told = [
            f"{one.count} of {product} {width_text(one.width, job.unit)} wide"
            + (f", {station_text(one.length, job.unit)} long" if one.length else "")
            for one in ripped
            if one.product == product
        ]
        if new:
            text = (
                f"Try the ripped leftovers first, which are in no plan: {'; '.join(told)}. "
                f"{counted(len(new), 'new boards')} {'is' if len(new) == 1 else 'are'} ripped: "
                f"{_courses(new, 'course')}."
            )
            yield None, None, "use", text


def _down(
    total: ChangeTotalRow,
    rows: Sequence[ChangedPieceRow],
    over: Mapping[tuple[str, str], Sequence[ChangedPieceRow]],
    job: Job,
) -> Iterator[Told]:
    """What of a layer that is up comes down, is cut where it is, or loosened and put back."""
    goods, noun = _goods(total.product, job), _noun(total, job)
    gone = [row for row in rows if row.do == "remove" and row.is_up]
    cut = [row for row in rows if row.do == "recut"]
    if gone:
        text = f"Take down {counted(len(gone), goods)} ({total.layer}): {_courses(gone, noun)}."
        yield total.surface, total.layer, "remove", text
    if cut:
        boards = len({row.was for row in cut})
        way = (
            f"Take off {counted(boards, goods)} ({total.layer}), cut to the new length and put back"
            if _is_trim(total.product, job)
            else f"Cut {counted(boards, goods)} in place ({total.layer})"
        )
        text = f"{way}: {_courses(cut, noun)}. What comes off is scrap.{_coated(total, cut, job)}"
        yield total.surface, total.layer, "recut", text
    loose = [row for row in over.get(total.place[:2], ()) if row.product == total.product]
    if loose:
        lies, it = ("lies", "it") if len(loose) == 1 else ("lie", "them")
        text = (
            f"Loosen {counted(len(loose), goods)} ({total.layer}) that {lies} over new work "
            f"behind, as far as that goes, and put {it} back afterwards: {_courses(loose, noun)}."
        )
        yield total.surface, total.layer, "loosen", text


def _coated(total: ChangeTotalRow, cut: Sequence[ChangedPieceRow], job: Job) -> str:
    """That ends which were cut are coated, where pieces are coated on all sides (20.1)."""
    at = f"{total.surface}.{total.layer}"
    own = [one.task.layer for one in job.layers if one.task.at == at]
    coats = [
        coat.product
        for layer in own
        if isinstance(layer, FinishedLayer)
        for coat in layer.coats or ()
        if coat.on == "all_sides"
    ]
    was = {row.was: row.as_was for row in cut if row.as_was is not None}
    ends = sum(
        (row.row.low != one.low) + (row.row.high != one.high)
        for row in cut
        if (one := was.get(row.was)) is not None
    )
    if not (coats and ends):
        return ""
    names = listed(list(dict.fromkeys(coats)))
    return f" Coat the {counted(ends, 'ends')} that were cut with {names}."


def _courses(rows: Sequence[ChangedPieceRow], noun: str) -> str:
    numbers = sorted({row.course for row in rows})
    if len(numbers) == 1:
        return f"{noun} {numbers[0]}"
    whole = numbers == list(range(numbers[0], numbers[-1] + 1))
    return (
        f"{noun}s {numbers[0]} to {numbers[-1]}" if whole
        else f"{noun}s {listed([str(one) for one in numbers])}"
    )  # fmt: skip


def _noun(total: ChangeTotalRow, job: Job) -> str:
    """What a course of a layer is called; of one that is no longer there it is a course."""
    at = f"{total.surface}.{total.layer}"
    kinds = (one.kind.nouns.course for one in job.layers if one.task.at == at)
    return next(kinds, "course")


def _goods(product: str, job: Job) -> str:
    """What pieces of a product are called: boards, sheets; of a roll none is a whole one."""
    form = job.products[product][0].form if product in job.products else "roll"
    return "pieces" if form == "roll" else forms()[form].goods


def _is_trim(product: str, job: Job) -> bool:
    """Whether its pieces are taken off to be cut, as mouldings are."""
    return product in job.products and job.products[product][0].form == "moulding"


def _framing(framing: Sequence[ChangedFramingRow]) -> Iterator[Told]:
    """What of the framing is no longer needed and what is set, surface by surface."""
    for surface in dict.fromkeys(row.surface for row in framing):
        own = [row for row in framing if row.surface == surface]
        for do, words in (("remove", "No longer needed behind it:"), ("add", "Set")):
            lines = [row for row in own if row.do == do]
            if lines:
                yield surface, None, do, f"{words} {_lines(lines)}."


def _lines(lines: Sequence[ChangedFramingRow]) -> str:
    names = dict.fromkeys(row.what for row in lines)
    return listed([
        counted(sum(row.count for row in lines if row.what == name), f"{name}s") for name in names
    ])  # fmt: skip


def _up(total: ChangeTotalRow, rows: Sequence[ChangedPieceRow], job: Job) -> Iterator[Told]:
    """What of a layer is laid; where none of it is up, as it is now taken off."""
    new = [row for row in rows if row.do == "add"]
    goods, noun = _goods(total.product, job), _noun(total, job)
    if any(row.is_up for row in rows):
        if new:
            text = (
                f"Fit {counted(len(new), f'new {goods}')} ({total.layer}): {_courses(new, noun)}."
            )
            yield total.surface, total.layer, "add", text
    elif new or total.remove:
        text = (
            f"Lay {total.layer} as it is now taken off: {counted(total.keep, 'pieces')} as before, "
            f"{len(new)} new, {total.remove} no longer cut."
        )
        yield total.surface, total.layer, "lay", text
