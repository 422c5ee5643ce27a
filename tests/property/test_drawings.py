"""Drawings read back: their figures are what a tape finds where they stand, and all can be read."""

from __future__ import annotations

import json
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from service.compute import SVG, Picked, answer
from tests.independent import plotted
from tests.strategies import build_ups, jobs, requests, shapes, transforms
from tests.strategies.asking import answered, asked, body_of, in_forms
from tests.strategies.budget import FEW, LAW

Request = dict[str, Any]

SIXTEENTH = 1 / 32 + 1e-4
"""Stations are written to the nearest 1/16 in."""

PAPER = 0.01
"""Coordinates on paper are written to a thousandth of a millimetre."""


def drawn(request: Request, **picked: str) -> list[plotted.Page]:
    found = answer(body_of(request), Picked(SVG, **picked))
    assert found.kind == "answer", found.body
    return plotted.pages(found.body)


def told_and_drawn(request: Request, **picked: str) -> tuple[Request, list[plotted.Page]]:
    """The tables of the answer, and the pages of its drawing."""
    tables, drawing = in_forms(body_of(request), [Picked(), Picked(SVG, **picked)])
    assert (tables.kind, drawing.kind) == ("answer", "answer"), tables.body
    return json.loads(tables.body), plotted.pages(drawing.body)


def point(layer: Request, u: float, v: float) -> tuple[float, float]:
    """A station of a layer in the plane of its surface."""
    (ox, oy), (ax, ay), (cx, cy) = layer["origin"], layer["along"], layer["across"]
    return ox + u * ax + v * cx, oy + u * ay + v * cy


@LAW
@given(request=st.one_of(jobs.jobs(), build_ups.build_ups(), jobs.in_plan()))
def test_words_lie_on_the_paper_and_on_no_other_words(request: Request) -> None:
    found = answer(body_of(request), Picked(SVG))
    assume(found.kind == "answer")
    for page in plotted.pages(found.body):
        assert plotted.overlapping(page.texts) == []
        assert plotted.off_the_paper(page.texts) == []
        assert plotted.lines_off_the_paper(page) == []
        assert plotted.hidden_walls(page) == []
        assert [text.text for text in page.texts if text.text.startswith("-")] == []


@FEW
@given(long=shapes.inches(150, 900), deep=shapes.inches(20, 500), way=st.sampled_from([0, 90, 45]))
def test_what_is_cut_from_is_drawn_at_a_quarter_inch_to_the_foot(
    long: float, deep: float, way: int
) -> None:
    """1 : 48 or larger, but for a page of the whole before its parts."""
    layer = {"direction": way, "joints": "anywhere"}
    area = requests.room(long, deep, layer=layer, backing={"thickness": 0.5})
    request = requests.job(area, requests.board("12 ft", "16 ft"), when_blocked="relax")
    for page in drawn(request | {"effort": "quick"}, layer="boards"):
        assert page.scale is not None
        assert page.scale <= 48 or "In parts, and larger, on the next pages." in page.said()
        assert plotted.overlapping(page.texts) == []
        assert plotted.off_the_paper(page.texts) == []
        assert plotted.lines_off_the_paper(page) == []


def quad(left: float, right: float, low: float, **more: Any) -> Request:
    ring = [[0, 0], [190, low], [190, low + right], [0, left]]
    return requests.job(
        requests.outline(ring, **more), requests.board("16 ft"), when_blocked="relax"
    )


@st.composite
def out_of_parallel(draw: st.DrawFn) -> Request:
    """A room of which one wall, or two, lie out of parallel with the boards."""
    left = draw(st.integers(900, 1400)) / 16
    off, low = draw(st.integers(-80, 80)) / 16, draw(st.sampled_from([0, 0, 1.5, -2.25]))
    layer = {"start_side": draw(st.sampled_from(["low", "high"]))}
    view = draw(st.sampled_from(["facing", "plan"]))
    made = quad(left, left + off, low, layer=layer, view=view)
    return transforms.in_millimetres(made) if draw(st.booleans()) else made


