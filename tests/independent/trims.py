"""What is trimmed off the raw ends of sticks, by what the two outer pieces' ends become (8.1).

An end at a joint is squared, one that is covered stays as the mill left it, by the wall at its
furthest point. Where an opening parts a course either may be right: a flange may cover it. Which
end is the left one is told in `lying`.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from tests.independent.asked import Layer, placed_polygon
from tests.independent.lying import begins_high, is_left_handed, layer_of
from tests.independent.measure import slack, ticks

Row = dict[str, Any]

FLAT = 0.05
"""Rise over run up to which a side of a piece runs with the boards."""


def allowed(layers: dict[tuple[str, str], Layer], answer: Row, stick: Row) -> set[int]:
    """What the two raw ends of a stick may be trimmed by together, ticks."""
    pieces = {piece["id"]: piece for piece in answer["pieces"]}
    first, last = pieces[stick["pieces"][0]], pieces[stick["pieces"][-1]]
    layer = next(one for one in layers.values() if one.product["id"] == stick["product"])
    rows = [row for row in layer.product["owned" if stick["owned"] else "stock"]
            if ticks(row["length"], layer.unit) == stick["ticks"]["length"]]  # fmt: skip
    found = set()
    for row in rows:
        ends = row.get("ends", ["raw", "raw"])
        for low, high in _trims(layers, answer, first, last, layer):
            found.add(low * (ends[0] == "raw") + high * (ends[1] == "raw"))
    return found


def _trims(
    layers: dict[tuple[str, str], Layer], answer: Row, first: Row, last: Row, product: Layer
) -> Iterator[tuple[int, int]]:
    lows, highs = (
        list(_ends(layers.get((piece["surface"], piece["layer"])), answer, piece, product))
        for piece in (first, last)
    )
    turns = product.product["profile"] == "square_edge"
    if first is last:
        yield from ((low, high) for low, high in lows)
        yield from ((high, low) for low, high in lows if turns)
        return
    for low in lows:
        for high in highs:
            for a in low if turns else low[:1]:
                yield from ((a, b) for b in (high if turns else high[1:]))


def _ends(
    layer: Layer | None, answer: Row, piece: Row, product: Layer
) -> Iterator[tuple[int, int]]:
    """Trims at the board's own left and right end, every pair that may be right.

    What is no course, as a border of the same boards, is squared at both ends.
    """
    if layer is None:
        joint, _ = trims_of(product)
        yield joint, joint
        return
    low = list(_at(layer, answer, piece, "from"))
    high = list(_at(layer, answer, piece, "to"))
    turned = begins_high(answer, piece) != is_left_handed(layer_of(answer, piece))
    yield from ((b, a) if turned else (a, b) for a in low for b in high)


def _at(layer: Layer, answer: Row, piece: Row, end: str) -> Iterator[int]:
    run = next((row for row in answer["runs"] if row["id"] == piece["run"]), piece)
    joint, wall = trims_of(layer)
    if ticks(piece[end], layer.unit) != ticks(run[end], layer.unit):
        yield joint
        return
    covered = set(_covered(layer, piece, end)) or {layer.layer.get("edges", "covered") == "covered"}
    if layer.surface.get("openings"):
        covered = {True, False}
    yield from (wall if hidden else joint for hidden in sorted(covered, reverse=True))


def _covered(layer: Layer, piece: Row, end: str) -> Iterator[bool]:
    """Whether the walls are covered at which an end of a piece lies, each that may be meant."""
    if "edges" not in layer.surface:
        return
    lines, give = layer.by_walls(), 8 * slack(layer.unit)
    ring = list(placed_polygon(piece, layer.unit).exterior.coords)
    point = min(ring) if end == "from" else max(ring)
    cuts = [
        ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        for a, b in pairwise(ring)
        if min(abs(a[0] - point[0]), abs(b[0] - point[0])) <= give
        and abs(a[1] - b[1]) > max(give, FLAT * abs(a[0] - b[0]))
    ]
    for at in cuts or [point[:2]]:
        near = lines.walls_at(layer.frame.back(at), give)
        yield from (layer.walls[number].covered for number in near)


def trims_of(layer: Layer) -> tuple[int, int]:
    """What a raw end is trimmed by at a joint, and where it is covered."""
    if "end_trim" in layer.own or layer.product.get("ends") == "end_matched":
        both = layer.rule("end_trim") if "end_trim" in layer.own else 0
        return both, both
    return layer.rule("joint_trim"), layer.rule("wall_trim")
