"""The takeoff on paper, in the order in which a carpenter needs it: at most 100 columns."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from itertools import groupby
from typing import Any, Final, TypeAlias

from service.products.nouns import Nouns
from service.report.patches import in_words
from service.report.printout.columns import UNBROKEN, heading, paragraph, table
from service.report.printout.cuts import cut_list
from service.report.printout.first_work import first_work
from service.report.printout.layers import layer_sections
from service.report.printout.lengths import Lengths, fixed, plain
from service.units.folding import folded

Answer: TypeAlias = Mapping[str, Any]


def printout(answer: Answer, nouns: Nouns) -> str:
    """The whole answer as text: the order, the work course by course, and where it all went.

    `answer` is a flat answer in its published form (`from` for the start of a run), `nouns` what
    its kinds and forms are called. Lines end with a newline and are at most 100 characters long.
    """
    lengths = Lengths(answer["units"]["length"])
    lines = [
        *_top(answer),
        *_sections(_leading(nouns), answer, lengths),
        *layer_sections(answer, nouns, lengths),
        *_sections(_CLOSING, answer, lengths),
    ]
    return ("\n".join(lines) + "\n").replace(UNBROKEN, " ")


Section: TypeAlias = tuple[str, Callable[[Answer, Lengths], list[str]]]
"""A name, and what makes the lines under it."""


def _sections(sections: Sequence[Section], answer: Answer, lengths: Lengths) -> list[str]:
    """Sections in turn; one without lines is left out."""
    lines: list[str] = []
    for name, section in sections:
        body = section(answer, lengths)
        lines += [*heading(name), *body] if body else []
    return lines


def _top(answer: Answer) -> list[str]:
    """What was taken off, in one sentence, and its areas."""
    area = answer["units"]["area"]
    lines = paragraph(answer["summary"]["in_words"])
    for row in answer["surfaces"]:
        sizes = f"{plain(row['gross'])} {area} over all, openings {plain(row['openings'])}, "
        text = f"{row['surface']} ({row['type']}): {sizes}to cover {plain(row['net'])} {area}"
        lines += paragraph(text)
    return lines


def _order(nouns: Nouns, answer: Answer, lengths: Lengths) -> list[str]:
    """The lines of the order, as a yard picks them."""
    rows = sorted(answer["order"], key=lambda row: nouns.forms[row["form"]].picked)
    unit = answer["units"]
    heads = ("buy", "item", "need", "cull", "spare", "loss", "packages",
             "left over", f"price {unit['money'] or ''}".strip(), unit["weight"])  # fmt: skip
    cells = [_order_cells(row) for row in rows]
    if rows and any(row["price"] is not None for row in rows):
        cells.append(_order_total(rows))
    return table(heads, cells, "rl")


def _shares(answer: Answer, lengths: Lengths) -> list[str]:
    """What of the order falls to each surface, where there are several."""
    if len(answer["surfaces"]) < 2:
        return []
    money = f"price {answer['units']['money'] or ''}".strip()
    rows = sorted(answer["order_shares"], key=lambda row: row["surface"])
    cells = [[row["surface"], str(row["buy"]), row["item"], fixed(row["price"])] for row in rows]
    return table(("surface", "buy", "item", money), cells, "lrlr")


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
    total = fixed(folded(price for price in prices if price is not None))
    return ["", name, *[""] * 6, total, plain(folded(weights), 1) if weights else ""]


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
    sheets = {row["product"] for row in answer["sheets"]}
    lines: list[str] = []
    for product, rows in groupby(answer["ledger"], key=lambda row: row["product"]):
        entries = [{**row, "length": None} if product in sheets else row for row in rows]
        lines += [*([""] if lines else []), *_accounts(answer["units"], product, entries, lengths)]
    return lines


def _accounts(units: Answer, product: str, rows: list[Answer], lengths: Lengths) -> list[str]:
    """The accounts of one product: by area, as length of stock, and as shares of what is bought."""
    bought = sum(int(row["amount"]) for row in rows)
    cells = [_ledger_cells(row, bought, lengths) for row in rows if int(row["amount"])]
    areas, along = (
        [row[one] for row in rows if row[one] is not None] for one in ("area", "length")
    )
    cells.append(["bought", fixed(folded(areas)) if areas else "",
                  lengths.total(folded(along)) if any(along) else "", "100.0"])  # fmt: skip
    heads = (product, units["area"], "as stock" if areas else "length", "%")
    return table(heads, cells, "l")


def _ledger_cells(row: Answer, bought: int, lengths: Lengths) -> list[str]:
    account = row["account"]
    share = 100 * int(row["amount"]) / bought if bought else 0.0
    name = _ACCOUNTS.get(account, account.replace("_", " "))
    return [name, fixed(row["area"]), lengths.total(row["length"]), fixed(share, 1)]


def _backing(answer: Answer, lengths: Lengths) -> list[str]:
    """What must stand behind each surface, alike ones together, and how its lumber is cut."""
    alike = Counter(
        (row["surface"], row["what"], row["for"], row["length"]) for row in answer["backing"]
    )
    cells = [
        [str(count), what, lengths.width(length), purpose, surface]
        for (surface, what, purpose, length), count in sorted(alike.items())
    ]
    lines = table(("count", "what", "each", "for", "surface"), cells, "rlrll")
    for product in sorted({row["product"] or "" for row in answer["backing"]} - {""}):
        lines += ["", *paragraph(f"Cut list of {product} by stick, longest first:", "  ")]
        lines += cut_list(answer, product, "stick", lengths)
    return lines


def _compared(answer: Answer, lengths: Lengths) -> list[str]:
    return [
        line
        for row in answer["compared"]
        for line in paragraph(f"{row['product']}: {row['in_words']}", "  ")
    ]


def _rule_costs(answer: Answer, lengths: Lengths) -> list[str]:
    return [
        line
        for row in answer["rule_costs"]
        for line in paragraph(f"{row['product']}: {row['in_words']}", "  ")
    ]


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
            lines += paragraph(f"cure: {in_words(row['cure'])}", "      ")
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


def _leading(nouns: Nouns) -> Sequence[Section]:
    """What is printed before the layers."""
    return (
        ("WHAT TO ORDER", partial(_order, nouns)),
        ("WHAT TO DO FIRST", partial(first_work, nouns)),
        ("CAUTIONS", _said("cautions")),
        ("FINDINGS", _findings),
        ("RULES NOT KEPT, BY YOUR LEAVE", _relaxed),
    )


_CLOSING: Final[Sequence[Section]] = (
    ("WHAT MUST STAND BEHIND (COUNTED, NOT COMPUTED)", _backing),
    ("HOW GOOD THE CUT PLAN IS", _plans),
    ("WHERE ALL THAT IS BOUGHT GOES", _ledger),
    ("WHAT OF IT FALLS TO EACH SURFACE", _shares),
    ("WHAT THE RULES COST", _rule_costs),
    ("BESIDE USUAL WAYS OF ORDERING", _compared),
    ("NOT COMPUTED", _said("not_computed")),
)
"""What is printed after the layers."""