def slack_of(request: Request) -> tuple[float, float]:
    """To how much stations and widths are written: half of 1/16 and 1/32 in, of 1 and 0.1 mm."""
    return (0.501, 0.0501) if request["unit"] == "mm" else (SIXTEENTH, 1 / 64 + 1e-4)


def wall_lines(found: Request, row: Request) -> list[float]:
    """From the wall where work starts to the far edge of a course, at both ends of it."""
    (layer,), (surface,) = found["layers"], found["surfaces"]
    rises = found["courses"][0]["near"] < found["courses"][0]["far"]
    corners = surface["outline"]
    edges = [
        (a, b) for a, b in pairwise([*corners, corners[0]])
        if abs(a[0] - b[0]) > abs(a[1] - b[1])
    ]  # fmt: skip
    height = {id(edge): edge[0][1] + edge[1][1] for edge in edges}
    start = (min if rises else max)(edges, key=lambda edge: height[id(edge)])
    (x0, y0), (x1, y1) = start
    far = LineString([(x0 - 9 * (x1 - x0), y0 - 9 * (y1 - y0)),
                      (x1 + 9 * (x1 - x0), y1 + 9 * (y1 - y0))])  # fmt: skip
    runs = [run for run in found["runs"] if run["course"] == row["course"]]
    ends = min(run["from"] for run in runs), max(run["to"] for run in runs)
    lines = []
    for k, u in enumerate(ends):
        x, y = point(layer, u, row["near"])
        cx, cy = layer["across"]
        ray = LineString([(x - 9e3 * cx, y - 9e3 * cy), (x + 9e3 * cx, y + 9e3 * cy)])
        near = Point(x, y).distance(ray.intersection(far))
        below = (ray.intersection(far).y - y) * (1 if rises else -1) > 0
        widths = row["end_widths"] or [row["width"]] * 2
        is_first = row["from_wall"] and row["course"] <= len(found["courses"]) / 2
        lines.append((-near if below else near) + (row["width"] if is_first else widths[k]))
    return lines


@LAW
@given(request=out_of_parallel())
def test_beside_walls_out_of_parallel_figures_are_true_at_both_ends(request: Request) -> None:
    """Each number has the distance of its far edge from the starting wall at either end (3.8)."""
    found = answered(request)
    if not any(row["end_widths"] for row in found["courses"]):
        return
    courses = {str(row["course"]): row for row in found["courses"]}
    (page,) = drawn(request, layer="boards")
    numbers = [one for one in page.under("no.", "left") if one.text in courses]
    assert len(numbers) >= 2
    lefts = {one.y: one.text for one in page.under("far edge", "left")}
    rights = [one.text for one in page.under("far edge", "right")]
    slack, _ = slack_of(request)
    expected = {number: wall_lines(found, row) for number, row in courses.items()}
    for number in numbers:
        left, right = expected[number.text]
        if number.y in lefts:
            assert plotted.length_of(lefts[number.y]) == pytest.approx(left, abs=slack)
        assert any(abs(plotted.length_of(text) - right) <= slack for text in rights)


@LAW
@given(request=out_of_parallel())
def test_each_course_that_tapers_has_its_width_at_both_ends(request: Request) -> None:
    """Beside the course, or in words over the drawing (3.8); rips are written to 1/32 in."""
    found, (page,) = told_and_drawn(request, layer="boards")
    said = " ".join(page.said())
    for row in found["courses"]:
        for width, side in zip(row["end_widths"], ("left", "right"), strict=False):
            texts = [one.text for one in page.under("width", side)]
            texts += [
                text.split(": ")[1].split(" wide")[0]
                for text in page.said()
                if text.startswith(f"no. {row['course']}: ") and text.endswith(f"{side} end")
            ]
            slack = slack_of(request)[1]
            assert any(abs(plotted.length_of(text) - width) <= slack for text in texts), (
                row["course"], width, side, said,
            )  # fmt: skip


@st.composite
def diagonal(draw: st.DrawFn) -> Request:
    """Boards at an angle on a rectangle or a corner cut off, over a panel."""
    x, y = draw(shapes.inches(70, 150)), draw(shapes.inches(60, 110))
    ring = draw(st.sampled_from([
        [[0, 0], [x, 0], [x, y], [0, y]],
        [[0, 0], [x, 0], [x, y - 30], [x - 30, y], [0, y]],
    ]))  # fmt: skip
    layer = {"direction": draw(st.sampled_from([45, 30, 60, 135, 120])), "joints": "anywhere"}
    area = requests.outline(ring, layer=layer, backing={"thickness": 0.5})
    return requests.job(area, requests.board("12 ft", "20 ft"), when_blocked="relax")


