"""Where a request says one thing or another, the document says so too: it takes what is taken."""

from itertools import chain, combinations
from typing import Any

import jsonschema_rs
import pytest

from service.request.model import job_schema
from tests.strategies import requests
from tests.strategies.asking import asked

Request = dict[str, Any]

VALID = jsonschema_rs.Draft202012Validator(job_schema())
OUTLINE = [[0, 0], [100, 0], [100, 80], [0, 80]]
PARTS: dict[str, dict[str, Any]] = {
    "/surfaces/0": {
        "rectangle": [100, 80], "outline": OUTLINE, "sides": [100, 80, 100, 80],
        "diagonals": [128.0625],
    },
    "/surfaces/0/supports": {"spacing": 16, "at": [16, 32, 48], "first": 16, "ends": True},
    "/surfaces/0/openings/0": {
        "rectangle": [40, 40, 8, 8], "circle": [40, 40, 8],
        "outline": [[40, 40], [48, 40], [44, 48]],
    },
}  # fmt: skip


def base() -> Request:
    area = requests.room(100, 80, openings=[{"id": "hatch", "rectangle": [40, 40, 8, 8]}])
    return requests.job(area)


def choices() -> list[tuple[str, tuple[str, ...], bool]]:
    """Every selection of the members of each part, the others left out or sent as null."""
    return [
        (at, some, null)
        for at, members in PARTS.items()
        for some in chain.from_iterable(combinations(members, k) for k in range(len(members) + 1))
        for null in (False, True)
    ]


@pytest.mark.parametrize(("at", "some", "null"), choices())
def test_the_document_and_the_reader_agree(at: str, some: tuple[str, ...], null: bool) -> None:
    request = base()
    spot: Any = request
    for part in at.split("/")[1:]:
        spot = spot[int(part)] if isinstance(spot, list) else spot[part]
    for name, value in PARTS[at].items():
        spot.pop(name, None)
        if name in some or null:
            spot[name] = value if name in some else None
    assert VALID.is_valid(request) == (asked(request).kind != "ShapeRefused")


def test_both_answers_are_seen() -> None:
    """So that the law above compares something."""
    request = base()
    assert VALID.is_valid(request)
    assert not VALID.is_valid(requests.changed(request, "/surfaces/0/outline", OUTLINE))
