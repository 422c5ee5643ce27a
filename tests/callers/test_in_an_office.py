"""Sheets of rooms and workbooks of answers in LibreOffice, as on the desk of an estimator."""

from __future__ import annotations

import csv
import io
import os
import subprocess
import uuid
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeAlias

import pytest
from openpyxl import load_workbook

from service.schemas.rooms import COLUMNS, RESULTS
from tests.callers.office.workbooks import bodies, opened, reckoned
from tests.callers.programs import program, ran
from tests.end_to_end.running import Server
from tests.property.test_workbooks import workbook_of

ROOT = Path(__file__).parents[2]
MACRO = ROOT / "openapi" / "clients" / "spreadsheet" / "takeoff_rooms.py"
HAND = Path(__file__).parent / "office" / "hand.py"
SYSTEM_PYTHON = "/usr/bin/python3"
"""The one that Debian's python3-uno belongs to."""

FURTHER = ("first_support", "opening_along", "opening_across", "opening_length", "opening_width",
           "cull", "start", "prices", "currency")  # fmt: skip
"""Columns that the formula of the recipe does not send."""

Cells: TypeAlias = list[dict[str, Any]]
Macro: TypeAlias = Callable[..., Cells]


@pytest.fixture
def macro(tmp_path: Path) -> Macro:
    """Runs the macro on a sheet; gives the rows of the sheet that is saved."""
    scripts = tmp_path / "profile" / "user" / "Scripts" / "python"
    scripts.mkdir(parents=True)
    (scripts / MACRO.name).write_bytes(MACRO.read_bytes())

    def run(
        sheet: Path, settings: Mapping[str, str], *, times: int = 1, saved: Path | None = None
    ) -> Cells:
        for turn in range(times):
            made = saved or tmp_path / f"saved{turn}.xlsx"
            _by_hand(tmp_path / "profile", sheet, made, settings)
            sheet, settings = made, {}
        return [] if saved else _cells(made)

    return run


def _by_hand(profile: Path, sheet: Path, saved: Path, settings: Mapping[str, str]) -> None:
    pipe = f"desk{uuid.uuid4().hex}"
    office = subprocess.Popen(
        [program("soffice"), "--headless", "--norestore", f"--accept=pipe,name={pipe};urp;",
         f"-env:UserInstallation=file://{profile}"],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    try:
        hand = subprocess.run(
            [SYSTEM_PYTHON, HAND, pipe, sheet, saved,
             *(f"{name}={value}" for name, value in settings.items())],
            check=False, timeout=120, stderr=subprocess.PIPE, text=True,
        )  # fmt: skip
        assert hand.returncode == 0, hand.stderr
        office.wait(30)
    finally:
        office.kill()
        office.wait(10)
        # One that is killed leaves the end of its pipe, which lies there wherever TMPDIR is.
        Path(f"/tmp/OSL_PIPE_{os.getuid()}_{pipe}").unlink(missing_ok=True)


def _cells(saved: Path) -> Cells:
    header, *rows = load_workbook(saved, data_only=True).worksheets[0].iter_rows(values_only=True)
    return [dict(zip(header, row, strict=True)) for row in rows]


def _sheet(tmp_path: Path, rooms: list[dict[str, str]], columns: list[str]) -> Path:
    path = tmp_path / "rooms.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        page = csv.DictWriter(file, columns, restval="")
        page.writeheader()
        page.writerows(rooms)
    return path


def template(live: Server) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(live.client.get("/v1/rows/template.csv").text)))


@pytest.fixture
def here(live: Server) -> dict[str, str]:
    """The cell that says where the service listens."""
    return {"takeoff_url": str(live.client.base_url)}