def marks_on_walls(found: Request) -> dict[str, list[tuple[int, float]]]:
    """By sides of the outline's box, the courses whose far edges meet its walls, and where.

    A wall is measured from its left corner, or from its lower one where it stands upright.
    """
    (layer,), (surface,) = found["layers"], found["surfaces"]
    corners = surface["outline"]
    marks: dict[str, list[tuple[int, float]]] = {}
    xs, ys = zip(*corners, strict=True)
    for row in found["courses"]:
        line = LineString([point(layer, -999, row["far"]), point(layer, 999, row["far"])])
        for a, b in pairwise([*corners, corners[0]]):
            met = LineString([a, b]).intersection(line)
            if met.is_empty:
                continue
            level = abs(a[0] - b[0]) > abs(a[1] - b[1])
            corner = min((a, b), key=lambda at, k=0 if level else 1: at[k])
            near = {"left": met.x - min(xs), "right": max(xs) - met.x,
                    "bottom": met.y - min(ys), "top": max(ys) - met.y}  # fmt: skip
            side = min(near, key=lambda name, near=near: round(near[name], 3))
            marks.setdefault(side, []).append((row["course"], met.distance(Point(corner))))
    return marks


@LAW
@given(request=diagonal())
def test_marks_of_diagonal_courses_are_measured_along_the_wall_they_stand_at(
    request: Request,
) -> None:
    """At the left and the right of the drawing, each at its own height."""
    found, (page,) = told_and_drawn(request, layer="boards")
    marks = marks_on_walls(found)
    for side in ("left", "right"):
        true = [at for _, at in marks.get(side, [])]
        heads = [one for one in page.open if one.text == "mark" and
                 (one.anchor == ("end" if side == "left" else "start"))]  # fmt: skip
        if not heads or not true:
            continue
        texts = [one.text for one in page.open if any(one.x == head.x for head in heads)]
        written = [plotted.length_of(text) for text in texts if text.endswith('"')]
        assert written
        for length in written:
            assert min(abs(length - at) for at in true) <= SIXTEENTH, (length, true)


@LAW
@given(request=diagonal())
def test_joints_of_diagonal_courses_are_measured_from_the_wall(request: Request) -> None:
    """Along the middle of the course from its lower end; edges of the outline have lengths too."""
    found, (page,) = told_and_drawn(request, layer="boards")
    (layer,), (surface,) = found["layers"], found["surfaces"]
    walls = Polygon(surface["outline"]).exterior
    true = [Point(a).distance(Point(b)) for a, b in pairwise(walls.coords)]
    for joint in found["joints"]:
        row = found["courses"][joint["course"] - 1]
        middle = (row["near"] + row["far"]) / 2
        at = Point(point(layer, joint["at"], middle))
        back = LineString([at, point(layer, joint["at"] - 999, middle)])
        true.append(back.intersection(walls).distance(at))
    left, right = page.reach
    heights = [y for one in page.outlines for ring in one for _, y in ring]
    for text in page.open:
        inside = left < text.box[0] < text.box[2] < right and min(heights) < text.y < max(heights)
        if inside and text.text.endswith('"'):
            assert min(abs(plotted.length_of(text.text) - one) for one in true) <= SIXTEENTH


