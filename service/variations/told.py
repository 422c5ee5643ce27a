"""What became of variations, as the rows that tell it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from service.report.tables.comparison import ChangeRow, MeasureRow, WasteRow
from service.takeoff.comparison import LADDER, Figures
from service.takeoff.pipeline import Takeoff
from service.units.writing import both, counted, in_system, total_length
from service.variations.entry import Made, money
from service.variations.remeasure import Off
from service.variations.waste import Change

NO_WASTE: Final = ("installed", "lap_or_tongue", "owned")
"""Accounts of a ledger that are no waste."""


RULES_OF: Final = {
    "rip": "3.3", "notch": "5.2", "mitre": "4.5", "kerf": "8.2", "end_trim": "8.1", "fit": "0.2",
    "short_offcut": "8.4", "offcut_kept": "8.4", "cull": "10.1", "spare": "10.2", "surplus": "8.9",
}  # fmt: skip
"""The rule by which something goes into an account."""


def waste_rows(takeoff: Takeoff) -> list[WasteRow]:
    """Every account of each ledger that is waste, the largest share first."""
    rows = [
        WasteRow(
            product=line.product,
            account=line.account,
            area=line.amount if line.measure == "area" else None,
            length=line.length if line.measure != "volume" else None,
            rule=RULES_OF.get(line.account),
            share_pct=round(float(Fraction(line.amount * 100, made.booked)), 4),
        )
        for made in takeoff.supplied
        for line in made.ledger
        if made.booked and line.amount > 0 and line.account not in NO_WASTE
    ]
    return sorted(rows, key=lambda row: (-row.share_pct, row.product, row.account))


def change_rows(
    base: Made, tried: Sequence[tuple[Change, Made]], rungs: Sequence[str], unit: str
) -> list[ChangeRow]:
    """Every change that was tried, what saves most first."""
    assert base.figures is not None
    own = base.figures
    keyed = [(_saving(own, made, rungs), change, made) for change, made in tried]
    ordered = sorted(keyed, key=lambda one: ([-value for value in one[0]], one[1].key))
    return [_change_row(own, change, made, rungs, unit) for _, change, made in ordered]


def _saving(own: Figures, made: Made, rungs: Sequence[str]) -> list[Fraction]:
    """By how much each figure is less; what is refused comes last."""
    if made.figures is None:
        return [Fraction(-1_000_000_000_000_000)]
    return [LADDER[name](own) - LADDER[name](made.figures) for name in rungs]


def _change_row(
    own: Figures, change: Change, made: Made, rungs: Sequence[str], unit: str
) -> ChangeRow:
    other = made.figures
    better = other is not None and _saving(own, made, rungs) > [Fraction(0)] * len(rungs)
    return ChangeRow(
        key=change.key,
        rule=change.rule,
        asked=change.asked,
        tried=change.tried,
        cost_saved=None if other is None else _less(own.cost, other.cost),
        length_saved=None if other is None else own.length - other.length,
        sticks_saved=None if other is None else own.sticks - other.sticks,
        joints_saved=None if other is None else own.joints - other.joints,
        waste_pct=None if other is None else other.waste,
        better=better,
        refused=None if made.refused is None else in_system(made.refused, unit),
        in_words=_change_in_words(own, change, made, unit, better=better),
        patch=[dict(row) for row in change.entry.patch],
    )


def _change_in_words(own: Figures, change: Change, made: Made, unit: str, *, better: bool) -> str:
    name = change.key.replace("_", " ")
    name = f"{name} (rule {change.rule})" if change.rule else name
    if made.figures is None:
        return f"{name}: refused."
    if not better:
        return f"{name}: nothing less was found."
    return f"{name}: {difference(made.figures, own, unit)}."


def difference(one: Figures, other: Figures, unit: str) -> str:
    """What one takes less or more than another, in words: `16.0 ft and 2 joints less`."""
    parts = []
    if one.cost is not None and other.cost is not None and one.cost != other.cost:
        parts.append(f"costs {_way(float(one.cost - other.cost), '{:,.2f}')}")
    if one.length != other.length:
        by = one.length - other.length
        parts.append(
            f"takes {total_length(abs(by), unit)} {'more' if by > 0 else 'less'} of sticks"
        )
    for name in ("sticks", "joints"):
        by = getattr(one, name) - getattr(other, name)
        if by:
            verb, what = ("buys", "pieces") if name == "sticks" else ("has", name)
            parts.append(f"{verb} {counted(abs(by), what)} {'more' if by > 0 else 'fewer'}")
    return ", ".join(parts) or "takes as much"


def _way(by: float, form: str) -> str:
    return f"{form.format(abs(by))} {'more' if by > 0 else 'less'}"


def _less(own: Fraction | None, other: Fraction | None) -> float | None:
    return None if own is None or other is None else money(own - other)


def measure_rows(base: Made, tried: Sequence[tuple[Off, Made]], unit: str) -> list[MeasureRow]:
    """Every measure that is off, as they lie in the request."""
    assert base.figures is not None
    own, bought = base.figures, _bought(base.takeoff)
    return [_measure_row(own, bought, off, made, unit) for off, made in tried]


def measure_again(base: Made, rows: Sequence[MeasureRow]) -> str:
    """Which measures are worth taking again, the one that can cost most first.

    What a plan is over its bound by is no matter of measures.
    """
    assert base.figures is not None
    own = base.figures
    plans = [plan for made in base.takeoff.supplied for plan in made.plans]
    sure = max((plan.gap_pct for plan in plans), default=0.0) / 100
    most: dict[tuple[str, str, int], float] = {}
    for row in rows:
        share = _share(own, row)
        if share > sure:
            place = row.surface, row.measure, row.at
            most[place] = max(most.get(place, 0.0), share)
    if not most:
        return "No measure that is so little off makes the order larger."
    ordered = sorted(most, key=lambda place: (-most[place], place))
    names = list(dict.fromkeys(f"{measure} of {surface}" for surface, measure, _ in ordered))
    return f"Measure again before ordering: {', '.join(names)}."


def _share(own: Figures, row: MeasureRow) -> float:
    """By what share of the order it becomes larger: of its cost, or of its length.

    All of it where the job is refused so.
    """
    if row.length_more is None:
        return 1.0
    if row.cost_more is not None and own.cost:
        return float(Fraction(repr(row.cost_more)) / own.cost)
    return row.length_more / own.length if own.length else 0.0


def _bought(takeoff: Takeoff) -> Counter[str]:
    """How many of each item are bought of what comes in lengths."""
    lines = [line for supplied in takeoff.supplied for line in supplied.order]
    return Counter({line.item(takeoff.job.unit): line.bought.buy for line in lines})


def _measure_row(own: Figures, bought: Counter[str], off: Off, made: Made, unit: str) -> MeasureRow:
    other = made.figures
    now = Counter[str]() if other is None else _bought(made.takeoff)
    if other is None:
        words = f"the job is refused: {made.refused}"
    elif now == bought:
        words = "the order stays as it is"
    else:
        words = _apart(bought, now)
    return MeasureRow(
        surface=off.measure.surface,
        measure=off.measure.what,
        at=off.measure.value,
        off=off.by,
        cost_more=None if other is None else _less(other.cost, own.cost),
        length_more=None if other is None else other.length - own.length,
        sticks_more=None if other is None else other.sticks - own.sticks,
        changes=other is None or now != bought,
        in_words=in_system(
            f"{off.measure.what} of {off.measure.surface} {both(abs(off.by))} "
            f"{'more' if off.by > 0 else 'less'}: {words}.", unit,
        ),
        patch=[dict(row) for row in off.entry.patch],
    )  # fmt: skip


def _apart(was: Counter[str], now: Counter[str]) -> str:
    """`2 more of pine 16' 0", 1 fewer of pine 8' 0"`."""
    parts = [
        f"{abs(now[item] - was[item])} {'more' if now[item] > was[item] else 'fewer'} of {item}"
        for item in sorted({*was, *now})
        if now[item] != was[item]
    ]
    return ", ".join(parts)
