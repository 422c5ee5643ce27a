"""A hand at the desk: run by the Python of the system, which knows LibreOffice (`import uno`).

    python3 hand.py PIPE SHEET SAVED [NAME=VALUE ...] [X2==FORMULA ...]

Opens a sheet, gives names to cells of a second one, types formulas into the first, runs the macro
on it as the menu does, and saves it again: as a workbook, or as a page as large as the sheet, where
SAVED is a .pdf.
"""

import sys
import time
from contextlib import suppress
from pathlib import Path

import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.connection import NoConnectException
from com.sun.star.lang import DisposedException
from com.sun.star.table import CellAddress

MACRO = "vnd.sun.star.script:takeoff_rooms.py$take_off_rooms?language=Python&location=user"


def context(pipe: str):
    """The office that listens at a pipe, once it does."""
    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstance("com.sun.star.bridge.UnoUrlResolver")
    for _ in range(900):
        try:
            return resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        except NoConnectException:
            time.sleep(0.1)
    sys.exit("LibreOffice does not start")


def named(document, cells: list[str]) -> None:
    """Cells with a name, in a sheet of their own."""
    document.Sheets.insertNewByName("settings", 1)
    for row, (name, value) in enumerate(one.split("=", 1) for one in cells):
        document.Sheets.getByName("settings").getCellByPosition(0, row).setString(value)
        where = CellAddress(1, 0, row)
        document.NamedRanges.addNewByName(name, f"$settings.$A${row + 1}", where, 0)


SHOWN = ("room", "unit", "length", "width", "boards_run", "board", "status", "area", "bought",
         "buy", "waste_pct", "error")  # fmt: skip


def set_up(document) -> None:
    """The sheet on one page that is as large as it: its grid, and columns that are looked at."""
    sheet = document.Sheets.getByIndex(0)
    cursor = sheet.createCursor()
    cursor.gotoEndOfUsedArea(False)
    end = cursor.RangeAddress
    used = sheet.getCellRangeByPosition(0, 0, end.EndColumn, end.EndRow)
    used.CharHeight = 11
    for place in range(end.EndColumn + 1):
        column, name = sheet.Columns.getByIndex(place), sheet.getCellByPosition(place, 0).String
        column.OptimalWidth = True
        column.Width = min(column.Width + 300, 6500)
        column.IsVisible = name in SHOWN
        if name in ("buy", "error"):
            column.IsTextWrapped = True
    sheet.Rows.getByIndex(0).CharWeight = 150
    sheet.Rows.OptimalHeight = True
    style = document.StyleFamilies.getByName("PageStyles").getByName(sheet.PageStyle)
    style.HeaderIsOn = style.FooterIsOn = False
    style.PrintGrid = style.PrintHeaders = style.IsLandscape = True
    for side in ("Left", "Right", "Top", "Bottom"):
        setattr(style, f"{side}Margin", 200)
    style.Width, style.Height = used.Size.Width + 1600, used.Size.Height + 1200


def main(pipe: str, sheet: str, saved: str, *cells: str) -> None:
    office = context(pipe)
    desktop = office.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", office)
    document = desktop.loadComponentFromURL(Path(sheet).as_uri(), "_blank", 0, ())
    formulas = [one for one in cells if "==" in one]
    for place, formula in (one.split("=", 1) for one in formulas):
        document.Sheets.getByIndex(0).getCellRangeByName(place).setFormula(formula)
    if names := [one for one in cells if one not in formulas]:
        named(document, names)
    macros = office.getValueByName("/singletons/com.sun.star.script.provider."
                                   "theMasterScriptProviderFactory")  # fmt: skip
    macros.createScriptProvider("").getScript(MACRO).invoke((), (), ())
    for _ in formulas:
        document.calculateAll()
    is_page = saved.endswith(".pdf")
    if is_page:
        set_up(document)
    kind = "calc_pdf_Export" if is_page else "Calc MS Excel 2007 XML"
    document.storeToURL(Path(saved).as_uri(), (PropertyValue(Name="FilterName", Value=kind),))
    document.close(True)
    # The office may be gone before it says that it goes.
    with suppress(DisposedException):
        desktop.terminate()


if __name__ == "__main__":
    main(*sys.argv[1:])
