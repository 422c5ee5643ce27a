"""What must always hold, over coffers, soffits, walls and decks: each law tried on each of them.

A family makes a whole request from two sizes, seen from the left or from the right. Sizes are small
and supports stand symmetrically, so that plans are proven and a mirror image is one.
"""

from __future__ import annotations

import copy
import math
from collections import Counter
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from tests.independent import any_kind, box_beams, drawn, skins, verifier
from tests.independent.measure import TICKS
from tests.strategies import shapes, transforms
from tests.strategies.asking import answered, asked, body_of, outcome, refused
from tests.strategies.budget import examples
from tests.strategies.requests import board, changed, job

Request = dict[str, Any]
Family = Callable[[float, float, bool], Request]

SIZES = st.tuples(shapes.inches(100, 140), shapes.inches(44, 60))
ONE = examples(6)
"""One example of each family in a usual run: every law takes several answers."""

EACH = pytest.mark.parametrize("family", ["coffers", "soffit", "wall", "deck"])


def surface(kind: str, length: float, width: float, layers: list[Request], **more: Any) -> Request:
    """A rectangle over members that stand alike from either end of it."""
    places = [length / 2 + by for by in range(-64, 65, 16) if abs(by) < length / 2 - 1]
    ends = [0.75, length - 0.75]
    return {
        "id": "area", "type": kind, "view": "facing", "rectangle": [length, width],
        "supports": {"direction": 90, "at": sorted({*ends, *places}), "thickness": 1.5},
        "layers": layers,
    } | more  # fmt: skip


def boards(product: str = "pine", **more: Any) -> Request:
    return {"id": "boards", "kind": "boarding", "product": product, "direction": 0,
            "rules": {"unsawn": 0}} | more  # fmt: skip


def coffers(length: float, width: float, flip: bool) -> Request:
    """Two bays or four, boards tucked under their beams, a moulding round each."""
    beams = {"id": "beams", "kind": "box_beams", "product": "fir", "core": "core",
             "width": "5 in", "drop": "4 in",
             "sets": [{"direction": 90, "count": 1}, {"direction": 0, "count": 1}]}  # fmt: skip
    crown = {"id": "crown", "kind": "trim", "product": "crown", "inside": "mitred"}
    fir = {"id": "fir", "form": "board", "profile": "square_edge", "overall": 7.25,
           "thickness": 0.75, "stock": [{"length": "8 ft"}, {"length": "12 ft"}]}  # fmt: skip
    core = {"id": "core", "form": "lumber", "width": "3.5 in", "thickness": 1.5,
            "stock": [{"length": "12 ft"}]}  # fmt: skip
    cove = {"id": "crown", "form": "moulding", "width": "2.25 in", "thickness": 0.625,
            "stock": [{"length": "8 ft"}]}  # fmt: skip
    return job(
        surface("ceiling", length, width, [beams, boards(), crown]),
        board("8 ft", "12 ft"), fir, core, cove,
    )  # fmt: skip


def soffit(length: float, width: float, flip: bool) -> Request:
    """A vent strip along its outer edge, boards along that on both its sides, mitred at one end."""
    vent = {"id": "vent", "kind": "trim", "product": "vent", "edges": [0], "from_edge": 6}
    strip = {"id": "vent", "form": "moulding", "width": "2.625 in", "thickness": "0.125 in",
             "meets": "butted", "flange": "0.375 in", "stock": [{"length": "8 ft"}]}  # fmt: skip
    edge = {"edge": 3 if flip else 1, "is": "bare"}
    area = surface("soffit", length, width / 2, [vent, boards()], edges=[edge])
    return job(area, board("8 ft", "12 ft", cover=3.125, overall=3.375), strip)


