"""Scripts that spreadsheets run, each with the live service in a stand-in for its own."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

from service.schemas.rooms import COLUMNS, RESULTS
from tests.callers.test_in_an_office import template
from tests.end_to_end.running import Server

SCRIPTS = Path(__file__).parents[2] / "openapi" / "clients" / "spreadsheet"
STANDIN = Path(__file__).parent / "sheets" / "standin.mjs"


def left_in_the_sheet(script: str, url: str, cells: list[list[Any]]) -> list[list[Any]]:
    """The cells once the script has run. Raises CalledProcessError where it fails."""
    done = subprocess.run(
        ["node", STANDIN, SCRIPTS / script, url], input=json.dumps(cells),
        text=True, capture_output=True, check=False, timeout=60,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    found: list[list[Any]] = json.loads(done.stdout)
    return found


def test_a_script_writes_figures_beside_each_row(live: Server) -> None:
    """Those that the service answers, behind a column of one's own; once more, over the first."""
    first, second = template(live)
    rooms = [first, {**first, "width": "ten"}, {**second, "room": "=1+1"}]
    cells = [[*COLUMNS, "note"], *([*(room[name] for name in COLUMNS), "mine"] for room in rooms)]
    url = str(live.client.base_url)
    once = left_in_the_sheet("web_sheet.js", url, cells)
    assert once[0] == [*COLUMNS, "note", *RESULTS]
    told = live.client.post("/v1/rows", json={"rows": rooms}).json()["rows"]
    assert [row["status"] for row in told] == ["ok", "refused", "ok"]
    expected = [["" if row[name] is None else row[name] for name in RESULTS] for row in told]
    assert [row[len(COLUMNS) + 1 :] for row in once[1:]] == expected
    assert [row[: len(COLUMNS) + 1] for row in once] == cells
    assert left_in_the_sheet("web_sheet.js", url, once) == once
