"""Invented areas whose figures follow from the trade rules alone.

`scenarios.json` was worked by hand arithmetic in exact fractions and by an independent method
(strip intersection, linear programme, dynamic programme, vectors), and both agree; it is not a
published source. Tolerances are those of the file. The areas are plain geometry: no trim, cull,
spare, loss or saw gap at openings but the clearance that a scenario gives; members are lines, so
they are sent 1/32 in thick and a touch of 1/64 in counts.
"""

from __future__ import annotations

import json
import math
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from tests.independent import tiling, verifier
from tests.strategies import requests
from tests.strategies.asking import answered, asked, refused

Request = dict[str, Any]

FILE = json.loads((Path(__file__).parent / "scenarios.json").read_text())
SCENARIOS = {scenario["id"]: scenario for scenario in FILE["scenarios"]}
RELATIVE = FILE["tolerance"]["area_relative"]

PER_AREA = {"in": 144, "mm": 1e6}
THIN = {"in": 1 / 32, "mm": 0.8}
TONGUE = {"in": 0.25, "mm": 8}


def rules_of(scenario: Request) -> Request:
    """Rules of a scenario, everything else off."""
    boards = scenario["boards"]
    return {
        "gap": boards["perimeter_gap"], "min_rip": boards["min_rip"], "kerf": boards["kerf"],
        "stagger": boards["min_end_stagger"], "min_piece": boards["min_piece"], "end_trim": 0,
        "cull": 0, "spare": 0, "loss_hand": 0, "loss_collated": 0, "repeat": 0,
        "min_touch": THIN[scenario["units"]] / 2, "joint_from_hole": 0, "joint_beside_hole": 0,
        "joint_cost": 0, "most_joints": None,
    }  # fmt: skip


def board_of(scenario: Request) -> Request:
    """The board of a scenario, with a tongue so that it can be blind-nailed."""
    face = scenario["boards"]["face_width"]
    return requests.board(
        *scenario["boards"]["stock_lengths"], cover=face, thickness=TONGUE[scenario["units"]] * 3,
        overall=face + TONGUE[scenario["units"]],
    )  # fmt: skip


def members_of(scenario: Request, joist: Request) -> Request:
    """Members as thin lines."""
    return {"direction": joist["direction_deg"], "spacing": joist["spacing"],
            "first": joist["first_offset"], "thickness": THIN[scenario["units"]]}  # fmt: skip


def area_of(scenario: Request, corners: Any, **more: Any) -> Request:
    """One surface of a scenario."""
    boards = scenario["boards"]
    layer = {"direction": boards["direction_deg"], "joints": "anywhere",
             "fastening": {"pattern": "blind"}}  # fmt: skip
    behind = members_of(scenario, more.pop("joist", scenario["joist"]))
    holes = [
        {"id": f"hole-{number}", "outline": ring, "clearance": boards["opening_gap"], "cut_gap": 0}
        for number, ring in enumerate(scenario.get("openings") or [])
    ]
    kind = scenario["surface"] if scenario["surface"] in ("wall", "floor") else "ceiling"
    area = requests.outline(corners, behind=behind, layer=layer, type=kind, **more)
    return area | ({"openings": holes} if holes else {})


def whole(scenario: Request, areas: list[Request]) -> Request:
    """The request of a scenario."""
    return requests.job(areas, board_of(scenario), rules=rules_of(scenario)) | {
        "unit": scenario["units"]
    }


def places(scenario: Request, low: float, high: float) -> list[float]:
    """Members of a whole room that stand between two stations, from the lower of them."""
    step, at = scenario["joist"]["spacing"], scenario["joist"]["first_offset"]
    found = []
    while at < high:
        found += [at - low] if at > low else []
        at += step
    return found


def request_of(name: str) -> Request:
    """The request of the named scenario."""
    scenario = SCENARIOS[name]
    if name == "S08":
        areas = [
            area_of(scenario, plane["plan_outline"], slope={
                "rise": plane["rise"], "run": plane["run"], "up": plane["upslope_direction_deg"],
            }) | {"id": plane["id"]}
            for plane in scenario["planes"]
        ]  # fmt: skip
    elif "parts" in scenario:
        areas = [_part(scenario, part) for part in scenario["parts"]]
    elif name == "S16":
        across = scenario["variants"]["perpendicular"]["joist"]
        areas = [area_of(scenario, scenario["outline"], joist=across)]
    else:
        areas = [area_of(scenario, scenario["outline"])]
    return whole(scenario, areas)


