"""Pages of a surface with several layers: all stacked, each by itself, and the section to scale."""

from __future__ import annotations

import json
from functools import cache
from itertools import combinations
from math import hypot, sqrt
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from service.compute import Picked, answer
from service.demo import JOB
from tests.unit.test_svg import (
    HIGH,
    LEAST_CAPITALS,
    SVG,
    WIDE,
    _group,
    _overlapping,
    _rings,
    _texts,
)

LOFT = Path(__file__).parents[2] / "service/products/kinds"


_made = cache(answer)
"""What the service makes of a body, once for all that is looked for in it."""


def drawn(job: dict[str, Any], **picked: str) -> ElementTree.Element:
    """The drawing of a job."""
    outcome = _made(json.dumps(job).encode(), Picked("image/svg+xml", **picked))
    assert outcome.kind == "answer", outcome.body
    return ElementTree.fromstring(outcome.body)


def porch() -> dict[str, Any]:
    made: dict[str, Any] = json.loads(JOB.read_bytes())
    return made


def pages(root: ElementTree.Element) -> int:
    return round(float(root.attrib["viewBox"].split()[3]) / HIGH)


def test_a_page_for_all_layers_one_for_each_and_a_section() -> None:
    root = drawn(porch())
    assert pages(root) == 6
    titles = [text.text for text in _texts(root)]
    assert "layers: boards, wrap, panels" in titles
    for place, name in enumerate(("panels (sheathing)", "wrap", "boards (boarding)"), start=1):
        assert f"layer: {name}, {place} of 3" in titles
    assert "what must stand behind it" in titles
    assert "section through the build-up" in titles


def test_trim_has_its_own_name_in_the_legend() -> None:
    """Its pieces carry no name that would say what they are; boards and sheets carry theirs."""
    job = json.loads((LOFT / "trim" / "examples" / "deck.json").read_bytes())
    said = {layer: [text.text for text in _texts(drawn(job, layer=layer))]
            for layer in ("border", "breaker", "boards")}  # fmt: skip
    assert "border" in said["border"]
    assert "breaker" in said["breaker"]
    assert "boards" not in said["boards"]
    assert any("which lies 9' 9-1/4\" in from the left" in text for text in said["breaker"])


def test_surfaces_that_are_built_up_alike_have_one_section() -> None:
    """Three walls of one wainscot: the first has it, and says which others are alike."""
    job = json.loads((LOFT / "boarding" / "examples" / "wainscot.json").read_bytes())
    said = [text.text for text in _texts(drawn(job))]
    assert said.count("section through the build-up") == 1
    assert "alike: stair, end" in said
    alone = [text.text for text in _texts(drawn(job, surface="stair"))]
    assert "section through the build-up" in alone
    assert not any(text.startswith("alike") for text in alone)


def test_what_must_stand_behind_has_a_page_of_its_own() -> None:
    """Every line of it is drawn there, and only there; a row of those alike is counted once."""
    job = json.loads((LOFT / "boarding" / "examples" / "nailers_and_blocks.json").read_bytes())
    given = json.loads(answer(json.dumps(job).encode(), Picked("application/json")).body)
    own = [row for row in given["backing"] if row["surface"] == "veranda"]
    root = drawn(job, surface="veranda", layer="backing")
    (group,) = [one for one in root.iter(f"{SVG}g") if one.get("class") == "backing"]
    assert len(list(group)) == len(own) == 168
    said = [text.text for text in _texts(root)]
    assert '22 x block 14-1/2"' in said
    assert 'Behind it stand 7 blocks of 13-3/4", 154 blocks of 14-1/2", 7 blocks of 9-3/4".' in said
    assert {'3/4"', "5' 0\"", "10' 1-1/4\""} <= set(said)
    boards = drawn(job, surface="veranda", layer="boards")
    assert not [one for one in boards.iter(f"{SVG}g") if one.get("class") == "backing"]


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


def test_an_edge_that_two_pieces_behind_share_is_drawn_once() -> None:
    """Panels lie 1/8 in apart, 0.07 mm on paper: dashes of two lines would fill each other."""
    root = drawn(porch(), surface="porch")
    ends = [
        tuple(float(line.attrib[name]) for name in ("x1", "y1", "x2", "y2"))
        for line in _group(root, "behind-2")
    ]
    for one, two in combinations(ends, 2):
        for a in (0, 1):
            b = 1 - a
            if one[a] == one[a + 2] and two[a] == two[a + 2] and abs(one[a] - two[a]) < 0.4:
                assert min(one[b + 2], two[b + 2]) <= max(one[b], two[b]) + 0.001


def test_layers_behind_are_named_in_the_key() -> None:
    texts = {text.text for text in _texts(drawn(porch()))}
    assert {"wrap, behind", "panels, behind", "ripped piece"} <= texts


