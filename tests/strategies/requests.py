"""Builders of requests: the smallest that can be sent, and the parts that grow it."""

from __future__ import annotations

import copy
import random
from typing import Any

Request = dict[str, Any]

COVER, OVERALL = 5.125, 5.375


def board(*lengths: Any, cover: float = COVER, overall: float = OVERALL, **more: Any) -> Request:
    """A tongue-and-groove board; each length is one, or a whole row of stock."""
    stock = [item if isinstance(item, dict) else {"length": item} for item in lengths]
    return {
        "id": "pine", "form": "board", "profile": "tongue_and_groove", "ends": "square",
        "overall": overall, "coverage": cover, "thickness": 0.75, "stock": stock,
    } | more  # fmt: skip


def supports(spacing: float = 16, first: float | None = None, **more: Any) -> Request:
    """Members across boards of direction 0."""
    return {"direction": 90, "spacing": spacing, "first": spacing if first is None else first,
            "thickness": 1.5} | more  # fmt: skip


def surface(shape: Request, behind: Request | None = None, **more: Any) -> Request:
    """One surface with one layer of boards; keys of the layer go in `layer`."""
    layer = {"id": "boards", "kind": "boarding", "product": "pine", "direction": 0}
    layer |= more.pop("layer", {})
    return {"id": "loft", **shape, "supports": behind or supports(), "layers": [layer]} | more


def job(area: Request | list[Request], *products: Request, **more: Any) -> Request:
    """A whole request in inches."""
    areas = area if isinstance(area, list) else [area]
    return {"unit": "in", "surfaces": areas,
            "products": list(products) or [board("8 ft", "12 ft", "16 ft")]} | more  # fmt: skip


def framed(request: Request) -> Request:
    """The request of a caller whose framer has built all that must stand behind."""
    return {**request, "rules": {**(request.get("rules") or {}), "backing": "none"}}


def room(length: float, width: float, **more: Any) -> Request:
    """A rectangular surface."""
    return surface({"rectangle": [length, width]}, **more)


def outline(points: list[Any], **more: Any) -> Request:
    """A surface by its corners."""
    return surface({"outline": [list(point) for point in points]}, **more)


def changed(request: Request, pointer: str, value: Any) -> Request:
    """A copy of a request with `value` put at a JSON Pointer; missing parents are made."""
    whole = copy.deepcopy(request)
    *path, last = [part.replace("~1", "/").replace("~0", "~") for part in pointer.split("/")[1:]]
    spot: Any = whole
    for part in path:
        spot = spot[int(part)] if isinstance(spot, list) else spot.setdefault(part, {})
    if not isinstance(spot, list):
        spot[last] = value
    elif last == "-":
        spot.append(value)
    else:
        spot[int(last)] = value
    return whole


def seeded_rectangular_jobs() -> list[Request]:
    """Fifty rectangular rooms of 8 to 60 ft, each from its own seed, for the law on the gap."""
    return [_seeded(random.Random(seed)) for seed in range(50)]


def _seeded(draw: random.Random) -> Request:
    feet = sorted(draw.sample(range(8, 21, 2), draw.randint(2, 4)))
    dear = draw.choice([None, 0, 0.015])
    stock = [{"length": f"{size} ft"} | _price(size, dear) for size in feet]
    length, width = draw.randint(8 * 12, 60 * 12), draw.randint(8 * 12, 60 * 12)
    spacing = draw.choice([12, 16, 19.2, 24])
    behind = supports(spacing, spacing)
    return job(room(length, width, behind=behind), board(*stock), currency="USD")


def _price(feet: int, dear: float | None) -> Request:
    """A price by the foot, flat or dearer for longer boards; or none."""
    if dear is None:
        return {}
    return {"price": f"{1.5 * feet * (1 + dear * (feet - 8)):.2f}"}
