"""Every edge of an outline can say what it is: its gap, what covers it, how ends lie there (24).

The gap of an edge is measured square to it. Two lines, moved in, meet at a corner; where one wall
only bends (under 15 degrees, 17.6) the gap changes where the edge does.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from service.geometry.edges import Edge, Margins, sides_of
from service.geometry.offsets import passed_over, shrunk
from service.geometry.rings import Polygon, Region, Ring, clean, twice_signed
from service.units.ticks import INCH
from tests.independent import insets, tiling, verifier
from tests.independent.asked import laid, placed_polygon, rows
from tests.independent.measure import slack, ticks
from tests.strategies import edges, requests, shapes, transforms
from tests.strategies.asking import answered, refused
from tests.strategies.budget import FEW, LAW, examples

Request = dict[str, Any]

WIDTHS = st.sampled_from([0, INCH // 16, INCH // 8, INCH // 4, INCH // 2, 3 * INCH // 4, INCH])
TABLES = ("courses", "runs", "pieces", "joints", "sticks", "order", "ledger", "fasteners")


def ring_of(points: shapes.Points) -> Ring:
    return clean((round(x * INCH), round(y * INCH)) for x, y in points)


def shape_of(region: Region) -> shapely.Geometry:
    return shapely.union_all([shapely.Polygon(p.outer, p.holes) for p in region])


def widths_for(data: st.DataObject, ring: Ring) -> list[int]:
    return data.draw(st.lists(WIDTHS, min_size=len(ring), max_size=len(ring)))


# --- the inset ----------------------------------------------------------------------------------


def half_planes(ring: Ring, widths: list[int]) -> shapely.Geometry:
    """A convex ring less the half-plane within its width of each edge's line."""
    left, far = shapely.Polygon(ring), 100_000 * INCH
    for k, (ax, ay) in enumerate(ring):
        bx, by = ring[(k + 1) % len(ring)]
        size = math.hypot(bx - ax, by - ay)
        dx, dy = (bx - ax) / size, (by - ay) / size
        x, y = ax - dy * widths[k], ay + dx * widths[k]
        line = [(x - dx * far, y - dy * far), (x + dx * far, y + dy * far)]
        beyond = [(a - dy * far, b + dx * far) for a, b in line[::-1]]
        left = left.intersection(shapely.Polygon([*line, *beyond]))
    return left


@examples(60)
@given(points=st.one_of(shapes.rectangles(), shapes.slanted(), shapes.triangles()),
       data=st.data())  # fmt: skip
def test_of_a_convex_outline_each_edge_takes_its_half_plane(
    points: shapes.Points, data: st.DataObject
) -> None:
    ring = ring_of(points)
    widths = widths_for(data, ring)
    assume(shapely.Polygon(ring).convex_hull.area == shapely.Polygon(ring).area)
    assume(passed_over(ring, widths) is None)
    assume(all(abs(turn) >= 15 for turn in turns(ring)))
    found, true = shape_of(shrunk(ring, widths)), half_planes(ring, widths)
    assert found.symmetric_difference(true).area <= 4 * shapely.Polygon(ring).length


def turns(ring: Ring) -> list[float]:
    """Degrees by which a ring turns at each corner."""
    trios = zip(ring[-1:] + ring[:-1], ring, ring[1:] + ring[:1], strict=True)
    return [
        math.degrees(
            math.remainder(
                math.atan2(c[1] - b[1], c[0] - b[0]) - math.atan2(b[1] - a[1], b[0] - a[0]),
                math.tau,
            )
        )
        for a, b, c in trios
    ]


@examples(60)
@given(points=st.one_of(edges.rings(), shapes.irregular()), data=st.data())
def test_nothing_lies_in_the_gap_of_an_edge(points: shapes.Points, data: st.DataObject) -> None:
    """Of what is left no point whose foot falls on an edge lies nearer to it than its gap."""
    ring = ring_of(points)
    widths = widths_for(data, ring)
    left, give = shape_of(shrunk(ring, widths)), 8
    for k, (ax, ay) in enumerate(ring):
        bx, by = ring[(k + 1) % len(ring)]
        size = math.hypot(bx - ax, by - ay)
        nx, ny = -(by - ay) / size, (bx - ax) / size
        deep = widths[k] - give
        if deep > 0 and size > 2 * give:
            strip = [(ax, ay), (bx, by), (bx + nx * deep, by + ny * deep),
                     (ax + nx * deep, ay + ny * deep)]  # fmt: skip
            assert left.intersection(shapely.Polygon(strip)).area <= give * (size + deep), k


