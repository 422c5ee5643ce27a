"""Trim: lengths by a second way, corners, scarfs on members, plans that no choice of scarfs beats.

An inside corner adds nothing, an outside corner P tan(d/2) (17.1); what one stick gives is one
piece, the rest is scarfed over members in as few pieces as can be (17.4).
"""

from __future__ import annotations

import itertools
import json
import math
from collections import Counter
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.ops import unary_union

from tests.independent import any_kind, drawn, mouldings
from tests.strategies import kinds, shapes, transforms, trim
from tests.strategies.asking import answered, asked, refused
from tests.strategies.bays import between_beams
from tests.strategies.budget import FEW, LAW
from tests.strategies.requests import changed

Request = dict[str, Any]

STEP, KERF, START, LAP = 1 / 16, 1 / 8, 1 / 2, 0.75
"""Defaults: cut lengths, saw cuts, squaring of a stick's start, a scarf of 3/4 in at 45 degrees."""

STOPS = {"inside corner", "wall"}


def outline_of(request: Request) -> list[list[float]]:
    points: list[list[float]] = request["surfaces"][0]["outline"]
    return points


@LAW
@given(request=trim.trimmed())
def test_lengths_and_corners_by_a_second_way(request: Request) -> None:
    """The walls, and how far pieces reach whose fronts meet; every corner counted once."""
    answer = answered(request)
    assert any_kind.faults(request, answer) == []
    ways = sorted(mouldings.cut_lengths(outline_of(request), trim.PROJECTION))
    rows = sorted((row["length"], row["length"] + math.fsum(row["adds"]))
                  for row in answer["trim_lengths"])  # fmt: skip
    for told, found in zip(rows, ways, strict=True):
        assert told == pytest.approx(found, abs=1e-3)
    (total,) = answer["trim_totals"]
    assert (total["inside_corners"], total["outside_corners"]) == mouldings.corners(
        outline_of(request)
    )


@LAW
@given(request=trim.trimmed())
def test_pieces_make_up_their_length(request: Request) -> None:
    """With what corners and scarfs add: between two stops never longer, else never shorter."""
    answer = answered(request)
    cut = {piece["id"]: piece["length"] for piece in answer["pieces"]}
    for row in answer["trim_lengths"]:
        whole = row["length"] + math.fsum(row["adds"]) + LAP * len(row["scarfs"])
        assert math.fsum(cut[name] for name in row["pieces"]) == pytest.approx(row["cut"])
        over = row["cut"] - whole
        if set(row["meets"]) <= STOPS:
            assert -STEP - 1e-5 < over < 1e-5
        else:
            assert -1e-5 < over < STEP + 1e-5


def members_on(answer: Request, row: Request) -> list[float]:
    """How far from the left end of a length each member crosses it."""
    (ax, ay), (bx, by) = row["from"], row["to"]
    found = []
    for member in answer["members"]:
        (px, py), (qx, qy) = member["line"]
        slope = (bx - ax) * (qy - py) - (by - ay) * (qx - px)
        if abs(slope) > 1e-9:
            share = ((px - ax) * (qy - py) - (py - ay) * (qx - px)) / slope
            found += [share * row["length"]] if 0 < share < 1 else []
    return sorted(found)


@LAW
@given(request=trim.trimmed())
def test_scarfs_lie_on_members_as_few_as_can_be(request: Request) -> None:
    """And none is nearer than 24 in to a corner or to another; or else a finding says so."""
    answer = answered(request)
    usable = max(one["length"] for one in request["products"][0]["stock"]) - START
    loose = {row["at"] for row in answer["findings"] if row["code"] == "scarf-off-member"}
    for row in answer["trim_lengths"]:
        whole = row["length"] + math.fsum(row["adds"])
        if whole <= usable - 1e-4:
            assert row["scarfs"] == []
        elif row["scarfs"] and not loose and not any(row["adds"]):
            places = members_on(answer, row)
            marks = [0, *row["scarfs"], row["length"]]
            assert all(min(abs(at - one) for one in places) < 1e-3 for at in row["scarfs"])
            assert all(b - a >= 24 - 1e-3 for a, b in itertools.pairwise(marks))
            least = mouldings.fewest_scarfs(row["length"], usable, LAP, 24, places)
            assert len(row["scarfs"]) == least


