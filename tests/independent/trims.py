"""What is trimmed off the raw ends of sticks, by what the two outer pieces' ends become (8.1).

An end at a joint is squared, one that is covered stays as the mill left it. Where an opening parts
a course either may be right: a flange may cover it. A board lies turned half round where its course
is laid from the high side, so that its own low end is at the high stations.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from tests.independent.asked import Layer
from tests.independent.measure import ticks

Row = dict[str, Any]


def allowed(layers: dict[tuple[str, str], Layer], answer: Row, stick: Row) -> set[int]:
    """What the two raw ends of a stick may be trimmed by together, ticks."""
    pieces = {piece["id"]: piece for piece in answer["pieces"]}
    first, last = pieces[stick["pieces"][0]], pieces[stick["pieces"][-1]]
    layer = layers[first["surface"], first["layer"]]
    rows = [row for row in layer.product["stock"] if ticks(row["length"], layer.unit) ==
            stick["ticks"]["length"]]  # fmt: skip
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
        list(_ends(layers[piece["surface"], piece["layer"]], answer, piece))
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


def _ends(layer: Layer, answer: Row, piece: Row) -> Iterator[tuple[int, int]]:
    """Trims at the board's own low and high end, every pair that may be right."""
    low = list(_at(layer, answer, piece, "from"))
    high = list(_at(layer, answer, piece, "to"))
    (course,) = (
        row for row in answer["courses"]
        if (row["surface"], row["layer"], row["course"])
        == (piece["surface"], piece["layer"], piece["course"])
    )  # fmt: skip
    turned = course["near"] > course["far"]
    yield from ((b, a) if turned else (a, b) for a in low for b in high)


def _at(layer: Layer, answer: Row, piece: Row, end: str) -> Iterator[int]:
    run = next((row for row in answer["runs"] if row["id"] == piece["run"]), piece)
    joint, wall = trims_of(layer)
    if ticks(piece[end], layer.unit) != ticks(run[end], layer.unit):
        yield joint
        return
    if layer.layer.get("edges", "covered") == "covered":
        yield wall
    if layer.layer.get("edges", "covered") == "bare" or layer.surface.get("openings"):
        yield joint
    if layer.layer.get("edges") == "bare" and layer.surface.get("openings"):
        yield wall


def trims_of(layer: Layer) -> tuple[int, int]:
    """What a raw end is trimmed by at a joint, and where it is covered."""
    if "end_trim" in layer.own or layer.product.get("ends") == "end_matched":
        both = layer.rule("end_trim") if "end_trim" in layer.own else 0
        return both, both
    return layer.rule("joint_trim"), layer.rule("wall_trim")
