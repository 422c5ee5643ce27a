"""Sheets and wrap of an answer against the request, by whole polygons; no part of the service.

Everything is in stations of the layer's own frame, floats in ticks.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any

from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from tests.independent.measure import INCH, METRIC, TICKS, slack, ticks
from tests.independent.plane import SHARP, Frame, Seen, frame_of, seen
from tests.independent.sheet_verifier import Box, sheet_faults

Rows = list[dict[str, Any]]

DEFAULTS = {
    "panel_gap": INCH // 8, "panel_wall_gap": INCH // 8, "min_run": 3 * INCH, "kerf": INCH // 8,
    "wrap_lap": 6 * INCH, "wrap_end_lap": 6 * INCH, "turn_down": 2 * INCH, "cut_to": INCH // 16,
}  # fmt: skip


@dataclass(frozen=True)
class Behind:
    """One layer of sheets or wrap: its part of the request and its rows of the answer."""

    surface: dict[str, Any]
    layer: dict[str, Any]
    product: dict[str, Any]
    unit: str
    direction: float
    own: dict[str, Any]
    answer: dict[str, Any]

    @property
    def name(self) -> str:
        """Id of the layer."""
        return str(self.layer.get("id", self.layer["kind"]))

    def rule(self, key: str) -> int:
        """A length among the rules, ticks."""
        if key in self.own:
            return ticks(self.own[key], self.unit)
        if key == "panel_wall_gap" and self._made_for_gaps:
            return self.rule("panel_gap") // 2
        return TICKS["mm"] if key == "cut_to" and self.unit in METRIC else DEFAULTS[key]

    @property
    def _made_for_gaps(self) -> bool:
        """Whether each length of sheet with a gap is a whole number of 12 in or 300 mm (11.2)."""
        gap, near = self.rule("panel_gap"), INCH // 64
        steps = [ticks(one["length"], self.unit) + gap for one in self.product["stock"]]
        modules = (12 * INCH, 300 * TICKS["mm"])
        off = [min((step + near) % module for module in modules) for step in steps]
        return gap > 0 and max(off) <= 2 * near

    @cached_property
    def seen(self) -> Seen:
        """The surface in true size."""
        return seen(self.surface, self.unit)

    @cached_property
    def frame(self) -> Frame:
        """Stations along and across the layer."""
        return frame_of(self.seen.outline, self.direction)

    def rows(self, table: str) -> Rows:
        """The layer's rows of one table."""
        return [
            row
            for row in self.answer[table]
            if (row["surface"], row["layer"]) == (self.surface["id"], self.name)
        ]

    def ticks(self, value: Any) -> int:
        """A length of the answer in ticks."""
        return ticks(value, self.unit)


def layers_behind(request: dict[str, Any], answer: dict[str, Any], kind: str) -> list[Behind]:
    """Every layer of a kind, with the direction that the answer says it has."""
    products = {product["id"]: product for product in request["products"]}
    directions = {(row["surface"], row["layer"]): row["direction"] for row in answer["layers"]}
    return [
        Behind(
            surface,
            layer,
            products[layer["product"]],
            request["unit"],
            directions[surface["id"], layer.get("id", kind)],
            {**request.get("rules", {}), **surface.get("rules", {}), **layer.get("rules", {})},
            answer,
        )
        for surface in request["surfaces"]
        for layer in surface["layers"]
        if layer["kind"] == kind
    ]


def shapes(layer: Behind, row: dict[str, Any]) -> BaseGeometry:
    """What a piece covers: its rings by the even-odd rule, or its box."""
    low, high = layer.ticks(row["from"]), layer.ticks(row["to"])
    near, far = sorted((layer.ticks(row["near"]), layer.ticks(row["far"])))
    if not row["shape"]:
        return box(low, near, high, far)
    made: BaseGeometry = Polygon()
    for ring in row["shape"]:
        made = made.symmetric_difference(
            Polygon([(layer.ticks(u), layer.ticks(v)) for u, v in ring])
        )
    return made


# --- sheets ------------------------------------------------------------------------------------


def sheet_layer_faults(layer: Behind) -> list[str]:
    """Pieces lie on the surface, apart by the gap, and leave only gaps bare."""
    found: list[str] = []
    gap, wall = layer.rule("panel_gap"), layer.rule("panel_wall_gap")
    inset = layer.seen.outline.buffer(-wall, join_style="mitre", mitre_limit=SHARP)
    walls = layer.frame.moved_all(inset)
    target = walls.difference(layer.frame.moved_all(unary_union(layer.seen.cut)))
    pieces = [shapes(layer, row) for row in layer.rows("pieces")]
    give = 16 * slack(layer.unit)
    for one, two in _pairs(pieces):
        if one.intersection(two).area > give * max(one.length, two.length):
            found.append("two pieces lie on each other")
    covered = unary_union(pieces)
    round_cuts = 0.001 * sum(cut.area for cut in layer.seen.cut)
    if covered.difference(target).area > give * covered.length + round_cuts:
        found.append("pieces reach beyond the surface")
    bare = target.difference(covered.buffer(gap / 2 + give, join_style="mitre"))
    left = [part for part in getattr(bare, "geoms", [bare]) if not _excused(layer, part)]
    if sum(part.area for part in left) > give * covered.length + round_cuts:
        found.append(f"{sum(part.area for part in left) / INCH**2:.2f} sq in lie bare")
    stated = sum(row["area"] for row in layer.rows("pieces"))
    square = (12 * INCH) ** 2 if layer.answer["units"]["area"] == "ft2" else (40_000_000) ** 2
    if abs(stated * square - covered.area) > give * covered.length + round_cuts + square * 1e-5:
        found.append("the stated areas are not those of the shapes")
    return found


