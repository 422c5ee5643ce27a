"""The takeoff on paper, in the order in which a carpenter needs it: at most 100 columns."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from itertools import groupby
from typing import Any, Final, TypeAlias

from service.report.columns import UNBROKEN, heading, paragraph, table
from service.report.lengths import Lengths, fixed, plain
from service.report.written_goods import by_length, sheets
from service.report.written_work import courses, cut_list, first_work, joints

Answer: TypeAlias = Mapping[str, Any]


def printout(answer: Answer) -> str:
    """The whole answer as text: the order, the work course by course, and where it all went.

    `answer` is a flat answer in its published form (`from` for the start of a run). Lines end
    with a newline and are at most 100 characters long.
    """
    lengths = Lengths(answer["units"]["length"])
    lines = _top(answer)
    for name, section in _SECTIONS:
        body = section(answer, lengths)
        if body:
            lines += [*heading(name), *body]
    return ("\n".join(lines) + "\n").replace(UNBROKEN, " ")


def _top(answer: Answer) -> list[str]:
    """What was taken off, in one sentence, and its areas."""
    area = answer["units"]["area"]
    lines = paragraph(answer["summary"]["in_words"])
    for row in answer["surfaces"]:
        sizes = f"{plain(row['gross'])} {area} over all, openings {plain(row['openings'])}, "
        text = f"{row['surface']} ({row['type']}): {sizes}to cover {plain(row['net'])} {area}"
        lines += paragraph(text)
    return lines


def _order(answer: Answer, lengths: Lengths) -> list[str]:
    rows = answer["order"]
    unit = answer["units"]
    heads = ("buy", "item", "need", "cull", "spare", "loss", "packages",
             "left over", f"price {unit['money'] or ''}".strip(), unit["weight"])  # fmt: skip
    cells = [_order_cells(row) for row in rows]
    if rows and any(row["price"] is not None for row in rows):
        cells.append(_order_total(rows))
    return table(heads, cells, "rl")


def _order_cells(row: Answer) -> list[str]:
    packed = f"{row['packages']} of {row['per_package']}" if row["per_package"] > 1 else ""
    extras = [str(row[name]) if row[name] else "" for name in ("cull", "spare", "loss")]
    return [
        str(row["buy"]), row["item"], str(row["need"]), *extras, packed,
        str(row["left_over"] or ""), fixed(row["price"]), plain(row["weight"], 1),
    ]  # fmt: skip


def _order_total(rows: Sequence[Answer]) -> list[str]:
    """The sums of what is known; `and more` where a line has no price."""
    prices = [row["price"] for row in rows]
    weights = [row["weight"] for row in rows if row["weight"] is not None]
    name = "total" if None not in prices else "total of what is priced"
    total = fixed(sum(price for price in prices if price is not None))
    return ["", name, *[""] * 6, total, plain(sum(weights), 1) if weights else ""]


def _fasteners(answer: Answer, lengths: Lengths) -> list[str]:
    heads = ("count", "layer", "where", "place", "apart", "product", "length", "holds")
    rows = [
        [
            str(row["count"]), f"{row['surface']}.{row['layer']}", row["where"], row["place"],
            lengths.width(row["spacing"]), row["product"] or "",
            lengths.width(row["length"]), lengths.width(row["hold"]),
        ]
        for row in answer["fasteners"]
    ]  # fmt: skip
    counted = sorted({f"{row['pattern']}: {row['counted']}" for row in answer["fasteners"]})
    notes = paragraph(f"Pattern and what was counted: {'; '.join(counted)}.") if counted else []
    return [*table(heads, rows, "rlllrlrr"), *notes]


_ACCOUNTS: Final = {
    "installed": "installed, showing",
    "lap_or_tongue": "tongue or lap, hidden",
    "rip": "ripped off",
    "notch": "notched and bored out",
    "mitre": "cut off at slants",
    "crosscut": "cut off square",
    "kerf": "saw kerfs",
    "end_trim": "ends trimmed",
    "fit": "rounding of cuts",
    "snap": "rounding of slants",
    "short_rest": "rests too short to keep",
    "offcut_kept": "offcuts kept",
    "cull": "culls",
    "spare": "spares",
    "surplus": "surplus of packages",
}


def _ledger(answer: Answer, lengths: Lengths) -> list[str]:
    """Every account of each product that is not empty; the shares are of what was bought."""
    lines: list[str] = []
    area = answer["units"]["area"]
    for product, rows in groupby(answer["ledger"], key=lambda row: row["product"]):
        entries = list(rows)
        bought = sum(int(row["half_square_ticks"]) for row in entries)
        filled = [row for row in entries if int(row["half_square_ticks"])]
        cells = [_ledger_cells(row, bought, lengths) for row in filled]
        lines_of_all = sum(row["length"] for row in entries if row["length"] is not None)
        cells.append(["bought", fixed(sum(row["area"] for row in entries)),
                      lengths.total(lines_of_all) if lines_of_all else "", "100.0"])  # fmt: skip
        lines += table((product, area, "as stock", "%"), cells, "l")
    return lines


def _ledger_cells(row: Answer, bought: int, lengths: Lengths) -> list[str]:
    account = row["account"]
    share = 100 * int(row["half_square_ticks"]) / bought if bought else 0.0
    name = _ACCOUNTS.get(account, account.replace("_", " "))
    return [name, fixed(row["area"]), lengths.total(row["length"]), fixed(share, 1)]


def _compared(answer: Answer, lengths: Lengths) -> list[str]:
    lines: list[str] = []
    for row in answer["compared"]:
        wrong = row["wrong_by"]
        verdict = (
            f"{_amount(row, abs(wrong), lengths)} {'more than is needed' if wrong > 0 else 'short'}"
        )
        lines += paragraph(
            f"{row['product']}: a flat {plain(row['flat_pct'])} % would order "
            f"{_amount(row, row['would_order'], lengths)}, {verdict if wrong else 'just enough'}; "
            f"this order buys {_amount(row, row['bought'], lengths)}.",
            "  ",
        )
    return lines


def _amount(row: Answer, value: float, lengths: Lengths) -> str:
    """A length, or a number of sheets or rolls."""
    if row["measured_in"] == "length":
        return lengths.total(value)
    return f"{value:g} {row['measured_in'] if value != 1 else row['measured_in'][:-1]}"


def _plans(answer: Answer, lengths: Lengths) -> list[str]:
    return [
        line
        for row in answer["cut_plans"]
        for line in paragraph(f"{row['product']}: {row['in_words']}", "  ")
    ]


def _findings(answer: Answer, lengths: Lengths) -> list[str]:
    lines: list[str] = []
    for row in answer["findings"]:
        rule = f" (rule {row['rule']})" if row["rule"] else ""
        lines += paragraph(f"{row['at']}: {row['text']} [{row['code']}]{rule}", "  * ")
        if row["cure"]:
            value = json.dumps(row["cure"]["value"], ensure_ascii=False)
            lines += paragraph(f"cure: put {value} at {row['cure']['pointer']}", "      ")
    return lines


def _relaxed(answer: Answer, lengths: Lengths) -> list[str]:
    lines: list[str] = []
    for row in answer["relaxed"]:
        places = ", ".join(row["places"][:6]) + (" ..." if len(row["places"]) > 6 else "")
        text = f"rule {row['rule']}, {row['key']}: asked {row['asked']}, used {row['used']}"
        lines += paragraph(f"{text}, at {places}", "  * ")
    return lines


def _said(name: str) -> Callable[[Answer, Lengths], list[str]]:
    """A section of sentences as they stand in the answer."""
    return lambda answer, lengths: [
        line for text in answer[name] for line in paragraph(text, "  * ")
    ]


_SECTIONS: Final[tuple[tuple[str, Callable[[Answer, Lengths], list[str]]], ...]] = (
    ("WHAT TO ORDER", _order),
    ("WHAT TO DO FIRST", first_work),
    ("COURSES", courses),
    ("JOINTS, ALL STATIONS FROM ONE ORIGIN", joints),
    ("SHEETS, AND HOW THEY ARE SAWN", sheets),
    ("CUT LIST BY STICK OR ROLL, LONGEST FIRST", cut_list),
    ("USED BY LENGTH", by_length),
    ("HOW GOOD THE CUT PLAN IS", _plans),
    ("FASTENERS", _fasteners),
    ("WHERE ALL THAT IS BOUGHT GOES", _ledger),
    ("BESIDE A FLAT PERCENTAGE", _compared),
    ("FINDINGS", _findings),
    ("RULES NOT KEPT, BY YOUR LEAVE", _relaxed),
    ("CAUTIONS", _said("cautions")),
    ("NOT COMPUTED", _said("not_computed")),
)
"""What is printed, in this order; a section without lines is left out."""