def _part(scenario: Request, part: Request) -> Request:
    """A cell or a room; the members of cells are those of the whole room."""
    plain = {**scenario, "openings": []}
    area = area_of(plain, part["outline"]) | {"id": part["id"].lower()}
    if scenario["id"] == "S09":
        xs = [x for x, _ in part["outline"]]
        behind = area["supports"]
        area["supports"] = {"direction": behind["direction"], "thickness": behind["thickness"],
                            "at": places(scenario, min(xs), max(xs))}  # fmt: skip
    return area


RUN = ("S01", "S02", "S03", "S05", "S08", "S09", "S14", "S16", "S19", "S22")


def table(answer: Request, name: str, key: str) -> float:
    """A column added up."""
    return float(sum(row[key] for row in answer[name]))


@pytest.mark.parametrize("name", RUN)
def test_areas(name: str) -> None:
    """Gross, net and installed."""
    expected, answer = SCENARIOS[name]["expected"], answered(request_of(name))
    per = PER_AREA[SCENARIOS[name]["units"]]
    wanted = {key: expected[f"{key}_area"] for key in ("gross", "net", "installed")}
    if name == "S09":
        wanted["gross"] = expected["net_area"]
    for key, area in wanted.items():
        assert table(answer, "surfaces", key) * per == pytest.approx(area, rel=RELATIVE), key


@pytest.mark.parametrize("name", [name for name in RUN if name not in ("S08", "S09")])
def test_perimeter_is_the_moulding(name: str) -> None:
    """Edges of the outline in true size."""
    expected = SCENARIOS[name]["expected"]["perimeter"]
    assert table(answered(request_of(name)), "surfaces", "perimeter") == pytest.approx(
        expected, abs=FILE["tolerance"][f"length_{SCENARIOS[name]['units']}"]
    )


@pytest.mark.parametrize("name", RUN)
def test_courses_and_rips(name: str) -> None:
    """How many, how many of them full, and how wide the outer two."""
    scenario, answer = SCENARIOS[name], answered(request_of(name))
    expected, face = scenario["expected"], scenario["boards"]["face_width"]
    give = FILE["tolerance"][f"length_{scenario['units']}"]
    assert len(answer["courses"]) == expected["courses"]
    full = [row for row in answer["courses"] if abs(row["width"] - face) < 1e-5]
    if "full_courses" in expected:
        assert len(full) == expected["full_courses"]
    name_of_first = answer["courses"][0]["surface"]
    own = [row["width"] for row in answer["courses"] if row["surface"] == name_of_first]
    one = expected.get("per_plane") or expected.get("per_part", {}).get("A") or expected
    assert own[0] == pytest.approx(one["first_rip"] or face, abs=give)
    assert own[-1] == pytest.approx(one["last_rip"] or face, abs=give)


@pytest.mark.parametrize("name", RUN)
def test_runs(name: str) -> None:
    """Their number, the sum of their lengths, and each course by the table."""
    scenario, answer = SCENARIOS[name], answered(request_of(name))
    expected = scenario["expected"]
    assert len(answer["runs"]) == expected["run_count"]
    give = FILE["tolerance"][f"length_{scenario['units']}"] * len(answer["runs"])
    assert table(answer, "runs", "length") == pytest.approx(expected["run_length_sum"], abs=give)
    for line in expected.get("run_table", []):
        for course in range(line["first_course"], line["last_course"] + 1):
            own = [row for row in answer["runs"] if row["course"] == course]
            assert [row["length"] for row in own] == pytest.approx(line["runs"], abs=1e-4)
            assert [row["bearings"] for row in own] == line["bearings"]


@pytest.mark.parametrize("name", [name for name in RUN if name != "S08"])
def test_faces_and_what_no_layout_saves(name: str) -> None:
    """Area over the face of a board, and what is ripped or cut off slants whatever the joints."""
    expected, answer = SCENARIOS[name]["expected"], answered(request_of(name))
    face, per = SCENARIOS[name]["boards"]["face_width"], PER_AREA[SCENARIOS[name]["units"]]
    installed = table(answer, "surfaces", "installed") * per
    assert installed / face == pytest.approx(expected["net_face_length"], rel=RELATIVE)
    if "unavoidable_waste_area" in expected:
        laid = table(answer, "runs", "length") * face
        assert laid - installed == pytest.approx(
            expected["unavoidable_waste_area"], abs=RELATIVE * installed
        )


