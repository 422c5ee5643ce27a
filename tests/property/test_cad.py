"""The drawing for CAD measures what the JSON answer says, on layers of their own names.

It is read back and audited by the library's reader; areas and lengths are reckoned here.
"""

from __future__ import annotations

import io
import math
import re
from collections import Counter
from functools import lru_cache
from pathlib import Path
from typing import get_args

import ezdxf
import orjson
import pytest
from ezdxf.document import Drawing

from service.compute import DXF, Picked, answer
from service.products import drawing
from service.report.cad.plan import _MARKS, Outline, plan
from service.report.cad.written import dxf, literal
from service.report.sheets import sheets
from service.request.reading import job_of
from service.request.strict_json import loads
from service.takeoff.pipeline import take_off
from tests.strategies.asking import Request, answered

KINDS = Path(__file__).parents[2] / "service" / "products" / "kinds"
PORCH, LOFT = "boarding/examples/porch", "wrap/examples/loft"
COFFERS = "box_beams/examples/coffers"
MEASURED = (PORCH, COFFERS, "trim/examples/den", "sheathing/examples/loft")
SQUARE_FEET = 144.0
"""Of a drawing in inches."""


def told(example: str) -> Request:
    return answered(orjson.loads((KINDS / f"{example}.json").read_bytes()))


@lru_cache
def written(example: str) -> bytes:
    job = job_of(loads((KINDS / f"{example}.json").read_bytes()))
    return dxf(plan(sheets(take_off(job, draw=True))))


@lru_cache
def read(example: str) -> Drawing:
    return ezdxf.read(io.StringIO(written(example).decode()))


def rings(example: str, layer: str) -> list[list[tuple[float, float]]]:
    found = read(example).modelspace().query(f'LWPOLYLINE[layer=="{layer}"]')
    assert all(one.closed for one in found)
    return [[(x, y) for x, y, *_ in one.get_points()] for one in found]


def signed(ring: list[tuple[float, float]]) -> float:
    sides = zip(ring, ring[1:] + ring[:1], strict=True)
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in sides) / 2


def round_it(ring: list[tuple[float, float]]) -> float:
    return sum(math.dist(*pair) for pair in zip(ring, ring[1:] + ring[:1], strict=True))


@pytest.mark.parametrize("example", [PORCH, LOFT, "trim/examples/den", COFFERS])
def test_a_reader_finds_no_fault_in_it(example: str) -> None:
    auditor = read(example).audit()
    assert not auditor.errors
    assert not auditor.fixes


def test_outlines_and_openings_measure_what_the_answer_says() -> None:
    (surface,) = told(PORCH)["surfaces"]
    (outline,) = rings(PORCH, "porch-outline")
    assert abs(signed(outline)) / 144 == pytest.approx(surface["gross"], abs=1e-5)
    assert round_it(outline) == pytest.approx(surface["perimeter"], abs=1e-5)
    assert outline == [tuple(one) for one in surface["outline"]]
    openings = sum(abs(signed(ring)) for ring in rings(PORCH, "porch-openings")) / 144
    assert openings == pytest.approx(surface["openings"], abs=1e-3)


@pytest.mark.parametrize("example", MEASURED)
def test_pieces_of_a_layer_cover_what_the_answer_says_they_do(example: str) -> None:
    """Outer rings less holes; a roll is drawn over openings, a beam as it is seen from below."""
    answer = told(example)
    for layer in answer["layers"]:
        at = layer["surface"], layer["layer"]
        name = f"{at[0]}.{at[1]}-pieces"
        own = [row for row in answer["pieces"] if (row["surface"], row["layer"]) == at]
        found = sum(signed(ring) for ring in rings(example, name)) / SQUARE_FEET
        if layer["kind"] == "wrap":
            cut = [row["cut"] for row in answer["openings"] if (row["surface"], row["layer"]) == at]
            found -= sum(abs(signed(ring)) for one in cut for ring in one) / SQUARE_FEET
        if layer["kind"] != "box_beams":
            assert found == pytest.approx(sum(row["area"] for row in own), rel=2e-5), name


def test_each_piece_is_named_once() -> None:
    for layer in ("panels", "boards"):
        labels = read(PORCH).modelspace().query(f'TEXT[layer=="porch.{layer}-pieces-text"]')
        assert Counter(one.dxf.text for one in labels) == Counter(
            row["label"] for row in told(PORCH)["pieces"] if row["layer"] == layer
        )


def test_members_and_joints_lie_where_the_answer_says() -> None:
    answer, space = told(PORCH), read(PORCH).modelspace()
    lines = space.query('LINE[layer=="porch-joists"]')
    for k in (0, 1):
        found = sorted((one.dxf.start, one.dxf.end)[k].x for one in lines)
        assert found == pytest.approx(sorted(row["line"][k][0] for row in answer["members"]))
    for layer in ("panels", "boards"):
        joints = space.query(f'LINE[layer=="porch.{layer}-joints"]')
        stations = sorted(row["at"] for row in answer["joints"] if row["layer"] == layer)
        assert sorted(one.dxf.start.x for one in joints) == pytest.approx(stations)


def test_the_unit_is_told_and_surfaces_stand_apart() -> None:
    assert read(PORCH).header["$INSUNITS"] == 1
    job = orjson.loads((KINDS / f"{PORCH}.json").read_bytes())
    two = [*sheets(take_off(job_of(loads(orjson.dumps(job))), draw=True))] * 2
    lines = [one for one in plan(two).entities if isinstance(one, Outline)]
    boxes = [one.spots for one in lines if one.layer == "porch-outline"]
    assert max(x for x, _ in boxes[0]) + 48 == pytest.approx(min(x for x, _ in boxes[1]))


def test_the_same_drawing_gives_the_same_bytes() -> None:
    job = job_of(loads((KINDS / f"{PORCH}.json").read_bytes()))
    assert dxf(plan(sheets(take_off(job, draw=True)))) == written(PORCH)


def test_a_request_is_answered_with_this_drawing_or_one_surface_of_it() -> None:
    body = (KINDS / f"{LOFT}.json").read_bytes()
    assert answer(body, Picked(DXF)).body == written(LOFT)
    assert answer(body, Picked(DXF, surface="loft")).body == written(LOFT)
    told = orjson.loads(answer(body, Picked(DXF, surface="attic")).body)
    assert [one["code"] for one in told["faults"]] == ["unknown-surface"]


def test_every_mark_is_drawn() -> None:
    assert set(_MARKS) == set(get_args(drawing.Mark))


@pytest.mark.parametrize("text", ["%%u", "%%%%d", "a^J", "\\U+0041", "\\P", "a\nb", "0\nEOF"])
def test_no_text_holds_a_code(text: str) -> None:
    found = literal(text)
    assert not re.search(r"%%|\\|[\x00-\x1f]|\^[^ ]", found)
