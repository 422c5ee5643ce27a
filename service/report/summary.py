"""The takeoff in a few numbers and one sentence, and each product in a row."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from service.products.kind import Kind, Supplied
from service.products.rows import OrderRow
from service.report.items import in_package, item_text, picked
from service.takeoff.pipeline import Takeoff

if TYPE_CHECKING:
    from service.report.flat import Scale


def summary(takeoff: Takeoff, scale: Scale) -> dict[str, Any]:
    """The finished layers in a few numbers, and the whole order in words."""
    made = _finished(takeoff)
    drawn, installed, covers = _areas(made)
    plans = [plan for _, one in takeoff.supplied for plan in one.plans]
    return {
        "drawn": scale.area(drawn),
        "installed": scale.area(installed),
        "placed": scale.length(sum(_placed(one) for one in made)),
        "bought": scale.length(sum(_length_bought(one) for one in made)),
        "sticks": sum(len(one.sticks) for one in made),
        "sheets": sum(len(one.sheets) for _, one in takeoff.supplied),
        **_percentages(drawn, installed, covers),
        "optimal": all(plan.optimal for plan in plans),
        "in_words": _in_words(takeoff),
    }


def product_rows(takeoff: Takeoff, scale: Scale) -> list[dict[str, Any]]:
    """One row a product: how much of it lies where, and what of it is bought."""
    return [_product(kind, made, scale) for kind, made in takeoff.supplied]


def _product(kind: Kind, made: Supplied, scale: Scale) -> dict[str, Any]:
    drawn, installed, covers = _areas([made])
    by_length = not made.sheets
    return {
        "product": made.product,
        "kind": kind.name,
        "form": made.layers[0].task.product.form,
        "drawn": scale.area(drawn),
        "installed": scale.area(installed),
        "area_bought": scale.area(made.bought_half_square_ticks),
        "pieces": len(made.pieces),
        "placed": scale.length(_placed(made)) if by_length else None,
        "bought": scale.length(_length_bought(made)) if by_length else None,
        "units": sum(row.bought.buy for row in made.order),
        **_percentages(drawn, installed, covers),
    }


def _finished(takeoff: Takeoff) -> list[Supplied]:
    """The products of the outermost layers: what shows."""
    outermost = {layer.task.surface.id: layer.task.at for layer in takeoff.laid}
    shows = set(outermost.values())
    return [
        made for _, made in takeoff.supplied if any(layer.task.at in shows for layer in made.layers)
    ]


def _areas(made: list[Supplied]) -> tuple[int, int, int]:
    """Drawn, installed, and what is bought would cover, half square ticks."""
    layers = [layer for one in made for layer in one.layers]
    return (
        sum(layer.task.surface.net for layer in layers),
        sum(layer.areas.installed for layer in layers),
        sum(one.covers_half_square_ticks for one in made),
    )


def _placed(made: Supplied) -> int:
    return sum(piece.cut for piece in made.pieces)


def _length_bought(made: Supplied) -> int:
    return sum((row.length or 0) * row.bought.buy for row in made.order)


def _percentages(drawn: int, installed: int, covers: int) -> dict[str, float | None]:
    """On what is installed, but for the last one (rule 0.5)."""
    if not covers:
        return {"waste_pct": None, "extra_pct": None, "extra_over_drawn_pct": None}
    return {
        "waste_pct": _percent(1 - Fraction(installed, covers)),
        "extra_pct": _percent(Fraction(covers, installed) - 1),
        "extra_over_drawn_pct": _percent(Fraction(covers, drawn) - 1),
    }


def _percent(share: Fraction) -> float:
    return round(float(share * 100), 4)


def _in_words(takeoff: Takeoff) -> str:
    unit = takeoff.job.unit
    rows = [*(row for _, one in takeoff.supplied for row in one.order), *takeoff.pooled_order]
    parts = [_line(row, unit) for row in sorted(rows, key=lambda row: picked(row.form))]
    plans = [
        f"{made.product}: {plan.in_words}" if len(takeoff.supplied) > 1 else plan.in_words
        for _, made in takeoff.supplied
        for plan in made.plans
    ]
    return " ".join([f"Order {', '.join(parts) or 'nothing'}.", *plans])


def _line(row: OrderRow, unit: str) -> str:
    """`43 of hemlock 10' 0"`, or `1 pack of 2000 ring_nail 2 in`."""
    packages, each = row.bought.packages, in_package(row)
    packed = f"{packages} pack{'s' if packages != 1 else ''} of {round(each, 2)}"
    return f"{packed if each > 1 else f'{packages} of'} {item_text(row, unit)}"
