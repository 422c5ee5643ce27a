"""How new pieces go in beside those that stay, and how they and cut ends are coated."""

from __future__ import annotations

from collections.abc import Sequence

from service.changes.rows import ChangedPieceRow, ChangeTotalRow
from service.changes.words import courses, goods_of, noun_of
from service.products.rows import PieceRow
from service.schemas.finishing import FinishedLayer
from service.takeoff.job import Job
from service.units.writing import counted


def fitted(
    total: ChangeTotalRow,
    new: Sequence[ChangedPieceRow],
    rows: Sequence[ChangedPieceRow],
    job: Job,
) -> str:
    """Which new pieces of a layer go in among its `rows`, how coated, and what must drop in."""
    goods, noun = goods_of(total.product, job), noun_of(total, job)
    said = [f"Fit {counted(len(new), f'new {goods}')} ({total.layer}): {courses(new, noun)}."]
    if first := _coats(total, job, on_all=True):
        said += [f"Before, give {'it' if len(new) == 1 else 'them'} {first} on all sides."]
    if cut := sum(row.cut_ends for row in rows if not row.put_back):
        said += [f"Nail the {counted(cut, 'ends')} that {_were(cut)} cut beside them anew."]
    if dropped := _dropped_in(new, rows, job):
        said += [
            f"What of {courses(dropped, noun)} meets a board of the next that stays cannot slide "
            "on: cut off the back lip of its groove, drop it in, nail it through the face."
        ]
    if then := _coats(total, job, on_all=False):
        said += [f"Afterwards give the face {then}."]
    return " ".join(said)


def freed(rows: Sequence[ChangedPieceRow], job: Job) -> str:
    """How boards come out whose tongues lie in boards that stay (21.4)."""
    out = [row.as_was for row in rows
           if row.as_was is not None and row.is_up and _comes_out(row)]  # fmt: skip
    if not any(_is_held(one, rows, job) for one in out):
        return ""
    return " Tongues lie in boards that stay: saw one course along its length to get the first out."


def _comes_out(row: ChangedPieceRow) -> bool:
    """Whether a piece comes out, or a part of it that is cut off."""
    return row.do == "remove" or (row.cut_ends > 0 and not row.put_back)


def _is_held(one: PieceRow, rows: Sequence[ChangedPieceRow], job: Job) -> bool:
    """Whether a board's tongue lies in one of the next course that stays."""
    stays = (row.row for row in rows if row.is_up and row.do in ("keep", "recut"))
    return _has_tongue(one.product, job) and any(_is_before(one, row) for row in stays)


def _dropped_in(
    new: Sequence[ChangedPieceRow], rows: Sequence[ChangedPieceRow], job: Job
) -> list[ChangedPieceRow]:
    """New boards with a tongue beside boards of the next course that stay (21.4).

    Not at the wall where work starts: nothing lies before them, so they slide on from there.
    """
    return [one for one in new if one.row.course > 1 and _is_held(one.row, rows, job)]


def _has_tongue(product: str, job: Job) -> bool:
    found = job.products.get(product)
    return found is not None and getattr(found[0], "profile", None) == "tongue_and_groove"


def _is_before(one: PieceRow, other: PieceRow) -> bool:
    """Whether a piece lies beside another of the next course."""
    return other.course == one.course + 1 and other.low < one.high and other.high > one.low


def _coats(total: ChangeTotalRow, job: Job, *, on_all: bool) -> str:
    """What a layer is coated with, one after the other: on all sides, or on its face (20.1)."""
    own = [one.task.layer for one in job.layers if one.task.at == f"{total.surface}.{total.layer}"]
    coats = [
        f"{coat.coats or 1} coat{'s' * ((coat.coats or 1) > 1)} of {coat.product}"
        for layer in own
        if isinstance(layer, FinishedLayer)
        for coat in layer.coats or ()
        if (coat.on == "all_sides") == on_all
    ]
    return ", then ".join(coats)


def ends_coated(total: ChangeTotalRow, cut: Sequence[ChangedPieceRow], job: Job) -> str:
    """That ends which were cut are coated, where pieces are coated on all sides (20.1)."""
    coats = _coats(total, job, on_all=True)
    ends = sum(row.cut_ends for row in cut)
    if not (coats and ends):
        return ""
    return f" Give the {counted(ends, 'ends')} that {_were(ends)} cut {coats}."


def _were(count: int) -> str:
    return "was" if count == 1 else "were"
