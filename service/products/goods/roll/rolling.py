"""What is asked of rolls: strips, laps and the lengths that can be bought."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import product
from math import prod

from service.cutting.effort import TRIAL
from service.cutting.records import Stock
from service.cutting.rolls import (
    Laps,
    Length,
    RollPlan,
    bare_least,
    least_of,
    length_needed,
    roll_out,
)
from service.layout.widths import RollStrip
from service.products.goods.roll.needs import Widths
from service.products.goods.roll.rulings import Task
from service.products.stock import UNTRIMMED, Objective, in_order, stocks_of
from service.products.supplied import SearchSettings

MOST_WAYS = 8
"""So many ways of running the wraps of all layers together are told apart."""


def laps_of(task: Task) -> Laps:
    """End laps as a layer's rules have them; noted in its basis."""
    rules = task.rules
    return Laps(rules.wrap_end_lap, rules.end_lap_offset, rules.reuse_from)


def lengths_of(strips: Sequence[tuple[int, RollStrip]]) -> list[Length]:
    """Strips as lengths of roll, each with its layer's number: there widths are neighbours."""
    return [Length((k, strip.width), strip.low, strip.high) for k, strip in strips]


def rolls_of(task: Task, settings: SearchSettings) -> tuple[tuple[Stock, ...], Objective]:
    """The rolls that can be bought; without prices and with one length they are counted.

    They come in one order, however the request lists them. Where joints are to be few, rolls go by
    their length: of plans that cost the same the one with the fewest laps is taken anyway.
    """
    few = settings.objective == "fewest_joints"
    stocks, objective = stocks_of(
        task, UNTRIMMED, replace(settings, objective="least_length") if few else settings
    )
    objective = replace(objective, name="fewest_joints") if few else objective
    bought = [stock for stock in stocks if not stock.owned]
    if objective.measured_in != "money" and len(bought) == 1:
        objective = Objective(objective.name, "rolls", bought[0].cost)
    elif objective.measured_in == "sticks":
        objective = replace(objective, measured_in="rolls")
    return tuple(in_order(stocks)), objective


def least_any_way(wanted: Sequence[Widths], stocks: Sequence[Stock], laps: Laps, least: int) -> int:
    """What no plan costs less than, whichever of the ways tried each layer runs.

    `least` is that of the ways in which they run. With more than `MOST_WAYS` ways together each
    layer counts for the way that takes least of it.
    """
    tried = [one.tried for one in wanted]
    if prod(map(len, tried)) == 1:
        return least
    if prod(map(len, tried)) > MOST_WAYS:
        shortest = [min(ways, key=lambda way: _needed(way, stocks, laps)) for ways in tried]
        return min(least, bare_least(_lengths(shortest), stocks, laps))
    return min(least, *(least_of(_lengths(way), stocks, laps, TRIAL) for way in product(*tried)))


def _lengths(ways: Sequence[tuple[RollStrip, ...]]) -> list[Length]:
    return lengths_of([(k, strip) for k, own in enumerate(ways) for strip in own])


def _needed(way: tuple[RollStrip, ...], stocks: Sequence[Stock], laps: Laps) -> int:
    return length_needed(_lengths([way]), stocks, laps)


def alone(task: Task, strips: Sequence[RollStrip]) -> RollPlan | None:
    """The rolls of one layer if nothing else shared them; None if those at hand do not do."""
    stocks, _ = rolls_of(task, SearchSettings(None, "quick", task.relax))
    lengths = lengths_of([(0, strip) for strip in strips])
    return roll_out(lengths, stocks, laps_of(task), TRIAL)
