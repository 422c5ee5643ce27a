"""A macro of LibreOffice Calc: takes off the rooms of the sheet that is open, beside each row.

Copy this file to the folder Scripts/python of your LibreOffice profile (make the folders if they
are not there), open a sheet whose first row names the columns of /v1/rows/template.csv, then
Tools > Macros > Run Macro > My Macros > takeoff_rooms > take_off_rooms.

The figures stand in columns behind the last one that is used, and are written anew at each run. A
row that cannot be taken off says why in its own `error`. Cells named `takeoff_url` and
`takeoff_key`, where the workbook has them, say where the service listens and what key it asks for.
"""

import json
from urllib.error import HTTPError, URLError
from urllib.request import Request, urlopen

FIRST_FIGURE = "status"


def take_off_rooms(*_):
    """Send the rows of the sheet and write what comes back beside them."""
    document = XSCRIPTCONTEXT.getDocument()  # noqa: F821 - LibreOffice gives it to macros
    fill(document, document.CurrentController.ActiveSheet)


def fill(document, sheet):
    """The same for a sheet by itself."""
    header, rows = read(sheet)
    names = [name for name in header if name in set(columns(document))]
    sent = [{name: row[header.index(name)] for name in names} for row in rows]
    try:
        found = ask(document, "/v1/rows", {"rows": sent})["rows"]
        figures = list(found[0])[list(found[0]).index(FIRST_FIGURE) :]
    except NotTakenOff as why:
        figures, found = (
            ["status", "error"],
            [{"status": "not sent", "error": str(why)}] * len(sent),
        )
    start = header.index(FIRST_FIGURE) if FIRST_FIGURE in header else len(header)
    write(sheet, start, [figures, *([row[name] for name in figures] for row in found)])


class NotTakenOff(Exception):
    """Why nothing came back, as a sentence."""


def read(sheet):
    """The names of the first row, and the cells of each row below."""
    cursor = sheet.createCursor()
    cursor.gotoEndOfUsedArea(False)
    end = cursor.getRangeAddress()
    table = sheet.getCellRangeByPosition(0, 0, end.EndColumn, max(1, end.EndRow)).getDataArray()
    header = [str(name).strip() for name in table[0]]
    while header and not header[-1]:
        header.pop()
    return header, table[1:]


def columns(document):
    """The columns that the service reads."""
    try:
        return ask(document, "/v1/rows/template.csv").split("\n", 1)[0].strip().split(",")
    except NotTakenOff:
        return ["room"]  # the same is told beside each row when they are sent


def setting(document, name, usual):
    """What stands in the cell of that name."""
    if document.NamedRanges.hasByName(name):
        return (
            document.NamedRanges.getByName(name).getReferredCells().getCellByPosition(0, 0).String
        )
    return usual


def ask(document, path, body=None):
    """An answer of the service. Raises NotTakenOff."""
    url = setting(document, "takeoff_url", "http://127.0.0.1:8080").rstrip("/")
    headers = {"Content-Type": "application/json"}
    if key := setting(document, "takeoff_key", ""):
        headers["Authorization"] = f"Bearer {key}"
    data = None if body is None else json.dumps(body).encode()
    try:
        with urlopen(Request(f"{url}{path}", data, headers), timeout=300) as told:
            text = told.read().decode()
            return text if body is None else json.loads(text)
    except HTTPError as refused:
        raise NotTakenOff(sentence(json.load(refused))) from None
    except (URLError, OSError, ValueError) as silent:
        raise NotTakenOff(f"no service answers at {url} ({silent})") from None


def sentence(problem):
    """Why nothing is taken off at all."""
    why = "; ".join(error["detail"] for error in problem.get("errors", []))
    return f"{problem['title']}: {why or problem['detail']}"


def write(sheet, start, table):
    """Rows into the sheet from its top: numbers as numbers, all else as text, never a formula."""
    for y, row in enumerate(table):
        for x, value in enumerate(row):
            cell = sheet.getCellByPosition(start + x, y)
            if isinstance(value, int | float):
                cell.setValue(value)
            else:
                cell.setString("" if value is None else str(value))
