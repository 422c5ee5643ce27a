"""The work of a change in plain steps, in the order in which a crew does them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from service.changes.covering import Loosened, Place
from service.changes.fitting import ends_coated, fitted, freed
from service.changes.ordering import Ripped
from service.changes.rows import (
    ChangedFramingRow,
    ChangedPieceRow,
    ChangeOrderRow,
    ChangeTotalRow,
    StepRow,
    Work,
)
from service.changes.words import courses, goods_of, noun_of, to_buy, to_send_back, to_use
from service.products.drawing import station_text, width_text
from service.takeoff.job import Job
from service.units.writing import agreeing, counted, listed

Told = tuple[str | None, str | None, Work, str]


def steps(
    totals: Sequence[ChangeTotalRow],
    pieces: Sequence[ChangedPieceRow],
    framing: Sequence[ChangedFramingRow],
    order: Sequence[ChangeOrderRow],
    ripped: Sequence[Ripped],
    over: Mapping[Place, Loosened],
    job: Job,
) -> tuple[StepRow, ...]:
    """What to do, one thing after the other; nothing where nothing changes.

    Down from the outermost layer, then the framing, then up again from the innermost. What lies
    `over` new work behind it is loosened first, and put back when its layer's turn comes.
    """
    own = {one.place: [row for row in pieces if row.place == one.place] for one in totals}
    totals = _from_inside(totals, job)
    set_behind = (one.row for one in framing if one.do == "add")
    on_blocks = {(row.surface, row.layer) for row in set_behind
                 if (row.what, row.purpose) == ("block", "seam")}  # fmt: skip
    told = [
        *_ordering(order, job.unit),
        *_to_try(ripped, pieces, job),
        *(
            step
            for one in reversed(totals)
            for step in _down(one, own[one.place], over, job, blocks=one.place[:2] in on_blocks)
        ),
        *_framing(framing, job.unit),
        *(step for one in totals for step in _up(one, own[one.place], over, job)),
    ]
    return tuple(
        StepRow(number=k, surface=surface, layer=layer, do=do, text=text)
        for k, (surface, layer, do, text) in enumerate(told, 1)
    )


def _from_inside(totals: Sequence[ChangeTotalRow], job: Job) -> list[ChangeTotalRow]:
    """Layer by layer; what a layer takes besides its own product, as cores, lies behind that."""
    own = {(one.task.surface.id, one.task.layer_id): one.task.product.id for one in job.layers}
    layers = list(dict.fromkeys(one.place[:2] for one in totals))
    return sorted(
        totals, key=lambda one: (layers.index(one.place[:2]), own.get(one.place[:2]) == one.product)
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
                f"{counted(len(new), 'new boards')} {agreeing(len(new), 'is', 'are')} ripped: "
                f"{courses(new, 'course')}."
            )
            yield None, None, "use", text


def _down(
    total: ChangeTotalRow,
    rows: Sequence[ChangedPieceRow],
    over: Mapping[Place, Loosened],
    job: Job,
    *,
    blocks: bool,
) -> Iterator[Told]:
    """What of a layer that is up comes down, is cut where it is, or loosened and put back."""
    goods, noun = goods_of(total.product, job), noun_of(total, job)
    gone = [row for row in rows if row.do == "remove" and row.is_up]
    cut = [row for row in rows if row.do == "recut"]
    loose = _loose(total, over)
    if gone:
        text = (
            f"Take down {counted(len(gone), goods)} ({total.layer}): {courses(gone, noun)}."
            f"{freed(rows, job)}"
        )
        yield total.surface, total.layer, "remove", text
    if cut:
        besides = "" if gone else freed(rows, job)
        besides += " The cuts along them lie over the new blocks." * blocks
        yield total.surface, total.layer, "recut", _recut(total, cut, job, besides)
    if loose:
        text = (
            f"Loosen {counted(len(loose), goods)} ({total.layer}) that "
            f"{'lies' if len(loose) == 1 else 'lie'} over new work behind, as far as that goes: "
            f"{courses(loose, noun)}."
        )
        yield total.surface, total.layer, "loosen", text


def _recut(total: ChangeTotalRow, cut: Sequence[ChangedPieceRow], job: Job, besides: str) -> str:
    """What of a layer is cut in place, or taken off for that; what is told `besides`."""
    boards = counted(len({row.was for row in cut}), goods_of(total.product, job))
    way = (
        f"Take off {boards} ({total.layer}), cut to the new length and put back"
        if any(row.put_back for row in cut)
        else f"Cut {boards} in place ({total.layer})"
    )
    return (
        f"{way}: {courses(cut, noun_of(total, job))}. What comes off is scrap."
        f"{besides}{ends_coated(total, cut, job)}"
    )


def _loose(total: ChangeTotalRow, over: Mapping[Place, Loosened]) -> list[ChangedPieceRow]:
    """The pieces of a layer's product that are loosened."""
    found = over.get(total.place[:2])
    rows = found.rows if found is not None else ()
    return [row for row in rows if row.product == total.product]


_OF_FRAMING: Final[tuple[tuple[Work, str], ...]] = (
    ("remove", "No longer needed behind it:"),
    ("add", "Set"),
)


def _framing(framing: Sequence[ChangedFramingRow], unit: str) -> Iterator[Told]:
    """What of the framing is no longer needed and what is set, surface by surface."""
    for surface in dict.fromkeys(row.surface for row in framing):
        own = [row for row in framing if row.surface == surface]
        for do, words in _OF_FRAMING:
            lines = [row for row in own if row.do == do]
            if lines:
                yield surface, None, do, f"{words} {_lines(lines, unit)}."


def _lines(lines: Sequence[ChangedFramingRow], unit: str) -> str:
    """`2 headers of 6' 6-1/2" and 1 trimmer of 1' 4-1/4"`, alike ones together."""
    alike = Counter[tuple[str, str]]()
    for row in lines:
        alike[row.row.what, station_text(row.row.length, unit)] += row.row.count
    return listed([
        f"{counted(count, f'{what}s')} of {length}"
        for (what, length), count in alike.items()
    ])  # fmt: skip


def _up(
    total: ChangeTotalRow,
    rows: Sequence[ChangedPieceRow],
    over: Mapping[Place, Loosened],
    job: Job,
) -> Iterator[Told]:
    """What of a layer is laid; where none of it is up, as it is now taken off."""
    new, loose = [row for row in rows if row.do == "add"], _loose(total, over)
    noun = noun_of(total, job)
    if any(row.is_up for row in rows):
        if new:
            yield total.surface, total.layer, "add", fitted(total, new, rows, job)
        if loose:
            text = f"Put back what was loosened ({total.layer}): {courses(loose, noun)}."
            yield total.surface, total.layer, "put back", text
    elif new or total.remove:
        text = (
            f"Lay {total.layer} by the new cut list: {counted(total.keep, 'pieces')} as before, "
            f"{len(new)} new, {total.remove} no longer cut."
        )
        yield total.surface, total.layer, "lay", text
