"""Hours by the caller's rates, and the room that the order takes on the site, on paper."""

from __future__ import annotations

from service.report.printout.columns import Setting, paragraph, table
from service.report.printout.lengths import Lengths, area_unit, plain
from service.report.printout.rows import Row


def hours(answer: Row, lengths: Lengths) -> list[Setting]:
    """What there is to do by layer and item, where rates were sent, and the hours of all."""
    rows = [row for row in answer["labour"] if row["hours"] is not None]
    if not rows:
        return []
    cells = [
        [f"{row['surface']}.{row['layer']}", row["item"],
         f"{plain(row['quantity'])} {row['unit']}".strip(), plain(row["hours_each"], 4),
         plain(row["factors"]), plain(row["hours"])]
        for row in rows
    ]  # fmt: skip
    (total,) = answer["labour_totals"]
    heads = ("layer", "item", "how much", "hours each", "times", "hours")
    own = [*cells, ["", "total", "", "", "", plain(total["hours"])]]
    text = (
        f"With {total['crew']} at work {plain(total['crew_hours'])} hours: "
        f"{plain(total['days'])} days of {plain(total['hours_a_day'])} hours."
    )
    return [*table(heads, own, "llrrrr"), *paragraph(text, "  ")]


def stacks(answer: Row, lengths: Lengths) -> list[Setting]:
    """How long the longest piece is, and what room the stacks take."""
    cells = [
        [row["product"], f"{row['pieces']:,}", lengths.station(row["longest"]), str(row["lifts"]),
         f"{lengths.width(row['width'])} x {lengths.width(row['height'])}",
         f"{plain(row['footprint'], 1)} {area_unit(answer['units'])}", plain(row["weight"], 0)]
        for row in answer["delivery"]
    ]  # fmt: skip
    heads = ("product", "pieces", "longest", "lifts", "wide x high", "takes up",
             answer["units"]["weight"])  # fmt: skip
    waiting = [
        part
        for row in answer["delivery"]
        for part in paragraph(_waits(row, answer, lengths), "  * ")
    ]
    return [*table(heads, cells, "lrrrlrr"), *waiting]


def _waits(row: Row, answer: Row, lengths: Lengths) -> str:
    """How the stacks of a product wait: on bearers, stickered, covered on top (26.4)."""
    between = f", {row['stickers']:,} stickers between the rows" if row["stickers"] else ""
    cover = f"{plain(row['cover'], 0)} {area_unit(answer['units'])}"
    return (
        f"{row['product']}: {row['bearers']} bearers, {lengths.width(row['clear'])} off the "
        f"ground{between}, {cover} of cover that breathes; sides and ends stay open."
    )