@examples(60)
@given(points=edges.rings(), data=st.data())
def test_lines_meet_as_they_do_when_reckoned_corner_by_corner(
    points: shapes.Points, data: st.DataObject
) -> None:
    ring = ring_of(points)
    widths = widths_for(data, ring)
    true = insets.inset(ring, widths)
    assume(true is not None and passed_over(ring, widths) is None)
    assert true is not None
    found = shape_of(shrunk(ring, widths))
    assert found.symmetric_difference(true.shape).area <= 8 * shapely.Polygon(ring).length


@examples(40)
@given(points=st.one_of(edges.rings(), shapes.irregular()), data=st.data())
def test_a_smaller_gap_never_leaves_less(points: shapes.Points, data: st.DataObject) -> None:
    ring = ring_of(points)
    wide = widths_for(data, ring)
    narrow = [min(pair) for pair in zip(wide, widths_for(data, ring), strict=True)]
    less, more = shape_of(shrunk(ring, wide)), shape_of(shrunk(ring, narrow))
    assert less.difference(more).area <= 8 * shapely.Polygon(ring).length


@LAW
@given(points=edges.rings(), width=WIDTHS)
def test_one_width_at_every_edge_is_that_width(points: shapes.Points, width: int) -> None:
    """To the tick, whether it is said of all together, of each, or of a straight edge in parts."""
    ring = ring_of(points)
    assert shrunk(ring, [width] * len(ring)) == shrunk(ring, width)
    told = [Edge(k, a, b, None, width, "") for k, (a, b) in enumerate(
        zip(ring, ring[1:] + ring[:1], strict=True))]  # fmt: skip
    parts = (Polygon(ring),)
    same = Margins(INCH, tuple((one, width) for one in told)).inset(parts)
    assert same == Margins(width).inset(parts)


@examples(60)
@given(points=st.one_of(edges.rings(), shapes.irregular()), data=st.data())
def test_a_corner_that_snapping_left_on_an_edge_has_a_step(
    points: shapes.Points, data: st.DataObject
) -> None:
    """In the middle of an edge, a tick off its line to either side: whatever the two gaps are."""
    ring = ring_of(points)
    number = data.draw(st.integers(0, len(ring) - 1))
    (ax, ay), (bx, by) = ring[number], ring[(number + 1) % len(ring)]
    off = data.draw(st.sampled_from([(0, 0), (1, 0), (0, 1), (-1, 0), (0, -1)]))
    middle = (ax + bx) // 2 + off[0], (ay + by) // 2 + off[1]
    longer = (*ring[: number + 1], middle, *ring[number + 1 :])
    widths = widths_for(data, longer)
    assert passed_over(longer, widths) is None or passed_over(longer, widths) != number
    left = shape_of(shrunk(longer, widths))
    both = widths[number], widths[number + 1]
    for by_width, held in ((max(both), True), (min(both), False)):
        other = [*widths[:number], by_width, *widths[number + 2 :]]
        found = shape_of(shrunk(ring, other))
        less, more = (found, left) if held else (left, found)
        assert less.difference(more).area <= 16 * shapely.Polygon(ring).length


def test_a_bend_has_a_step_and_a_corner_has_none() -> None:
    """100 in straight on, half bare: the gap steps from 1/2 to 1/8 in where the edge does."""
    at = [(0, 0), (50, 0), (100, 0), (100, 40), (0, 40)]
    ring: Ring = tuple((x * INCH, y * INCH) for x, y in at)
    half, eighth = INCH // 2, INCH // 8
    (found,) = shrunk(ring, [half, eighth, half, half, half])
    assert [(x / INCH, y / INCH) for x, y in found.outer] == [
        (50, 0.125), (99.5, 0.125), (99.5, 39.5), (0.5, 39.5), (0.5, 0.5), (50, 0.5),
    ]  # fmt: skip


