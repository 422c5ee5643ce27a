"""The takeoff in a few numbers and one sentence."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from service.products.kind import Supplied
from service.takeoff.pipeline import Takeoff
from service.units.writing import stock_length

if TYPE_CHECKING:
    from service.report.flat import Scale


def summary(takeoff: Takeoff, scale: Scale) -> dict[str, Any]:
    """Totals over all products; percentages on coverage, of what is bought and of what is laid."""
    made = [supplied for _, supplied in takeoff.supplied]
    drawn = sum(layer.task.surface.net for layer in takeoff.laid)
    installed = sum(layer.areas.installed for layer in takeoff.laid)
    sticks = [stick for one in made for stick in one.sticks]
    lines = [row for one in made for row in one.order if row.length is not None]
    bought = sum((row.length or 0) * row.bought.buy for row in lines)
    covered = sum(_coverage(one) for one in made)
    optimal = all(plan.optimal for one in made for plan in one.plans)
    return {
        "drawn": scale.area(drawn),
        "installed": scale.area(installed),
        "placed": scale.length(sum(piece.cut for one in made for piece in one.pieces)),
        "bought": scale.length(bought),
        "sticks": len(sticks),
        "waste_pct": _percent(1 - Fraction(installed, covered)) if covered else None,
        "extra_pct": _percent(Fraction(covered, installed) - 1) if covered else None,
        "extra_over_drawn_pct": _percent(Fraction(covered, drawn) - 1) if covered else None,
        "optimal": optimal,
        "in_words": _in_words(takeoff, lines, bought),
    }


def _coverage(supplied: Supplied) -> int:
    """Twice the area that the bought length would cover, end to end."""
    board = getattr(supplied.layers[0].detail, "board", None)
    if board is None:
        return 0
    lines = [row for row in supplied.order if row.length is not None]
    coverage: int = board.coverage
    return 2 * coverage * sum((row.length or 0) * row.bought.buy for row in lines)


def _percent(share: Fraction) -> float:
    return round(float(share * 100), 4)


def _in_words(takeoff: Takeoff, lines: list[Any], bought: int) -> str:
    unit = takeoff.job.unit
    parts = [f"{row.bought.buy} of {row.item} {stock_length(row.length, unit)}" for row in lines]
    plans = " ".join(plan.in_words for _, one in takeoff.supplied for plan in one.plans)
    return f"Order {', '.join(parts) or 'nothing'}: {stock_length(bought, unit)} in all. {plans}"
