"""What each rule of joints costs: the boards solved again with that rule alone lowered."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from service.cutting.effort import EFFORTS
from service.errors import Finding, JsonValue, Ticks
from service.joints.records import Jointed, Places
from service.products.costs import rule_cost_row
from service.products.kind import Said
from service.products.kinds.boarding.bans import Key
from service.products.kinds.boarding.easing import LOWEST, RULE_OF
from service.products.kinds.boarding.solving import Saw, Setting, solved
from service.products.rows import RuleCostRow

MOST_STATIONS, MOST_DIFFERENT = 20_000, 250
"""Stations of all runs together, and of runs that differ, up to which a job is solved again
without each rule: each time takes as long as the order did."""


BANS: dict[Key, str] = {
    "joint_from_hole": "5.5",
    "joint_beside_hole": "5.5",
    "joint_from_panel_joint": "6.5",
}
"""The bans on joints, with their rules."""


@dataclass(frozen=True, slots=True)
class _Lowered:
    """One rule lowered from what was asked, in all layers that have it, or in the stock."""

    rule: str
    key: str
    asked: JsonValue
    used: JsonValue
    settings: tuple[Setting, ...]
    saw: Saw


def rule_costs(
    chosen: Sequence[Setting], saw: Saw, made: Jointed, said: Said
) -> tuple[RuleCostRow, ...]:
    """A row for each rule that could be lowered, the dearest rule first.

    A plan under lowered rules may be any plan under the full ones, so no rule costs less than
    nothing.
    """
    task = chosen[0].layer.task
    if _is_large(chosen, saw):
        said.find(
            Finding(
                "rules-not-costed",
                task.product.id,
                "the job is too large to be solved again without each rule: send a part of it to "
                "see what the rules cost",
                rule="6.8",
            )
        )
        return ()
    rows = []
    for one in _lowered(chosen, saw):
        again = solved(one.settings, one.saw, EFFORTS["standard"])
        least = again.plan.cost if isinstance(again, Jointed) else made.plan.cost
        least = min(least, made.plan.cost)
        change = (one.rule, one.key, one.asked, one.used)
        rows.append(rule_cost_row(task, change, made.plan.cost, least, saw.objective, "boards"))
    return tuple(sorted(rows, key=lambda row: (-row.saves_pct, row.key)))


def _is_large(chosen: Sequence[Setting], saw: Saw) -> bool:
    """Whether solving again for each rule would take too long."""
    runs = [run for k, one in enumerate(chosen) for run in one.runs(k, saw.stocks)]
    different = {(run.stack, run.low, run.high, run.stations) for run in runs}
    return (
        sum(len(run.stations) for run in runs) > MOST_STATIONS
        or sum(len(stations) for *_, stations in different) > MOST_DIFFERENT
    )


def _lowered(chosen: Sequence[Setting], saw: Saw) -> Iterator[_Lowered]:
    for key, least in LOWEST.items():
        yield from _rule(chosen, saw, key, least)
    for key, rule in BANS.items():
        yield from _ban(chosen, saw, key, rule)
    yield from _blocks(chosen, saw)
    yield from _trims(chosen, saw)


def _rule(chosen: Sequence[Setting], saw: Saw, key: str, least: int) -> Iterator[_Lowered]:
    """Stagger, repeat, bearings or piece length at the lowest that is ever allowed."""
    count = key == "min_bearings"
    asked = max(getattr(one.rules, key) for one in chosen)
    if asked <= least:
        return

    def lower(one: Setting) -> Setting:
        value = min(least, getattr(one.rules, key))
        return replace(one, rules=replace(one.rules, **{key: value}))

    was: JsonValue = asked if count else Ticks(asked)
    yield _changed(chosen, saw, (RULE_OF[key], key, was, least if count else Ticks(least)), lower)


def _ban(chosen: Sequence[Setting], saw: Saw, key: Key, rule: str) -> Iterator[_Lowered]:
    """A ban near openings or panel joints given up, where it shuts out any station."""
    asked = max(one.bans.asked[key] for one in chosen)

    def lower(one: Setting) -> Setting:
        return replace(one, bans=one.bans.without(key))

    if asked and any(lower(one).runs(0, saw.stocks) != one.runs(0, saw.stocks) for one in chosen):
        yield _changed(chosen, saw, (rule, key, Ticks(asked), Ticks(0)), lower)


def _blocks(chosen: Sequence[Setting], saw: Saw) -> Iterator[_Lowered]:
    """Joints between members too, on blocks."""
    if not any(one.rules.places is Places.FRAMING for one in chosen):
        return

    def lower(one: Setting) -> Setting:
        if one.rules.places is not Places.FRAMING:
            return one
        return replace(one, rules=replace(one.rules, places=Places.FRAMING_OR_BLOCK))

    yield _changed(chosen, saw, ("6.2", "joints", "framing", "framing_or_block"), lower)


def _trims(chosen: Sequence[Setting], saw: Saw) -> Iterator[_Lowered]:
    """Stock whose ends need no trim."""
    trim = (saw.stocks[0].length - saw.stocks[0].usable) // 2
    if trim:
        stocks = tuple(replace(stock, usable=stock.length) for stock in saw.stocks)
        whole = replace(saw, stocks=stocks)
        yield _Lowered("8.1", "end_trim", Ticks(trim), Ticks(0), tuple(chosen), whole)


def _changed(
    chosen: Sequence[Setting],
    saw: Saw,
    change: tuple[str, str, JsonValue, JsonValue],
    lower: Callable[[Setting], Setting],
) -> _Lowered:
    return _Lowered(*change, tuple(map(lower, chosen)), saw)