def test_the_macro_writes_figures_beside_each_row(
    live: Server, here: dict[str, str], macro: Macro, tmp_path: Path
) -> None:
    """Those that the service answers; a wrong row says why and fails no other; names stay text."""
    first, second = template(live)
    wrong_row = {**first, "width": "ten", "note": "ask again"}
    named = {**second, "room": "kitchen", "note": "=1+1"}
    sheet = _sheet(tmp_path, [first, wrong_row, named], [*COLUMNS, "note"])
    found = macro(sheet, here)
    sent = [{key: row[key] for key in COLUMNS} for row in (first, wrong_row, named)]
    told = live.client.post("/v1/rows", json={"rows": sent}).json()["rows"]
    assert [row["status"] for row in told] == ["ok", "refused", "ok"]
    for row, expected in zip(found, told, strict=True):
        assert {name: row[name] for name in RESULTS} == {name: expected[name] for name in RESULTS}
    assert "width" in found[1]["error"]
    assert list(found[0])[-len(RESULTS) :] == list(RESULTS)


def test_a_second_run_writes_over_the_first(
    live: Server, here: dict[str, str], macro: Macro, tmp_path: Path
) -> None:
    found = macro(_sheet(tmp_path, template(live), list(COLUMNS)), here, times=2)
    assert list(found[0]) == [*COLUMNS, *RESULTS]
    assert [row["status"] for row in found] == ["ok", "ok"]


def test_a_service_that_is_not_there_is_a_sentence_beside_the_rows(
    live: Server, macro: Macro, tmp_path: Path
) -> None:
    sheet = _sheet(tmp_path, template(live), list(COLUMNS))
    found = macro(sheet, {"takeoff_url": "http://127.0.0.1:9"})
    assert {row["status"] for row in found} == {"not sent"}
    assert all("no service answers at http://127.0.0.1:9" in row["error"] for row in found)


def test_a_cell_asks_for_one_room_by_itself(
    live: Server, here: dict[str, str], macro: Macro, tmp_path: Path
) -> None:
    """`=WEBSERVICE(...)`, as the recipe has it, comes to the figure that the macro writes."""
    recipes = (MACRO.parent / "README.md").read_text(encoding="utf-8")
    (formula,) = [line.strip() for line in recipes.splitlines() if "=WEBSERVICE(" in line]
    formula = formula.replace("http://127.0.0.1:8080", here["takeoff_url"])
    plain = {name: cell for name, cell in template(live)[1].items() if name not in FURTHER}
    sheet = _sheet(tmp_path, [plain], [*COLUMNS, "note"])
    (found,) = macro(sheet, {**here, "X2": formula})
    assert float(found["note"]) == found["bought"] > 0


def test_a_sheet_as_it_is_seen(
    live: Server, here: dict[str, str], macro: Macro, tmp_path: Path, screenshots: Path
) -> None:
    first, second = template(live)
    rooms = [
        first, second, {**first, "room": "hall", "width": "ten"},
        {**first, "room": "loft", "length": "22' 6\"", "width": "14", "boards_run": "along width"},
        {**second, "room": "study", "length": "4100", "width": "2900"},
    ]  # fmt: skip
    macro(_sheet(tmp_path, rooms, list(COLUMNS)), here, saved=tmp_path / "sheet.pdf")
    sheet = tmp_path / "sheet.pdf"
    ran("pdftoppm", "-png", "-r", "90", "-singlefile", sheet, screenshots / "spreadsheet")
    assert 10_000 < (screenshots / "spreadsheet.png").stat().st_size < 150_000


def test_every_formula_of_a_workbook_comes_to_the_value_beside_it(tmp_path: Path) -> None:
    for operation, name, body in bodies():
        (tmp_path / f"{name}.xlsx").write_bytes(workbook_of(body, operation))
    again = opened(tmp_path)
    found = {file.stem: reckoned(file, again / file.name) for file in tmp_path.glob("*.xlsx")}
    assert len(found) > 8
    assert [fault for _, faults in found.values() for fault in faults] == []
    assert all(count for name, (count, _) in found.items() if name != "comparisons")