@pytest.mark.parametrize("name", [name for name in RUN if name not in ("S16", "S19")])
def test_crossings(name: str) -> None:
    """Runs over members."""
    crossed = table(answered(request_of(name)), "runs", "bearings")
    assert crossed == SCENARIOS[name]["expected"]["bearing_crossings"]


def test_crossings_of_the_square_room() -> None:
    """Boards across the members."""
    expected = SCENARIOS["S16"]["expected"]["variants"]["perpendicular"]["bearing_crossings"]
    assert table(answered(request_of("S16")), "runs", "bearings") == expected


def test_crossings_of_the_quarter_circle() -> None:
    """Slanted ends: between the courses' centre lines and their whole width."""
    expected = SCENARIOS["S19"]["expected"]
    crossed = table(answered(request_of("S19")), "runs", "bearings")
    assert expected["bearing_crossings_centreline"] <= crossed <= expected["bearing_crossings_any"]


@pytest.mark.parametrize("name", RUN)
def test_no_fewer_boards_or_pieces_than_the_bounds(name: str) -> None:
    """Bounds by area and by length; exact counts where no joint is possible."""
    expected, answer = SCENARIOS[name]["expected"], answered(request_of(name))
    sticks, pieces = len(answer["sticks"]), len(answer["pieces"])
    for key in ("boards_lb_area", "boards_lb_linear", "boards_lb_linear_pooled", "boards_fewest"):
        assert sticks >= expected.get(key, 0), key
    assert pieces >= expected.get("pieces_lb", 0)
    assert sticks == expected.get("boards_exact", sticks)
    assert pieces == expected.get("pieces_exact", pieces)
    if "boards_fewest" in expected and answer["summary"]["optimal"]:
        assert sticks == expected["boards_fewest"]


@pytest.mark.parametrize("name", RUN)
def test_what_any_layout_must_satisfy(name: str) -> None:
    """Pieces add up to runs, none too short, joints apart, sticks fit, the surface is tiled."""
    request = request_of(name)
    answer = answered(request)
    assert verifier.faults(request, answer) == []
    assert tiling.faults(request, answer) == []


def in_whole_runs(name: str) -> Request:
    """A scenario whose stock is as long as its longest run, so that nothing is jointed."""
    answer = answered(request_of(name))
    longest = max(row["length"] for row in answer["runs"])
    request = request_of(name)
    request["products"][0]["stock"] = [{"length": math.ceil(longest) + 1}]
    whole_runs = answered(request)
    assert not whole_runs["joints"]
    return whole_runs


def nails(answer: Request) -> dict[tuple[str, str], int]:
    """Counts by where and place."""
    return {(row["where"], row["place"]): row["count"] for row in answer["fasteners"]}


@pytest.mark.parametrize("name", ["S01", "S02", "S03", "S14"])
def test_blind_nails_of_whole_runs(name: str) -> None:
    """The file's nails, one a crossing; the last course is faced instead, the first faced too.

    Last courses are faced once up to 4 in of width and twice over it, and the nail of a crossing
    goes through the face where a notch took the tongue; where one took the starting edge there is
    one more through the face (rule 18.3).
    """
    expected = SCENARIOS[name]["expected"]
    first, last = (sum(expected["run_table"][k]["bearings"]) for k in (0, -1))
    wide = (expected["last_rip"] or SCENARIOS[name]["boards"]["face_width"]) > (
        4 if SCENARIOS[name]["units"] == "in" else 101.6
    )
    found = nails(in_whole_runs(name))
    one_each = found["field", "blind"] + found.get(("lost tongue", "face"), 0)
    one_each += found.get(("open edge", "blind"), 0)
    assert found["first", "blind"] + one_each == expected["blind_nails"] - last
    assert found["first", "blind"] == found["first", "face"] == first
    assert found["last", "face"] == last * (2 if wide else 1)


def test_blind_nails_where_a_tongue_is_cut_away() -> None:
    """S05: the file's 468 less 3 of the last course, which is faced.

    Course 66 lies over the stem's edge from 203.125 to 206.25 in: its tongue is gone below the bar,
    at the file's 8 - 3 lines that do not cross the bar, and those nails go through the face (18.3).
    At the bar's other edge a course starts anew at as many lines, and is faced there too.
    """
    expected = SCENARIOS["S05"]["expected"]
    found = nails(in_whole_runs("S05"))
    (last,) = expected["run_table"][-1]["bearings"]
    blind = found["first", "blind"] + found["field", "blind"]
    blind += found["open edge", "blind"]
    assert blind == expected["blind_nails"] - last - (8 - 3)
    assert found["lost tongue", "face"] == 8 - 3
    assert found["open edge", "face"] == found["open edge", "blind"] == 8 - 3


