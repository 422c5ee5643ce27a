"""The takeoff in a few numbers and one sentence, and each product in a row."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from service.products.bought_rows import OrderRow, OwnedRow
from service.products.layer import AnyLaid
from service.products.registry import forms
from service.products.supplied import Supplied
from service.report.tables.laid import shown
from service.report.tables.told_rows import ProductRow, Summary
from service.takeoff.pipeline import Takeoff


def summary(takeoff: Takeoff) -> Summary:
    """The finished layers in a few numbers, and the whole order in words."""
    shows = {name: layer.task.at for name, layer in shown(takeoff.laid).items()}
    made = [_showing(one, frozenset(shows.values())) for one in takeoff.supplied]
    drawn, installed = sum(one.drawn for one in made), sum(one.installed for one in made)
    return Summary(
        drawn=drawn,
        installed=installed,
        placed=sum(one.placed for one in made),
        bought=round(sum((one.bought for one in made), Fraction(0))),
        sticks=sum(one.sticks for one in made),
        sheets=sum(len(one.sheets) for one in takeoff.supplied),
        **_percentages(drawn, installed, sum((one.covers for one in made), Fraction(0))),
        optimal=all(plan.optimal for one in takeoff.supplied for plan in one.plans),
        in_words=_in_words(takeoff),
    )


@dataclass(frozen=True, slots=True)
class _Showing:
    """What of one product lies outermost, and so shows: areas in half square ticks, lengths.

    `covers` is what of the stock bought for it would cover.
    """

    drawn: int
    installed: int
    placed: int
    bought: Fraction
    sticks: int
    covers: Fraction


def _showing(made: Supplied, shows: frozenset[str]) -> _Showing:
    """The part of a product in outermost layers; it may lie under other layers elsewhere."""
    layers = [layer for layer in made.layers if layer.task.at in shows]
    own = [piece for piece in made.pieces if f"{piece.surface}.{piece.layer}" in shows]
    named = {piece.id for piece in own}
    share = _share(made, layers)
    return _Showing(
        sum(layer.task.surface.net for layer in layers),
        sum(layer.areas.installed for layer in layers),
        sum(piece.cut for piece in own),
        _length_bought(made) * share,
        sum(not named.isdisjoint(stick.all_pieces) for stick in made.sticks),
        made.covers_half_square_ticks * share,
    )


def _share(made: Supplied, layers: Sequence[AnyLaid]) -> Fraction:
    """What of a product's stock falls to some of its layers, as a fraction of one.

    By what each surface takes of it; on one surface by the area of each layer.
    """
    if not layers:
        return Fraction(0)
    if len(layers) == len(made.layers):
        return Fraction(1)
    taken, area = Counter[str](), Counter[str]()
    for row in made.shares:
        taken[row.surface] += row.amount
    for layer in made.layers:
        area[layer.task.surface.id] += layer.areas.installed
    parts = (
        taken[name] * Fraction(layer.areas.installed, area[name] or 1)
        for layer, name in ((one, one.task.surface.id) for one in layers)
    )
    return sum(parts, Fraction(0)) / (made.booked or 1)


def products(takeoff: Takeoff) -> Iterator[ProductRow]:
    """One row a product: how much of it lies where, and what of it is bought."""
    return map(_product, takeoff.supplied)


def _product(made: Supplied) -> ProductRow:
    drawn, installed, covers = _areas(made)
    by_length = not made.sheets
    return ProductRow(
        product=made.product,
        kind=made.kind,
        form=made.form,
        drawn=drawn,
        installed=installed,
        area_bought=_area_bought(made),
        pieces=len(made.pieces),
        placed=_placed(made) if by_length else None,
        bought=_length_bought(made) if by_length else None,
        units=sum(row.bought.buy for row in made.order),
        **_percentages(drawn, installed, covers),
    )


def _area_bought(made: Supplied) -> int | None:
    """Half square ticks; None where what is bought of it is no area."""
    by_area = all(row.measure == "area" for row in made.ledger)
    return made.booked if by_area else None


def _areas(made: Supplied) -> tuple[int, int, int]:
    """Drawn, installed, and what is bought would cover, half square ticks."""
    return (
        sum(layer.task.surface.net for layer in made.layers),
        sum(layer.areas.installed for layer in made.layers),
        made.covers_half_square_ticks,
    )


def _placed(made: Supplied) -> int:
    return sum(piece.cut for piece in made.pieces)


def _length_bought(made: Supplied) -> int:
    return sum((row.length or 0) * row.bought.buy for row in made.order)


def _percentages(drawn: int, installed: int, covers: int | Fraction) -> dict[str, float | None]:
    """On what is installed, but for the last one (rule 0.5)."""
    if not covers:
        return {"waste_pct": None, "extra_pct": None, "extra_over_drawn_pct": None}
    return {
        "waste_pct": _percent(1 - installed / Fraction(covers)),
        "extra_pct": _percent(Fraction(covers) / installed - 1),
        "extra_over_drawn_pct": _percent(Fraction(covers) / drawn - 1),
    }


def _percent(share: Fraction) -> float:
    return round(float(share * 100), 4)


def _in_words(takeoff: Takeoff) -> str:
    rows = [*(row for one in takeoff.supplied for row in one.order), *takeoff.bought.lines]
    plans = [
        f"{made.product}: {plan.in_words}" if len(takeoff.supplied) > 1 else plan.in_words
        for made in takeoff.supplied
        for plan in made.plans
    ]
    all_own = [*(row for made in takeoff.supplied for row in made.owned), *takeoff.bought.owned]
    return " ".join([*ordered_in_words(rows, all_own, takeoff.job.unit), *plans])


def ordered_in_words(
    rows: Sequence[OrderRow], owned: Sequence[OwnedRow], unit: str
) -> Iterator[str]:
    """What to order, as a yard picks it, and what to take of the caller's own."""
    known = forms()
    parts = [line(row, unit) for row in sorted(rows, key=lambda row: known[row.form].nouns.picked)]
    yield f"Order {', '.join(parts) or 'nothing'}."
    own = [f"{row.used} of {row.item(unit)}" for row in owned if row.used]
    if own:
        yield f"Take {', '.join(own)} from your own."


def line(row: OrderRow, unit: str) -> str:
    """`43 of hemlock 10' 0"`, or `1 pack of 2000 ring_nail 2 in`."""
    packages, each = row.bought.packages, row.bought.in_package
    packed = f"{packages} pack{'s' if packages != 1 else ''} of {round(each, 2)}"
    return f"{packed if each > 1 else f'{packages} of'} {row.item(unit)}"
