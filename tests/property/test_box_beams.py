"""Laws of box beams over generated grids: bays, parts, ledgers, and a second reckoning of all."""

from __future__ import annotations

import copy
import json
import math
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from tests.independent import any_kind, box_beams, mouldings, skins
from tests.independent.measure import INCH
from tests.strategies import transforms, trim
from tests.strategies.asking import answered, refused
from tests.strategies.budget import FEW, LAW
from tests.strategies.grids import grids, slanting
from tests.strategies.requests import board

Request = dict[str, Any]


def beams_of(request: Request) -> Request:
    (surface,) = request["surfaces"]
    (layer,) = [one for one in surface["layers"] if one["kind"] == "box_beams"]
    own: Request = layer
    return own


def parts(answer: Request) -> Counter[tuple[str, float, float]]:
    """Parts by size; which of two sides is the near one hangs on how a room is seen."""
    return Counter(
        (row["part"].split()[-1], row["length"], row["width"]) for row in answer["beam_parts"]
    )


@LAW
@given(request=grids() | slanting())
def test_bays_parts_and_ledgers_are_what_a_second_reckoning_finds(request: Request) -> None:
    """Polygons of a geometry library, and lengths after rules 16.1 to 16.6, in exact fractions."""
    found = answered(request)
    assert any_kind.faults(request, found) == []
    assert box_beams.faults(request, found) == []
    assert skins.faults(request, found) == []


SHORT = 24.0
"""Inches up to which the fronts of mouldings of 1-3/4 in cross, in corners down to 17 degrees."""


@LAW
@given(request=slanting(), inside=st.sampled_from(["mitred", "coped"]))
def test_mouldings_round_bays_are_as_long_as_a_second_way_finds(
    request: Request, inside: str
) -> None:
    """Round each bay that polygons leave between the beams: walls, and pieces as cut (17.1, 17.5).

    What is shorter than the least that is cut has no piece; where a wall is shorter than its fronts
    are deep they cross, and only that it is there is looked at.
    """
    (area,) = request["surfaces"]
    cove = {"id": "cove", "kind": "trim", "product": "cove", "inside": inside}
    layers = [beams_of(request) | {"mode": "boards_to_beam"}, cove]
    products = [*request["products"], trim.moulding("30 ft")]
    around = area | {"layers": layers, "openings": []}
    found = answered(request | {"surfaces": [around], "products": products})
    ways = [
        way
        for bay in box_beams.parts_of(box_beams.grid_of(request).clear())
        for way in mouldings.cut_lengths(_in_inches(bay), trim.PROJECTION)
        if way[0] > 1 / 16
    ]
    told = [(row["length"], row["length"] + math.fsum(row["adds"]))
            for row in found["trim_lengths"]]  # fmt: skip
    assert len(told) == len(ways)
    one, other = (sorted(way for way in own if way[0] > SHORT) for own in (told, ways))
    assert sum(one, ()) == pytest.approx(sum(other, ()), abs=1e-3)


def _in_inches(bay: Polygon) -> list[tuple[float, float]]:
    return [(x / INCH, y / INCH) for x, y in bay.exterior.coords]


@pytest.mark.parametrize(("spoil", "told"), [
    (lambda stick: stick["ticks"].update(length=stick["ticks"]["length"] + 1), "no stock length"),
    (lambda stick: stick["ticks"].update(end_trim=0), "trimmed otherwise"),
    (lambda stick: stick["ticks"].update(offcut=stick["ticks"]["offcut"] + 1), "does not add up"),
    (lambda stick: stick["beside"][0].extend(stick["pieces"] * 2), "too narrow"),
    (lambda stick: stick["pieces"].pop(), "cut from no stick"),
])  # fmt: skip
def test_sticks_of_skins_that_cannot_be_are_found(
    spoil: Callable[[Request], None], told: str
) -> None:
    """The verifier of skins tells each wrong that is done to the first stick of an answer."""
    request = json.loads(
        Path("service/products/kinds/box_beams/examples/coffers.json").read_bytes()
    )
    answer = copy.deepcopy(answered(request))
    stick = next(row for row in answer["sticks"] if row["product"] == "fir" and row["pieces"][1:])
    assert skins.faults(request, answer) == []
    spoil(stick)
    if told == "cut from no stick":
        stick["beside"].pop()
    assert any(told in fault for fault in skins.faults(request, answer))


