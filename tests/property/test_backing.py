"""Backing is counted where the framing has nothing, and moves nothing (15, 18.2)."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.layout.framing import clusters
from tests.independent import any_kind, hanging, standing
from tests.independent.asked import laid
from tests.independent.measure import INCH
from tests.property.test_mirror_and_units import member_positions
from tests.strategies import jobs, requests, shapes, transforms
from tests.strategies.asking import answered
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]

STUD = {"id": "stud", "form": "lumber", "width": 3.5, "thickness": 1.5,
        "stock": [{"length": "8 ft"}, {"length": "12 ft"}]}  # fmt: skip

ROOMS = st.one_of(jobs.rectangular(), jobs.with_openings(), jobs.ringed())
ANY = st.one_of(ROOMS, jobs.of_several_surfaces())

MOVES_NOT = ("courses", "runs", "pieces", "joints", "sheets", "alternatives", "openings")


def with_backing(request: Request, *, cut: bool = True) -> Request:
    """The request with backing counted, and cut of studs."""
    rules = {**(request.get("rules") or {}), "backing": "count"}
    counted = {**request, "rules": rules}
    if cut:
        counted |= {"nailers": "stud", "products": [*request["products"], STUD]}
    return counted


def lines(answer: Request) -> Counter[tuple[str, str, float]]:
    """Each line of backing by what it is, for what, and how long to 1/100 in."""
    return Counter((row["what"], row["for"], round(row["length"], 2)) for row in answer["backing"])


def total(answer: Request) -> float:
    return sum(row["length"] for row in answer["backing"])


@FEW
@given(request=ANY)
def test_backing_moves_nothing(request: Request) -> None:
    """Boards lie, are jointed, cut and ordered as without."""
    bare, backed = answered(requests.framed(request)), answered(with_backing(request))
    assert bare["backing"] == []
    for table in MOVES_NOT:
        assert backed[table] == bare[table], table
    finished = [name for name in bare["summary"] if name not in ("in_words", "optimal")]
    assert all(backed["summary"][name] == bare["summary"][name] for name in finished)
    for table in ("order", "sticks", "ledger", "cut_plans"):
        assert [row for row in backed[table] if row["product"] != "stud"] == bare[table], table


@FEW
@given(request=ANY)
def test_it_is_counted_unless_it_is_said_to_be_there(request: Request) -> None:
    """What nobody says of it is the same as `count`, but for where the basis has that from."""
    plain, asked = answered(request), answered(with_backing(request, cut=False))
    assert [name for name in plain if plain[name] != asked[name]] in ([], ["basis"])


@FEW
@given(request=ANY)
def test_every_piece_of_backing_is_cut_whole_and_booked(request: Request) -> None:
    """Sticks hold each piece once; a line's pieces are its length but for rounding (23.3, 23.6).

    What spans is one piece, or none where it is longer than the longest stud (5.7).
    """
    asked = with_backing(request)
    answer = answered(asked)
    assert any_kind.faults(asked, answer) == []
    cuts = {name: cut for row in answer["sticks"] if row["product"] == "stud"
            for name, cut in zip(row["pieces"], row["cuts"], strict=True)}  # fmt: skip
    assert sorted(cuts) == sorted(name for row in answer["backing"] for name in row["pieces"])
    for row in answer["backing"]:
        if row["length"] > 144 and row["what"] in ("header", "trimmer", "block"):
            assert (row["product"], row["pieces"], row["count"]) == (None, [], 1)
            assert "backing-too-long" in {one["code"] for one in answer["findings"]}
            continue
        whole = sum(cuts[name] for name in row["pieces"])
        assert row["count"] == len(row["pieces"])
        assert 0 <= row["length"] - whole < row["count"] / 16 + 1e-5


@FEW
@given(request=ROOMS, limit=st.sampled_from([None, 0.5, 8]))
def test_what_backing_bears_hangs_no_more(request: Request, limit: float | None) -> None:
    """No end is told of, and each that hung is fastened as at a member (18.2)."""
    if limit is not None:
        request |= {"rules": {"hanging_end": limit}}
    bare, backed = answered(requests.framed(request)), answered(with_backing(request, cut=False))
    assert not [row for row in backed["findings"] if row["code"] == "ends-hang"]
    (layer,) = laid(request, bare)
    most = 4 * INCH if limit is None else round(limit * INCH)
    ends = hanging.beyond(layer, bare)
    assume(all(abs(one - most) > INCH // 200 for one in ends))
    over = sum(one > max(most, 4 * INCH) for one in ends)
    at_nailers = sum(row["count"] for row in backed["fasteners"] if row["where"] == "nailer")
    assert at_nailers >= over
    rest = [row for row in backed["fasteners"] if row["where"] not in ("nailer", "short piece")]
    assert rest == [row for row in bare["fasteners"] if row["where"] != "short piece"]
    counted = [row["code"] for row in backed["findings"]].count("backing-not-ordered")
    assert counted == bool(backed["backing"])


@st.composite
def diagonal(draw: st.DrawFn) -> Request:
    """Boards aslant to the members of a room, or of one with two hips."""
    length, width = draw(shapes.inches(120, 240)), draw(shapes.inches(60, 140))
    left, right = draw(shapes.inches(0, 50)), draw(shapes.inches(10, 50))
    corners = [[0, 0], [length, 0], [length - right, width], [left, width]]
    hips = draw(
        st.sampled_from([{}, {"edges": [{"edge": edge, "is": "mitre"} for edge in (1, 3)]}])
    )
    area = requests.outline(corners, behind=draw(jobs.behind()), **hips,
                            layer={"direction": draw(st.sampled_from([0, 30, 45, 135])),
                                   "joints": "anywhere"})  # fmt: skip
    return requests.job(area, requests.board("16 ft"), when_blocked="relax", effort="quick")


@FEW
@given(request=st.one_of(diagonal(), jobs.of_any_outline()))
def test_what_hangs_at_an_edge_has_something_behind_it_between_the_members(
    request: Request,
) -> None:
    """A hip bears ends from 1-1/2 in on, any other edge those that hang by over 4 in (18.2)."""
    answer = answered(request)
    assert standing.over_members(answer) == []
    (layer,) = laid(request, answer)
    hips = "edges" in request["surfaces"][0] and layer.layer["direction"] == 0
    limit = 1.5 * INCH if hips else 4 * INCH
    assert standing.unborne(layer, answer, limit + INCH // 100, 0.75 * INCH) == []


@FEW
@given(request=st.one_of(jobs.with_openings(), diagonal()), angle=st.sampled_from([90, 60, 135]),
       hole=st.tuples(*[shapes.inches(0, 70)] * 2))  # fmt: skip
def test_nothing_stands_over_a_member_or_beyond_a_wall(
    request: Request, angle: float, hole: tuple[float, float]
) -> None:
    """Whatever an opening reaches over, and however the members lie."""
    (area,) = request["surfaces"]
    more = {"id": "well", "rectangle": [*hole, 30, 20], "cut_gap": 0}
    area["supports"] = {**area["supports"], "direction": angle}
    area["openings"] = [*area.get("openings", ()), more]
    answer = answered({**request, "rules": {"min_bearings": 2}})
    assert standing.over_members(answer) == []
    assert standing.beyond_walls(answer) == []


def test_cans_near_the_ends_of_boards_share_their_blocks() -> None:
    """A block within 3 in of an opening's own is that one, and stands at the opening (15.8)."""
    holes = [{"id": "hatch", "rectangle": [66, 40, 12, 20], "cut_gap": 0},
             {"id": "can", "circle": [72, 64, 4], "cut_gap": 0,
              "fixture": "can_light"}]  # fmt: skip
    room = requests.room(192, 100, behind=requests.supports(16, ends=True), openings=holes)
    answer = answered(requests.job(room))
    blocks = sorted(
        (round(row["from"][1], 2), row["for"])
        for row in answer["backing"]
        if row["what"] == "block"
    )
    assert blocks == [(40, "opening"), (60, "opening"), (66, "fixture")]


