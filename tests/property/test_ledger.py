"""Every bought square tick is in one account, and each account is what pieces and sticks say."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given

from tests.independent import reader, tiling
from tests.independent.asked import Layer, laid, layers
from tests.independent.measure import slack, square
from tests.strategies import jobs, requests
from tests.strategies.asking import answered
from tests.strategies.budget import LAW

Request = dict[str, Any]

ACCOUNTS = {
    "installed", "lap_or_tongue", "rip", "notch", "mitre", "crosscut", "kerf", "end_trim", "fit",
    "snap", "short_offcut", "offcut_kept", "cull", "spare", "surplus",
    "owned",
}  # fmt: skip
FACES = ("installed", "notch", "mitre", "snap")


def check_ledger(request: Request, answer: Request) -> None:
    """The sum, the accounts that need no geometry, and the faces of the placed pieces."""
    for product in {layer.product["id"] for layer in layers(request)}:
        booked = reader.booked(answer, product)
        assert set(booked) <= ACCOUNTS
        assert sum(booked.values()) == reader.bought_twice(request, answer, product)
        for name, account in reader.ledger(request, answer, product).items():
            off = abs(booked.get(name, 0) - account.twice)
            assert off <= account.open, (name, booked.get(name, 0), account)
        _check_faces(request, answer, product, booked)


def _check_faces(request: Request, answer: Request, product: str, booked: dict[str, int]) -> None:
    """Cut length times overall = the faces' accounts + fit + lap + rip, to the last tick.

    Of pieces ripped from one board the first is counted, and the kerfs of those rips taken off.
    """
    own = [layer for layer in laid(request, answer) if layer.product["id"] == product]
    long = {piece["id"]: piece["ticks"] for piece in answer["pieces"]}
    sticks = [row for row in answer["sticks"] if row["product"] == product]
    cut = sum(long[name] for row in sticks for name in row["pieces"])
    ripped = sum(long[name] for row in sticks for names in row["beside"] for name in names)
    parts = (*FACES, "fit", "lap_or_tongue", "rip", "crosscut")
    whole = 2 * cut * own[0].overall - 2 * ripped * own[0].rule("kerf")
    assert sum(booked.get(name, 0) for name in parts) == whole
    target = [tiling.boarded(layer, answer) for layer in own]
    give = sum(tiling.leeway(layer, area, []) for layer, area in zip(own, target, strict=True))
    assert abs(booked["installed"] / 2 - sum(area.area for area in target)) <= give


@LAW
@given(request=jobs.jobs())
def test_the_ledger_is_what_pieces_and_sticks_say(request: Request) -> None:
    """Account by account, by a reader that knows nothing of the service."""
    check_ledger(request, answered(request))


def _one_layer(request: Request) -> tuple[Layer, Request, dict[str, int], float]:
    answer = answered(request)
    (layer,) = laid(request, answer)
    target = tiling.boarded(layer, answer)
    pieces = len(answer["pieces"])
    give = 2 * tiling.leeway(layer, target, []) + pieces * layer.overall * 8 * slack(layer.unit)
    return layer, answer, reader.booked(answer, layer.product["id"]), give


@LAW
@given(request=jobs.with_openings())
def test_what_openings_take_is_notch(request: Request) -> None:
    """On a rectangle a square hole takes notch alone; a round or slanting one mitre at ends."""
    layer, answer, booked, give = _one_layer(request)
    lost = reader.losses(layer, answer)
    give += tiling.leeway(layer, layer.outline, [])
    (hole,) = layer.surface["openings"]
    taken = booked.get("notch", 0) + booked.get("mitre", 0) + booked.get("snap", 0)
    assert abs(taken / 2 - lost["openings"] - lost["outline"]) <= give
    assert "rectangle" not in hole or booked.get("mitre", 0) == 0


@LAW
@given(request=jobs.of_any_outline())
def test_what_the_outline_takes_is_notch_or_mitre(request: Request) -> None:
    """Slanted ends are mitre, square re-entrant corners notch; there is no opening here."""
    layer, answer, booked, give = _one_layer(request)
    lost = reader.losses(layer, answer)
    give += tiling.leeway(layer, layer.outline, [])
    both = booked.get("notch", 0) + booked.get("mitre", 0) + booked.get("snap", 0)
    assert abs(both / 2 - lost["outline"]) <= give
    level = layer.layer["direction"] % 90 == 0
    corners = layer.surface["outline"]
    sides = zip(corners, corners[1:] + corners[:1], strict=True)
    if level and all(a[0] == b[0] or a[1] == b[1] for a, b in sides):
        assert booked.get("mitre", 0) == 0


@LAW
@given(request=jobs.of_any_outline())
def test_snap_is_small(request: Request) -> None:
    """Snapping slanted edges to ticks moves an area of a few ticks along the edges at most."""
    _layer, _answer, booked, give = _one_layer(request)
    assert abs(booked.get("snap", 0)) <= give


@pytest.mark.parametrize("rules", [{"cull": 10}, {"spare": 2}, {"cull": 12.5, "spare": 1}])
def test_culls_and_spares_are_accounts(rules: Request) -> None:
    """What is bought beyond the cut sticks is booked whole."""
    request = requests.job(requests.room(192, 144), rules=rules)
    answer = answered(request)
    check_ledger(request, answer)
    booked = reader.booked(answer, "pine")
    assert all(booked[name] > 0 for name in rules)


def test_multiples_leave_a_surplus() -> None:
    """Sticks sold by the dozen: what is not cut is surplus, whole."""
    stock = [{"length": "16 ft", "multiple": 12}]
    request = requests.job(requests.room(190, 144), requests.board(*stock))
    answer = answered(request)
    check_ledger(request, answer)
    (row,) = (row for row in answer["order"] if row["product"] == "pine")
    assert row["buy"] % 12 == 0
    assert (reader.booked(answer, "pine")["surplus"] > 0) == (row["buy"] > row["need"])


@LAW
@given(request=jobs.rectangular())
def test_areas_of_the_ledger_are_its_ticks(request: Request) -> None:
    """The printed area is the exact one, to its last decimal."""
    answer = answered(request)
    unit = square(answer["units"]["area"])
    for row in answer["ledger"]:
        assert abs(row["area"] - int(row["half_square_ticks"]) / 2 / unit) <= 1e-6
        assert row["measure"] == "area"
        assert row["amount"] == row["half_square_ticks"]
