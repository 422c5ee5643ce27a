"""What skins are ripped from: boards with square edges, or plain sheets (16.7)."""

from __future__ import annotations

from collections.abc import Sequence

from service.errors import Cure, Fault, Ticks, TradeRefused
from service.products.kinds.box_beams.records import Part
from service.products.kinds.box_beams.rulings import (
    SheetTask,
    Task,
    blank_of,
    of_boards,
    of_sheets,
)
from service.units.writing import both


def check_edges(task: Task) -> None:
    """Skins are ripped from what has square edges; raises TradeRefused."""
    boards, sheets = of_boards(task), of_sheets(task)
    if boards is not None and boards.product.profile != "square_edge":
        cure = Cure(f"{task.product_pointer}/profile", "square_edge")
        raise TradeRefused(_worked(task, "boards with square edges", cure))
    if sheets is not None and sheets.product.shows:
        raise TradeRefused(_worked(task, "plain sheets", _plain(sheets)))


def _plain(task: SheetTask) -> Cure:
    """The sheet without what its face or its edges are worked to."""
    worked = [key for key in ("beads", "lap") if getattr(task.product, key) is not None]
    first, *others = (Cure(f"{task.product_pointer}/{key}", None) for key in worked)
    return Cure(first.pointer, None, also=tuple(others))


def _worked(task: Task, what: str, cure: Cure) -> Fault:
    return Fault(
        "skins-need-square-edges",
        f"skins of beams are ripped from {what}, and those of {task.product.id} are worked",
        cure.pointer,
        cure=cure,
        rule="16.7",
    )


def check_skins(task: Task, skins: Sequence[Part]) -> None:
    """There is a beam, and no part is wider than what it is ripped from (16.7)."""
    if not skins:
        at = f"{task.pointer}/sets/0/count"
        raise TradeRefused(
            Fault("no-beam", "the sets have no beam in this surface", at, Cure(at, 1), "16.2")
        )
    key, wide = blank_of(task)
    trim = task.rules.trimmed
    widest, left = max(part.width for part in skins), wide - trim
    if widest <= left:
        return
    at, goods = f"{task.product_pointer}/{key}", "boards" if key == "overall" else "sheets"
    raise TradeRefused(
        Fault(
            "part-wider-than-board",
            f"a skin {both(widest)} wide is wanted, and {goods} of {task.product.id} are "
            f"{both(wide)} wide" + (f", {both(left)} with an edge ripped off" if trim else ""),
            at,
            cure=Cure(at, Ticks(widest + trim)),
            rule="16.7",
            measure=widest,
            limit=left,
        )
    )
