"""Opens workbooks of the examples in LibreOffice Calc, which reckons each formula anew.

    apt-get install libreoffice-calc
    .build/venv/bin/python -m tests.by_office

Every formula must come to the value that the service wrote beside it.
"""

from __future__ import annotations

import math
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from openpyxl import load_workbook

from tests.property.test_workbooks import workbook_of

ROOT: Final = Path(__file__).parents[2]
KINDS: Final = ROOT / "service" / "products" / "kinds"
OWN: Final = ROOT / "openapi" / "examples"

RECKON_ANEW: Final = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode"
oor:op="fuse"><value>0</value></prop></item></oor:items>
"""


def bodies() -> Iterator[tuple[str, str, bytes]]:
    """Operation, name and body of every example."""
    for file in sorted(KINDS.glob("*/examples/*.json")):
        yield "takeoffs", f"{file.parts[-3]}-{file.stem}", file.read_bytes()
    for operation in ("changes", "comparisons", "cut-plans"):
        for file in sorted((OWN / operation).glob("*.json")):
            yield operation, f"{operation}-{file.stem}", file.read_bytes()


def opened(folder: Path) -> Path:
    """All workbooks of a folder as LibreOffice saves them again, with what it reckons."""
    profile, again = folder / "profile", folder / "again"
    (profile / "user").mkdir(parents=True)
    (profile / "user" / "registrymodifications.xcu").write_text(RECKON_ANEW)
    subprocess.run(
        ["soffice", "--headless", "--norestore", f"-env:UserInstallation=file://{profile}",
         "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", str(again),
         *map(str, sorted(folder.glob("*.xlsx")))],
        check=True, stdout=subprocess.DEVNULL, timeout=600,
    )  # fmt: skip
    return again


def wrong(own: Path, again: Path) -> Iterator[str]:
    """Formulas that come to something else than is written beside them; one line for the count."""
    live, cached, reckoned = (
        load_workbook(file, data_only=only)
        for file, only in ((own, False), (own, True), (again, True))
    )
    count = 0
    for sheet in live.worksheets:
        for cell in (one for row in sheet.iter_rows() for one in row if one.data_type == "f"):
            count += 1
            told = cached[sheet.title][cell.coordinate].value
            found = reckoned[sheet.title][cell.coordinate].value
            if not _alike(told, found):
                yield f"{own.stem} {sheet.title}!{cell.coordinate}: {told} beside {found}"
    print(f"{own.stem}: {count} formulas")


def _alike(told: object, found: object) -> bool:
    """Whether two values are one number; a formula that fails leaves a text."""
    numbers = [one for one in (told, found) if isinstance(one, int | float)]
    return len(numbers) == 2 and math.isclose(*numbers, rel_tol=1e-12)


def main() -> int:
    """Write, open, compare; 1 where a value differs."""
    with TemporaryDirectory() as made:
        folder = Path(made)
        for operation, name, body in bodies():
            (folder / f"{name}.xlsx").write_bytes(workbook_of(body, operation))
        again = opened(folder)
        faults = [
            fault
            for file in sorted(folder.glob("*.xlsx"))
            for fault in wrong(file, again / file.name)
        ]
    print("\n".join(faults) or "every formula comes to the value beside it")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