@FEW
@given(request=grids())
def test_the_order_of_the_sets_changes_nothing(request: Request) -> None:
    """Whichever set is listed first: the same beams, bays, parts and order."""
    turned = copy.deepcopy(request)
    beams_of(turned)["sets"].reverse()
    one, other = answered(request), answered(turned)
    for table in ("beams", "bays", "beam_parts", "pieces", "order", "ledger"):
        assert one[table] == other[table], table


@FEW
@given(request=grids(ells=False))
def test_a_room_seen_in_plan_has_the_mirror_image_of_its_bays(request: Request) -> None:
    """`view: plan` mirrors beams and bays, and changes no size of any part."""
    plan = copy.deepcopy(request)
    plan["surfaces"][0]["view"] = "plan"
    one, other = answered(request), answered(plan)
    corners = [x for x, _ in one["surfaces"][0]["outline"]]
    ends = min(corners) + max(corners)
    mirrored = sorted((round(ends - row["to"][0], 3), *_place(row)) for row in other["bays"])
    own = sorted((round(row["from"][0], 3), *_place(row)) for row in one["bays"])
    assert len(mirrored) == len(own)
    for here, there in zip(own, mirrored, strict=True):
        assert here == pytest.approx(there, abs=0.002)
    assert parts(one) == parts(other)


def _place(row: Request) -> tuple[float, float]:
    return round(row["from"][1], 3), round(row["area"], 3)


@FEW
@given(request=grids(ells=False))
def test_in_millimetres_bays_are_the_same(request: Request) -> None:
    """Clear sizes do not hang on the unit; parts are cut to steps of their own."""
    one, other = answered(request), answered(_in_millimetres(request))
    pairs = zip(one["bays"], other["bays"], strict=True)
    for here, there in pairs:
        for key in ("along", "across", "perimeter"):
            assert there[key] == pytest.approx(here[key] * 25.4, abs=1e-3)


def _in_millimetres(request: Request) -> Request:
    """Every number of the request that is a length in millimetres."""

    def read(node: Any, key: str = "") -> Any:
        if isinstance(node, dict):
            return {name: read(value, name) for name, value in node.items()}
        if isinstance(node, list):
            return [read(value, key) for value in node]
        told = isinstance(node, (int, float)) and not isinstance(node, bool)
        return round(node * 25.4, 6) if told and key not in ("direction", "count") else node

    return {**read(request), "unit": "mm"}


@FEW
@given(request=grids())
def test_two_rooms_alike_have_twice_the_parts_and_buy_no_more_than_twice(request: Request) -> None:
    twice = copy.deepcopy(request)
    twice["surfaces"].append(copy.deepcopy(twice["surfaces"][0]) | {"id": "twin"})
    one, both = answered(request), answered(twice)
    assert any_kind.faults(twice, both) == []
    assert parts(both) == Counter({key: 2 * count for key, count in parts(one).items()})


@FEW
@given(request=grids(ells=False))
def test_where_a_room_is_drawn_changes_no_part(request: Request) -> None:
    one, other = answered(request), answered(transforms.translated(request, 37, -210))
    for table in ("beam_parts", "order", "ledger", "joints"):
        assert one[table] == other[table], table


