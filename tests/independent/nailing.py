"""Recounts fasteners of boards from placed pieces and members, and how deep each goes.

Rules 18.2, 18.3, 18.6 and 18.11, common practice. Lengths are ticks; depths are floats.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Any

from tests.independent.asked import Layer, rows
from tests.independent.measure import INCH, exact, slack, ticks
from tests.independent.reader import crossings

Row = dict[str, Any]


@dataclass(frozen=True)
class Driven:
    """Fasteners by place."""

    blind: int
    face: int


# --- how many ----------------------------------------------------------------------------------


def driven(layer: Layer, answer: Row) -> Driven:
    """Fasteners of whole rectangular pieces: at members, at joints that only a panel carries."""
    pieces = rows(answer, "pieces", layer)
    courses = len(rows(answer, "courses", layer))
    free = free_ends(layer, pieces)
    blind = face = 0
    for piece in pieces:
        hidden, seen = per_crossing(layer, piece, courses)
        touched, _ = crossings(layer, piece)
        own = [hidden * touched, seen * touched + 2 * free.get(piece["id"], 0)]
        least = 1 if piece["ticks"] < 4 * INCH else 2
        blind += own[0]
        face += own[1] + max(0, least - sum(own))
    return Driven(blind, face)


def free_ends(layer: Layer, pieces: list[Row]) -> dict[str, int]:
    """Ends of pieces at joints on no member that only a panel carries; matched ends need none."""
    if layer.product.get("ends") == "end_matched" or not has_panel(layer):
        return {}
    found: dict[str, int] = {}
    for low, high in pairwise(sorted(pieces, key=lambda row: (row["course"], row["from"]))):
        at = ticks(low["to"], layer.unit)
        meets = abs(at - ticks(high["from"], layer.unit)) <= slack(layer.unit)
        if low["run"] != high["run"] or not meets:
            continue
        if all(abs(member.at - at) > 2 * slack(layer.unit) for member in layer.members):
            for name in (low["id"], high["id"]):
                found[name] = found.get(name, 0) + 1
    return found


def per_crossing(layer: Layer, piece: Row, courses: int) -> tuple[int, int]:
    """Blind and face fasteners of one board at one bearing (18.3)."""
    width = abs(ticks(piece["far"], layer.unit) - ticks(piece["near"], layer.unit))
    last = piece["course"] == courses
    if layer.pattern == "lap":
        return 0, 1 + last
    if layer.pattern == "face":
        return 0, by_width(width, layer.own.get("per_crossing"))
    if last and courses > 1:
        return 0, 1 + (layer.pattern == "blind_face" or width > 4 * INCH)
    beside = int(layer.pattern == "blind_face" or piece["course"] == 1)
    hidden = int(piece["rip"] not in ("tongue", "both", "far"))
    return hidden, beside + 1 - hidden


def blind(layer: Layer, answer: Row) -> int:
    """Blind fasteners of square pieces on members, none where a notch took the tongue (18.3)."""
    return sum(
        per_crossing(layer, piece, len(courses))[0] * sum(places)
        for courses, piece, places in _places(layer, answer)
    )


def bared(layer: Layer, answer: Row) -> int:
    """Crossings between the first course and the last that have no tongue to nail into (18.3)."""
    return sum(
        len(places) - per_crossing(layer, piece, len(courses))[0] * sum(places)
        for courses, piece, places in _places(layer, answer)
        if 1 < piece["course"] < len(courses)
    )


def _places(layer: Layer, answer: Row) -> Iterator[tuple[dict[int, Row], Row, list[bool]]]:
    """The courses, with each square piece and whether its tongue is there, member by member."""
    courses = {row["course"]: row for row in rows(answer, "courses", layer)}
    for piece in rows(answer, "pieces", layer):
        yield courses, piece, list(_tongued(layer, piece, courses[piece["course"]]))


def _tongued(layer: Layer, piece: Row, course: Row) -> Iterator[bool]:
    """Of each member on which a piece lies: whether its far edge over the centre is the course's.

    What a saw takes off by up to 1/64 in is not taken (5.2). A notch ends where it begins: a nail
    just there has a tongue.
    """
    give, far = 4 * slack(layer.unit), ticks(course["far"], layer.unit)
    low, high = (ticks(piece[end], layer.unit) for end in ("from", "to"))
    near = [
        (min(a[0], b[0]) - give, max(a[0], b[0]) + give)
        for ring in _rings(piece, layer.unit)
        for a, b in pairwise([*ring, ring[0]])
        if max(abs(a[1] - far), abs(b[1] - far)) <= INCH // 64 + give
    ]
    for member in layer.members:
        on = min(high, member.at + member.half) - max(low, member.at - member.half)
        if on >= min(layer.rule("min_touch"), 2 * member.half):
            place = min(max(member.at, low), high)
            yield not piece["shape"] or any(a <= place <= b for a, b in near)


def _rings(piece: Row, unit: str) -> list[list[tuple[int, int]]]:
    return [[(ticks(u, unit), ticks(v, unit)) for u, v in ring] for ring in piece["shape"]]


def at_legs(layer: Layer, answer: Row) -> dict[str, int]:
    """Face fasteners at the sides of cut-outs, by whether a member is within 4 in of them (18.4).

    Under 2 in a leg has one at each side on a member too. A side that is the end of a run has none.
    """
    runs = {row["id"]: row for row in rows(answer, "runs", layer)}
    found = {"notch": 0, "leg": 0}
    for piece in rows(answer, "pieces", layer):
        for cutout in piece["cutouts"]:
            widths = [abs(ticks(cutout[end], layer.unit) - ticks(piece[end], layer.unit))
                      for end in ("near", "far")]  # fmt: skip
            for side in ("from", "to"):
                at, end = ticks(cutout[side], layer.unit), runs[piece["run"]][side]
                inside = ticks(piece["from"], layer.unit) < at < ticks(piece["to"], layer.unit)
                if not inside or abs(at - ticks(end, layer.unit)) <= INCH // 64 + 4:
                    continue
                off = all(abs(one.at - at) > one.half + 4 * INCH for one in layer.members)
                legs = [width for width in widths if width > INCH // 64 + 4]
                found["leg"] += len(legs) if off else 0
                found["notch"] += 0 if off else sum(width < 2 * INCH for width in legs)
    return found


def by_width(width: int, asked: int | None = None) -> int:
    """Face fasteners in one board at one bearing: one to 4 in, two to 8 in, then three."""
    if asked is not None:
        return asked if width >= 2 * INCH else 1
    return 1 + (width > 4 * INCH) + (width > 8 * INCH)


# --- how deep ----------------------------------------------------------------------------------


def panels_behind(layer: Layer) -> Iterator[tuple[int, bool]]:
    """What a fastener of the boards goes through after them: thickness, and whether it holds."""
    products = {row["id"]: row for row in layer.products}
    before = layer.surface["layers"][: layer.surface["layers"].index(layer.layer)]
    for one in reversed(before):
        thick = ticks(products[one["product"]].get("thickness", 0), layer.unit)
        yield thick, one["kind"] == "sheathing"
    if "backing" in layer.surface:
        yield ticks(layer.surface["backing"]["thickness"], layer.unit), True
    yield ticks(layer.surface["supports"].get("shim", 0), layer.unit), False


def has_panel(layer: Layer) -> bool:
    """Whether a panel stands behind the boards."""
    return any(holds for _, holds in panels_behind(layer))


def bite(layer: Layer, place: str, length: int) -> tuple[float, float]:
    """Length of shank in framing, and in framing and panels together, at a member.

    It is followed down layer by layer from where it enters: through the face, or aslant where
    tongue and shoulder meet, two thirds of the board from its back.
    """
    thick = ticks(layer.product["thickness"], layer.unit)
    lean = math.radians(float(layer.value("blind_angle"))) if place == "blind" else 0.0
    left = length - (thick * 2 / 3 if place == "blind" else thick) / math.cos(lean)
    wood = 0.0
    for thickness, holds in panels_behind(layer):
        through = max(0.0, min(left, thickness / math.cos(lean)))
        wood += through if holds else 0.0
        left -= thickness / math.cos(lean)
    return max(0.0, left), wood + max(0.0, left)


def suffices(layer: Layer, place: str, length: int, shank: str) -> bool:
    """Whether a length holds by the defaults: in wood, and overhead also in framing (18.11)."""
    framing, wood = bite(layer, place, length)
    overhead = layer.surface.get("type", "ceiling") in ("ceiling", "soffit")
    need = Fraction(3, 2) if shank == "smooth" else Fraction(5, 4)
    enough = wood >= float(exact(need) * INCH) - 1
    return enough and (not overhead or framing >= 3 * INCH / 4 - 1)
