"""What to buy, on paper: the order as a yard picks it, how it comes about, and whose it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, TypeAlias

from service.products.nouns import Nouns
from service.report.printout.columns import Setting, paragraph, table
from service.report.printout.lengths import Lengths, fixed, plain
from service.units.folding import folded

Answer: TypeAlias = Mapping[str, Any]


def picked(nouns: Nouns, answer: Answer) -> list[Answer]:
    """The lines of the order as a yard picks them, form by form."""
    return sorted(answer["order"], key=lambda row: nouns.forms[row["form"]].picked)


def order(nouns: Nouns, answer: Answer, lengths: Lengths) -> list[Setting]:
    """What to ask the yard for, with prices and weights, and their totals."""
    rows, unit = picked(nouns, answer), answer["units"]
    cells = [
        [_bought(row, nouns), row["item"], fixed(row["price"]), plain(row["weight"], 1)]
        for row in rows
    ]
    if any(row["price"] is not None for row in rows):
        cells.append(_total(rows))
    bought = table(("buy", "item", _money(unit), unit["weight"]), cells, "rl", [1] * len(rows))
    return [*bought, *_owned(answer["owned"])]


def _owned(rows: Sequence[Answer]) -> list[Setting]:
    """What is taken of the caller's own stock, and how many are left: no part of the order."""
    used = [
        f"{row['used']:,} of {row['item']}"
        + (f" ({row['left_over']:,} left)" * bool(row["left_over"]))
        for row in rows
        if row["used"]
    ]
    return paragraph(f"From your own: {'; '.join(used)}.", "  ") if used else []


def _bought(row: Answer, nouns: Nouns) -> str:
    """How many to ask for: pieces, or boxes and packs with what is in them in brackets."""
    each = row["per_package"]
    if each == 1:
        return f"{row['buy']:,}"
    one, several = nouns.forms[row["form"]].packs
    if row["pack"]:
        one, several = row["pack"], plural(row["pack"])
    word = one if row["packages"] == 1 else several
    return f"{row['packages']:,} {word} ({plain(row['buy'])})"


def plural(word: str) -> str:
    """`boxes` of `box`, `coils` of `coil`."""
    return f"{word}{'es' if word.endswith('x') else 's'}"


def _total(rows: Sequence[Answer]) -> list[str]:
    """The sums of what is known; it is said where a line has no price."""
    prices = [row["price"] for row in rows]
    weights = [row["weight"] for row in rows if row["weight"] is not None]
    name = "total" if None not in prices else "total of what is priced"
    total = fixed(folded(price for price in prices if price is not None))
    return ["", name, total, plain(folded(weights), 1) if weights else ""]


def _money(unit: Answer) -> str:
    return f"price {unit['money'] or ''}".strip()


def counted(nouns: Nouns, answer: Answer, lengths: Lengths) -> list[Setting]:
    """How the number of each line comes about, and what it is in feet of stock and board feet."""
    cells = [
        [
            row["item"], plain(row["need"]),
            *(plain(row[name]) if row[name] else "" for name in ("cull", "spare", "loss")),
            plain(row["buy"]), plain(row["left_over"]) if row["left_over"] else "",
            _run_of(row, nouns, lengths), plain(row["board_feet"], 1),
        ]
        for row in picked(nouns, answer)
    ]  # fmt: skip
    heads = ("item", "need", "cull", "spare", "loss", "buy", "left over", "length", "bd ft")
    return table(heads, cells, "l")


def _run_of(row: Answer, nouns: Nouns, lengths: Lengths) -> str:
    """All sticks of a line end to end."""
    if nouns.forms[row["form"]].piece != "stick":
        return ""
    return lengths.total(row["length"] * row["buy"])


def in_random_lengths(answer: Answer, lengths: Lengths) -> list[Setting]:
    """What boards would take that come in random lengths: never one bare number."""
    return [part for row in answer["random_lengths"]
            for part in paragraph(_drawn(row, lengths), "  ")]  # fmt: skip


def _drawn(row: Answer, lengths: Lengths) -> str:
    """One board in a few sentences."""
    bundles = row["bundles"]
    bought = "" if bundles is None else f", {bundles} {'bundle' if bundles == 1 else 'bundles'}"
    return (
        f"{row['product']}, shares of {row['by']}: {lengths.total(row['mean_piece'])} in the mean. "
        f"Laid {row['draws']} times, half took up to {lengths.total(row['median'])} with "
        f"{row['median_joints']} joints, nine of ten up to {lengths.total(row['percentile_90'])} "
        f"with {row['percentile_90_joints']}{bought}; a quick estimate, without laying, says "
        f"{lengths.total(row['estimate'])}. Stagger is not looked at. Buy this, or the lengths "
        "ordered above, not both."
    )


def shares(answer: Answer, lengths: Lengths) -> list[Setting]:
    """What of the order falls to each surface, where there are several."""
    if len(answer["surfaces"]) < 2:
        return []
    rows = sorted(answer["order_shares"], key=lambda row: row["surface"])
    cells = [[row["surface"], str(row["buy"]), row["item"], fixed(row["price"])] for row in rows]
    return table(("surface", "buy", "item", _money(answer["units"])), cells, "lrlr")
