"""What becomes of each piece and each line of framing (21.2)."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence

from service.changes.matching import (
    PlacedPiece,
    framing_matched,
    matched,
    placed_pieces,
)
from service.changes.rows import ChangedFramingRow, ChangedPieceRow, ChangeTotalRow, Done
from service.takeoff.pipeline import Takeoff


def piece_rows(before: Takeoff, work: Takeoff) -> tuple[ChangedPieceRow, ...]:
    """Every piece of either takeoff: those that stay, those that go, those that come."""
    found = matched(placed_pieces(before), placed_pieces(work))
    return (
        *(_row("keep", was, now) for was, now in found.kept),
        *(_row("remove", was, None) for was in found.removed),
        *(_row("add", None, now) for now in found.added),
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


def framing_rows(before: Takeoff, work: Takeoff) -> tuple[ChangedFramingRow, ...]:
    """Every line of backing that must stand in either job, and what becomes of it (5.7)."""
    kept, removed, added = framing_matched(before.backing, work.backing)
    return (
        *(ChangedFramingRow(do="keep", row=now) for _, now in kept),
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
        removed_area=sum(max(0, row.was_area - row.is_area) for row in rows),
        added_area=sum(row.is_area for row in rows if row.do == "add"),
        removed_length=sum(row.length for row in rows if row.do == "remove"),
        added_length=sum(row.length for row in rows if row.do == "add"),
    )
