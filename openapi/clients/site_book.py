"""What a contractor's app does, as a script: keeps a job, asks what a change takes, prints a page.

    python3 openapi/clients/site_book.py .build/loft.json start openapi/examples/small.json
    python3 openapi/clients/site_book.py .build/loft.json change openapi/clients/hatch.json
    python3 openapi/clients/site_book.py .build/loft.json page .build/loft.html

The first file is the book: the job as it stands, its takeoff, and each change order. The page has
the order, the drawing, made here from the answer alone, a label for each piece, to be cut out and
stuck on it, and what the last change takes. Needs nothing but Python, and takeoff.py beside it.
"""

import json
import sys
from html import escape
from math import gcd
from pathlib import Path

from takeoff import Refused, post, read_job, reasons, take_off

HEAD = """<!doctype html><html lang="en"><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1"><title>Site book</title><style>
body { font: 16px/1.4 system-ui, "DejaVu Sans", sans-serif; margin: 0 auto; padding: 1rem;
  max-width: 52rem; color: #222; }
h1, h2 { margin: 1.2rem 0 .4rem; line-height: 1.2; } h1 { margin-top: 0; }
table { border-collapse: collapse; width: 100%; }
th, td { text-align: left; padding: .3rem .5rem; border-bottom: 1px solid #bbb; }
svg { width: 100%; height: auto; max-height: 34rem; }
svg text { text-anchor: middle; dominant-baseline: central; }
.piece { fill: #f6f1e4; stroke: #444; } .wall { fill: none; stroke: #000; }
.labels { display: grid; grid-template-columns: repeat(auto-fill, minmax(11rem, 1fr)); }
.label { border: 1px dashed #777; padding: .5rem .6rem; break-inside: avoid; }
.label b { font-size: 1.5rem; display: block; } .label span { display: block; }
@media print { body { padding: 0; max-width: none; }
h2 { break-before: page; } h2.flow { break-before: auto; } }
</style><main>
"""


def tape(length, unit):
    """A length as it is read off a tape: feet, inches and sixteenths, or millimetres."""
    if unit not in ("in", "ft"):
        return f"{length * {'mm': 1, 'cm': 10, 'm': 1000}[unit]:.0f} mm"
    sixteenths = round(length * (12 if unit == "ft" else 1) * 16)
    feet, rest = divmod(sixteenths, 192)
    inches, rest = divmod(rest, 16)
    part = f"{rest // gcd(rest, 16)}/{16 // gcd(rest, 16)}" if rest else ""
    small = "-".join(
        text for text in (str(inches) if inches or feet or not part else "", part) if text
    )
    return f"{feet}' {small}\"" if feet else f'{small}"'


def start(book, file):
    """A book of one job."""
    job = read_job(file)
    return {"job": job, "takeoff": take_off(job), "changes": []}


def change(book, file):
    """The book once the job is changed to that of a file, with what the change takes."""
    after = read_job(file)
    told = post("/v1/changes", {"before": book["job"], "after": after})
    return {"job": after, "takeoff": take_off(after), "changes": [*book["changes"], told]}


def page(book, file):
    """The same book, once its page is written."""
    told = book["takeoff"]
    unit = told["units"]["length"]
    parts = [HEAD, f"<h1>{escape(', '.join(row['surface'] for row in told['surfaces']))}</h1>"]
    parts += changed(book["changes"][-1]) if book["changes"] else []
    parts += [
        '<h2 class="flow">All there is to order</h2>',
        table(told["order"], {"buy": "Buy", "item": "Item"}),
    ]
    for layer in told["layers"]:
        own = [row for row in told["pieces"] if of(row) == of(layer)]
        parts += [f"<h2>{escape(layer['surface'])}: {escape(layer['layer'])}</h2>",
                  drawing(told, layer, own, unit)]  # fmt: skip
        parts += [
            '<h2>Labels</h2><div class="labels">',
            *(label(row, unit) for row in own),
            "</div>",
        ]
    parts.append("</main></html>")
    Path(file).write_text("\n".join(parts), encoding="utf-8")
    return book


