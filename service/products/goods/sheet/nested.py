"""Parts of one product nested into its sheets, the cheapest of each length used up first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from service.cutting.effort import Effort
from service.cutting.sheets.nesting import Part, SheetPlan, SheetStock, nest
from service.products.same_length import cheapest_first, saved


def nested(
    parts: Mapping[Part, int], stocks: Sequence[SheetStock], kerf: int, effort: Effort
) -> SheetPlan | None:
    """The plan for so many of each part; None where no plan is found within the supply (8.9)."""
    plan = nest(parts, stocks, kerf, effort)
    if plan is None:
        return None
    before = [sheet.stock for sheet in plan.sheets]
    after = cheapest_first(before, stocks)
    sheets = (replace(sheet, stock=k) for sheet, k in zip(plan.sheets, after, strict=True))
    return replace(plan, sheets=tuple(sheets), cost=plan.cost - saved(before, after, stocks))
