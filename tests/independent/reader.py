"""Recomputes courses, areas, fasteners, ledger and order of an answer from pieces and sticks."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Any

from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from tests.independent import unsawn
from tests.independent.asked import Layer, laid, layers, placed_polygon, rows
from tests.independent.measure import INCH, exact, ticks

EPSILON = INCH // 64


# --- courses -----------------------------------------------------------------------------------


def course_widths(layer: Layer, net: int) -> list[int]:
    """Widths of the courses over a net width by the rules for full, balanced and equal starts.

    Covered gaps that were not sent take a strip of up to 1/8 in each, that would be left over.
    """
    cover, space = layer.coverage, layer.spacer
    if layer.start == "equal":
        count = -(-net // cover)
        return [net // count] * count
    full, rest = divmod(net + space, cover + space)
    rest -= space
    if full == 0:
        return [net]
    narrow, most = layer.start != "full_first", unsawn.widest_strip(layer)
    shared = (rest - space + 1) // 2 if narrow else rest
    if rest <= EPSILON or shared <= most:
        return [cover] * full
    if cover - rest <= EPSILON:
        return [cover] * (full + 1)
    return _odd_courses(layer.start, cover, full, rest, space)


def _odd_courses(start: str, cover: int, full: int, rest: int, space: int) -> list[int]:
    if start == "full_first":
        return [cover] * full + [rest]
    if start == "balanced":
        return [(cover + rest) // 2, *[cover] * (full - 1), cover + rest - (cover + rest) // 2]
    narrow = (rest - space) // 2
    return [narrow, *[cover] * full, rest - space - narrow]


# --- areas -------------------------------------------------------------------------------------


def surface_areas(layer: Layer) -> dict[str, float]:
    """Gross, net and openings, perimeter: square ticks and ticks, in true size."""
    outline, net = layer.seen.outline, layer.seen.net
    return {
        "gross": outline.area,
        "net": net.area,
        "openings": outline.area - net.area,
        "perimeter": outline.length,
    }


def covered(pieces: list[dict[str, Any]], unit: str) -> float:
    """Area of the faces of placed pieces, square ticks."""
    return float(sum(placed_polygon(piece, unit).area for piece in pieces))


# --- fasteners ---------------------------------------------------------------------------------


def crossings(layer: Layer, piece: dict[str, Any]) -> tuple[int, int]:
    """Least and most members that a piece touches; equal unless its ends are shaped."""
    shape, touch = placed_polygon(piece, layer.unit), layer.rule("min_touch")
    pairs = [_touches(shape, member, touch) for member in layer.members]
    return sum(least for least, _ in pairs), sum(most for _, most in pairs)


def _touches(shape: Polygon, member: Any, touch: int) -> tuple[bool, bool]:
    _low, near, _high, far = shape.bounds
    middle = member.centre((near + far) / 2)
    strip = box(middle - member.half, near, middle + member.half, far)
    ends = sorted((member.centre(near), member.centre(far)))
    swept = box(ends[0] - member.half, near, ends[1] + member.half, far)
    within = shape.intersection(strip)
    most = shape.intersection(swept)
    least = within.area >= 0.98 * touch * (far - near)
    return least, not most.is_empty and most.bounds[2] - most.bounds[0] >= touch - 4


# --- order -------------------------------------------------------------------------------------


def sticks_by_length(answer: dict[str, Any], product: str) -> Counter[int]:
    """How many sticks of each length (ticks) are cut."""
    return Counter(
        int(row["ticks"]["length"]) for row in answer["sticks"] if row["product"] == product
    )


def culled(need: int, share: Fraction) -> int:
    """Sticks bought above the need because a share of them is culled."""
    return math.ceil(need / (1 - share / 100)) - need


def lost(count: int, share: Fraction) -> int:
    """Fasteners bought above the count because a share of them is lost."""
    return math.ceil(count * (1 + share / 100)) - count


# --- ledger ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Account:
    """Twice an area in square ticks, and how far printed stations leave it open."""

    twice: float
    open: float


def ledger(request: dict[str, Any], answer: dict[str, Any], product: str) -> dict[str, Account]:
    """Every account of one product's ledger that pieces, sticks and order alone decide."""
    concerned = [layer for layer in laid(request, answer) if layer.product["id"] == product]
    overall = concerned[0].overall
    pieces = [(layer, row) for layer in concerned for row in rows(answer, "pieces", layer)]
    spans = {layer.key: course_spans(layer, answer) for layer in concerned}
    sticks = [row for row in answer["sticks"] if row["product"] == product]
    pairs = [pair for row in sticks for pair in zip(row["pieces"], row["beside"], strict=True)]
    beside = {lead: names for lead, names in pairs if names}
    seconds = {name for names in beside.values() for name in names}
    found = Counter({"fit": 0, "lap_or_tongue": 0, "rip": 0, "rip_kerf": 0})
    for layer, row in pieces:
        shares = row["id"] in beside or row["id"] in seconds
        lap, face = _widths(layer, row, _run_span(layer, answer, row) if shares
                            else _face(layer, row, spans[layer.key]))  # fmt: skip
        size, blank = _extent(row, layer.unit), overall
        if row["id"] in seconds:
            blank = lap + face
            found["rip"] -= row["ticks"] * (blank + layer.rule("kerf"))
            found["rip_kerf"] += row["ticks"] * layer.rule("kerf")
        found["fit"] += (row["ticks"] - size) * blank
        found["lap_or_tongue"] += size * lap
        found["rip"] += size * (blank - lap - face)
    # What pieces overlap of each other in a stick has one tongue.
    over = sum(row["ticks"] for _, row in pieces if row["id"] not in seconds)
    over -= sum(row["ticks"]["pieces"] for row in sticks)
    found["lap_or_tongue"] -= over * (overall - concerned[0].coverage)
    long = sum(_extent(row, layer.unit) for layer, row in pieces)
    give = {name: 16 * len(pieces) * overall for name in found}
    give["rip"] += 16 * (long + sum(row["ticks"] for _, row in pieces if row["id"] in seconds))
    made = {name: Account(2 * area, give[name]) for name, area in found.items()}
    made |= _stick_accounts(answer, product, overall) | _bought(answer, product, overall)
    return made | {"kerf": Account(made["kerf"].twice + made.pop("rip_kerf").twice, 0)}