@LAW
@given(request=diagonal())
def test_numbers_of_diagonal_courses_stand_beside_their_courses(request: Request) -> None:
    """Beside the drawing, each at the height where its course meets that side."""
    found, (page,) = told_and_drawn(request, layer="boards")
    (layer,), (surface,) = found["layers"], found["surfaces"]
    assert page.scale is not None
    size = 25.4 / page.scale
    left, right = page.reach
    low = max(y for rings in page.outlines for ring in rings for _, y in ring)
    base = min(y for _, y in surface["outline"])
    edge = min(x for x, _ in surface["outline"])
    for text in page.open:
        if not text.text.isdigit() or left < text.x < right:
            continue
        row = found["courses"][int(text.text) - 1]
        x = edge if text.x < left else edge + (right - left) / size
        y = base + (low - text.y + 0.35 * 3.65) / size
        (ox, oy), (cx, cy) = layer["origin"], layer["across"]
        v = (x - ox) * cx + (y - oy) * cy
        slack = 0.2 * row["width"]  # where it ends at a wall that is none of the box's sides
        corner = Polygon(surface["outline"]).exterior.distance(Point(x, y)) > 0.6
        near, far = sorted((row["near"], row["far"]))
        assert corner or near - slack <= v <= far + slack, (text, v, row)


@st.composite
def pierced(draw: st.DrawFn) -> Request:
    """A room of a size that a page holds, or a wall, with openings of any shape."""
    points = draw(shapes.rectangles(90, 200))
    x0, y0, x1, y1 = shapes.bounds(points)
    one = draw(shapes.openings(points, "hatch"))
    wide = {"id": "door", "rectangle": [x0 + 4, y0, draw(shapes.inches(8, (x1 - x0) / 2)),
                                        draw(shapes.inches(6, (y1 - y0) / 2))]}  # fmt: skip
    layer = {"direction": draw(st.sampled_from([0, 90])), "joints": "anywhere"}
    area = requests.outline(points, layer=layer, openings=[draw(st.sampled_from([one, wide]))],
                            backing={"thickness": 0.5})  # fmt: skip
    return requests.job(area, draw(jobs.products()), when_blocked="relax")


@LAW
@given(request=pierced())
def test_each_opening_says_its_size_and_where_it_lies(request: Request) -> None:
    """Inside it or in words over the drawing: from the left and from the bottom of the surface."""
    found, (page,) = told_and_drawn(request, layer="boards")
    (surface,) = found["surfaces"]
    corner = [min(at[k] for at in surface["outline"]) for k in (0, 1)]
    said = " / ".join(text.text for text in page.open)
    for row in found["openings"]:
        ring = row["drawn"][0]
        lows = [min(at[k] for at in ring) - corner[k] for k in (0, 1)]
        highs = [max(at[k] for at in ring) - corner[k] for k in (0, 1)]
        if f"{row['opening']}: " in said:
            said_of = next(t.text for t in page.open if t.text.startswith(f"{row['opening']}: "))
            texts = said_of.split(": ")[1].split(", ")
        else:
            stack = next(one for one in page.open if one.text == row["opening"])
            texts = [one.text for one in page.open if one.x == stack.x and one.y > stack.y][:3]
        size, *places = texts
        if size.endswith(" round"):
            lows = [(low + high) / 2 for low, high in zip(lows, highs, strict=True)]
            highs = [high - low for low, high in zip(lows, highs, strict=True)]
            assert plotted.length_of(size.removesuffix(" round")) == pytest.approx(
                2 * highs[0], abs=SIXTEENTH
            )
        else:
            spans = [high - low for low, high in zip(lows, highs, strict=True)]
            written = [plotted.length_of(part) for part in size.split(" x ")]
            assert written == pytest.approx(spans, abs=SIXTEENTH)
        for place, low, name in zip(places, lows, ("left", "bottom"), strict=True):
            text = place.removeprefix("centre ").removesuffix(f" from {name}")
            assert plotted.length_of(text) == pytest.approx(low, abs=SIXTEENTH)