def _pairs(pieces: list[BaseGeometry]) -> list[tuple[BaseGeometry, BaseGeometry]]:
    return [
        (one, two) for k, one in enumerate(pieces) for two in pieces[k + 1 :] if one.intersects(two)
    ]


def _excused(layer: Behind, part: BaseGeometry) -> bool:
    """Parts too short for a sheet are left out and said."""
    low, _, high, _ = part.bounds
    return bool(high - low <= layer.rule("min_run") + 2 * layer.rule("panel_gap"))


def sheets_sawn_faults(request: dict[str, Any], answer: dict[str, Any]) -> list[str]:
    """Every sheet by the independent verifier; every piece in one sheet, at its cut size."""
    found: list[str] = []
    unit = request["unit"]
    kerf = ticks(request.get("rules", {}).get("kerf", "1/8 in"), unit)
    sizes = {row["id"]: row for row in answer["pieces"]}
    for row in answer["sheets"]:
        length, width = ticks(row["length"], unit), ticks(row["width"], unit)

        def boxes(name: str, row: dict[str, Any] = row) -> list[Box]:
            return [tuple(ticks(side, unit) for side in one) for one in row[name]]

        lost = int(row["half_square_ticks"]["kerf"])
        rests = boxes("kept") + boxes("waste")
        found += sheet_faults(length, width, kerf, boxes("boxes"), rests, lost)
        for name, place in zip(row["pieces"], boxes("boxes"), strict=True):
            piece = sizes[name]
            if (ticks(piece["length"], unit), ticks(piece["width"], unit)) != place[2:]:
                found.append(f"{name} is cut to another size than its place in the sheet")
            if piece["stick"] != row["sheet"]:
                found.append(f"{name} names another sheet")
    cut = Counter(name for row in answer["sheets"] for name in row["pieces"])
    want = Counter(row["id"] for row in answer["pieces"] if row["width"] is not None
                   and row["stick"] in {sheet["sheet"] for sheet in answer["sheets"]})  # fmt: skip
    return found + ([] if cut == want else ["a piece is in no sheet or in two"])


# --- wrap --------------------------------------------------------------------------------------


def wrap_layer_faults(layer: Behind) -> list[str]:
    """Everything is covered, edges too, and laps are as long as asked."""
    found: list[str] = []
    turn, lap = layer.rule("turn_down"), layer.rule("wrap_lap")
    grown = layer.seen.outline.buffer(turn, join_style="mitre", mitre_limit=SHARP)
    target = layer.frame.moved_all(grown).difference(_left_out(layer))
    boxes = [shapes(layer, row) for row in layer.rows("pieces")]
    give = 16 * slack(layer.unit)
    bare = target.difference(unary_union(boxes).buffer(give, join_style="mitre"))
    if bare.area > give * target.length:
        found.append(f"{bare.area / INCH**2:.2f} sq in are not wrapped")
    widths = sorted(
        sorted((layer.ticks(row["near"]), layer.ticks(row["far"]))) for row in layer.rows("courses")
    )
    for one, two in pairwise(widths):
        if one[1] - two[0] < lap - give:
            found.append("two widths lap too little")
    return found + _end_laps(layer, give)


def _end_laps(layer: Behind, give: int) -> list[str]:
    ends = {row["id"]: row for row in layer.rows("pieces")}
    found = []
    for row in layer.rows("joints"):
        before, after = (ends[name] for name in row["between"])
        shared = layer.ticks(before["to"]) - layer.ticks(after["from"])
        if abs(shared - layer.rule("wrap_end_lap")) > give:
            found.append(f"the end lap at {row['at']} is {shared / INCH} in")
    return found


def _left_out(layer: Behind) -> BaseGeometry:
    """Openings over 32 square feet are no part of the wrap."""
    large = [
        cut
        for drawn, cut in zip(layer.seen.drawn, layer.seen.cut, strict=True)
        if drawn.area > 32 * (12 * INCH) ** 2
    ]
    return layer.frame.moved_all(unary_union(large)) if large else Polygon()


# --- both --------------------------------------------------------------------------------------


def ledger_faults(request: dict[str, Any], answer: dict[str, Any]) -> list[str]:
    """What was bought, from the order; what is installed and left over, from pieces and stock."""
    found: list[str] = []
    unit = request["unit"]
    for product in request["products"]:
        if product["form"] not in ("sheet", "roll"):
            continue
        own = {row["account"]: int(row["half_square_ticks"]) for row in answer["ledger"]
               if row["product"] == product["id"]}  # fmt: skip
        width = ticks(product["width"], unit)
        bought = sum(ticks(row["length"], unit) * row["buy"] for row in answer["order"]
                     if row["product"] == product["id"])  # fmt: skip
        if sum(own.values()) != 2 * width * bought:
            found.append(f"the ledger of {product['id']} is not what was bought")
        rest = _rests(answer, product, unit, width)
        if own["offcut_kept"] + own["short_offcut"] != rest:
            found.append(f"rests of {product['id']} are {rest}")
    return found


def _rests(answer: dict[str, Any], product: dict[str, Any], unit: str, width: int) -> int:
    if product["form"] == "sheet":
        names = ("kept", "waste")
        return sum(
            int(row["half_square_ticks"][name]) for row in answer["sheets"] for name in names
        )
    return sum(2 * width * row["ticks"]["offcut"] for row in answer["sticks"]
               if row["product"] == product["id"])  # fmt: skip
