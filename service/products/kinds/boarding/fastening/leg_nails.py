"""Nails of legs at the sides of their hole, by what is behind them there (18.4)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from service.errors import Finding
from service.geometry.rings import Line
from service.products.kinds.boarding.findings.places_in_words import by_station
from service.products.kinds.boarding.legs import LegNail, bare, framed_legs, leg_blocks
from service.products.kinds.boarding.records import LaidBoards
from service.products.remarks import Remarks
from service.units.writing import both, counted


def counted_legs(
    layer: LaidBoards, nails: Sequence[LegNail], behind: Sequence[Line]
) -> Counter[tuple[str, str]]:
    """The face nails of a piece's legs: on members, over lines `behind` a panel, on neither."""
    if not nails:
        return Counter()
    framed = framed_legs(layer, nails, behind)
    rest = [one for one in nails if one not in framed]
    found = Counter({
        ("framed leg", "face"): len(framed),
        ("notch", "face"): sum(one.borne for one in rest),
        ("leg", "face"): sum(not one.borne for one in rest),
    })  # fmt: skip
    return +found


def say_unbacked(layer: LaidBoards, said: Remarks, nails: Iterable[LegNail]) -> None:
    """One finding for the legs of a layer that nothing is behind, and no block is counted for."""
    alone = bare(layer, nails)
    blocks = leg_blocks(layer, alone) if alone else {}
    found = [one for one in alone if one not in blocks]
    if not found:
        return
    limit = layer.task.rules.hanging_end
    places = by_station([(one.at, one.cutout.course) for one in found])
    text = (
        f"what is left of a board beside a cut-out has no member within {both(limit)} and nothing "
        f"behind it at {counted(len(found), 'places')}: {places}; set a block behind each: its "
        "face nail is counted"
    )
    most = max(one.off or 0 for one in found)
    said.find(Finding("leg-unbacked", layer.task.at, text, rule="18.4", measure=most, limit=limit))
