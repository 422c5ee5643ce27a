"""Layers are drawn as a part of the takeoff where a drawing is asked for, and else not at all."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from service.products.drawing import Callout, DrawnLayer
from service.report.drawing.svg import draw
from service.report.sheets import sheets
from service.report.tables.csv_table import as_csv
from service.report.tables.flat import flat
from service.request.reading import read
from service.takeoff.job import Job
from service.takeoff.pipeline import take_off
from tests.independent import plotted
from tests.strategies.kinds import each_example, request_of
from tests.strategies.requests import board, job, room

EXAMPLES = Path(__file__).parents[2] / "service/products/kinds"
SMALL = Path(__file__).parents[2] / "openapi" / "examples" / "small.json"


def never(placed: Any, unit: str) -> DrawnLayer:
    raise AssertionError("a layer was drawn")


def with_pen(job: Job, pen: Callable[[Any, str], DrawnLayer]) -> Job:
    """A job whose kinds draw with `pen`."""
    layers = tuple(replace(one, kind=replace(one.kind, draw=pen)) for one in job.layers)
    return replace(job, layers=layers)


def test_no_layer_is_drawn_for_tables() -> None:
    job = with_pen(read(SMALL.read_bytes()), never)
    takeoff = take_off(job)
    assert takeoff.drawn == {}
    assert flat(takeoff)["pieces"]
    assert as_csv(takeoff, "pieces")
    with pytest.raises(AssertionError, match="drawn"):
        take_off(job, draw=True)


@each_example()
def test_a_drawing_shows_what_the_takeoff_has_drawn(example: Path) -> None:
    """Each placed layer once, with the shims under it; what draws the page asks no kind again."""
    takeoff = take_off(read(example.read_bytes()), draw=True)
    assert list(takeoff.drawn) == [one.laid.task.at for one in takeoff.placed]
    shown = [layer for sheet in sheets(takeoff) for layer in sheet.layers]
    made = list(takeoff.drawn.values())
    assert len(shown) == len(made)
    assert all(any(one is layer for one in made) for layer in shown) or takeoff.shims
    assert all(any(set(one.marks) <= set(layer.marks) for layer in shown) for one in made)
    blank = replace(takeoff, job=with_pen(takeoff.job, never))
    assert draw(sheets(blank), None, None) == draw(sheets(takeoff), None, None)


def test_members_that_lie_oblique_have_no_station_on_paper() -> None:
    """It would be the height of their upper end: a figure that is true at no wall."""
    request = json.loads(SMALL.read_bytes())
    request["surfaces"][0]["supports"] |= {"direction": 45}
    request["surfaces"][0]["layers"][0] |= {"direction": 135, "joints": "anywhere"}
    (sheet,) = sheets(take_off(read(json.dumps(request).encode()), draw=True))
    assert sheet.members
    assert {member.label for member in sheet.members} == {""}


def test_a_layer_for_which_nothing_was_placed_is_not_seen() -> None:
    takeoff = take_off(read(SMALL.read_bytes()), draw=True)
    bare = replace(takeoff, drawn={})
    assert [sheet.layers for sheet in sheets(bare)] == [()]
    assert b"<svg" in draw(sheets(bare), None, None)


@pytest.mark.parametrize("strapped", [True, False])
def test_each_shim_is_written_at_its_place_on_what_lies_on_the_members(
    strapped: bool,
) -> None:
    """On the page of the straps, or of the first layer where there are none; on no other."""
    request = request_of(EXAMPLES / "strapping/examples/strapped_ceiling.json")
    if not strapped:
        del request["surfaces"][0]["layers"][0]
        request["surfaces"][0]["layers"][0]["direction"] = 90
        request["surfaces"][0]["layers"][0].pop("fastening")
    takeoff = take_off(read(json.dumps(request).encode()), draw=True)
    (sheet,) = sheets(takeoff)
    marked = [
        [mark.at for mark in one.marks if isinstance(mark, Callout) and "shim" in mark.listed]
        for one in sheet.layers
    ]
    assert takeoff.shims
    assert marked.pop(0) == [row.at for row in takeoff.shims]
    assert not any(marked)


def test_the_size_of_a_notch_stands_by_its_notch() -> None:
    """A hatch 60 in high notches a course over it and one under it: each size by its own side.

    The word lies within the hatch, no farther from the middle of its notch than 6 mm.
    """
    hatch = {"id": "hatch", "rectangle": [30, 28, 80, 60], "cut_gap": 0}
    request = job(room(140, 120, openings=[hatch]), board("12 ft"))
    takeoff = take_off(read(json.dumps(request).encode()), draw=True)
    boards = plotted.pages(draw(sheets(takeoff), None, None))[-1]
    assert boards.scale is not None
    (left, top), (right, bottom) = (
        [pick(spot[k] for ring in boards.outlines[0] for spot in ring) for k in (0, 1)]
        for pick in (min, max)
    )
    inch = (right - left) / 140
    sides = [top + (120 - 88) * inch, bottom - 28 * inch]
    sizes = sorted(one.y for one in boards.texts if one.text.startswith("notch"))
    assert len(sizes) == 2
    assert all(abs(y - side) < 6 + 2 for y, side in zip(sizes, sides, strict=True))
    assert sides[1] - sides[0] > 40