def wall(length: float, width: float, flip: bool) -> Request:
    """Upright boards on a panel between an inside corner and an outside one, on a base."""
    inner, outer = ({"is": "inside_second"}, {"is": "outside_lapping"})
    low, high = (outer, inner) if flip else (inner, outer)
    base = {"id": "base", "kind": "trim", "product": "base", "edges": [0]}
    run = {"id": "base", "form": "moulding", "width": "5.5 in", "thickness": 0.75,
           "stock": [{"length": "12 ft"}]}  # fmt: skip
    area = surface(
        "wall", length, width, [boards(direction=90), base],
        edges=[{"edge": 3} | low, {"edge": 1} | high], backing={"thickness": 0.5},
    )  # fmt: skip
    return job(area, board("8 ft", "12 ft", cover=3.125, overall=3.375, thickness=0.625), run)


def deck(length: float, width: float, flip: bool) -> Request:
    """A border past three rims and a breaker, off the middle, all of the boards of the field."""
    at = length / 2 + (-11 if flip else 11)
    strip = {"kind": "trim", "product": "plank", "gap": 0.125}
    border = {"id": "border", "edges": [0, 1, 3], "from_edge": 0} | strip
    breaker = {"id": "breaker", "across": {"direction": 90, "at": [at]}} | strip
    plank = {"id": "plank", "form": "board", "profile": "square_edge", "overall": 5.5,
             "thickness": 1, "stock": [{"length": "8 ft"}, {"length": "12 ft"}]}  # fmt: skip
    field = boards("plank", spacer=0.125, edges="bare", rules={"min_rip": 0.25, "unsawn": 0})
    edges = [{"edge": k, "is": "overhang"} for k in (0, 1, 3)] + [{"edge": 2, "is": "bare"}]
    return job(surface("deck", length, width, [border, breaker, field], edges=edges), plank)


FAMILIES: dict[str, Family] = {"coffers": coffers, "soffit": soffit, "wall": wall, "deck": deck}


def made(family: str, sizes: tuple[float, float], *, flip: bool = False, **more: Any) -> Request:
    """A request of a family; what blocks it is relaxed and told."""
    return FAMILIES[family](*sizes, flip) | {"when_blocked": "relax"} | more


def boarding(answer: Request, table: str) -> list[Request]:
    return [row for row in answer[table] if row["layer"] == "boards"]


@EACH
@ONE
@given(sizes=SIZES)
def test_courses_and_gaps_fill_the_width(family: str, sizes: tuple[float, float]) -> None:
    """From the first edge of a field to its last they follow each other by the joint (23.1)."""
    answer = answered(made(family, sizes))
    joint = 0.125 if family == "deck" else 0
    for region in {row["region"] for row in boarding(answer, "runs")}:
        runs = [row for row in boarding(answer, "runs") if row["region"] == region]
        edges = sorted({tuple(sorted((row["near"], row["far"]))) for row in runs})
        faces = math.fsum(high - low for low, high in edges)
        assert faces + joint * (len(edges) - 1) == pytest.approx(edges[-1][1] - edges[0][0])
    widths = {row["course"]: row["width"] for row in boarding(answer, "courses")}
    assert all(width > 0 for width in widths.values())


@EACH
@ONE
@given(sizes=SIZES)
def test_pieces_cover_what_is_installed_and_lie_nowhere_on_each_other(
    family: str, sizes: tuple[float, float]
) -> None:
    """Piece by piece, as a client draws them: boards on boards, and beside strips set in (23.2)."""
    answer = answered(made(family, sizes))
    strips = {"soffit": "vent", "deck": "border"}.get(family)
    own = [*drawn.pieces(answer, "area", "boards").values()]
    (layer,) = boarding(answer, "layers")
    together = unary_union(own)
    assert together.area == pytest.approx(math.fsum(one.area for one in own), rel=1e-6)
    assert together.area / 144 == pytest.approx(layer["installed"], rel=1e-4)
    length, width = answer["surfaces"][0]["outline"][2]
    room = box(-2, -2, length + 2, width + 2) if family in ("deck", "wall") else box(
        0, 0, length, width)  # fmt: skip
    assert together.difference(room).area < 1e-3
    if strips == "border":
        frame = unary_union([*drawn.pieces(answer, "area", strips).values()])
        assert frame.intersection(together).area < 1e-3