@pytest.mark.parametrize(("apart", "blocks"), [
    (3, [38, 43.5, 49]), (3.0625, [38, 42, 45.0625, 49.0625]),
])  # fmt: skip
def test_blocks_of_two_cans_in_one_bay_are_one_up_to_three_inches_apart(
    apart: float, blocks: list[float]
) -> None:
    """Square ones of 4 in, from 38 to 42 and so far beyond: midway there is one block (15.8)."""
    cans = [{"id": name, "rectangle": [70, at, 4, 4], "cut_gap": 0, "fixture": "can_light"}
            for name, at in (("one", 38), ("two", 42 + apart))]  # fmt: skip
    room = requests.room(192, 100, behind=requests.supports(16, ends=True), openings=cans)
    rows = answered(requests.job(room))["backing"]
    found = sorted(row["from"][1] for row in rows if row["for"] == "fixture")
    assert found == pytest.approx(blocks, abs=1e-4)


def test_what_two_layers_ask_for_in_one_place_stands_there_once() -> None:
    """Boards over boards on bare joists: one set of nailers at the walls, and of headers."""
    hole = {"id": "hatch", "rectangle": [60, 40, 38, 20]}
    room = requests.room(200, 120, openings=[hole])
    one = lines(answered(requests.job(room)))
    twice = {**room, "layers": [room["layers"][0], room["layers"][0] | {"id": "over"}]}
    assert lines(answered(requests.job(twice))) == one