def _extent(row: dict[str, Any], unit: str) -> int:
    return ticks(row["to"], unit) - ticks(row["from"], unit)


def course_spans(layer: Layer, answer: dict[str, Any]) -> dict[int, tuple[int, int]]:
    """Low and high station of each course by its number."""
    found = {}
    for row in rows(answer, "courses", layer):
        near, far = ticks(row["near"], layer.unit), ticks(row["far"], layer.unit)
        found[row["course"]] = (min(near, far), max(near, far))
    return found


def _widths(layer: Layer, row: dict[str, Any], face: tuple[int, int]) -> tuple[int, int]:
    """Width of tongue or lap that stays on a piece, and of its face."""
    keeps = row["rip"] in ("none", "groove", "near")
    return layer.overall - layer.coverage if keeps else 0, face[1] - face[0]


def _run_span(layer: Layer, answer: dict[str, Any], row: dict[str, Any]) -> tuple[int, int]:
    """Low and high station of the run of a piece."""
    (run,) = (one for one in answer["runs"] if one["id"] == row["run"])
    near, far = ticks(run["near"], layer.unit), ticks(run["far"], layer.unit)
    return min(near, far), max(near, far)


def _face(layer: Layer, row: dict[str, Any], spans: dict[int, tuple[int, int]]) -> tuple[int, int]:
    """Low and high station of the face out of which openings and slanted ends are cut.

    Along a straight edge of the outline a piece is ripped to its own width. What an opening
    takes of its course's face is notch, also where it takes it for the whole length of the
    piece; what slanting edges take is mitre.
    """
    whole, shape = spans[row["course"]], placed_polygon(row, layer.unit)
    own = (round(shape.bounds[1]), round(shape.bounds[3]))
    if row["notches"]:
        return whole
    ripped = [_runs_along(shape, side) for side in own]
    low, high = (mine if rip else side for mine, side, rip in zip(own, whole, ripped, strict=True))
    return low, high