@EACH
@ONE
@given(sizes=SIZES)
def test_sticks_joints_fasteners_and_books_add_up(family: str, sizes: tuple[float, float]) -> None:
    """Each piece in a stick that holds it, joints borne and apart, crossings held (23.3 to 6)."""
    request = made(family, sizes)
    answer = answered(request)
    assert any_kind.faults(request, answer) == []
    apart = {
        table: [row for row in answer[table] if row["product"] != "fir"]
        for table in ("sticks", "pieces")
    }  # skins of beams are ripped to their own widths
    assert verifier.faults(request, answer | apart) == []
    assert skins.faults(request, answer) == []
    for row in answer["order"]:
        packed = row["packages"] * row["per_package"]
        assert row["buy"] >= row["need"]
        assert 0 <= packed - row["buy"] == row["left_over"]
        assert row["left_over"] < row["per_package"]
    for product in {row["product"] for row in answer["sticks"]}:
        ripped = {name for row in answer["sticks"] for names in row["beside"] for name in names}
        placed = sum(row["length"] for row in answer["pieces"]
                     if row["product"] == product and row["id"] not in ripped)  # fmt: skip
        placed += sum(row["length"] for row in answer["backing"] if row["product"] == product)
        sticks = sum(row["length"] for row in answer["sticks"] if row["product"] == product)
        bought = sum(row["buy"] * row["length"] for row in answer["order"]
                     if row["product"] == product)  # fmt: skip
        assert bought >= sticks - 1e-6 >= placed - 1e-5


def touches(answer: Request, piece: BaseGeometry) -> int:
    """Members that a board along x touches by 1/2 in and more, by their overlap in the plane."""
    found = 0
    for row in answer["members"]:
        (x, low), (_, high) = row["line"]
        band = box(x - row["thickness"] / 2, low, x + row["thickness"] / 2, high)
        left, _, right, _ = piece.intersection(band).bounds or (0, 0, 0, 0)
        found += right - left >= 0.5 - 1e-5
    return found


@pytest.mark.parametrize("family", ["coffers", "soffit", "deck"])
@ONE
@given(sizes=SIZES)
def test_every_touch_of_a_bearing_has_its_fasteners(
    family: str, sizes: tuple[float, float]
) -> None:
    """Boards of coffers and soffits 1, first courses 2, last ones over 4 in 2; of decks 2 (23.5).

    A board ripped on its groove side beside a beam has 2 as first ones have. Rips of decks under
    2 in have 1. Members are overlaid with the pieces as drawn; ends that backing bears have
    fasteners beside those. Walls, whose boards run with the members, touch none.
    """
    answer = answered(made(family, sizes))
    shapes_of = drawn.pieces(answer, "area", "boards")
    fields: dict[int | None, list[int]] = {}
    for row in boarding(answer, "courses"):
        fields.setdefault(row["bay"], []).append(row["course"])
    firsts, lasts = ({end(own) for own in fields.values()} for end in (min, max))
    due = crossed = 0
    for row in boarding(answer, "pieces"):
        touched, wide = touches(answer, shapes_of[row["id"]]), abs(row["far"] - row["near"])
        twice = row["course"] in firsts or (row["course"] in lasts and wide > 4)
        twice = wide >= 2 if family == "deck" else twice or row["rip"] in ("groove", "both")
        crossed, due = crossed + touched, due + touched * (2 if twice else 1)
    (layer,) = boarding(answer, "layers")
    assert layer["crossings"] == crossed
    driven = [row for row in boarding(answer, "fasteners") if row["where"] != "nailer"]
    assert due == _sum([row for row in driven if row["counted"] == "boards x framing"])


@pytest.mark.parametrize("kind", ["ceiling", "soffit", "wall", "deck"])
@ONE
@given(sizes=st.tuples(shapes.inches(76, 94), shapes.inches(34, 46)), at=st.integers(20, 44),
       wide=st.integers(3, 30))  # fmt: skip
