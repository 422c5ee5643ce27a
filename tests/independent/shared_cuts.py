"""Pieces of one stick whose slanted ends share a cut lie clear of each other, and the saw fits.

A piece is where its two long edges begin and end along the stick; a slanted cut takes the kerf over
the sine of its angle all along. Common practice; imports nothing of the service.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise, product
from math import hypot
from typing import Any

from tests.independent.asked import Layer, placed_polygon
from tests.independent.lying import begins_high, is_left_handed, layer_of
from tests.independent.measure import slack, ticks

Row = dict[str, Any]
Ends = tuple[tuple[float, float], tuple[float, float]]
"""How far the left end lies behind its long point at the near and the far edge; the same of the
right end. Ticks."""

SURE = 4
"""Ticks by which what is worked out in floats may be off, each piece."""


def faults(layers: dict[tuple[str, str], Layer], answer: Row, stick: Row) -> Iterator[str]:
    """What is wrong of a stick some of whose pieces overlap."""
    pieces = {piece["id"]: piece for piece in answer["pieces"]}
    own = [pieces[name] for name in stick["pieces"]]
    layer = layers[own[0]["surface"], own[0]["layer"]]
    laps = [ticks(lap, layer.unit) for lap in stick["laps"]]
    if len(laps) != len(own) - 1 or min(laps) < 0:
        yield "not one lap for each two pieces"
        return
    kerf, face, give = layer.rule("kerf"), layer.coverage, SURE + 2 * slack(layer.unit)
    saws = [kerf * hypot(face, lap) / face for lap in laps]
    rest = stick["ticks"]["offcut"] > 0
    taken = stick["ticks"]["kerf"] - sum(saws)
    if not -give * len(laps) <= taken <= kerf + give * len(laps):
        yield f"the saw takes {stick['ticks']['kerf']}, and its cuts {sum(saws)}"
    if rest and taken < kerf - give * len(laps):
        yield "the last cut takes no whole kerf"
    lying = [_ends(layers[one["surface"], one["layer"]], answer, one) for one in own]
    turns = layer.product["profile"] == "square_edge"
    if not _clear_in_some_way(lying, laps, give, turns=turns):
        yield "pieces lie over each other"


def _clear_in_some_way(
    lying: Sequence[Ends], laps: Sequence[int], give: float, *, turns: bool
) -> bool:
    """Whether pieces are apart by what the saw takes, on both edges; turned if they may be."""
    ways = [(ends, _half_round(ends)) if turns else (ends,) for ends in lying]
    return any(
        all(
            one[1][edge] + other[0][edge] >= lap - give
            for (one, other), lap in zip(pairwise(order), laps, strict=True)
            for edge in (0, 1)
        )
        for order in product(*ways)
    )


def _ends(layer: Layer, answer: Row, piece: Row) -> Ends:
    """The left and the right end of a piece as its board lies."""
    ring = list(placed_polygon(piece, layer.unit).exterior.coords)
    near, far = min(v for _, v, *_ in ring), max(v for _, v, *_ in ring)
    edges = [[u for u, v, *_ in ring if abs(v - side) < SURE] for side in (near, far)]
    low, high = min(u for u, *_ in ring), max(u for u, *_ in ring)
    ends = (
        (min(edges[0]) - low, min(edges[1]) - low),
        (high - max(edges[0]), high - max(edges[1])),
    )
    lying = _half_round(ends) if begins_high(answer, piece) else ends
    return lying[::-1] if is_left_handed(layer_of(answer, piece)) else lying


def _half_round(ends: Ends) -> Ends:
    low, high = ends
    return (high[1], high[0]), (low[1], low[0])
