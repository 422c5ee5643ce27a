"""What a layer takes away is not there for those laid on it: they lie in the bays that are left.

Beams are a kind that exists only in the tests; bays are reckoned from the places of the beams.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from tests.independent import any_kind, parts
from tests.independent.asked import placed_polygon
from tests.independent.measure import INCH, ticks
from tests.independent.plane import seen
from tests.strategies import transforms
from tests.strategies.asking import answered, refused
from tests.strategies.bays import between_beams
from tests.strategies.budget import FEW, LAW
from tests.strategies.build_ups import TAPE
from tests.strategies.kinds import with_kinds_for_tests
from tests.strategies.requests import board, job, room

Request = dict[str, Any]

GAPS = {"sheathing": INCH // 8, "boarding": INCH // 2}
"""At walls (11.2, 24)."""

GIVE = 8
"""Ticks that snapping may move an edge."""


@pytest.fixture(scope="module", autouse=True)
def beams() -> Iterator[None]:
    with with_kinds_for_tests():
        yield


def placed(answer: Request, layer: Request) -> list[Polygon]:
    """The pieces of a layer in the plane of its surface, ticks: turned back by the layer's row."""
    origin = [ticks(at, "in") for at in layer["origin"]]
    along, across = layer["along"], layer["across"]

    def back(u: float, v: float) -> tuple[float, float]:
        return (origin[0] + u * along[0] + v * across[0], origin[1] + u * along[1] + v * across[1])

    shapes = [placed_polygon(row, "in") for row in answer["pieces"] if row["layer"] == layer["id"]]
    return [
        Polygon([back(*at) for at in one.exterior.coords],
                [[back(*at) for at in ring.coords] for ring in one.interiors])
        for one in shapes
    ]  # fmt: skip


def by_layer(answer: Request) -> dict[str, list[Polygon]]:
    return {row["layer"]: placed(answer, row | {"id": row["layer"]}) for row in answer["layers"]}


def taken(answer: Request, shapes: dict[str, list[Polygon]]) -> dict[str, BaseGeometry]:
    """What was taken away of the surface when each layer was laid: all beams before it."""
    found, before = {}, Polygon()
    for row in answer["layers"]:
        found[row["layer"]] = before
        if row["kind"] == "beams":
            before = unary_union([before, *shapes[row["layer"]]])
    return found


@LAW
@given(request=between_beams())
def test_what_is_laid_over_beams_adds_up_and_lies_in_their_bays(request: Request) -> None:
    """Ledgers close, and each piece names the bay that it lies in; bays have their own areas."""
    found = answered(request)
    shapes = by_layer(found)
    assert any_kind.faults(request, found) == []
    gone = {("loft", name): shape for name, shape in taken(found, shapes).items()}
    assert parts.faults(request, found, gone) == []