def test_skins_and_panels_of_one_sheet_are_nested_and_bought_together() -> None:
    """One order line and one ledger; no more sheets than each would take by itself."""
    beams = {"kind": "box_beams", "product": "ply", "width": 6, "drop": 5,
             "sets": [{"direction": 0, "count": 1}]}  # fmt: skip
    panels = {"kind": "sheathing", "product": "ply"}
    area = {"id": "den", "view": "facing", "rectangle": [190, 60],
            "supports": {"direction": 90, "spacing": 16}}  # fmt: skip
    ply = {"id": "ply", "form": "sheet", "width": 48, "thickness": 0.75,
           "stock": [{"length": 96}]}  # fmt: skip

    def of(*layers: Request) -> Request:
        return {"unit": "in", "surfaces": [area | {"layers": list(layers)}], "products": [ply]}

    one, other, both = (answered(of(*own)) for own in ([beams], [panels], [panels, beams]))
    assert any_kind.faults(of(panels, beams), both) == []
    alone = sum(row["buy"] for answer in (one, other) for row in answer["order"])
    (line,) = both["order"]
    assert (line["buy"], alone) == (4, 5)
    assert {
        row["sheet"] for row in both["sheets"] if any("beams" in id for id in row["pieces"])
    } <= {row["sheet"] for row in both["sheets"] if any("sheathing" in id for id in row["pieces"])}


def test_rules_of_nailers_at_walls_are_none_of_beams() -> None:
    """They are counted behind boards and sheets: sent with a layer of beams they are refused."""
    beams = {"kind": "box_beams", "product": "skin", "width": 7.5, "drop": 6,
             "sets": [{"direction": 0, "count": 1}], "rules": {"edge_nailer": 3}}  # fmt: skip
    area = {"id": "den", "view": "facing", "rectangle": [180, 120], "layers": [beams],
            "supports": {"direction": 90, "spacing": 16}}  # fmt: skip
    skin = {"id": "skin", "form": "board", "profile": "square_edge", "overall": 9.25,
            "thickness": 0.75, "stock": [{"length": "16 ft"}]}  # fmt: skip
    kind, (fault, *_) = refused({"unit": "in", "surfaces": [area], "products": [skin]})
    assert (kind, fault["pointer"]) == (
        "ShapeRefused", "/surfaces/0/layers/0/rules/edge_nailer",
    )  # fmt: skip
    answered({"unit": "in", "surfaces": [area | {"layers": [beams | {"rules": {}}]}],
              "products": [skin], "rules": {"edge_nailer": 3}})  # fmt: skip


SKIN = {"id": "skin", "form": "board", "profile": "square_edge", "overall": 9.25,
        "thickness": 0.75, "stock": [{"length": "20 ft"}]}  # fmt: skip


def test_at_a_slanted_wall_each_part_reaches_as_far_as_it_lies() -> None:
    """By hand: a wall at 45 degrees from (240, 0) to (140, 100), a beam of 8 in about y = 50.

    Its faces lie at 46 and 54, so that its sides end at 240 - 46 = 194 and, 3/4 in thick, at
    240 - 53.25 = 186.75. The bottom between them begins at 46.75 and ends at 193.25; the core, 8 -
    1.5 - 1/8 = 6-3/8 wide, begins at 46 + (8 - 6.375)/2 = 46.8125 and ends at 193.1875.
    """
    beams = {"kind": "box_beams", "product": "skin", "width": 8, "drop": 6,
             "sets": [{"direction": 0, "count": 1}]}  # fmt: skip
    area = {"id": "den", "view": "facing", "layers": [beams],
            "outline": [[0, 0], [240, 0], [140, 100], [0, 100]],
            "supports": {"direction": 90, "spacing": 16}}  # fmt: skip
    found = answered({"unit": "in", "surfaces": [area], "products": [SKIN]})
    assert {row["part"]: row["length"] for row in found["beam_parts"]} == {
        "near side": 194, "bottom": 193.25, "far side": 186.75, "core": 193.1875,
    }  # fmt: skip


TURNS = {"drawn": ([[0, 0], [240, 0], [140, 100], [0, 100]], 0, 1, "right"),
         "upright": ([[0, 0], [100, 0], [100, 140], [0, 240]], 90, 1, "left"),
         "mirrored": ([[0, 0], [240, 0], [240, 100], [100, 100]], 0, 1, "left"),
         "metric": ([[0, 0], [240, 0], [140, 100], [0, 100]], 0, 25.4, "right")}  # fmt: skip


