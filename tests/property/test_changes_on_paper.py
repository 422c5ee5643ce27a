"""A change order as text and as drawing: all of the JSON answer that a crew works by."""

from __future__ import annotations

import io
import json
import re
from collections import Counter
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.answering.operation import DXF, SVG, TEXT
from service.compute import Picked, answer
from tests.strategies import build_ups, jobs
from tests.strategies.asking import asked, body_of
from tests.strategies.budget import FEW
from tests.strategies.changes import asked_change, changes
from tests.strategies.requests import board, changed, job, room

Request = dict[str, Any]
EXAMPLES = sorted((Path(__file__).parents[2] / "openapi/examples/changes").glob("*.json"))


def paper_of(request: Request, columns: int = 100) -> str:
    """The change order as it is printed."""
    picked = Picked(operation="changes", media=TEXT, columns=columns)
    return answer(body_of(request), picked).body.decode()


def section(text: str, name: str) -> str:
    """The lines under a heading; empty where there is none."""
    found = re.search(rf"^{re.escape(name)} -*\n(.*?)(?=^[A-Z ,]+ -+$|\Z)", text, re.M | re.S)
    return found[1] if found else ""


@given(changes(build_ups.build_ups(jobs.with_openings())), st.sampled_from([60, 80, 100]))
@FEW
def test_paper_has_every_step_and_every_piece_that_is_touched(
    request: Request, columns: int
) -> None:
    assume(asked(request["before"]).kind == asked(request["after"]).kind == "answer")
    request = request | {"installed": "everything"}
    made = json.loads(asked_change(request).body)
    text = paper_of(request, columns)
    assert max(map(len, text.splitlines())) <= columns
    flowed = " ".join(text.split())
    for row in made["steps"]:
        assert f"{row['number']}. {' '.join(row['text'].split())}" in flowed
    for do, name in (("add", "NEW PIECES"), ("remove", "TAKE DOWN"),
                     ("recut", "CUT IN PLACE, TO WHAT STAYS")):  # fmt: skip
        own = [row for row in made["pieces"] if row["do"] == do]
        assert bool(own) == bool(section(text, name))
    for row in (row for row in made["pieces"] if row["do"] == "add"):
        assert row["label"] in section(text, "NEW PIECES")


@pytest.mark.parametrize("file", EXAMPLES, ids=[file.stem for file in EXAMPLES])
def test_the_drawing_tells_kept_new_and_gone_apart_without_colour(file: Path) -> None:
    """Each new piece has a bold outline and a hatch, each that goes a dashed one."""
    request = json.loads(file.read_bytes())
    made = json.loads(asked_change(request).body)
    drawn = answer(body_of(request), Picked(operation="changes", media=SVG)).body.decode()
    if request.get("installed") is None:
        assert 'class="new"' not in drawn
        return
    layers = {row["layer"] for row in made["pieces"] if row["do"] != "keep"}
    for layer in layers:
        picked = Picked(operation="changes", media=SVG, layer=layer)
        page = answer(body_of(request), picked).body.decode()
        own = [row for row in made["pieces"] if row["layer"] == layer and row["do"] != "keep"]
        new = re.search(r'<g class="new"[^>]*>(.*?)</g>', page, re.S)
        assert (new[1].count("<path") if new else 0) >= sum(row["do"] == "add" for row in own)
        gone = re.search(r'<g class="gone"[^>]*>(.*?)</g>', page, re.S)
        goes = [row for row in own if row["do"] in ("remove", "recut")]
        assert (gone is not None and "<path" in gone[1]) == bool(goes)
        assert "stroke-dasharray" in page
    assert not re.search(r'(fill|stroke)="#(?!000|fff)([0-9a-f]{2})(?!\2)', drawn)


@pytest.mark.parametrize(("count", "goes", "comes"), [(3, 2, 3), (1, 2, 1)])
def test_beams_that_move_are_dashed_where_they_were(count: int, goes: int, comes: int) -> None:
    """Two butting beams of two segments each become three, or one in the middle.

    Each lies on both sides of the beam it butts into: as many outlines as segments.
    """
    file = Path(__file__).parents[2] / "service/products/kinds/box_beams/examples/veranda.json"
    before = json.loads(file.read_bytes())
    after = changed(before, "/surfaces/0/layers/0/sets/1/count", count)
    request = {"before": before, "after": after, "installed": [{"layer": "beams"}]}
    svg = answer(body_of(request), Picked(operation="changes", media=SVG, layer="beams")).body
    groups = {name: re.search(rf'<g class="{name}"[^>]*>(.*?)</g>', svg.decode(), re.S)
              for name in ("new", "gone")}  # fmt: skip
    new, gone = (one[1] if one else "" for one in groups.values())
    assert gone.count("<path") == 2 * goes
    assert new.count("<path") == 2 * comes


def test_the_drawing_for_cad_has_a_layer_for_what_stays_comes_and_goes() -> None:
    """An outline for each board that stays, in part or whole, and each new one; dashed the rest."""
    before = job(room(200, 60), board("8 ft", "12 ft"))
    hatch = {"id": "hatch", "rectangle": [88, 20, 24, 16]}
    after = changed(before, "/surfaces/0/openings", [hatch])
    request = {"before": before, "after": after, "installed": "everything"}
    made = json.loads(asked_change(request).body)
    cad = answer(body_of(request), Picked(operation="changes", media=DXF)).body.decode()
    drawn = ezdxf.read(io.StringIO(cad)).modelspace()
    at = f"{made['pieces'][0]['surface']}.{made['pieces'][0]['layer']}"
    done = Counter(row["do"] for row in made["pieces"])
    assert done["add"]
    assert done["recut"]
    for layer, count in (("pieces", done["keep"] + done["recut"]), ("new-pieces", done["add"])):
        assert len(drawn.query(f'LWPOLYLINE[layer=="{at}-{layer}"]')) == count
    assert drawn.query(f'LWPOLYLINE[layer=="{at}-gone-pieces"]')
