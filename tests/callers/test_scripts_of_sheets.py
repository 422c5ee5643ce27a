"""Scripts that spreadsheets run, each with the live service in a stand-in for its own."""

from __future__ import annotations

import json
import re
from typing import Any, TypeAlias

import pytest

from service.schemas.rooms import COLUMNS, RESULTS
from tests.callers.programs import TOOLS, ran, script
from tests.callers.test_in_an_office import template
from tests.end_to_end.running import ROOT, Server

SCRIPTS = ROOT / "openapi" / "clients" / "spreadsheet"
STRICT = (
    "--strict",
    "--noEmit",
    "--target",
    "es2022",
    "--lib",
    "es2022,dom",
    "--typeRoots",
    "none",
)

Cells: TypeAlias = list[list[Any]]


def left_in_the_sheet(name: str, url: str, cells: Cells) -> Cells:
    """The cells once the script has run."""
    told = script("sheet.mjs", SCRIPTS / name, url, sent=json.dumps(cells).encode())
    found: Cells = json.loads(told)
    return found


@pytest.mark.parametrize("name", ["web_sheet.js", "desktop_sheet.ts"])
def test_a_script_writes_figures_beside_each_row(live: Server, name: str) -> None:
    """Those that the service answers, behind a column of one's own; once more, over the first."""
    first, second = template(live)
    rooms = [first, {**first, "width": "ten"}, {**second, "room": "=1+1"}]
    cells = [[*COLUMNS, "note"], *([*(room[name] for name in COLUMNS), "mine"] for room in rooms)]
    url = str(live.client.base_url)
    once = left_in_the_sheet(name, url, cells)
    assert once[0] == [*COLUMNS, "note", *RESULTS]
    told = live.client.post("/v1/rows", json={"rows": rooms}).json()["rows"]
    assert [row["status"] for row in told] == ["ok", "refused", "ok"]
    expected = [["" if row[name] is None else row[name] for name in RESULTS] for row in told]
    assert [row[len(COLUMNS) + 1 :] for row in once[1:]] == expected
    assert [row[: len(COLUMNS) + 1] for row in once] == cells
    assert left_in_the_sheet(name, url, once) == once


def test_the_typed_script_fits_its_types() -> None:
    ran("tsc", *STRICT, TOOLS / "desktop_sheet.d.ts", SCRIPTS / "desktop_sheet.ts")


def test_the_query_is_well_formed_and_what_it_posts_is_answered(live: Server) -> None:
    told = json.loads(script("query.mjs", SCRIPTS / "query_table.m"))
    assert told == {"result": "Ok", "why": None}
    query = (SCRIPTS / "query_table.m").read_text(encoding="utf-8")
    (path,) = re.findall(r'RelativePath = "(.*)"', query)
    (member,) = re.findall(r"Json\.FromValue\(\[(\w+) = ", query)
    answer = live.client.post(f"/{path}", json={member: template(live)})
    assert [row["status"] for row in answer.json()[member]] == ["ok", "ok"]


def test_the_cells_of_a_web_spreadsheet_are_answered(live: Server) -> None:
    """The address of the recipe: the figures of one room, without a header."""
    recipes = (SCRIPTS / "README.md").read_text(encoding="utf-8")
    (formula,) = [line for line in recipes.splitlines() if "=IMPORTDATA(" in line]
    names = re.findall(r"[?&](\w+)=\"&", formula)
    room = template(live)[1]
    asked = {name: room[name] for name in names}
    answer = live.client.get("/v1/rectangle.csv", params={"header": "absent", **asked})
    cells = answer.text.strip().split(",")
    assert (answer.status_code, cells[0], len(answer.text.splitlines())) == (200, "ok", 1)