def test_a_fastener_that_is_named_for_it_is_ordered() -> None:
    """Two nailers of 120 in: 9 nails each, 3 in long, 1-1/2 in of it in what holds (18.1)."""
    request = with_backing(requests.job(requests.room(200, 120)))
    request["products"].append({"id": "sinker", "form": "fastener", "shank": "smooth",
                                "lengths": [2.5, 3, 3.5], "per_box": 100})  # fmt: skip
    bare, nailed = answered(request), answered({**request, "nailer_fastener": "sinker"})
    assert [row["code"] for row in bare["findings"]].count("backing-no-fastener") == 1
    assert "backing-no-fastener" not in [row["code"] for row in nailed["findings"]]
    assert [row["nails"] for row in nailed["backing"]] == [9, 9]
    (order,) = [row for row in nailed["order"] if row["product"] == "sinker"]
    assert (order["length"], order["need"], order["packages"]) == (3, 18, 1)
    own = [row for row in nailed["fasteners"] if row["where"] != "backing"]
    assert own == bare["fasteners"]


@FEW
@given(request=ROOMS)
def test_members_between_the_others_make_it_no_longer(request: Request) -> None:
    """Twice as many members: every one is still there, so less must be added."""
    for area in request["surfaces"]:
        behind = area["supports"]
        assume(behind.get("spacing", 0) >= 12)
        area["supports"] = {**behind, "first": behind.get("first", behind["spacing"])}
    asked = with_backing(request, cut=False)
    asked["rules"]["min_bearings"] = 2
    twice = {**asked, "surfaces": [
        {**area, "supports": {**area["supports"], "spacing": area["supports"]["spacing"] / 2}}
        for area in asked["surfaces"]
    ]}  # fmt: skip
    assert total(answered(twice)) <= total(answered(asked)) + 1e-6


@FEW
@given(request=ROOMS)
def test_a_plan_has_the_same_backing(request: Request) -> None:
    asked = with_backing(request)
    plan = transforms.mirrored_in_plan(asked, member_positions)
    assert lines(answered(asked)) == lines(answered(plan))


@FEW
@given(request=ROOMS)
def test_backing_in_millimetres_is_the_same(request: Request) -> None:
    asked = {**with_backing(request), "rules": {"cut_to": 0.0625}}
    metric = transforms.in_millimetres(asked)
    for one in (asked, metric):
        one["rules"]["backing"] = "count"
    found = Counter((row["what"], row["for"], round(row["length"] / 25.4, 2))
                    for row in answered(metric)["backing"])  # fmt: skip
    assert found == lines(answered(asked))


@FEW
@given(request=ROOMS)
def test_two_surfaces_alike_have_twice_the_backing(request: Request) -> None:
    twins = [{**area, "id": f"{area['id']}-2"} for area in request["surfaces"]]
    both = with_backing({**request, "surfaces": [*request["surfaces"], *twins]})
    one = lines(answered(with_backing(request)))
    assert lines(answered(both)) == one + one


def test_a_room_that_is_framed_all_round_has_none() -> None:
    """Members against both walls and no opening: nothing must be added, and nothing is said."""
    room = requests.room(192, 100, behind=requests.supports(16, ends=True))
    answer = answered(with_backing(requests.job(room)))
    assert answer["backing"] == []
    assert not [row for row in answer["order"] if row["product"] == "stud"]
    assert not [row for row in answer["findings"] if row["code"].startswith("backing")]


SHEET = {"id": "ply", "form": "sheet", "width": 48, "thickness": 0.5,
         "stock": [{"length": 96}]}  # fmt: skip


def test_seams_that_are_blocked_have_a_block_in_each_bay() -> None:
    """192 x 96 in, studs at 16 to 176 and at both ends: one seam over twelve bays (15.5, 11.8)."""
    room = requests.room(192, 96, behind=requests.supports(16, ends=True))
    room["layers"] = [{"kind": "sheathing", "product": "ply", "edges": "blocked"}]
    answer = answered(with_backing(requests.job(room, SHEET)))
    assert lines(answer) == {("block", "seam", 14.5): 10, ("block", "seam", 13.75): 2}


def test_ends_of_sheets_that_meet_between_members_have_blocks() -> None:
    """Sheets along studs 16 in apart: end joints 48 in wide lie over three clear bays (11.1)."""
    room = requests.room(96, 200, behind=requests.supports(16, ends=True))
    room["layers"] = [{"kind": "sheathing", "product": "ply", "direction": 90}]
    request = requests.job(room, SHEET)
    bare, backed = answered(requests.framed(request)), answered(with_backing(request))
    codes = [[row["code"] for row in answer["findings"]] for answer in (bare, backed)]
    assert ("blocks-needed" in codes[0], "blocks-needed" in codes[1]) == (True, False)
    assert lines(backed).keys() <= {("block", "seam", 14.5), ("block", "seam", 13.75)}
    assert lines(backed)
    assert backed["pieces"] == bare["pieces"]


