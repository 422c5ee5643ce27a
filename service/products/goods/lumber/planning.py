"""All that is wanted of one lumber: its pieces are cut whole from sticks, none is joined (8)."""

from __future__ import annotations

from collections.abc import Sequence

from service.cutting.records import Need as Piece
from service.products.goods.lumber.needs import LumberShare, Need
from service.products.sticks.plain import StickPlan, cut_whole
from service.products.supplied import SearchSettings


def plan(
    needs: Sequence[Need], settings: SearchSettings
) -> tuple[StickPlan, tuple[LumberShare, ...]]:
    """Sticks for all needs, with the share of each.

    Raises TradeRefused where a piece is too long or stock runs short.
    """
    task = needs[0].task
    wanted = [(Piece(one), name) for need in needs for name, one in need.wanted.pieces.items()]
    made = cut_whole(task, wanted, task.rules.stick_trims, settings)
    return made, tuple(LumberShare(made.sawn.of_piece) for _ in needs)