def test_without_its_opening_a_layer_of_sheets_has_no_fewer_fasteners_on_other_lines(
    kind: str, sizes: tuple[float, float], at: int, wide: int
) -> None:
    """One sheet, so that no joint moves: rows on members that the hole leaves alone stay (23.5)."""
    ply = {"id": "ply", "form": "sheet", "width": 48, "thickness": 0.5,
           "stock": [{"length": "8 ft"}]}  # fmt: skip
    plain = job(surface(kind, *sizes, [{"kind": "sheathing", "product": "ply"}]), ply)
    holed = _holed(plain, [at, 12, wide, 14])
    one, other = answered(plain), answered(holed)
    assert _rows_on(one, "field") >= _rows_on(other, "field")
    members = [row["line"][0][0] for row in one["members"]]
    if not any(at - 2 < member < at + wide + 2 for member in members):
        assert one["fasteners"] == other["fasteners"]


def _rows_on(answer: Request, where: str) -> int:
    return _sum([row for row in answer["fasteners"] if row["where"] == where])


def counts(answer: Request) -> Request:
    """What neither a mirror nor another unit changes, where plans are proven."""
    proven = {row["product"] for row in answer["cut_plans"] if row["optimal"]}
    feet = 12 if answer["units"]["length"] == "in" else 304.8
    return {
        "bought": sorted((row["product"], round(row["buy"] * row["length"] / feet, 2))
                         for row in answer["order"] if row["product"] in proven and row["length"]),
        "courses": len(boarding(answer, "courses")),
        "crossings": {row["layer"]: row["crossings"] for row in answer["layers"]},
        "areas": {row["layer"]: round(row["installed"] / 10.7639 ** (feet == 12), 1)
                  for row in answer["layers"]},
        "corners": [(row["inside_corners"], row["outside_corners"])
                    for row in answer["trim_totals"]],
        "backing": Counter(row["what"] for row in answer["backing"]),
    }  # fmt: skip


@EACH
@ONE
@given(sizes=SIZES)
def test_mirrored_or_in_millimetres_it_is_the_same(family: str, sizes: tuple[float, float]) -> None:
    """Counts where plans are proven, areas always (23.7)."""
    request = made(family, sizes, rules={"cut_to": 0.0625})
    own = counts(answered(request))
    assert counts(answered(made(family, sizes, flip=True, rules={"cut_to": 0.0625}))) == own
    assert counts(answered(transforms.in_millimetres(request))) == own


@EACH
@ONE
@given(sizes=SIZES)
def test_two_together_are_laid_as_alone_and_cost_no_more(
    family: str, sizes: tuple[float, float]
) -> None:
    """Layouts and needs add up; stock is no more than for each alone (23.7)."""
    request = made(family, sizes)
    one = answered(request)
    twice = copy.deepcopy(request)
    twice["surfaces"].append(copy.deepcopy(twice["surfaces"][0]) | {"id": "other"})
    both = answered(twice)
    assert len(both["courses"]) == 2 * len(one["courses"])
    assert len(both["trim_lengths"]) == 2 * len(one["trim_lengths"])
    for table in ("fasteners", "backing"):
        assert _sum(both[table]) == 2 * _sum(one[table])
    for own, row in zip(one["cut_plans"], both["cut_plans"], strict=True):
        assert not row["optimal"] or row["cost"] <= 2 * own["cost"] + 1e-6


def _sum(rows: list[Request]) -> int:
    return sum(row.get("count", 1) for row in rows)


@EACH
@ONE
@given(sizes=SIZES)
def test_harder_terms_cost_no_less_and_a_further_length_no_more(
    family: str, sizes: tuple[float, float]
) -> None:
    """The cost with its joints, where both are proven; elsewhere within the gap (23.8).

    `joint_cost` and `most_joints` are sent, so that they hold; no plan under harder terms costs
    less than what is shown to be the least under easier ones. A plan that lowered a rule is none.
    """
    held = {"joint_cost": 24, "most_joints": 6}
    request = made(family, sizes, rules=held)
    one = answered(request)
    harder = [answered(changed(request, "/rules", held | own)) for own in HARDER]
    further = copy.deepcopy(request)
    for product in further["products"]:
        product["stock"].append({"length": "10 ft"})
    for dear, cheap in (*((hard, one) for hard in harder), (one, answered(further))):
        if dear["relaxed"] or cheap["relaxed"]:
            continue
        for high, low in zip(dear["cut_plans"], cheap["cut_plans"], strict=True):
            assert high["product"] == low["product"]
            assert high["cost"] >= low["bound"] - 1e-6, high["product"]
            if high["optimal"] and low["optimal"]:
                assert high["cost"] >= low["cost"] - 1e-6, high["product"]
    culled = answered(changed(request, "/rules", held | {"cull": 12}))
    assert all(more["buy"] >= row["buy"] for more, row in _in_order(culled, one))


