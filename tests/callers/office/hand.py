"""A hand at the desk: run by the Python of the system, which knows LibreOffice (`import uno`).

    python3 hand.py PIPE SHEET SAVED [NAME=VALUE ...] [X2==FORMULA ...]

Opens a sheet, gives names to cells of a second one, types formulas into the first, runs the macro
on it as the menu does, and saves it again.
"""

import sys
import time
from pathlib import Path

import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.connection import NoConnectException
from com.sun.star.table import CellAddress

MACRO = "vnd.sun.star.script:takeoff_rooms.py$take_off_rooms?language=Python&location=user"


def context(pipe: str):
    """The office that listens at a pipe, once it does."""
    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstance("com.sun.star.bridge.UnoUrlResolver")
    for _ in range(300):
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
    kind = PropertyValue(Name="FilterName", Value="Calc MS Excel 2007 XML")
    document.storeToURL(Path(saved).as_uri(), (kind,))
    document.close(True)
    desktop.terminate()


if __name__ == "__main__":
    main(*sys.argv[1:])
