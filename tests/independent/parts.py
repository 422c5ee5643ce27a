"""In which parts a surface falls, and whether each piece and run names the part that it lies in.

Parts are those that the library's own overlay leaves; nothing here knows the service.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import reduce
from typing import Any

from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from tests.independent.asked import placed_polygon
from tests.independent.measure import square, ticks
from tests.independent.plane import Frame, dot, seen

Table = dict[str, Any]

GIVE = 8
"""Ticks that snapping and printed figures may move an edge."""


def parts_of(surface: Table, unit: str, taken: BaseGeometry | None = None) -> list[Polygon]:
    """The connected parts of a surface less its openings as cut and what is `taken`, in order.

    From the left, then from below, as seen facing the finished side; ticks.
    """
    own = seen(surface, unit)
    left = own.outline.difference(unary_union([*own.cut, *([taken] if taken else [])]))
    parts = [one for one in getattr(left, "geoms", [left]) if one.area > GIVE * one.length]
    return sorted(parts, key=lambda one: (round(one.bounds[0], -2), round(one.bounds[1], -2)))


def faults(
    request: Table, answer: Table, taken: Mapping[tuple[str, str], BaseGeometry] | None = None
) -> list[str]:
    """What of the answer's regions is not so, in words; `taken` by surface and layer."""
    found: list[str] = []
    for surface in request["surfaces"]:
        for layer in (row for row in answer["layers"] if row["surface"] == surface["id"]):
            parts = parts_of(surface, request["unit"], (taken or {}).get(_place(layer)))
            frame = _frame(layer, seen(surface, request["unit"]).outline)
            framed = [frame.moved(part) for part in parts]
            found += _regions(layer, framed, answer, request["unit"])
            found += _pieces(layer, framed, answer, request["unit"])
    return found


def _frame(layer: Table, outline: Polygon) -> Frame:
    """The stations of a layer, as its row says which way they run."""
    along, across = tuple(layer["along"]), tuple(layer["across"])
    corners = [corner[:2] for corner in outline.exterior.coords]
    low = (min(dot(one, along) for one in corners), min(dot(one, across) for one in corners))
    return Frame(along, across, low)


def _regions(layer: Table, parts: list[Polygon], answer: Table, unit: str) -> Iterator[str]:
    """Each part is told once, with its area and how far it reaches in stations."""
    own = [row for row in answer["regions"] if _place(row) == _place(layer)]
    if [row["region"] for row in own] != list(range(1, len(parts) + 1)):
        yield f"{layer['layer']} lies on {len(parts)} parts, and {len(own)} are told"
        return
    for row, part in zip(own, parts, strict=True):
        area = row["area"] * square(answer["units"]["area"])
        # Printed to six decimals.
        if abs(area - part.area) > GIVE * part.length + square(answer["units"]["area"]) / 1e6:
            yield f"region {row['region']} of {layer['layer']} has no area of {row['area']}"
        told = [ticks(at, unit) for at in (*row["from"], *row["to"])]
        if any(abs(a - b) > GIVE for a, b in zip(told, part.bounds, strict=True)):
            yield f"region {row['region']} of {layer['layer']} does not reach {told}"


def _pieces(layer: Table, parts: list[Polygon], answer: Table, unit: str) -> Iterator[str]:
    """Each piece names the part that holds most of it; each run the first of its pieces' parts."""
    first: dict[str, int] = {}
    for row in (row for row in answer["pieces"] if _place(row) == _place(layer)):
        shape = _shape(row, unit)
        held = {k: shape.intersection(part).area for k, part in enumerate(parts, 1)}
        lies = [k for k, area in held.items() if area > GIVE * shape.length]
        if lies and held.get(row["region"], 0) < max(held.values()) - GIVE * shape.length:
            yield f"piece {row['id']} names region {row['region']} and lies in {held}"
        if layer["kind"] == "boarding" and len(lies) != 1:
            yield f"board {row['id']} lies in {lies}"
        first[row["run"]] = min(row["region"], first.get(row["run"], row["region"]))
    for row in (row for row in answer["runs"] if _place(row) == _place(layer)):
        if row["region"] != first[row["id"]]:
            yield f"run {row['id']} names region {row['region']}, its pieces {first[row['id']]}"


def _shape(piece: Table, unit: str) -> BaseGeometry:
    """A placed piece in stations, ticks; one that an opening parts has a ring for each part."""
    if not piece["shape"]:
        return placed_polygon(piece, unit)
    rings = [Polygon([(ticks(u, unit), ticks(v, unit)) for u, v in ring])
             for ring in piece["shape"]]  # fmt: skip
    return reduce(lambda one, other: one.symmetric_difference(other), rings)


def _place(row: Table) -> tuple[str, str]:
    return row["surface"], row["layer"]
