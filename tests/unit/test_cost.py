"""What a job will cost, before it is done: it sorts jobs, so only its order matters."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from service.compute import Picked, answer
from service.request.cost import cost
from service.request.limits import MOST_LIGHT
from service.request.reading import read

EXAMPLES = Path(__file__).parents[2] / "openapi/examples"


def job(**changed: Any) -> bytes:
    small = json.loads((EXAMPLES / "small.json").read_bytes())
    surface = {**small["surfaces"][0], **changed.pop("surface", {})}
    return json.dumps({**small, "surfaces": [surface], **changed}).encode()


def test_a_larger_surface_costs_more() -> None:
    costs = [cost(read(job(surface={"rectangle": [side, side]}))) for side in (96, 240, 960, 2400)]
    assert costs == sorted(set(costs))


def test_more_work_asked_for_costs_more() -> None:
    assert cost(read(job(effort="thorough"))) > cost(read(job()))


def test_a_heavy_job_is_handed_back_only_where_light_ones_are_asked_for() -> None:
    heavy = job(surface={"rectangle": ["120 ft", "80 ft"]})
    assert cost(read(job())) <= MOST_LIGHT < cost(read(heavy))
    assert answer(heavy, Picked(only_light=True)).kind == "heavy"
    assert answer(job(), Picked(only_light=True)) == answer(job())


def test_a_refusal_is_told_by_any_process() -> None:
    wrong = job(surface={"rectangle": ["120 ft", "80 ft"], "layers": []})
    assert answer(wrong, Picked(only_light=True)).kind == "ShapeRefused"