@pytest.mark.parametrize("way", TURNS)
def test_ends_at_a_slanted_wall_are_cut_to_its_angle(way: str) -> None:
    """The wall at 45 degrees of before: a bottom of 6-1/2, a core of 6-3/8 are as far behind.

    The wall goes further at the beam's near face: so the near side has its long point at the face,
    the far side at the back, and a bottom at its near edge, 3/4 in behind through a board of 3/4.
    Upright the near side faces left: with its far edge away, the top of a part lies at the left.
    In the mirror it is the low ends, with the same edges.
    """
    outline, direction, mm, end = TURNS[way]
    skin = SKIN | {"overall": 9.25 * mm, "thickness": 0.75 * mm}
    core = {"id": "core", "form": "lumber", "width": 6.375 * mm, "thickness": 1.5 * mm,
            "stock": [{"length": "20 ft"}]}  # fmt: skip
    beams = {"kind": "box_beams", "product": "skin", "core": "core", "width": 8 * mm,
             "drop": 6 * mm, "sets": [{"direction": direction, "count": 1}]}  # fmt: skip
    area = {"id": "den", "view": "facing", "layers": [beams],
            "outline": [[x * mm, y * mm] for x, y in outline],
            "supports": {"direction": 90 - direction, "spacing": 16 * mm}}  # fmt: skip
    found = answered({"unit": "mm" if mm > 1 else "in", "surfaces": [area],
                      "products": [skin, core]})  # fmt: skip
    done = [
        (row["do"], row["edge"], row["end"], round(row["length"] / mm, 2), row["angle"])
        for name in ("near side", "bottom", "far side", "core")
        for part in found["beam_parts"] if part["part"] == name
        for piece in found["pieces"] if piece["id"] in part["pieces"]
        for row in piece["work"] if row["do"] != "rip"
    ]  # fmt: skip
    assert done == [("bevel", "front", end, 0.75, 45), ("angle", "near", end, 6.5, 45),
                    ("bevel", "back", end, 0.75, 45), ("angle", "near", end, 6.38, 45)]  # fmt: skip
    square = "mitred" if way == "mirrored" else "square"
    assert {piece["ends"][0] for piece in found["pieces"]} == {square}


def walls_told(outline: list[list[int]], **ways: Any) -> list[tuple[str, float | None, str]]:
    """What is said of walls where a set of beams of 8 in runs along a room."""
    beams = {"kind": "box_beams", "product": "skin", "width": 8, "drop": 6,
             "sets": [{"direction": 0, **ways}]}  # fmt: skip
    area = {"id": "den", "view": "facing", "layers": [beams], "outline": outline,
            "supports": {"direction": 90, "spacing": 16}}  # fmt: skip
    found = answered({"unit": "in", "surfaces": [area], "products": [SKIN]})
    codes = ("beam-end-aslant", "no-wall-beside", "wall-in-beam")
    return [(row["code"], row["measure"], row["text"])
            for row in found["findings"] if row["code"] in codes]  # fmt: skip


SQUARE = [[0, 0], [240, 0], [240, 100], [0, 100]]
STEPPED = [[0, 0], [160, 0], [160, 52], [240, 52], [240, 100], [0, 100]]


def test_walls_are_told_that_beams_are_not_built_along() -> None:
    """By hand: ends at 45 degrees, a wall that steps in 52 up over 80 in, one that slants by 30.

    A beam of 8 in about y = 50 has its far side at 54, so the step at 52 lies in it for the last
    80 in. A half beam of 4 in at the bottom reaches 32 in to where a wall that rises 1 in 8 leaves
    it, less the 1-1/8 over which that is within 1/8 in and 1/64; one along the 160 in before the
    step has its wall.
    """
    slanted = [[0, 0], [240, 30], [240, 130], [0, 100]]
    bottom = {"walls": ["low"], "wall_width": 4}
    assert walls_told(SQUARE, count=1, **bottom) == []
    ((code, _, text),) = walls_told([[0, 0], [240, 0], [140, 100], [0, 100]], count=1)
    assert (code, "beam 1 by 45 degrees" in text) == ("beam-end-aslant", True)
    ((code, measure, _),) = walls_told(STEPPED, centres=[50])
    assert (code, measure) == ("wall-in-beam", 80)
    ((code, measure, _),) = walls_told(slanted, centres=[60], **bottom)
    assert (code, measure) == ("no-wall-beside", 32 - 1.125)
    assert walls_told(STEPPED, centres=[75], **bottom) == []
    nearly = [[0, 0], [240, 0.0625], [240, 100], [0, 100]]
    assert walls_told(nearly, count=1, **bottom) == []