def test_panels_carry_their_sizes_laps_their_text_and_widths_their_roll() -> None:
    root = drawn(porch())
    texts = [text.text for text in _texts(root)]
    pieces = json.loads(answer(json.dumps(porch()).encode()).body)["pieces"]
    ripped = [one for one in pieces if (one["width"], one["length"]) == (26.875, 95.875)]
    assert texts.count('26-7/8" x 95-7/8"') == len(ripped) > 0
    assert '47-7/8" x 95-7/8"' in texts
    # Five widths of 54 in, each lapping 6 in, cover 198 in and two turn-downs of 2 in.
    assert texts.count('lap 6"') == 4
    # The last shows 2 in only, with no room for its roll.
    assert texts.count("roll 1") == 4


def test_every_piece_of_the_panels_and_of_the_wrap_has_its_label() -> None:
    texts = [text.text for text in _texts(drawn(porch()))]
    outcome = answer(json.dumps(porch()).encode())
    for piece in json.loads(outcome.body)["pieces"]:
        if piece["layer"] != "boards":
            assert piece["label"] in texts


def shanks(root: ElementTree.Element) -> list[float]:
    """Lengths of the fasteners on paper, mm."""
    return lengths(root, "fasteners")


def lengths(root: ElementTree.Element, name: str) -> list[float]:
    """Lengths of the lines of a group, mm."""
    lines = [{k: float(v) for k, v in line.attrib.items()} for line in _group(root, name)]
    return [hypot(at["x2"] - at["x1"], at["y2"] - at["y1"]) for at in lines]


def test_fasteners_are_drawn_at_their_length_in_full_scale() -> None:
    """2 in, 1 in, 2-1/2 in blind and 2-1/2 in face, at 25.4 mm an inch."""
    root = drawn(porch())
    assert any("1 : 1 on letter paper" in text.text for text in _texts(root))
    assert shanks(root) == pytest.approx([50.8, 25.4, 63.5, 63.5], abs=0.01)


def test_the_section_names_every_layer_with_its_thickness() -> None:
    texts = {text.text for text in _texts(drawn(porch()))}
    assert {"panels: panel", "wrap", "boards: hemlock", "joist"} <= texts
    assert {'1/2"', '3/4"', "film", 'all 1-1/4"'} <= texts


def test_a_shim_and_a_standing_panel_are_in_the_section() -> None:
    job = porch()
    surface = job["surfaces"][0]
    surface["supports"]["shim"] = 0.25
    surface["backing"] = {"thickness": 0.375}
    for product in job["products"]:
        if product["form"] == "fastener":
            product["lengths"] = [1, 3.5]
    texts = {text.text for text in _texts(drawn(job))}
    assert {"shim", "backing", '1/4"', '3/8"', 'all 1-7/8"'} <= texts


def test_the_heavy_part_of_a_shank_is_its_hold() -> None:
    """Ring nail 2 - 1/2; cap nail whole, its panel holds it; 2-1/2 blind by 18.11; face 1-1/4.

    The blind nail leans 45 degrees and enters 1/2 in from the back of the 3/4 board: it leaves
    board and panel after (1/2 + 1/2) x square root of 2 of its length.
    """
    root = drawn(porch())
    blind = 2.5 - (0.5 + 0.5) * sqrt(2)
    inches = [1.5, 1.0, blind, 1.25]
    assert lengths(root, "holds") == pytest.approx([25.4 * inch for inch in inches], abs=0.02)


def test_a_blind_nail_enters_where_the_tongue_meets_the_shoulder() -> None:
    """On paper too: its head is the corner of the joint between two boards on the face side.

    The corners of that joint, from the panel out: shoulder, tongue (two), shoulder, and the face.
    """
    root = drawn(porch())
    joint = [line.attrib for line in _group(root, "section") if "stroke-width" not in line.attrib]
    ends = {(line["x2"], line["y2"]) for line in joint if line.get("x2")}
    (head,) = (
        (line.attrib["x1"], line.attrib["y1"])
        for line in _group(root, "fasteners")
        if line.attrib["x1"] != line.attrib["x2"]
    )
    assert head in ends
    face, shoulder = sorted({float(y) for x, y in ends if x == head[0]}, reverse=True)[:2]
    assert float(head[1]) == pytest.approx(shoulder)
    assert shoulder < face


def test_the_schedule_says_what_holds_each_fastener() -> None:
    rows: dict[float, list[str]] = {}
    for text in _texts(drawn(porch())):
        if text.y > 5 * HIGH:
            rows.setdefault(text.y, []).append(text.text)
    said = [row[1:] for row in rows.values() if row[0] in {"1", "2", "3", "4"} and len(row) > 2]
    assert said == [
        ["panels", "face", "ring_nail", '2"', '1-1/2"', '1-1/2" deep', "joist"],
        ["wrap", "face", "cap_nail", '1"', '1"', '1" deep', "panels: panel, joist"],
        ["boards", "blind at 45 degrees", "finish_nail", '2-1/2"', '1-3/32"',
         '25/32" deep', "joist"],
        ["boards", "face", "finish_nail", '2-1/2"', '1-1/4"', '1-1/4" deep', "joist"],
    ]  # fmt: skip


