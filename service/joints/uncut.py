"""Runs as one piece each: what that takes, and whether one stick that can be bought holds it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from service.cutting.records import Need, Stock
from service.joints.records import JointRules, JointRun


class Uncut(NamedTuple):
    """A run as one piece, what that takes of a stick at least, and whether it has no joint."""

    need: Need
    least: int
    alone: bool


def uncut_of(
    runs: Sequence[JointRun], rules: Sequence[JointRules], stocks: Sequence[Stock]
) -> list[Uncut]:
    """The runs as one piece each, by the rules of their stacks; such as are alike share it."""
    known: dict[object, Uncut] = {}
    found = []
    for run in runs:
        alike = (
            run.stack, run.low, run.high, run.spared, run.takes_more, run.wild, run.turned,
            run.shorter, run.leans, run.mitres, bool(run.stations),
        )  # fmt: skip
        if alike not in known:
            known[alike] = _uncut(run, rules[run.stack], stocks)
        found.append(known[alike])
    return found


def _uncut(run: JointRun, rules: JointRules, stocks: Sequence[Stock]) -> Uncut:
    need = whole_run(run, rules)
    return Uncut(need, run.least(need.length), is_single(run, rules, stocks))


def whole_run(run: JointRun, rules: JointRules) -> Need:
    """The piece that a whole run is, cut to its ends."""
    return rules.need(run, run.low, run.high)


def is_single(run: JointRun, rules: JointRules, stocks: Sequence[Stock]) -> bool:
    """Whether one stick that can be bought holds the whole run and no joint is wished (6.1)."""
    if not rules.whole_where_it_fits and run.stations:
        return False
    need = whole_run(run, rules)
    more = run.shorter_by(low_end=True, high_end=True) + rules.lost[0]
    need = need._replace(length=need.length + more)
    return any(stock.holds(need) and stock.supply != 0 and not stock.owned for stock in stocks)