def _runs_along(shape: Polygon, side: int) -> bool:
    """Whether a face has an edge of some length at that station across the boards."""
    corners = list(shape.exterior.coords)
    return any(
        abs(a[1] - side) < 2 and abs(b[1] - side) < 2 and abs(a[0] - b[0]) > EPSILON
        for a, b in pairwise(corners)
    )


def _stick_accounts(answer: dict[str, Any], product: str, overall: int) -> dict[str, Account]:
    cut = [row for row in answer["sticks"] if row["product"] == product]
    lengths = {
        "kerf": sum(row["ticks"]["kerf"] for row in cut),
        "end_trim": sum(row["ticks"]["end_trim"] for row in cut),
        "offcut_kept": sum(row["ticks"]["offcut"] for row in cut if row["kept"]),
        "short_offcut": sum(row["ticks"]["offcut"] for row in cut if not row["kept"]),
        "crosscut": 0,
    }
    return {name: Account(2 * length * overall, 0) for name, length in lengths.items()}


def _bought(answer: dict[str, Any], product: str, overall: int) -> dict[str, Account]:
    unit = answer["units"]["length"]
    lines = [row for row in answer["order"] if row["product"] == product]
    long = [ticks(row["length"], unit) for row in lines]
    lengths = {
        name: sum(size * row[name] for size, row in zip(long, lines, strict=True))
        for name in ("cull", "spare")
    }
    lengths["surplus"] = sum(
        size * (row["buy"] - row["need"] - row["cull"] - row["spare"])
        for size, row in zip(long, lines, strict=True)
    )
    give = 16 * sum(row["buy"] for row in lines) * overall
    return {name: Account(2 * length * overall, give) for name, length in lengths.items()}


def bought_twice(request: dict[str, Any], answer: dict[str, Any], product: str) -> int:
    """Twice the area of all sticks that are bought, from the stock lengths as sent."""
    concerned = next(layer for layer in layers(request) if layer.product["id"] == product)
    unit = request["unit"]
    stock = {ticks(item["length"], unit) for item in concerned.product["stock"]}
    total = 0
    for row in (row for row in answer["order"] if row["product"] == product):
        printed = ticks(row["length"], unit)
        total += row["buy"] * min(stock, key=lambda length: abs(length - printed))
    return 2 * total * concerned.overall


def booked(answer: dict[str, Any], product: str) -> dict[str, int]:
    """The ledger as answered: twice the area in square ticks by account."""
    found: dict[str, int] = {}
    for row in answer["ledger"]:
        if row["product"] == product:
            found[row["account"]] = found.get(row["account"], 0) + int(row["half_square_ticks"])
    return found


def losses(layer: Layer, answer: dict[str, Any]) -> dict[str, float]:
    """Area lost out of the rectangles of placed pieces: by openings, and by the outline."""
    inset = unsawn.room(layer, answer)
    holes = layer.frame.moved_all(unary_union(layer.seen.cut)) if layer.seen.cut else Polygon()
    spans = course_spans(layer, answer)
    found = {"openings": 0.0, "outline": 0.0}
    for row in rows(answer, "pieces", layer):
        near, far = _face(layer, row, spans)
        around = box(ticks(row["from"], layer.unit), near, ticks(row["to"], layer.unit), far)
        found["outline"] += around.difference(inset).area
        found["openings"] += around.intersection(inset).intersection(holes).area
    return found


def share(value: Any) -> Fraction:
    """A percentage as written, exactly."""
    return exact(value)