def test_a_beam_parts_a_turned_room_in_two() -> None:
    """A room of 100 x 60 in turned by 45 degrees, a beam of 9 in square to its long sides.

    It leaves two bays of 60 + 45-1/2, 211 in round, and no hairline along a wall that joins them.
    """
    turn = [[round((x - y) * 0.70710678, 6), round((x + y) * 0.70710678, 6)]
            for x, y in ((0, 0), (100, 0), (100, 60), (0, 60))]  # fmt: skip
    beams = {"kind": "box_beams", "product": "skin", "width": 9, "drop": 6,
             "sets": [{"direction": 135, "count": 1}]}  # fmt: skip
    area = {"id": "den", "view": "facing", "layers": [beams], "outline": turn,
            "supports": {"direction": 90, "spacing": 16}}  # fmt: skip
    found = answered({"unit": "in", "surfaces": [area], "products": [SKIN]})
    assert [row["perimeter"] for row in found["bays"]] == pytest.approx([211, 211], abs=1e-4)


def test_mitred_skins_are_bevelled_where_they_meet() -> None:
    """A half beam has one corner: its bottom and its side are bevelled on one edge each (16.1)."""
    beams = {"kind": "box_beams", "product": "skin", "width": 8, "drop": 6, "corners": "mitred",
             "sets": [{"direction": 0, "count": 1, "walls": ["low"], "wall_width": 4}]}  # fmt: skip
    area = {"id": "den", "view": "facing", "layers": [beams], "rectangle": [180, 100],
            "supports": {"direction": 90, "spacing": 16}}  # fmt: skip
    found = answered({"unit": "in", "surfaces": [area], "products": [SKIN]})
    assert [(row["beam"], row["part"], row["width"], row["bevels"])
            for row in found["beam_parts"] if row["part"] != "core"] == [
        (1, "bottom", 4, "one edge"), (1, "far side", 6, "one edge"),
        (2, "near side", 6, "one edge"), (2, "bottom", 8, "both edges"),
        (2, "far side", 6, "one edge"),
    ]  # fmt: skip


def one_beam(length: float, *across: float, skin: Request = SKIN, **more: Any) -> Request:
    """A beam of 8 in along a room and others across it, with a core of sticks of 12 ft."""
    ways = [{"direction": 0, "count": 1}, {"direction": 90, "centres": list(across)}]
    beams = {"kind": "box_beams", "product": "skin", "core": "core", "width": 8, "drop": 6,
             "sets": ways if across else ways[:1]} | more  # fmt: skip
    area = {"id": "den", "view": "facing", "layers": [beams], "rectangle": [length, 100],
            "supports": {"direction": 90, "spacing": 16, "first": 16, "ends": True}}  # fmt: skip
    core = {"id": "core", "form": "lumber", "width": 5.5, "thickness": 1.5,
            "stock": [{"length": "12 ft"}]}  # fmt: skip
    return {"unit": "in", "surfaces": [area], "products": [skin, core]}


def test_joints_of_long_skins_lie_apart_off_the_core_and_off_crossings() -> None:
    """330 in of sticks of 16 ft: 191-1/2 would lie under the beam about 190, 138-1/2 is clear.

    The core has its joints at 112 and 224: with those of sides and bottom all lie 24 in apart
    (16.6).
    """
    request = one_beam(330, 190, skin=SKIN | {"stock": [{"length": "16 ft"}]})
    found = answered(request)
    own = [(row["part"], at) for row in found["beam_parts"] if row["beam"] == 1
           for at in row["joints"]]  # fmt: skip
    assert [at for part, at in own if part == "core"] == [112, 224]
    assert {part for part, _ in own} == {"core", "near side", "bottom", "far side"}
    for part, at in own:
        assert part == "core" or not 186 < at < 194
        assert all(abs(at - one) >= 24 for other, one in own if other != part)