@LAW
@given(request=between_beams())
def test_boards_and_sheets_keep_their_gap_at_beams_and_leave_nothing_bare(request: Request) -> None:
    """Pieces lie within the bays less the gap at each wall and beam, and cover them."""
    found = answered(request)
    shapes = by_layer(found)
    (area,) = request["surfaces"]
    for row in (row for row in found["layers"] if row["kind"] in GAPS):
        whole = room_in(area, taken(found, shapes)[row["layer"]], GAPS[row["kind"]])
        pieces = shapes[row["layer"]]
        laid = unary_union(pieces)
        assert sum(one.area for one in pieces) - laid.area <= GIVE * whole.length
        # A whole course takes up to 1/64 in of the gap (3.1); a rip under 1/8 in is not sawn (3.9).
        assert laid.difference(whole.buffer(INCH // 8 + GIVE, join_style="mitre")).is_empty
        bare = whole.difference(laid.buffer(INCH // 8 + GIVE, join_style="mitre"))
        # A run under 3 in is left to the trim (4.4).
        assert all(min(extent(one)) < 3 * INCH for one in getattr(bare, "geoms", [bare]))


def room_in(area: Request, gone: BaseGeometry, gap: int) -> BaseGeometry:
    """What a layer has of a surface: a gap at walls and beams, and none at openings as cut."""
    bays = parts.parts_of(area | {"openings": []}, "in", gone)
    inner = [bay.buffer(-gap, join_style="mitre") for bay in bays]
    return unary_union(inner).difference(unary_union(seen(area, "in").cut))


def extent(shape: BaseGeometry) -> tuple[float, float]:
    if shape.is_empty:
        return 0, 0
    low, near, high, far = shape.bounds
    return high - low, far - near


@FEW
@given(request=between_beams(short=False))
def test_wrap_covers_each_bay_and_each_width_its_own(request: Request) -> None:
    """Turned down at beams as at walls, 2 in, and no further (13.1)."""
    (area,) = request["surfaces"]
    layers = [one for one in area["layers"] if one["kind"] != "sheathing"]
    wrap = {"kind": "wrap", "id": "film", "product": "roll", "tape": "tape"}
    first = next(k for k, one in enumerate(layers) if one["kind"] != "beams")
    area = {key: value for key, value in area.items() if key != "openings"}
    area["layers"] = [*layers[:first], wrap, layers[-1]]
    found = answered(request | {"surfaces": [area]})
    shapes = by_layer(found)
    gone = taken(found, shapes)["film"]
    bays = parts.parts_of(area, "in", gone)
    assert all(bay.difference(unary_union(shapes["film"])).area <= GIVE * bay.length
               for bay in bays)  # fmt: skip
    if len(area["outline"]) > 4:
        return
    for piece in shapes["film"]:
        own = max(bays, key=lambda bay: piece.intersection(bay).area)
        reach = own.buffer(2 * INCH + GIVE, join_style="mitre")
        assert piece.difference(reach).intersection(unary_union(bays)).area <= GIVE * piece.length


@FEW
@given(request=between_beams())
def test_where_bays_lie_in_the_plane_changes_nothing(request: Request) -> None:
    """Stations run from one origin over all bays, wherever the surface lies in its plane."""
    moved = transforms.translated(request, 37, -210)
    one, other = answered(request), answered(moved)
    for table in ("regions", "courses", "runs", "pieces", "joints", "sticks", "order", "ledger"):
        assert one[table] == other[table], table
    origins = {(row["direction"], *row["origin"]) for row in one["layers"]}
    assert len({place[1:] for place in origins if place[0] == 0}) <= 1


@FEW
@given(request=between_beams(covered=False, short=False))
def test_joints_keep_apart_where_runs_touch_and_none_crosses_a_beam(request: Request) -> None:
    """Each run alone across beams; next courses in one bay keep their stagger (6.5, 6.6)."""
    found = answered(request)
    if any(row["key"] == "stagger" for row in found["relaxed"]):
        return
    runs = {row["id"]: row for row in found["runs"]}
    pieces = {row["id"]: row for row in found["pieces"]}
    joints = [(row["at"], runs[pieces[row["between"][0]]["run"]]) for row in found["joints"]]
    for row in found["joints"]:
        a, b = (pieces[name] for name in row["between"])
        assert (a["run"], a["region"]) == (b["run"], b["region"])
    for at, run in joints:
        for other, beside in joints:
            if run["region"] == beside["region"] and beside["course"] == run["course"] + 1:
                overlap = min(run["to"], beside["to"]) - max(run["from"], beside["from"])
                assert overlap <= 0 or abs(at - other) >= 24 - 1e-6


@FEW
@given(request=between_beams(covered=False, short=False), high=st.booleans())
def test_bays_laid_by_themselves_are_laid_as_rooms_of_their_own(
    request: Request, high: bool
) -> None:
    """Each bay has the courses that a room of its outline has, and each way of laying them (5.10).

    They are numbered on from the side where work starts.
    """
    (area,) = request["surfaces"]
    *beams, boards = area["layers"]
    own = {"backing": {"thickness": 0.5}, "openings": []}
    boards |= {"bays": "per_bay", "joints": "anywhere", "start_side": "high" if high else "low"}
    alone = dict(area | own | {"layers": [boards]})
    found = answered(request | {"surfaces": [area | own | {"layers": [*beams, boards]}]})
    gone = taken(found, by_layer(found))["boards"]
    upright = boards["direction"] == 90
    bays = sorted(
        (key_of(bay, upright, high), [[x / INCH, y / INCH] for x, y in bay.exterior.coords[:-1]])
        for bay in parts.parts_of(area | {"openings": []}, "in", gone)
    )
    rooms = [answered(request | {"surfaces": [alone | {"outline": ring}]}) for _, ring in bays]
    widths = [row["width"] for room in rooms for row in room["courses"]]
    assert [row["width"] for row in found["courses"]] == pytest.approx(widths, abs=1e-4)
    ways = [(row["start"], row["rank"]) for room in rooms for row in room["alternatives"]]
    assert [(row["start"], row["rank"]) for row in found["alternatives"]] == ways
    names = [row["bay"] for row in found["alternatives"]]
    assert names == sorted(names) if len(bays) > 1 else set(names) == {None}


def key_of(bay: Polygon, upright: bool, high: bool) -> tuple[float, float]:
    """By what bays are ordered: from the side where work starts, then along the boards."""
    low, near, beyond, far = (round(at, -2) for at in bay.bounds)
    start, end, along = (low, beyond, near) if upright else (near, far, low)
    return (-end if high else start, along)


TIMBER = {"id": "timber", "form": "lumber", "width": 4, "thickness": 6,
          "stock": [{"length": "12 ft"}]}  # fmt: skip


def one_beam(length: float, at: float, direction: int, **rules: float) -> Request:
    """A beam across a room 72 in wide, and boards that run along it."""
    area = room(length, 72)
    beam = {"kind": "beams", "product": "timber", "direction": direction,
            "rules": {"beam_spacing": at, **rules}}  # fmt: skip
    area["layers"] = [beam, *area["layers"]]
    return job(area, board("8 ft", "12 ft", "16 ft"), TIMBER)


def test_two_bays_are_boarded_as_two_rooms_of_their_size() -> None:
    """A beam of 4 in at 100 in: bays of 100 and 96 in, boards 1/2 in off each wall and beam."""
    found = answered(one_beam(200, 100, 90))
    boards = [row for row in found["runs"] if row["layer"] == "boards"]
    assert {(row["region"], row["from"], row["to"]) for row in boards} == {
        (1, 0.5, 99.5), (2, 104.5, 199.5),
    }  # fmt: skip
    assert [row["area"] for row in found["regions"]] == [100, 50, 48]
    (surface,) = found["surfaces"]
    assert (surface["gross"], surface["net"]) == (100, 100)
    by_product = {row["product"]: row for row in found["products"]}
    assert by_product["pine"]["drawn"] == 98


def test_laps_lie_within_bays() -> None:
    """Rolls of 54 in over two bays of 50 in: one width in the first, a lap of two in the next.

    A beam of 4 in lies along them; with turn-downs of 2 in widths reach to 52 and 100 in (13.2).
    """
    request = one_beam(200, 50, 0)
    (area,) = request["surfaces"]
    film = {"kind": "wrap", "product": "roll", "tape": "tape", "direction": 0}
    area |= {"rectangle": [200, 104], "layers": [area["layers"][0], film]}
    roll = {"id": "roll", "form": "roll", "width": 54, "stock": [{"length": "100 ft"}]}
    found = answered(request | {"products": [*request["products"], roll, TAPE]})
    (laps,) = (row for row in found["consumables"] if row["where"] == "side laps")
    assert laps["length"] == 204
    assert [(row["course"], row["region"]) for row in found["runs"]] == [(1, 1), (2, 2), (3, 2)]


def test_boards_beside_a_beam_are_nailed_as_without_it() -> None:
    """No nail goes through a beam: of what it takes away nothing lies over it (18.11)."""
    nail = {"id": "nail", "form": "fastener", "lengths": [2, 2.5, 3, 8], "shank": "ring"}
    beside = one_beam(200, 100, 90)
    (area,) = beside["surfaces"]
    boards = area["layers"][1] | {"fastening": {"product": "nail"}}
    lengths = [
        {row["length"] for row in answered(beside | {
            "surfaces": [area | {"layers": layers}], "products": [*beside["products"], nail],
        })["fasteners"] if row["layer"] == "boards"}
        for layers in ([area["layers"][0], boards], [boards])
    ]  # fmt: skip
    assert lengths[0] == lengths[1] != {None}


def test_an_opening_under_a_beam_is_none_of_the_boards() -> None:
    """Wholly under it, it changes nothing that is laid; half under it, it notches them (5.1)."""
    plain = one_beam(200, 100, 90)
    (area,) = plain["surfaces"]
    under = {"id": "box", "rectangle": [101, 30, 2, 2]}
    beside = {"id": "box", "rectangle": [101, 30, 9, 12]}
    bare, hidden, half = (
        answered(plain | {"surfaces": [area | {"openings": holes}]})
        for holes in ([], [under], [beside])
    )
    for table in ("courses", "runs", "joints"):
        assert hidden[table] == bare[table], table
    assert [row["id"] for row in hidden["pieces"]] == [row["id"] for row in bare["pieces"]]
    assert [row for row in hidden["openings"] if row["layer"] == "boards"] == []
    (row,) = (row for row in half["openings"] if row["layer"] == "boards")
    xs = {x for ring in row["cut"] for x, _ in ring}
    assert xs == {104, 110.125}
    assert {run["from"] for run in half["runs"] if run["layer"] == "boards"} == {
        0.5, 104.5, 110.125,
    }  # fmt: skip


def test_beams_that_take_all_leave_nothing_to_be_boarded() -> None:
    """A bay of nothing is refused (5.9)."""
    area = room(3, 40)
    beam = {"kind": "beams", "product": "timber", "direction": 0, "rules": {"beam_spacing": 0.25}}
    wide = TIMBER | {"width": 39}
    area["layers"] = [beam, *area["layers"]]
    kind, (fault, *_) = refused(job(area, board("8 ft"), wide))
    assert (kind, fault["code"]) == ("TradeRefused", "nothing-left")
    assert fault["pointer"] == "/surfaces/0/layers/1"