@FEW
@given(
    walls=st.lists(st.integers(150, 230), min_size=2, max_size=2),
    first=st.integers(4, 20),
    stock=st.sampled_from([[96, 144], [120], [96, 120]]),
)
def test_no_choice_of_scarfs_takes_less(walls: list[int], first: int, stock: list[int]) -> None:
    """Two long walls: every pair of scarfs, each cut in every way, against plan and bound."""
    points = [[0.0, 0.0], [walls[0], 0.0], [walls[0], 40.0], [0.0, 40.0]]
    behind = {"direction": 90, "spacing": 24, "first": first}
    request = trim.round_room(points, trim.moulding(*stock), behind=behind, edges=[0, 2])
    answer = answered(request)
    (plan,) = answer["cut_plans"]
    ways = [_ways(row, members_on(answer, row), max(stock)) for row in answer["trim_lengths"]]
    least = min(
        mouldings.least_stock([*one, *other], stock, KERF, START)
        for one, other in itertools.product(*ways)
    )
    assert plan["bound"] <= least <= plan["cost"]
    assert plan["cost"] == least or not plan["optimal"]


def _ways(row: Request, places: list[float], longest: int) -> list[tuple[float, ...]]:
    """Every legal way to make a wall in as few pieces as it can be made."""
    usable = longest - START
    fewest = mouldings.fewest_scarfs(row["length"], usable, LAP, 24, places)
    assert fewest is not None
    return sorted({
        tuple(sorted(mouldings.pieces(row["length"], LAP, some)))
        for some in itertools.combinations(places, fewest)
        if mouldings.legal(row["length"], usable, LAP, 24, some)
        and all(24 <= at <= row["length"] - 24 for at in some)
    })  # fmt: skip


@LAW
@given(
    points=st.one_of(shapes.stepped(), shapes.slanted(), shapes.ells()),
    product=st.fixed_dictionaries({
        "thickness": st.sampled_from([0.25, 2, 3]), "projection": st.sampled_from([0.25, 3, 30]),
    }),
    rules=st.fixed_dictionaries({
        "scarf_angle": st.sampled_from([0, 30, 60, 75]), "min_piece": st.sampled_from([0, 24]),
        "cut_to": st.sampled_from([1 / 64, 1 / 4]),
    }),
)  # fmt: skip
def test_walls_shorter_than_a_scarf_or_a_mitre_add_up(
    points: shapes.Points, product: Request, rules: Request
) -> None:
    """However long laps and mitres are beside the walls, every piece has its stick and its area."""
    request = trim.round_room(points, trim.moulding(72, 96, **product), rules=rules)
    outcome = asked(request)
    if outcome.kind == "answer":
        answer = answered(request)
        assert any_kind.faults(request, answer) == []
        assert answer["cut_plans"][0]["bound"] <= answer["cut_plans"][0]["cost"]
        return
    assert outcome.kind == "TradeRefused", outcome.body
    assert {one["code"] for one in json.loads(outcome.body)["faults"]} <= {"piece-too-long"}


def told(answer: Request) -> Counter[tuple[Any, ...]]:
    """What is told of each length, wherever the outline begins."""
    return Counter(
        (round(row["length"], 3), *row["meets"], *(round(one, 3) for one in row["adds"]))
        for row in answer["trim_lengths"]
    )


@LAW
@given(request=trim.trimmed(), step=st.integers(0, 5), backwards=st.booleans())
def test_where_an_outline_begins_changes_no_length(
    request: Request, step: int, backwards: bool
) -> None:
    moved = transforms.started_elsewhere(request, step, backwards, twice=False)
    assert told(answered(request)) == told(answered(moved))


