"""A request said in another way: moved, mirrored, turned, scaled, in millimetres, renamed."""

from __future__ import annotations

import copy
from collections.abc import Callable
from fractions import Fraction
from typing import Any

Request = dict[str, Any]
Point = tuple[float, float]

LENGTH_KEYS = {"overall", "coverage", "tongue", "lap", "thickness", "spacing", "first", "at",
               "length", "rectangle", "circle", "outline", "clearance", "cut_gap", "flange",
               "spacer", "gap", "projection", "from_edge"}  # fmt: skip


def as_outline(surface: Request) -> Request:
    """A surface whose rectangle is written as corners."""
    if "rectangle" not in surface:
        return surface
    length, width = surface["rectangle"]
    rest = {key: value for key, value in surface.items() if key != "rectangle"}
    return rest | {"outline": [[0, 0], [length, 0], [length, width], [0, width]]}


def reshaped(request: Request, change: Callable[[Request], Request]) -> Request:
    """A copy with every surface, its outline written out, changed."""
    whole = copy.deepcopy(request)
    whole["surfaces"] = [change(as_outline(surface)) for surface in whole["surfaces"]]
    return whole


def _moved(shape: Request, move: Callable[[float, float], Point]) -> Request:
    """An outline, rectangle or circle, carried over corner by corner."""
    if "outline" in shape:
        return shape | {"outline": [list(move(x, y)) for x, y in shape["outline"]]}
    if "circle" in shape:
        x, y, diameter = shape["circle"]
        return shape | {"circle": [*move(x, y), diameter]}
    x, y, length, width = shape["rectangle"]
    (a, b), (c, d) = move(x, y), move(x + length, y + width)
    return shape | {"rectangle": [min(a, c), min(b, d), abs(c - a), abs(d - b)]}


def carried(surface: Request, move: Callable[[float, float], Point]) -> Request:
    """A surface with outline and openings carried over."""
    moved = _moved(surface, move)
    if "openings" in surface:
        moved["openings"] = [_moved(opening, move) for opening in surface["openings"]]
    return moved


def translated(request: Request, x: float, y: float) -> Request:
    """Every coordinate moved."""
    return reshaped(request, lambda s: carried(s, lambda a, b: (a + x, b + y)))


def mirrored_in_plan(request: Request, members: Callable[[Request], list[float]]) -> Request:
    """The same surfaces as drawn in plan: mirrored left to right, and said to be in plan.

    `members` gives the positions of a surface's members, which a plan measures from the other
    side when they stand across x.
    """

    def change(surface: Request) -> Request:
        wide = max(x for x, _ in surface["outline"]) - min(x for x, _ in surface["outline"])
        behind = surface["supports"]
        places = sorted(wide - at for at in members(surface))
        surface["supports"] = {"direction": 180 - behind["direction"], "at": places,
                               "thickness": behind.get("thickness", 1.5)}  # fmt: skip
        for layer in surface["layers"]:
            layer["direction"] = 180 - layer["direction"]
        return carried(surface, lambda x, y: (-x, y)) | {"view": "plan"}

    return reshaped(request, change)


def facing_mirror(plan: Request, ways: dict[tuple[str, str], float]) -> Request:
    """A request in plan as one facing the finished side: every place, side and angle mirrored.

    `ways` are the directions, as sent or by default, in which its layers run facing that side. A
    side across a layer changes its name where the layer runs across the mirrored axis.
    """

    def change(surface: Request) -> Request:
        ring, behind = surface["outline"], surface["supports"]
        if behind["direction"] % 180 == 90:
            wide = max(x for x, _ in ring) - min(x for x, _ in ring)
            behind["at"] = [wide - at for at in behind["at"]]
        behind["direction"] = 180 - behind["direction"]
        if "slope" in surface:
            surface["slope"]["up"] = 180 - surface["slope"]["up"]
        # Wrap that runs up and down has a lower side only where the surface rises along x.
        falls = "slope" in surface and surface["slope"]["up"] % 180 != 90
        for layer in surface["layers"]:
            _mirror_layer(layer, ring, ways[surface["id"], layer.get("id", layer["kind"])], falls)
        return carried(surface, lambda x, y: (-x, y)) | {"view": "facing"}

    return reshaped(plan, change)