HARDER: list[Request] = [{"kerf": 0.375}, {"end_trim": 1.5}, {"min_piece": 40}]


def _in_order(one: Request, other: Request) -> list[tuple[Request, Request]]:
    """Rows of both orders by product and length."""
    found = {(row["product"], row["length"]): row for row in one["order"]}
    return [(found[row["product"], row["length"]], row) for row in other["order"]]


@EACH
@ONE
@given(sizes=SIZES)
def test_an_opening_of_no_size_or_over_all_is_refused_and_their_order_is_nothing(
    family: str, sizes: tuple[float, float]
) -> None:
    """And one in the gap at a wall, or under a beam, changes nothing in the boards (23.9)."""
    request = made(family, sizes)
    length, width = request["surfaces"][0]["rectangle"]
    for ring in ([20, 20, 0, 4], [0, 0, length, width]):
        refused(_holed(request, ring))
    holes = [20, 12, 3, 3], [27, 14, 3, 3]
    ways = [answered(_holed(request, *order)) for order in (holes, holes[::-1])]
    for table in ("courses", "order", "fasteners", "cut_plans"):
        assert ways[0][table] == ways[1][table]
    hidden: list[list[float]] = [[40, width - 0.0625, 3, 0.0625]]
    if family == "coffers":
        hidden.append([length / 2 - 1, width / 4, 2, 3])
    plain = answered(request)
    for ring in hidden:
        holed = answered(_holed(request, ring))
        for table in ("courses", "runs", "pieces", "joints"):
            assert boarding(plain, table) == boarding(holed, table)
        assert not any(row["courses"] for row in boarding(holed, "openings"))
        told = {row["code"] for row in holed["findings"]}
        assert ("opening-under-beam" in told) == (ring != hidden[0])


def _holed(request: Request, *rings: list[float]) -> Request:
    named = [{"id": f"at-{ring[0]:.0f}", "rectangle": ring, "cut_gap": 0} for ring in rings]
    return changed(request, "/surfaces/0/openings", named)


@EACH
@ONE
@given(sizes=SIZES)
def test_the_same_request_gives_the_same_bytes_and_no_change(
    family: str, sizes: tuple[float, float]
) -> None:
    """Twice the same, and nothing to do where nothing changes (23.10, 23.11)."""
    request = made(family, sizes)
    assert outcome.__wrapped__(body_of(request)) == asked(request)
    change = answered({"before": request, "after": request}, "changes")
    assert {row["do"] for row in change["pieces"]} <= {"keep"}
    assert not any(row["more"] or row["fewer"] for row in change["order"])


def as_corners(request: Request) -> Request:
    """Coffers by the corners of the room, their sizes as bare numbers."""
    whole = transforms.reshaped(request, lambda area: area)
    whole["surfaces"][0]["layers"][0] |= {"width": 5, "drop": 4}
    return whole


@ONE
@given(sizes=SIZES)
def test_a_moulding_runs_along_every_side_of_each_bay(sizes: tuple[float, float]) -> None:
    """Sides of the bays as a topology library finds them between the beams (16.2, 17.5)."""
    request = as_corners(made("coffers", sizes))
    answer = answered(request)
    grid = box_beams.grid_of(request)
    bays = box_beams.parts_of(grid.clear())
    rings = [bay.normalize().exterior.coords for bay in bays]
    sides = [math.dist(a, b) / TICKS["in"] for ring in rings for a, b in pairwise(ring)]
    told = [row["length"] for row in answer["trim_lengths"]]
    assert sorted(told) == pytest.approx(sorted(sides), abs=1e-3)
    assert answer["trim_totals"][0]["inside_corners"] == 4 * len(bays)
