"""From a spreadsheet of rooms to one order: a board that several rooms take is cut for all of them.

    python3 openapi/clients/rooms_to_order.py openapi/clients/rooms.csv .build/order.csv

The first file is a table saved as CSV (commas, semicolons or tabs), a rectangular ceiling a row, in
the columns of rooms.csv. A cell holds a number in the `unit` of its row (in, ft, mm, cm or m;
inches where there is no such column) or a length as the trade writes it: 12' 6-1/2", 3.81 m.
Supports run across the boards. The order goes to the second file, and what of it each room takes
beside it: order_by_room.csv. Needs nothing but Python, and takeoff.py beside it.
"""

import csv
import io
import re
import sys
from pathlib import Path

from takeoff import Refused, take_off

DIRECTION = {"along length": 0, "along width": 90}
UNITS = ("in", "ft", "mm", "cm", "m")
ORDER = ("product", "item", "length", "need", "buy", "left_over", "price", "weight")
SHARES = ("surface", "product", "item", "buy", "price")
PARTS = (",", ";", "\t")
BOARD = ("profile", "overall", "coverage", "thickness", "stock")
NEEDED = ("room", "length", "width", "boards_run", "support_spacing", "board", *BOARD)
PLACES = {
    "id": "room",
    "rectangle/0": "length",
    "rectangle/1": "width",
    "rectangle": "length and width",
    "supports": "support_spacing",
    "layers": "boards_run",
}
"""Where a column goes in the surface of its room."""


def rows(source):
    """The rows of a sheet, each with its number in the spreadsheet; SystemExit if it is none."""
    try:
        text = Path(source).read_text(encoding="utf-8-sig")
    except OSError as fault:
        sys.exit(f"{source} cannot be read: {fault.strerror}.")
    except UnicodeDecodeError:
        sys.exit(f"{source} is not UTF-8: save the sheet as CSV in UTF-8.")
    first = text.split("\n", 1)[0].replace('"', "").strip()
    parted_by = max(PARTS, key=lambda part: len(set(first.split(part)) & set(NEEDED)))
    table = csv.DictReader(io.StringIO(text, newline=""), delimiter=parted_by)
    lacking = [name for name in NEEDED if name not in (table.fieldnames or ())]
    if lacking:
        sys.exit(f"{source} has no column {lacking[0]}: its first row names {', '.join(NEEDED)}.")
    found = [
        (number, {name: cell.strip() for name, cell in row.items() if name})
        for number, row in enumerate(table, 2)
        if None not in row.values() or sys.exit(f"Row {number}: it has too few cells.")
    ]
    found = [(number, row) for number, row in found if any(row.values())]
    return found or sys.exit(f"{source} has no rooms under its first row.")


def measure(row, cell):
    """A cell as the service reads it: a bare number gets the unit of its row."""
    plain = re.fullmatch(r"\d+(?:[.,]\d+)?", cell)
    return f"{cell.replace(',', '.')} {row.get('unit') or 'in'}" if plain else cell


def surface(row):
    """The ceiling of one row."""
    direction = DIRECTION[row["boards_run"]]
    return {
        "id": row["room"],
        "rectangle": [measure(row, row["length"]), measure(row, row["width"])],
        "supports": {
            "direction": 90 - direction,
            "spacing": measure(row, row["support_spacing"]),
            "ends": True,
        },
        "layers": [{"kind": "boarding", "product": row["board"], "direction": direction}],
    }


def product(row):
    """The board of one row."""
    sizes = {name: measure(row, row[name]) for name in ("overall", "coverage", "thickness")}
    stock = [measure(row, length.strip()) for length in re.split("[;|]", row["stock"])]
    return {
        "id": row["board"],
        "form": "board",
        "profile": row["profile"],
        **{name: size for name, size in sizes.items() if size},
        "stock": [{"length": length} for length in stock],
    }


def faults(sheet):
    """What a row says that has no place in a job, each as a sentence with its row."""
    first = {}
    for number, row in sheet:
        if row["boards_run"] not in DIRECTION:
            ways = " or ".join(DIRECTION)
            yield f"Row {number}: boards_run is {row['boards_run']!r}: write {ways}."
        if (row.get("unit") or "in") not in UNITS:
            yield f"Row {number}: unit is {row['unit']!r}: write {', '.join(UNITS)}."
        before, own = first.setdefault(row["board"], (number, row))
        for name in BOARD:
            if measure(row, row[name]) != measure(own, own[name]):
                yield (f"Row {number}: {name} of {row['board']} is not that of row {before}: "
                       "give the board a name of its own, or mend it.")  # fmt: skip


def job(sheet):
    """One job of all rows."""
    boards = {row["board"]: product(row) for _, row in reversed(sheet)}
    return {
        "unit": "in",
        "surfaces": [surface(row) for _, row in sheet],
        "products": list(boards.values()),
    }


def reasons(problem, sheet, sent):
    """Why a job is refused, each as a sentence with its row and column."""
    for error in problem.get("errors") or [{"detail": problem["detail"]}]:
        _, table, place, *rest = (error.get("pointer", "").lstrip("#") + "///").split("/")
        own = "/".join(rest).strip("/")
        if table == "surfaces":
            number = sheet[int(place)][0]
            column = next((PLACES[key] for key in PLACES if own.startswith(key)), own)
            yield f"Row {number}: {column}: {error['detail']}."
        elif table == "products":
            name = sent["products"][int(place)]["id"]
            number = next(number for number, row in sheet if row["board"] == name)
            yield f"Row {number}: {rest[0] or 'board'}: {error['detail']}."
        else:
            yield f"{problem['title']}: {error['detail']}."


def safe(cell):
    """A cell that no spreadsheet runs: an apostrophe stands before what opens a formula."""
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(tuple("=+-@\t\r")) else cell


def write(target, columns, table, units):
    """A table of the answer as CSV, with the unit of each column in its name."""
    of = {"length": units["length"], "price": units["money"], "weight": units["weight"]}
    with Path(target).open("w", encoding="utf-8", newline="") as file:
        page = csv.writer(file)
        page.writerow(f"{name} ({of[name]})" if of.get(name) else name for name in columns)
        page.writerows([safe(row[name]) for name in columns] for row in table)


def main(source, target):
    sheet = rows(source)
    if wrong := list(faults(sheet)):
        sys.exit("\n".join(wrong))
    sent = job(sheet)
    try:
        answer = take_off(sent)
    except Refused as refused:
        sys.exit("\n".join(reasons(refused.problem, sheet, sent)))
    by_room = Path(target).with_stem(f"{Path(target).stem}_by_room")
    write(target, ORDER, answer["order"], answer["units"])
    write(by_room, SHARES, answer["order_shares"], answer["units"])
    print(f"{answer['summary']['in_words']}\n{len(answer['order'])} order lines in {target}, "
          f"by room in {by_room}")  # fmt: skip


if __name__ == "__main__":
    main(*sys.argv[1:3]) if len(sys.argv) == 3 else sys.exit(__doc__)
