"""Layers are drawn as a part of the takeoff where a drawing is asked for, and else not at all."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from service.products.drawing import DrawnLayer
from service.report.drawing.svg import draw
from service.report.sheets import sheets
from service.report.tables.csv_table import as_csv
from service.report.tables.flat import flat
from service.request.reading import read
from service.takeoff.job import Job
from service.takeoff.pipeline import take_off
from tests.strategies.kinds import each_example

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
    """Each placed layer once; what draws the page asks no kind again."""
    takeoff = take_off(read(example.read_bytes()), draw=True)
    assert list(takeoff.drawn) == [one.laid.task.at for one in takeoff.placed]
    shown = [layer for sheet in sheets(takeoff) for layer in sheet.layers]
    assert sorted(map(id, shown)) == sorted(map(id, takeoff.drawn.values()))
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
