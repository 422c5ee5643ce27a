"""What becomes of each piece and each line of framing (21.2)."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace

from service.changes.matching import (
    PlacedPiece,
    framing_matched,
    matched,
    nailers_that_stay,
    placed_pieces,
)
from service.changes.naming import as_it_stays, name_of
from service.changes.opening import Opened
from service.changes.rows import ChangedFramingRow, ChangedPieceRow, ChangeTotalRow, Done
from service.products.rows import PieceRow
from service.products.standing import Stay
from service.takeoff.pipeline import Takeoff


def piece_rows(before: Takeoff, work: Takeoff, opened: Opened) -> tuple[ChangedPieceRow, ...]:
    """Every piece of either takeoff: those that stay, those that go, those that come.

    Of what is up `opened` says what stays; what is not is as it is taken off now.
    """
    was = placed_pieces(before)
    up = [one for one in was if one.row.id in opened.up]
    found = matched([one for one in was if one.row.id not in opened.up], placed_pieces(work))
    return (
        *(row for one in up for row in _of_what_is_up(one, opened)),
        *(_row("keep", was, now) for was, now in found.kept),
        *(_row("remove", was, None) for was in found.removed),
        *(_row("add", None, now) for now in found.added),
    )


def _of_what_is_up(piece: PlacedPiece, opened: Opened) -> Iterator[ChangedPieceRow]:
    """What becomes of a piece that is up: of one cut in two the first part tells its area."""
    stays: Sequence[Stay] = opened.stays.get(piece.row.id, ())
    if not stays:
        yield replace(_row("remove", piece, None), is_up=True)
    for k, stay in enumerate(stays):
        if stay.becomes is not None:
            yield _cut_off_and_put_back(piece, stay.becomes, stay.cut)
            continue
        row = as_it_stays(piece.row, stay)
        if row.twice_area == piece.row.twice_area:
            yield replace(_row("keep", piece, piece), stick=None, is_up=True)
            continue
        yield ChangedPieceRow(
            do="recut",
            is_up=True,
            was=piece.id,
            now=name_of(piece.id, piece.row, row),
            as_was=piece.row if k == 0 else None,
            as_is=row,
            row=row,
            cut_ends=stay.ends_cut(piece.row),
            stick=None,
        )


def _cut_off_and_put_back(piece: PlacedPiece, now: PieceRow, cut: int) -> ChangedPieceRow:
    return ChangedPieceRow(
        do="recut",
        is_up=True,
        was=piece.id,
        now=name_of(piece.id, piece.row, now),
        as_was=piece.row,
        as_is=now,
        row=now,
        cut_ends=cut,
        put_back=True,
        stick=None,
    )


def _row(do: Done, was: PlacedPiece | None, now: PlacedPiece | None) -> ChangedPieceRow:
    shown = now or was
    assert shown is not None
    return ChangedPieceRow(
        do=do,
        was=was.id if was else None,
        now=now.id if now else None,
        as_was=was.row if was else None,
        as_is=now.row if now else None,
        row=shown.row,
        stick=now.row.stick if now else None,
    )


def framing_rows(
    before: Takeoff, after: Takeoff, work: Takeoff, opened: Opened
) -> tuple[ChangedFramingRow, ...]:
    """Every line of backing that must stand in either job, and what becomes of it (5.7).

    With those that only the work asks for, as blocks behind the edges of patches. A nailer behind
    what is up stays, though one of the second job is longer or shorter: that one's rest is set.
    """
    kept, removed, _ = framing_matched(before.backing, after.backing)
    up = {row.surface for one in before.placed for row in one.pieces if row.id in opened.up}
    stays, removed = nailers_that_stay(removed, after.backing, up)
    *_, added = framing_matched(before.backing, work.backing)
    return (
        *(ChangedFramingRow(do="keep", row=row) for row in (*(now for _, now in kept), *stays)),
        *(ChangedFramingRow(do="remove", row=row) for row in removed),
        *(ChangedFramingRow(do="add", row=row) for row in added),
    )


def totals(pieces: Sequence[ChangedPieceRow]) -> tuple[ChangeTotalRow, ...]:
    """What a change does to each layer, product by product."""
    groups: dict[tuple[str, str, str], list[ChangedPieceRow]] = defaultdict(list)
    for row in pieces:
        groups[row.surface, row.layer, row.product].append(row)
    return tuple(_total(*place, rows) for place, rows in groups.items())


def _total(
    surface: str, layer: str, product: str, rows: Sequence[ChangedPieceRow]
) -> ChangeTotalRow:
    counts = Counter(row.do for row in rows)
    stays = [row for row in rows if row.do in ("keep", "recut")]
    return ChangeTotalRow(
        surface=surface,
        layer=layer,
        product=product,
        keep=counts["keep"],
        remove=counts["remove"],
        recut=counts["recut"],
        add=counts["add"],
        kept_area=sum(row.is_area for row in stays),
        removed_area=sum(row.was_area - row.is_area for row in rows if row.do != "add"),
        added_area=sum(row.is_area for row in rows if row.do == "add"),
        removed_length=sum(row.length for row in rows if row.do == "remove"),
        added_length=sum(row.length for row in rows if row.do == "add"),
    )