def _mirror_layer(layer: Request, ring: list[Any], way: float, falls: bool) -> None:
    if "direction" in layer or layer["kind"] == "wrap":
        # What is wrapped by default is decided by cost, and said here, for sides follow from it.
        way = layer["direction"] = 180 - layer["direction"] if "direction" in layer else way
    if way % 180 != 90:
        return
    if not (layer["kind"] == "wrap" and falls and "start_side" not in layer):
        layer["start_side"] = "high" if layer.get("start_side", "low") == "low" else "low"
    wide = max(x for x, _ in ring) - min(x for x, _ in ring)
    for aim in layer.get("aim", ()):
        aim["at"] = wide - aim["at"]


def turned(request: Request) -> Request:
    """A quarter turn of surface, members and boards; course 1 stays at the same wall."""

    def change(surface: Request) -> Request:
        surface["supports"]["direction"] += 90
        for layer in surface["layers"]:
            layer["direction"] += 90
            low = layer.get("start_side", "low") == "low"
            layer["start_side"] = "high" if low else "low"
        return carried(surface, lambda x, y: (-y, x))

    return reshaped(request, change)


def started_elsewhere(request: Request, step: int, backwards: bool, twice: bool) -> Request:
    """Rings from another corner, the other way round, or with a corner said twice."""

    def change(surface: Request) -> Request:
        ring = surface["outline"]
        step_in = step % len(ring)
        ring = ring[step_in:] + ring[:step_in]
        ring = ring[::-1] if backwards else ring
        surface["outline"] = [ring[0], *ring] if twice else ring
        count = len(ring)
        for row in surface.get("edges", ()):
            place = (row["edge"] - step_in) % count
            place = (-2 - place) % count if backwards else place
            row["edge"] = place + twice
        return surface

    return reshaped(request, change)


def with_corner_on_edge(request: Request) -> Request:
    """A further corner in the middle of the first edge."""

    def change(surface: Request) -> Request:
        (a, b), (c, d), *rest = surface["outline"]
        surface["outline"] = [[a, b], [(a + c) / 2, (b + d) / 2], [c, d], *rest]
        first = [row for row in surface.get("edges", ()) if row["edge"] == 0]
        for row in surface.get("edges", ()):
            row["edge"] += 1
        if first:
            surface["edges"] = [*surface["edges"], first[0] | {"edge": 0}]
        return surface

    return reshaped(request, change)


def _each_length(node: Any, change: Callable[[Any], Any], key: str = "") -> Any:
    if isinstance(node, dict):
        return {
            name: change_rules(value, change)
            if name == "rules"
            else _each_length(value, change, name)
            for name, value in node.items()
        }
    if isinstance(node, list):
        return [_each_length(item, change, key) for item in node]
    number = isinstance(node, int | float) and not isinstance(node, bool)
    return change(node) if number and key in LENGTH_KEYS else node


def change_rules(rules: Request, change: Callable[[Any], Any]) -> Request:
    """Rules with every length changed, and counts and shares left."""
    kept = {"min_bearings", "loss_hand", "loss_collated", "cull", "spare", "flat_pct"}
    return {name: value if name in kept else change(value) for name, value in rules.items()}


def _times(value: Any, factor: Fraction) -> float | int:
    product = Fraction(repr(value)) * factor
    return int(product) if product.denominator == 1 else float(product)


def in_millimetres(request: Request) -> Request:
    """Inches as the same lengths in millimetres; texts with their own unit stay."""
    changed: Request = _each_length(request, lambda value: _times(value, Fraction(127, 5)))
    return changed | {"unit": "mm"}


def scaled(request: Request, factor: int) -> Request:
    """Every bare length times a whole number."""
    changed: Request = _each_length(request, lambda value: _times(value, Fraction(factor)))
    return changed


def renamed(request: Request) -> Request:
    """Other ids for the surface and the product."""
    whole = copy.deepcopy(request)
    for number, surface in enumerate(whole["surfaces"]):
        surface["id"] = f"area-{number}"
        for layer in surface["layers"]:
            layer["product"] = "x-" + layer["product"]
    for product in whole["products"]:
        product["id"] = "x-" + product["id"]
    return whole


def keys_reversed(node: Any) -> Any:
    """The same JSON with the members of every object in the opposite order."""
    if isinstance(node, dict):
        return {key: keys_reversed(node[key]) for key in reversed(node)}
    return [keys_reversed(item) for item in node] if isinstance(node, list) else node