@pytest.mark.parametrize(("wide", "cut"), [
    (80, 36.03125), (79.9375, 35.96875), (88.04, 40.0625),
])  # fmt: skip
def test_butting_parts_are_sprung_in_from_three_feet_on(wide: float, cut: float) -> None:
    """Half of what a beam of 8 in leaves of the room is clear (16.3).

    (80 - 8)/2 = 36 and 1/32; 35-31/32 is cut as it is; 40.02 + 0.03125 = 40.05125 is nearer to
    40-2/32 than to 40-1/32.
    """
    request = one_beam(150, 75)
    request["surfaces"][0]["rectangle"] = [150, wide]
    rows = answered(request)["beam_parts"]
    assert {row["length"] for row in rows if row["beam"] == 2 and row["part"] != "core"} == {cut}


@pytest.mark.parametrize(("square", "strips"), [(False, 2), (True, 1)])
def test_an_eased_edge_is_ripped_off_once_for_all_strips_of_a_board(
    square: bool, strips: int
) -> None:
    """Sides of 3-1/2 in by twos in a board of 7-1/8: 7 and a saw cut; with 1/8 off one only."""
    skin = SKIN | {"overall": 7.125}
    found = answered(one_beam(150, skin=skin, width=5, drop=3.5, square_edges=square))
    most = max(
        1 + len(beside) for row in found["sticks"] if row["product"] == "skin"
        for beside in row["beside"]
    )  # fmt: skip
    assert most == strips


def test_boards_over_beams_are_hidden_once_where_beams_cross() -> None:
    """Of beams of 8 in boards would cover 3/4 in at each face: 6-1/2 in are hidden (16.8).

    6.5 x 180 / 144 = 8.125 sq ft along the room, and 6.5 x (100 - 6.5) / 144 = 4.220486 across it.
    """
    request = one_beam(180, 90, mode="boards_over")
    (area,) = request["surfaces"]
    pine = board("16 ft")
    area["layers"] = [{"kind": "boarding", "product": "pine", "direction": 0}, *area["layers"]]
    found = answered(request | {"products": [*request["products"], pine]})
    hidden = [row["hidden"] for row in found["beams"]]
    assert hidden == pytest.approx([8.125, 4.220486], abs=1e-6)


def test_mitred_crossings_are_cut_to_the_middle_and_sides_by_their_thickness() -> None:
    """Beams of 8 in through the middle of 240 x 100: 116 and 46 in are clear beside the crossing.

    Bottoms run 4 in on to its middle: 120 and 50. Sides are 3/4 longer, long at the back (16.4).
    """
    ways = [{"direction": 0, "count": 1}, {"direction": 90, "count": 1}]
    beams = {"kind": "box_beams", "product": "skin", "width": 8, "drop": 6, "sets": ways,
             "crossings": "mitred"}  # fmt: skip
    area = {"id": "den", "view": "facing", "layers": [beams], "rectangle": [240, 100],
            "supports": {"direction": 90, "spacing": 16}}  # fmt: skip
    found = answered({"unit": "in", "surfaces": [area], "products": [SKIN]})
    lengths = Counter((row["part"].split()[-1], row["length"]) for row in found["beam_parts"]
                      if row["part"] != "core")  # fmt: skip
    assert lengths == {("bottom", 120): 2, ("bottom", 50): 2, ("side", 116.75): 4,
                       ("side", 46.75): 4}  # fmt: skip
    bevels = [row for piece in found["pieces"] for row in piece["work"] if row["do"] == "bevel"]
    assert {(row["edge"], row["length"], row["angle"]) for row in bevels} == {("back", 0.75, 45)}
    assert len(bevels) == 8
