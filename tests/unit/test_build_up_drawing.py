"""Pages of a surface with several layers: all stacked, each by itself, and the section to scale."""

from __future__ import annotations

import json
from math import hypot
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from service.compute import Picked, answer
from service.demo import JOB
from tests.unit.test_svg import HIGH, LEAST_CAPITALS, SVG, WIDE, _group, _overlapping, _texts

LOFT = Path(__file__).parents[2] / "service/products/kinds"


def drawn(job: dict[str, Any], **picked: str) -> ElementTree.Element:
    """The drawing of a job."""
    outcome = answer(json.dumps(job).encode(), Picked("image/svg+xml", **picked))
    assert outcome.kind == "answer", outcome.body
    return ElementTree.fromstring(outcome.body)


def porch() -> dict[str, Any]:
    made: dict[str, Any] = json.loads(JOB.read_bytes())
    return made


def pages(root: ElementTree.Element) -> int:
    return round(float(root.attrib["viewBox"].split()[3]) / HIGH)


def test_a_page_for_all_layers_one_for_each_and_a_section() -> None:
    root = drawn(porch())
    assert pages(root) == 5
    titles = [text.text for text in _texts(root)]
    assert "layers: boards, wrap, panels" in titles
    for place, name in enumerate(("panels (sheathing)", "wrap", "boards (boarding)"), start=1):
        assert f"layer: {name}, {place} of 3" in titles
    assert "ceiling: section through the build-up" in titles


@pytest.mark.parametrize("layer", ["panels", "wrap", "boards"])
def test_one_layer_is_one_page(layer: str) -> None:
    assert pages(drawn(porch(), surface="porch", layer=layer)) == 1


def test_no_labels_overlap_and_all_are_large_enough_and_on_the_paper() -> None:
    texts = _texts(drawn(porch()))
    assert _overlapping(texts) == []
    assert min(text.size for text in texts) * LEAST_CAPITALS >= 2.5
    for text in texts:
        assert 6 < text.box[0] < text.box[2] < WIDE - 6, text


def test_layers_behind_are_dashed_the_nearest_with_the_shortest_dashes() -> None:
    root = drawn(porch())
    dashes = {
        group.attrib["class"]: float(group.attrib["stroke-dasharray"].split()[0])
        for group in root.iter(f"{SVG}g")
        if group.get("class", "").startswith("behind-")
    }
    assert set(dashes) == {"behind-1", "behind-2"}
    assert dashes["behind-1"] < dashes["behind-2"]


def shanks(root: ElementTree.Element) -> list[float]:
    """Lengths of the fasteners on paper, mm; heads are the short level lines between them."""
    lines = [{k: float(v) for k, v in line.attrib.items()} for line in _group(root, "fasteners")]
    return [hypot(at["x2"] - at["x1"], at["y2"] - at["y1"]) for at in lines[::2]]


def test_fasteners_are_drawn_at_their_length_in_full_scale() -> None:
    """2 in, 1 in, 2-1/2 in blind and 2-1/2 in face, at 25.4 mm an inch."""
    root = drawn(porch())
    assert any("1 : 1 on letter paper" in text.text for text in _texts(root))
    assert shanks(root) == pytest.approx([50.8, 25.4, 63.5, 63.5], abs=0.01)


def test_the_section_names_every_layer_with_its_thickness() -> None:
    texts = {text.text for text in _texts(drawn(porch()))}
    assert {"panels: panel", "wrap", "boards: hemlock", "member"} <= texts
    assert {'1/2"', '3/4"', "film"} <= texts


def test_a_shim_and_a_standing_panel_are_in_the_section() -> None:
    job = porch()
    surface = job["surfaces"][0]
    surface["supports"]["shim"] = 0.25
    surface["backing"] = {"thickness": 0.375}
    for product in job["products"]:
        if product["form"] == "fastener":
            product["lengths"] = [1, 3.5]
    texts = {text.text for text in _texts(drawn(job))}
    assert {"shim", "backing", '1/4"', '3/8"'} <= texts


def test_floors_stand_the_other_way_up() -> None:
    job = porch()
    job["surfaces"][0]["type"] = "floor"
    texts = [text.text for text in _texts(drawn(job))]
    assert any("finished face above" in text for text in texts)


def test_without_fasteners_there_is_no_section() -> None:
    job = porch()
    for layer in job["surfaces"][0]["layers"]:
        layer.pop("fastening", None)
    assert pages(drawn(job)) == 4


@pytest.mark.parametrize("kind", ["sheathing", "wrap"])
def test_each_kind_draws_its_own_example(kind: str) -> None:
    job = json.loads((LOFT / kind / "examples" / "loft.json").read_bytes())
    root = drawn(job)
    assert pages(root) == 2
    assert _overlapping(_texts(root)) == []


def test_joints_of_sheets_end_at_the_outline() -> None:
    """The porch's third row steps down: its joint at 16 ft is no longer than the row there."""
    root = drawn(porch(), surface="porch", layer="panels")
    outline = _group(root, "outline")[0].attrib["d"]
    numbers = [float(part) for part in outline.replace("M", " ").replace("L", " ")
               .replace("Z", " ").split()]  # fmt: skip
    right, step = max(numbers[::2]), sorted(set(numbers[1::2]))[1]
    joints = [{k: float(v) for k, v in line.attrib.items()} for line in _group(root, "joints")]
    far = [at for at in joints if at["x1"] > right - (right - min(numbers[::2])) / 2]
    assert far
    assert min(min(at["y1"], at["y2"]) for at in far) >= step - 0.01
