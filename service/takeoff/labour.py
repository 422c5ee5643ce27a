"""What there is to do in each layer, and its hours by the caller's rates (25.1, 25.2)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Final

from service.order.shares import shared_out
from service.products.labour_rows import LabourRow, LabourTotalRow
from service.products.layer import AnyPlaced
from service.products.liquid_rows import LiquidRow
from service.products.rows import FastenerRow, PieceRow
from service.products.supplied import Supplied
from service.schemas.labour import Labour
from service.units.ticks import FOOT, METRIC, MM, ceiling

Place = tuple[str, str]
"""Surface and layer."""

WALKED_ON: Final = ("floor", "deck")
"""Surfaces that are worked on without staging."""

_ANGLES: Final = frozenset({"angle", "cope", "scarf", "bevel"})
_LENGTHS: Final = frozenset({"rips", "beads"})
_AREAS: Final = frozenset({"area", "coats"})


def labour(
    placed: Sequence[AnyPlaced],
    supplied: Sequence[Supplied],
    fasteners: Sequence[FastenerRow],
    liquids: Sequence[LiquidRow],
    asked: Labour | None,
    unit: str,
) -> tuple[LabourRow, ...]:
    """Every item of every layer that has any, in the order of the layers."""
    cuts = _crosscuts(supplied)
    found = []
    for one in placed:
        task = one.laid.task
        place = task.surface.id, task.layer_id
        overhead = task.surface.type in ("ceiling", "soffit")
        amounts = _amounts(one, cuts[place], fasteners, liquids)
        if asked is not None and asked.reach is not None and task.surface.type not in WALKED_ON:
            amounts["staging_moves"] = _moves(amounts["area"], asked.reach, unit)
        for item, ticks in amounts.items():
            if ticks:
                found.append(_row(place, item, ticks, asked, unit, overhead=overhead))
    return tuple(found)


def _amounts(
    one: AnyPlaced,
    cuts: int,
    fasteners: Sequence[FastenerRow],
    liquids: Sequence[LiquidRow],
) -> dict[str, int]:
    """What there is of each item: counts, ticks of length, half square ticks of area."""
    task, pieces = one.laid.task, one.pieces
    place = task.surface.id, task.layer_id
    own = [row for row in liquids if (row.surface, row.layer) == place]
    return {
        "area": 0 if one.laid.along_edges else one.laid.areas.installed,
        "pieces": len(pieces),
        "crosscuts": cuts,
        "rips": sum(_ripped(piece) for piece in pieces),
        "angles": sum(work.do in _ANGLES for piece in pieces for work in piece.work),
        "notches": sum(piece.notches for piece in pieces),
        "holes": sum(piece.holes for piece in pieces),
        "fasteners": sum(row.count for row in fasteners if (row.surface, row.layer) == place),
        "coats": sum((row.area or 0) * row.times for row in own),
        "beads": sum((row.length or 0) * row.times for row in own),
    }


def _moves(area: int, reach: Fraction, unit: str) -> int:
    """How often staging stands anew over an area (half square ticks), the first time too (25.2)."""
    _, one = _measure("area", unit)
    return ceiling(Fraction(area, one) / reach)


def _ripped(piece: PieceRow) -> int:
    """Length of all rips of a piece; one along the whole of it is as long as it is."""
    rips = (work for work in piece.work if work.do == "rip")
    return sum(piece.cut if work.length is None else work.length for work in rips)


def _crosscuts(supplied: Sequence[Supplied]) -> Counter[Place]:
    """Saw cuts across sticks, each stick's shared out to the layers of its pieces."""
    found: Counter[Place] = Counter()
    for made in supplied:
        of = {row.id: (row.surface, row.layer) for one in made.placed for row in one.pieces}
        for stick in made.sticks:
            layers = [of[name] for name in stick.all_pieces if name in of]
            for layer, share in _shares(stick.kerfs, layers):
                found[layer] += share
    return found


def _shares(cuts: int, layers: Sequence[Place]) -> Iterable[tuple[Place, int]]:
    """Cuts shared out to the layers of a stick's pieces; one layer has all of them."""
    if len(set(layers)) == 1:
        return ((layers[0], cuts),)
    pieces = Counter(layers)
    return zip(pieces, shared_out(cuts, list(pieces.values())), strict=True)


def _row(
    place: Place, item: str, ticks: int, asked: Labour | None, unit: str, *, overhead: bool
) -> LabourRow:
    name, one = _measure(item, unit)
    rate = next((rate for rate in asked.rates if rate.item == item), None) if asked else None
    factor = Fraction(1) if rate is None or rate.factor is None else rate.factor
    if asked is not None and asked.overhead is not None and overhead:
        factor *= asked.overhead
    return LabourRow(
        surface=place[0],
        layer=place[1],
        item=item,
        exact=Fraction(ticks, one),
        unit=name,
        rate=None if rate is None else rate.hours,
        factor=factor,
    )


def _measure(item: str, unit: str) -> tuple[str, int]:
    """What an item is told in, and how many ticks, or half square ticks, that is."""
    metric = unit in METRIC
    foot = 1000 * MM if metric else FOOT
    if item in _LENGTHS:
        return "m" if metric else "ft", foot
    if item in _AREAS:
        return "m2" if metric else "ft2", 2 * foot**2
    return "", 1


def totals(rows: Sequence[LabourRow], asked: Labour | None) -> tuple[LabourTotalRow, ...]:
    """All hours together, and how long a crew takes; nothing where no rates were sent."""
    if asked is None:
        return ()
    hours = (row.exact * row.rate * row.factor for row in rows if row.rate is not None)
    total = LabourTotalRow(
        exact=sum(hours, Fraction(0)),
        crew=asked.crew or 1,
        day=Fraction(8) if asked.day is None else asked.day,
    )
    return (total,)
