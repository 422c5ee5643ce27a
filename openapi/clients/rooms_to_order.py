"""From a spreadsheet of rooms to a spreadsheet of order lines.

    python3 openapi/clients/rooms_to_order.py openapi/clients/rooms.csv .build/order.csv

The first file is a table saved as CSV: one rectangular ceiling a row, in the columns of rooms.csv.
A cell holds inches, or a length as the trade writes it: 12' 6-1/2", 3.81 m. Supports run across
the boards. Rows with the same `board` share its stock, so they are cut and ordered together.
Needs nothing but Python, and takeoff.py beside it.
"""

import csv
import sys
from pathlib import Path

from takeoff import take_off

DIRECTION = {"along length": 0, "along width": 90}
COLUMNS = ("product", "item", "length", "need", "buy", "left_over", "price", "weight")


def measure(cell):
    """A cell as the service reads it: a number of inches, or the writing as it stands."""
    try:
        return float(cell)
    except ValueError:
        return cell.strip()


def surface(row):
    """The ceiling of one row."""
    direction = DIRECTION[row["boards_run"]]
    return {
        "id": row["room"],
        "rectangle": [measure(row["length"]), measure(row["width"])],
        "supports": {
            "direction": 90 - direction,
            "spacing": measure(row["support_spacing"]),
            "ends": True,
        },
        "layers": [{"kind": "boarding", "product": row["board"], "direction": direction}],
    }


def product(row):
    """The board of one row."""
    return {
        "id": row["board"],
        "form": "board",
        "profile": row["profile"],
        "overall": measure(row["overall"]),
        "coverage": measure(row["coverage"]),
        "thickness": measure(row["thickness"]),
        "stock": [{"length": measure(length)} for length in row["stock"].split(";")],
    }


def job(rows):
    """One job of all rows: a board is described by the first row that names it."""
    boards = {}
    for row in rows:
        boards.setdefault(row["board"], product(row))
    return {
        "unit": "in",
        "surfaces": [surface(row) for row in rows],
        "products": list(boards.values()),
    }


def main(source, target):
    with Path(source).open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    answer = take_off(job(rows))
    with Path(target).open("w", encoding="utf-8", newline="") as file:
        table = csv.DictWriter(file, COLUMNS, extrasaction="ignore")
        table.writeheader()
        table.writerows(answer["order"])
    print(f"{answer['summary']['in_words']}\n{len(answer['order'])} order lines in {target}")


if __name__ == "__main__":
    main(*sys.argv[1:3])