def test_points_lie_in_the_member_under_their_number() -> None:
    """Beyond the framing's face, the heavy level line of the section."""
    root = drawn(porch())
    face = next(line for line in _group(root, "section") if line.get("stroke-width") == "0.7")
    at = float(face.attrib["y1"])
    assert all(float(line.attrib["y2"]) < at for line in _group(root, "fasteners"))


@pytest.mark.parametrize(
    ("profile", "corners"), [("tongue_and_groove", 5), ("shiplap", 3), ("lapped", 2)]
)
def test_edges_of_boards_meet_as_their_profile_does(profile: str, corners: int) -> None:
    """Straight parts of the line between two boards: a tongue has five, a half lap three."""
    job = porch()
    board = job["products"][0]
    board["profile"] = profile
    if profile != "tongue_and_groove":
        job["surfaces"][0]["layers"][2]["fastening"]["pattern"] = "face"
    root = drawn(job)
    thick = [line for line in _group(root, "section") if line.tag == f"{SVG}line"]
    plain = [line for line in thick if line.get("stroke-width") is None]
    sides = 2
    assert len(plain) - sides == corners


def test_lapped_boards_lie_on_each_other_and_are_nailed_clear_of_the_lap() -> None:
    """The upper one's edge stands on the lower one's slanting face; its nail misses that (18.3)."""
    job = porch()
    job["products"][0]["profile"] = "lapped"
    job["surfaces"][0]["layers"][2]["fastening"]["pattern"] = "lap"
    root = drawn(job)
    path = [one for one in _group(root, "section") if one.tag == f"{SVG}path"][-1]
    ring = next(_rings(path))
    (x0, near), (x1, _), (_, right), (middle, proud), (_, thin), (_, left) = ring
    assert (x0, x1) == (min(x for x, _ in ring), max(x for x, _ in ring))
    assert near < thin < left < proud
    assert thin < right < proud
    assert proud - thin == pytest.approx(0.75 * 25.4, abs=0.01)
    (nail,) = [line.attrib for line in _group(root, "fasteners")][2:]
    x, y = float(nail["x1"]), float(nail["y1"])
    assert x > middle + 0.25 * 25.4
    assert y == pytest.approx(proud + (right - proud) * (x - middle) / (x1 - middle), abs=0.01)


def test_a_thick_build_up_is_drawn_smaller_and_says_so() -> None:
    job = porch()
    job["surfaces"][0]["supports"]["shim"] = 6
    for product in job["products"]:
        if product["form"] == "fastener":
            product["lengths"] = [1, 12]
    root = drawn(job)
    found = [text for text in _texts(root) if text.text.endswith("on letter paper")]
    scale = next(int(text.text.split()[2]) for text in found if not text.text.startswith("about"))
    assert scale > 1
    assert max(shanks(root)) == pytest.approx(12 * 25.4 / scale, abs=0.01)
    assert _overlapping(_texts(root)) == []
    assert max(text.box[3] for text in _texts(root)) < pages(root) * HIGH - 6


def test_floors_stand_the_other_way_up() -> None:
    job = porch()
    job["surfaces"][0]["type"] = "floor"
    texts = [text.text for text in _texts(drawn(job))]
    assert any("finished face above" in text for text in texts)


def test_without_fasteners_there_is_no_section() -> None:
    job = porch()
    for layer in job["surfaces"][0]["layers"]:
        layer.pop("fastening", None)
    assert pages(drawn(job)) == 5


@pytest.mark.parametrize(("kind", "behind"), [("sheathing", 1), ("wrap", 0)])
def test_each_kind_draws_its_own_example(kind: str, behind: int) -> None:
    """A page of the layer and a section; sheets have another for what must stand behind them."""
    job = json.loads((LOFT / kind / "examples" / "loft.json").read_bytes())
    root = drawn(job)
    assert pages(root) == 2 + behind
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


def test_long_names_find_room_on_every_page() -> None:
    """Names of 32 characters, the longest that the contract takes."""

    def long(name: str) -> str:
        return (name * 32)[:32]

    job = porch()
    for product in job["products"]:
        product["id"] = long(product["id"])
    for layer in job["surfaces"][0]["layers"]:
        layer["id"], layer["product"] = long(layer["id"]), long(layer["product"])
        layer["fastening"]["product"] = long(layer["fastening"]["product"])
        if "tape" in layer:
            layer["tape"] = long(layer["tape"])
    texts = _texts(drawn(job))
    assert _overlapping(texts) == []
    for text in texts:
        assert 6 < text.box[0] < text.box[2] < WIDE - 6, text


@pytest.mark.parametrize(
    ("rules", "said"),
    [({}, 'gap 1/8" between sheets, gap 1/16" at walls'),
     ({"panel_wall_gap": 0.125}, 'gap 1/8" at every edge')],
)  # fmt: skip
def test_the_page_of_panels_says_the_gaps_that_they_have(
    rules: dict[str, float], said: str
) -> None:
    """Panels made for gaps have half a gap at walls (11.2): 1/16 of 1/8 in."""
    job = porch()
    job["rules"] = job.get("rules", {}) | rules
    lines = [text.text or "" for text in _texts(drawn(job, surface="porch", layer="panels"))]
    assert any(line.endswith(said) for line in lines)
