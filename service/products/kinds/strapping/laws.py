"""The laws of laid straps (14), checked on what was made."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from service.products.kinds.strapping.records import LaidStraps, PlacedStraps


def violations(placed: PlacedStraps) -> list[str]:
    """Straps that stand too far apart or on each other, and splices that no member carries."""
    return [f"{placed.laid.task.at}: {law}" for law in _violations(placed.laid)]


def _violations(layer: LaidStraps) -> Iterator[str]:
    strapping, spacing = layer.detail, layer.task.rules.strap_spacing
    for a, b in pairwise(sorted({line.at for line in strapping.lines})):
        if b - a > spacing:
            yield f"lines at {a} and {b} are more than {spacing} apart"
    ends: dict[str, list[int]] = defaultdict(list)
    for one in strapping.straps:
        ends[one.id.rpartition(".")[0]] += (one.low, one.high)
    for run, places in ends.items():
        line = strapping.bearings[int(run.rsplit(".", 2)[1]) - 1]
        for low, high in zip(places[1:-1:2], places[2::2], strict=True):
            if low != high or low not in line.stations:
                yield f"the splice of {run} at {low} lies on no member"