@LAW
@given(request=trim.trimmed())
def test_the_mirror_image_swaps_left_and_right(request: Request) -> None:
    """The same walls with their ends the other way round, and as much stock."""
    points = outline_of(request)
    high = max(y for _, y in points) + min(y for _, y in points)
    mirrored = changed(request, "/surfaces/0/outline", [[x, high - y] for x, y in points])
    if request["surfaces"][0]["supports"]["direction"] == 0:
        return  # members would lie elsewhere from the low side
    one, other = answered(request), answered(mirrored)
    swapped = Counter((length, b, a, second, first)
                      for length, a, b, first, second in told(other).elements())  # fmt: skip
    assert told(one) == swapped
    assert sum(row["cut"] for row in one["trim_lengths"]) == pytest.approx(
        sum(row["cut"] for row in other["trim_lengths"])
    )
    costs = [found["cut_plans"][0] for found in (one, other)]
    if all(plan["optimal"] for plan in costs):
        assert costs[0]["cost"] == costs[1]["cost"]


@FEW
@given(request=trim.trimmed())
def test_millimetres_change_nothing_but_the_figures(request: Request) -> None:
    rules = {"cut_to": 0.0625}
    inches = request | {"rules": rules}
    one, other = answered(inches), answered(transforms.in_millimetres(inches))
    lengths = [sorted(row["cut"] for row in found["trim_lengths"]) for found in (one, other)]
    assert [length * 25.4 for length in lengths[0]] == pytest.approx(lengths[1], abs=1e-3)


@FEW
@given(request=trim.trimmed())
def test_two_rooms_alike_take_no_more_than_twice_one(request: Request) -> None:
    """And the bound of two is no more than what twice the plan of one costs."""
    room = request["surfaces"][0]
    both = request | {"surfaces": [room, room | {"id": "twin"}]}
    one, two = answered(request), answered(both)
    assert any_kind.faults(both, two) == []
    assert sum(row["cut"] for row in two["trim_lengths"]) == pytest.approx(
        2 * sum(row["cut"] for row in one["trim_lengths"])
    )
    assert two["cut_plans"][0]["cost"] <= 2 * one["cut_plans"][0]["cost"]


@FEW
@given(wide=shapes.inches(0.5, 3), corners=st.sampled_from([5, 6, 7, 8, 12, 20, 30, 48, 400]))
def test_a_many_sided_room_has_corners_bends_or_one_wall(wide: float, corners: int) -> None:
    """Turns of 15 degrees and more are corners, those of 1 and more bends, less is one wall."""
    turn = 360 / corners
    ways = [math.radians(k * turn) for k in range(corners)]
    points = [[round(90 * math.cos(way), 4), round(90 * math.sin(way), 4)] for way in ways]
    request = trim.round_room(points, trim.moulding("50 ft", projection=wide))
    (total,) = answered(request)["trim_totals"]
    bends = corners if 1 <= round(turn, 2) < 15 else 0
    assert total["segment_joints"] == bends
    assert total["inside_corners"] == (corners if turn >= 15 else 0)
    assert total["length"] == pytest.approx(
        2 * corners * 90 * math.sin(math.pi / corners), abs=0.02
    )


def cuts_round(*ends: list[float], **layer: Any) -> Counter[str]:
    """How the pieces round a room are cut whose walls end so, each of one stick."""
    request = trim.round_room([*ends], trim.moulding("16 ft"), **layer)
    return Counter(end for row in answered(request)["pieces"] for end in row["ends"])


def test_square_inside_corners_are_coped_and_those_of_a_bay_mitred() -> None:
    """Five walls: three square corners, each with a square end and a coped one, two of 135 degrees.

    Walls that meet at 104-1/2 degrees are coped still, at 106 not; a sharp corner always is.
    """
    bay: list[list[float]] = [[0, 0], [120, 0], [120, 80], [80, 120], [0, 120]]
    assert cuts_round(*bay) == {"square": 3, "coped": 3, "mitred": 4}
    assert cuts_round(*bay, inside="coped") == {"square": 5, "coped": 5}
    assert cuts_round(*bay, inside="mitred") == {"mitred": 10}
    for degrees, coped in ((75.5, 4), (74, 2)):
        over = 100 / math.tan(math.radians(degrees))
        rhombus = [[0, 0], [120, 0], [120 + over, 100], [over, 100]]
        assert cuts_round(*rhombus)["coped"] == coped


