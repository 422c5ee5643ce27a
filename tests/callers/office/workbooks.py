"""Workbooks opened in LibreOffice Calc, which reckons each formula anew."""

from __future__ import annotations

import math
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from openpyxl import load_workbook

from tests.callers.programs import program

ROOT: Final = Path(__file__).parents[3]
KINDS: Final = ROOT / "service" / "products" / "kinds"
OWN: Final = ROOT / "openapi" / "examples"

RECKON_ANEW: Final = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode"
oor:op="fuse"><value>0</value></prop></item></oor:items>
"""


def bodies() -> Iterator[tuple[str, str, bytes]]:
    """Operation, name and body of an example of each kind, and of each operation."""
    for folder in sorted(KINDS.glob("*/examples")):
        file = min(folder.glob("*.json"), key=lambda one: one.stat().st_size)
        yield "takeoffs", f"{folder.parent.name}-{file.stem}", file.read_bytes()
    for operation in ("changes", "comparisons", "cut-plans"):
        yield operation, operation, (OWN / operation / "small.json").read_bytes()


def opened(folder: Path) -> Path:
    """All workbooks of a folder as LibreOffice saves them again, with what it reckons."""
    profile, again = folder / "profile", folder / "again"
    (profile / "user").mkdir(parents=True)
    (profile / "user" / "registrymodifications.xcu").write_text(RECKON_ANEW)
    subprocess.run(
        [program("soffice"), "--headless", "--norestore", f"-env:UserInstallation=file://{profile}",
         "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", str(again),
         *map(str, sorted(folder.glob("*.xlsx")))],
        check=True, stdout=subprocess.DEVNULL, timeout=600,
    )  # fmt: skip
    return again


def reckoned(own: Path, again: Path) -> tuple[int, list[str]]:
    """How many formulas there are, and which come to something else than is written beside them."""
    live, cached, anew = (
        load_workbook(file, data_only=only)
        for file, only in ((own, False), (own, True), (again, True))
    )
    faults, count = [], 0
    for sheet in live.worksheets:
        for cell in (one for row in sheet.iter_rows() for one in row if one.data_type == "f"):
            count += 1
            told = cached[sheet.title][cell.coordinate].value
            found = anew[sheet.title][cell.coordinate].value
            if not _alike(told, found):
                faults.append(f"{own.stem} {sheet.title}!{cell.coordinate}: {told}, not {found}")
    return count, faults


def _alike(told: object, found: object) -> bool:
    """Whether two values are one number; a formula that fails leaves a text."""
    numbers = [one for one in (told, found) if isinstance(one, int | float)]
    return len(numbers) == 2 and math.isclose(*numbers, rel_tol=1e-12)
