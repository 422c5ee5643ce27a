"""Takeoffs of one job and its variations side by side: what each takes, and why one is better."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, TypeAlias

from service.products.bought_rows import OrderRow
from service.products.registry import forms
from service.takeoff.pipeline import Takeoff
from service.units.writing import counted, listed, total_length


@dataclass(frozen=True, slots=True)
class Figures:
    """What a takeoff takes, in the figures by which takeoffs are compared.

    `cost` is of the whole order, None where a line of it has no price, in `currency`. `length` is
    what is bought of what comes in sticks (ticks), `sticks` counts sheets and rolls too, `joints`
    are field joints; `waste` is 1 - installed / bought of what shows, in percent (0.5), None where
    nothing of that is bought.
    """

    cost: Fraction | None
    currency: str | None
    length: int
    sticks: int
    joints: int
    waste: float | None


def figures_of(takeoff: Takeoff, waste: float | None) -> Figures:
    """The figures of a takeoff; `waste` is that of its summary."""
    rows = order_of(takeoff)
    prices = [row.price for row in rows]
    stock = [row for made in takeoff.supplied for row in made.order]
    return Figures(
        cost=_total(prices),
        currency=takeoff.job.currency,
        length=sum((row.length or 0) * row.bought.buy for row in stock if _is_stick(row)),
        sticks=sum(row.bought.buy for row in stock),
        joints=sum(len(placed.joints) for placed in takeoff.placed),
        waste=waste,
    )


def order_of(takeoff: Takeoff) -> list[OrderRow]:
    """Every line of the order."""
    stock = [row for made in takeoff.supplied for row in made.order]
    return [*stock, *takeoff.bought.lines]


def _total(prices: Sequence[float | None]) -> Fraction | None:
    """The sum of prices as they are written; None where one is not known."""
    if None in prices:
        return None
    return sum((Fraction(repr(price)) for price in prices if price is not None), Fraction(0))


def _is_stick(row: OrderRow) -> bool:
    return forms()[row.form].nouns.piece == "stick"


@dataclass(frozen=True, slots=True)
class Compared:
    """One of the takeoffs that are compared, by its name."""

    name: str
    figures: Figures


@dataclass(frozen=True, slots=True)
class Ranked:
    """One of them in its place: equal figures have equal ranks. `why` says it in words."""

    one: Compared
    rank: int
    why: str


_Figure: TypeAlias = Callable[[Figures], Fraction]

LADDER: Final[Mapping[str, _Figure]] = {
    "cost": lambda figures: figures.cost or Fraction(0),
    "length": lambda figures: Fraction(figures.length),
    "sticks": lambda figures: Fraction(figures.sticks),
    "joints": lambda figures: Fraction(figures.joints),
    "waste": lambda figures: Fraction(repr(figures.waste or 0.0)),
}
"""What takeoffs are ranked by: the first figure that differs decides."""


def rungs(compared: Sequence[Compared]) -> list[str]:
    """The figures by which these are ranked: cost only where all have one, in one currency."""
    priced = all(one.figures.cost is not None for one in compared)
    priced = priced and len({one.figures.currency for one in compared}) == 1
    return [name for name in LADDER if name != "cost" or priced]


def ranked(compared: Sequence[Compared], unit: str) -> list[Ranked]:
    """All of them, the best first; which of two equals is named first is settled by their names."""
    names = rungs(compared)

    def key(one: Compared) -> tuple[Fraction, ...]:
        return tuple(LADDER[name](one.figures) for name in names)

    ordered = sorted(compared, key=lambda one: (key(one), one.name))
    keys = [key(one) for one in ordered]
    return [
        Ranked(one, keys.index(keys[k]) + 1, _why(ordered, k, names, unit))
        for k, one in enumerate(ordered)
    ]


def _why(ordered: Sequence[Compared], k: int, names: Sequence[str], unit: str) -> str:
    """Why the best is the best, or why one lost against it."""
    if len(ordered) == 1:
        return "Nothing else was answered that it could be compared with."
    own, other = ordered[k], ordered[1] if k == 0 else ordered[0]
    apart = [name for name in names if _over(name, own, other)]
    if not apart:
        return f"Equal to {other.name} in every figure."
    first, *others = apart
    even = names[: names.index(first)]
    told = f"{_told(first, own, other, unit)} than {other.name}"
    told = f"equal in {listed(even)}, {told}" if even else told
    # Of the best: what the second does better; of another: what it does better itself.
    against = [name for name in others if (_over(name, own, other) > 0) == (k == 0)]
    if against:
        pair = (other, own) if k == 0 else (own, other)
        better = " and ".join(_told(name, *pair, unit) for name in against)
        told += f", {'which' if k == 0 else 'though it'} {better}"
    return f"{told[0].upper()}{told[1:]}."


def _over(name: str, own: Compared, other: Compared) -> Fraction:
    """By how much one takes more of a figure than another."""
    return LADDER[name](own.figures) - LADDER[name](other.figures)


def _told(name: str, own: Compared, other: Compared, unit: str) -> str:
    """By how much one takes more or less of a figure: `costs 12.30 (2.4 %) more`."""
    over = _over(name, own, other)
    by, most = abs(over), max(LADDER[name](one.figures) for one in (own, other))
    more, share = "more" if over > 0 else "less", f" ({float(by * 100 / most):.1f} %)"
    if name == "cost":
        return f"costs {float(by):,.2f}{share} {more}"
    if name == "length":
        return f"takes {total_length(int(by), unit)}{share} {more} of sticks"
    if name == "waste":
        return f"wastes {float(by):.2f} % of what is bought {more}"
    return f"has {counted(int(by), name)} {'more' if over > 0 else 'fewer'}"