def of(row):
    """Which layer a row is of."""
    return row["surface"], row["layer"]


def changed(told):
    """What the last change takes, in the order of the work."""
    rows = [{**row, "back": row["fewer"]} for row in told["order"] if row["more"] or row["fewer"]]
    said = escape(told["summary"]["in_words"])
    return ['<h2 class="flow">Change order</h2>', f"<p>{said}</p><ol>",
            *(f"<li>{escape(row['text'])}</li>" for row in told["steps"]), "</ol>",
            table(rows, {"more": "Buy", "back": "Send back", "item": "Item"})]  # fmt: skip


def table(rows, columns):
    """Some columns of a table of the answer; nothing where it has no rows."""
    if not rows:
        return ""
    head = "".join(f"<th>{name}</th>" for name in columns.values())
    body = [
        "<tr>" + "".join(f"<td>{escape(str(row[key]))}</td>" for key in columns) + "</tr>"
        for row in rows
    ]
    return f"<table><tr>{head}</tr>{''.join(body)}</table>"


def label(row, unit):
    """What is stuck on a piece: its number, where it lies, and what it is cut from."""
    wide = f", ripped to {tape(row['far'] - row['near'], unit)}" if row["rip"] != "none" else ""
    course = "" if row["course"] is None else f"course {row['course']}, "
    return (f'<div class="label"><b>{escape(row["label"])}</b>'
            f"<span>{tape(row['length'], unit)}{wide}</span>"
            f"<span>{course}{escape(row['surface'])}</span><span>from {escape(str(row['stick']))}"
            "</span></div>")  # fmt: skip


def drawing(told, layer, pieces, unit):
    """Pieces where they lie, each with its number, within the outline as it was sent."""
    room = next(row for row in told["surfaces"] if row["surface"] == layer["surface"])
    wide, high = (max(corner[k] for corner in room["outline"]) for k in (0, 1))
    pen, edge = max(wide, high) / 500, max(wide, high) / 50

    def corners(points):
        return " ".join(f"{x:.3f},{high - y:.3f}" for x, y in points)

    def at(row, along, across):
        frame = zip(layer["origin"], layer["along"], layer["across"], strict=True)
        return tuple(start + u * along + v * across for start, u, v in frame)

    shapes = []
    for row in pieces:
        low, end, near, far = row["from"], row["to"], row["near"], row["far"]
        box = [at(row, *spot) for spot in ((low, near), (end, near), (end, far), (low, far))]
        x, y = at(row, (low + end) / 2, (near + far) / 2)
        size = min((far - near) * 0.6, (end - low) / 4)
        shapes.append(f'<polygon class="piece" points="{corners(box)}"/>'
                      f'<text x="{x:.3f}" y="{high - y:.3f}" font-size="{size:.3f}">'
                      f"{escape(row['label'])}</text>")  # fmt: skip
    return (f'<svg viewBox="{-edge} {-edge} {wide + 2 * edge} {high + 2 * edge}" role="img" '
            f'aria-label="Pieces of {escape(layer["surface"])}" stroke-width="{pen}">'
            f'{"".join(shapes)}<polygon class="wall" stroke-width="{3 * pen}" '
            f'points="{corners(room["outline"])}"/></svg>')  # fmt: skip


DOES = {"start": start, "change": change, "page": page}


def main(file, verb, other):
    book = None if verb == "start" else read_job(file)
    try:
        book = DOES[verb](book, other)
    except Refused as refused:
        sys.exit(reasons(refused.problem))
    Path(file).write_text(json.dumps(book, indent=1), encoding="utf-8")
    changes = f", {len(book['changes'])} change orders" if book["changes"] else ""
    print(f"{file}: {book['takeoff']['summary']['in_words']}{changes}")


if __name__ == "__main__":
    main(*sys.argv[1:4]) if len(sys.argv) == 4 and sys.argv[2] in DOES else sys.exit(__doc__)