@LAW
@given(request=pierced())
def test_each_notch_and_each_part_ripped_says_its_size(request: Request) -> None:
    found, (page,) = told_and_drawn(request, layer="boards")
    courses = {row["course"]: row for row in found["courses"]}
    rounds = {one["id"] for one in request["surfaces"][0]["openings"] if "circle" in one}
    texts = page.said()
    for piece in found["pieces"]:
        width = abs(piece["far"] - piece["near"])
        if width < courses[piece["course"]]["width"] - 1e-6:
            names = (piece["label"], f"no. {piece['course']}")
            written = [text.rpartition("rip to ")[2] for text in texts
                       if text.startswith("rip to ") or text.startswith(names)]  # fmt: skip
            assert any(
                text.endswith('"') and abs(plotted.length_of(text) - width) <= 1 / 64 + 1e-4
                for text in written
            ), (piece["label"], width, written)
        for notch in piece["cutouts"]:
            along, across = notch["to"] - notch["from"], abs(notch["far"] - notch["near"])
            if notch["effect"] != "notch" or along > piece["length"] - 0.125:
                continue
            if set(notch["openings"]) & rounds:
                continue
            sizes = [text.partition("notch ")[2].split(" at ")[0].split(" x ")
                     for text in texts if "notch " in text]  # fmt: skip
            assert any(
                abs(plotted.length_of(one) - across) <= 1 / 64 + 1e-4
                and abs(plotted.length_of(two) - along) <= (1 / 64 if along < 24 else 1 / 32) + 1e-4
                for one, two in sizes
            ), (piece["label"], along, across, sizes)


@FEW
@given(request=pierced())
def test_joints_are_drawn_in_boards_and_in_no_opening(request: Request) -> None:
    found, (page,) = told_and_drawn(request, layer="boards")
    assert page.scale is not None
    size = 25.4 / page.scale
    left, low = page.reach[0], max(y for one in page.outlines for ring in one for _, y in ring)
    corners = found["surfaces"][0]["outline"]
    x0, y0 = min(x for x, _ in corners), min(y for _, y in corners)
    holes = [Polygon(row["drawn"][0]) for row in found["openings"]]
    for a, b in page.joints:
        ends = [(x0 + (x - left) / size, y0 + (low - y) / size) for x, y in (a, b)]
        assert all(LineString(ends).intersection(hole).length < PAPER / size for hole in holes)


@FEW
@given(points=st.one_of(shapes.out_of_square(), shapes.stepped()),
       view=st.sampled_from(["facing", "plan"]), backwards=st.booleans(),
       way=st.sampled_from([0, 90]))  # fmt: skip
def test_what_an_edge_lies_beside_is_written_along_it_and_moves_nothing(
    points: shapes.Points, view: str, backwards: bool, way: int
) -> None:
    """In the surface, nearest to its own edge, however it is seen; no figure changes."""
    ring = [*reversed(points)] if backwards else [*points]
    layer = {"direction": way, "joints": "anywhere"}
    area = requests.outline(ring, view=view, layer=layer, backing={"thickness": 0.5})
    plain = requests.job(area, requests.board("30 ft"), when_blocked="relax", effort="quick")
    assume(asked(plain).kind == "answer")
    edges = [{"edge": k, "beside": f"wall {k}"} for k in range(len(ring))]
    told = requests.changed(plain, "/surfaces/0/edges", edges)
    assert without_request(answered(told)) == without_request(answered(plain))
    page = drawn(told)[0]
    assume(len(page.outlines) == 1)  # in parts, a wall is named in each in which it lies
    outline = page.outlines[0][0]
    shown = [text for text in page.open if text.text.startswith("wall ")]
    assert shown
    assert len({text.text for text in shown}) == len(shown)
    low, high = min(x for x, _ in ring), max(x for x, _ in ring)
    near, far = min(y for _, y in ring), max(y for _, y in ring)
    (left, top, right, bottom) = Polygon(outline).bounds
    for text in shown:
        k = int(text.text.split()[1])
        ends = []
        for x, y in (ring[k], ring[(k + 1) % len(ring)]):
            across = (x - low) / (high - low)
            across = 1 - across if view == "plan" else across
            ends.append((left + across * (right - left),
                         bottom - (y - near) / (far - near) * (bottom - top)))  # fmt: skip
        middle = Point((text.box[0] + text.box[2]) / 2, (text.box[1] + text.box[3]) / 2)
        assert Polygon(outline).buffer(0.1).contains(middle)
        wide = text.box[2] - text.box[0]
        assert LineString(ends).distance(middle) < wide / 2 + 9


def without_request(tables: Request) -> Request:
    """An answer without what it tells of the request that was sent."""
    surfaces = [{**row, "beside": None} for row in tables["surfaces"]]
    left = {key: value for key, value in tables.items() if key not in ("version", "request")}
    return {**left, "surfaces": surfaces}