def test_joints_between_members_have_a_block_each_of_their_bay() -> None:
    """Blocks carry the joints that `framing_or_block` put between members (6.2)."""
    room = requests.room(300, 60, behind=requests.supports(24, ends=True))
    room["layers"][0]["joints"] = "framing_or_block"
    answer = answered(with_backing(requests.job(room, requests.board("8 ft"))))
    between = [row for row in answer["joints"] if row["on"] == "block"]
    assert between
    blocks = [row for row in answer["backing"] if row["for"] == "joint"]
    assert len(blocks) <= len(between)
    assert {row["length"] for row in blocks} <= {22.5, 21.75, 9.75}
    bays = [sorted((row["from"][0], row["to"][0])) for row in blocks]
    assert all(any(low < joint["at"] < high for low, high in bays) for joint in between)


@pytest.mark.parametrize(("low", "header"), [(-5, 15), (105, 105)])
def test_an_opening_at_a_wall_has_a_header_on_its_other_side_alone(low: int, header: int) -> None:
    """A shaft through two joists, up to the wall at 0 or at 120 in: no header there (15.4)."""
    shaft = {"id": "shaft", "rectangle": [40, low, 30, 20], "cut_gap": 0}
    answer = answered(with_backing(requests.job(requests.room(200, 120, openings=[shaft]))))
    headers = [row for row in answer["backing"] if row["what"] == "header"]
    assert [row["from"][1] for row in headers] == [header]


def test_a_slot_from_wall_to_wall_has_neither_header_nor_trimmer() -> None:
    """No joist is left beside it that could carry one (15.4)."""
    slot = {"id": "slot", "rectangle": [-2, 40, 204, 6]}
    answer = answered(with_backing(requests.job(requests.room(200, 120, openings=[slot]))))
    assert not {"header", "trimmer"} & {row["what"] for row in answer["backing"]}


def test_sheets_have_a_nailer_along_a_wall_that_runs_with_the_joists() -> None:
    """Joists on 16 to 96 in: the wall at 0 is 15-1/4 in off, that at 97-1/2 has one within 1 in."""
    room = requests.room(97.5, 96)
    room["layers"] = [{"kind": "sheathing", "product": "ply"}]
    answer = answered(with_backing(requests.job(room, SHEET)))
    assert lines(answer) == {("nailer", "wall", 96): 1}


def test_an_end_that_a_hole_cuts_at_a_wall_has_the_wall_s_nailer() -> None:
    """A hole over the edge leaves steps in board ends: one nailer along the whole wall (15.3)."""
    hole = {"id": "vent", "rectangle": [-5, 40, 30, 20]}
    room = requests.room(200, 120, openings=[hole])
    answer = answered(with_backing(requests.job(room)))
    walls = [row for row in answer["backing"] if row["what"] == "nailer"]
    at_start = [row for row in walls if row["from"][0] == row["to"][0] == 0]
    assert [(row["for"], row["length"]) for row in at_start] == [("wall", 120)]


@LAW
@given(places=st.lists(st.integers(0, 400), max_size=30), within=st.integers(0, 60))
def test_blocks_near_each_other_are_one_from_either_side(places: list[int], within: int) -> None:
    """Every place is in a group, none is wider than allowed, and mirrored there are as many."""
    found = clusters(places, within)
    assert all(0 <= high - low <= within for low, high in found)
    assert all(any(low <= at <= high for low, high in found) for at in places)
    assert len(clusters([-at for at in places], within)) == len(found)
    assert all(b[0] - a[0] > within for a, b in pairwise(found))


def test_more_blocks_than_anybody_would_cut_are_refused_by_name() -> None:
    """Rows 1/4 in apart over 1 200 in, and studs 16 in apart over as many: 350 000 (15.2)."""
    room = requests.room(1200, 1200, backing={"thickness": 0.5})
    room["layers"][0] |= {"direction": 90, "blocks": True}
    request = requests.job(room, rules={"block_spacing": 0.25})
    with pytest.raises(AssertionError, match="blocks-too-many"):
        answered(with_backing(request))


def test_nailers_of_another_form_or_of_none_are_refused_by_name() -> None:
    for name, code in (("pine", "wrong-form"), ("larch", "no-such-product")):
        asked = requests.job(requests.room(192, 100)) | {"nailers": name}
        with pytest.raises(AssertionError, match=code):
            answered(asked)