@pytest.mark.parametrize(("wall", "ends", "sticks"), [
    (47.6875, ["raw", "raw"], 1), (47.75, ["raw", "raw"], 2), (47.9375, ["cut", "raw"], 1),
])  # fmt: skip
def test_a_stick_is_squared_once_unless_an_end_of_it_is_cut(
    wall: float, ends: list[str], sticks: int
) -> None:
    """Two walls from sticks of 96 in: 2 x 47-11/16 and a saw cut are 95-1/2; 2 x 47-15/16, 96."""
    cove = trim.moulding(96) | {"stock": [{"length": 96, "ends": ends}]}
    room: list[list[float]] = [[0, 0], [60, 0], [60, wall], [0, wall]]
    answer = answered(trim.round_room(room, cove, edges=[1, 3]))
    assert [row["buy"] for row in answer["order"]] == [sticks]


@pytest.mark.parametrize(("wall", "ends", "pieces"), [
    (95.5, ["raw", "raw"], 1), (95.5625, ["raw", "raw"], 2),
    (96, ["cut", "raw"], 1), (96.0625, ["cut", "raw"], 2), (96, ["cut", "cut"], 1),
])  # fmt: skip
def test_a_wall_is_joined_where_no_stick_gives_it_less_its_squaring(
    wall: float, ends: list[str], pieces: int
) -> None:
    """A stick of 96 in gives 95-1/2 in one piece, squared; with an end cut 96 (17.2)."""
    cove = trim.moulding(96) | {"stock": [{"length": 96, "ends": ends}]}
    room: list[list[float]] = [[0, 0], [60, 0], [60, wall], [0, wall]]
    answer = answered(trim.round_room(room, cove, edges=[1]))
    assert len(answer["pieces"]) == pieces


def test_of_boards_as_trim_each_raw_end_is_squared() -> None:
    """Of 96 in a raw end takes 1/4 (8.1): 95-1/2 of two, 95-3/4 of one are left in one piece."""
    for wall, ends, pieces in ((95.75, ["cut", "raw"], 1), (95.8125, ["cut", "raw"], 2),
                               (95.75, ["raw", "raw"], 2)):  # fmt: skip
        board = {"id": "cove", "form": "board", "profile": "square_edge", "overall": 3.5,
                 "thickness": 0.75, "stock": [{"length": 96, "ends": ends}]}  # fmt: skip
        room: list[list[float]] = [[0, 0], [60, 0], [60, wall], [0, wall]]
        answer = answered(trim.round_room(room, board, edges=[1]))
        assert len(answer["pieces"]) == pieces


def test_each_bay_between_beams_has_its_own_moulding() -> None:
    """As long as the bays are round, and with four more inside corners than outside ones (17.5)."""

    @FEW
    @given(request=between_beams(covered=False, short=False))
    def law(request: Request) -> None:
        area = {key: one for key, one in request["surfaces"][0].items() if key != "openings"}
        beams = [one for one in area["layers"] if one["kind"] == "beams"]
        area["layers"] = [*beams, {"id": "cove", "kind": "trim", "product": "cove"}]
        timber = [one for one in request["products"] if one["form"] == "lumber"]
        asked = request | {"surfaces": [area], "products": [*timber, trim.moulding("60 ft")]}
        answer = answered(asked)
        ids = [one["id"] for one in beams]
        taken = [one for name in ids for one in drawn.pieces(answer, area["id"], name).values()]
        bays = drawn.outline(answer, area["id"]).difference(unary_union(taken))
        (total,) = answer["trim_totals"]
        assert total["length"] == pytest.approx(
            math.fsum(one.length for one in drawn.parts(bays)), abs=1e-3
        )
        corners = total["inside_corners"] - total["outside_corners"]
        assert corners == 4 * len(drawn.parts(bays))

    with kinds.with_kinds_for_tests():
        law()


