"""Tapering courses: widths and distances from the wall at both ends, measured on the plan (3.8)."""

from __future__ import annotations

import json
import re
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from service.compute import SVG, TEXT, Picked, answer
from tests.strategies import requests, transforms
from tests.strategies.asking import answered
from tests.strategies.budget import LAW

Request = dict[str, Any]

GAP, COVER = 0.5, 5.125
NEAR = 2e-5
"""Stations are whole ticks, and six decimals are answered."""

FAR = 400.0


def measured(answer: Request, row: Request) -> tuple[list[float], list[float]]:
    """Widths at both ends and distances of the snapped edge from the wall, on the answer's plan."""
    (layer,), (surface,) = answer["layers"], answer["surfaces"]
    (ox, oy), (ax, ay), (cx, cy) = layer["origin"], layer["along"], layer["across"]
    runs = [run for run in answer["runs"] if run["course"] == row["course"]]
    first = row["course"] <= len(answer["courses"]) / 2
    snapped, side = (row["far"], row["near"]) if first else (row["near"], row["far"])
    way = 1 if side > snapped else -1
    walls = Polygon(surface["outline"]).exterior
    widths, lines = [], []
    for u in (min(run["from"] for run in runs), max(run["to"] for run in runs)):
        x, y = ox + u * ax + snapped * cx, oy + u * ay + snapped * cy
        ray = LineString([(x, y), (x + way * FAR * cx, y + way * FAR * cy)])
        # The wall is met before any other edge that a long ray could reach.
        lines.append(ray.intersection(walls).distance(LineString([(x, y), (x, y)]).centroid))
        (a, b) = min(
            (edge for edge in pairwise(walls.coords) if LineString(edge).intersects(ray)),
            key=lambda edge: LineString(edge).distance(LineString([(x, y), (x, y)]).centroid),
        )
        dx, dy = b[0] - a[0], b[1] - a[1]
        square = abs(dx * ax + dy * ay) / (dx * dx + dy * dy) ** 0.5
        widths.append(min(row["width"], max(0.0, lines[-1] - GAP / square)))
    return widths, lines


def quad(left: float, right: float, low: float = 0.0) -> Request:
    ring = [[0, 0], [240, low], [240, low + right], [0, left]]
    return requests.job(requests.outline(ring), requests.board("16 ft"), when_blocked="relax")


@LAW
@given(left=st.integers(600, 1600), off=st.integers(-64, 64), low=st.integers(-32, 32))
def test_a_taper_is_what_a_tape_finds_at_both_ends(left: int, off: int, low: int) -> None:
    """Every course that a wall out of parallel cuts, and no other, has two widths and two marks."""
    found = answered(quad(left / 16, (left + off) / 16, low / 16))
    for row in found["courses"]:
        if not row["end_widths"]:
            continue
        widths, lines = measured(found, row)
        assert row["end_widths"] == pytest.approx(widths, abs=NEAR)
        assert row["from_wall"] == pytest.approx(lines, abs=NEAR)
    ends = found["courses"][0], found["courses"][-1]
    apart = [abs(one - two) for row in ends for one, two in [measured(found, row)[0]]]
    for row, by in zip(ends, apart, strict=True):
        assert bool(row["end_widths"]) == (by > 1 / 64 + NEAR) or by < 1 / 64 + 2 * NEAR


def both_ends(request: Request, scale: float = 1) -> list[list[float]]:
    return [
        [value / scale for value in (*row["end_widths"], *row["from_wall"])]
        for row in answered(request)["courses"]
    ]


def test_a_taper_is_the_same_in_millimetres_and_swaps_its_ends_in_the_mirror() -> None:
    room = quad(144, 141.25)
    own = both_ends(room)
    assert [len(one) for one in own if one] == [4, 4]
    metric = both_ends(transforms.in_millimetres(room), 25.4)
    assert [pytest.approx(one, abs=NEAR) for one in metric] == own
    turned = quad(141.25, 144)
    assert [[one[k] for k in (1, 0, 3, 2)] if one else [] for one in both_ends(turned)] == [
        pytest.approx(one, abs=NEAR) for one in own
    ]


def test_a_course_that_is_whole_at_one_end_only_is_told_to_be_ripped() -> None:
    """A taper of 10 in takes part of the second course too, whose edges lie a whole board apart."""
    found = answered(quad(125, 115))["courses"]
    part = [row for row in found if row["end_widths"] and row["rip"] == "none"]
    assert [row["course"] for row in part] == [2, len(found) - 1]
    assert [row["note"] for row in part] == ["rip off the groove side", "rip off the tongue side"]


def test_a_rip_is_tested_at_its_narrow_end() -> None:
    """A taper of 2-3/4 in over 20 ft takes half of that off each outer course at one end (3.9)."""
    found = answered(quad(145, 142.25))
    narrow = min(width for row in found["courses"] for width in row["end_widths"])
    (small,) = [row for row in found["findings"] if row["code"] == "rip-small"]
    assert small["measure"] == pytest.approx(narrow, abs=0.005)
    assert small["measure"] < found["courses"][0]["width"] - 1


def test_paper_and_drawing_have_both_ends_of_a_taper() -> None:
    """The line is snapped from the wall at either end, and both widths stand at the courses."""
    request = quad(144, 141.25)
    first = answered(request)["courses"][0]
    body = json.dumps(request).encode()
    paper, drawn = (answer(body, Picked(form)).body for form in (TEXT, SVG))
    words = " ".join(_text(paper).split())
    line = re.search(r"Snap a line (\S+) from the wall at the left end, (\S+) at the right", words)
    assert line is not None
    assert [_inches(one) for one in line.groups()] == pytest.approx(first["from_wall"], abs=1 / 32)
    tapers = re.search(r"no\. 1: tapers, (\S+) at the left end, (\S+) at the right end", words)
    assert tapers is not None
    own = [_inches(one) for one in tapers.groups()]
    assert own == pytest.approx(first["end_widths"], abs=1 / 32)
    assert f"{tapers[1]} to {tapers[2]}" in _text(drawn).replace("&quot;", '"')


def _text(body: Any) -> str:
    return body if isinstance(body, str) else bytes(body).decode()


def _inches(written: str) -> float:
    """Inches of 3-9/16" and the like."""
    whole, _, part = written.strip('",').rpartition("-")
    over, _, under = part.partition("/")
    return float(whole or 0) + float(over) / float(under or 1)
