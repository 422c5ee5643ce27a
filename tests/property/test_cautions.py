"""Cautions are told by what is in the job, each with its source, and never of what is not there."""

from __future__ import annotations

from typing import Any

import pytest

from service.compute import TEXT, Picked, answer
from service.standards import loader
from service.takeoff import cautions
from tests.strategies.asking import answered, body_of
from tests.strategies.requests import board, job, room

Request = dict[str, Any]

HATCH = [{"id": "hatch", "rectangle": [40, 20, 40, 16]}]
NAIL = {"id": "nail", "form": "fastener", "shank": "ring", "lengths": [2]}
SCREW = NAIL | {"id": "screw", "shank": "screw"}


def told(type_: str, fastener: str, openings: list[Request]) -> dict[str, Request]:
    """The cautions on boards of one surface, by what each is about."""
    area = room(120, 96, type=type_, view="facing", openings=openings,
                layer={"fastening": {"product": fastener}})  # fmt: skip
    request = job(area, board("10 ft"), NAIL, SCREW, rules={"backing": "none"})
    return {row["about"]: row for row in answered(request)["cautions"]}


ALWAYS = {"local_code", "dust", "boarding"}


@pytest.mark.parametrize(
    ("type_", "fastener", "openings", "about"),
    [
        ("ceiling", "nail", [], {"height", "nailers"}),
        ("wall", "screw", [], {"height"}),
        ("floor", "screw", [], set()),
        ("ceiling", "screw", HATCH, {"height", "openings", "members_cut"}),
        ("deck", "nail", HATCH, {"nailers", "openings", "floor_openings", "members_cut"}),
    ],
)
def test_what_is_there_is_cautioned(
    type_: str, fastener: str, openings: list[Request], about: set[str]
) -> None:
    """A hatch of 40 in over joists 16 in apart cuts two of them."""
    found = told(type_, fastener, openings)
    assert set(found) == ALWAYS | about
    assert all(row["surfaces"] == ["loft"] and row["source"] for row in found.values())


def test_published_sources_are_named() -> None:
    assert told("ceiling", "nail", [])["nailers"]["source"].startswith("NIOSH and OSHA")


def test_a_caution_says_on_paper_which_surfaces_it_is_about_where_that_is_not_all() -> None:
    rooms = [
        room(120, 96, type="ceiling", view="facing"),
        room(120, 96, type="floor", layer={"fastening": {"product": "nail"}}) | {"id": "hall"},
    ]
    request = job(rooms, board("10 ft"), NAIL, rules={"backing": "none"})
    text = " ".join(answer(body_of(request), Picked(media=TEXT)).body.decode().split())
    assert "* loft: Work from staging" in text
    assert "* Saw outdoors" in text


def test_each_row_of_the_table_has_its_case() -> None:
    rows = {name for name, row in loader.table("cautions").items() if isinstance(row, dict)}
    assert rows == set(cautions._WHEN)
