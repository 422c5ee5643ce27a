"""What wrap asks of its rolls: strips, laps and the lengths that can be bought."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from service.cutting.records import Stock
from service.cutting.rolls import Laps, Length, RollPlan, roll_out
from service.cutting.solve import EFFORTS
from service.layout.widths import Strip
from service.products.kind import LaidLayer, Settings, Task
from service.products.stock import Objective, stocks_of

if TYPE_CHECKING:
    from service.products.kinds.wrap.laying import Wrap


def laps_of(task: Task) -> Laps:
    """End laps as a layer's rules have them; noted in its basis."""
    rules = task.rules
    return Laps(rules.get("wrap_end_lap"), rules.get("end_lap_offset"), rules.get("reuse_from"))


def numbered(layers: Sequence[LaidLayer]) -> list[tuple[int, Strip]]:
    """Every strip of pooled layers in the order in which they are laid, with its layer's number."""
    return [(k, strip) for k, layer in enumerate(layers) for strip in layer.detail.strips]


def lengths_of(strips: Sequence[tuple[int, Strip]]) -> list[Length]:
    """Strips as lengths of roll; widths of one layer are neighbours."""
    return [Length((k, strip.width), strip.low, strip.high) for k, strip in strips]


def rolls_of(product: Any, settings: Settings) -> tuple[tuple[Stock, ...], Objective]:
    """The rolls that can be bought; without prices and with one length they are counted."""
    stocks, objective = stocks_of(product, 0, settings)
    if objective.measured_in != "money" and len(stocks) == 1:
        objective = Objective(objective.name, "rolls", stocks[0].cost)
    elif objective.measured_in in ("sticks", "joints"):
        objective = Objective(objective.name, "rolls", objective.per)
    return stocks, objective


def alone(task: Task, wrap: Wrap) -> RollPlan | None:
    """The rolls of one layer if nothing else shared them; None if those at hand do not do."""
    stocks, _ = rolls_of(task.product, Settings(None, "quick", task.relax))
    strips = [(0, strip) for strip in wrap.strips]
    return roll_out(lengths_of(strips), stocks, laps_of(task), EFFORTS["quick"])
