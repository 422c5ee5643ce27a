"""Which edges of an outline a request says something of, by the corners as they were sent."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from service.errors import Fault, TradeRefused
from service.geometry.edges import Edge
from service.geometry.rings import Line, Point, twice_signed
from service.geometry.slope import Slope, stretch_point


def edges_of(
    spec: Any, corners: Sequence[Point], slope: Slope | None, mirror: int | None, pointer: str
) -> tuple[Edge, ...]:
    """All edges, with what was said of them, in true size, facing the finished side, by number.

    `corners` are those of the outline as sent, in plan; `mirror` is what mirroring takes x from,
    None where it is seen as drawn. Raises TradeRefused where there is no such edge.
    """
    sent = list(enumerate(spec.edges or ()))
    faults = list(_faults([one.edge for _, one in sent], corners, f"{pointer}/edges"))
    if faults:
        raise TradeRefused(*faults)
    seen = [_seen(corner, slope, mirror) for corner in corners]
    lines = list(zip(seen, seen[1:] + seen[:1], strict=True))
    if twice_signed(tuple(seen)) < 0:
        lines = [(end, start) for start, end in lines]
    told = {one.edge: (k, one) for k, one in sent}
    return tuple(
        _edge(number, line, *told[number], pointer) if number in told else Edge(number, *line)
        for number, line in enumerate(lines)
        if line[0] != line[1]
    )


def _edge(number: int, line: Line, place: int, one: Any, pointer: str) -> Edge:
    return Edge(
        number=number,
        start=line[0],
        end=line[1],
        what=one.what,
        gap=one.gap,
        pointer=f"{pointer}/edges/{place}",
        beside=one.beside,
        thickness=one.thickness,
        over=one.overhang,
        turn=None if one.turn is None else float(one.turn),
    )


def _seen(corner: Point, slope: Slope | None, mirror: int | None) -> Point:
    x, y = corner if slope is None else stretch_point(corner, slope)
    return (x if mirror is None else mirror - x), y


def _faults(numbers: Sequence[int], corners: Sequence[Point], at: str) -> Iterator[Fault]:
    """Edges that the outline does not have, and those of which something is said twice."""
    last = len(corners) - 1
    for k, number in enumerate(numbers):
        place = f"{at}/{k}/edge"
        if number > last:
            text = f"the outline has {last + 1} edges, 0 to {last}: there is no edge {number}"
            yield Fault("no-such-edge", text, place, rule="24")
        elif corners[number] == corners[(number + 1) % len(corners)]:
            text = f"edge {number} has no length: the corners at its ends are one"
            yield Fault("no-such-edge", text, place, rule="24")
        elif number in numbers[:k]:
            text = f"something is said of edge {number} twice: say it once"
            yield Fault("edge-twice", text, place, rule="24")
