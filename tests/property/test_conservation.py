"""Area is conserved: placed pieces tile the surface, and every stated area is the true one."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given

from tests.independent import reader, tiling
from tests.independent.asked import Layer, laid, layers, rows
from tests.independent.measure import square
from tests.strategies import jobs, requests
from tests.strategies.asking import answered
from tests.strategies.budget import LAW

Request = dict[str, Any]

FAMILIES = {
    "rectangles": jobs.rectangular(),
    "openings": jobs.with_openings(),
    "rings": jobs.ringed(),
    "any outline, any direction": jobs.of_any_outline(),
    "slopes": jobs.sloped(),
    "several surfaces": jobs.of_several_surfaces(),
}


def close(stated: float, true: float, give: float) -> bool:
    """Whether an area printed to six decimals, or better, is the true one."""
    return abs(stated - true) <= give


def surface_row(answer: Request, layer: Layer) -> Request:
    """The row of a layer's surface."""
    found: Request = next(row for row in answer["surfaces"] if row["surface"] == layer.key[0])
    return found


def check_areas(request: Request, answer: Request) -> None:
    """Drawn = openings + gaps + installed, each by itself; pieces cover what is installed."""
    unit = square(answer["units"]["area"])
    for layer in laid(request, answer):
        row, true = surface_row(answer, layer), reader.surface_areas(layer)
        target = tiling.boarded(layer, answer)
        give = tiling.leeway(layer, target, []) + unit * 1e-6
        region = tiling.with_whole_courses(layer, answer).area
        for name in ("gross", "net", "openings"):
            assert close(row[name] * unit, true[name], give), (name, row, true)
        assert target.area - give <= row["installed"] * unit <= region + give
        assert close(row["net"], row["installed"] + row["gaps"], give / unit)
        pieces = rows(answer, "pieces", layer)
        own = give + 1e-6 * unit * len(pieces)
        assert close(sum(piece["area"] for piece in pieces) * unit, target.area, own)


@pytest.mark.parametrize("family", FAMILIES)
def test_pieces_tile_the_surface(family: str) -> None:
    """No overlap, no gap but the stated ones, nothing outside; and the stated areas are right."""

    @LAW
    @given(request=FAMILIES[family])
    def law(request: Request) -> None:
        answer = answered(request)
        assert tiling.faults(request, answer) == []
        check_areas(request, answer)

    law()


@LAW
@given(request=jobs.with_openings())
def test_an_opening_never_adds_area_and_takes_its_own_part(request: Request) -> None:
    """Area with the opening = area without it less the cut that lies in the boarded region.

    Legs that go with the opening, under its flange, count as cut. All is sawn: what gaps take lies
    where the courses do, which may move for an opening.
    """
    request |= {"rules": request.get("rules", {}) | {"unsawn": 0}}
    (layer,) = layers(request)
    closed = requests.changed(request, "/surfaces/0/openings", [])
    unit = square("ft2")
    without = surface_row(answered(closed), layer)["installed"] * unit
    opened = answered(request)
    cut_away = surface_row(opened, layer)["installed"] * unit
    whole = layers(closed)[0].room()
    left = layer.frame.moved_all(layer.room())
    taken = whole.area - left.difference(tiling.legs_cut_out(layer, opened)).area
    give = tiling.leeway(layer, whole, []) + 2e-6 * unit
    assert cut_away <= without + give
    assert close(without - cut_away, taken, give)


def test_openings_that_overlap_count_once() -> None:
    """Two 20 x 20 in holes that share 10 x 20 in take 600 square inches, not 800."""
    holes = [{"id": name, "rectangle": [x, 40, 20, 20]} for name, x in (("a", 60), ("b", 70))]
    row = answered(requests.job(requests.room(192, 144, openings=holes)))["surfaces"][0]
    assert row["openings"] == pytest.approx(600 / 144, abs=1e-6)
    assert row["net"] == pytest.approx((192 * 144 - 600) / 144, abs=1e-6)


def test_an_opening_in_the_gap_changes_nothing_in_the_boards() -> None:
    """A hole of 3/16 in against the wall lies in the gap of 1/2 in with its saw gap."""
    plain = requests.job(requests.room(192, 144))
    hole = {"id": "pipe", "rectangle": [60, 0, 4, 0.1875], "cut_gap": 0.125}
    holed = requests.job(requests.room(192, 144, openings=[hole]))
    one, other = answered(plain), answered(holed)
    for table in ("courses", "runs", "pieces", "joints", "sticks", "ledger"):
        assert one[table] == other[table], table