def test_at_an_inner_corner_each_line_keeps_its_own_gap() -> None:
    """An L whose two inner walls are 1/2 and 1/8 in off: the corner lies by both."""
    at = [(0, 0), (200, 0), (200, 50), (100, 50), (100, 150), (0, 150)]
    ring: Ring = tuple((x * INCH, y * INCH) for x, y in at)
    (found,) = shrunk(ring, [0, 0, INCH // 2, INCH // 8, 0, 0])
    assert (int(99.875 * INCH), int(49.5 * INCH)) in found.outer


def test_a_short_edge_that_a_gap_passes_over_is_named() -> None:
    """A chamfer of 0.57 in beside a gap of 1 in: at 45 degrees that line needs 1.41 in of it."""
    at = [(0, 0), (99.6, 0), (100, 0.4), (100, 40), (0, 40)]
    ring: Ring = tuple((round(x * INCH), round(y * INCH)) for x, y in at)
    assert passed_over(ring, [INCH, 0, 0, 0, 0]) == 1
    assert passed_over(ring, [0, 0, 0, 0, 0]) is None
    assert passed_over(ring, [0, INCH, 0, 0, 0]) is None


@LAW
@given(points=edges.rings(), data=st.data())
def test_an_edge_is_known_again_where_it_lies(points: shapes.Points, data: st.DataObject) -> None:
    """Sides follow one another round; what is said of a part of an edge is said of that part."""
    ring = ring_of(points)
    number = data.draw(st.integers(0, len(ring) - 1))
    (ax, ay), (bx, by) = ring[number], ring[(number + 1) % len(ring)]
    middle = (ax + bx) // 2, (ay + by) // 2
    told = Edge(7, middle, (bx, by), "bare", None, "")
    sides = sides_of(ring, [told])
    assert all(
        one.end == other.start for one, other in zip(sides, sides[1:] + sides[:1], strict=True)
    )
    (own,) = (side for side in sides if side.edge)
    assert (own.start, own.end) == (middle, (bx, by))
    assert len(sides) == len(ring) + 1
    again = twice_signed(tuple(side.start for side in sides))
    assert abs(again - twice_signed(ring)) <= 4 * math.hypot(bx - ax, by - ay)


# --- whole answers ------------------------------------------------------------------------------


def check(request: Request) -> Request:
    """The answer of a request whose edges the verifiers can follow, held against them."""
    answer = answered(request)
    assert verifier.faults(request, answer) == []
    assert tiling.faults(request, answer) == []
    return answer


@examples(30)
@given(request=edges.walled())
def test_boards_keep_the_gap_of_each_edge(request: Request) -> None:
    """They tile what the gaps leave; each raw end is trimmed by the wall at which it lies (8.1)."""
    check(request)


@FEW
@given(request=edges.walled((0, 90, 45)), what=st.sampled_from(edges.WHAT[:2]))
def test_said_of_every_edge_it_is_said_of_the_layer(request: Request, what: str) -> None:
    """`covered` or `bare` at each is `edges` of the layer; one gap at each is the rule `gap`."""
    area = request["surfaces"][0]
    count = len(area["outline"])
    own = requests.changed(request, "/surfaces/0/edges", [
        {"edge": k, "is": what} for k in range(count)])  # fmt: skip
    plain = requests.changed(own, "/surfaces/0/edges", [])
    plain = requests.changed(plain, "/surfaces/0/layers/0/edges", what)
    one, other = answered(own), answered(plain)
    for table in TABLES:
        assert one[table] == other[table], table
    gaps = requests.changed(own, "/surfaces/0/edges", [
        {"edge": k, "is": what, "gap": 0.3125} for k in range(count)])  # fmt: skip
    plain = requests.changed(plain, "/surfaces/0/layers/0/rules", {"gap": 0.3125})
    one, other = answered(gaps), answered(plain)
    for table in TABLES:
        assert one[table] == other[table], table


@FEW
@given(request=edges.walled((0, 90)), step=st.integers(0, 9), backwards=st.booleans(),
       twice=st.booleans())  # fmt: skip
def test_edges_go_with_their_corners(
    request: Request, step: int, backwards: bool, twice: bool
) -> None:
    """Corners from another start, the other way round, one of them twice, in any order of edges."""
    other = transforms.started_elsewhere(request, step, backwards, twice)
    other["surfaces"][0]["edges"].reverse()
    one, again = answered(request), answered(other)
    for table in TABLES:
        assert one[table] == again[table], table


@FEW
@given(request=edges.walled((0, 90), shapes.level_outlines()))
def test_an_edge_may_be_said_in_parts(request: Request) -> None:
    """A corner in the middle of an edge, and both parts said to be what it was."""
    one, other = answered(request), answered(transforms.with_corner_on_edge(request))
    for table in TABLES:
        assert one[table] == other[table], table


def positions(surface: Request) -> list[float]:
    (layer,) = laid(requests.job(surface), {"findings": []})
    return [at / INCH for at in layer.positions]


@FEW
@given(request=edges.walled((0,)))
def test_a_plan_is_the_mirror_with_its_edges(request: Request) -> None:
    plan = transforms.mirrored_in_plan(request, positions)
    one, other = answered(request), answered(plan)
    for table in ("courses", "runs", "pieces", "sticks", "order", "ledger"):
        assert one[table] == other[table], table


@FEW
@given(request=edges.walled((0, 90)))
def test_millimetres_and_inches_agree(request: Request) -> None:
    request["rules"] = {"cut_to": 0.0625}
    one, other = answered(request), answered(transforms.in_millimetres(request))
    for table in ("pieces", "sticks"):
        assert [row["ticks"] for row in one[table]] == [row["ticks"] for row in other[table]]


@FEW
@given(request=edges.walled((0,), shapes.level_outlines()))
def test_a_quarter_turn_turns_the_edges_too(request: Request) -> None:
    one, other = answered(request), answered(transforms.turned(request))
    for key in ("course", "width", "rip"):
        assert [row[key] for row in one["courses"]] == [row[key] for row in other["courses"]]
    ends = ("course", "from", "to", "bearings")
    assert sorted([row[key] for key in ends] for row in one["runs"]) == sorted(
        [row[key] for key in ends] for row in other["runs"]
    )


@FEW
@given(request=edges.walled((0, 45)), number=st.integers(0, 3))
def test_a_smaller_gap_never_covers_less(request: Request, number: int) -> None:
    area = request["surfaces"][0]
    area["edges"] = [row for row in area["edges"] if row["edge"] != number]
    request["surfaces"][0]["layers"][0]["rules"] = {"min_run": 0, "gap": 0.25}
    found = []
    for gap in (1, 0.5, 0.125, 0):
        wish = {"edge": number, "gap": gap}
        own = requests.changed(request, "/surfaces/0/edges", [*area["edges"], wish])
        found.append(answered(own)["surfaces"][0]["installed"])
    assert found == sorted(found)


# --- mitres -------------------------------------------------------------------------------------


@LAW
@given(request=edges.mitred())
def test_two_surfaces_mitred_on_an_edge_leave_one_gap_between_them(request: Request) -> None:
    """Half of it on each side, all along the shared line (point to point of the plan)."""
    answer = answered(request)
    gap = ticks(request["surfaces"][0]["edges"][0].get("gap", 0.5), "in")
    covered = []
    for layer in laid(request, answer):
        for row in rows(answer, "pieces", layer):
            shape = placed_polygon(row, "in")
            covered.append(shapely.Polygon([layer.frame.back(at) for at in shape.exterior.coords]))
    (x, y) = (part * INCH for part in request["surfaces"][0]["outline"][1])
    size = math.hypot(x, y)
    across = (-y / size * INCH * 2, x / size * INCH * 2)
    a, b = (x / 4, y / 4), (3 * x / 4, 3 * y / 4)
    band = shapely.Polygon([
        (a[0] - across[0], a[1] - across[1]), (b[0] - across[0], b[1] - across[1]),
        (b[0] + across[0], b[1] + across[1]), (a[0] + across[0], a[1] + across[1]),
    ])  # fmt: skip
    bare = band.difference(shapely.union_all([one.buffer(slack("in")) for one in covered])).area
    give = size * 16 * slack("in") + 2 * gap * slack("in")
    assert abs(bare - size / 2 * gap) <= give


def test_boards_of_two_surfaces_meet_on_their_mitre() -> None:
    """45 degrees, 1/2 in between them: each end lies 1/4 in off, 0.353553 in along the board."""
    front = requests.outline([[0, 0], [240, 0], [144, 96], [0, 96]])
    apart = answered(requests.job(front))["pieces"]
    told = front | {"edges": [{"edge": 1, "is": "mitre"}]}
    together = answered(requests.job(told))["pieces"]
    last = max(row["to"] for row in together) - max(row["to"] for row in apart)
    # Its gap squared off at 45 degrees: 1/4 in x sqrt(2) nearer to the line along the board.
    assert last == pytest.approx(0.25 * math.sqrt(2), abs=1e-5)


def test_the_ends_on_a_covered_mitre_keep_their_raw_ends() -> None:
    """Long points of 191-5/8 in and more need trimming at a bare mitre only (8.1)."""
    area = requests.outline([[0, 0], [192.25, 0], [187.25, 5], [0, 5]])
    mitre = area | {"edges": [{"edge": 1, "is": "mitre", "gap": 0.25}]}
    bare = area | {"edges": [{"edge": 1, "is": "bare", "gap": 0.125}]}
    for one, trimmed in ((mitre, 0), (bare, 0.25)):
        answer = answered(requests.job(one, requests.board("16 ft", "18 ft")))
        (stick,) = answer["sticks"]
        assert stick["end_trim"] == trimmed, stick


# --- each by itself -----------------------------------------------------------------------------


def between(*rows_of_edges: Request, **more: Any) -> Request:
    """A room 190 in long whose edges say something: 1 is its right end, 3 its left, 2 its top."""
    return requests.job(requests.room(190, 42, edges=list(rows_of_edges)) | more)


def spans(answer: Request) -> set[tuple[float, float]]:
    return {(row["from"], row["to"]) for row in answer["runs"]}


@pytest.mark.parametrize(
    ("row", "end"),
    [({"is": "covered"}, 189.5), ({"is": "bare"}, 189.875), ({"is": "tight"}, 190),
     ({"is": "mitre"}, 189.75), ({"gap": "1/4 in"}, 189.75), ({"is": "bare", "gap": 0.25}, 189.75),
     ({"is": "mitre", "gap": 0.125}, 189.9375), ({"is": "tight", "gap": "1/16 in"}, 189.9375)],
)  # fmt: skip
def test_what_an_edge_is_says_where_boards_end(row: Request, end: float) -> None:
    assert spans(answered(between({"edge": 1} | row))) == {(0.5, end)}


def test_the_rule_gap_holds_where_an_edge_has_none_of_its_own() -> None:
    request = between({"edge": 1, "is": "bare"}, {"edge": 3, "is": "mitre"}, rules={"gap": 0.25})
    assert spans(answered(request)) == {(0.125, 189.75)}


def test_an_edge_in_view_is_no_stop_for_the_others() -> None:
    """A mitre of a bare layer has half of 1/8 in."""
    request = between({"edge": 3, "is": "covered"}, {"edge": 1, "is": "mitre"})
    request["surfaces"][0]["layers"][0]["edges"] = "bare"
    assert spans(answered(request)) == {(0.5, 189.9375)}


def test_cut_lengths_go_up_where_one_end_takes_more() -> None:
    """189.0312 in between two bare ends is cut 189 in; scribed or covered at one 189-1/16."""

    def length(right: str) -> float:
        room = requests.room(189.28125, 42, edges=[{"edge": 1, "is": right, "gap": 0.125},
                                                   {"edge": 3, "is": "bare"}])  # fmt: skip
        (found,) = {row["length"] for row in answered(requests.job(room))["pieces"]}
        return float(found)

    assert length("bare") == 189
    assert length("tight") == length("covered") == 189.0625


def test_a_first_course_loses_its_groove_where_its_own_edge_is_in_view() -> None:
    """Whole first course at a bare low edge: 5.125 less a groove of 1/4 in (3.10)."""
    layer = {"start": "full_first"}
    for number, width in ((0, 4.875), (2, 5.125)):
        room = requests.room(190, 40, layer=layer, edges=[{"edge": number, "is": "bare"}])
        assert answered(requests.job(room))["courses"][0]["width"] == width


def test_the_last_course_slides_on_in_the_gap_of_its_own_edge() -> None:
    """Tight at the top it drops in; the gap at the bottom is no help (3.11)."""
    for number, told in ((2, True), (0, False)):
        room = requests.room(190, 42, edges=[{"edge": number, "is": "tight"}])
        found = {row["code"] for row in answered(requests.job(room))["findings"]}
        assert ("last-course-drop-in" in found) == told


def test_sheets_have_half_their_gap_at_a_mitre() -> None:
    """96 in less 1/8 in at the wall and 1/16 in at the mitre; an edge's own gap is for boards."""
    sheet = {"id": "ply", "form": "sheet", "width": 48, "thickness": 0.5, "stock": [{"length": 96}]}
    layer = {"id": "ply", "kind": "sheathing", "product": "ply"}
    room = requests.room(96, 42, edges=[{"edge": 1, "is": "mitre"}, {"edge": 3, "gap": 2}])
    room["layers"] = [layer]
    (row,) = answered(requests.job(room, sheet))["pieces"]
    assert (row["from"], row["to"]) == (0.125, 95.9375)


def test_wrap_is_turned_down_at_every_edge() -> None:
    roll = {"id": "roll", "form": "roll", "width": 54, "stock": [{"length": "100 ft"}]}
    room = requests.room(96, 42) | {"layers": [{"kind": "wrap", "product": "roll"}]}
    told = room | {"edges": [{"edge": 1, "is": "mitre"}, {"edge": 3, "gap": 2}]}
    one, other = (answered(requests.job(area, roll)) for area in (room, told))
    assert one["pieces"] == other["pieces"]


def test_a_nailer_is_asked_for_by_the_gap_of_its_own_wall() -> None:
    """A member 2 in from a wall is 1-1/2 in off boards with a gap of 1/2 in, 2 in off tight."""
    behind = {"direction": 90, "at": [0.75, 16, 32, 47.25], "thickness": 1.5}

    def nailers(gap: float) -> int:
        room = requests.room(50, 42, behind=behind, edges=[{"edge": 1, "gap": gap}],
                             rules={"backing": "count"})  # fmt: skip
        return sum(row["for"] == "wall" for row in answered(requests.job(room))["backing"])

    assert (nailers(0.5), nailers(0)) == (0, 1)


def test_what_was_used_at_an_edge_is_in_the_basis() -> None:
    request = between({"edge": 1, "is": "mitre"}, {"edge": 3, "gap": 0.25})
    basis = {row["key"]: (row["value"], row["from"]) for row in answered(request)["basis"]
             if row["at"] == "loft.boards"}  # fmt: skip
    assert basis["edges.1.gap"] == (0.25, "default")
    assert basis["edges.3.gap"] == (0.25, "surface")


# --- refusals -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rows_of_edges", "code", "pointer"),
    [([{"edge": 4, "is": "bare"}], "no-such-edge", "/surfaces/0/edges/0/edge"),
     ([{"edge": 1, "is": "bare"}, {"edge": 1, "gap": 1}], "edge-twice", "/surfaces/0/edges/1/edge"),
     ([{"edge": 2}], "edge", "/surfaces/0/edges/0"),
     ([{"edge": 0, "gap": 60}, {"edge": 2, "is": "tight"}], "nothing-left",
      "/surfaces/0/edges/0/gap")],
)  # fmt: skip
def test_what_cannot_be_is_refused_at_its_place(
    rows_of_edges: list[Request], code: str, pointer: str
) -> None:
    _, faults = refused(between(*rows_of_edges))
    assert [(row["code"], row["pointer"]) for row in faults] == [(code, pointer)]


def test_an_edge_without_length_is_no_edge() -> None:
    area = requests.outline([[0, 0], [0, 0], [190, 0], [190, 42], [0, 42]])
    _, faults = refused(requests.job(area | {"edges": [{"edge": 0, "is": "bare"}]}))
    assert [row["code"] for row in faults] == ["no-such-edge"]


def test_a_gap_that_passes_over_a_short_edge_is_refused() -> None:
    area = requests.outline([[0, 0], [99.6, 0], [100, 0.4], [100, 40], [0, 40]])
    told = [{"edge": 0, "gap": 1}, {"edge": 1, "is": "tight"}]
    _, faults = refused(requests.job(area | {"edges": told}))
    assert [row["code"] for row in faults] == ["gap-passes-edge"]