def test_edges_that_nothing_covers_have_no_trim() -> None:
    """Of a room with a slanting end edge 1 is bare and 3 a mitre: walls end square, or along it."""
    request = trim.round_room([[0, 0], [100, 0], [100, 40], [80, 60], [0, 60]])
    edges = [{"edge": 1, "is": "bare"}, {"edge": 3, "is": "mitre"}]
    answer = answered(changed(request, "/surfaces/0/edges", edges))
    rows = {tuple(row["edges"]): row for row in answer["trim_lengths"]}
    assert sorted(rows) == [(0,), (2,), (4,)]
    assert rows[0,]["meets"] == ["inside corner", "wall"]
    assert rows[2,]["meets"] == ["wall", "mitre edge"]
    assert rows[2,]["adds"] == pytest.approx([0, trim.PROJECTION], abs=1e-5)  # 135 degrees: tan 45
    assert rows[4,]["meets"] == ["mitre edge", "inside corner"]
    assert rows[4,]["adds"] == [0, 0]  # square to it


def test_an_edge_or_an_opening_that_is_not_there_is_refused() -> None:
    request = trim.round_room([[0, 0], [100, 0], [100, 40], [0, 40]], edges=[0, 7])
    kind, faults = refused(request)
    assert (kind, faults[0]["code"], faults[0]["pointer"]) == (
        "TradeRefused", "no-such-edge", "/surfaces/0/layers/0/edges/1",
    )  # fmt: skip
    framed = trim.round_room([[0, 0], [100, 0], [100, 40], [0, 40]], around="openings")
    assert refused(framed)[1][0]["code"] == "no-such-opening"


def test_what_no_stick_gives_is_refused_with_what_the_longest_gives() -> None:
    """Beside an outside corner that adds more than a stick is long."""
    spike = [[0, 0], [100, 0], [100, 80], [99, 20], [98, 80], [0, 80]]
    request = trim.round_room(spike, trim.moulding(24, projection=20, width=20))
    kind, faults = refused(request)
    assert (kind, faults[0]["code"]) == ("TradeRefused", "piece-too-long")


def test_walls_so_short_that_mitres_cross_are_told() -> None:
    """A niche 2 in deep between inside corners, under a moulding that reaches 1-3/4 in."""
    niche = [[0, 0], [100, 0], [100, 60], [60, 60], [60, 62], [57, 62], [57, 60], [0, 60]]
    answer = answered(trim.round_room(niche))
    assert "mitres-cross" in {row["code"] for row in answer["findings"]}


def test_an_opening_without_four_sides_has_no_frame_and_is_told() -> None:
    request = trim.round_room([[0, 0], [100, 0], [100, 80], [0, 80]], around="openings")
    holes = [{"id": "light", "circle": [30, 30, 8]}, {"id": "hatch", "rectangle": [60, 20, 16, 24]}]
    answer = answered(changed(request, "/surfaces/0/openings", holes))
    assert {row["opening"] for row in answer["trim_lengths"]} == {"hatch"}
    assert [row["at"] for row in answer["findings"] if row["code"] == "not-framed"]


def test_a_wall_shorter_than_the_least_cut_takes_no_piece() -> None:
    """A corner cut off by 3/64 in, between two inside corners: four pieces, not five (0.2)."""
    crown = {"id": "crown", "form": "moulding", "width": 2.5, "thickness": 0.625,
             "stock": [{"length": "16 ft"}]}  # fmt: skip
    room = {"id": "den", "view": "facing", "supports": {"direction": 90, "spacing": 16},
            "outline": [[0, 0], [100, 0], [100, 100], [0.03, 100], [0, 99.97]],
            "layers": [{"kind": "trim", "product": "crown"}]}  # fmt: skip
    found = answered({"unit": "in", "surfaces": [room], "products": [crown]})
    assert [row["pieces"] for row in found["trim_totals"]] == [4]