def test_s14_notches() -> None:
    """Courses 10 and 14 run past the opening, notched."""
    answer = answered(request_of("S14"))
    notched = Counter(row["course"] for row in answer["pieces"] if row["notches"])
    assert sorted(notched) == SCENARIOS["S14"]["expected"]["notched_courses"]


def test_the_area_of_crossing_beams_counts_once() -> None:
    """S09 as one room with four beams as openings: the union, not the sum."""
    scenario = SCENARIOS["S09"]
    request = whole(scenario, [area_of(scenario, scenario["outline"])])
    (row,) = answered(request | {"when_blocked": "relax"})["surfaces"]
    expected = scenario["expected"]
    assert row["openings"] * 144 == pytest.approx(expected["beam_area_union"], rel=RELATIVE)
    assert row["net"] * 144 == pytest.approx(expected["net_area"], rel=RELATIVE)
    assert row["perimeter"] == pytest.approx(expected["room_perimeter"])


def test_s14_opening() -> None:
    """As drawn, without its clearance."""
    (row,) = answered(request_of("S14"))["surfaces"]
    assert row["openings"] * 1e6 == pytest.approx(SCENARIOS["S14"]["expected"]["opening_area"])


def test_boards_along_the_members_are_refused() -> None:
    """S16: nothing to fix 37 of the 46 courses to."""
    scenario = SCENARIOS["S16"]
    along = scenario["variants"]["parallel"]["joist"]
    area = area_of(scenario, scenario["outline"], joist=along)
    del area["layers"][0]["joints"]
    area["supports"]["thickness"] = 1.5  # a joist, where the scenario reckons with a line
    kind, faults = refused(whole(scenario, [area]))
    assert kind == "TradeRefused"
    assert all(fault["cure"] for fault in faults)


def test_straps_across_the_members_bear_the_boards() -> None:
    """S16 furred: 12 straps right across at 8, 24 ... 184 in; every board crosses each."""
    scenario = SCENARIOS["S16"]
    furred = scenario["variants"]["parallel_furred"]
    expected = scenario["expected"]["variants"]["parallel_furred"]
    sent = furred["furring"]
    straps = {"kind": "strapping", "product": "strap", "direction": sent["direction_deg"],
              "first": sent["first_offset"],
              "rules": {"strap_spacing": sent["spacing"]}}  # fmt: skip
    area = area_of(scenario, scenario["outline"], joist=furred["joist"])
    area["layers"] = [straps, *area["layers"]]
    strap = {"id": "strap", "form": "lumber", "width": 1.5, "thickness": 0.75,
             "stock": [{"length": scenario["outline"][2][1]}]}  # fmt: skip
    request = whole(scenario, [area])
    answer = answered(request | {"products": [*request["products"], strap]})
    own = [row for row in answer["pieces"] if row["product"] == "strap"]
    assert (len(own), sum(row["length"] for row in own)) == (
        expected["furring_strips"], expected["furring_length"],
    )  # fmt: skip
    assert sum(row["bearings"] for row in own) == expected["furring_joist_crossings"]
    boards = [row for row in answer["runs"] if row["layer"] != own[0]["layer"]]
    assert sum(row["bearings"] for row in boards) == expected["bearing_crossings"]
    assert {row["bearings"] for row in boards} == {expected["bearings_per_course"]}


def test_two_rooms_are_the_sum_of_the_rooms() -> None:
    """S22: the figures of each room, and of both, alone and together."""
    request = request_of("S22")
    expected = SCENARIOS["S22"]["expected"]
    for area, part in zip(request["surfaces"], ("A", "B"), strict=True):
        alone, wanted = answered(request | {"surfaces": [area]}), expected["per_part"][part]
        assert len(alone["courses"]) == wanted["courses"]
        assert table(alone, "runs", "length") == pytest.approx(wanted["run_length_sum"], abs=1e-3)
        assert table(alone, "runs", "bearings") == wanted["bearing_crossings"]
        assert len(alone["sticks"]) >= wanted["boards_lb_linear"]
    assert asked(request).kind == "answer"
